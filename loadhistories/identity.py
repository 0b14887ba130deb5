"""Which file it was: size and time of its last change while it is in use, SHA-256 of its bytes for the record."""

import hashlib
import os
from pathlib import Path

from loadhistories.validation import InputError

_AT_ONCE = 1 << 20


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


class Hashing:
    """SHA-256 of the stored bytes of a file, made in a second thread while the file is walked.

    Raises
    ------
    InputError
        From `result`: the file cannot be read.
    """

    def __init__(self, path: Path):
        from concurrent.futures import ThreadPoolExecutor

        self._path = path
        self._stopped = False
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="sha256")
        self._digest = self._worker.submit(self._hash)

    def result(self) -> str:
        """The digest, waited for."""
        return self._digest.result()

    def stop(self) -> None:
        """End the thread, whether the file is hashed or not."""
        self._stopped = True
        self._worker.shutdown(wait=True)

    def _hash(self) -> str:
        digest, buffer = hashlib.sha256(), bytearray(_AT_ONCE)
        try:
            with open(self._path, "rb", buffering=0) as stream:
                while not self._stopped and (size := stream.readinto(buffer)):
                    digest.update(memoryview(buffer)[:size])
        except OSError as fault:
            raise unreadable(self._path, fault) from None
        return digest.hexdigest()


def unreadable(path: Path | str, fault: OSError) -> InputError:
    """The refusal of a file that is gone, or that the system does not give."""
    return InputError(f"the file cannot be read: {fault.strerror or fault} ({path})")
