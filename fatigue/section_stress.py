"""Makes the recipe of a detail's stress from a section of known sizes, at one fibre or at all its corners."""

import math

from fatigue.recipe import AXES, Recipe, several
from fatigue.sections import section
from fatigue.stress import stress_of_section
from loadhistories.validation import InputError, require_one_of, where

AROUND = 16
CORNERS, ALL_AROUND = "corners", "around"


def stress_of_shape(
    normal: str, up: str, fibre: str, *, shape: str, on: str = "", place: str = "", **sizes: float
) -> Recipe:
    """Normal stress of axial force and both moments at a fibre of a section given by its sizes.

    Parameters
    ----------
    normal, up : str
        Axis that the section stands across, and the axis along which its height runs: "x", "y" or "z".
    fibre : str
        Where: "+y", "-y" in the middle of a face, "+z -x" and so on at a corner, "corners" for the worst of all
        corners, "around" for the worst place on a tube.
    shape : str
        "I", "box", "rectangle" or "tube"; see `fatigue.sections`.
    **sizes : float
        Those of the shape. [mm]

    Returns
    -------
    Recipe
        For loads acting at the centroid; see `fatigue.lever.standing_at`. Several histories for all corners.

    Raises
    ------
    InputError
        Unknown shape, axis or fibre; a size missing or not fit.

    Limits
    ------
    Elastic, plane sections, no shear lag, no rounding or fillets. "around" looks at AROUND places of a tube; each
    stands for its neighbourhood by a distance larger by 1 / cos(pi / AROUND), 2 %.

    Source
    ------
    Beam theory, common practice, no source.

    Examples
    --------
    >>> beam = stress_of_shape("x", "z", "+z", shape="rectangle", height=120.0, width=10.0)
    >>> beam.stress_of([12_000, 0, 0, 0, 240_000, 0])
    20.0
    """
    require_one_of(normal, AXES, "section normal", place=place)
    require_one_of(up, [axis for axis in AXES if axis != normal], "up", place=place)
    width_axis = next(axis for axis in AXES if axis not in (normal, up))
    made = section(shape, place=place, **sizes)
    named = {_in_axes(name, up, width_axis): spot for name, spot in made.fibres.items()}
    spots = _chosen(fibre, named, shape, place)
    recipes = [
        stress_of_section(
            normal,
            area=made.area,
            second_moments={width_axis: made.about_width, up: made.about_height},
            point={width_axis: w, up: h},
            on=on,
            place=place,
        )
        for w, h in spots.values()
    ]
    return several(
        [recipe.coefficients for recipe in recipes],
        tuple(spots),
        f"normal stress of the {shape} section across {normal}",
        stress="normal",
        on=on,
        working=(made,),
        workings=tuple(recipe.working for recipe in recipes),
    )


def _in_axes(name: str, up: str, width_axis: str) -> str:
    """ "+h -w" as the user says it: in the axes of the joint, such as "+z -y"."""
    return name.replace("h", up).replace("w", width_axis)


def _chosen(fibre: str, named: dict, shape: str, place: str) -> dict[str, tuple[float, float]]:
    corners = {name: spot for name, spot in named.items() if " " in name}
    if fibre == CORNERS and corners:
        return corners
    if fibre == ALL_AROUND and not corners:
        radius = max(h for _, h in named.values()) / math.cos(math.pi / AROUND)
        angles = [2 * math.pi * k / AROUND for k in range(AROUND)]
        return {f"at {math.degrees(a):g} deg from the width": (radius * math.cos(a), radius * math.sin(a))
                for a in angles}  # fmt: skip
    words = " ".join(sorted(fibre.split())) if isinstance(fibre, str) else fibre
    for name, spot in named.items():
        if " ".join(sorted(name.split())) == words:
            return {name: spot}
    whole = CORNERS if corners else ALL_AROUND
    raise InputError(
        f"fibre {fibre!r} is unknown in the {shape} section; known: {', '.join(named)}, {whole}{where(place)}"
    )
