"""AISC 360, Appendix 3: stress categories, the rows of Table A-3.1, and their curves.

Both printings of each equation, in US customary units and in SI, are kept apart; inside all is in MPa.
"""

from dataclasses import dataclass
from functools import cache

from fatigue.catalogue import CatalogueRow
from fatigue.curves import LifeCurve
from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import InputError, nearest, require_one_of, require_positive, where

PACKAGE = "fatigue.standards.aisc360"
BOTH = "AISC 360-16 and 360-22, Appendix 3"
TABLE = "A-3.1"
EQUATIONS = ("US", "SI")
STRESSES = {"normal": "C", "shear": "F"}
BOLT = "G"
UNWELDED_SECTIONS = (1, 2)


@dataclass(frozen=True)
class Constants:
    """The numbers of a category: allowable range = factor * (constant / n)^exponent, not below the threshold.

    Attributes
    ----------
    factor, threshold : float
        [MPa]; no threshold: None.
    root : str
        Crack from the root of a weld whose reduction is needed: "partial penetration", "fillet" or "".
    """

    constant: float
    exponent: float
    factor: float
    threshold: float | None
    equation: str
    source: str
    root: str = ""

    def line_at(self, cycles: float) -> float:
        """Range of the inclined line at so many cycles, with no regard to the threshold. [MPa]"""
        return self.factor * (self.constant / cycles) ** self.exponent

    @property
    def threshold_cycles(self) -> float | None:
        """Cycles at which the inclined line meets the threshold."""
        if self.threshold is None:
            return None
        return self.constant * (self.factor / self.threshold) ** (1.0 / self.exponent)


def rule(name: str) -> float:
    """A single number of the rules."""
    return float(read_table(PACKAGE, "rules")[name]["value"])


def constants(letter: str, equations: str) -> Constants:
    """The numbers of a category in MPa, from the printing in US customary units or in SI.

    Examples
    --------
    >>> constants("E'", "SI").threshold
    18.0
    """
    row = read_table(PACKAGE, "categories")[letter]
    unit, to_MPa = ("ksi", rule("ksi")) if equations == "US" else ("MPa", 1.0)
    threshold = row.get(f"threshold_{unit}")
    return Constants(
        constant=row["C_f"],
        exponent=row["exponent"],
        factor=row[f"factor_{unit}"] * to_MPa,
        threshold=None if threshold is None else threshold * to_MPa,
        equation=row["equation"] + ("" if equations == "US" else "M"),
        source=row["source"],
        root=row.get("root", ""),
    )


def constants_of_row(row: CatalogueRow) -> Constants:
    """The numbers of a row; for a strength of the user's own those of a line through it, without threshold."""
    if row.letter:
        return constants(row.letter, row.equations)
    like = constants(STRESSES[row.stress], row.equations)
    constant = rule("reference_cycles") * (row.category / like.factor) ** (1.0 / like.exponent)
    return Constants(constant, like.exponent, like.factor, None, like.equation, row.source)


@cache
def rows(equations: str = "US") -> dict[str, CatalogueRow]:
    """Every row of Table A-3.1 by its number."""
    return {key: _row(key, row, equations) for key, row in read_table(PACKAGE, "details").items()}


def catalogue() -> tuple[CatalogueRow, ...]:
    """Every row of Table A-3.1."""
    return tuple(rows().values())


def row_of(
    category: str | float, *, stress: str | None = None, equations: str = "US", place: str = ""
) -> CatalogueRow:
    """The row of a number of Table A-3.1, or one made of a category's letter.

    Raises
    ------
    InputError
        No such category, a row that only refers to others or is not permitted, or the other kind of stress.
    """
    require_one_of(equations, EQUATIONS, "equations", place=place)
    name = _spelled(category, place)
    row = _of_letter(name, equations) if name in _letters() else _of_table(name, equations, place)
    if stress is not None and require_one_of(stress, tuple(STRESSES), "stress", place=place) != row.stress:
        raise InputError(f"category {row.id} is for {row.stress} stress, got {stress!r}{where(place)}")
    return row


def row_of_strength(
    strength: float, *, stress: str | None = None, equations: str = "US", place: str = ""
) -> CatalogueRow:
    """A row made of a strength at 2e6 cycles on the slope of the categories, without threshold. [MPa]"""
    require_one_of(equations, EQUATIONS, "equations", place=place)
    number = require_positive(strength, "strength", unit="MPa", place=place)
    kind = require_one_of(stress or "normal", tuple(STRESSES), "stress", place=place)
    like = constants(STRESSES[kind], equations)
    return CatalogueRow(
        id=f"strength {number:g} MPa",
        table="",
        detail="",
        category=number,
        slope=1.0 / like.exponent,
        stress=kind,
        stress_on="",
        condition="strength given by the user; its conditions are for the user to meet",
        source=f"strength given by the user; exponent: {like.source}",
        unconfirmed=unconfirmed({"source": like.source}),
        equations=equations,
    )


