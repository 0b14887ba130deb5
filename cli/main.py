"""The `griplife` command: finds the subcommand asked for, and turns what went wrong into an exit code.

Importing this module loads click and nothing heavier.
"""

import os
import sys
import traceback
from difflib import get_close_matches
from importlib import import_module
from pathlib import Path

import click

from cli.version import version

REFUSED = 2
OWN_FAULT = 70
INTERRUPTED = 130
PIPE_CLOSED = 141

COMMANDS = {
    "new": "cli.commands.new",
    "assess": "cli.commands.assess",
    "watch": "cli.commands.watch",
    "compare": "cli.commands.compare",
    "schedule": "cli.commands.schedule",
    "count": "cli.commands.count",
    "look": "cli.commands.look",
    "recheck": "cli.commands.recheck",
    "details": "cli.commands.details",
    "tables": "cli.commands.tables",
    "explain": "cli.commands.explain",
    "schema": "cli.commands.schema",
    "completion": "cli.commands.completion",
    "demo": "cli.commands.demo",
}


class Commands(click.Group):
    """A group whose subcommands are imported when they are asked for."""

    def list_commands(self, ctx):
        return list(COMMANDS)

    def get_command(self, ctx, cmd_name):
        if cmd_name not in COMMANDS:
            return None
        return getattr(import_module(COMMANDS[cmd_name]), cmd_name)

    def resolve_command(self, ctx, args):
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in COMMANDS:
            near = get_close_matches(name, COMMANDS, n=1)
            hint = f" Did you mean {near[0]!r}?" if near else f" Commands: {', '.join(COMMANDS)}."
            ctx.fail(f"No such command {name!r}.{hint}")
        return super().resolve_command(ctx, args)

    def invoke(self, ctx):
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except KeyboardInterrupt:
            click.echo("griplife: stopped", err=True)
            ctx.exit(INTERRUPTED)
        except BrokenPipeError:
            _forget_stdout()
            ctx.exit(PIPE_CLOSED)
        except Exception as error:
            ctx.exit(_told(error))


def _told(error: Exception) -> int:
    """Say what went wrong; the exit code for it."""
    from loadhistories.validation import InputError

    if isinstance(error, InputError):
        click.echo(refusal_text(error.problems), err=True)
        return REFUSED
    click.echo(fault_text(error), err=True)
    return OWN_FAULT


def refusal_text(problems: tuple[str, ...]) -> str:
    """The problems of a refused input, a line each, under a line that says how many there are."""
    lines = [line for problem in problems for line in problem.splitlines()]
    count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
    return "\n".join([f"griplife: the input is refused, {count}:", *(f"  {line}" for line in lines)])


def fault_text(fault: Exception) -> str:
    """What to report of a fault of griplife itself; the traceback only with GRIPLIFE_TRACEBACK=1."""
    frame = traceback.extract_tb(fault.__traceback__)[-1]
    lines = [
        "griplife: this is a fault of griplife, not of your input; no result was given.",
        f"  {type(fault).__name__}: {fault}",
        f"  at {Path(frame.filename).name}, line {frame.lineno}, in {frame.name}",
        f"  griplife {version()}, Python {sys.version.split()[0]}, {sys.platform}",
        "  Please report these lines with the command, the job file and, if you may, the record.",
    ]
    if os.environ.get("GRIPLIFE_TRACEBACK") == "1":
        lines += ["", *"".join(traceback.format_exception(fault)).splitlines()]
    else:
        lines.append("  GRIPLIFE_TRACEBACK=1 in the environment adds the traceback.")
    return "\n".join(lines)


def wants_colour(no_color: bool) -> bool:
    """Whether results on standard output may be coloured: a terminal, and nobody objects."""
    return not no_color and not os.environ.get("NO_COLOR") and sys.stdout.isatty()


def _forget_stdout() -> None:
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115


def _print_version(ctx, param, wanted):
    if wanted and not ctx.resilient_parsing:
        click.echo(f"griplife {version()}")
        ctx.exit()


@click.command(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_print_version, help="Show the version."
)
def main():
    """Shows that a cyclically loaded steel joint grips and lasts.

    Counts the cycles of a recorded load history, adds up their fatigue damage, says whether, when and how far
    the bolted joint slips, what holds after that, and what would do instead.

    Exit codes: 0 every check holds; 1 a check fails or is not judged; 2 the input or the call is refused;
    70 a fault of griplife itself.
    """
