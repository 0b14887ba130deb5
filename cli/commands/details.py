"""`griplife details`: browses the detail categories of a standard."""

import click

from cli.commands.words import standards


@click.command(short_help="List the detail categories of a standard.")
@click.argument("words", nargs=-1)
@click.option("--standard", default="EN 1993", show_default=True, metavar="NAME", shell_complete=standards,
              help="Whose catalogue, as in \"AS 4100\" or \"AISC 360-22\".")  # fmt: skip
def details(words, standard):
    """List the detail categories whose text holds all the WORDS; all of them without WORDS.

    The identifier in the first column is what `category` of a detail takes in a job file. A row marked m was
    recalled and not read in the standard.
    """
    from cli.catalogue import catalogue_text
    from cli.files import print_result

    print_result(catalogue_text(standard, words))
