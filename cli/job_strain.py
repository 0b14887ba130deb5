"""The table `strain` of a load's column: how a gauge's strain becomes a force or a moment."""

from cli.keys import Keys, entry
from loadhistories.strain import BRIDGES, StrainForce, StrainMoment, strain_force, strain_moment

_LIKE = '{ E = "210 GPa", gauge_factor = 2.08, set_to = 2.0 }'


def read_strain(keys: Keys, component: str) -> StrainForce | StrainMoment | None:
    """What a strain of 1 makes of a component; None where something was refused.

    Parameters
    ----------
    keys : Keys
        The table of the column, with its keys `strain` and `factor`: an area, or for a moment a section modulus.
    """
    before = len(keys.problems)
    inner = keys.table_of("strain", like=_LIKE)
    if inner is None:
        return None
    modulus = inner.quantity("E", "MPa", above=0.0)
    gauge = inner.number("gauge_factor", above=0.0)
    set_to = inner.number("set_to", above=0.0)
    bridge = _bridge(inner)
    inner.done()
    moment = component[0] == "M"
    unit, like = ("mm3", '"48 cm3", the section modulus at the gauge') if moment else (
        "mm2", '"120 cm2", the area that the stress acts on'
    )  # fmt: skip
    given = keys.raw("factor", like=like)
    size = None
    if given is not None:
        text = str(given).strip().removeprefix("-").strip()
        size = keys.attempt(entry, text, unit, "factor", keys.at("factor"))
    if size is not None and size <= 0.0:
        keys.note(f"factor must be above 0 {unit}, got {given!r}", "factor")
    if len(keys.problems) > before or None in (modulus, gauge, set_to, bridge, size):
        return None
    facts = {"gauge_factor": gauge, "set_to": set_to, "bridge": bridge}
    if moment:
        return strain_moment(modulus, **facts, section_modulus=size)
    return strain_force(modulus, **facts, area=size)


def _bridge(keys: Keys) -> float | None:
    """Strain shown over the strain of one gauge: a word of BRIDGES or a number; 1 unless it is given."""
    given = keys.raw("bridge", 1.0)
    if isinstance(given, str):
        word = keys.one_of("bridge", tuple(BRIDGES))
        return None if word is None else BRIDGES[word]
    return keys.number("bridge", 1.0, above=0.0)
