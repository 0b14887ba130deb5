"""One quick pass over a text file before it is read: how many rows it holds; of a packed file also its SHA-256."""

import gzip
import hashlib
import io
from collections.abc import Iterator
from pathlib import Path

from loadhistories.identity import sha256_of, unreadable
from loadhistories.lines import COMMENT, LONGEST_LINE, is_packed, line_blocks, line_ends, read_bytes
from loadhistories.validation import InputError

_AT_ONCE = 1 << 20
_NEAR_THE_END = 4096
_BLANK = b" \r\n"


def survey(path: Path, *, offset: int, first_line: int) -> tuple[int, str]:
    """Number of rows from a byte offset (of the unpacked text) on, and the SHA-256 of all stored bytes.

    The latter only of a packed file, which takes longer to unpack than to hash; "" of another one.

    Parameters
    ----------
    first_line : int
        Line, from 1, that starts at the offset.

    Raises
    ------
    InputError
        The file cannot be read, is a damaged packed file, or holds a line without end.
    """
    digest = hashlib.sha256()
    packed = is_packed(path)
    try:
        rows = _rows(_unpacked(path, digest) if packed else _plain(path), path, offset, first_line)
    except OSError as fault:
        raise unreadable(path, fault) from None
    if rows is not None:
        return rows, digest.hexdigest() if packed else ""
    blocks = line_blocks(path, offset=offset, first_line=first_line, size=_AT_ONCE)
    return sum(block.rows for block in blocks), sha256_of(path) if packed else ""


def _rows(pieces: Iterator[tuple[bytes | bytearray, int]], path: Path, offset: int, first_line: int) -> int | None:
    """Lines up to the last one that is not blank; None where comments stand among them.

    `since` is the number of bytes behind the last of `complete` rows.
    """
    rows, complete, ends, passed, since = 0, 0, 0, 0, 0
    for data, size in pieces:
        start = min(max(offset - passed, 0), size)
        passed += size
        text = memoryview(data)[start:size]
        if data.find(b"#", start, size) >= 0 and COMMENT.search(text):
            return None
        filled, found = _filled(text), line_ends(text)
        since += len(text)
        if filled:
            rows = ends + found - line_ends(text[filled:]) + 1
            closed = data.find(b"\n", start + filled, size)
            if closed >= 0:
                complete, since = rows, size - closed - 1
            elif found:
                complete, since = rows - 1, size - data.rfind(b"\n", start, size) - 1
        if since > LONGEST_LINE:
            raise InputError(f"no row ends within {LONGEST_LINE} bytes ({path}, from line {first_line + complete})")
        ends += found
    return rows


def _filled(text: memoryview) -> int:
    """Byte behind the last one that is not blank; 0 where all are blank."""
    near = max(0, len(text) - _NEAR_THE_END)
    tail = bytes(text[near:]).rstrip(_BLANK)
    return near + len(tail) if tail else len(bytes(text[:near]).rstrip(_BLANK))


def _plain(path: Path) -> Iterator[tuple[bytearray, int]]:
    """The bytes piece by piece, in one buffer."""
    buffer = bytearray(_AT_ONCE)
    with open(path, "rb", buffering=0) as file:
        while size := file.readinto(buffer):
            yield buffer, size


def _unpacked(path: Path, digest) -> Iterator[tuple[bytes, int]]:
    """The unpacked bytes piece by piece, while the stored ones are hashed."""
    with _HashedFile(path, digest) as stored, io.BufferedReader(stored, _AT_ONCE) as buffered:
        stream = gzip.GzipFile(fileobj=buffered)
        while data := read_bytes(stream, _AT_ONCE, path):
            yield data, len(data)


class _HashedFile(io.FileIO):
    """A file whose bytes are hashed as they are read."""

    def __init__(self, path: Path, digest):
        super().__init__(path)
        self._digest = digest

    def readinto(self, buffer) -> int:
        """Fill the buffer with the next bytes; their number."""
        count = super().readinto(buffer)
        self._digest.update(memoryview(buffer)[:count])
        return count
