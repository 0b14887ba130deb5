"""`griplife assess`: a job file in, its assessment out."""

import click

from cli.commands.words import some_file


@click.command(short_help="Assess the joints of a job file.")
@click.argument("job_file", metavar="JOB.toml", shell_complete=some_file)
@click.option("--json", "json_file", metavar="FILE", help="Write every result as JSON; - for standard output.")
@click.option("--note", "note_file", metavar="FILE",
              help="Write the calculation note as .html (one page for any browser), .pdf, or .md (also plain text).")
@click.option("--changes", "changes_file", metavar="FILE.csv", help="Write every change that cleaning made to records.")
@click.option("--care-plan", "care_file", metavar="FILE.csv",
              help="Write what to look at, how often, and what is accepted.")
@click.option("--set", "settings", multiple=True, metavar="KEY=VALUE",
              help="Give a key of the job another value, as in joint.bolts.size=M24; may be given several times.")
@click.option("--force", is_flag=True, help="Overwrite existing files.")
@click.option("--verify", is_flag=True, help="Count every cycle again by an independent package and compare.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages.")
@click.option("-v", "--verbose", is_flag=True, help="Print also how loads were read, what is assumed, the time taken.")
@click.option("--no-color", is_flag=True, help="Print without colour.")
@click.pass_context
def assess(ctx, job_file, json_file, note_file, changes_file, care_file, settings, force, verify, quiet, verbose,
           no_color):  # fmt: skip
    """Assess the joints of a job: fatigue, grip, movement, strength after slip, and what would do instead.

    Prints a table of the checks with their clause and utilisation, and the warnings.
    Exit code 0: every check holds; 1: one fails or is not judged; 2: the job is refused.
    """
    import time

    from cli.assess import assess_job
    from cli.care import care_csv
    from cli.contract_cleaning import changes_csv
    from cli.files import print_result, print_utf8, require_targets, write_whole
    from cli.job import read_job
    from cli.job_changes import change_of
    from cli.main import wants_colour
    from cli.outcome import exit_code, json_text, outcome_files, require_printable
    from cli.progress import Progress
    from cli.screen import summary
    from cli.verbose import more_of, told_of_loads

    if quiet and verbose:
        raise click.UsageError("-q and -v are both given; give one of them")
    began = time.monotonic()
    if note_file == "-":
        raise click.BadParameter("the note goes to a file, not to standard output", param_hint="--note")
    if note_file:
        require_printable(note_file)
    tables = {"--json": json_file, "--changes": changes_file, "--care-plan": care_file}
    printed = [option for option, path in tables.items() if path == "-"]
    if len(printed) > 1:
        raise click.UsageError(f"only one of {' and '.join(printed)} can go to standard output")
    targets = [path for path in (note_file, *tables.values()) if path]
    require_targets(targets, force=force, inputs=[job_file])
    job = read_job(job_file, [change_of(text) for text in settings])
    require_targets(targets, force=force, inputs=job.files)
    for line in told_of_loads(job) if verbose else ():
        _say(quiet, line)
    stored = sum(load.history.source.size for load in job.loads if load.history.source)
    bar = Progress(sum(load.block.samples for load in job.loads), "assessing", stored=stored, quiet=quiet)
    contract = assess_job(job, progress=bar.over)
    if verify:
        _say(quiet, _verified(job))
    if verbose:
        _say(quiet, f"read and assessed in {time.monotonic() - began:.2f} s")
    contents = outcome_files(contract, json_file=json_file, note_file=note_file)
    if changes_file and changes_file != "-":
        contents[changes_file] = changes_csv(job.every_load).encode("utf-8")
    if care_file and care_file != "-":
        contents[care_file] = care_csv(contract)
    write_whole(contents, force=force)
    for path in contents:
        _say(quiet, f"wrote {path}")
    if changes_file == "-":
        print_utf8(changes_csv(job.every_load))
    elif care_file == "-":
        print_utf8(care_csv(contract).decode("utf-8"))
    elif json_file == "-":
        print_utf8(json_text(contract))
    else:
        more = more_of(contract) if verbose else ""
        print_result(summary(contract, colour=wants_colour(no_color)) + more)
    ctx.exit(exit_code(contract))


def _verified(job) -> str:
    from cli.verifying import verify_job

    return verify_job(job)


def _say(quiet, text):
    if not quiet:
        click.echo(f"griplife: {text}", err=True)
