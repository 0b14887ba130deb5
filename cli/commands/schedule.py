"""`griplife schedule`: many jobs in, one table of their joints out, the worst joint first."""

from pathlib import Path

import click

from cli.commands.words import some_file


@click.command(short_help="Assess many jobs and put their joints into one table.")
@click.argument("jobs", metavar="FOLDER|JOB.toml|TABLE", shell_complete=some_file)
@click.option("--base", "base", metavar="JOB.toml", help="The job that the rows of a table vary.")
@click.option("--csv", "csv_file", metavar="FILE", help="Write the table as CSV; - for standard output.")
@click.option("--xlsx", "xlsx_file", metavar="FILE", help="Write the table as a workbook.")
@click.option("--json", "json_file", metavar="FILE", help="Write the table as JSON; - for standard output.")
@click.option("--state", "state", metavar="FOLDER",
              help="Keep finished jobs here; FILE.state beside the first of the results if not given.")  # fmt: skip
@click.option("--processes", type=click.IntRange(1), metavar="N", help="How many jobs at a time; all processors.")
@click.option("--scheduler", metavar="ADDRESS", help="Hand the jobs to this Dask cluster instead.")
@click.option("--shared-files", is_flag=True, help="The cluster's workers see the same folders; send them no files.")
@click.option("--force", is_flag=True, help="Overwrite existing files.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages and no progress.")
@click.option("--no-color", is_flag=True, help="Print without colour.")
@click.pass_context
def schedule(
    ctx, jobs, base, csv_file, xlsx_file, json_file, state, processes, scheduler, shared_files, force, quiet, no_color
):
    """Assess every job of a FOLDER, or one job varied by the rows of a TABLE, and list their joints.

    A TABLE is a .csv or .xlsx whose first row names keys of the job, such as joint.bolts.size, and each further row
    a job: blank cells leave the key as it is. A column "name" names the row, a column "job" the job that it varies.

    A job that is refused is a row of its own and stops no other. What is finished is kept: a run that was interrupted
    goes on where it was, and a job is judged again as soon as one of its files changes.

    Exit code 0: every joint holds; 1: one fails or is not judged, or a job is refused; 2: the call is refused.
    """
    from cli.files import require_targets
    from cli.schedule import read_schedule
    from cli.schedule_run import prepare, table_of
    from cli.schedule_state import Kept, state_folder

    if xlsx_file == "-":
        raise click.BadParameter("a workbook goes to a file, not to standard output", param_hint="--xlsx")
    if (csv_file, json_file) == ("-", "-"):
        raise click.BadParameter("only one of --csv and --json can go to standard output", param_hint="--json")
    if shared_files and not scheduler:
        raise click.BadParameter("goes with --scheduler", param_hint="--shared-files")
    if scheduler and processes:
        raise click.BadParameter("is for this computer; with --scheduler its workers decide", param_hint="--processes")
    targets = {"csv": csv_file, "xlsx": xlsx_file, "json": json_file}
    files = [path for path in targets.values() if path]
    require_targets(files, force=force)
    prepared = prepare(read_schedule(jobs, base))
    require_targets(files, force=force, inputs=prepared.files)
    written = [path for path in files if path != "-"]
    kept = Kept(Path(state) if state else state_folder(written[0]) if written else None)
    outcomes = _judged(prepared, kept, processes, scheduler, shared_files, quiet)
    ctx.exit(_shown(table_of(prepared, outcomes), outcomes, targets, force, quiet, no_color))


def _judged(prepared, kept, processes, scheduler, shared_files, quiet) -> dict:
    """The outcome of every job, those of an earlier run included."""
    from functools import partial

    from cli.cluster import Cluster
    from cli.processes import processors, worked_here
    from cli.progress import Progress
    from cli.schedule_judge import judge
    from cli.schedule_run import judged, on_cluster, taken

    tasks = prepared.tasks
    outcomes = taken(tasks, kept)
    left = {key: task for key, task in tasks.items() if key not in outcomes}
    if outcomes:
        _say(quiet, f"{len(outcomes)} of {len(tasks)} jobs were finished before and are taken as they are")
    if not left:
        return outcomes
    cluster = Cluster(scheduler) if scheduler else None
    if cluster is None:
        worked = partial(worked_here, judge, processes=processes or processors())
    else:
        worked = on_cluster(cluster, shared=shared_files)
    bar = Progress(len(left), "assessing", counted="jobs", quiet=quiet)
    results = judged(left, kept, worked)
    try:
        for key, outcome in bar.each(results):
            outcomes[key] = outcome
    except KeyboardInterrupt:
        _say(quiet, f"{len(outcomes)} of {len(tasks)} jobs are finished{kept.words}")
        raise
    finally:
        results.close()
        if cluster is not None:
            cluster.close()
    return outcomes


def _shown(table, outcomes, targets, force, quiet, no_color) -> int:
    """Write and print the table; the exit code."""
    from cli.files import print_result, print_utf8, write_whole
    from cli.main import OWN_FAULT, wants_colour
    from cli.outcome import exit_code
    from cli.schedule_output import table_csv, table_json, table_screen, table_xlsx
    from cli.schedule_run import faults

    makers = {"csv": table_csv, "xlsx": table_xlsx, "json": table_json}
    contents = {path: makers[kind](table) for kind, path in targets.items() if path and path != "-"}
    write_whole(contents, force=force)
    for path in contents:
        _say(quiet, f"wrote {path}")
    printed = next((kind for kind, path in targets.items() if path == "-"), None)
    if printed:
        print_utf8(makers[printed](table).decode("utf-8"))
    else:
        print_result(table_screen(table, colour=wants_colour(no_color)))
    for text in faults(outcomes):
        click.echo(text, err=True)
    return OWN_FAULT if faults(outcomes) else exit_code(table)


def _say(quiet, text):
    if not quiet:
        click.echo(f"griplife: {text}", err=True)
