"""`griplife tables`: browses the data tables of bolts, holes, surfaces, steels and all others."""

import click

from cli.commands.words import kinds_of_tables, standards


@click.command(short_help="Browse the tables of bolts, holes, surfaces, steels and others.")
@click.argument("words", metavar="[KIND] [WORDS]...", nargs=-1, shell_complete=kinds_of_tables)
@click.option("--standard", default="", metavar="NAME", shell_complete=standards,
              help="Only the tables of this standard and those of all.")  # fmt: skip
@click.option("--unconfirmed", is_flag=True, help="List every value that was recalled, the worst to be wrong first.")
def tables(words, standard, unconfirmed):
    """List the kinds of tables, or the rows of the tables of a KIND in which all the WORDS occur.

    \b
    griplife tables                           the kinds
    griplife tables bolts                     every table of bolts
    griplife tables steels S355               one steel
    griplife tables M20 --standard "EN 1993"  rows of any table

    A row marked m was recalled and not read in its source; --unconfirmed lists all of these, with the rules whose
    clause was recalled, in the order of how much a wrong value would hurt.
    """
    from cli.files import print_result
    from cli.table_files import tables_of
    from cli.table_listing import kinds_text, tables_text, unconfirmed_text

    if unconfirmed and words:
        raise click.UsageError("--unconfirmed lists all tables; give no KIND or WORDS with it")
    tables_of(standard=standard)
    if unconfirmed:
        print_result(unconfirmed_text(standard))
    elif words:
        print_result(tables_text(words, standard))
    else:
        print_result(kinds_text(standard))
