"""Which format a file is in, by its ending and its first bytes, and the table that reads it.

A file that says one thing by its name and another by its bytes is refused, and so is an archive: nothing is taken
out of one.
"""

import csv
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from loadhistories.arrays import array_table
from loadhistories.channels import Channel, channel_table
from loadhistories.columnar import parquet_table
from loadhistories.dialect import HEAD_BYTES, is_number, sniff
from loadhistories.identity import unreadable
from loadhistories.lines import read_head
from loadhistories.record import Table
from loadhistories.rows import TextTable
from loadhistories.validation import InputError, nearest

TEXT_ENDINGS = (".csv", ".txt", ".tsv", ".asc", ".dat")
TEXT, PACKED, PARQUET, ARRAY, ARROW, MATLAB, HDF5, TDMS, MDF = (
    "text", "packed text", "Parquet", "a NumPy array", "Arrow", "MATLAB", "HDF5", "TDMS", "MDF",
)  # fmt: skip
_BY_ENDING = {
    **dict.fromkeys(TEXT_ENDINGS, TEXT),
    **dict.fromkeys((f"{ending}.gz" for ending in TEXT_ENDINGS), PACKED),
    ".parquet": PARQUET,
    ".npy": ARRAY,
    **dict.fromkeys((".arrow", ".arrows", ".feather", ".ipc"), ARROW),
    ".mat": MATLAB,
    **dict.fromkeys((".h5", ".hdf5", ".hdf"), HDF5),
    ".tdms": TDMS,
    ".mf4": MDF,
}
ENDINGS = tuple(_BY_ENDING)

_FIRST_BYTES = 1024
_ARCHIVE = "an archive"
# First bytes, the place where they stand, and the format that they tell of.
_SIGNS = (
    (b"PAR1", 0, PARQUET), (b"\x93NUMPY", 0, ARRAY), (b"ARROW1", 0, ARROW), (b"FEA1", 0, "Feather version 1"),
    (b"\x89HDF\r\n\x1a\n", 0, HDF5), (b"\x89HDF\r\n\x1a\n", 512, "MATLAB 7.3"), (b"MATLAB 5.0", 0, MATLAB),
    (b"TDSm", 0, TDMS), (b"MDF     ", 0, MDF), (b"UnFinMF ", 0, MDF), (b"\x1f\x8b", 0, PACKED),
    (b"PK\x03\x04", 0, _ARCHIVE), (b"PK\x05\x06", 0, _ARCHIVE), (b"ustar", 257, _ARCHIVE),
    (b"7z\xbc\xaf\x27\x1c", 0, _ARCHIVE), (b"Rar!", 0, _ARCHIVE), (b"BZh", 0, "bzip2"), (b"\xfd7zXZ", 0, "xz"),
    (b"\x28\xb5\x2f\xfd", 0, "zstd"), (b"\xd0\xcf\x11\xe0", 0, "an old office document"), (b"%PDF", 0, "PDF"),
)  # fmt: skip
_ARCHIVE_ENDINGS = (".zip", ".tar", ".tgz", ".tar.gz", ".7z", ".rar", ".bz2", ".xz", ".zst")


