"""`griplife explain`: what a check, a warning, a symbol, a key or a clause stands for."""

import click


@click.command(short_help="Say what a check, warning, symbol, key or clause stands for.")
@click.argument("term", nargs=-1, required=True)
def explain(term):
    """Say what TERM stands for, from the tables and results themselves.

    \b
    griplife explain slip-ultimate           a check, or the code of a warning
    griplife explain F_s,Rd                  a symbol of the note
    griplife explain edge_distance           a key of a job file
    griplife explain 3.9.1                   a clause, or part of one
    griplife explain M20                     a row of a table
    """
    from cli.explaining import explained
    from cli.files import print_result

    print_result(explained(" ".join(term)))
