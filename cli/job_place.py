"""The tables [joint.place] and [joint.column] of a job file: where and as what a joint stands, and what carries it."""

from collections.abc import Sequence

from cli.keys import Keys
from loadhistories.occurrence import YEAR
from slip.column_moment import MODULUS, Member, SupportingColumn, far_ends, supporting_column
from slip.trade import ACCESS, KINDS, POSITIONS, THROUGH_THICKNESS, Place

STIFFNESS = "connection_stiffness_kNm_per_rad"
_LIKE = '{ second_moment = "8e7 mm4", length = "8 m", far_end = "fixed" }'


def read_place(keys: Keys, plates: Sequence[str]) -> Place:
    """What is said of the place of a joint; nothing where the table is absent or something in it was refused.

    Parameters
    ----------
    keys : Keys
        The table [[joint]].
    plates : sequence of str
        Names of its plates.
    """
    inner = keys.table_of("place")
    if inner is None:
        return Place()
    before = len(keys.problems)
    words = {
        key: inner.one_of(key, known, "")
        for key, known in (
            ("kind", KINDS), ("access", ACCESS), ("position", POSITIONS), ("through_thickness", THROUGH_THICKNESS),
        )
    }  # fmt: skip
    coating = inner.text("coating", "", like='"zinc, then paint"')
    across = inner.text("pulled_across", "", like='"column flange"')
    main = inner.quantity("main_inspection", "s", None, above=0.0)
    if across and plates and across not in plates:
        inner.note(f"pulled_across {across!r} is no plate of this joint; known: {', '.join(plates)}", "pulled_across")
    inner.done()
    if len(keys.problems) > before:
        return Place()
    return Place(
        **words, coating=coating, pulled_across=across, main_inspection=None if main is None else main / YEAR
    )


def read_column(keys: Keys, assumptions: list[str]) -> SupportingColumn | None:
    """The column that carries a stiff joint, and the moment in it; None where there is none, or it was refused.

    Examples
    --------
    In a job file:

    [joint.column]
    beam  = { second_moment = "8e7 mm4", length = "8 m", far_end = "fixed" }     # or "pinned", "mirrored"
    above = { second_moment = "4e7 mm4", length = "4 m", far_end = "fixed" }
    below = { second_moment = "4e7 mm4", length = "4 m", far_end = "fixed" }
    fixed_end_moment = "96 kN m"          # of the beam at this end, were it held
    reaction = "120 kN"
    eccentricity = "150 mm"               # from the column's axis to where the reaction is handed over
    connection = "rigid"                  # or connection_stiffness_kNm_per_rad = 16000
    """
    inner = keys.table_of("column")
    if inner is None:
        return None
    before = len(keys.problems)
    members = {name: _member(inner, name, required=name == "beam") for name in ("beam", "above", "below")}
    loads = {
        key: inner.quantity(key, unit)
        for key, unit in (("fixed_end_moment", "N mm"), ("reaction", "N"), ("eccentricity", "mm"))
    }
    modulus = inner.quantity("modulus", "MPa", MODULUS, above=0.0)
    turn = _turn(inner)
    inner.done()
    if len(keys.problems) > before:
        return None
    found = inner.attempt(supporting_column, **members, **loads, turn=turn, modulus=modulus)
    if found is not None and "modulus" not in inner:
        assumptions.append(f"supporting column: modulus of elasticity of {MODULUS / 1e3:g} GPa in beam and column")
    if found is not None:
        assumptions.append(
            "supporting column: elastic, no sway, one beam; the moment is for information and not part of any check"
        )
    return found


def _member(keys: Keys, name: str, *, required: bool) -> Member | None:
    inner = keys.table_of(name, required=required, like=_LIKE)
    if inner is None:
        return None
    second = inner.quantity("second_moment", "mm4", above=0.0)
    length = inner.quantity("length", "mm", above=0.0)
    end = inner.one_of("far_end", far_ends())
    inner.done()
    return None if None in (second, length, end) else Member(second, length, end)


def _turn(keys: Keys) -> float | None:
    """Turn of the joint itself for a unit moment; 0 where it is stated to be rigid. [rad/(N mm)]"""
    rigid = keys.one_of("connection", ("rigid",), None)
    stiffness = keys.number(STIFFNESS, None, above=0.0)
    if ("connection" in keys) == (STIFFNESS in keys):
        keys.note(f'give either connection = "rigid" or {STIFFNESS} = 16000', "connection")
        return None
    if stiffness is not None:
        return 1.0 / (stiffness * 1e6)
    return None if rigid is None else 0.0
