"""The bytes of a text file in blocks of whole lines that know their line numbers.

Comment lines (#) and blank lines at the file's end fall away here; every other line is passed on.
"""

import gzip
import os
import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from loadhistories.identity import unreadable
from loadhistories.validation import InputError, nearest

LONGEST_LINE = 1 << 20
# A packed record of plain numbers unfolds to some 20 times its size; more than MOST_UNFOLDING is no record.
UNFOLDED_FREELY, MOST_UNFOLDING = 1 << 26, 300
COMMENT = re.compile(rb"^[ \t\r\v\f]*#", re.MULTILINE)

_COUNTED_AT_ONCE = 1 << 18


@dataclass(frozen=True)
class Block:
    """Whole lines of a file.

    `first_line` is the line (from 1) at which the block starts, `rows` how many lines it holds, `passed_over`
    are the lines of comments that stood between them, `unfinished` tells that the file ends within its last line.
    """

    first_line: int
    data: bytes
    rows: int
    passed_over: tuple[int, ...]
    unfinished: bool

    def line_of(self, row: int) -> int:
        """Line of the file that holds the row, counted from 0, of this block."""
        line = self.first_line + row
        for comment in self.passed_over:
            line += comment <= line
        return line


def line_ends(data: bytes) -> int:
    """Number of line ends in some bytes."""
    octets = np.frombuffer(data, np.uint8)
    pieces = range(0, octets.size, _COUNTED_AT_ONCE)
    return sum(int(np.count_nonzero(octets[start : start + _COUNTED_AT_ONCE] == ord("\n"))) for start in pieces)


def read_head(path: Path, size: int) -> tuple[bytes, bool]:
    """The first bytes of a file (unpacked) and whether they are all of it."""
    with open_bytes(path) as stream:
        head = read_bytes(stream, size + 1, path)
    return head[:size], len(head) <= size


def line_blocks(path: Path, *, offset: int, first_line: int, size: int) -> Iterator[Block]:
    """Blocks of about `size` bytes from a byte offset at which line `first_line` starts."""
    with open_bytes(path) as stream:
        if offset:
            read_bytes(stream, offset, path)
        rest, line = b"", first_line
        while piece := read_bytes(stream, size, path):
            data = rest + piece
            end = _end_of_rows(data)
            if end:
                whole = data[:end]
                rows = line_ends(whole)
                yield _block(line, whole, rows, unfinished=False)
                line += rows
            rest = _held(data[end:], path, line)
        if sound := rest.rstrip(b" \r\n"):
            yield _block(line, sound + b"\n", line_ends(sound) + 1, unfinished=b"\n" not in rest[len(sound) :])


def open_bytes(path: Path):
    """The file's bytes, unpacked where its name ends in .gz."""
    try:
        return gzip.open(path) if is_packed(path) else open(path, "rb")
    except OSError as fault:
        raise unreadable(path, fault) from None


def is_packed(path: Path) -> bool:
    """Whether the name says that the bytes are packed."""
    return path.suffix.casefold() == ".gz"


def read_bytes(stream, size: int, path: Path) -> bytes:
    """The next bytes of a file; raise InputError where they cannot be read or unpacked."""
    try:
        data = stream.read(size)
        if isinstance(stream, gzip.GzipFile):
            _require_bounded(stream.tell(), path)
        return data
    except (EOFError, zlib.error, gzip.BadGzipFile) as fault:
        raise InputError(f"the packed file is damaged or cut short: {fault} ({path})") from None
    except OSError as fault:
        raise unreadable(path, fault) from None


def _require_bounded(unpacked: int, path: Path) -> None:
    """Refuse a packed file that unfolds as no record does."""
    if unpacked > UNFOLDED_FREELY and unpacked > MOST_UNFOLDING * path.stat().st_size:
        raise InputError(
            f"the packed file unfolds to more than {MOST_UNFOLDING} times its size, as no record does ({path})"
        )


def require_file(path: Path) -> None:
    """Raise InputError, with the nearest file beside it, unless `path` is a file that can be read."""
    try:
        os.stat(path)
    except (OSError, ValueError) as fault:
        # A name too long, with a zero byte in it, or a link to itself; a file that is not there is told below.
        if not isinstance(fault, FileNotFoundError):
            raise InputError(f"the file cannot be read: {getattr(fault, 'strerror', None) or fault} ({path})") from None
    if path.is_dir():
        raise InputError(f"a record must be a file, got the folder '{path}'")
    if not path.exists():
        beside = [item.name for item in path.parent.iterdir()] if path.parent.is_dir() else []
        guess = nearest(path.name, beside)
        raise InputError(f"there is no file '{path}'" + (f"; did you mean {guess!r}?" if guess else ""))
    if not path.is_file():
        raise InputError(f"'{path}' is no ordinary file, but a device or a pipe: save the record as a file")
    if not os.access(path, os.R_OK):
        raise InputError(f"the file '{path}' may not be read: its rights forbid it")
    if path.stat().st_size == 0:
        raise InputError(f"the file is empty ({path})")


def _held(data: bytes, path: Path, line: int) -> bytes:
    """What is kept back for the next block: the start of a line, or blank lines that may end the file."""
    if len(data) > LONGEST_LINE:
        raise InputError(f"no row ends within {LONGEST_LINE} bytes ({path}, from line {line})")
    return data


def _end_of_rows(data: bytes) -> int:
    """Byte behind the last whole line that is not blank; 0 if there is none."""
    whole = data.rfind(b"\n") + 1
    near = max(0, whole - 4096)
    tail = data[near:whole].rstrip(b" \r\n")
    length = near + len(tail) if tail else len(data[:near].rstrip(b" \r\n"))
    return data.index(b"\n", length) + 1 if length else 0


def _block(first_line: int, data: bytes, rows: int, *, unfinished: bool) -> Block:
    if b"#" not in data or not COMMENT.search(data):
        return Block(first_line, data, rows, (), unfinished)
    lines = data.split(b"\n")
    comments = tuple(first_line + i for i, text in enumerate(lines) if text.lstrip().startswith(b"#"))
    kept = b"\n".join(text for text in lines if not text.lstrip().startswith(b"#"))
    return Block(first_line, kept, rows - len(comments), comments, unfinished)
