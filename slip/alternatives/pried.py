"""What another bolt, hole or pattern makes of the flange that pries on the bolts of a joint."""

from dataclasses import replace

from loadhistories.validation import InputError
from slip.joint import BoltedJoint, Grid
from slip.prying import factor_at_strength
from slip.standards import standard

# Lengths of flange and distances of bolts that are this near are one. [mm]
SAME = 0.5
UNKNOWN = (
    "which way the web runs along the bolts is not known, so neither is what another pattern does to m, e and length "
    "of the flange in prying"
)


def pried_again(joint: BoltedJoint) -> BoltedJoint:
    """The joint with its flange, where it has one, judged for its bolt and holes as they are now.

    Raises
    ------
    InputError
        The flange leaves no room for that bolt.
    """
    if joint.flange is None:
        return joint
    rules = standard(joint.standard)
    bolt = rules.bolt(joint.size, joint.grade)
    flange = rules.prying(bolt, joint.flange.given, hole_width=rules.hole(bolt, joint.holes).length)
    return replace(joint, flange=flange, prying=factor_at_strength(flange))


def along_web(joint: BoltedJoint) -> str:
    """Which distance of the pattern runs along the web of the flange: "pitch", "gauge", or "" where it is not known.

    One bolt stands on each side of the web, so the pattern has two rows or two columns across it; where it has both,
    the length of flange that belongs to one bolt tells.
    """
    grid = joint.grid
    ways = {"pitch": grid.columns, "gauge": grid.rows}
    found = [name for name, across in ways.items() if across == 2]
    if len(found) == 2:
        found = [name for name in found if abs(getattr(grid, name) - joint.flange.given.length) <= SAME]
    return found[0] if len(found) == 1 else ""


def with_pattern(joint: BoltedJoint, grid: Grid, **changes) -> BoltedJoint:
    """The joint with another pattern; bolts nearer to each other along the web share the flange that they had.

    Raises
    ------
    InputError
        It has a flange, and the pattern changes across its web, or which way that runs is not known.
    """
    old = joint.grid
    changed = replace(joint, grid=grid, **changes)
    if joint.flange is None:
        return changed
    along = along_web(joint)
    if not along:
        raise InputError(UNKNOWN)
    number, distance = ("columns", "gauge") if along == "pitch" else ("rows", "pitch")
    if getattr(grid, number) != getattr(old, number) or getattr(grid, distance) != getattr(old, distance):
        raise InputError(f"other {number}, or another {distance}, make another flange: its m and e change with them")
    share = min(getattr(grid, along) / getattr(old, along), 1.0) if getattr(old, along) else 1.0
    if share == 1.0:
        return changed
    given = joint.flange.given
    lengths = {key: share * size for key in ("length", "effective_length") if (size := getattr(given, key)) is not None}
    return pried_again(replace(changed, flange=replace(joint.flange, given=replace(given, **lengths))))
