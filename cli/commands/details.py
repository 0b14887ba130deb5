"""`griplife details`: browses the detail categories of a standard."""

import click


@click.command(short_help="List the detail categories of a standard.")
@click.argument("words", nargs=-1)
@click.option("--standard", default="EN 1993", show_default=True, help="Whose catalogue.")
def details(words, standard):
    """List the detail categories whose text holds all the WORDS; all of them without WORDS.

    The identifier in the first column is what `category` of a detail takes in a job file.
    """
    from cli.catalogue import catalogue_text
    from cli.files import print_result

    print_result(catalogue_text(standard, words))
