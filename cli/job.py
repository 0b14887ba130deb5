"""Job: what a job file says, read and checked as a whole; every problem of the file is found at once."""

import hashlib
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cli.job_changes import Change, Changed, changed
from cli.job_frame import FrameInput, read_frame
from cli.job_joint import JointInput, read_joint
from cli.job_loads import LoadInput, Records, read_load
from cli.job_note import NoteHead, read_note
from cli.job_past import PastDuty, read_past, require_known
from cli.job_random import Densities
from cli.job_runway import read_cranes
from cli.job_sequence import SequenceInput, read_sequences
from cli.keys import Keys
from fatigue.random_stress import RandomTask
from loadhistories.occurrence import YEAR
from loadhistories.small_files import content_of
from loadhistories.tables import recalled_rows
from loadhistories.validation import InputError

# Tables and lists of a job stand at most so deep within each other.
DEEPEST = 50


@dataclass(frozen=True, eq=False)
class Job:
    """A job file, in N, mm, MPa and s.

    Attributes
    ----------
    path, sha256, bytes : Path, str, int
        The file as it was read.
    design_life : float
        [s]
    basis : dict
        What the safety of the fatigue strength depends on, by the keys of the standard.
    assumptions : tuple of str
        What the file left to us; those of a joint stand with the joint.
    past : tuple of PastDuty
        What the joints have served before.
    frames : tuple of FrameInput
        Points that move when the joints of several members slip.
    sequences : tuple of SequenceInput
        Loads that follow one another.
    changes : tuple of Changed
        What was changed of the file for this run.
    note : NoteHead or None
        What the title block of the note says.
    recalled : tuple of str
        Rows of tables that made the loads and were recalled, not read in their source; those of a joint stand there.
    """

    path: Path
    sha256: str
    bytes: int
    title: str
    standard: str
    design_life: float
    basis: dict[str, str]
    loads: tuple[LoadInput, ...]
    joints: tuple[JointInput, ...]
    assumptions: tuple[str, ...]
    past: tuple[PastDuty, ...] = ()
    frames: tuple[FrameInput, ...] = ()
    sequences: tuple[SequenceInput, ...] = ()
    changes: tuple[Changed, ...] = ()
    note: NoteHead | None = None
    recalled: tuple[str, ...] = ()

    @property
    def design_life_years(self) -> float:
        """Design life in years of 365.25 days."""
        return self.design_life / YEAR

    @property
    def files(self) -> tuple[Path, ...]:
        """The job file and every record and density it names."""
        named = (*(name for load in self.every_load for name in load.files), *(task.file for task in self.densities))
        return (self.path, *(self.path.parent / name for name in named))

    @property
    def densities(self) -> tuple[RandomTask, ...]:
        """The random stress of every detail that states one."""
        details = [detail for joint in self.joints for detail in joint.details]
        return tuple(detail.random for detail in details if detail.random is not None)

    @property
    def every_load(self) -> tuple[LoadInput, ...]:
        """The loads to come, then those of earlier duty that were recorded."""
        return (*self.loads, *(load for item in self.past for load in item.loads))

    def loads_on(self, joint: JointInput) -> tuple[LoadInput, ...]:
        """The loads that act on a joint."""
        return tuple(load for load in self.loads if load.joint in ("", joint.name))

    def sequences_on(self, joint: JointInput) -> tuple[SequenceInput, ...]:
        """The sequences of loads that act on a joint."""
        return tuple(item for item in self.sequences if item.joint in ("", joint.name))

    def past_of(self, joint: JointInput) -> tuple[PastDuty, ...]:
        """The earlier duty of a joint."""
        return tuple(item for item in self.past if item.joint in ("", joint.name))


