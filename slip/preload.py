"""Preload as a quantity with a life of its own: specified, installed, and what is lost of it afterwards.

The checks of a standard take the specified preload and never more. What is left of it after losses is shown beside
them: how far the joint is used then, and whether it still grips.
"""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import InputError, require_not_negative, require_one_of, require_positive, where

WHAT_IF = (1.0, 0.9, 0.8, 0.7)
METHODS = ("torque", "combined", "turn-of-nut", "direct tension indicator")
SURFACES = ("uncoated", "galvanised", "coated")
NORMAL = "5 % fractile of a normal distribution"
SUM = "losses of the installed preload add up"


@dataclass(frozen=True)
class PreloadLife:
    """Preload of one bolt from the drawing to what is left of it after years.

    `sources` says where each value that was not given comes from; `unconfirmed` tells that one was recalled and
    not read. The low values are None where the scatter of the method is not known.
    """

    specified: Annotated[float, Figure("F_p,C", "N", title="specified preload, the one that the checks take")]
    installed: Annotated[float, Figure("r_m", title="mean installed over specified preload")]
    mean_installed: Annotated[float, Figure("F_m", "N", "r_m * F_pC", "", "mean installed preload")]
    variation: Annotated[float | None, Figure("V_p", title="coefficient of variation of the installed preload")]
    low_installed: Annotated[
        float | None, Figure("F_low", "N", "F_m * (1 - 1.645 * V_p)", NORMAL, "low installed preload")
    ]
    seating: Annotated[float, Figure("d_s", title="share lost by seating")]
    relaxation: Annotated[float, Figure("d_r", title="share lost by relaxation")]
    creep: Annotated[float, Figure("d_c", title="share lost by creep of the coating")]
    later: Annotated[float, Figure("d_l", title="share lost later")]
    left: Annotated[float, Figure("q", "", "1 - d_s - d_r - d_c - d_l", SUM, "share that is left")]
    seating_loss: Annotated[float, Figure("F_s", "N", "d_s * F_pC", "", "lost of the specified preload by seating")]
    relaxation_loss: Annotated[float, Figure("F_r", "N", "d_r * F_pC", "", "lost by relaxation")]
    creep_loss: Annotated[float, Figure("F_c", "N", "d_c * F_pC", "", "lost by creep of the coating")]
    later_loss: Annotated[float, Figure("F_l", "N", "d_l * F_pC", "", "lost later")]
    remaining: Annotated[float, Figure("F_q", "N", "q * F_pC", "", "left of the specified preload")]
    mean_remaining: Annotated[float, Figure("F_m,q", "N", "q * F_m", "", "left of the mean installed preload")]
    low_remaining: Annotated[
        float | None, Figure("F_low,q", "N", "q * F_low", "", "left of the low installed preload")
    ]
    method: str
    surface: str
    sources: tuple[str, ...]
    unconfirmed: bool

    @property
    def shares(self) -> dict[str, float]:
        """What is left over the specified preload, in words: of the specified, the mean and the low installed one."""
        found = {
            "specified preload less the stated losses": self.remaining,
            f"mean preload by {self.method} less the stated losses": self.mean_remaining,
        }
        if self.low_remaining is not None:
            found[f"low preload by {self.method} less the stated losses"] = self.low_remaining
        return {name: force / self.specified for name, force in found.items()}


@dataclass(frozen=True)
class TighteningTorque:
    """Torque that brings a bolt to its specified preload."""

    factor: Annotated[float, Figure("k_m", title="torque factor of the bolts as supplied")]
    diameter: Annotated[float, Figure("d", "mm", title="diameter of the bolt")]
    specified: Annotated[float, Figure("F_p,C", "N", title="specified preload")]
    torque: Annotated[
        float,
        Figure(
            "M_r", "N mm", "k_m * d * F_pC",
            "Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., Example 8-3",
            "tightening torque at the specified preload",
        ),
    ]  # fmt: skip


