"""What is read in, made sound and checked at the door: histories, units, occurrences."""

from loadhistories.blocks import COMPONENTS, LoadBlock, Term, block_of_arrays, block_of_history
from loadhistories.history import LoadHistory
from loadhistories.reading import open_record, read_history
from loadhistories.record import Record
from loadhistories.validation import InputError

__all__ = [
    "COMPONENTS",
    "InputError",
    "LoadBlock",
    "LoadHistory",
    "Record",
    "Term",
    "block_of_arrays",
    "block_of_history",
    "open_record",
    "read_history",
]
