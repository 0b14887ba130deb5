"""Writes results: a file appears whole or not at all, and nothing that exists is overwritten unasked."""

import os
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from secrets import token_hex

from loadhistories.validation import InputError

STDOUT = "-"


def require_targets(paths: Iterable[str | Path], *, force: bool, inputs: Iterable[str | Path] = ()) -> None:
    """Refuse, before any work is done, the files that could not or must not be written.

    Parameters
    ----------
    paths : iterable of path
        The files to write; "-" stands for standard output and is passed over.
    force : bool
        Whether existing files may be overwritten.
    inputs : iterable of path
        Files that are read: never overwritten, not even with `force`.

    Raises
    ------
    InputError
        With every problem of every path.
    """
    problems: list[str] = []
    kept = {_resolved(path) for path in inputs}
    seen: set[Path] = set()
    for path in paths:
        if str(path) == STDOUT:
            continue
        target = _resolved(path)
        try:
            problem = _objection(target, force=force, kept=kept)
        except (OSError, ValueError) as error:
            problem = f"cannot be written: {getattr(error, 'strerror', None) or error}"
        if target in seen:
            problem = "is asked for twice; give each result a file of its own"
        seen.add(target)
        if problem:
            problems.append(f"{path} {problem}")
    if problems:
        raise InputError(*problems)


def write_whole(contents: Mapping[str | Path, bytes], *, force: bool) -> None:
    """Write the files beside their targets and rename them once all are written; a failed write leaves none.

    Raises
    ------
    InputError
        A file cannot be written, or exists and `force` is not set.
    """
    require_targets(contents, force=force)
    parts: list[tuple[Path, Path]] = []
    path: str | Path = ""
    try:
        for path, content in contents.items():
            target = Path(path).resolve()
            part = target.with_name(f".{target.name}.{os.getpid()}.{token_hex(4)}.part")
            with part.open("xb") as file:
                parts.append((part, target))
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for path, (part, target) in zip(contents, parts, strict=True):  # noqa: B007 (named where writing fails)
            _put(part, target, force=force)
    except FileExistsError as error:
        raise InputError(f"{path} was written by another run meanwhile; use --force to overwrite it") from error
    except OSError as error:
        raise InputError(f"{path} cannot be written: {error.strerror}") from error
    finally:
        for part, _ in parts:
            part.unlink(missing_ok=True)


def make_folder(place: Path) -> None:
    """Make a folder to write into, and those it lies in; one that is there stays as it is.

    Raises
    ------
    InputError
        A file of that name is there, or the folder cannot be made.
    """
    try:
        place.mkdir(parents=True, exist_ok=True)
    except FileExistsError as error:
        raise InputError(f"folder {place} cannot be made: a file of that name is there; give another name") from error
    except OSError as error:
        raise InputError(f"folder {place} cannot be made: {error.strerror}") from error


def print_result(text: str) -> None:
    """Print text on standard output; what its encoding cannot show is replaced by a question mark."""
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    _print_bytes(text.encode(encoding, "replace"))


def print_utf8(text: str) -> None:
    """Print text on standard output in UTF-8 whatever the terminal is set to."""
    _print_bytes(text.encode("utf-8"))


def _print_bytes(content: bytes) -> None:
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise InputError(f"standard output cannot be written: {error.strerror}") from error


def _put(part: Path, target: Path, *, force: bool) -> None:
    """Give the written file its name; without `force` only where nobody took the name meanwhile."""
    if force:
        os.replace(part, target)
        return
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:
        # The disk knows no second names of a file.
        if target.exists():
            raise FileExistsError(target) from None
        os.replace(part, target)


def _resolved(path: str | Path) -> Path:
    """The file behind a path; the path itself where it leads nowhere, as a link to itself, which is refused later."""
    try:
        return Path(path).resolve()
    except (OSError, RuntimeError, ValueError):
        return Path(path).absolute()


def _objection(target: Path, *, force: bool, kept: set[Path]) -> str:
    if target.is_symlink():
        return "is a link that leads to itself; give the name of a file"
    if target in kept:
        return "is one of the inputs; give the result another name"
    if target.is_dir():
        return "is a folder; give the name of a file"
    if target.exists() and not target.is_file():
        return "is no ordinary file; give another name, or - for standard output"
    if target.exists() and not force:
        return "exists already; use --force to overwrite it, or give another name"
    if not target.parent.is_dir():
        return f"cannot be written: there is no folder {target.parent}"
    if not os.access(target.parent, os.W_OK):
        return f"cannot be written: the folder {target.parent} is not writable"
    return ""
