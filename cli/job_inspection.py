"""The table `inspection` of a detail of a job file: the crack to look for, how it grows, and how often it is sought."""

from cli.keys import REQUIRED, Keys
from fatigue.crack_toe import WeldToe
from fatigue.cracks import EdgeCrack, SurfaceCrack
from fatigue.growth_laws import CONDITIONS, GrowthLaw, growth_law
from fatigue.inspection import CRACK, Detection, Failure, toughness_in_millimetres
from fatigue.inspection_task import InspectionTask
from loadhistories.occurrence import YEAR
from loadhistories.validation import InputError

SHAPES = ("surface", "edge")


def read_found(keys: Keys) -> str:
    """The key `crack` of a detail: "none", or "found" where one was found in it; no word counts as "none"."""
    return keys.one_of("crack", CRACK, CRACK[0]) or CRACK[0]


def read_inspection(keys: Keys) -> InspectionTask | None:
    """The table `inspection` of a detail, or None where there is none or something in it was refused.

    Parameters
    ----------
    keys : Keys
        The table [[joint.detail]] that holds it.

    Examples
    --------
    In a job file:

    inspection = {
      crack = "surface", thickness = "20 mm", width = "300 mm", bending_share = 0.3, toe = "40 mm",
      law = "simplified", condition = "as welded",
      method = "magnetic particles", source = "trial on a sample", depth = "2 mm", length = "10 mm",
      highest_stress = "150 MPa", residual_stress = "355 MPa", toughness_MPa_sqrt_m = 120, toughness_share = 0.7,
      yield_strength = "355 MPa", share = 0.5, planned = "2 year" }
    """
    inner = keys.table_of("inspection")
    if inner is None:
        return None
    before = len(inner.problems)
    crack, law = _crack(inner), _law(inner)
    detection, failure = _detection(inner), _failure(inner)
    share = inner.number("share", above=0.0)
    planned = inner.quantity("planned", "s", None, above=0.0)
    inner.done()
    if len(inner.problems) > before:
        return None
    return InspectionTask(
        crack, law, detection, failure, share, None if planned is None else planned / YEAR, inner.place
    )


def _crack(keys: Keys) -> SurfaceCrack | EdgeCrack | None:
    before = len(keys.problems)
    shape = keys.one_of("crack", SHAPES)
    thickness = keys.quantity("thickness", "mm", None if shape == "edge" else REQUIRED, above=0.0)
    width = keys.quantity("width", "mm", above=0.0)
    bending = keys.number("bending_share", least=0.0)
    reach = keys.quantity("toe", "mm", None, above=0.0)
    if shape == "edge" and thickness is not None:
        keys.note("an edge crack deepens along the width; leave thickness away", "thickness")
    if len(keys.problems) > before:
        return None
    toe = None if reach is None else WeldToe(reach)
    if shape == "edge":
        return _made(keys, EdgeCrack, width, bending, toe)
    return _made(keys, SurfaceCrack, thickness, width, bending, toe)


def _law(keys: Keys) -> GrowthLaw | None:
    name, condition = keys.text("law", like='"simplified"'), keys.one_of("condition", CONDITIONS)
    ratio = keys.number("stress_ratio", None)
    if name is None or condition is None:
        return None
    return keys.attempt(growth_law, name, condition=condition, ratio=ratio, place=keys.place)


def _detection(keys: Keys) -> Detection | None:
    method, source = keys.text("method"), keys.text("source")
    depth = keys.quantity("depth", "mm", above=0.0)
    surface = keys.raw("crack", None) != "edge"
    length = keys.quantity("length", "mm", REQUIRED if surface else None, above=0.0)
    if not surface and length is not None:
        keys.note("an edge crack has a depth only; leave length away", "length")
    if method is None or source is None or depth is None or (surface and length is None):
        return None
    return _made(keys, Detection, method, (depth, length / 2.0) if surface else (depth,), source)


def _failure(keys: Keys) -> Failure | None:
    before = len(keys.problems)
    highest = keys.quantity("highest_stress", "MPa", above=0.0)
    locked_in = keys.quantity("residual_stress", "MPa", least=0.0)
    toughness = keys.number("toughness_MPa_sqrt_m", None, above=0.0)
    share = keys.number("toughness_share", None, above=0.0)
    yield_strength = keys.quantity("yield_strength", "MPa", None, above=0.0)
    if len(keys.problems) > before:
        return None
    given = None if toughness is None else toughness_in_millimetres(toughness)
    return _made(keys, Failure, highest, locked_in, given, share, yield_strength)


def _made(keys: Keys, kind: type, *values):
    """What `kind` makes of the values; what it refuses is noted with the place of the table."""
    try:
        return kind(*values)
    except InputError as refusal:
        for problem in refusal.problems:
            keys.note(problem)
        return None
