"""Damage of stress ranges that follow a Weibull distribution over the life, in closed form on any life curve."""

import math

from fatigue.curves import LifeCurve
from loadhistories.validation import require_not_negative, require_positive


def weibull_damage(curve: LifeCurve, extreme_range: float, *, cycles: float, shape: float) -> float:
    """Sum of n / N over ranges that a Weibull distribution spreads over the life. [-]

    Parameters
    ----------
    curve : LifeCurve
        With any number of pieces; a cut-off ends the damage.
    extreme_range : float
        Range that is exceeded once in `cycles`. [MPa]
    cycles : float
        Cycles in the life, above 1.
    shape : float
        Shape h of the distribution: 1 is exponential, 2 is Rayleigh. [-]

    Returns
    -------
    float

    Raises
    ------
    InputError
        Cycles not above 1, shape not above 0, range negative.

    Limits
    ------
    The distribution has no upper end: ranges beyond the extreme one are in the sum, with their small chance.

    Source
    ------
    DNV-RP-C203, long-term distribution of stress ranges on a curve of two slopes (from memory): incomplete Gamma
    functions; here for any number of pieces.

    Examples
    --------
    >>> from fatigue.curves import life_curve
    >>> curve = life_curve("DNV-RP-C203", "D")
    >>> round(weibull_damage(curve, 271.5, cycles=1e8, shape=1.0), 2)
    1.0
    """
    from scipy.special import gamma, gammainc, gammaincc

    require_not_negative(extreme_range, "extreme range", unit="MPa")
    number = require_positive(require_positive(cycles, "cycles") - 1.0, "cycles beyond the first") + 1.0
    h = require_positive(shape, "shape")
    if extreme_range == 0.0:
        return 0.0
    scale = extreme_range / math.log(number) ** (1.0 / h)
    knees = list(zip(curve.knees, curve.knee_strengths, strict=True))
    anchors = [knees[0] if knees else (curve.reference, curve.strength), *knees]
    lower = [*curve.knee_strengths, curve.cut_off_strength or 0.0]
    damage, upper = 0.0, math.inf
    for slope, (anchor_cycles, anchor_strength), low in zip(curve.slopes, anchors, lower, strict=True):
        order, least = 1.0 + slope / h, (low / scale) ** h
        part = gammaincc(order, least)
        if math.isfinite(upper):
            part = gammainc(order, (upper / scale) ** h) - gammainc(order, least)
        damage += (scale / anchor_strength) ** slope * gamma(order) * part / anchor_cycles
        upper = low
    return float(number * damage)


def allowed_extreme_range(curve: LifeCurve, *, cycles: float, shape: float, damage: float = 1.0) -> float:
    """Extreme range at which the Weibull damage reaches `damage`. [MPa]

    Parameters
    ----------
    curve, cycles, shape
        As for `weibull_damage`.
    damage : float
        Allowed damage, such as 1 over the design fatigue factor. [-]

    Examples
    --------
    >>> from fatigue.curves import life_curve
    >>> round(allowed_extreme_range(life_curve("DNV-RP-C203", "D"), cycles=1e8, shape=1.0), 1)
    271.5
    """
    from scipy.optimize import brentq

    goal = require_positive(damage, "damage")
    high = curve.strength
    while weibull_damage(curve, high, cycles=cycles, shape=shape) < goal:
        high *= 2.0

    def excess(extreme_range: float) -> float:
        return weibull_damage(curve, extreme_range, cycles=cycles, shape=shape) - goal

    return float(brentq(excess, 0.0, high, xtol=1e-12 * high, rtol=1e-12))