def open_table(
    file: Path,
    *,
    names: Sequence[str] | None = None,
    missing: tuple[str, ...] = (),
    layout: dict | None = None,
    group: str | None = None,
    columns: Sequence[str] | None = None,
    time_column: str | None = None,
) -> Table:
    """The table of a file.

    Parameters
    ----------
    names, missing, columns, time_column
        As for `loadhistories.reading.open_record`.
    layout : dict, optional
        What the user says of a text file: delimiter, decimal, header_line, encoding.
    group : str, optional
        The part of the file that is wanted, where the format knows parts.

    Raises
    ------
    InputError
        The ending is unknown, or the file is in another format than its name says.
    """
    found = _format_of(file)
    if found not in (TEXT, PACKED) and layout:
        raise InputError(f"{next(iter(layout))} is for text files only ({file})")
    if found not in (MATLAB, "MATLAB 7.3", HDF5, TDMS, MDF) and group is not None:
        raise InputError(f"group is for files that hold groups of channels, {found} holds none ({file})")
    if found not in (TEXT, PACKED, ARRAY) and names is not None:
        raise InputError(f"names are for files without header, {found} states its own ({file})")
    if found in (TEXT, PACKED):
        return _text_table(file, names, missing, layout or {})
    numbers = tuple(float(text) for text in missing if is_number(text, "."))
    if found == ARRAY:
        return array_table(file, names, numbers)
    if found == PARQUET:
        return parquet_table(file, numbers)
    if found == ARROW:
        from loadhistories.feather import arrow_table

        return arrow_table(file, numbers)
    channels, opener = _channels_of(found, file)
    return channel_table(
        file, channels, description=found, opener=partial(opener, file), group=group, columns=columns,
        time_column=time_column, missing=numbers,
    )  # fmt: skip


def _format_of(file: Path) -> str:
    """The format that name and first bytes agree on."""
    name = file.name.casefold()
    if name.endswith(_ARCHIVE_ENDINGS) and not name.endswith(ENDINGS):
        raise InputError(f"an archive is not looked into: unpack it and give the record itself ({file})")
    ending = max((ending for ending in ENDINGS if name.endswith(ending)), key=len, default="")
    if not ending:
        guess = nearest(file.suffix, ENDINGS)
        hint = f"; did you mean {guess!r}?" if guess else ""
        raise InputError(f"ending {file.suffix!r} is unknown{hint}; known: {', '.join(ENDINGS)} ({file})")
    named, held = _BY_ENDING[ending], _told(file)
    if held == "MATLAB 7.3" and named in (MATLAB, HDF5):
        return held
    if held and held != named:
        raise _misnamed(file, ending, named, held)
    return named


def _misnamed(file: Path, ending: str, named: str, held: str) -> InputError:
    if held == _ARCHIVE:
        return InputError(f"the file holds an archive, which is not looked into: unpack it first ({file})")
    right = [word for word, kind in _BY_ENDING.items() if kind == held]
    mend = f": name it *{right[0]}" if right else ": save it as one of the known formats"
    return InputError(f"the file is {named} by its ending {ending!r} and {held} by its bytes{mend} ({file})")


def _told(file: Path) -> str:
    """The format that the first bytes tell of, "" where they tell of none."""
    try:
        with open(file, "rb") as stream:
            head = stream.read(_FIRST_BYTES)
    except OSError as fault:
        raise unreadable(file, fault) from None
    return next((kind for sign, place, kind in _SIGNS if head[place : place + len(sign)] == sign), "")


def _text_table(file: Path, names: Sequence[str] | None, missing: tuple[str, ...], layout: dict) -> TextTable:
    """A text file, by its first lines."""
    head, whole = read_head(file, HEAD_BYTES)
    given = None if names is None else tuple(names)
    try:
        dialect = sniff(head, str(file), whole=whole, missing=missing, names=given, **layout)
    except csv.Error as fault:
        raise InputError(f"the first lines cannot be split into cells: {fault} ({file})") from None
    return TextTable(file, dialect, missing)


def _channels_of(found: str, file: Path) -> tuple[list[Channel], Callable]:
    """All channels of a file, and what opens it to read them."""
    if found == TDMS:
        from loadhistories.tdms import tdms_channels, tdms_source

        return tdms_channels(file), tdms_source
    if found == MDF:
        from loadhistories.mdf import mdf_channels, mdf_source

        return mdf_channels(file), mdf_source
    if found == MATLAB:
        from loadhistories.matlab import matlab_channels, matlab_source

        return matlab_channels(file), matlab_source
    from loadhistories.hdf5 import hdf5_channels, hdf5_source

    return hdf5_channels(file), hdf5_source
