"""MDF files of version 4 as records: one channel group a time base, read part by part."""

import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from numpy.typing import NDArray

from loadhistories.channels import Channel, needed
from loadhistories.dialect import split_unit
from loadhistories.validation import InputError

MAGIC = b"MDF     "
UNFINISHED = b"UnFinMF "
# Bytes to which one packed piece of data may unfold; the standard asks for 4 MB.
MOST_BYTES = 1 << 26

_HEADER = 64
_BLOCK = struct.Struct("<4s4xQQ")
_MOST_BLOCKS = 5_000_000
_TEXT_TYPES = range(6, 16)


def mdf_channels(path: Path) -> list[Channel]:
    """Every channel of numbers; of a channel group its time stands first."""
    held = _require_whole(path)
    with _opened(path) as file:
        _require_held(file, held, path)
        names = _group_names(file)
        return [
            _channel(names[number], number, place, item, group.channel_group.cycles_nr)
            for number, group in enumerate(file.groups)
            for place, item in _time_first(group.channels)
            if item.data_type not in _TEXT_TYPES
        ]


@contextmanager
def mdf_source(path: Path) -> Iterator["MdfSource"]:
    """The open file."""
    with _opened(path) as file:
        yield MdfSource(file, path)


class MdfSource:
    """Reads parts of channels; a key is (number of the channel group, number of the channel), from 0."""

    def __init__(self, file, path: Path):
        self._file = file
        self._path = path

    def read(self, key, start: int, count: int) -> NDArray:
        """Some values of a channel, in the unit that the file states."""
        try:
            signal = self._file.get(
                group=key[0], index=key[1], record_offset=start, record_count=count, ignore_invalidation_bits=True
            )
        except _faults() as fault:
            raise InputError(f"the MDF file is damaged from row {start + 1}: {fault} ({self._path})") from None
        invalid = signal.invalidation_bits
        if invalid is not None and invalid.any():
            row = start + 1 + int(invalid.argmax())
            raise InputError(f"gap (marked invalid) ({self._path}, row {row}, channel {signal.name!r})")
        return signal.samples


@contextmanager
def _opened(path: Path):
    try:
        # What the package imports may warn of its own future.
        with warnings.catch_warnings(action="ignore", category=DeprecationWarning):
            from asammdf import MDF
    except ImportError:
        raise needed("asammdf", "an MDF file", path) from None
    try:
        file = MDF(path)
    except _faults() as fault:
        raise InputError(f"the file is no whole MDF file: {fault} ({path})") from None
    with file:
        yield file


def _faults() -> tuple[type[Exception], ...]:
    """What the package raises where a file is damaged; its unpacker has an error of its own."""
    from asammdf.blocks.utils import MdfException

    known = (OSError, ValueError, KeyError, IndexError, struct.error, TypeError, AttributeError, OverflowError,
             RuntimeError, MemoryError, zlib.error, MdfException)  # fmt: skip
    try:
        from isal import isal_zlib
    except ImportError:
        return known
    return (*known, isal_zlib.error)


def _require_held(file, held: int, path: Path) -> None:
    """Refuse a channel group that states more bytes than the file holds data."""
    for number, group in enumerate(file.groups, start=1):
        stated = group.channel_group
        size = stated.cycles_nr * (stated.samples_byte_nr + stated.invalidation_bytes_nr)
        if size > held:
            raise InputError(
                f"channel group {number} states {stated.cycles_nr} rows in {size} bytes, and the MDF file holds {held} "
                f"bytes of data ({path})"
            )


def _group_names(file) -> list[str]:
    """Name of each channel group: its own or its comment where that is unmistakable, else its number from 1."""
    given = [(group.channel_group.acq_name or group.channel_group.comment or "").strip() for group in file.groups]
    return [
        name if name and given.count(name) == 1 and "<" not in name else str(number)
        for number, name in enumerate(given, start=1)
    ]


def _time_first(channels) -> list[tuple[int, object]]:
    """Channels with their numbers, the master channel in front."""
    return sorted(enumerate(channels), key=lambda item: item[1].channel_type not in (2, 3))


def _channel(group: str, number: int, place: int, item, samples: int) -> Channel:
    name, unit = split_unit(item.name)
    stated = (item.unit or getattr(item.conversion, "unit", "") or "").strip()
    return Channel(name, unit or (stated if stated not in ("", "-") else None), group, samples, None, False,
                   (number, place))  # fmt: skip


def _require_whole(path: Path) -> int:
    """Follow every link from block to block: each must lie within the file and unfold to little. Bytes of all data."""
    held, size = 0, path.stat().st_size
    with open(path, "rb") as stream:
        head = stream.read(_HEADER)
        if head[:8] not in (MAGIC, UNFINISHED):
            raise InputError(f"the file is no MDF file: it does not begin as one ({path})")
        if head[:8] == UNFINISHED:
            raise InputError(f"the MDF file was not finished by its logger: finish or export it first ({path})")
        if head[8:9] != b"4":
            version = head[8:16].decode("ascii", errors="replace").strip()
            raise InputError(f"the MDF file is of version {version}: save it as version 4 ({path})")
        waiting, seen = [_HEADER], {_HEADER}
        while waiting:
            links, data = _links(stream, waiting.pop(), size, path)
            held += data
            for link in links:
                if link and link not in seen:
                    seen.add(link)
                    waiting.append(link)
            if len(seen) > _MOST_BLOCKS:
                raise InputError(f"the MDF file has more than {_MOST_BLOCKS} blocks ({path})")
    return held


def _links(stream, place: int, size: int, path: Path) -> tuple[tuple[int, ...], int]:
    """The places to which the block at a place points, and how many bytes it holds, unfolded."""
    if place > size:
        raise _cut_short(path, place)
    stream.seek(place)
    head = stream.read(_BLOCK.size)
    if len(head) < _BLOCK.size:
        raise _cut_short(path, place)
    tag, length, count = _BLOCK.unpack(head)
    if place + length > size:
        raise _cut_short(path, place)
    if tag[:2] != b"##" or length < _BLOCK.size + 8 * count:
        raise InputError(f"the MDF file is damaged at byte {place} ({path})")
    body, data = stream.read(8 * count), length
    if tag == b"##DZ":
        packed = stream.read(24)
        unfolded, stored = struct.unpack_from("<QQ", packed, 8)
        if unfolded > MOST_BYTES or stored > MOST_BYTES:
            raise InputError(
                f"a packed piece of the MDF file unfolds to {unfolded} bytes, at most {MOST_BYTES} are read at once "
                f"({path}, byte {place})"
            )
        data = unfolded
    return struct.unpack(f"<{count}Q", body), data


def _cut_short(path: Path, place: int) -> InputError:
    return InputError(f"the file is no whole MDF file: it is cut short in the block at byte {place} ({path})")