def curve_of_row(row: CatalogueRow) -> LifeCurve:
    """The curve of a row, without the reduction for a root.

    Limits
    ------
    Constant ranges. Once one range exceeds the threshold, all ranges do damage on the inclined line.
    """
    numbers = constants_of_row(row)
    limit = numbers.threshold_cycles
    reference = rule("reference_cycles") if limit is None else limit
    category = f"category {row.letter}" if row.letter else row.id
    number = f" ({row.id})" if row.letter and row.id != row.letter else ""
    return LifeCurve(
        name=f"{BOTH}, {category}{number}, eq. ({numbers.equation}), {row.stress} stress",
        strength=numbers.line_at(reference) if limit is None else numbers.threshold,
        reference=reference,
        slopes=(1.0 / numbers.exponent,),
        cut_off=limit,
        threshold=limit is not None,
        source=numbers.source,
    )


def _letters() -> dict[str, dict]:
    return read_table(PACKAGE, "categories")


def _spelled(category: str | float, place: str) -> str:
    """The category with plain primes; a number is no category here."""
    if isinstance(category, str):
        plain = category.strip()
        for prime in "′’‘`´":
            plain = plain.replace(prime, "'")
        return plain.replace("″", "''").replace("”", "''").replace('"', "''")
    raise InputError(
        f"category {category!r}: AISC 360 names its categories {', '.join(_letters())}, or give the number of the "
        f'detail in Table {TABLE} as text, such as "5.4"; a strength of your own is given as strength{where(place)}'
    )


def _of_letter(letter: str, equations: str) -> CatalogueRow:
    row = _letters()[letter]
    return CatalogueRow(
        id=letter,
        table="",
        detail="",
        category=_strength(letter, equations),
        slope=1.0 / row["exponent"],
        stress=row["stress"],
        stress_on="tensile stress area" if letter == BOLT else "",
        condition=f"category {letter} given by its letter; the conditions of its row are for the user to meet",
        source=row["source"],
        unconfirmed=unconfirmed(row),
        size_effect=_root_of(letter),
        letter=letter,
        equations=equations,
    )


def _of_table(name: str, equations: str, place: str) -> CatalogueRow:
    known = rows(equations)
    if name not in known:
        family = [key for key in known if key.startswith(name) and name]
        guess = nearest(name, [*known, *_letters()])
        if family:
            hint = f"; known of this kind: {', '.join(family)}"
        elif guess:
            hint = f"; did you mean {guess!r}?"
        else:
            hint = ""
        raise InputError(
            f"category {name!r} is unknown in AISC 360{hint}; categories are {', '.join(_letters())} and the details "
            f"of Table {TABLE}, such as 5.4{where(place)}"
        )
    row = known[name]
    if row.category is None:
        use = f"; use one of {', '.join(row.see)}" if row.see else ""
        raise InputError(f"detail {name!r} has no category of its own: {row.condition}{use}{where(place)}")
    return row


def _row(key: str, row: dict, equations: str) -> CatalogueRow:
    letter = row.get("letter", "")
    named = _letters().get(letter, {"source": ""})
    return CatalogueRow(
        id=key,
        table=TABLE,
        detail=key,
        category=_strength(letter, equations) if letter else None,
        slope=1.0 / named.get("exponent", constants(STRESSES[row["stress"]], equations).exponent),
        stress=row["stress"],
        stress_on=row["stress_on"],
        condition=row["condition"],
        source=f"{row['source']}; constants of {letter}: {named['source']}" if letter else row["source"],
        unconfirmed=unconfirmed(row) or unconfirmed(named),
        size_effect=_root_of(letter) if letter else "",
        relies_on=row.get("relies_on", ""),
        crack=row.get("crack", ""),
        welded=row["section"] not in UNWELDED_SECTIONS and letter != BOLT,
        see=tuple(row.get("see", ())),
        also=tuple(row.get("also", ())),
        letter=letter,
        equations=equations,
    )


def _root_of(letter: str) -> str:
    kind = _letters()[letter].get("root", "")
    return f"{kind} root" if kind else ""


def _strength(letter: str, equations: str) -> float:
    """Threshold, or the range at the reference cycles where there is none. [MPa]"""
    numbers = constants(letter, equations)
    return numbers.line_at(rule("reference_cycles")) if numbers.threshold is None else numbers.threshold
