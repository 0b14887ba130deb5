"""HDF5 files as records, MAT files of version 7.3 among them: one data set a channel, read slice by slice.

Data sets that point to other files are refused, so that a record is what its file holds.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loadhistories.channels import Channel, needed
from loadhistories.dialect import split_unit
from loadhistories.validation import InputError

MOST_COLUMNS = 1000
# Bytes of one stored piece of a data set, which is unpacked whole.
MOST_BYTES = 1 << 28

_UNIT_KEYS = ("unit", "units", "Unit", "Units")
_NUMBERS = {b"double", b"single", *(f"{sign}int{bits}".encode() for sign in ("", "u") for bits in (8, 16, 32, 64))}


def hdf5_channels(path: Path) -> list[Channel]:
    """Every data set of numbers: of one dimension, of two (a channel for each column), or a table of fields."""
    found: list[Channel] = []
    with _opened(path) as file:
        matlab = _is_matlab(path)

        def visit(name: str, item) -> None:
            if hasattr(item, "shape") and hasattr(item, "dtype"):
                found.extend(_channels_of(name, item, matlab, path))

        try:
            file.visititems(visit)
        except (RuntimeError, OSError, KeyError, ValueError) as fault:
            if isinstance(fault, InputError):
                raise
            raise InputError(f"the HDF5 file is damaged: {fault} ({path})") from None
    return found


@contextmanager
def hdf5_source(path: Path) -> Iterator["Hdf5Source"]:
    """The open file."""
    with _opened(path) as file:
        yield Hdf5Source(file, path)


class Hdf5Source:
    """Reads parts of data sets; a key is (name, field or "", column or -1, whether a row is a channel)."""

    def __init__(self, file, path: Path):
        self._file = file
        self._path = path

    def read(self, key, start: int, count: int) -> NDArray:
        """Some values of a channel."""
        name, field, column, across = key
        rows = slice(start, start + count)
        try:
            item = self._file[name]
            if field:
                return item.fields(field)[rows]
            if column < 0:
                return item[rows]
            return item[column, rows] if across else item[rows, column]
        except (OSError, KeyError, ValueError, RuntimeError) as fault:
            raise InputError(
                f"the HDF5 file is damaged: data set {name!r} from row {start + 1}: {fault} ({self._path})"
            ) from None


@contextmanager
def _opened(path: Path):
    try:
        import h5py
    except ImportError:
        raise needed("h5py", "an HDF5 file", path) from None
    try:
        file = h5py.File(path, "r", locking=False)
    except OSError as fault:
        raise InputError(f"the file is no whole HDF5 file: {fault} ({path})") from None
    with file:
        yield file


def _is_matlab(path: Path) -> bool:
    with open(path, "rb") as stream:
        return stream.read(10) == b"MATLAB 7.3"


def _channels_of(name: str, item, matlab: bool, path: Path) -> list[Channel]:
    group, _, last = name.rpartition("/")
    if matlab and item.attrs.get("MATLAB_class") not in _NUMBERS:
        return []
    if item.dtype.names:
        fields = [field for field in item.dtype.names if _is_number(item.dtype[field]) and item.ndim == 1]
        parts = [(field, (name, field, -1, False), item.shape[0]) for field in fields]
    elif not _is_number(item.dtype) or item.ndim not in (1, 2):
        return []
    else:
        parts = _columns(name, last, item.shape, matlab)
    if parts:
        _require_held(name, item, path)
    stated = _stated_unit(item.attrs)
    return [_channel(text, stated, group, samples, key) for text, key, samples in parts]


def _channel(text: str, stated: str | None, group: str, samples: int, key) -> Channel:
    name, unit = split_unit(text)
    return Channel(name, unit or stated, group, samples, None, False, key)


def _columns(name: str, last: str, shape: tuple[int, ...], matlab: bool) -> list[tuple]:
    """Text, key and length of each channel of an array of numbers; MAT files store rows and columns exchanged."""
    if len(shape) == 1:
        return [(last, (name, "", -1, False), shape[0])]
    if 1 in shape:
        across = shape[0] == 1
        return [(last, (name, "", 0, across), max(shape))]
    samples, width = reversed(shape) if matlab else shape
    if width > MOST_COLUMNS:
        return []
    return [(f"{last} {i + 1}", (name, "", i, matlab), samples) for i in range(width)]


def _is_number(dtype: np.dtype) -> bool:
    return dtype.kind in "iuf" and not dtype.shape


def _stated_unit(attributes) -> str | None:
    for key in _UNIT_KEYS:
        text = attributes.get(key)
        text = text.decode("utf-8", errors="replace") if isinstance(text, bytes) else text
        if isinstance(text, str) and text.strip() not in ("", "-"):
            return text.strip()
    return None


def _require_held(name: str, item, path: Path) -> None:
    """Refuse a data set whose values stand in another file, are missing, or unpack beyond measure."""
    if item.is_virtual or item.external:
        raise InputError(f"data set {name!r} points to values in another file: give that file instead ({path})")
    if item.size and not item.id.get_storage_size():
        raise InputError(f"data set {name!r} states {item.shape[0]} rows and holds no value ({path})")
    if item.chunks is not None and int(np.prod(item.chunks, dtype=object)) * item.dtype.itemsize > MOST_BYTES:
        raise InputError(
            f"data set {name!r} is stored in pieces of {item.chunks} values, more than are read at once: store it in "
            f"smaller pieces ({path})"
        )
