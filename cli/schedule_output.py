"""The table of a schedule as CSV, workbook, JSON, and on the terminal."""

import csv
import io
import json
import textwrap
from datetime import datetime
from typing import Any

from cli.schedule_rows import COLUMNS
from cli.symbols import plain, utilisation
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED
from loadhistories.validation import InputError

WIDTH = 80
MOST_SHOWN = 40
RISKY = ("=", "+", "-", "@", "\t", "\r")
_SCREEN = (22, 24, 16, 7, 11)
_COLOURS = {HOLDS: "32", FAILS: "1;31", NOT_JUDGED: "1;33"}
_WIDTHS = {"name": 24, "job": 20, "joint": 28, "governing": 36, "clause": 28, "worst_detail": 28, "warnings": 30,
           "would_do_instead": 40, "reason": 60}  # fmt: skip


def header_of(table: dict) -> list[str]:
    """Names of the columns: those of every schedule, with the keys that this one varies after the name of the job."""
    return ["place", "name", "job", *table["keys"], *COLUMNS]


def table_csv(table: dict) -> bytes:
    """The table as CSV in UTF-8 and full precision; texts that a spreadsheet might take for a formula are harmless."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([harmless(name) for name in header_of(table)])
    for row in table["rows"]:
        writer.writerow(["" if cell is None else harmless(cell) for cell in _cells(table, row)])
    return text.getvalue().encode("utf-8")


def table_xlsx(table: dict) -> bytes:
    """The table as a workbook of one sheet with a fixed header and a filter; it holds no formula."""
    try:
        import xlsxwriter
    except ImportError as error:
        raise InputError("a workbook needs xlsxwriter to be written: install griplife[excel], or use --csv") from error
    content = io.BytesIO()
    book = xlsxwriter.Workbook(content, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    # The same table gives the same bytes: no time of writing.
    book.set_properties({"created": datetime(2000, 1, 1), "title": "Schedule of joints", "comments": table["caution"]})
    sheet = book.add_worksheet("schedule")
    bold, wrapped = book.add_format({"bold": True, "text_wrap": True}), book.add_format({"text_wrap": True})
    number = book.add_format({"num_format": "0.00##"})
    bold.set_align("top"), wrapped.set_align("top"), number.set_align("top")
    header = header_of(table)
    for place, name in enumerate(header):
        sheet.write_string(0, place, harmless(name), bold)
        sheet.set_column(place, place, _WIDTHS.get(name, 13))
    for line, row in enumerate(table["rows"], start=1):
        for place, cell in enumerate(_cells(table, row)):
            if isinstance(cell, (int, float)) and not isinstance(cell, bool):
                sheet.write_number(line, place, cell, number if isinstance(cell, float) else wrapped)
            elif cell is not None:
                sheet.write_string(line, place, str(harmless(cell)), wrapped)
    sheet.freeze_panes(1, 2)
    sheet.autofilter(0, 0, len(table["rows"]), len(header) - 1)
    book.close()
    return content.getvalue()


def table_json(table: dict) -> bytes:
    """The table as JSON in full precision."""
    return (json.dumps(table, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode("utf-8")


def harmless(cell: Any) -> Any:
    """The cell as it may stand in a spreadsheet: a text that begins like a formula has an apostrophe before it.

    Examples
    --------
    >>> harmless("=2+2"), harmless(-2.0), harmless("M20")
    ("'=2+2", -2.0, 'M20')
    """
    risky = isinstance(cell, str) and cell.lstrip(" \n").startswith(RISKY)
    return f"'{cell}" if risky else cell


def table_screen(table: dict, *, colour: bool) -> str:
    """The table as lines of at most 80 columns, the worst joints first, and how many of each state there are."""
    rows = table["rows"]
    lines = _line(("job", "joint", "governing", "util.", "state"))
    lines.append("-" * WIDTH)
    for row in rows[:MOST_SHOWN]:
        used = "-" if row["utilisation"] is None else plain(utilisation(row["utilisation"]))
        first, *others = _line((row["name"], row["joint"] or "-", row["governing"] or "-", used, row["state"]))
        lines += [_painted(first, row["state"], colour), *others]
        if row["reason"] and row["state"] != HOLDS:
            reason = plain(row["reason"])
            short = reason if len(reason) <= 4 * WIDTH else f"{reason[: 4 * WIDTH].rsplit(' ', 1)[0]} ..."
            lines += textwrap.wrap(short, WIDTH, initial_indent="  ", subsequent_indent="  ")
    if len(rows) > MOST_SHOWN:
        lines.append(f"and {len(rows) - MOST_SHOWN} more, each used less; --csv, --xlsx or --json list every one")
    counts = [f"{sum(row['state'] == state for row in rows)} {word}" for state, word in _WORDS.items()]
    jobs = "1 job" if table["jobs"] == 1 else f"{table['jobs']} jobs"
    lines += ["", f"{jobs}: of {len(rows)} rows {', '.join(counts)}"]
    state = table["state"]
    lines += ["", f"Result: {_painted(state, state, colour)}", *textwrap.wrap(plain(table["caution"]), WIDTH)]
    return "\n".join(lines) + "\n"


_WORDS = {HOLDS: "hold", FAILS: "fail", NOT_JUDGED: "not judged"}


def _cells(table: dict, row: dict) -> list:
    varied = [_plain(row["changes"].get(key)) for key in table["keys"]]
    return [row["place"], row["name"], row["job"], *varied, *(row[name] for name in COLUMNS)]


def _plain(value: Any) -> Any:
    """A changed value for one cell."""
    return value if value is None or isinstance(value, (str, int, float)) else json.dumps(value, ensure_ascii=False)


def _line(cells: tuple) -> list[str]:
    """One row of the terminal, over as many lines as its longest cell needs; the state is the last cell."""
    parts = [textwrap.wrap(plain(cell), width - 1) or [""] for cell, width in zip(cells, _SCREEN, strict=True)]
    return [
        "".join((part[at] if at < len(part) else "").ljust(width) for part, width in zip(parts, _SCREEN, strict=True))
        .rstrip() for at in range(max(map(len, parts)))
    ]  # fmt: skip


def _painted(line: str, state: str, colour: bool) -> str:
    if not colour or not line.endswith(state):
        return line
    return f"{line.removesuffix(state)}\x1b[{_COLOURS[state]}m{state}\x1b[0m"
