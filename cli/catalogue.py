"""The listing of `griplife details`: rows of a standard's tables of details as text of 80 columns."""

import textwrap

WIDTH = 80
_INDENT = 35
_FROM_MEMORY = "m: recalled, not read in the standard; compare with the standard before relying on it."
_RELIES_ON = {
    "grip": "Stands only while the joint grips",
    "no reversal": "Stands only while the load does not reverse",
    "pretension": "Stands only for pretensioned bolts",
}


def catalogue_text(standard: str, words=()) -> str:
    """The rows in which all words occur, with a line of what was found.

    Raises
    ------
    InputError
        The standard is unknown.
    """
    from fatigue.catalogue import find_details
    from fatigue.standards import edition

    rows = find_details(standard, " ".join(words))
    asked = f" with {' '.join(words)!r}" if words else ""
    if not rows:
        return f"{edition(standard)}: no detail{asked}. Fewer or shorter words find more.\n"
    number = "1 detail" if len(rows) == 1 else f"{len(rows)} details"
    kind = "cat." if any(row.letter for row in rows) else "MPa"
    head = f"{'category':<11} {kind:>4}    {'stress':<6} {'on':<{_INDENT - 27}}{'condition'}"
    lines = [f"{edition(standard)}: {number}{asked}", "", head]
    for row in rows:
        lines += _row_lines(row)
    if any(row.unconfirmed for row in rows):
        lines += ["", *textwrap.wrap(_FROM_MEMORY, WIDTH)]
    return "\n".join(lines) + "\n"


def _row_lines(row) -> list[str]:
    mark = "m" if row.unconfirmed else ""
    strength = row.letter or ("-" if row.category is None else f"{row.category:g}")
    head = f"{row.id:<11} {strength:>4} {mark:<2} {row.stress:<6} {row.stress_on}"
    text = ". ".join([row.condition, *_remarks(row)])
    if len(head) >= _INDENT:
        return [head, *_wrapped(text, " " * _INDENT)]
    return _wrapped(text, f"{head:<{_INDENT}}")


def _wrapped(text: str, first: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=" " * _INDENT)


def _remarks(row) -> list[str]:
    remarks = []
    if row.relies_on:
        remarks.append(_RELIES_ON.get(row.relies_on, f"Relies on {row.relies_on}"))
    if row.size_effect:
        remarks.append(f"Size effect: {row.size_effect}")
    if row.see:
        remarks.append(f"Use {', '.join(row.see)}")
    if row.also:
        remarks.append(f"Check also {', '.join(row.also)}")
    return remarks
