"""Walks a variable of a MAT file of version 5 before it is read: its reader trusts what the file says of itself."""

import struct
from collections.abc import Iterator
from pathlib import Path

from loadhistories.validation import InputError

MATRIX = 14
# Bytes from which a variable of plain numbers can be told: its flags, dimensions, name and the head of its values.
HEAD = 4096

_BYTES = {1: 1, 2: 1, 3: 2, 4: 2, 5: 4, 6: 4, 7: 4, 9: 8, 12: 8, 13: 8, 16: 1, 17: 2, 18: 4}
_CELL, _STRUCT, _OBJECT, _TEXT, _SPARSE = 1, 2, 3, 4, 5
_NUMBERS = range(6, 16)
_COMPLEX, _DEEPEST = 0x0800, 20


def kind_of(variable: bytes, order: str, path: Path) -> int:
    """The class of a variable: 6 to 15 for numbers, 2 for a structure."""
    kind, length, start, _ = _element(variable, 0, len(variable), order, path)
    if kind != 6 or length != 8:
        raise _damaged(path, "a variable has no flags")
    return struct.unpack_from(f"{order}I", variable, start)[0] & 0xFF


def require_structure(variable: bytes, size: int, order: str, path: Path, depth: int = 0) -> None:
    """Refuse a variable whose elements are of no known kind, or do not hold what its dimensions say.

    Parameters
    ----------
    variable : bytes
        What stands in the variable; of plain numbers the first HEAD bytes are enough.
    size : int
        Bytes of the whole variable.

    Raises
    ------
    InputError
        The variable is damaged.
    """
    if depth > _DEEPEST:
        raise _damaged(path, "structures within each other without end")
    kind = kind_of(variable, order, path)
    flags = struct.unpack_from(f"{order}I", variable, 8)[0]
    found, length, start, end = _element(variable, 16, size, order, path)
    if kind == 17:
        # An object of no public form: its elements are others, and its values are not asked for.
        return
    if found != 5 or length < 8 or length % 4:
        raise _damaged(path, "a variable has no dimensions")
    shape = struct.unpack_from(f"{order}{length // 4}i", _held(variable, start, length, path), 0)
    if min(shape) < 0:
        raise _damaged(path, f"a variable has the dimensions {shape}")
    count = 1
    for extent in shape:
        count *= extent
    found, length, _, end = _element(variable, end, size, order, path)
    if found not in (1, 2, 16):
        raise _damaged(path, "a variable has no name")
    if kind in _NUMBERS:
        for _ in range(2 if flags & _COMPLEX else 1):
            end = _require_values(variable, end, size, count, order, path)
    elif kind in (_TEXT, _SPARSE):
        for found, _, _ in _elements(variable, end, size, order, path):
            if found not in _BYTES:
                raise _damaged(path, f"values of the kind {found}")
    elif kind in (_CELL, _STRUCT, _OBJECT):
        for found, start, length in _elements(variable, end, size, order, path):
            if found == MATRIX and length:
                require_structure(variable[start : start + length], length, order, path, depth + 1)
            elif found not in (*_BYTES, MATRIX):
                raise _damaged(path, f"a field of the kind {found}")


def _require_values(variable: bytes, place: int, size: int, count: int, order: str, path: Path) -> int:
    found, length, _, end = _element(variable, place, size, order, path)
    if found not in _BYTES:
        raise _damaged(path, f"values of the kind {found}")
    if length != count * _BYTES[found]:
        raise _damaged(path, f"{count} values are stated and {length} bytes of kind {found} held")
    return end


def _elements(variable: bytes, place: int, size: int, order: str, path: Path) -> Iterator[tuple[int, int, int]]:
    """Kind, first byte and length of every further element."""
    while place < size:
        found, length, start, place = _element(variable, place, size, order, path)
        yield found, start, length


def _element(variable: bytes, place: int, size: int, order: str, path: Path) -> tuple[int, int, int, int]:
    """Kind, length, first byte and end of the element at a place; it must end within the variable."""
    word = struct.unpack_from(f"{order}I", _held(variable, place, 8, path), 0)[0]
    if word >> 16:
        kind, length, start, end = word & 0xFFFF, word >> 16, place + 4, place + 8
        if length > 4:
            raise _damaged(path, f"{length} bytes where 4 have room")
    else:
        kind, length = word, struct.unpack_from(f"{order}I", variable, place + 4)[0]
        start = place + 8
        end = start + length + -length % 8
    if start + length > size:
        raise _damaged(path, "a variable ends before its values")
    return kind, length, start, end


def _held(variable: bytes, place: int, length: int, path: Path) -> bytes:
    part = variable[place : place + length]
    if len(part) < length:
        raise _damaged(path, "a variable is cut short")
    return part


def _damaged(path: Path, what: str) -> InputError:
    return InputError(f"the MAT file is damaged: {what} ({path})")
