"""`griplife assess`: a job file in, its assessment out."""

import click


@click.command(short_help="Assess the joints of a job file.")
@click.argument("job_file", metavar="JOB.toml")
@click.option("--json", "json_file", metavar="FILE", help="Write every result as JSON; - for standard output.")
@click.option("--note", "note_file", metavar="FILE.html", help="Write the calculation note, one page for any browser.")
@click.option("--force", is_flag=True, help="Overwrite existing files.")
@click.option("--verify", is_flag=True, help="Count every cycle again by an independent package and compare.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages.")
@click.option("--no-color", is_flag=True, help="Print without colour.")
@click.pass_context
def assess(ctx, job_file, json_file, note_file, force, verify, quiet, no_color):
    """Assess the joints of a job: fatigue, grip, movement, strength after slip, and what would do instead.

    Prints a table of the checks with their clause and utilisation, and the warnings.
    Exit code 0: every check holds; 1: one fails or is not judged; 2: the job is refused.
    """
    from cli.assess import assess_job
    from cli.files import print_result, print_utf8, require_targets, write_whole
    from cli.job import read_job
    from cli.main import wants_colour
    from cli.outcome import exit_code, json_text, outcome_files
    from cli.progress import Progress
    from cli.screen import summary

    if note_file == "-":
        raise click.BadParameter("the note goes to a file, not to standard output", param_hint="--note")
    targets = [path for path in (json_file, note_file) if path]
    require_targets(targets, force=force, inputs=[job_file])
    job = read_job(job_file)
    require_targets(targets, force=force, inputs=job.files)
    stored = sum(load.history.source.size for load in job.loads if load.history.source)
    bar = Progress(sum(load.block.samples for load in job.loads), "assessing", stored=stored, quiet=quiet)
    contract = assess_job(job, progress=bar.over)
    if verify:
        _say(quiet, _verified(job))
    contents = outcome_files(contract, json_file=json_file, note_file=note_file)
    write_whole(contents, force=force)
    for path in contents:
        _say(quiet, f"wrote {path}")
    if json_file == "-":
        print_utf8(json_text(contract))
    else:
        print_result(summary(contract, colour=wants_colour(no_color)))
    ctx.exit(exit_code(contract))


def _verified(job) -> str:
    from cli.verifying import verify_job

    return verify_job(job)


def _say(quiet, text):
    if not quiet:
        click.echo(f"griplife: {text}", err=True)
