"""Sections made of plates and tubes: area, second moments and the distance of a fibre from their sizes.

The section's height runs along one joint axis (`up`), its width along the other (`across`). What stress it makes
stands in `fatigue.section_stress`.
"""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_one_of, require_positive, where


@dataclass(frozen=True)
class ISection:
    """Two flanges on a web, alike or not; the fillets of a rolled section are left out."""

    height: Annotated[float, Figure("h", "mm", title="height over the flanges")]
    top_width: Annotated[float, Figure("b_1", "mm", title="width of the upper flange")]
    top_thickness: Annotated[float, Figure("t_1", "mm", title="thickness of the upper flange")]
    bottom_width: Annotated[float, Figure("b_2", "mm", title="width of the lower flange")]
    bottom_thickness: Annotated[float, Figure("t_2", "mm", title="thickness of the lower flange")]
    web_thickness: Annotated[float, Figure("t_w", "mm", title="thickness of the web")]
    web_height: Annotated[float, Figure("h_w", "mm", "h - t_1 - t_2", title="height of the web")]
    area: Annotated[float, Figure("A", "mm2", "b_1 * t_1 + b_2 * t_2 + h_w * t_w", title="area")]
    centroid: Annotated[
        float,
        Figure(
            "e_b",
            "mm",
            "(b_2 * t_2 ** 2 / 2 + h_w * t_w * (t_2 + h_w / 2) + b_1 * t_1 * (h - t_1 / 2)) / A",
            title="centroid above the lower face",
        ),
    ]
    about_width: Annotated[
        float,
        Figure(
            "I_s",
            "mm4",
            "b_1 * t_1 ** 3 / 12 + b_1 * t_1 * (h - t_1 / 2 - e_b) ** 2 + b_2 * t_2 ** 3 / 12"
            " + b_2 * t_2 * (e_b - t_2 / 2) ** 2 + t_w * h_w ** 3 / 12 + t_w * h_w * (t_2 + h_w / 2 - e_b) ** 2",
            title="second moment about the axis along the flanges",
        ),
    ]
    about_height: Annotated[
        float,
        Figure(
            "I_w",
            "mm4",
            "(t_1 * b_1 ** 3 + t_2 * b_2 ** 3 + h_w * t_w ** 3) / 12",
            title="second moment about the axis along the web",
        ),
    ]
    top_modulus: Annotated[float, Figure("W_1", "mm3", "I_s / (h - e_b)", title="modulus at the upper face")]
    bottom_modulus: Annotated[float, Figure("W_2", "mm3", "I_s / e_b", title="modulus at the lower face")]

    @property
    def fibres(self) -> dict[str, tuple[float, float]]:
        """Named fibres: how far along the width and along the height from the centroid. [mm]"""
        top, bottom = self.height - self.centroid, -self.centroid
        b_1, b_2 = self.top_width / 2, self.bottom_width / 2
        faces = {"+h": (0.0, top), "-h": (0.0, bottom)}
        return faces | {"+h +w": (b_1, top), "+h -w": (-b_1, top), "-h +w": (b_2, bottom), "-h -w": (-b_2, bottom)}


@dataclass(frozen=True)
class BoxSection:
    """A closed box of four plates, or a rectangular tube with sharp corners."""

    height: Annotated[float, Figure("h", "mm", title="outer height")]
    width: Annotated[float, Figure("b", "mm", title="outer width")]
    flange_thickness: Annotated[float, Figure("t_f", "mm", title="thickness of the walls along the width")]
    web_thickness: Annotated[float, Figure("t_w", "mm", title="thickness of the walls along the height")]
    area: Annotated[float, Figure("A", "mm2", "b * h - (b - 2 * t_w) * (h - 2 * t_f)", title="area")]
    about_width: Annotated[
        float,
        Figure("I_s", "mm4", "(b * h ** 3 - (b - 2 * t_w) * (h - 2 * t_f) ** 3) / 12", title="second moment, width"),
    ]
    about_height: Annotated[
        float,
        Figure("I_w", "mm4", "(h * b ** 3 - (h - 2 * t_f) * (b - 2 * t_w) ** 3) / 12", title="second moment, height"),
    ]
    top_modulus: Annotated[float, Figure("W_s", "mm3", "2 * I_s / h", title="modulus about the width")]
    side_modulus: Annotated[float, Figure("W_w", "mm3", "2 * I_w / b", title="modulus about the height")]

    @property
    def fibres(self) -> dict[str, tuple[float, float]]:
        """As of `ISection`."""
        return _of_rectangle(self.width, self.height)


