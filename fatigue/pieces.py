"""A life curve taken apart into its straight pieces, for damage that is integrated and not summed."""

import math
from dataclasses import dataclass

from fatigue.curves import LifeCurve


@dataclass(frozen=True)
class Piece:
    """One piece: N = constant / S ** slope for ranges S from `above` to `below`. [MPa]"""

    slope: float
    constant: float
    above: float
    below: float


def pieces_of(curve: LifeCurve) -> tuple[Piece, ...]:
    """The pieces that do damage, the steepest stress first.

    Examples
    --------
    >>> [(piece.slope, piece.above, piece.below) for piece in pieces_of(LifeCurve("c", 100.0, 2e6, (3.0,)))]
    [(3.0, 0.0, inf)]
    """
    knees = list(zip(curve.knees, curve.knee_strengths, strict=True))
    # A point on each piece: its lower knee for the first, then the knee above it.
    anchors = [knees[0] if knees else (curve.reference, curve.strength), *knees]
    cut_off = curve.cut_off_strength or 0.0
    edges = [math.inf, *curve.knee_strengths, cut_off]
    pieces = [
        Piece(slope, cycles * strength**slope, max(above, cut_off), below)
        for slope, (cycles, strength), below, above in zip(curve.slopes, anchors, edges[:-1], edges[1:], strict=True)
    ]
    return tuple(piece for piece in pieces if piece.below > piece.above)
