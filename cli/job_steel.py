"""The key `steel` of a job file: a steel by its name, or strengths of its own."""

from cli.keys import Keys
from slip.steels import steel


def read_steel(keys: Keys, thickness: float | None) -> tuple[str, float, float] | None:
    """Name, yield and ultimate strength of a plate [MPa]; None where something was refused."""
    if isinstance(keys.table.get("steel"), dict):
        inner = keys.table_of("steel")
        name = inner.text("name", "steel of given strength")
        low = inner.quantity("yield_strength", "MPa", above=0.0)
        high = inner.quantity("ultimate_strength", "MPa", above=0.0)
        inner.done()
        if low is not None and high is not None and high < low:
            inner.note(f"ultimate_strength {high:g} MPa is below yield_strength {low:g} MPa")
        return None if None in (name, low, high) else (name, low, high)
    name = keys.text("steel", like='"S355", or { yield_strength = "345 MPa", ultimate_strength = "470 MPa" }')
    if name is None or thickness is None:
        return None
    found = keys.attempt(steel, name, thickness, place=keys.at("steel"))
    return None if found is None else (name, found.yield_strength, found.ultimate_strength)