def preload_life(
    specified: float,
    *,
    method: str,
    surface: str,
    grade: str = "",
    installed: float | None = None,
    variation: float | None = None,
    seating: float | None = None,
    coating_creep: float | None = None,
    later_loss: float = 0.0,
    place: str = "",
) -> PreloadLife:
    """What is left of the preload of a bolt. [N]

    Parameters
    ----------
    specified : float
        [N]
    method : str
        One of METHODS.
    surface : str
        One of SURFACES: of plates and bolts, under the head and between the plates.
    grade : str
        Of the bolt; some methods have values of their own for a grade.
    installed, variation, seating : float, optional
        Mean installed over specified preload, its coefficient of variation, and the share lost by seating; without
        them those of the tables are taken. [-]
    coating_creep, later_loss : float
        Further shares that are lost. [-]

    Raises
    ------
    InputError
        A word or a share that cannot be, losses of all the preload, or a coated surface without its creep.

    Limits
    ------
    The losses are taken as shares of the preload as installed that add up. Losses by slip and by loosening are not
    in them.

    Examples
    --------
    >>> preload_life(145e3, method="combined", surface="galvanised", seating=0.0).remaining
    135575.0
    """
    require_positive(specified, "specified", place=place)
    way, losses = _method(method, grade, place), read_table(__package__, "preload_losses")
    lost, settled = losses[require_one_of(surface, SURFACES, "surface", place=place)], losses["seating"]
    sources = []
    if installed is None or (variation is None and "variation" in way):
        sources.append(f"installed preload by {method}: {way['source']}")
    sources.append(f"relaxation, {surface}: {lost['source']}")
    if seating is None:
        sources.append(f"seating: {settled['source']}")
    if coating_creep is None and lost.get("needs_creep"):
        raise InputError(
            f"coating_creep is missing: a coated surface loses preload by creep of the coat; give the share found by "
            f'its test, as in coating_creep = "5 %"{where(place)}'
        )
    ratio = way["installed"] if installed is None else require_positive(installed, "installed", place=place)
    scatter = way.get("variation") if variation is None else _share(variation, "variation", place, most=0.5)
    shares = [
        settled["loss"] if seating is None else _share(seating, "seating", place),
        lost["loss"],
        _share(coating_creep or 0.0, "coating_creep", place),
        _share(later_loss, "later_loss", place),
    ]
    recalled = any(unconfirmed({"source": text}) for text in sources)
    return _life(specified, ratio, scatter, shares, place, method, surface, tuple(sources), recalled)


def _life(specified, ratio, scatter, shares, place, method, surface, sources, recalled) -> PreloadLife:
    seating, relaxation, creep, later = shares
    left = 1 - seating - relaxation - creep - later
    if left <= 0.0:
        lost = f"{100 * (1 - left):.3g} %"
        raise InputError(f"the losses of preload add up to {lost}; they must leave some{where(place)}")
    mean = ratio * specified
    low = None if scatter is None else mean * (1 - 1.645 * scatter)
    return PreloadLife(
        specified=specified, installed=ratio, mean_installed=mean, variation=scatter, low_installed=low,
        seating=seating, relaxation=relaxation, creep=creep, later=later, left=left,
        seating_loss=seating * specified, relaxation_loss=relaxation * specified, creep_loss=creep * specified,
        later_loss=later * specified, remaining=left * specified, mean_remaining=left * mean,
        low_remaining=None if low is None else left * low,
        method=method, surface=surface, sources=sources, unconfirmed=recalled,
    )  # fmt: skip


def tightening_torque(factor: float, diameter: float, specified: float, *, place: str = "") -> TighteningTorque:
    """Torque at the specified preload. [N mm]

    Parameters
    ----------
    factor : float
        Of the bolts as supplied, from the maker's or the site's test. [-]
    diameter : float
        [mm]
    specified : float
        [N]

    Examples
    --------
    >>> tightening_torque(0.13, 20.0, 172e3).torque
    447200.0
    """
    for value, name in ((factor, "torque_factor"), (diameter, "diameter"), (specified, "specified")):
        require_positive(value, name, place=place)
    if factor > 1.0:
        raise InputError(f"torque_factor must not be above 1, got {factor:g}{where(place)}")
    return TighteningTorque(factor, diameter, specified, factor * diameter * specified)


def shares_looked_at(joint) -> tuple[float, ...]:
    """Shares of a joint's preload at which its grip is looked at: WHAT_IF, then those left after its losses."""
    life = joint.preload_life
    return tuple(dict.fromkeys((*WHAT_IF, *(() if life is None else life.shares.values()))))


def _method(method: str, grade: str, place: str) -> dict:
    """The row of a method, of the bolt's grade where there is one."""
    rows = read_table(__package__, "preload_methods")
    row = rows[require_one_of(method, METHODS, "method", place=place)]
    return rows.get(f"{method}, {grade}", row)


def _share(value: float, name: str, place: str, *, most: float = 1.0) -> float:
    number = require_not_negative(value, name, place=place)
    if number >= most:
        raise InputError(f"{name} must be below {most:g}, got {number:g}; it is a share such as 5 %{where(place)}")
    return number
