"""`griplife compare`: other ways to make the joints of a job, designed, assessed and put side by side."""

from pathlib import Path

import click

from cli.commands.words import some_file


@click.command(short_help="Design other ways to make a joint and put them side by side.")
@click.argument("job_file", metavar="JOB.toml", required=False, shell_complete=some_file)
@click.option("--json", "json_file", metavar="FILE", help="Write everything as JSON; - for standard output.")
@click.option("--write", "folder", metavar="FOLDER", help="Write each alternative as a job of its own into FOLDER.")
@click.option("--rates", "rates_file", metavar="FILE.toml", shell_complete=some_file,
              help="Your own hours and costs; without it examples count.")
@click.option("--weights", metavar="LIST", help="What counts for you, such as margin=2,hours=1,cost=1.")
@click.option("--sample-rates", is_flag=True, help="Print a sample file of rates, marked as examples, and stop.")
@click.option("--force", is_flag=True, help="Overwrite existing files.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages.")
@click.option("--no-color", is_flag=True, help="Print without colour.")
@click.pass_context
def compare(ctx, job_file, json_file, folder, rates_file, weights, sample_rates, force, quiet, no_color):
    """Design other ways to make each bolted joint of a job: more or larger bolts, better faces, keys, dowels, fitted
    bolts, welds. Each is assessed with the loads of the job, its own fatigue details included.

    Those that hold everywhere come first, then the margin and the work decide, or your --weights.
    Exit code 0: the joints hold as given, or something that holds is found for each; 1: not; 2: the input is refused.
    """
    from cli.compare import compare_job, steps_of, walked_again
    from cli.compare_contract import comparison_of
    from cli.compare_files import job_files
    from cli.compare_ranking import read_weights
    from cli.compare_rates import read_rates, sample_text
    from cli.compare_screen import comparison_text
    from cli.files import make_folder, print_result, print_utf8, require_targets, write_whole
    from cli.job import read_job
    from cli.main import wants_colour
    from cli.outcome import json_text
    from cli.progress import Progress

    if sample_rates:
        print_utf8(sample_text())
        return
    if job_file is None:
        raise click.UsageError("give the job file, or --sample-rates")
    own = read_rates(rates_file)
    chosen = None if weights is None else read_weights(weights)
    targets = [json_file] if json_file else []
    require_targets(targets, force=force, inputs=[job_file])
    job = read_job(job_file)
    require_targets(targets, force=force, inputs=job.files)
    if walked_again(job):
        _say(quiet, f"each candidate that passes for grip and strength walks all {walked_again(job):,} samples again")
    found = compare_job(
        job, own, tell=lambda name: _say(quiet, f"designing other ways to make {name}"),
        progress=Progress(steps_of(job), "comparing", counted="steps", quiet=quiet),
    )  # fmt: skip
    contract = comparison_of(job, found, own, chosen)
    contents = {}
    if folder is not None:
        contents |= job_files(job, found, Path(folder))
        make_folder(Path(folder))
        require_targets(contents, force=force, inputs=job.files)
    if json_file and json_file != "-":
        contents[json_file] = json_text(contract).encode("utf-8")
    write_whole(contents, force=force)
    for path in contents:
        _say(quiet, f"wrote {path}")
    if json_file == "-":
        print_utf8(json_text(contract))
    else:
        print_result(comparison_text(contract, colour=wants_colour(no_color)))
    ctx.exit(_exit_code(contract))


def _exit_code(contract: dict) -> int:
    from cli.compare_contract import best_of
    from loadhistories.figures import HOLDS

    return 0 if all(joint["state"] == HOLDS or best_of(joint) for joint in contract["joints"]) else 1



def _say(quiet, text):
    if not quiet:
        click.echo(f"griplife: {text}", err=True)
