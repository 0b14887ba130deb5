"""EN 1993-1-9:2005, partial factors: those of Table 3.1, or one of the user's own in their place."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import InputError, require_one_of, require_positive, where

EDITION = "EN 1993-1-9:2005"
BASIS = {
    "concept": {
        "safe life": "fatigue is judged for a safe life without reliance on inspection, the stricter concept",
        "damage tolerant": "",
    },
    "consequence": {"high": "failure by fatigue has high consequence, the stricter choice", "low": ""},
}
OWN_FACTORS = ("gamma_Mf",)
_PACKAGE = "fatigue.standards"


@dataclass(frozen=True)
class PartialFactors:
    """Partial factors of the fatigue verification."""

    concept: str
    consequence: str
    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", title="partial factor of the stress ranges")]
    gamma_Mf: Annotated[float, Figure("gamma_Mf", "", "", f"{EDITION}, Table 3.1", "partial factor of strength")]
    source: str
    unconfirmed: bool


@dataclass(frozen=True)
class GivenFactors:
    """Partial factors of the fatigue verification, that of the strength as the user gives it."""

    concept: str
    consequence: str
    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", title="partial factor of the stress ranges")]
    gamma_Mf: Annotated[
        float, Figure("gamma_Mf", "", "", f"{EDITION}, 3(7): as given", "partial factor of strength, given by the user")
    ]
    recommended: Annotated[float, Figure("gamma_Mf,rec", "", "", f"{EDITION}, Table 3.1", "recommended in its place")]
    source: str
    unconfirmed: bool


def partial_factors(
    concept: str, consequence: str, *, gamma_Mf: float | None = None, because: str = "", place: str = ""
) -> PartialFactors | GivenFactors:
    """Partial factors for an assessment concept and a consequence of failure.

    Parameters
    ----------
    concept : str
        "damage tolerant" or "safe life".
    consequence : str
        "low" or "high".
    gamma_Mf : float
        In place of the recommended value, as a national annex or the contract sets it.
    because : str
        The ground for it; needed with gamma_Mf.

    Raises
    ------
    InputError
        Concept or consequence unknown; gamma_Mf below 1, or without its ground.

    Examples
    --------
    >>> partial_factors("safe life", "high").gamma_Mf
    1.35
    >>> partial_factors("safe life", "high", gamma_Mf=1.25, because="national annex").gamma_Mf
    1.25
    """
    table = read_table(_PACKAGE, "en1993_factors")
    require_one_of(concept, tuple(dict.fromkeys(r["concept"] for r in table.values())), "concept", place=place)
    known = tuple(dict.fromkeys(r["consequence"] for r in table.values()))
    require_one_of(consequence, known, "consequence of failure", place=place)
    row = table[f"{concept}, {consequence}"]
    if gamma_Mf is None:
        return PartialFactors(concept, consequence, row["gamma_Ff"], row["gamma_Mf"], row["source"], unconfirmed(row))
    own = require_positive(gamma_Mf, "gamma_Mf", place=place)
    if own < 1.0:
        raise InputError(f"gamma_Mf must not be below 1, got {own:g}{where(place)}")
    if not because.strip():
        raise InputError(
            f"gamma_Mf {own:g} in place of the recommended {row['gamma_Mf']:g} needs its ground: give because = "
            f'"national annex, Table …"{where(place)}'
        )
    return GivenFactors(
        concept, consequence, row["gamma_Ff"], own, row["gamma_Mf"], f"given by the user: {because}", unconfirmed(row)
    )


def deviation(factors: PartialFactors | GivenFactors) -> str:
    """How the factors differ from the recommended ones, in words; "" where they do not."""
    if isinstance(factors, PartialFactors):
        return ""
    return (
        f"gamma_Mf {factors.gamma_Mf:g} in place of the {factors.recommended:g} that {EDITION}, Table 3.1, recommends "
        f"for {factors.concept}, {factors.consequence} consequence; {factors.source}"
    )
