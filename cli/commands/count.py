"""`griplife count`: the load cycles of one channel of a record as a plain table."""

import click

from cli.commands.words import some_file


@click.command(short_help="Count the load cycles of a channel of a record.")
@click.argument("file", metavar="RECORD", shell_complete=some_file)
@click.option("--channel", metavar="NAME", help="Name of the channel; not needed if there is only one.")
@click.option("--rate", metavar="RATE", help='Sampling rate of a record without a time column, such as "100 Hz".')
@click.option("--group", metavar="NAME", help="Group of channels, where the file holds several.")
@click.option("--bins", type=click.IntRange(1, 10_000), metavar="N", help="Sum the cycles up in so many equal ranges.")
@click.option("--csv", "csv_file", metavar="FILE.csv", help="Write every cycle to this file; - for standard output.")
@click.option("--force", is_flag=True, help="Overwrite an existing file.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages and no progress.")
def count(file, channel, rate, group, bins, csv_file, force, quiet):
    """Count the load cycles of one channel of RECORD by the rainflow method of ASTM E1049-85.

    Prints range, mean and count of every kind of cycle, the largest first. What does not close within the
    record (the residue) counts as half cycles.
    """
    from cli.cycle_table import cycle_table, cycles_csv, one_channel
    from cli.files import print_result, print_utf8, require_targets, write_whole
    from cli.progress import Progress
    from fatigue.cycles import CycleCounter
    from loadhistories.ahead import read_ahead
    from loadhistories.reading import open_record

    targets = [csv_file] if csv_file else []
    require_targets(targets, force=force, inputs=[file])
    given = {"rate": rate, "group": group}
    history = open_record(file, **{key: value for key, value in given.items() if value})
    name = one_channel(history, channel)
    counter = CycleCounter()
    bar = Progress(history.samples, "counting", stored=history.source.size, quiet=quiet)
    for chunk in bar.over(chunk for _, chunk in read_ahead(history.chunks([name]))):
        counter.feed(chunk)
    counted = counter.count()
    if csv_file == "-":
        print_utf8(cycles_csv(history, name, counted))
        return
    if csv_file:
        write_whole({csv_file: cycles_csv(history, name, counted).encode("utf-8")}, force=force)
        if not quiet:
            click.echo(f"griplife: wrote {csv_file}", err=True)
    print_result(cycle_table(history, name, counted, bins=bins))
