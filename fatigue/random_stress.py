"""Random stress at a detail, stated by its spectral density: its damage beside that of the recorded loads."""

from dataclasses import dataclass, replace
from typing import Annotated

from fatigue.detail import Detail
from fatigue.random_vibration import (
    DIRLIK,
    RICE,
    DirlikShape,
    Floats,
    SpectralMoments,
    dirlik_damage,
    dirlik_shape,
    narrow_band_damage,
    spectral_moments,
)
from loadhistories.figures import Check, Figure, judged
from loadhistories.occurrence import TimeInLife, TimePerPeriod
from loadhistories.validation import InputError, where

STANDARD = "EN 1993"
FATIGUE = "EN 1993-1-9:2005"
CLAUSE = f"{FATIGUE}, 8(3), and {DIRLIK}"


@dataclass(frozen=True)
class RandomDamage:
    """Damage of a random stress on the design curve; strengths are normal or shear, as the category is for."""

    time: Annotated[float, Figure("T", "s", title="time under the random stress in the design life")]
    deviation: Annotated[float, Figure("s", "MPa", title="standard deviation")]
    crossings: Annotated[float, Figure("E_0", "1/s", title="upward crossings of the mean")]
    peaks: Annotated[float, Figure("E_P", "1/s", title="peaks")]
    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", "", f"{FATIGUE}, 3(7)", "partial factor of the ranges")]
    gamma_Mf: Annotated[float, Figure("gamma_Mf", "", "", f"{FATIGUE}, Table 3.1", "partial factor of the strength")]
    strength: Annotated[float, Figure("ΔS_C", "MPa", "", f"{FATIGUE}, 7.1", "category, size effect included")]
    design_strength: Annotated[float, Figure("ΔS_C,d", "MPa", "ΔS_C / gamma_Mf", f"{FATIGUE}, 8(2)", "design strength")]
    design_deviation: Annotated[float, Figure("s_d", "MPa", "gamma_Ff * s", "", "design value of the deviation")]
    narrow_cycles: Annotated[float, Figure("n_0", "", "E_0 * T", RICE, "crossings in the design life")]
    cycles: Annotated[float, Figure("n_P", "", "E_P * T", RICE, "peaks in the design life: cycles")]
    narrow: Annotated[float, Figure("D_nb", "", "", RICE, "damage as of a narrow band, for comparison")]
    damage: Annotated[float, Figure("D_r", "", "", DIRLIK, "damage by Dirlik's density of ranges")]


@dataclass(frozen=True)
class RandomAndRecorded:
    """Damage of the random stress and of the recorded loads, which act at other times."""

    random: Annotated[float, Figure("D_r", "", title="damage of the random stress")]
    counted: Annotated[float, Figure("D_c", "", title="damage of the recorded loads, counted")]
    damage: Annotated[float, Figure("D", "", "D_r + D_c", "Miner's rule", "damage of both")]
    design_life: Annotated[float | None, Figure("T_d", "year", title="design life")] = None
    life: Annotated[float | None, Figure("L", "year", "T_d / D", f"{FATIGUE}, A.5(1)", "life at a damage of 1")] = None


@dataclass(frozen=True)
class PointWithRandom:
    """Normal and shear stress at a point, with the random stress that acts there at other times."""

    counted: Annotated[float, Figure("D_p", "", title="damage of the point by the recorded loads")]
    normal: Annotated[float, Figure("D_r,σ", "", title="damage of the random normal stress")]
    shear: Annotated[float, Figure("D_r,τ", "", title="damage of the random shear stress")]
    damage: Annotated[float, Figure("D", "", "D_p + D_rσ + D_rτ", f"{FATIGUE}, 8(4), A.5", "damage of the point")]


@dataclass(frozen=True, eq=False)
class RandomTask:
    """What a user states of the random stress at a detail: its one-sided density, and how long it acts."""

    file: str
    frequencies: Floats
    densities: Floats
    moments: SpectralMoments
    shape: DirlikShape
    occurrence: TimePerPeriod | TimeInLife
    sha256: str = ""
    size: int = 0


