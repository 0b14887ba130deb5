"""The recipes `bolt_shear`, `dowel_shear` and `key_weld` of a detail: stress in what bears in shear."""

import math
from dataclasses import replace

from cli.keys import Keys
from fatigue.bolt_shear import stress_of_bolt_shear
from fatigue.recipe import KINDS, Recipe, several
from fatigue.weld_stress import stress_of_welds
from slip.joint import BoltedJoint
from slip.sharing import sharing_matrices
from slip.shear_parts import ShearParts
from slip.standards import standard as slip_rules

SHEAR_FORMS = ("bolt_shear", "dowel_shear", "key_weld")


def read_shear_stress(form: str, keys: Keys, joint: BoltedJoint | None, parts: ShearParts | None) -> Recipe | None:
    """The recipe of one of SHEAR_FORMS, or None where it was refused."""
    kind = counts_as = None
    if form == "key_weld":
        kind = keys.one_of("kind", KINDS)
        counts_as = keys.one_of("counts_as", KINDS, kind)
    keys.done()
    if joint is None:
        return None
    if form == "bolt_shear":
        bolt = slip_rules(joint.standard).bolt(joint.size, joint.grade)
        return _shear(keys, joint.positions, bolt.shank_area, joint.planes, "bolt")
    if form == "dowel_shear":
        if parts is None or parts.dowels is None:
            keys.note("dowel_shear is for joints with a table [joint.dowels]")
            return None
        area = math.pi / 4 * parts.dowels.diameter**2
        return _shear(keys, parts.dowels.positions, area, joint.planes, "dowel")
    if parts is None or parts.key is None:
        keys.note("key_weld is for joints with a table [joint.shear_key]")
        return None
    return None if None in (kind, counts_as) else replace(_key_weld(parts, kind), stress=counts_as)


def _shear(keys: Keys, positions, area: float, planes: int, word: str) -> Recipe | None:
    matrices = keys.attempt(sharing_matrices, positions)
    if matrices is None:
        return None
    return keys.attempt(
        stress_of_bolt_shear, matrices[0], area=area, planes=planes, word=word, place=keys.place
    )


def _key_weld(parts: ShearParts, kind: str) -> Recipe:
    key = parts.key
    own = stress_of_welds(key.foot, kind, throat=key.weld.throat)
    names = own.names or (own.text,)
    return several(
        own.histories @ key.weld_loads, tuple(names),
        f"throat of the weld at the foot of the key, force along {key.axis} at half its depth of {key.depth:g} mm",
        stress=own.stress, on=own.on, working=own.working, signed=own.signed,
    )  # fmt: skip
