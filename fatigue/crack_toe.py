"""How the toe of a weld raises the stress intensity of a crack that starts from it."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import require_one_of, require_positive

TOE = "BS 7910, annex on stress intensity, weld toes (from memory)"
LOADS = ("membrane", "bending")
SURFACE_PLACE = 0.15


@dataclass(frozen=True)
class WeldToe:
    """The weld from whose toe a crack starts.

    Attributes
    ----------
    reach : float
        Length of the attachment from toe to toe along the stress, both weld legs included. [mm]
    """

    reach: float

    def __post_init__(self):
        require_positive(self.reach, "reach of the weld from toe to toe", unit="mm")


@dataclass(frozen=True)
class ToeFactor:
    """Stress intensity at a weld toe over that without the weld."""

    load: str
    place: Annotated[float, Figure("z", "mm", title="depth of the tip; 0.15 mm for the ends at the surface")]
    thickness: Annotated[float, Figure("t", "mm", title="thickness of the plate")]
    reach: Annotated[float, Figure("L", "mm", title="weld from toe to toe")]
    coefficient: Annotated[float, Figure("v", "", "", TOE, "coefficient for this reach and depth")]
    exponent: Annotated[float, Figure("w", "", "", TOE, "exponent for this reach and depth")]
    factor: Annotated[float, Figure("M_k", "", "max(1, v * (z / t) ** w)", TOE, "factor of the weld toe")]


def toe_factor(toe: WeldToe, load: str, *, depth: float | None, thickness: float) -> ToeFactor:
    """Factor of a weld toe at the deepest point of a crack, or at its ends.

    Parameters
    ----------
    toe : WeldToe
    load : str
        "membrane" or "bending".
    depth : float or None
        Depth of the crack [mm]; None for its ends at the surface, which count as lying 0.15 mm deep.
    thickness : float
        Of the plate. [mm]

    Returns
    -------
    ToeFactor

    Raises
    ------
    InputError
        Unknown kind of load, or a size not above zero.

    Limits
    ------
    Flat plate with a transverse weld of ordinary profile, about 45 deg, toe as welded. At the change from near
    to far the factor steps by up to 3 %, as the table does.

    Source
    ------
    BS 7910, annex on stress intensity, two-dimensional solution (from memory).
    """
    require_one_of(load, LOADS, "load at a weld toe")
    t = require_positive(thickness, "thickness", unit="mm")
    place = SURFACE_PLACE if depth is None else require_positive(depth, "depth of the crack", unit="mm")
    reach = toe.reach / t
    rows = read_table("fatigue", "crack_toe")
    fitting = {
        row["longest_L_over_t"]: key for key, row in rows.items()
        if row["load"] == load and reach <= row["longest_L_over_t"]
    }  # fmt: skip
    row = rows[fitting[min(fitting)]]
    if place / t <= row["near_limit"] * reach ** row["near_limit_exponent"]:
        v, w = row["near_v"] * reach ** row["near_v_exponent"], row["near_w"]
    else:
        v, w = row["far_v"], row["far_w"] * reach ** row["far_w_exponent"]
    return ToeFactor(load, place, t, toe.reach, v, w, max(1.0, v * (place / t) ** w))
