"""Rules and formulas whose clause says of itself that it was recalled and not read in its source."""

from cli.result_classes import result_figures
from cli.table_files import known_standards
from loadhistories.tables import FROM_MEMORY


def recalled_rules(standard: str = "") -> dict[str, list[str]]:
    """What stands under each recalled clause, by the clause; of one standard where its name is given.

    Raises
    ------
    InputError
        Unknown standard.
    """
    from cli.standard_clauses import standard_clauses, standards_of_module
    from loadhistories.validation import require_one_of

    if standard:
        require_one_of(standard, known_standards(), "standard")
    found: dict[str, list[str]] = {}
    for item in standard_clauses():
        if FROM_MEMORY in item.clause.casefold() and (not standard or standard in item.standards):
            _add(found, item.clause, item.what)
    for item in result_figures():
        clause = item.figure.clause
        whose = standards_of_module(item.module)
        if FROM_MEMORY in clause.casefold() and (not standard or not whose or standard in whose):
            _add(found, clause, item.figure.title or item.figure.symbol)
    return found


def _add(found: dict[str, list[str]], clause: str, what: str) -> None:
    titles = found.setdefault(clause, [])
    if what not in titles:
        titles.append(what)