def read_job(path: str | Path, changes: Sequence[Change] = ()) -> Job:
    """Read a job file and the records it names.

    Parameters
    ----------
    changes : sequence of Change
        Keys that are to have another value than in the file.

    Raises
    ------
    InputError
        With every problem of the file, each with its place, its value and what would do.
    """
    path = Path(path)
    content = job_bytes(path)
    problems: list[str] = []
    table, made = changed(parsed_job(content, path), changes)
    keys = Keys(table, path.name, problems)
    title = keys.text("title")
    standard = keys.one_of("standard", _standards(keys))
    rules = _rules(standard)
    life = keys.quantity("design_life", "s", above=0.0)
    assumptions: list[str] = []
    basis = _fatigue_basis(keys, standard, assumptions)
    load_tables = keys.tables("load", required=not _only_runways(keys))
    past_tables = keys.tables("past")
    records = Records(path.parent, [*load_tables, *past_tables])
    with recalled_rows() as recalled:
        loads = [load for table in load_tables for load in read_load(table, records, life)]
        past = [read_past(table, records) for table in past_tables]
    tables = keys.tables("joint", required=True)
    cranes = read_cranes(keys, standard)
    joints = [read_joint(table, standard, rules, Densities(path.parent, life), cranes) for table in tables]
    frames = [read_frame(table, joints) for table in keys.tables("frame")]
    sequences = read_sequences(keys.tables("sequence"), loads, life, _values(keys, "load", "name"))
    note = read_note(keys)
    keys.done()
    _require_distinct(keys, "load")
    _require_distinct_parts(keys, loads)
    _require_distinct(keys, "past")
    _require_distinct(keys, "joint")
    _require_distinct(keys, "frame")
    _require_distinct(keys, "sequence")
    _require_acting(keys, tables)
    if None not in joints:
        require_known(past_tables, past, joints)
    if problems:
        raise InputError(*dict.fromkeys(problems))
    return Job(
        path, hashlib.sha256(content).hexdigest(), len(content), title, standard, life, basis,
        tuple(loads), tuple(joints), tuple(assumptions), tuple(past), tuple(frames), sequences, made,
        note, recalled.lines,
    )  # fmt: skip


def job_bytes(path: Path) -> bytes:
    """What a job file holds; raises InputError where it cannot be one."""
    return content_of(path, "job file")


