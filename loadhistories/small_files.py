"""Files that are read whole: ordinary ones of a bounded size, never a folder, a device or a pipe."""

import os
import stat
from pathlib import Path

from loadhistories.validation import InputError

LARGEST = 10_000_000


def content_of(path: str | Path, what: str, *, most: int = LARGEST) -> bytes:
    """The bytes of a file.

    Parameters
    ----------
    what : str
        What the file is to be, such as "job file", for the refusal.
    most : int
        Bytes that it may have.

    Raises
    ------
    InputError
        There is no such file, it is no ordinary one, it is too large, or the system does not give it.
    """
    try:
        facts = os.stat(path)
        if stat.S_ISDIR(facts.st_mode):
            raise InputError(f"{path} is a folder; give the {what} in it")
        if not stat.S_ISREG(facts.st_mode):
            raise InputError(f"{path} is no ordinary file, but a device or a pipe; give a {what}")
        with open(path, "rb") as file:
            content = file.read(most + 1)
    except FileNotFoundError as error:
        raise InputError(f"{path} is not there; give the path of a {what}") from error
    except (OSError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        # A name with a zero byte in it is a ValueError.
        raise InputError(f"{path} cannot be read: {getattr(error, 'strerror', None) or error}") from error
    if len(content) > most:
        size = max(facts.st_size, len(content))
        raise InputError(f"{path} has {size} bytes, too many for a {what}; is it a record?")
    return content