@dataclass(frozen=True)
class RectangleSection:
    """A flat bar or plate."""

    height: Annotated[float, Figure("h", "mm", title="height")]
    width: Annotated[float, Figure("b", "mm", title="width")]
    area: Annotated[float, Figure("A", "mm2", "b * h", title="area")]
    about_width: Annotated[float, Figure("I_s", "mm4", "b * h ** 3 / 12", title="second moment about the width")]
    about_height: Annotated[float, Figure("I_w", "mm4", "h * b ** 3 / 12", title="second moment about the height")]
    top_modulus: Annotated[float, Figure("W_s", "mm3", "2 * I_s / h", title="modulus about the width")]
    side_modulus: Annotated[float, Figure("W_w", "mm3", "2 * I_w / b", title="modulus about the height")]

    @property
    def fibres(self) -> dict[str, tuple[float, float]]:
        """As of `ISection`."""
        return _of_rectangle(self.width, self.height)


@dataclass(frozen=True)
class TubeSection:
    """A round tube; a round bar where the wall reaches the middle."""

    diameter: Annotated[float, Figure("d", "mm", title="outer diameter")]
    wall: Annotated[float, Figure("t", "mm", title="thickness of the wall")]
    area: Annotated[float, Figure("A", "mm2", "pi / 4 * (d ** 2 - (d - 2 * t) ** 2)", title="area")]
    about_width: Annotated[
        float, Figure("I", "mm4", "pi / 64 * (d ** 4 - (d - 2 * t) ** 4)", title="second moment of area")
    ]
    modulus: Annotated[float, Figure("W", "mm3", "2 * I / d", title="section modulus")]

    @property
    def about_height(self) -> float:
        """The same about every axis. [mm4]"""
        return self.about_width

    @property
    def fibres(self) -> dict[str, tuple[float, float]]:
        """As of `ISection`."""
        half = self.diameter / 2
        return {"+h": (0.0, half), "-h": (0.0, -half), "+w": (half, 0.0), "-w": (-half, 0.0)}


Section = ISection | BoxSection | RectangleSection | TubeSection


def i_section(
    *,
    height: float,
    web_thickness: float,
    top_width: float,
    top_thickness: float,
    bottom_width: float | None = None,
    bottom_thickness: float | None = None,
    place: str = "",
) -> ISection:
    """An I from its plates; the lower flange is like the upper one where it is left out. [mm]

    Raises
    ------
    InputError
        A size is not above zero, the flanges leave no web, the web is wider than a flange, or only one size of
        the lower flange is given.

    Source
    ------
    Plane figures, textbook geometry.

    Examples
    --------
    >>> beam = i_section(height=200.0, web_thickness=10.0, top_width=100.0, top_thickness=10.0)
    >>> beam.area, beam.about_width
    (3800.0, 22926666.7)
    """
    if (bottom_width is None) != (bottom_thickness is None):
        raise InputError(f"give width and thickness of the lower flange, or neither{where(place)}")
    h, t_w, b_1, t_1 = _sizes(place, height=height, web_thickness=web_thickness, top_width=top_width,
                              top_thickness=top_thickness)  # fmt: skip
    b_2, t_2 = b_1, t_1
    if bottom_width is not None:
        b_2, t_2 = _sizes(place, bottom_width=bottom_width, bottom_thickness=bottom_thickness)
    h_w = h - t_1 - t_2
    if h_w <= 0.0:
        raise InputError(f"flanges of {t_1:g} and {t_2:g} mm leave no web in a height of {h:g} mm{where(place)}")
    if t_w > min(b_1, b_2):
        raise InputError(f"web_thickness {t_w:g} mm is more than the width of a flange, {min(b_1, b_2):g} mm"
                         f"{where(place)}")  # fmt: skip
    area = b_1 * t_1 + b_2 * t_2 + h_w * t_w
    e_b = (b_2 * t_2**2 / 2 + h_w * t_w * (t_2 + h_w / 2) + b_1 * t_1 * (h - t_1 / 2)) / area
    strong = (
        b_1 * t_1**3 / 12 + b_1 * t_1 * (h - t_1 / 2 - e_b) ** 2 + b_2 * t_2**3 / 12 + b_2 * t_2 * (e_b - t_2 / 2) ** 2
        + t_w * h_w**3 / 12 + t_w * h_w * (t_2 + h_w / 2 - e_b) ** 2
    )  # fmt: skip
    weak = (t_1 * b_1**3 + t_2 * b_2**3 + h_w * t_w**3) / 12
    return ISection(h, b_1, t_1, b_2, t_2, t_w, h_w, area, e_b, strong, weak, strong / (h - e_b), strong / e_b)


