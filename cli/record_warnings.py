"""Warnings that a record's own faults call for, and that its cleaning does; and the damage before cleaning."""

from collections.abc import Callable, Sequence
from functools import lru_cache

from cli.job_loads import LoadInput
from cli.suggestion import suggestion
from fatigue.assessment import DetailOutcome, StressWalk
from loadhistories.blocks import LoadBlock
from loadhistories.cleaning import Findings, find_faults
from loadhistories.faults import Fault
from loadhistories.history import LoadHistory
from loadhistories.raw import raw_of
from slip.advice import Warning

# Channels times samples up to which faults are looked for unasked.
LOOKED_THROUGH = 2_000_000
# A cleaning that takes more of the damage than this is warned of.
WORTH_A_WARNING = 0.05
SOURCE = "common practice, no source"


def counts_before(
    loads: Sequence[LoadInput], counts: Sequence, walk: Callable[[LoadBlock], StressWalk]
) -> list | None:
    """The counts of every load with its record as it was read; None where cleaning changed no value."""
    if all(load.before is None or load.cleaned.before is load.cleaned.history for load in loads):
        return None
    found = []
    for load, counted in zip(loads, counts, strict=True):
        if load.before is not None:
            again = walk(load.before)
            for chunk in load.before.chunks():
                again.feed(chunk)
            counted = again.counts()
        found.append(counted)
    return found


def damage_of(outcomes: Sequence[DetailOutcome]) -> tuple[float | None, ...]:
    """Damage of each detail, None where it was not judged."""
    return tuple(None if item.result is None else item.result.damage for item in outcomes)


def record_warnings(
    loads: Sequence[LoadInput], details: Sequence[DetailOutcome], before: Sequence[float | None]
) -> tuple[Warning, ...]:
    """Warnings of the records of a joint.

    Parameters
    ----------
    before : sequence of float or None
        Damage of each detail before cleaning, () where cleaning changed no value.
    """
    warnings = [warning for load in loads if (warning := _of_record(load)) is not None]
    for outcome, earlier in zip(details, before, strict=False):
        if outcome.result is None or earlier is None or not earlier > 0.0:
            continue
        share = 1.0 - outcome.result.damage / earlier
        if abs(share) > WORTH_A_WARNING:
            warnings.append(_of_damage(outcome.detail.name, share))
    return tuple(warnings)


def _of_record(load: LoadInput) -> Warning | None:
    if load.cleaned is not None:
        left, paste = load.cleaned.untreated, ""
    else:
        history = load.history
        if load.made is not None or not isinstance(history, LoadHistory) or history.values.size > LOOKED_THROUGH:
            return None
        findings = _findings(history)
        left, paste = findings.faults, suggestion(findings, raw_of(history))
    if not left:
        return None
    advice = [f"see it with griplife look {load.path}", "or record again what was lost"]
    if paste:
        advice[1] = f"if a fault of the sensor, treat it: {_one_line(paste)}"
    return Warning("record-faults", f"{load.name}: {faults_in_words(left)}; counted as it is", SOURCE, tuple(advice))


@lru_cache(maxsize=8)
def _findings(history: LoadHistory) -> Findings:
    """Faults of a history, looked for once for all joints."""
    return find_faults(history)


def faults_in_words(faults: Sequence[Fault]) -> str:
    """The faults of each kind and channel: how many, and the first in full."""
    groups: dict[tuple[str, str], list[Fault]] = {}
    for fault in faults:
        groups.setdefault((fault.kind, fault.channel), []).append(fault)
    texts = []
    for (_, channel), items in groups.items():
        first = items[0]
        where = f"{channel}, " if channel else ""
        when = "" if first.kind in ("drift", "dead", "coarse sampling") else f" at {first.time:.6g} s"
        more = f" and {len(items) - 1} more" if len(items) > 1 else ""
        texts.append(f"{where}{first.words}{when}{more}")
    return "; ".join(texts)


def _one_line(paste: str) -> str:
    """The lines of a suggestion that are no comments, as one line."""
    lines = [line for line in paste.splitlines() if line and not line.startswith("#")]
    whole = [line for k, line in enumerate(lines)
             if not line.startswith("[") or (k + 1 < len(lines) and not lines[k + 1].startswith("["))]  # fmt: skip
    return " ".join(whole) or "griplife look prints the lines to paste"


def _of_damage(name: str, share: float) -> Warning:
    changed = f"takes {100 * share:.3g} % of the damage away" if share > 0 else f"adds {-100 * share:.3g} % of damage"
    return Warning(
        "cleaning-changes-damage", f"{name}: cleaning of the records {changed}; a true peak that is taken for a fault, "
        "a slow load for drift or a cycle for noise is unsafe",
        SOURCE,
        ("compare each change with the record: the JSON lists time, value before and after",),
    )  # fmt: skip
