"""Blocks that follow one another: their counts joined, so that cycles which exist only between blocks are counted.

A stay at high stress and a stay at low stress hold no large cycle; going from one to the other and back is one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

from fatigue.count import CycleCount
from loadhistories.validation import InputError, require_positive

# A block may fall short of its place in the sequences by this share, for rounding.
ROUNDING = 1e-9


@dataclass(frozen=True)
class BlockSequence:
    """Blocks in the order in which they follow one another.

    Attributes
    ----------
    name : str
    members : tuple of int
        Place of each block in the list of all; a block may stand in it several times.
    times : float
        How often the sequence occurs in the design life, one after the other. [-]
    """

    name: str
    members: tuple[int, ...]
    times: float


def remaining_repeats(
    names: Sequence[str], repeats: Sequence[float], sequences: Sequence[BlockSequence], *, place: str = ""
) -> tuple[float, ...]:
    """How often each block occurs besides once at each of its places in the sequences; 0 where that is all. [-]

    Raises
    ------
    InputError
        A sequence has less than two places or is not repeated above 0 times; a block stands in two sequences, or
        occurs less often than its sequence asks.
    """
    problems, left, owner = [], list(repeats), {}
    for item in sequences:
        require_positive(item.times, f"repeats of sequence {item.name!r}", place=place)
        if len(item.members) < 2:
            problems.append(f"sequence {item.name!r} must name at least two blocks that follow one another")
        for member in dict.fromkeys(item.members):
            if owner.setdefault(member, item.name) != item.name:
                problems.append(
                    f"block {names[member]!r} stands in the sequences {owner[member]!r} and {item.name!r}; a block "
                    "can be joined in one only: give its record to a second block for the other"
                )
                continue
            wanted = item.times * item.members.count(member)
            if repeats[member] < wanted * (1.0 - ROUNDING):
                problems.append(
                    f"sequence {item.name!r} needs block {names[member]!r} {wanted:.6g} times in the design life, "
                    f"but it occurs {repeats[member]:.6g} times"
                )
            left[member] = repeats[member] - wanted
            if left[member] <= ROUNDING * repeats[member]:
                left[member] = 0.0
    if problems:
        raise InputError(*problems)
    return tuple(left)


def joined_count(counts: Sequence[CycleCount]) -> CycleCount:
    """The count of blocks that follow one another, once through, in this order.

    Examples
    --------
    >>> from fatigue.cycles import count_cycles
    >>> low, high = count_cycles([0.0, 1.0, 0.0]), count_cycles([10.0, 9.0, 10.0])
    >>> sorted(joined_count([low, high]).repeated(100.0).ranges.tolist())[-1]
    10.0
    """
    return reduce(lambda first, second: first + second, counts)


def sequenced_counts(
    counts_by_block: Sequence[Sequence[CycleCount]], remaining: Sequence[float], sequences: Sequence[BlockSequence]
) -> tuple[list[tuple[int, list[CycleCount]]], list[list[CycleCount]]]:
    """Counts by which the life is judged where blocks follow one another.

    Parameters
    ----------
    counts_by_block : sequence, a block each
        The count of every history, each block once through.
    remaining : sequence of float
        From `remaining_repeats`.

    Returns
    -------
    further : list of (int, list of CycleCount)
        Place of each block that is left over, and its counts, to be repeated `remaining` times: of a block in a
        sequence what each further repeat adds, of another block its own count.
    joined : list of list of CycleCount
        For each sequence the counts of all histories once through it, to be repeated its `times`.
    """
    within = {member for item in sequences for member in item.members}
    further = [
        (place, [count.further for count in counts] if place in within else list(counts))
        for place, counts in enumerate(counts_by_block)
        if remaining[place] > 0.0
    ]
    members = [[counts_by_block[member] for member in item.members] for item in sequences]
    joined = [[joined_count(histories) for histories in zip(*blocks, strict=True)] for blocks in members]
    return further, joined

