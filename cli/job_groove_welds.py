"""Groove welds among the blocks [[joint.weld]] of a job file, and a factor of the user's own on a weld's strength."""

from types import ModuleType

from cli.job_steel import read_steel
from cli.keys import Keys
from slip.groove_welds import FULL, factored, full_penetration, partial_penetration


def read_groove_weld(keys: Keys, kind: str, rules: ModuleType | None, standard: str | None):
    """The weld of one block with kind "full penetration" or "partial penetration"; None where it was refused."""
    if kind == FULL:
        thickness = keys.quantity("thickness", "mm", above=0.0)
        strength = read_steel(keys, thickness)
        if None in (thickness, strength, standard) or rules is None:
            return None
        return keys.attempt(full_penetration, standard, thickness=thickness, yield_strength=strength[1])
    depth, thickness = keys.quantity("depth", "mm", above=0.0), keys.quantity("thickness", "mm", None, above=0.0)
    words = {key: keys.text(key, None) for key in ("steel", "electrode")}
    words["quality"] = keys.text("class", None)
    given = {name: value for name, value in {"thickness": thickness, **words}.items() if value is not None}
    if depth is None or standard is None or rules is None:
        return None
    return keys.attempt(partial_penetration, standard, depth=depth, place=keys.place, **given)


def read_factor(keys: Keys, weld):
    """The weld with the factor `strength_factor` on its strength, where one is given."""
    factor = keys.number("strength_factor", None, above=0.0)
    if "strength_factor" not in keys or factor is None or weld is None:
        return weld
    return keys.attempt(factored, weld, factor)
