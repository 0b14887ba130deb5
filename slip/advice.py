"""Warnings: what the user must know beside the figures, each with the clause that stands behind it."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from fatigue.assessment import DetailOutcome
from fatigue.companions import unjudged_beside
from loadhistories.blocks import LoadBlock
from loadhistories.figures import FAILS
from loadhistories.tables import read_table
from slip.alignment import Movement
from slip.assessment import SlipOutcome
from slip.joint import LEVELS
from slip.preload_advice import preload_warnings
from slip.redesign import Alternative, alternatives
from slip.sharing_with_welds import SharedOutcome
from slip.sliding import ONE_WAY, TWO_WAY, kind_of
from slip.standards import names as judged_here
from slip.standards import standard as rules_of
from slip.trade import TRADE, UNSAID, Setting
from slip.triggers import TRIGGERS

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
    """What the warnings want to know of a load block.

    Its name, what it stands for, whether it holds a whole period, whether it is "vibration" or "impact", and whether
    it was made from data instead of recorded.
    """

    name: str
    per_life: str
    covers_period: bool
    kind: str = ""
    made: bool = False


@dataclass(frozen=True)
class Findings:
    """All that is known of one joint.

    `slip` and `movement` are None for a joint without bolts, `beside` where no bolts share with welds; `welded` says
    whether welds were judged for strength. `setting` is what the rules of the trade look at besides.
    """

    slip: SlipOutcome | None
    movement: Movement | None
    details: Sequence[DetailOutcome]
    records: Sequence[Record]
    beside: SharedOutcome | None = None
    welded: bool = False
    setting: Setting = UNSAID

    @property
    def weld_proposed(self) -> bool:
        """Whether a weld is looked at instead of the bolts."""
        return self.slip is not None and _slips_where_it_must_not(self.slip)


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
    table = {**read_table(__package__, "preload_warnings"), **read_table(__package__, "trade"), **table}
    clauses = {code: row["clause"] for code, row in table.items()}
    return tuple(
        Warning(code, text, clauses.get(code, PRACTICE), advice)
        for rule in _RULES
        for code, text, advice in rule(findings)
    )


Finding = tuple[str, str, tuple[str, ...]]
_BESIDE = {"root": ("root-not-judged", "root or through the throat"), "toe": ("toe-not-judged", "toe")}


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
        often = _often(level, {record.name for record in findings.records if record.made})
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
    if outcome is None or outcome.joint.fit:
        return
    turn = outcome.reversal
    turns = (
        f"the force on bolt {turn.bolt + 1} turns round, {turn.forward / 1e3:.3g} kN one way and "
        f"{turn.back / 1e3:.3g} kN the other"
    )
    if not outcome.joint.preloaded:
        if outcome.joint.slip != "allowed":
            text = f"slip is asked to be {outcome.joint.slip!r}, but the bolts are not preloaded"
            mend = 'preload = "full" with bolts of a grade made for it and a stated friction class'
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
        if item.instead_of is not None:
            yield (
                "gross-section-lost",
                f"{item.detail.name}: the joint does not grip under its fatigue loads, so that the plate loses the "
                f"category {item.instead_of.category} on its gross section; it is judged on the net section with "
                f"category {item.detail.category} instead",
                ("make the joint grip at service level",),
            )
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


def _beside(findings: Findings) -> Iterator[Finding]:
    given = [item.instead_of or item.detail for item in findings.details]
    for item in unjudged_beside(given):
        names = " or ".join(row.id for row in item.rows)
        code, start = _BESIDE[item.key]
        yield (
            code,
            f"{item.detail.name}: beside category {item.detail.category} a crack from the {start} is to be judged, "
            f"and no detail of this joint has category {names}",
            (
                f"add a detail of category {names}",
                f'or say on {item.detail.name!r} why there is none, as in {item.key} = "none: full penetration"',
            ),
        )


def _bolt_tension(findings: Findings) -> Iterator[Finding]:
    outcome = findings.slip
    if outcome is None or outcome.worst["tension"].value <= 0.0:
        return
    if not any(item.detail.row.stress_on == "tensile stress area" for item in findings.details):
        yield (
            "cyclic-bolt-tension",
            "the load pulls at the bolts, but no detail judges the bolts themselves for fatigue in tension"
            + ("; prying is not included in their force" if outcome.joint.prying is None else ""),
            ("add a detail of the category of bolts in tension, with the share that the bolts take",),
        )


def _separation(findings: Findings) -> Iterator[Finding]:
    outcome = findings.slip
    if outcome is None or not outcome.joint.preloaded:
        return
    pulls = {level: outcome.pulls[level] for level in LEVELS}
    apart = [
        f"at {level} level bolt {pull.bolt + 1} is pulled with {pull.value / 1e3:.3g} kN"
        for level, pull in pulls.items()
        if pull.value > outcome.joint.preload
    ]
    if apart:
        yield (
            "plates-separate",
            f"{' and '.join(apart)}, more than its preload of {outcome.joint.preload / 1e3:.3g} kN: the plates come "
            "apart there, and the bolt takes the whole of every further change of load",
            ("more or larger preloaded bolts, or bolts nearer to the line of the pull",),
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
    *TRIGGERS,
    _details,
    _moves,
    preload_warnings,
    _separation,
    _bearing,
    _beside,
    _bolt_tension,
    *TRADE,
    _records,
)


def _slips_where_it_must_not(outcome: SlipOutcome) -> bool:
    if not outcome.joint.preloaded:
        return outcome.joint.slip != "allowed" and not outcome.joint.fit
    return any(level.required and level.slips for level in outcome.levels.values())


def _first_bolt(level) -> str:
    return f"bolt {level.instant.bolt + 1} is used to {100 * level.instant.value:.3g} % of its grip"


_WAYS = {ONE_WAY: "one way (it seats and stays)", TWO_WAY: "back and forth"}


def _times(number: float) -> str:
    return "once" if number == 1.0 else f"{number:.3g} times"


def _often(level, made: Collection[str]) -> str:
    parts = []
    for block in level.blocks:
        if block.events and not block.timed:
            way = _WAYS[kind_of(block.ways)]
            parts.append(f"under the counted cycles of {block.load!r}, {way}, how often and when is not known")
        elif block.events:
            life = f", {_times(level.in_life(block))} in the life" if level.level == "service" else ""
            once = "one run" if block.load in made else "the record"
            parts.append(f"{_times(block.events)} in {once} of {block.load!r}, {_WAYS[kind_of(block.ways)]}{life}")
    if not parts:
        return "under the permanent load alone"
    design = "" if level.level == "service" else ", its loads taken at their design values"
    return "; ".join(parts) + design
