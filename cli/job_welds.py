"""The blocks [[joint.weld]] and the table [joint.sharing] of a job file: welds, and who carries beside bolts."""

from inspect import signature
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from cli.job_groove_welds import read_factor, read_groove_weld
from cli.job_stress import read_lines
from cli.keys import Keys
from fatigue.welds import line_forces, weld_group
from slip.groove_welds import FILLET, KINDS, clause_of
from slip.joint import Factors
from slip.sharing_with_welds import TIGHTENINGS, Sharing
from slip.welded import QUALITIES, WeldedJoint

CARRIERS = ("welds", "bolts and welds")
_MAKE = ("steel", "electrode")


def read_welds(
    keys: Keys, name: str | None, standard: str | None, rules: ModuleType | None, permanent: NDArray, factors: Factors
) -> WeldedJoint | None:
    """All welds of a joint as one group; None where it has none, or where something was refused.

    Parameters
    ----------
    keys : Keys
        The table [[joint]].
    rules : module or None
        The standard of the slip engine.
    """
    before = len(keys.problems)
    tables = keys.tables("weld")
    if not tables:
        return None
    found = [_weld(table, rules, standard) for table in tables]
    if len(keys.problems) > before or rules is None or standard is None:
        return None
    lines, welds, qualities, kinds = zip(*found, strict=True)
    each = tuple(weld for some, weld in zip(lines, welds, strict=True) for _ in some)
    clauses = " and ".join(dict.fromkeys(clause_of(standard, kind) for kind in kinds))
    together = np.concatenate(lines)
    if keys.attempt(_group, together) is None:
        return None
    return WeldedJoint(
        name or "", standard, together, welds[0], " and ".join(dict.fromkeys(qualities)), permanent, factors, clauses,
        each if any(weld != welds[0] for weld in welds) else (),
    )  # fmt: skip


def _group(lines: NDArray) -> NDArray:
    return line_forces(weld_group(lines))


def _weld(keys: Keys, rules: ModuleType | None, standard: str | None):
    before = len(keys.problems)
    lines, quality = read_lines(keys), keys.one_of("quality", QUALITIES)
    kind = keys.one_of("kind", KINDS, FILLET)
    if kind is not None and kind != FILLET:
        keys.text("name", None)
        weld = read_factor(keys, read_groove_weld(keys, kind, rules, standard))
        keys.done()
        return None if weld is None or lines is None or len(keys.problems) > before else (lines, weld, quality, kind)
    sizes = {key: keys.quantity(key, "mm", None, above=0.0) for key in ("leg", "throat", "thickness")}
    words = {key: keys.text(key, None) for key in _MAKE}
    words["quality"] = keys.text("class", None)
    keys.text("name", None)
    keys.raw("strength_factor", None)
    keys.done()
    given = {key: value for key, value in (sizes | words).items() if value is not None}
    if len(keys.problems) > before or rules is None:
        return None
    if "leg" not in given and "throat" not in given:
        keys.note('a weld needs its leg, as in leg = "6 mm", or its throat')
        return None
    if "throat" in given and "throat" not in signature(rules.fillet_weld).parameters:
        keys.note(f"{rules.NAMES[0]} goes by the leg of a fillet weld; give leg instead of throat", "throat")
        return None
    weld = read_factor(keys, keys.attempt(rules.fillet_weld, place=keys.place, **given))
    return None if weld is None or lines is None else (lines, weld, quality, kind)


def read_sharing(keys: Keys, both: bool) -> tuple[str, Sharing]:
    """Who carries in a joint with bolts and welds: "welds", "bolts and welds" or "", and what the user states of it.

    Parameters
    ----------
    both : bool
        Whether the joint has bolts and welds; then the table is needed, for nothing is taken for granted.
    """
    inner = keys.table_of("sharing", required=both, like='{ carried_by = "welds" }')
    if inner is None:
        return "", Sharing()
    carrier = inner.one_of("carried_by", CARRIERS) or ""
    stated = Sharing(
        inner.boolean("tightened_after_welding", None),
        inner.boolean("unloaded_until_finished", None),
        inner.one_of("tightening", TIGHTENINGS, None),
    )
    inner.done()
    if not both:
        keys.note("sharing is for a joint with bolts and welds; take it away", "sharing")
    if carrier == "welds" and stated != Sharing():
        inner.note('with carried_by = "welds" the bolts carry nothing; take the other keys away')
    return carrier, stated
