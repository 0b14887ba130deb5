"""`griplife new`: a commented job file for a kind of joint, which assesses as it stands."""

from pathlib import Path

import click

from cli.commands.words import kinds_of_joints, standards


@click.command(short_help="Write a commented job file for a kind of joint.")
@click.argument("kind", required=False, shell_complete=kinds_of_joints)
@click.argument("folder", default=".", required=False)
@click.option("--standard", default="EN 1993", show_default=True, metavar="NAME", shell_complete=standards,
              help="By which the job is judged, as in \"AS 4100\" or \"AISC 360-22\".")  # fmt: skip
@click.option("--force", is_flag=True, help="Overwrite existing files.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages.")
def new(kind, folder, standard, force, quiet):
    """Write a commented job file, with a small record where it needs one, for a KIND of joint into FOLDER.

    Without KIND the kinds are listed. FOLDER is the one you are in if left out. What is written assesses as it
    stands: change it step by step to your own.
    """
    from cli.files import make_folder, print_result, require_targets, write_whole
    from cli.new_job import kinds_text, new_files

    if kind is None:
        print_result(kinds_text())
        return
    contents = {Path(folder) / name: content for name, content in new_files(kind, standard).items()}
    make_folder(Path(folder))
    require_targets(contents, force=force)
    write_whole(contents, force=force)
    if not quiet:
        for path in contents:
            click.echo(f"griplife: wrote {path}", err=True)
        click.echo(f"griplife: now run griplife assess {next(iter(contents))}", err=True)
