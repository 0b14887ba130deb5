"""The tables [[past]] of a job file: what a joint has served before, as a record of that duty or as damage found."""

from collections.abc import Sequence
from dataclasses import dataclass

from cli.job_joint import JointInput
from cli.job_loads import LoadInput, Records, read_load
from cli.keys import Keys

_DAMAGE_LIKE = '{ "name of the detail" = 0.2 }'


@dataclass(frozen=True, eq=False)
class PastDuty:
    """One kind of earlier duty.

    Attributes
    ----------
    joint : str
        Name of the only joint that served it, "" where all did.
    served : float
        [s]
    loads : tuple of LoadInput
        Its record, or the histories made for it, with repeats in the time served; none where the damage is given.
    damage : dict of str to float
        Given damage of each detail, by its name. [-]
    because : str
        Where the given damage comes from.
    """

    name: str
    joint: str
    served: float
    loads: tuple[LoadInput, ...]
    damage: dict[str, float]
    because: str


def read_past(keys: Keys, records: Records) -> PastDuty | None:
    """One table [[past]]; None where something in it was refused."""
    before = len(keys.problems)
    served = keys.quantity("served", "s", above=0.0)
    keys.raw("damage", None)
    keys.raw("because", None)
    if "damage" not in keys:
        if "because" in keys:
            keys.note("because goes with a given damage; a record speaks for itself: take it away", "because")
        loads = tuple(read_load(keys, records, served))
        if not loads or served is None or len(keys.problems) > before:
            return None
        return PastDuty(keys.text("name"), loads[0].joint, served, loads, {}, "")
    name, joint = keys.text("name"), keys.text("joint", "")
    because = keys.text("because", like='"assessment of 2012, recorded duty"')
    damage = _damage(keys)
    if "history" in keys:
        keys.raw("history")
        keys.note("history and damage are both given; give one of them", "history")
    keys.done()
    if len(keys.problems) > before:
        return None
    return PastDuty(name, joint, served, (), damage, because)


def _damage(keys: Keys) -> dict[str, float]:
    inner = keys.table_of("damage", like=_DAMAGE_LIKE)
    if inner is None:
        return {}
    found = {name: inner.number(name, least=0.0) for name in inner.table}
    if not found:
        keys.note(f"damage is empty; give it as in damage = {_DAMAGE_LIKE}", "damage")
    return found


def require_known(tables: Sequence[Keys], past: Sequence[PastDuty | None], joints: Sequence[JointInput]) -> None:
    """Refuse earlier duty of a joint that is not there, and a given damage that leaves out or invents a detail."""
    names = [joint.name for joint in joints]
    for table, item in zip(tables, past, strict=True):
        if item is None:
            continue
        if item.joint and item.joint not in names:
            table.note(f"joint {item.joint!r} is unknown; known: {', '.join(names)}", "joint")
        elif not item.loads:
            _require_every_detail(table, item, [joint for joint in joints if item.joint in ("", joint.name)])


def _require_every_detail(table: Keys, item: PastDuty, joints: Sequence[JointInput]) -> None:
    wanted = [detail.name for joint in joints for detail in joint.details]
    for name in dict.fromkeys(name for name in wanted if name not in item.damage):
        table.note(f"damage of detail {name!r} is missing; give it, 0 where earlier duty did none", "damage")
    for name in item.damage:
        if name not in wanted:
            table.note(f"{name!r} is no detail here; known: {', '.join(wanted) or 'none'}", "damage")
    for name in dict.fromkeys(name for name in item.damage if wanted.count(name) > 1):
        table.note(f"{wanted.count(name)} joints have a detail {name!r}; say which by joint", "damage")
