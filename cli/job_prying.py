"""The key `prying` of a job file: none, a factor on the bolt tension, or the flange that pries."""

from types import ModuleType

from cli.job_steel import read_steel
from cli.keys import Keys
from slip.bolts import Bolt
from slip.holes import Hole
from slip.prying import Flange, PriedFlange, factor_at_strength


def read_prying(
    keys: Keys, rules: ModuleType | None, bolt: Bolt | None, hole: Hole | None
) -> tuple[float | None, PriedFlange | None]:
    """Factor on the bolt tension, None where nothing is said, and the flange where its sizes are given.

    Parameters
    ----------
    keys : Keys
        The table [joint.bolts].
    rules : module or None
        The standard of the slip engine.
    """
    given = keys.raw("prying", None)
    if given is None or given == "none":
        return None if given is None else 1.0, None
    if isinstance(given, dict):
        flange = _flange(keys, rules, bolt, hole)
        return None if flange is None else factor_at_strength(flange), flange
    if isinstance(given, str):
        keys.note(f'prying must be "none" or a factor on the bolt tension such as 1.25, got {given!r}', "prying")
        return None, None
    return keys.number("prying", least=1.0), None


def _flange(keys: Keys, rules: ModuleType | None, bolt: Bolt | None, hole: Hole | None) -> PriedFlange | None:
    before = len(keys.problems)
    inner = keys.table_of("prying")
    thickness = inner.quantity("flange_thickness", "mm", above=0.0)
    sizes = {key: inner.quantity(key, "mm", above=0.0) for key in ("m", "e", "length")}
    sizes |= {key: inner.quantity(key, "mm", None, above=0.0) for key in ("effective_length", "bolt_length")}
    strength = read_steel(inner, thickness)
    inner.done()
    if rules is not None and not hasattr(rules, "prying"):
        edition = next(iter(rules.EDITIONS.values()))
        keys.note(
            f"{edition} has no rule here for the size of prying forces; state a factor on the bolt tension, as in "
            "prying = 1.25 (an allowance of 1.2 to 1.3 is common practice)", "prying",
        )  # fmt: skip
        return None
    if len(keys.problems) > before or None in (rules, bolt, hole, strength):
        return None
    flange = Flange(thickness, *strength, **sizes)
    return keys.attempt(rules.prying, bolt, flange, hole_width=hole.length, place=keys.at("prying"))
