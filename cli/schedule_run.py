"""Runs a schedule: what is known already is taken, the rest is judged on this computer or on a cluster."""

import os
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import partial

from cli.cautions import ONE_LINE
from cli.schedule import Schedule
from cli.schedule_inputs import Digests, Inputs, code_digest, inputs_of
from cli.schedule_judge import (
    ENDED,
    FAULT,
    KEPT,
    REFUSED,
    ROWS,
    Task,
    judge_parcel,
    judge_there,
    parcel_of,
    require_sendable,
)
from cli.schedule_rows import refused_row, state_of, worst_first
from cli.schedule_state import Kept
from cli.version import version
from loadhistories.validation import InputError

MOST_SENT = 50_000_000


@dataclass(frozen=True)
class Prepared:
    """A schedule with the inputs of each of its jobs; those that cannot be read have none, but an outcome."""

    schedule: Schedule
    inputs: tuple[Inputs | None, ...]
    refused: tuple[dict | None, ...]

    @property
    def tasks(self) -> dict[str, Task]:
        """What is to be judged, by the keys of the inputs: each once, however often it is in the schedule."""
        code, found = code_digest(), {}
        for item, inputs in zip(self.schedule.items, self.inputs, strict=True):
            if inputs is not None:
                found.setdefault(inputs.key, Task(str(item.path), item.changes, inputs.files, code))
        return found

    @property
    def files(self) -> tuple:
        """Every file that is read."""
        named = [
            item.path.parent / name
            for item, inputs in zip(self.schedule.items, self.inputs, strict=True) if inputs is not None
            for name in inputs.files if name
        ]  # fmt: skip
        return tuple(dict.fromkeys((*self.schedule.files, *(item.path for item in self.schedule.items), *named)))


def prepare(schedule: Schedule) -> Prepared:
    """Read every job file and hash what it names; a job that cannot be read is refused and stops no other."""
    digests, inputs, refused = Digests(), [], []
    for item in schedule.items:
        try:
            if item.problems:
                raise InputError(*item.problems)
            inputs.append(inputs_of(item, digests))
            refused.append(None)
        except InputError as refusal:
            folder = os.path.join(item.path.parent, "")
            inputs.append(None)
            refused.append({REFUSED: [problem.replace(folder, "") for problem in refusal.problems]})
    return Prepared(schedule, tuple(inputs), tuple(refused))


def taken(tasks: dict[str, Task], kept: Kept) -> dict[str, dict]:
    """Outcomes of tasks that an earlier run has finished."""
    found = {key: kept.get(key) for key in tasks}
    return {key: outcome for key, outcome in found.items() if outcome is not None}


def judged(tasks: dict[str, Task], kept: Kept, worked: Callable[..., Iterator]) -> Iterator[tuple[str, dict]]:
    """Key and outcome of every task as soon as it is judged; each is kept at once.

    Parameters
    ----------
    worked : callable
        `worked(tasks)` gives number and outcome of each task.
    """
    keys = list(tasks)
    with closing(worked(list(tasks.values()))) as outcomes:
        for number, outcome in outcomes:
            if any(kind in outcome for kind in KEPT):
                kept.put(keys[number], outcome)
            yield keys[number], outcome


def on_cluster(cluster, *, shared: bool) -> Callable[..., Iterator]:
    """What `judged` needs to hand its tasks to a cluster; with `shared` the workers read the files themselves."""

    def worked(tasks: list[Task]) -> Iterator[tuple[int, dict]]:
        if shared:
            yield from cluster.worked(judge_there, [partial(_same, task) for task in tasks])
            return
        sendable = []
        for number, task in enumerate(tasks):
            try:
                require_sendable(task, most=MOST_SENT)
                sendable.append(number)
            except InputError as refusal:
                yield number, {ENDED: "; ".join(refusal.problems)}
        parcels = [partial(parcel_of, tasks[number]) for number in sendable]
        for place, outcome in cluster.worked(judge_parcel, parcels):
            yield sendable[place], outcome

    return worked


def _same(task: Task) -> Task:
    return task


def table_of(prepared: Prepared, outcomes: dict[str, dict]) -> dict:
    """The table of a schedule as plain values: every job with its rows, the worst first.

    A job that was refused, or could not be judged to its end, counts as not judged.
    """
    schedule, rows = prepared.schedule, []
    for item, inputs, refused in zip(schedule.items, prepared.inputs, prepared.refused, strict=True):
        outcome = refused if inputs is None else outcomes[inputs.key]
        head = {"name": item.name, "job": item.job, "changes": {x.key: x.value for x in item.changes}}
        rows += [head | row for row in _rows(outcome)]
    rows = worst_first(rows)
    return {
        "griplife": version(),
        "state": state_of(rows),
        "jobs": len(schedule.items),
        "keys": list(schedule.keys),
        "rows": [{"place": place} | row for place, row in enumerate(rows, start=1)],
        "caution": ONE_LINE,
    }


def faults(outcomes: dict[str, dict]) -> list[str]:
    """What is to be reported of faults of this program."""
    return list(dict.fromkeys(outcome[FAULT] for outcome in outcomes.values() if FAULT in outcome))


def _rows(outcome: dict) -> list[dict]:
    if ROWS in outcome:
        return outcome[ROWS]
    if REFUSED in outcome:
        return [refused_row(f"refused: {'; '.join(outcome[REFUSED])}")]
    return [refused_row(outcome.get(ENDED) or "a fault of griplife, told in the messages")]
