"""`griplife schema`: the JSON Schema of the job file, for editors that complete and check keys."""

import click

from cli.commands.words import some_file


@click.command(short_help="Print the JSON Schema of the job file, for editors.")
@click.argument("file", required=False, metavar="[FILE.json]", shell_complete=some_file)
@click.option("--force", is_flag=True, help="Overwrite an existing file.")
@click.option("-q", "--quiet", is_flag=True, help="Print results and refusals only, no messages.")
def schema(file, force, quiet):
    """Print the JSON Schema (draft 7) of the job file, or write it to FILE.json.

    It names every key with its kind of unit, its words and what it says. An editor with a language server for TOML
    completes and checks a job whose first line is: #:schema FILE.json
    """
    from cli.files import print_utf8, require_targets, write_whole
    from cli.schema.job import schema_text

    if file in (None, "-"):
        print_utf8(schema_text())
        return
    require_targets([file], force=force)
    write_whole({file: schema_text().encode("utf-8")}, force=force)
    if not quiet:
        click.echo(f"griplife: wrote {file}", err=True)
