"""The tables [joint.shear_key] and [joint.dowels] of a job file: what takes shear from the bolts."""

from types import ModuleType

import numpy as np

from cli.job_bolts import AXES, read_point
from cli.job_steel import read_steel
from cli.keys import Keys
from slip.joint import BoltedJoint
from slip.shear_parts import Dowels, ShearKey, ShearParts

_AT = '[["0 mm", "-150 mm"], ["0 mm", "150 mm"]]'


def read_shear_parts(
    keys: Keys, standard: str | None, rules: ModuleType | None, joint: BoltedJoint | None
) -> ShearParts | None:
    """The key or the dowels of a joint; None where it has none, or where something was refused.

    Parameters
    ----------
    keys : Keys
        The table [[joint]].
    rules : module or None
        The standard of the slip engine.
    joint : BoltedJoint or None
        The bolts beside them; None where the joint has none, or where they were refused.
    """
    found = [keys.table_of(name) for name in ("shear_key", "dowels")]
    if found == [None, None]:
        return None
    if None not in found:
        keys.note("give shear_key or dowels, not both: the stiffer would take all", "dowels")
    if "bolts" not in keys.table:
        keys.note("shear_key and dowels go with bolts that hold the parts together; add a table [joint.bolts]")
    key, dowels = found
    before = len(keys.problems)
    parts = ShearParts(key=_key(key, rules)) if key is not None else ShearParts(dowels=_dowels(dowels))
    if len(keys.problems) > before or joint is None or standard is None:
        return None
    return parts


def _key(keys: Keys, rules: ModuleType | None) -> ShearKey | None:
    before = len(keys.problems)
    axis = keys.one_of("axis", AXES)
    sizes = {name: keys.quantity(name, "mm", above=0.0) for name in ("width", "depth", "length")}
    clearance = keys.quantity("clearance", "mm", 0.0, least=0.0)
    strength = read_steel(keys, sizes["length"])
    weld = _foot(keys, rules)
    keys.done()
    if len(keys.problems) > before or weld is None or strength is None:
        return None
    return ShearKey(axis, *sizes.values(), *strength, clearance, weld)


def _foot(keys: Keys, rules: ModuleType | None):
    """The fillet weld round the foot of the key."""
    inner = keys.table_of("weld", required=True, like='{ leg = "8 mm", steel = "S355" }')
    if inner is None:
        return None
    leg, thickness = inner.quantity("leg", "mm", above=0.0), inner.quantity("thickness", "mm", None, above=0.0)
    words = {key: inner.text(key, None) for key in ("steel", "electrode")}
    words["quality"] = inner.text("class", None)
    inner.done()
    given = {name: value for name, value in {"leg": leg, "thickness": thickness, **words}.items() if value is not None}
    return None if rules is None or leg is None else inner.attempt(rules.fillet_weld, place=inner.place, **given)


def _dowels(keys: Keys) -> Dowels | None:
    before = len(keys.problems)
    diameter = keys.quantity("diameter", "mm", above=0.0)
    clearance = keys.quantity("clearance", "mm", 0.0, least=0.0)
    strength = read_steel(keys, diameter)
    listed = keys.raw("at", like=_AT)
    points = []
    if isinstance(listed, list) and len(listed) >= 2:
        points = [read_point(keys, item, f"{keys.at('at')}[{number}]") for number, item in enumerate(listed, start=1)]
    elif listed is not None:
        keys.note(f"at must be a list of two dowels or more, as in at = {_AT}", "at")
    keys.done()
    if len(set(points)) < len(points):
        keys.note("two dowels stand at one place", "at")
    if len(keys.problems) > before or strength is None:
        return None
    return Dowels(np.array(points), diameter, *strength, clearance)
