"""One joint: does it grip, how far does it move, what holds then, what would do instead."""

from slip.advice import advise
from slip.assessment import assess
from slip.movement import travel
from slip.resistance import slip_resistance
from slip.sharing import share_forces
from slip.strength import bolt_strength
from slip.welds import fillet_strength

__all__ = ["advise", "assess", "bolt_strength", "fillet_strength", "share_forces", "slip_resistance", "travel"]
