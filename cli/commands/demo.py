"""`griplife demo`: a whole job to look at, written into a folder and assessed."""

from pathlib import Path

import click

JOB = "drive_bracket.toml"
NOTE = "note.html"
RESULT = "result.json"


@click.command(short_help="Write a demo job into a folder and assess it.")
@click.argument("folder", default="griplife-demo")
@click.option("--force", is_flag=True, help="Overwrite the files of an earlier demo.")
@click.option("-q", "--quiet", is_flag=True, help="Print the result only, no messages.")
@click.option("--no-color", is_flag=True, help="Print without colour.")
def demo(folder, force, quiet, no_color):
    """Write the demo job and its load record into FOLDER and assess it.

    The joint of the demo slips at ultimate level on purpose, so that a failing check is there to be looked at:
    the exit code is 0 all the same once the demo has run.
    """
    from cli.assess import assess_file
    from cli.files import make_folder, print_result, require_targets, write_whole
    from cli.main import wants_colour
    from cli.outcome import outcome_files
    from cli.screen import summary

    place = Path(folder)
    samples = {place / name: content for name, content in _samples().items()}
    results = [place / NOTE, place / RESULT]
    make_folder(place)
    require_targets([*samples, *results], force=force)
    write_whole(samples, force=force)
    contract = assess_file(place / JOB)
    contents = outcome_files(contract, json_file=str(place / RESULT), note_file=str(place / NOTE))
    write_whole(contents, force=force)
    print_result(summary(contract, colour=wants_colour(no_color)))
    if not quiet:
        for path in (*samples, *contents):
            click.echo(f"griplife: wrote {path}", err=True)
        click.echo(
            f"griplife: this joint fails on purpose. Open {place / NOTE} in a browser, change {place / JOB}, then run "
            f"griplife assess {place / JOB}", err=True,
        )  # fmt: skip


def _samples() -> dict[str, bytes]:
    from importlib.resources import files

    names = (item.name for item in files("loadhistories.samples").iterdir())
    wanted = sorted(name for name in names if name.startswith(Path(JOB).stem) and name.endswith((".toml", ".csv")))
    return {name: files("loadhistories.samples").joinpath(name).read_bytes() for name in wanted}
