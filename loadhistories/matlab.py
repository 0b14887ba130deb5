"""MAT files up to version 7 as records: arrays of numbers, held in memory and therefore of limited size.

Nothing but arrays of real numbers is taken; a file of version 7.3 is HDF5 and is read as such.
"""

import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loadhistories.channels import Channel
from loadhistories.dialect import split_unit
from loadhistories.mat_structure import HEAD, kind_of, require_structure
from loadhistories.validation import InputError

HEADER = b"MATLAB 5.0 MAT-file"
# Bytes of all variables, unpacked: they are held in memory.
MOST_BYTES = 1 << 29

_TEXT = 128
_MATRIX, _COMPRESSED = 14, 15
_AT_ONCE = 1 << 16
_NUMBERS = ("double", "single", *(f"{sign}int{bits}" for sign in ("", "u") for bits in (8, 16, 32, 64)))


def matlab_channels(path: Path) -> list[Channel]:
    """Every variable that is an array of real numbers, and every such field of a structure (its group)."""
    return [_channel(*item) for item in _arrays(path)]


@contextmanager
def matlab_source(path: Path) -> Iterator["MatlabSource"]:
    """The arrays of the file."""
    yield MatlabSource({key: values for _, _, key, values in _arrays(path)})


class MatlabSource:
    """Gives parts of arrays; a key is (structure or "", variable, column)."""

    def __init__(self, values: dict[tuple, NDArray]):
        self._values = values

    def read(self, key, start: int, count: int) -> NDArray:
        """Some values of a channel."""
        return self._values[key][start : start + count]


def _channel(group: str, text: str, key: tuple, values: NDArray) -> Channel:
    name, unit = split_unit(text)
    return Channel(name, unit, group, len(values), None, False, key)


def _arrays(path: Path) -> list[tuple[str, str, tuple, NDArray]]:
    """Group, name, key and values of every channel."""
    import scipy.io
    from scipy.io.matlab import MatReadError

    _require_small(path)
    try:
        kinds = {name: kind for name, _, kind in scipy.io.whosmat(path)}
        wanted = [name for name, kind in kinds.items() if kind in (*_NUMBERS, "struct")]
        held = scipy.io.loadmat(path, variable_names=wanted) if wanted else {}
    except (
        MatReadError, ValueError, TypeError, KeyError, IndexError, ArithmeticError, OSError, EOFError, MemoryError,
        zlib.error,
    ) as fault:  # fmt: skip
        raise InputError(f"the file is no whole MAT file: {fault} ({path})") from None
    found = []
    for name in wanted:
        values = held[name]
        if values.dtype.names and values.size == 1:
            fields = [(name, field, values.flat[0][field]) for field in values.dtype.names]
        else:
            fields = [("", name, values)]
        for group, text, array in fields:
            found += _columns(group, text, array)
    return found


def _columns(group: str, name: str, array) -> list[tuple[str, str, tuple, NDArray]]:
    """The channels of an array: one of a row or a column, else one for each column."""
    if not isinstance(array, np.ndarray) or array.dtype.kind not in "iuf" or array.ndim != 2:
        return []
    if 1 in array.shape:
        return [(group, name, (group, name, 0), array.ravel())]
    return [(group, f"{name} {i + 1}", (group, name, i), array[:, i]) for i in range(array.shape[1])]


def _require_small(path: Path) -> None:
    """Walk from variable to variable: each must end within the file, and all together unpack to little."""
    size, total = path.stat().st_size, 0
    with open(path, "rb") as stream:
        text = stream.read(_TEXT)
        if not text.startswith(HEADER):
            raise InputError(f"the file is no MAT file of version 5 to 7.3: save it as one of these ({path})")
        order = ">" if text[126:128] == b"MI" else "<"
        place = _TEXT
        while place < size:
            stream.seek(place)
            head = stream.read(8)
            kind, length = struct.unpack(f"{order}II", head) if len(head) == 8 else (0, size)
            if place + 8 + length > size:
                raise InputError(f"the file is no whole MAT file: it is cut short in a variable ({path})")
            if kind not in (_MATRIX, _COMPRESSED):
                raise InputError(f"the MAT file is damaged: no variable stands at byte {place} ({path})")
            total += _unpacked(stream, length, MOST_BYTES - total, path) if kind == _COMPRESSED else length
            if total > MOST_BYTES:
                raise _too_large(path)
            _require_sound(stream, place + 8, kind, length, order, path)
            place += 8 + length


def _require_sound(stream, place: int, kind: int, length: int, order: str, path: Path) -> None:
    """Refuse a variable whose elements do not fit; of plain numbers its head is enough, of others all is walked."""

    def content(most: int) -> bytes:
        stream.seek(place)
        if kind == _MATRIX:
            return stream.read(min(length, most))
        whole = zlib.decompressobj().decompress(stream.read(length), most + 8)
        inner, size = struct.unpack(f"{order}II", whole[:8]) if len(whole) >= 8 else (0, 0)
        if inner != _MATRIX:
            raise InputError(f"the MAT file is damaged: a packed variable holds no array ({path})")
        sizes.append(size)
        return whole[8:]

    sizes: list[int] = [length] if kind == _MATRIX else []
    head = content(HEAD)
    plain = kind_of(head, order, path) in range(6, 16)
    require_structure(head if plain else content(MOST_BYTES), sizes[-1], order, path)


def _unpacked(stream, length: int, most: int, path: Path) -> int:
    """Bytes to which a packed variable unfolds; it is unfolded piece by piece and not kept."""
    unpacker, total = zlib.decompressobj(), 0
    try:
        while length > 0 and not unpacker.eof:
            piece = stream.read(min(length, _AT_ONCE))
            length -= len(piece)
            while piece and total <= most:
                total += len(unpacker.decompress(piece, _AT_ONCE))
                piece = unpacker.unconsumed_tail
            if total > most:
                raise _too_large(path)
    except zlib.error as fault:
        raise InputError(f"the MAT file is damaged: {fault} ({path})") from None
    if not unpacker.eof:
        raise InputError(f"the file is no whole MAT file: a packed variable is cut short ({path})")
    return total


def _too_large(path: Path) -> InputError:
    return InputError(
        f"the variables of the MAT file unpack to more than {MOST_BYTES >> 20} MB, which are held in memory: save it "
        f"as version 7.3, or its columns as Parquet ({path})"
    )
