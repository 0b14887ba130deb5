"""TDMS files as records: channels by group, read part by part."""

import struct
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from numpy.typing import NDArray

from loadhistories.channels import Channel, needed
from loadhistories.dialect import split_unit
from loadhistories.validation import InputError

MAGIC = b"TDSm"

_LEAD = struct.Struct("<4sIIQQ")
_BIG_ENDIAN = 1 << 6
_UNFINISHED = (1 << 64) - 1


def tdms_channels(path: Path) -> list[Channel]:
    """Every channel of numbers or time stamps; its unit and step as its properties state them."""
    _require_whole(path)
    with _opened(path) as file:
        return [
            _channel(group.name, item)
            for group in file.groups()
            for item in group.channels()
            if item.dtype.kind in "iufM"
        ]


@contextmanager
def tdms_source(path: Path) -> Iterator["TdmsSource"]:
    """The open file."""
    with _opened(path) as file:
        yield TdmsSource(file, path)


class TdmsSource:
    """Reads parts of channels; a key is (group, channel)."""

    def __init__(self, file, path: Path):
        self._file = file
        self._path = path

    def read(self, key, start: int, count: int) -> NDArray:
        """Some values of a channel."""
        try:
            return self._file[key[0]][key[1]].read_data(start, count)
        except (OSError, ValueError, KeyError, IndexError, struct.error, EOFError) as fault:
            raise InputError(
                f"the TDMS file is damaged: channel {key[1]!r} from row {start + 1}: {fault} ({self._path})"
            ) from None


@contextmanager
def _opened(path: Path):
    try:
        from nptdms import TdmsFile
    except ImportError:
        raise needed("npTDMS", "a TDMS file", path) from None
    # Given an open file, the package reads no index that lies beside it and could tell of other data.
    with open(path, "rb") as stream:
        try:
            file = TdmsFile.open(stream)
        except (OSError, ValueError, KeyError, IndexError, OverflowError, struct.error, EOFError) as fault:
            raise InputError(f"the file is no whole TDMS file: {fault} ({path})") from None
        with file:
            yield file


def _channel(group: str, item) -> Channel:
    name, unit = split_unit(item.name)
    stated = str(item.properties.get("unit_string", "")).strip()
    step = item.properties.get("wf_increment")
    step = float(step) if isinstance(step, (int, float)) and step > 0.0 else None
    unit = unit or (stated if stated not in ("", "-") else None)
    return Channel(name, unit, group, len(item), step, item.dtype.kind == "M", (group, item.name))


def _require_whole(path: Path) -> None:
    """Walk from segment to segment: each must end within the file."""
    size, place, segments = path.stat().st_size, 0, 0
    with open(path, "rb") as stream:
        while place < size:
            stream.seek(place)
            lead = stream.read(_LEAD.size)
            segments += 1
            if len(lead) < _LEAD.size:
                raise _cut_short(path, segments)
            order = ">" if struct.unpack_from("<I", lead, 4)[0] & _BIG_ENDIAN else "<"
            tag, _, _, length, _ = struct.unpack(f"{order}4sIIQQ", lead)
            if tag != MAGIC:
                raise InputError(f"the TDMS file is damaged: segment {segments} does not begin as one ({path})")
            if length == _UNFINISHED or place + _LEAD.size + length > size:
                raise _cut_short(path, segments)
            place += _LEAD.size + length


def _cut_short(path: Path, segment: int) -> InputError:
    return InputError(f"the file is no whole TDMS file: it is cut short in segment {segment} ({path})")
