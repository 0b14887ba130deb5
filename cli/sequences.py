"""Loads that follow one another, as the fatigue of a joint takes them: what is left of each, and each sequence once."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cli.contract_figures import figures_of
from cli.job_loads import LoadInput
from cli.job_sequence import SequenceInput, blocks_of
from fatigue.sequence import remaining_repeats, sequenced_counts
from loadhistories.blocks import LoadBlock


def in_sequence(
    loads: Sequence[LoadInput], counts: Sequence[Sequence], sequences: Sequence[SequenceInput]
) -> tuple[tuple[LoadInput, ...], list]:
    """The loads of a joint and their counts with those that follow one another joined.

    A load of a sequence stays with the repeats that directly follow themselves, and is left out where there are none;
    each sequence is added as a load of its own.
    """
    if not sequences:
        return tuple(loads), list(counts)
    wanted = [blocks_of(item, loads) for item in sequences]
    remaining = remaining_repeats([load.name for load in loads], [load.block.repeats for load in loads], wanted)
    further, joined = sequenced_counts(counts, remaining, wanted)
    left = [
        replace(loads[place], block=replace(loads[place].block, repeats=remaining[place])) for place, _ in further
    ]
    added = [_as_load(item, [loads[place] for place in blocks.members])
             for item, blocks in zip(sequences, wanted, strict=True)]  # fmt: skip
    return (*left, *added), [*(count for _, count in further), *joined]


def chained(name: str, blocks: Sequence[LoadBlock], repeats: float) -> LoadBlock:
    """Blocks one after the other as one; its step is the mean one where theirs differ."""

    def chunks() -> Iterator:
        for block in blocks:
            yield from block.chunks()

    samples = sum(block.samples for block in blocks)
    step = sum(block.span for block in blocks) / samples
    return LoadBlock(name, samples, step, repeats, chunks, sum(block.stored for block in blocks))


def _as_load(item: SequenceInput, members: Sequence[LoadInput]) -> LoadInput:
    blocks = [load.block for load in members]
    block = chained(item.name, blocks, item.occurrence.repeats)
    untimed = ""
    if len({block.step for block in blocks}) > 1:
        untimed = f"{item.name}: its loads have different time steps, so when its cycles occurred is not told"
    return replace(
        members[0], name=item.name, path="", occurrence=item.occurrence, block=block, columns=(), made=None,
        duty=None, untimed=untimed,
    )  # fmt: skip


def lasting_of(load: LoadInput) -> dict:
    """How the record of a load is carried to the life: scale, what it represents, and the duty stated for it."""
    duty = load.duty
    return {
        "scale": load.scale,
        "represents": load.represents,
        "stated_duty": None if duty is None else {
            "text": duty.text, "agrees": duty.agrees, "figures": figures_of((duty,))
        },
    }  # fmt: skip


def sequences_of(job) -> list[dict]:
    """The sequences of a job for the contract."""
    return [
        {
            "name": item.name,
            "order": list(item.order),
            "joint": item.joint or None,
            "occurs": item.occurrence.text,
            "repeats": item.occurrence.repeats,
            "figures": figures_of((item.occurrence,)),
        }
        for item in job.sequences
    ]


def sequence_assumptions(job) -> list[str]:
    """What joining takes for granted."""
    return [
        f"sequence {item.name}: its loads are joined at the values they have, so that they share one zero; what lies "
        "between the end of one and the start of the next holds no further peak; slip is judged for each load by itself"
        for item in job.sequences
    ]