def random_task(file: str, frequencies: Floats, densities: Floats, occurrence, *, place: str = "") -> RandomTask:
    """The random stress of a density [MPa2/Hz] over frequencies [Hz].

    Raises
    ------
    InputError
        As `spectral_moments` and `dirlik_shape`; an occurrence that is a number of times and not a time.
    """
    if not isinstance(occurrence, (TimePerPeriod, TimeInLife)):
        raise InputError(
            f'occurs of a density must be a time, as in "16 h/day", got {occurrence.text!r}{where(place)}'
        )
    try:
        moments = spectral_moments(frequencies, densities)
        return RandomTask(file, frequencies, densities, moments, dirlik_shape(moments), occurrence)
    except InputError as refusal:
        raise InputError(*(f"{file}: {problem}{where(place)}" for problem in refusal.problems)) from refusal


def with_random(detail: Detail, task: RandomTask, *, place: str = "") -> Detail:
    """The detail with the random stress that acts at it; refused for a detail of another standard."""
    if detail.standard != STANDARD:
        raise InputError(
            f"detail {detail.name!r}: psd is judged by {STANDARD} only, not by {detail.standard}{where(place)}"
        )
    return replace(detail, random=task)


def random_damage(detail: Detail, task: RandomTask, *, factors) -> RandomDamage:
    """Damage in the design life on the design curve; compression counts in full."""
    curve, moments = detail.curve.factored(factors.gamma_Mf), task.moments
    design = spectral_moments(task.frequencies, task.densities * factors.gamma_Ff**2)
    time = task.occurrence.total_time
    narrow_cycles = moments.crossings * time
    return RandomDamage(
        time, moments.deviation, moments.crossings, moments.peaks, factors.gamma_Ff, factors.gamma_Mf,
        detail.curve.strength, curve.strength, design.deviation, narrow_cycles, moments.peaks * time,
        narrow_band_damage(curve, design.deviation, narrow_cycles), dirlik_damage(curve, design, time),
    )  # fmt: skip


def random_check(id: str, name: str, task: RandomTask, found: RandomDamage) -> Check:
    """The check of the damage of the random stress alone."""
    return judged(
        id, f"fatigue of {name} by random stress", demand=found.damage, resistance=1.0, unit="", clause=CLAUSE,
        working=(task.moments, task.shape, found),
    )  # fmt: skip


def scaled_damage(detail: Detail, task: RandomTask, factor: float, *, factors) -> float:
    """Damage in the design life when the random stress is larger by a factor. [-]"""
    moments = spectral_moments(task.frequencies, task.densities * factor**2)
    louder = replace(task, densities=task.densities * factor**2, moments=moments, shape=dirlik_shape(moments))
    return random_damage(detail, louder, factors=factors).damage


def sum_check(id: str, name: str, found: RandomDamage, *, counted: float, years: float | None = None) -> Check:
    """The check of the damage of the random stress with that of the recorded loads, over a design life. [year]"""
    total = found.damage + counted
    life = None if years is None or total == 0.0 else years / total
    both = RandomAndRecorded(found.damage, counted, total, None if life is None else years, life)
    return judged(
        id, f"fatigue of {name} by random stress and recorded loads together", demand=both.damage, resistance=1.0,
        unit="", clause=f"{FATIGUE}, 8(3)", working=(both,),
    )  # fmt: skip


def point_with_random(id: str, title: str, normal, shear) -> Check:
    """The check of a point under the recorded loads and random stress, of a normal and a shear detail's outcomes."""
    counted = normal.result.damage + shear.result.damage
    by_normal, by_shear = (0.0 if item.random is None else item.random.damage for item in (normal, shear))
    point = PointWithRandom(counted, by_normal, by_shear, counted + by_normal + by_shear)
    return judged(
        id, title, demand=point.damage, resistance=1.0, unit="", clause=f"{FATIGUE}, 8(4), A.5", working=(point,)
    )


def remark_on_random(task: RandomTask, found: RandomDamage) -> str:
    """What stands beside the check."""
    return (
        f"random stress of {task.file}: damage {found.damage:.3g} by Dirlik, {found.narrow:.3g} as of a narrow band; "
        "Gaussian with mean zero; Dirlik's fit may lie some 4 % below a rainflow count, 11 % for two separate bands; "
        "damage and life of the detail itself are those of the records alone; the life with both stands with the check "
        "of both together and at other stress"
    )
