"""The key `preload` of [joint.bolts]: a force, or a table that follows it from the drawing to what is left of it."""

from dataclasses import dataclass
from types import ModuleType

from cli.keys import Keys
from slip.bolts import Bolt
from slip.preload import METHODS, SURFACES, PreloadLife, TighteningTorque, preload_life, tightening_torque

LIKE = '"full", "none" or a force such as "150 kN"'


@dataclass(frozen=True)
class Preload:
    """What the key says: the specified force [N], None where it was refused, and what the table adds."""

    force: float | None
    life: PreloadLife | None = None
    tightening: TighteningTorque | None = None


def read_preload(keys: Keys, rules: ModuleType | None, bolt: Bolt | None, assumptions: list[str]) -> Preload:
    """The preload of the bolts; 0 N for `"none"`.

    Parameters
    ----------
    rules : module or None
        The standard of the slip engine; None where the job names none that is known.
    assumptions : list of str
        Takes what the file left to us.
    """
    if not isinstance(keys.raw("preload", None), dict):
        return Preload(_force(keys, "preload", rules, bolt, assumptions))
    inner = keys.table_of("preload")
    if inner.table.get("specified") == "none":
        inner.note('specified must be "full" or a force; bolts without preload have preload = "none"', "specified")
    force = _force(inner, "specified", rules, bolt, assumptions)
    method, surface = inner.one_of("method", METHODS), inner.one_of("surface", SURFACES)
    names = {"installed": "installed", "scatter": "variation", "seating": "seating", "coating_creep": "coating_creep"}
    shares = {word: inner.quantity(key, "", None, least=0.0) for key, word in names.items()}
    later = inner.quantity("later_loss", "", 0.0, least=0.0)
    factor = inner.number("torque_factor", None, above=0.0)
    inner.done()
    if None in (force, method, surface, later) or not force or bolt is None:
        return Preload(force)
    life = keys.attempt(
        preload_life, force, method=method, surface=surface, grade=bolt.grade, later_loss=later, place=inner.place,
        **shares,
    )  # fmt: skip
    torque = None
    if factor is not None:
        torque = keys.attempt(tightening_torque, factor, bolt.diameter, force, place=inner.at("torque_factor"))
    if life is not None:
        assumptions += [f"preload, {source}" for source in life.sources]
        assumptions += [f"preload: no {word}: none is given" for key, word in
                        (("coating_creep", "creep of a coating"), ("later_loss", "later loss")) if key not in inner]
        if life.variation is None:
            assumptions.append(f"preload: the scatter of {method} is not known here; scatter = \"8 %\" would give it")
    return Preload(force, life, torque)


def _force(
    keys: Keys, key: str, rules: ModuleType | None, bolt: Bolt | None, assumptions: list[str]
) -> float | None:
    given = keys.raw(key, like='"full" or a force such as "150 kN"' if key == "specified" else LIKE)
    if given is None:
        return None
    if given == "none":
        return 0.0
    force = None if given == "full" else keys.quantity(key, "N", above=0.0)
    if rules is None or bolt is None or (force is None and given != "full"):
        return force
    specified = keys.attempt(rules.specified_preload, bolt, place=keys.at(key))
    if specified is None or given == "full":
        return specified
    if force > specified:
        keys.note(
            f"{key} must not be above the {specified / 1000:g} kN that the standard specifies for {bolt.size} "
            f'{bolt.grade}, got {given!r}; give "full" or a smaller force', key,
        )  # fmt: skip
        return None
    if force < specified:
        assumptions.append(
            f"preload {force / 1000:g} kN as given, below the {specified / 1000:g} kN specified for "
            f"{bolt.size} {bolt.grade}"
        )
    return force
