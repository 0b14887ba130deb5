"""Which file it was: size and time of its last change while it is in use, SHA-256 of its bytes for the record."""

import hashlib
import os
from pathlib import Path

from loadhistories.validation import InputError


def fingerprint(path: Path) -> tuple[int, int, int]:
    """Size [bytes], time of the last change and number on the disk, by which a change between two readings is seen."""
    try:
        facts = os.stat(path)
    except OSError as fault:
        raise unreadable(path, fault) from None
    return facts.st_size, facts.st_mtime_ns, facts.st_ino


def sha256_of(path: Path) -> str:
    """SHA-256 of the stored bytes."""
    try:
        with open(path, "rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as fault:
        raise unreadable(path, fault) from None


def unreadable(path: Path | str, fault: OSError) -> InputError:
    """The refusal of a file that is gone, or that the system does not give."""
    return InputError(f"the file cannot be read: {fault.strerror or fault} ({path})")
