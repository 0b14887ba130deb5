"""Hours and cost of what an alternative takes, by rates that the user owns."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from slip.alternatives.alternative import Proposal
from slip.alternatives.quantities import Quantities

SHOP, SITE = "shop", "site"
# What is counted, in which unit, and where it is done.
ITEMS = {
    "hole": ("holes drilled", "each", SHOP),
    "reamed_hole": ("holes reamed with the parts in place", "each", SITE),
    "bolt": ("bolts placed", "each", SITE),
    "preloaded_bolt": ("bolts preloaded, with the check of it", "each", SITE),
    "injected_bolt": ("bolts injected", "each", SITE),
    "dowel": ("dowels fitted", "each", SITE),
    "key": ("keys fitted into their pocket", "each", SITE),
    "blasting": ("faying surfaces prepared", "m2", SHOP),
    "weld_metal": ("weld metal laid", "kg", SHOP),
    "weld_start": ("welds prepared, preheated and cleaned", "m", SHOP),
    "weld_test": ("welds tested", "m", SHOP),
    "coating": ("coating repaired along welds", "m", SITE),
    "alignment": ("parts aligned again after welding", "each", SITE),
}


@dataclass(frozen=True)
class Rates:
    """The user's rates.

    Attributes
    ----------
    currency : str
    hour : mapping of SHOP and SITE to cost of an hour
    hours, material : mapping of the names of ITEMS to hours and to cost of material for one unit
    """

    currency: str
    hour: Mapping[str, float]
    hours: Mapping[str, float]
    material: Mapping[str, float]


@dataclass(frozen=True)
class WorkItem:
    """One kind of work."""

    name: str
    words: str
    unit: str
    place: str
    amount: Annotated[float, Figure("q", title="how much")]
    hours_each: Annotated[float, Figure("h_1", "h", "", "rate given by the user", "hours for one")]
    hours: Annotated[float, Figure("h", "h", "q * h_1", title="hours")]
    hour: Annotated[float, Figure("c_h", "", "", "rate given by the user", "cost of an hour")]
    material_each: Annotated[float, Figure("c_1", "", "", "rate given by the user", "material for one")]
    cost: Annotated[float, Figure("C", "", "h * c_h + q * c_1", title="cost")]


def work_items(proposal: Proposal, found: Quantities, rates: Rates) -> tuple[WorkItem, ...]:
    """The work of an alternative, item by item; welds made on site with the hours of the site."""
    on_site = proposal.weld is not None and proposal.weld.quality == SITE
    items = []
    for name, amount in _amounts(proposal, found):
        words, unit, place = ITEMS[name]
        place = SITE if on_site and name.startswith("weld") else place
        each, material, hour = rates.hours.get(name, 0.0), rates.material.get(name, 0.0), rates.hour[place]
        hours = amount * each
        items.append(
            WorkItem(name, words, unit, place, amount, each, hours, hour, material, hours * hour + amount * material)
        )
    return tuple(items)


def _amounts(proposal: Proposal, found: Quantities) -> Iterator[tuple[str, float]]:
    joint = proposal.joint
    if found.holes is not None:
        reamed = found.reamed_holes if joint.fit == "fitted" else 0
        yield "hole", float(found.holes.holes - reamed + found.dowels * found.holes.plies)
        yield "bolt", float(joint.bolts)
        if joint.preloaded:
            yield "preloaded_bolt", float(joint.bolts)
    for name, amount in (
        ("reamed_hole", found.reamed_holes), ("injected_bolt", found.injected_bolts), ("dowel", found.dowels),
        ("key", found.keys),
    ):  # fmt: skip
        if amount:
            yield name, float(amount)
    if found.faces is not None:
        yield "blasting", found.faces.area * 1e-6
    if found.metal is not None:
        metres = found.metal.length * 1e-3
        yield "weld_metal", found.metal.mass
        yield "weld_start", metres
        yield "weld_test", metres
        yield "coating", metres
        yield "alignment", 1.0
