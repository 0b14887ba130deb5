"""The table [joint.alignment] of a job file: the point whose place matters, and its tolerance or class."""

from cli.job_bolts import read_point
from cli.keys import Keys
from slip.joint import Alignment
from slip.tolerances import class_tolerance, classes


def read_alignment(keys: Keys) -> Alignment | None:
    """The aligned point of a joint; None where there is none, or where something in it was refused."""
    inner = keys.table_of("alignment")
    if inner is None:
        return None
    before = len(keys.problems)
    given = inner.raw("point", like='["0 mm", "420 mm"]')
    point = None if given is None else read_point(inner, given, inner.at("point"))
    by_class = "class" in inner or "tolerance" not in inner
    limit = _by_class(inner) if by_class else _own(inner)
    inner.done()
    if len(keys.problems) > before or point is None or limit is None:
        return None
    return Alignment(point, **limit)


def _own(keys: Keys) -> dict | None:
    for key in ("class", "items", "span"):
        keys.raw(key, None)
        if key in keys:
            keys.note(f"{key} goes with a class of tolerance; take it or tolerance away", key)
    tolerance = keys.quantity("tolerance", "mm", above=0.0)
    turn = _turn(keys)
    return None if tolerance is None else {"tolerance": tolerance, "turn": turn}


def _turn(keys: Keys) -> float | None:
    """Allowed turn as a length over a length, such as { offset = "0.05 mm", over = "100 mm" }."""
    inner = keys.table_of("turn", like='{ offset = "0.05 mm", over = "100 mm" }')
    if inner is None:
        return None
    offset, over = (inner.quantity(key, "mm", above=0.0) for key in ("offset", "over"))
    inner.done()
    return None if None in (offset, over) else offset / over


def _by_class(keys: Keys) -> dict | None:
    if "class" not in keys:
        for key in ("tolerance", "turn", "items", "span", "class"):
            keys.raw(key, None)
        keys.note('alignment needs tolerance = "1 mm", or a class such as class = "crane rail 1"')
        return None
    for key in ("tolerance", "turn"):
        keys.raw(key, None)
        if key in keys:
            keys.note(f"{key} stands against class; give one of them", key)
    name = keys.one_of("class", classes())
    items, span = keys.texts("items", None, like='["span"]'), keys.quantity("span", "mm", None, above=0.0)
    if name is None or ("items" in keys and items is None) or ("span" in keys and span is None):
        return None
    found = keys.attempt(class_tolerance, name, items=items, span=span, place=keys.place)
    if found is None:
        return None
    return {
        "tolerance": found.tolerance,
        "turn": found.turn,
        "basis": f"tolerance of {found.name}, {found.item}",
        "source": f"the tightest of the items that count; {found.source}",
        "working": (found,),
    }
