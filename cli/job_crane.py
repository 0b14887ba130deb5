"""The table [load.crane]: a crane, the girder it runs on and its duty, made into load histories."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cli.job_crane_duty import DutyRow, read_duty
from cli.job_crane_values import quantities, weight
from cli.keys import Keys
from cli.made_loads import Made, MadeLoad
from loadhistories.crane import Crane, crane, fatigue_factors
from loadhistories.crane_ledger import Ledger, ledger
from loadhistories.crane_passages import Handling, Partner, Places, WorkingCycle, working_cycle
from loadhistories.girder import SYSTEMS, Girder, girder
from loadhistories.occurrence import YEAR, repeats

# Width over which a single wheel is felt where none is stated; it changes no count. [mm]
SINGLE_WHEEL = 500.0
NOT_INCLUDED = "forces along the rail (braking, buffers) are not included"
EACH_BY_ITSELF = (
    "every row of the duty is counted by itself; ranges from the peak of one row to the low of another are counted "
    "where a [[sequence]] names both"
)
NO_LATERAL = "forces across the rail (skewing, acceleration) are not included: no lateral is given"


@dataclass(frozen=True, eq=False)
class _Given:
    """Everything of the table but its duty."""

    crane: Crane
    places: Places
    speed: float
    second: Crane | None
    gap: float
    beyond: bool
    working: tuple


def made_by_crane(keys: Keys, load: Keys, folder: Path, design_life: float | None) -> list[MadeLoad] | None:
    """The histories of a crane's duty, one for each row and, where a second crane joins in, one more.

    Examples
    --------
    In a job file:

    [load.crane]
    rated_load = "100 kN"
    bridge = "12 t"
    crab = "2 t"
    span = "18 m"
    approach = ["0.9 m", "0.9 m"]
    wheel_spacings = ["3 m"]
    travel_speed = "40 m/min"
    factors = { phi_1 = 1.1, phi_2 = 1.134 }
    [load.crane.girder]
    spans = ["6 m", "6 m"]
    system = "continuous"
    bracket = 2
    [[load.crane.duty]]
    hook_load = "80 kN"
    crab = "2 m"
    from = "2 m"
    to = "10 m"
    lifts = "40/day"
    """
    before = len(keys.problems)
    if "occurs" in load:
        load.raw("occurs")
        load.note("the duty of the crane says how often it lifts; take occurs away", "occurs")
    assumptions = [NOT_INCLUDED]
    given = _given(keys, assumptions)
    duty = read_duty(
        keys, folder, design_life, assumptions,
        rated_load=None if given is None else given.crane.rated_load, second="second" in keys,
    )  # fmt: skip
    keys.done()
    if given is None or duty is None or len(keys.problems) > before:
        return None
    found = _histories(keys, given, duty.rows)
    if found is None or design_life is None:
        return None
    _require_time(keys, [item for _, _, item in found], design_life)
    if len(keys.problems) > before:
        return None
    if len(found) > 1:
        assumptions.append(EACH_BY_ITSELF)
    summary = _summary([item for _, _, item in found], given.places)
    made = []
    for row, (cycle, beside), item in found:
        part = row.name + (" with the second crane" if beside else "")
        how = _how(given, row, cycle, beside)
        groups = _groups(given, row, cycle, design_life)
        working = Made(how, "" if made else summary, tuple(assumptions), files=duty.files, groups=groups)
        made.append(MadeLoad(part, cycle.history, item, working))
    return made


def _groups(given: _Given, row: DutyRow, cycle: WorkingCycle, design_life: float) -> tuple[tuple[str, tuple], ...]:
    """Headings and results for the note, each group with symbols of its own."""
    span = cycle.time or 1.0
    lifts = repeats(row.occurrence.text, design_life=design_life, span=span)
    return (
        ("wheel loads of the crane on the way out", (*given.working, cycle.loaded)),
        ("wheel loads of the crane on the way back", (cycle.empty,)),
        ("lifts of this row in the design life", (*row.working, lifts)),
    )


def _given(keys: Keys, assumptions: list[str]) -> _Given | None:
    before = len(keys.problems)
    working: list = []
    first = _crane(keys, assumptions, working)
    speed = keys.quantity("travel_speed", "mm/s", above=0.0)
    second, gap, beyond = None, 0.0, True
    inner = keys.table_of("second")
    if inner is not None:
        second = _crane(inner, assumptions, [], whose="second crane: ")
        gap = inner.quantity("gap", "mm", above=0.0)
        beyond = inner.one_of("side", ("beyond", "before")) == "beyond"
        inner.done()
        assumptions.append("passages of the second crane alone are not in this load: they are a [[load]] of their own")
    spacings = [*(first.spacings if first else ()), *(second.spacings if second else ()), *([gap] if gap else [])]
    places = _places(keys, spacings, assumptions)
    if len(keys.problems) > before:
        return None
    if not first.lateral_out and not first.lateral_back:
        assumptions.append(NO_LATERAL)
    return _Given(first, places, speed, second, gap, beyond, tuple(working))


def _crane(keys: Keys, assumptions: list[str], working: list, whose: str = "") -> Crane | None:
    before = len(keys.problems)
    found = {key: weight(keys, key) for key in ("rated_load", "bridge", "crab")}
    found["span"] = keys.quantity("span", "mm", above=0.0)
    found["approach"] = quantities(keys, "approach", "mm", like='["0.9 m", "1.1 m"], to this rail and to the other')
    found["spacings"] = quantities(keys, "wheel_spacings", "mm", like='["3.2 m"], one less than wheels on this rail')
    found["bridge_share"] = keys.number("bridge_share", 0.5, least=0.0)
    if "bridge_share" not in keys:
        assumptions.append(f"{whose}half of the bridge's weight is on this rail")
    shares = keys.raw("wheel_shares", None)
    if shares is None and "wheel_shares" not in keys:
        assumptions.append(f"{whose}every wheel on this rail bears the same")
    elif not isinstance(shares, list) or not all(isinstance(item, (int, float)) for item in shares):
        keys.note(f"wheel_shares must be a list of numbers that add up to 1, got {shares!r}", "wheel_shares")
    found["shares"] = shares
    factors = _factors(keys, working, assumptions, whose)
    wheels = None if found["spacings"] is None else len(found["spacings"]) + 1
    lateral = _lateral(keys, wheels)
    if len(keys.problems) > before:
        return None
    return keys.attempt(crane, **found, **factors, **lateral, place=keys.place)


def _factors(keys: Keys, working: list, assumptions: list[str], whose: str) -> dict[str, float]:
    """The dynamic factors for fatigue: given, or from those of the standard for strength, or from a hoisting class."""
    from fatigue.crane_duty import dynamic_factors

    like = "{ phi_1 = 1.1, phi_2 = 1.13 }, { own = 1.05, hoist = 1.07 } for fatigue, or with hoisting_class"
    inner = keys.table_of("factors", required=True, like=like)
    if inner is None:
        return {}
    before = len(keys.problems)
    result = None
    if "hoisting_class" in inner:
        name, speed = inner.text("hoisting_class", like='"HC2"'), inner.quantity("hoisting_speed", "mm/s", least=0.0)
        own = inner.number("phi_1", above=0.0)
        if len(keys.problems) == before:
            result = inner.attempt(dynamic_factors, name, hoisting_speed=speed, own=own, place=inner.place)
            if result is not None and result.unconfirmed:
                assumptions.append(f"{whose}values of hoisting class {name} were recalled and not read in the standard")
    elif "own" in inner or "hoist" in inner:
        own, hoist = inner.number("own", above=0.0), inner.number("hoist", above=0.0)
        inner.done()
        return {"own_factor": own, "hoist_factor": hoist}
    else:
        own, hoist = inner.number("phi_1", above=0.0), inner.number("phi_2", above=0.0)
        if len(keys.problems) == before:
            result = inner.attempt(fatigue_factors, own, hoist, place=inner.place)
    inner.done()
    if result is None:
        return {}
    working.append(result)
    named = ("own_fatigue", "hoist_fatigue") if hasattr(result, "own_fatigue") else ("own", "hoist")
    return {"own_factor": getattr(result, named[0]), "hoist_factor": getattr(result, named[1])}


def _lateral(keys: Keys, wheels: int | None) -> dict[str, list[float]]:
    """Forces across the rail on both ways: one for every wheel, or a list."""
    inner = keys.table_of("lateral", like='{ out = "4 kN", back = "-4 kN" }')
    if inner is None:
        return {}
    found = {}
    for way in ("out", "back"):
        given = inner.raw(way, like='"4 kN" for every wheel, or a list')
        if isinstance(given, list):
            forces = quantities(inner, way, "N", like='["4 kN", "-4 kN"]')
        else:
            force = inner.quantity(way, "N")
            forces = None if force is None or wheels is None else [force] * wheels
        found[f"lateral_{way}"] = forces or []
    inner.done()
    return found


def _places(keys: Keys, spacings: Sequence[float], assumptions: list[str]) -> Places | None:
    like = '{ spans = ["6 m", "6 m"], system = "continuous", bracket = 2 }'
    inner = keys.table_of("girder", required=True, like=like)
    if inner is None:
        return None
    before = len(keys.problems)
    spans = quantities(inner, "spans", "mm", like='["6 m", "6 m"]')
    system = inner.one_of("system", SYSTEMS)
    modulus = inner.quantity("modulus", "MPa", None)
    single = isinstance(inner.raw("second_moment", None), str)
    moments = [inner.quantity("second_moment", "mm4")] if single else None
    if not single and "second_moment" in inner:
        moments = quantities(inner, "second_moment", "mm4", like='"9.2e8 mm4", or a list with one for each span')
    section, support = inner.quantity("section", "mm", None), inner.whole("bracket", None)
    width = inner.quantity("wheel_width", "mm", None, above=0.0)
    runway = quantities(inner, "runway", "mm", None, like='["-12 m", "30 m"]') if "runway" in inner else None
    inner.raw("runway", None)
    inner.done()
    if "section" not in inner and "bracket" not in inner:
        inner.note('nothing is looked at: give a section = "3 m", a bracket = 2 (a support, from 1), or both')
    if len(keys.problems) > before:
        return None
    beam = inner.attempt(girder, spans, system=system, modulus=modulus, second_moments=moments, place=inner.place)
    if beam is None:
        return None
    if section is not None and width is None:
        width = min(spacings, default=SINGLE_WHEEL)
        assumptions.append("the load of a wheel at the section falls to 0 midway to the next wheel")
    if beam.system == "continuous" and len(beam.spans) > 1 and beam.stiffness is None:
        assumptions.append("the girder has the same stiffness in all spans")
    reach = (0.0, beam.length) if runway is None else tuple(runway)
    places = Places(beam, reach, section, support, width or SINGLE_WHEEL)
    _require_places(inner, places)
    return places if len(keys.problems) == before else None


def _require_places(keys: Keys, places: Places) -> None:
    beam, runway, support = places.girder, places.runway, places.support
    keys.attempt(places.lines)
    if len(runway) != 2 or not runway[0] < runway[1]:
        keys.note(f"runway must be two places in rising order, got {[f'{at / 1e3:g} m' for at in runway]}", "runway")
    elif runway[0] > 0.0 or runway[1] < beam.length:
        keys.note(f"runway must reach over the whole girder, 0 m to {beam.length / 1e3:g} m", "runway")
    elif (support == 1 and runway[0] < 0.0) or (support == len(beam.spans) + 1 and runway[1] > beam.length):
        keys.note(
            f"bracket {support} carries the girder beyond as well, as the runway goes on there: add its span to spans",
            "bracket",
        )


def _histories(keys: Keys, given: _Given, rows: Sequence[DutyRow]):
    """Row, working cycle with whether the second crane is beside, and ledger, of every history."""
    found = []
    failed = False
    for row in rows:
        for beside, share in ((False, 1.0 - row.together), (True, row.together)):
            if share <= 0.0:
                continue
            cycle = keys.attempt(_cycle, given, row, beside)
            failed = failed or cycle is None
            if cycle is not None:
                lifts = row.occurrence.repeats
                item = ledger(cycle, row.occurrence.text, given.places.title, lifts=lifts, share=share)
                found.append((row, (cycle, beside), item))
    return None if failed else found


def _cycle(given: _Given, row: DutyRow, beside: bool) -> WorkingCycle:
    partner = Partner(given.second, row.second, given.gap, given.beyond) if beside else None
    return working_cycle(
        given.crane, Handling(row.hook_load, row.out, row.back), given.places,
        start=row.start, end=row.end, speed=given.speed, returns=row.returns, partner=partner, place=row.place,
    )  # fmt: skip


def _require_time(keys: Keys, items: Sequence[Ledger], design_life: float) -> None:
    total = sum(item.total_time for item in items)
    if total > design_life:
        keys.note(
            f"the crane would travel {total / YEAR:.3g} years in a life of {design_life / YEAR:.3g} years; look at "
            "lifts, travel_speed and the ways",
            "duty",
        )


def _how(given: _Given, row: DutyRow, cycle: WorkingCycle, beside: bool) -> str:
    girder_: Girder = given.places.girder
    spans = " + ".join(f"{span / 1e3:g}" for span in girder_.spans)
    second = ""
    if beside:
        lifted = f"{row.second.hook_load / 1e3:.4g} kN on its hook"
        second = f", the second crane {given.gap / 1e3:g} m from it with {lifted}"
    felt = [f"section at {given.places.section / 1e3:g} m"] if given.places.section is not None else []
    felt += [f"support {given.places.support}"] if given.places.support is not None else []
    return (
        f"working cycle of a crane: {row.hook_load / 1e3:.4g} kN lifted {row.out / 1e3:g} m from this rail, carried "
        f"from {row.start / 1e3:g} m to {row.end / 1e3:g} m{second}, back {row.returns}; largest wheel load "
        f"{cycle.loaded.largest / 1e3:.4g} kN out and {cycle.empty.largest / 1e3:.4g} kN back; felt at the "
        f"{' and at '.join(felt)} of a girder of {spans} m ({girder_.system})"
    )


def _summary(items: Sequence[Ledger], places: Places) -> str:
    lifts = sum(item.repeats for item in items)
    passages, wheels = sum(item.passages for item in items), sum(item.wheel_passages for item in items)
    counted = f"{passages:.7g} passages and {wheels:.7g} wheel passages of {places.title}"
    return f"{lifts:.7g} lifts in the design life, {counted}"
