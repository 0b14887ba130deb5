"""`griplife watch`: assesses a job again whenever it or one of its records changes."""

import time
from pathlib import Path

import click

from cli.commands.words import some_file


@click.command(short_help="Assess a job again whenever one of its files changes.")
@click.argument("job_file", metavar="JOB.toml", shell_complete=some_file)
@click.option("--set", "settings", multiple=True, metavar="KEY=VALUE",
              help="Give a key of the job another value, as in joint.bolts.size=M24; may be given several times.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages.")
@click.option("--no-color", is_flag=True, help="Print without colour.")
def watch(job_file, settings, quiet, no_color):
    """Assess JOB.toml, and again as soon as the job or a record that it names changes.

    A job that is refused is told, and looked at again with the next change. Ctrl-C ends it; the exit code is then 0.
    """
    from cli.watching import next_change, state_of

    job = Path(job_file)
    if not job.is_file():
        raise click.BadParameter(f"{job} is not there; give the path of a job file", param_hint="JOB.toml")
    state = state_of((job, *_named_in(job)))
    try:
        while True:
            files = _assessed(job, settings, no_color)
            # What was changed while the job was assessed counts as changed.
            before = state_of(files) | {path: stamp for path, stamp in state.items() if path in files}
            _say(quiet, f"watching {len(files)} {'file' if len(files) == 1 else 'files'}; Ctrl-C ends")
            state = next_change(before)
            changed = [path.name for path, stamp in state.items() if stamp != before[path]]
            _say(quiet, f"{time.strftime('%H:%M:%S')} {', '.join(changed)} changed")
    except KeyboardInterrupt:
        _say(quiet, "ended")


def _assessed(job: Path, settings, no_color: bool) -> tuple[Path, ...]:
    """Assess the job and print the outcome; the files to watch from now on."""
    from cli.assess import assess_job
    from cli.files import print_result
    from cli.job import read_job
    from cli.job_changes import change_of
    from cli.main import refusal_text, wants_colour
    from cli.screen import summary
    from loadhistories.validation import InputError

    changed = [change_of(text) for text in settings]
    try:
        read = read_job(job, changed)
        print_result(summary(assess_job(read), colour=wants_colour(no_color)))
        return tuple(dict.fromkeys(read.files))
    except InputError as refusal:
        click.echo(refusal_text(refusal.problems), err=True)
        return (job, *_named_in(job))


def _named_in(job: Path) -> tuple[Path, ...]:
    """Files beside a refused job that its text names: what is mended in them is seen too."""
    try:
        text = job.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ()
    return tuple(path for path in sorted(job.parent.iterdir()) if path != job and path.is_file() and path.name in text)


def _say(quiet, text):
    if not quiet:
        click.echo(f"griplife: {text}", err=True)
