"""The ladder of the redesign: bolts before parts that take shear, these before welds; every rung sized and judged."""

from collections.abc import Callable, Iterable
from functools import partial

from loadhistories.validation import InputError
from slip.alternatives.alternative import FULL, PARTIAL, Alternative, Situation
from slip.alternatives.bolts import higher_grade, larger_bolts
from slip.alternatives.fits import fitted_bolts, injection_bolts
from slip.alternatives.grip import better_surface, normal_holes, second_plane
from slip.alternatives.parts import dowels, shear_key
from slip.alternatives.patterns import longer_pattern, more_bolts
from slip.alternatives.search import nothing
from slip.alternatives.welds import bolts_with_welds, fillet_weld, groove_weld

Rung = Callable[[Situation], Alternative]

RUNGS: dict[str, Rung] = {
    "more bolts": more_bolts,
    "larger bolts": larger_bolts,
    "longer pattern": longer_pattern,
    "second plane": second_plane,
    "friction class": better_surface,
    "normal holes": normal_holes,
    "higher grade": higher_grade,
    "shear key": shear_key,
    "dowels": dowels,
    "fitted bolts": fitted_bolts,
    "injection bolts": injection_bolts,
    "bolts and welds sharing": bolts_with_welds,
    "fillet weld": fillet_weld,
    "fillet weld, site": partial(fillet_weld, quality="site"),
    "partial penetration weld": partial(groove_weld, kind=PARTIAL),
    "full penetration weld": partial(groove_weld, kind=FULL),
}


def ladder(situation: Situation, *, over: Callable[[Iterable], Iterable] = iter) -> tuple[Alternative, ...]:
    """Every rung of the redesign, in its order, each with the steps of its search.

    Parameters
    ----------
    over : callable
        Gives the rungs on, one after the other, and may show how far the climb has come.

    Returns
    -------
    tuple of Alternative
        One for each of RUNGS; a rung that has nothing to propose says why.

    Source
    ------
    Order of the rungs: common practice, no source.
    """
    return tuple(_climbed(name, rung, situation) for name, rung in over(RUNGS.items()))


def _climbed(name: str, rung: Rung, situation: Situation) -> Alternative:
    try:
        return rung(situation)
    except InputError as refusal:
        return nothing(name, "; ".join(refusal.problems))
