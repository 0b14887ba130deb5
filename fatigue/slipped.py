"""A detail in a joint that slips: what the standard lets it be judged as once its gross section is lost."""

from types import ModuleType

from fatigue.detail import Detail, detail


def without_grip(given: Detail, rules: ModuleType, *, slips: bool | None, reverses: bool | None) -> Detail | None:
    """The detail on its net section, with the category that is left to it where the joint slips.

    Parameters
    ----------
    given : Detail
        As the user gave it; `net` is its recipe on the net section.
    rules : module
        The standard of the detail; what it does not offer it does not allow.
    slips : bool or None
        Whether the joint slips under its fatigue loads.
    reverses : bool or None
        Whether the stress on the net section changes sign.

    Returns
    -------
    Detail or None
        None where the detail stays as it is: its category needs no grip, the joint grips or is not known to
        slip, there is no net section, or the standard has no category for such a joint.
    """
    if given.relies_on != "grip" or slips is not True or given.net is None:
        return None
    category = _category(given, rules, reverses)
    if category is None:
        return None
    return detail(
        given.name,
        standard=given.standard,
        recipe=given.net,
        category=category,
        yield_strength=given.yield_strength,
        free_of_welding_stress=given.free_of_welding_stress,
        root=given.root,
        toe=given.toe,
        point=given.point,
    )


def slip_note(given: Detail, judged: Detail, rules: ModuleType) -> str:
    """Says what the detail was judged as, why, and by which clause."""
    clause = f"{rules.EDITIONS[given.standard]}, Table {judged.row.table}"
    return (
        f"the joint slips under its fatigue loads: judged on the net section with category {judged.category} "
        f"({_class(judged)}; {judged.row.condition}) instead of {given.category} ({_class(given)}) on the gross "
        f"section ({clause}, details {given.row.detail} and {judged.row.detail})"
    )


def _class(item: Detail) -> str:
    return item.row.letter or f"{item.strength:g} MPa"


def _category(given: Detail, rules: ModuleType, reverses: bool | None) -> str | None:
    offered = getattr(rules, "category_without_grip", None)
    return None if offered is None else offered(given.row, reverses=reverses)