def parsed_job(content: bytes, path: Path) -> dict:
    """The tables of a job file; raises InputError where it is no TOML."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise InputError(f"{path.name} must be text in UTF-8, line {line} is not; save it as UTF-8") from error
    if _words_of_longest_key(text) > DEEPEST:
        raise InputError(f"{path.name} has a key of more than {DEEPEST} words; no key of a job is nested so deep")
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(f"{path.name} is no valid TOML: {error}") from error
    if _deep(table):
        raise InputError(f"{path.name} nests tables or lists more than {DEEPEST} deep, as no job does")
    return table


def _words_of_longest_key(text: str) -> int:
    """Most words that stand one after the other with dots between: the reader of TOML takes long over very many."""
    longest = 1
    for line in text.splitlines():
        if line.count(".") <= DEEPEST:
            continue
        words = 1
        for part in line.split("."):
            words = 1 if re.search(r"[\s,]", part.strip()) else words + 1
            longest = max(longest, words)
    return longest


def _deep(table: dict) -> bool:
    """Whether tables and lists stand within each other deeper than DEEPEST."""
    level: list = [table]
    for _ in range(DEEPEST):
        inner = [item.values() if isinstance(item, dict) else item for item in level]
        level = [value for values in inner for value in values if isinstance(value, dict | list)]
    return bool(level)


def _standards(keys: Keys) -> tuple[str, ...]:
    """The standards that can judge what the file asks for; bolts and welds need one that judges these too."""
    import fatigue.standards
    import slip.standards

    joints = keys.table.get("joint")
    tables = [joint for joint in joints if isinstance(joint, dict)] if isinstance(joints, list) else []
    bolted = any("bolts" in joint or "weld" in joint for joint in tables)
    names = fatigue.standards.judging()
    return tuple(name for name in names if name in slip.standards.names()) if bolted else names


def _rules(standard: str | None):
    import slip.standards

    return slip.standards.standard(standard) if standard in slip.standards.names() else None


def _fatigue_basis(keys: Keys, standard: str | None, assumptions: list[str]) -> dict[str, str]:
    """The table `fatigue`: a value for every choice of the standard, the strictest where none is made."""
    import fatigue.standards

    inner = keys.table_of("fatigue")
    if standard is None:
        return {}
    found = {}
    rules = fatigue.standards.standard(standard)
    for key, values in rules.BASIS.items():
        strictest = next(iter(values))
        found[key] = strictest if inner is None else inner.one_of(key, tuple(values), strictest)
        if inner is None or key not in inner:
            assumptions.append(values[strictest])
    if inner is not None:
        found |= _own_factors(inner, rules, found, assumptions)
        inner.done()
    return found


def _own_factors(keys: Keys, rules, basis: dict, assumptions: list[str]) -> dict:
    """Factors that the user sets in place of the recommended ones; they are listed as a deviation."""
    names = getattr(rules, "OWN_FACTORS", ())
    given = {name: keys.number(name, None, above=0.0) for name in names}
    given = {name: value for name, value in given.items() if name in keys}
    because = keys.text("because", "", like='"national annex, Table …"') if names else ""
    if not given:
        if because:
            keys.note(f"because goes with {' or '.join(names)}; give it too, or take because away", "because")
        return {}
    if None in given.values() or None in basis.values():
        return {}
    found = given | {"because": because or ""}
    factors = keys.attempt(rules.partial_factors, **basis, **found, place=keys.place)
    if factors is not None:
        assumptions.append(rules.deviation(factors))
    return found


def _require_distinct(keys: Keys, kind: str) -> None:
    seen: dict[str, int] = {}
    for number, name in enumerate(_values(keys, kind, "name"), start=1):
        if isinstance(name, str) and name and seen.setdefault(name, number) != number:
            keys.note(f"{kind} {number} has the name {name!r} of {kind} {seen[name]}; give each its own name", kind)


def _require_distinct_parts(keys: Keys, loads: list[LoadInput]) -> None:
    """Refuse a made load that came to the name of another load."""
    names = [load.name for load in loads]
    for name in dict.fromkeys(load.name for load in loads if load.made is not None):
        if names.count(name) > 1:
            keys.note(f"{names.count(name)} loads come to the name {name!r}; rename the [[load]] or its rows", "load")


def _require_acting(keys: Keys, joints: list[Keys]) -> None:
    """Refuse a load on a joint that is not there, and a joint that no load acts on."""
    names = [name for name in _values(keys, "joint", "name") if isinstance(name, str)]
    wanted = _values(keys, "load", "joint")
    for number, name in enumerate(wanted, start=1):
        if isinstance(name, str) and name and name not in names:
            keys.problems.append(
                f"joint {name!r} is unknown; known: {', '.join(names)} ({keys.at('load')}[{number}].joint)"
            )
    if wanted and "" not in wanted:
        for table in joints:
            if isinstance(table.table.get("name"), str) and table.table["name"] not in wanted:
                table.note(f"no load acts on joint {table.table['name']!r}; each load names another joint")


def _only_runways(keys: Keys) -> bool:
    """Whether no joint has anything but places of a runway, which need no load: their cranes have classes."""
    joints = keys.table.get("joint")
    tables = [joint for joint in joints if isinstance(joint, dict)] if isinstance(joints, list) else []
    return bool(tables) and all("runway" in t and not {"bolts", "weld", "detail"} & set(t) for t in tables)


def _values(keys: Keys, kind: str, key: str) -> list:
    """What every table of a kind says under a key, "" where it says nothing."""
    tables = keys.table.get(kind)
    return [table.get(key, "") for table in tables if isinstance(table, dict)] if isinstance(tables, list) else []
