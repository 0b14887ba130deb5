"""Tables with a header and a job in each row: text with separators (.csv), or the first sheet of a workbook (.xlsx)."""

import csv
import io
from pathlib import Path
from typing import Any

from loadhistories.small_files import content_of
from loadhistories.validation import InputError

TABLES = (".csv", ".xlsx")
SEPARATORS = (",", ";", "\t")

Rows = list[tuple[int, list[Any]]]


def read_sheet(path: Path) -> tuple[list[str], Rows]:
    """The header, and every row that is not blank with its number in the file; a blank cell is "" or None.

    Raises
    ------
    InputError
        The file cannot be read, or its rows do not fit its header.
    """
    numbered = _workbook(path) if path.suffix.lower() == ".xlsx" else _text(path)
    numbered = [(number, cells) for number, cells in numbered if any(_filled(cell) for cell in cells)]
    if not numbered:
        raise InputError(f"{path} is empty; its first row names the keys that the other rows vary")
    (first, header), *rows = numbered
    names = [str(cell or "").strip() for cell in header]
    while names and not names[-1]:
        names.pop()
    place = f"({path.name}, row {first})"
    problems = [f"column {number} has no name {place}" for number, name in enumerate(names, start=1) if not name]
    twice = [name for name in dict.fromkeys(names) if name and names.count(name) > 1]
    problems += [f"column {name!r} is there twice {place}" for name in twice]
    fitted = []
    for number, cells in rows:
        over = [cell for cell in cells[len(names) :] if _filled(cell)]
        if over or (path.suffix.lower() != ".xlsx" and len(cells) < len(names)):
            problems.append(f"row {number} has {len(cells)} cells, the header {len(names)} ({path.name})")
        fitted.append((number, [*cells[: len(names)], *[None] * (len(names) - len(cells))]))
    if problems:
        raise InputError(*problems)
    return names, fitted


def _filled(cell: Any) -> bool:
    return cell is not None and str(cell).strip() != ""


def _text(path: Path) -> list[tuple[int, list[str]]]:
    try:
        text = content_of(path, "table of jobs").decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(f"{path} must be text in UTF-8; save it as CSV in UTF-8") from error
    head = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(SEPARATORS, key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found, before = [], 0
    try:
        for cells in reader:
            found.append((before + 1, [cell.strip() for cell in cells]))
            before = reader.line_num
    except csv.Error as error:
        raise InputError(f"{path} is no table: {error} (row {reader.line_num})") from error
    return found


def _workbook(path: Path) -> list[tuple[int, list[Any]]]:
    """Values of the first sheet; a formula must come with the value that it had when the file was saved."""
    try:
        import openpyxl
    except ImportError as error:
        raise InputError(f"{path} needs openpyxl to be read: install griplife[excel], or save it as CSV") from error
    from zipfile import BadZipFile

    content = content_of(path, "table of jobs")
    try:
        values, formulas = (
            openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=wanted) for wanted in (True, False)
        )
    except (BadZipFile, KeyError, ValueError, openpyxl.utils.exceptions.InvalidFileException) as error:
        raise InputError(f"{path} is no workbook that can be read: {error}") from error
    sheet, written = values.worksheets[0], formulas.worksheets[0]
    found, problems = [], []
    for number, (row, source) in enumerate(zip(sheet.values, written.values, strict=True), start=1):
        for place, (value, text) in enumerate(zip(row, source, strict=True)):
            if value is None and text is not None:
                cell = f"{openpyxl.utils.get_column_letter(place + 1)}{number}"
                problems.append(f"cell {cell} is a formula without its value; save {path.name} in a spreadsheet first")
        found.append((number, [value.strip() if isinstance(value, str) else value for value in row]))
    if problems:
        raise InputError(*problems)
    return found
