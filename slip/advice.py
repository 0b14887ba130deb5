"""Warnings: what the user must know beside the figures, each with the clause that stands behind it."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from fatigue.assessment import DetailOutcome
from loadhistories.blocks import LoadBlock
from loadhistories.figures import FAILS
from loadhistories.tables import read_table
from slip.alignment import Movement
from slip.assessment import SlipOutcome
from slip.joint import LEVELS
from slip.redesign import Alternative, alternatives
from slip.standards import names as judged_here
from slip.standards import standard as rules_of

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Warning:
    """One warning: `code` is its stable name, `advice` says what would mend it."""

    code: str
    text: str
    clause: str
    advice: tuple[str, ...] = ()


@dataclass(frozen=True)
class Record:
    """What the warnings want to know of a load block: its name, what it stands for, whether it holds a whole period."""

    name: str
    per_life: str
    covers_period: bool


@dataclass(frozen=True)
class Findings:
    """All that is known of one joint; `slip` and `movement` are None for a joint without bolts."""

    slip: SlipOutcome | None
    movement: Movement | None
    details: Sequence[DetailOutcome]
    records: Sequence[Record]


@dataclass(frozen=True)
class Advice:
    """Warnings, the gravest first, and what would do instead."""

    warnings: tuple[Warning, ...]
    alternatives: tuple[Alternative, ...]


def advise(
    findings: Findings,
    blocks: Sequence[LoadBlock],
    *,
    standard: str,
    basis: Mapping[str, str],
    extremes: Sequence[LoadBlock] | None = None,
) -> Advice:
    """Warnings of one joint, and alternatives to it where it slips and must not.

    Parameters
    ----------
    findings : Findings
        What `slip.assess`, `slip.alignment.movement` and `fatigue.assess` found.
    blocks : sequence of LoadBlock
        The loads of the joint; alternatives are judged by them again.
    basis : mapping
        Choices of the fatigue assessment, for the life of a weld.
    extremes : sequence of LoadBlock, optional
        The blocks reduced to their outermost load points, as in `slip.redesign.alternatives`.
    """
    outcome = findings.slip
    instead = ()
    if outcome is not None and _slips_where_it_must_not(outcome):
        instead = alternatives(
            outcome.joint, blocks, extremes=extremes, axis=outcome.load_axis, basis=basis
        )
    return Advice(warnings(findings, standard), instead)


def warnings(findings: Findings, standard: str) -> tuple[Warning, ...]:
    """All warnings of one joint, the gravest first.

    A code that the standard's table of warnings does not hold is common practice, as is every code of a standard
    that judges fatigue only.
    """
    table = read_table(rules_of(standard).__name__, "warnings") if standard in judged_here() else {}
    clauses = {code: row["clause"] for code, row in table.items()}
    return tuple(
        Warning(code, text, clauses.get(code, PRACTICE), advice)
        for rule in _RULES
        for code, text, advice in rule(findings)
    )


Finding = tuple[str, str, tuple[str, ...]]


def _slips(findings: Findings) -> Iterator[Finding]:
    outcome = findings.slip
    if outcome is None or not outcome.levels:
        return
    required = [name for name in LEVELS if outcome.levels[name].required]
    reach = LEVELS.index(required[-1]) if required else -1
    for name in LEVELS:
        level = outcome.levels[name]
        if not level.slips:
            continue
        often = _often(level)
        because = f" ({outcome.joint.because})" if outcome.joint.because else ""
        if LEVELS.index(name) <= reach:
            code = "slips-in-service" if name == "service" else "slips-at-ultimate"
            yield (
                code,
                f"slip is asked to be {outcome.joint.slip!r}{because}, but at {name} level {_first_bolt(level)}: "
                f"{often}",
                ("more or larger preloaded bolts, a better friction class, or a weld: see the alternatives",),
            )
        elif outcome.joint.slip != "allowed" or name == "service":
            yield (
                "slips-beyond-what-is-asked",
                f"the joint slips at {name} level, which is not ruled out here: {_first_bolt(level)}; {often}",
                ("count on the movement stated below, and on bearing and bolt shear",),
            )


def _bearing(findings: Findings) -> Iterator[Finding]:
    outcome = findings.slip
    if outcome is None or not outcome.levels:
        return
    failing = [check.title for check in outcome.checks if check.state == FAILS and "after slip" in check.title]
    text = (
        "a preloaded joint is still expected to slip once its load exceeds the design value or its preload is lost; "
        "bolt shear and bearing have to hold as well"
    )
    if failing:
        yield "bearing-after-slip", f"{text}: here they do not ({'; '.join(failing)})", ("thicker plate or more bolts",)
    else:
        yield "bearing-after-slip", f"{text}: here they do", ()


def _without_preload(findings: Findings) -> Iterator[Finding]:
    outcome = findings.slip
    if outcome is None:
        return
    turn = outcome.reversal
    turns = (
        f"the force on bolt {turn.bolt + 1} turns round, {turn.forward / 1e3:.3g} kN one way and "
        f"{turn.back / 1e3:.3g} kN the other"
    )
    if not outcome.joint.preloaded:
        if outcome.joint.slip != "allowed":
            text = f"slip is asked to be {outcome.joint.slip!r}, but the bolts are not preloaded"
            mend = 'preload = "full" with bolts of grade 8.8 or 10.9 and a stated friction class'
            yield "no-preload-no-grip", text, (mend,)
        if turn.reversed:
            yield (
                "reversal-without-preload",
                f"bolts that are not preloaded under reversed load: {turns}; the part works back and forth in its "
                "holes and bolts loosen by transverse slip",
                ("preloaded bolts that do not slip, fitted bolts, or a weld",),
            )
    elif outcome.joint.slip == "allowed" and turn.reversed:
        yield (
            "slip-allowed-under-reversal",
            f"slip is stated to be allowed although {turns}: a deviation from the clause that the engineer answers for",
            ('slip = "not in service" or "never"',),
        )


def _details(findings: Findings) -> Iterator[Finding]:
    for item in findings.details:
        if item.detail.relies_on == "grip" and (findings.slip is None or findings.slip.slips_in_service):
            yield (
                "gross-section-lost",
                f"{item.detail.name}: the joint does not grip under its fatigue loads, so that the plate loses the "
                f"category {item.detail.category} on its gross section; the detail is not judged",
                ("make the joint grip at service level", "or take a category on the net section and judge it anew"),
            )
        if item.detail.relies_on == "no reversal" and item.reverses:
            yield (
                "reversal-category-lost",
                f"{item.detail.name}: its stress changes sign, which category {item.detail.category} does not cover",
                ("preloaded bolts that do not slip, or fitted bolts",),
            )


def _bolt_tension(findings: Findings) -> Iterator[Finding]:
    outcome = findings.slip
    if outcome is None or outcome.worst["tension"].value <= 0.0:
        return
    if not any(item.detail.row.stress_on == "tensile stress area" for item in findings.details):
        yield (
            "cyclic-bolt-tension",
            "the load pulls at the bolts, but no detail judges the bolts themselves for fatigue in tension; prying "
            "is not included in their force",
            ("add a detail of the category of bolts in tension, with the share that the bolts take",),
        )


def _moves(findings: Findings) -> Iterator[Finding]:
    move = findings.movement
    if move is not None and move.tolerance is not None and move.worst_at_point > move.tolerance:
        yield (
            "movement-beyond-tolerance",
            f"once it slips, the alignment point can move {move.centred_at_point:.3g} mm from the middle of the holes "
            f"and {move.worst_at_point:.3g} mm from one extreme to the other; its tolerance is {move.tolerance:.3g} mm",
            ("grip with margin at every level, fitted bolts or dowels, or a weld",),
        )


def _records(findings: Findings) -> Iterator[Finding]:
    for record in findings.records:
        if not record.covers_period:
            yield (
                "record-too-short",
                f"{record.name}: {record.per_life}; rare heavy events that it does not hold are missing from the life",
                ("record at least every state of duty of a full day", "or compare with the duty in the data sheet"),
            )


_RULES: tuple[Callable[[Findings], Iterator[Finding]], ...] = (
    _slips,
    _without_preload,
    _details,
    _moves,
    _bearing,
    _bolt_tension,
    _records,
)


def _slips_where_it_must_not(outcome: SlipOutcome) -> bool:
    if not outcome.joint.preloaded:
        return outcome.joint.slip != "allowed"
    return any(level.required and level.slips for level in outcome.levels.values())


def _first_bolt(level) -> str:
    return f"bolt {level.instant.bolt + 1} is used to {100 * level.instant.value:.3g} % of its grip"


def _often(level) -> str:
    parts = []
    for block in level.blocks:
        if block.events:
            times = "once" if block.events == 1 else f"{block.events} times"
            life = f", {block.events * block.repeats:.3g} times in the life" if level.level == "service" else ""
            parts.append(f"{times} in the record of {block.load!r}{life}")
    if not parts:
        return "under the permanent load alone"
    design = "" if level.level == "service" else ", its loads taken at their design values"
    return "; ".join(parts) + design
