"""Reads a one-sided spectral density of a stress from a table of two columns."""

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loadhistories.small_files import content_of
from loadhistories.validation import InputError

FREQUENCY_UNIT = "Hz"
DENSITY_UNITS = ("MPa2/Hz", "MPa^2/Hz", "MPa²/Hz")
_LIKE = '"Frequency [Hz],Density [MPa2/Hz]"'


def read_density(path: str | Path) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Frequencies [Hz] and densities [MPa2/Hz] of a CSV file, in the order of its lines.

    The first line names both columns with their units in brackets; each further line holds two numbers with a
    decimal point.

    Raises
    ------
    InputError
        The file cannot be read, the first line does not state the units, or a line is not two numbers.
    """
    return density_of(content_of(path, "density"), Path(path))


def density_of(content: bytes, path: Path) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Frequencies [Hz] and densities [MPa2/Hz] of what `path` holds, as `read_density` gives them."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(f"{path} cannot be read as text: {error}") from error
    lines = [(number, row) for number, row in enumerate(csv.reader(text.splitlines()), start=1) if any(row)]
    if not lines:
        raise InputError(f"{path.name} is empty; give a table that begins with {_LIKE}")
    _require_units(lines[0][1], path)
    rows = [_numbers(row, number, path) for number, row in lines[1:]]
    table = np.array(rows, dtype=np.float64).reshape(-1, 2)
    return table[:, 0], table[:, 1]


def _require_units(heads: list[str], path: Path) -> None:
    units = [head.strip().partition("[")[2].removesuffix("]").strip() for head in heads]
    if len(units) != 2 or units[0] != FREQUENCY_UNIT or units[1] not in DENSITY_UNITS:
        raise InputError(f"the first line of {path.name} must name columns and units as in {_LIKE}, got {heads}")


def _numbers(row: list[str], number: int, path: Path) -> tuple[float, float]:
    try:
        frequency, density = (float(cell) for cell in row)
    except ValueError:
        raise InputError(f"line {number} of {path.name} must be two numbers, got {','.join(row)!r}") from None
    return frequency, density
