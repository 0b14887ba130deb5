"""`griplife look`: what was understood of a record, before anything is counted."""

import click

from cli.commands.words import some_file


@click.command(short_help="Show how a record is understood, and its faults.")
@click.argument("file", metavar="RECORD", shell_complete=some_file)
@click.option("--plot", "plot_file", metavar="FILE.svg", help="Draw every channel over time with its faults.")
@click.option("--json", "json_file", metavar="FILE", help="Write everything as JSON; - for standard output.")
@click.option("--column", "columns", multiple=True, help="Look at this column only; can be given several times.")
@click.option("--rate", help='Sampling rate of a record without a time column, such as "100 Hz".')
@click.option("--time-column", help='Name of the time column; "" if the stamps are not to be read.')
@click.option("--date-format", help='Of stamps that are not ISO 8601, such as "%d/%m/%Y %H:%M:%S".')
@click.option("--delimiter", help="Between cells: , ; tab or blank.")
@click.option("--decimal", type=click.Choice([".", ","]), help="Decimal mark.")
@click.option("--header-line", type=click.IntRange(1), help="Line of the names, counted from 1.")
@click.option("--encoding", help="Of the text, such as utf-8 or cp1252.")
@click.option("--group", help="Group of channels, where the file holds several.")
@click.option("--missing", multiple=True, help="Text that marks a missing value; can be given several times.")
@click.option("--force", is_flag=True, help="Overwrite existing files.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages.")
def look(file, plot_file, json_file, columns, force, quiet, **dialect):
    """Show what is understood of RECORD: channels, units, rate, first rows, faults, and what would do about them.

    Nothing is counted and nothing is changed. Exit code 0 also where faults are found.
    """
    import json

    from cli.files import print_result, print_utf8, require_targets, write_whole
    from cli.look import look_at, look_text

    if plot_file == "-":
        raise click.BadParameter("the plot goes to a file, not to standard output", param_hint="--plot")
    targets = [path for path in (plot_file, json_file) if path]
    require_targets(targets, force=force, inputs=[file])
    seen = look_at(file, columns=columns or None, **_given(dialect))
    text = json.dumps(seen, ensure_ascii=False, indent=2, allow_nan=False) + "\n"
    contents = {json_file: text.encode("utf-8")} if json_file and json_file != "-" else {}
    if plot_file:
        from cli.plots import record_plot

        contents[plot_file] = record_plot(seen, key="record").encode("utf-8")
    write_whole(contents, force=force)
    for path in contents if not quiet else ():
        click.echo(f"griplife: wrote {path}", err=True)
    if json_file == "-":
        print_utf8(text)
    else:
        print_result(look_text(seen))


def _given(dialect: dict) -> dict:
    """The options that were given, as `open_record` takes them."""
    found = {key: value for key, value in dialect.items() if value not in (None, ())}
    words = {"tab": "\t", "\\t": "\t", "blank": " "}
    if "delimiter" in found:
        found["delimiter"] = words.get(found["delimiter"], found["delimiter"])
    return found
