"""`griplife recheck`: a result in, what has become different since out."""

import click

from cli.commands.words import some_file

EXIT_SAME, EXIT_DIFFERS = 0, 1


@click.command(short_help="Run a recorded assessment again and say what differs.")
@click.argument("result_file", metavar="RESULT.json", shell_complete=some_file)
@click.option("--most", default=40, show_default=True, type=click.IntRange(min=1), help="Differences to list.")
@click.pass_context
def recheck(ctx, result_file, most):
    """Assess the job of RESULT.json again, which `griplife assess --json RESULT.json` wrote, and compare.

    Job and records are looked for at their recorded paths, then beside RESULT.json. Says which files are missing or
    have changed, whether the version is another, and which values differ. Exit code 0: all is the same; 1: something
    differs; 2: the result or the job is refused.
    """
    from pathlib import Path

    from cli.files import print_result
    from cli.recheck import read_result
    from cli.recheck import recheck as run_again
    from cli.symbols import plain

    path = Path(result_file)
    found = run_again(read_result(path), path.resolve().parent)
    lines = [f"file: {text}" for text in found.files]
    lines += [f"version: {found.version}"] * bool(found.version)
    lines += [f"{item.where}: was {item.was}, is {item.now}" for item in found.differences[:most]]
    left = len(found.differences) - most
    lines += [f"and {left} more values differ"] * (left > 0)
    lines.append(_verdict(found))
    print_result("\n".join(plain(line) for line in lines) + "\n")
    ctx.exit(EXIT_SAME if found.same else EXIT_DIFFERS)


def _verdict(found) -> str:
    if not found.ran:
        return "Result: differs, and could not be assessed again"
    rounded = f", {found.rounded} of them but for rounding" if found.rounded else ""
    if found.same:
        return f"Result: the same; {found.compared} values agree{rounded}"
    agree = found.compared - len(found.differences)
    return f"Result: differs; of {found.compared} values {agree} agree{rounded}"
