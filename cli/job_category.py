"""The key `category` of a detail: a row of the job's standard, a strength, or a curve of another source."""

import fatigue.standards
from cli.keys import Keys
from fatigue.recipe import KINDS

_LIKE = '"8.4-1a", 71, { strength = "71 MPa" } or { curves = "IIW", class = "FAT 71", … }'


def read_category(keys: Keys, standard: str | None) -> dict:
    """What a detail is judged by, as keywords of `fatigue.detail.detail`.

    Parameters
    ----------
    keys : Keys
        The table [[joint.detail]].
    standard : str or None
        As the job names it; None where it is unknown.
    """
    given = keys.raw("category", like=_LIKE)
    if isinstance(given, dict):
        inner = keys.table_of("category")
        return _curves(inner) if "curves" in inner else _strength(inner)
    if given is not None and (isinstance(given, bool) or not isinstance(given, (str, int, float))):
        keys.note(f"category must be an identifier, a number or a table, as in {_LIKE}; got {given!r}", "category")
    found = {"category": given}
    known = fatigue.standards.standard(standard).CONDITIONS if standard else ()
    if "starred" in known:
        starred = keys.text("starred", None, like='"limit at 1e7"')
        if starred is not None:
            found["conditions"] = {"starred": starred}
    return found


def _strength(keys: Keys) -> dict:
    strength, stress = keys.quantity("strength", "MPa", above=0.0), keys.one_of("stress", KINDS, None)
    keys.done()
    return {"strength": strength, "stress": stress}


def _curves(keys: Keys) -> dict:
    """A curve of a source that gives curves only, with the safety that the user puts beside it."""
    from fatigue.curves_only import own_safety

    only = [name for name in fatigue.standards.names() if fatigue.standards.curves_only(name)]
    curves = keys.one_of("curves", only)
    category = keys.raw("class", like='"FAT 71"')
    if category is not None and (isinstance(category, bool) or not isinstance(category, (str, int, float))):
        keys.note(f'class must be a name or a number, as in class = "FAT 71"; got {category!r}', "class")
    factors = {name: keys.number(name, None, above=0.0) for name in ("gamma_M", "design_fatigue_factor")}
    safety = keys.attempt(own_safety, **factors, place=keys.place)
    conditions = {}
    for name in fatigue.standards.standard(curves).CONDITIONS if curves else ():
        value = keys.raw(name, None)
        if value is None:
            continue
        if isinstance(value, (bool, dict, list)):
            keys.note(f"{name} must be a text or a number, got {value!r}", name)
        conditions[name] = value
    if curves is not None:
        keys.done()
    stress = conditions.pop("stress", None)
    return {"standard": curves, "category": category, "stress": stress, "conditions": conditions, "safety": safety}
