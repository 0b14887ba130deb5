"""`griplife completion`: the script by which a shell completes commands and options."""

import click
from click.shell_completion import get_completion_class

_SHELLS = ("bash", "zsh", "fish")


@click.command(short_help="Print the script by which a shell completes commands.")
@click.argument("shell", type=click.Choice(_SHELLS))
@click.pass_context
def completion(ctx, shell):
    """Print the script by which SHELL completes commands, options and their words.

    \b
    bash:  griplife completion bash > ~/.griplife-complete.bash
           and in ~/.bashrc:  . ~/.griplife-complete.bash
    zsh:   the same, in ~/.zshrc
    fish:  griplife completion fish > ~/.config/fish/completions/griplife.fish
    """
    from cli.files import print_utf8

    root = ctx.find_root().command
    print_utf8(get_completion_class(shell)(root, {}, "griplife", "_GRIPLIFE_COMPLETE").source() + "\n")