def box_section(
    *, height: float, width: float, flange_thickness: float, web_thickness: float, place: str = ""
) -> BoxSection:
    """A box from its outer sizes and walls. [mm]

    Raises
    ------
    InputError
        A size is not above zero, or the walls leave no hollow.

    Source
    ------
    Plane figures, textbook geometry.

    Examples
    --------
    >>> box_section(height=200.0, width=100.0, flange_thickness=10.0, web_thickness=5.0).area
    3800.0
    """
    h, b, t_f, t_w = _sizes(place, height=height, width=width, flange_thickness=flange_thickness,
                            web_thickness=web_thickness)  # fmt: skip
    inner_h, inner_b = h - 2 * t_f, b - 2 * t_w
    if min(inner_h, inner_b) <= 0.0:
        raise InputError(f"walls of {t_f:g} and {t_w:g} mm leave no hollow in {b:g} mm by {h:g} mm{where(place)}")
    strong, weak = (b * h**3 - inner_b * inner_h**3) / 12, (h * b**3 - inner_h * inner_b**3) / 12
    return BoxSection(h, b, t_f, t_w, b * h - inner_b * inner_h, strong, weak, 2 * strong / h, 2 * weak / b)


def rectangle_section(*, height: float, width: float, place: str = "") -> RectangleSection:
    """A flat bar. [mm]

    Examples
    --------
    >>> rectangle_section(height=120.0, width=10.0).top_modulus
    24000.0
    """
    h, b = _sizes(place, height=height, width=width)
    strong, weak = b * h**3 / 12, h * b**3 / 12
    return RectangleSection(h, b, b * h, strong, weak, 2 * strong / h, 2 * weak / b)


def tube_section(*, diameter: float, wall: float, place: str = "") -> TubeSection:
    """A round tube; a wall of half the diameter makes a bar. [mm]

    Raises
    ------
    InputError
        A size is not above zero, or the wall is more than half the diameter.

    Examples
    --------
    >>> tube_section(diameter=100.0, wall=5.0).modulus
    33762.3
    """
    d, t = _sizes(place, diameter=diameter, wall=wall)
    if 2 * t > d:
        raise InputError(f"wall must not be above half the diameter, {d / 2:g} mm, got {t:g} mm{where(place)}")
    inner = d - 2 * t
    inertia = math.pi / 64 * (d**4 - inner**4)
    return TubeSection(d, t, math.pi / 4 * (d**2 - inner**2), inertia, 2 * inertia / d)


SHAPES = {"I": i_section, "box": box_section, "rectangle": rectangle_section, "tube": tube_section}
SIZES = {
    "I": ("height", "web_thickness", "top_width", "top_thickness"),
    "box": ("height", "width", "flange_thickness", "web_thickness"),
    "rectangle": ("height", "width"),
    "tube": ("diameter", "wall"),
}
OPTIONAL_SIZES = {"I": ("bottom_width", "bottom_thickness")}


def section(shape: str, *, place: str = "", **sizes: float) -> Section:
    """The section of a shape of SHAPES with its sizes. [mm]"""
    return SHAPES[require_one_of(shape, SHAPES, "shape", place=place)](**sizes, place=place)


def _sizes(place: str, **sizes: float) -> tuple[float, ...]:
    return tuple(require_positive(value, name, unit="mm", place=place) for name, value in sizes.items())


def _of_rectangle(width: float, height: float) -> dict[str, tuple[float, float]]:
    w, h = width / 2, height / 2
    faces = {"+h": (0.0, h), "-h": (0.0, -h), "+w": (w, 0.0), "-w": (-w, 0.0)}
    return faces | {"+h +w": (w, h), "+h -w": (-w, h), "-h +w": (w, -h), "-h -w": (-w, -h)}
