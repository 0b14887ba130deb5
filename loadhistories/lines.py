"""The bytes of a text file in blocks of whole lines that know their line numbers.

Comment lines (#) and blank lines at the file's end fall away here; every other line is passed on.
"""

import gzip
import hashlib
import os
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from loadhistories.validation import InputError, nearest

LONGEST_LINE = 1 << 20


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
    return int(np.count_nonzero(np.frombuffer(data, np.uint8) == ord("\n")))


def read_head(path: Path, size: int) -> tuple[bytes, bool]:
    """The first bytes of a file (unpacked) and whether they are all of it."""
    with open_bytes(path) as stream:
        head = _read(stream, size + 1, str(path))
    return head[:size], len(head) <= size


def line_blocks(path: Path, *, offset: int, first_line: int, size: int) -> Iterator[Block]:
    """Blocks of about `size` bytes from a byte offset at which line `first_line` starts."""
    with open_bytes(path) as stream:
        if offset:
            _read(stream, offset, str(path))
        rest, line = b"", first_line
        while piece := _read(stream, size, str(path)):
            data = rest + piece
            end = _end_of_rows(data)
            rest = _held(data[end:], path, line)
            if end:
                rows = line_ends(data[:end])
                yield _block(line, data[:end], rows, unfinished=False)
                line += rows
        if sound := rest.rstrip(b" \r\n"):
            yield _block(line, sound + b"\n", line_ends(sound) + 1, unfinished=b"\n" not in rest[len(sound) :])


def open_bytes(path: Path):
    """The file's bytes, unpacked where its name ends in .gz."""
    return gzip.open(path) if path.suffix.casefold() == ".gz" else open(path, "rb")


def require_file(path: Path) -> None:
    """Raise InputError, with the nearest file beside it, unless `path` is a file that can be read."""
    if path.is_dir():
        raise InputError(f"a record must be a file, got the folder '{path}'")
    if not path.exists():
        beside = [item.name for item in path.parent.iterdir()] if path.parent.is_dir() else []
        guess = nearest(path.name, beside)
        raise InputError(f"there is no file '{path}'" + (f"; did you mean {guess!r}?" if guess else ""))
    if not os.access(path, os.R_OK):
        raise InputError(f"the file '{path}' may not be read: its rights forbid it")
    if path.stat().st_size == 0:
        raise InputError(f"the file is empty ({path})")


def fingerprint(path: Path) -> tuple[int, int]:
    """Size [bytes] and time of the last change, by which a change between two readings is seen."""
    facts = path.stat()
    return facts.st_size, facts.st_mtime_ns


def sha256_of(path: Path) -> str:
    """SHA-256 of the stored bytes."""
    with open(path, "rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _read(stream, size: int, path: str) -> bytes:
    try:
        return stream.read(size)
    except (EOFError, zlib.error, gzip.BadGzipFile) as fault:
        raise InputError(f"the packed file is damaged or cut short: {fault} ({path})") from None


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
    if b"#" not in data:
        return Block(first_line, data, rows, (), unfinished)
    lines = data.split(b"\n")
    comments = tuple(first_line + i for i, text in enumerate(lines) if text.lstrip().startswith(b"#"))
    kept = b"\n".join(text for text in lines if not text.lstrip().startswith(b"#"))
    return Block(first_line, kept, rows - len(comments), comments, unfinished)
