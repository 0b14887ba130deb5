"""How the load of the joint becomes the force on one bolt, with the figures that show it."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import Figure
from slip.events import Instant
from slip.joint import BoltedJoint

ELASTIC = "elastic method, stiff plates (textbook statics)"
GIVEN = "given by the user or by the bending of the flange, 1 where nothing is given"
LINEAR = "linear method, stiff plates (textbook statics)"


@dataclass(frozen=True)
class ShearOfBolt:
    """In-plane force of one bolt of a group by the elastic method; loads about the centroid of the bolts."""

    force_x: Annotated[float, Figure("V_x", "N", title="load of the joint along x")]
    force_y: Annotated[float, Figure("V_y", "N", title="load of the joint along y")]
    moment: Annotated[float, Figure("M_z", "N mm", title="moment about the centroid of the bolts")]
    bolts: Annotated[int, Figure("n_b", title="number of bolts")]
    polar: Annotated[float, Figure("I_p", "mm2", title="sum of squared distances from the centroid")]
    x: Annotated[float, Figure("x", "mm", title="place of the bolt from the centroid")]
    y: Annotated[float, Figure("y", "mm", title="place of the bolt from the centroid")]
    shear_x: Annotated[float, Figure("F_x,Ed", "N", "V_x / n_b - M_z * y / I_p", ELASTIC, "force on the bolt")]
    shear_y: Annotated[float, Figure("F_y,Ed", "N", "V_y / n_b + M_z * x / I_p", ELASTIC, "force on the bolt")]
    shear: Annotated[float, Figure("F_v,Ed", "N", "hypot(F_xEd, F_yEd)", ELASTIC, "shear on the bolt")]


@dataclass(frozen=True)
class ShearOfOneBolt:
    """In-plane force of the only bolt of a joint."""

    shear_x: Annotated[float, Figure("F_x,Ed", "N", title="force on the bolt along x")]
    shear_y: Annotated[float, Figure("F_y,Ed", "N", title="force on the bolt along y")]
    shear: Annotated[float, Figure("F_v,Ed", "N", "hypot(F_xEd, F_yEd)", ELASTIC, "shear on the bolt")]


@dataclass(frozen=True)
class TensionOfBolt:
    """Axial force of one bolt of a group by the linear method, tension above zero; loads about the centroid."""

    force: Annotated[float, Figure("N_z", "N", title="load of the joint that pulls the plates apart")]
    moment_x: Annotated[float, Figure("M_x", "N mm", title="moment about the x axis through the centroid")]
    moment_y: Annotated[float, Figure("M_y", "N mm", title="moment about the y axis through the centroid")]
    bolts: Annotated[int, Figure("n_b", title="number of bolts")]
    second_x: Annotated[float, Figure("S_xx", "mm2", title="sum of x x of the bolts")]
    second_y: Annotated[float, Figure("S_yy", "mm2", title="sum of y y of the bolts")]
    mixed: Annotated[float, Figure("S_xy", "mm2", title="sum of x y of the bolts")]
    x: Annotated[float, Figure("x", "mm", title="place of the bolt from the centroid")]
    y: Annotated[float, Figure("y", "mm", title="place of the bolt from the centroid")]
    slope_x: Annotated[
        float,
        Figure("g_x", "N/mm", "-(S_yy * M_y + S_xy * M_x) / (S_xx * S_yy - S_xy ** 2)", LINEAR, "rise along x"),
    ]
    slope_y: Annotated[
        float,
        Figure("g_y", "N/mm", "(S_xx * M_x + S_xy * M_y) / (S_xx * S_yy - S_xy ** 2)", LINEAR, "rise along y"),
    ]
    prying: Annotated[float, Figure("c_pry", "", "", GIVEN, "tension with prying over that without it")]
    tension: Annotated[
        float, Figure("F_t,Ed", "N", "c_pry * (N_z / n_b + g_x * x + g_y * y)", LINEAR, "tension of the bolt")
    ]


@dataclass(frozen=True)
class BoltForce:
    """The working behind the force on one bolt, and the load of the joint at the axes' origin."""

    shear: ShearOfBolt | ShearOfOneBolt
    tension: TensionOfBolt | None
    in_plane_load: tuple[float, float, float]

    @property
    def working(self) -> tuple:
        """The results to print, in order."""
        return (self.shear,) if self.tension is None else (self.shear, self.tension)


def bolt_force(joint: BoltedJoint, instant: Instant) -> BoltForce:
    """Working of the force on the bolt of an instant. The tension's working is left out where there is no tension."""
    shears, bolt = instant.shears, instant.bolt
    positions = np.asarray(joint.positions, dtype=float)
    load = (
        float(shears[:, 0].sum()),
        float(shears[:, 1].sum()),
        float((positions[:, 0] * shears[:, 1] - positions[:, 1] * shears[:, 0]).sum()),
    )
    arms = positions - positions.mean(axis=0)
    x, y = map(float, arms[bolt])
    if joint.bolts == 1:
        fx, fy = load[:2]
        return BoltForce(ShearOfOneBolt(fx, fy, float(np.hypot(fx, fy))), None, load)
    moment = float((arms[:, 0] * shears[:, 1] - arms[:, 1] * shears[:, 0]).sum())
    polar = float((arms**2).sum())
    fx = load[0] / joint.bolts - moment * y / polar
    fy = load[1] / joint.bolts + moment * x / polar
    shear = ShearOfBolt(*load[:2], moment, joint.bolts, polar, x, y, fx, fy, float(np.hypot(fx, fy)))
    return BoltForce(shear, _tension(arms, instant.tensions, x, y, joint.prying_factor), load)


def place(instant: Instant) -> str:
    """Bolt, load and time of an instant in words."""
    when = "" if instant.time is None else f", {instant.time:.2f} s"
    return f"bolt {instant.bolt + 1}, {instant.load}{when}, {instant.combination}"


def _tension(arms: NDArray, tensions: NDArray, x: float, y: float, prying: float) -> TensionOfBolt | None:
    xx, yy, xy = (float((a * b).sum()) for a, b in ((arms[:, 0],) * 2, (arms[:, 1],) * 2, arms.T))
    spread = xx * yy - xy**2
    if not tensions.any() or spread <= 1e-9 * (xx + yy) ** 2:
        return None
    tensions = tensions / prying
    force = float(tensions.sum())
    moment_x, moment_y = float((arms[:, 1] * tensions).sum()), float(-(arms[:, 0] * tensions).sum())
    slope_x = -(yy * moment_y + xy * moment_x) / spread
    slope_y = (xx * moment_x + xy * moment_y) / spread
    bolts = len(arms)
    return TensionOfBolt(
        force, moment_x, moment_y, bolts, xx, yy, xy, x, y, slope_x, slope_y, prying,
        prying * (force / bolts + slope_x * x + slope_y * y),
    )  # fmt: skip
