"""The base units that go with each load component."""


def component_unit(component: str) -> str:
    """Base unit of a load component: "N" of a force, "N mm" of a moment."""
    return "N" if component.startswith("F") else "N mm"


def stress_unit(component: str) -> str:
    """Base unit of the stress that a unit of a load component makes."""
    return "MPa/N" if component.startswith("F") else "MPa/(N mm)"
