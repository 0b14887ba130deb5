"""Schema of [load.machine]: the data sheet of a machine."""

from cli.job_exciters import MOTIONS
from cli.schema.parts import NUMBER, Node, choice, either, number, pattern, quantity, table, tables, text
from loadhistories.exciters import DIRECTIONS, SHAPES
from loadhistories.machine import CHANNELS, TORQUE
from loadhistories.tables import read_table

_SPEED = rf"^\s*{NUMBER}\s*(rpm|r/min|rev/min|1/min|/min|min-1|min\^-1|[Hh]z|1/s|/s|rps)\s*$"
_STROKES = rf"^\s*{NUMBER}\s*(/s|1/s|[Hh]z|/min|1/min|/h|1/h)\s*$"
_MASS = rf"^\s*{NUMBER}\s*(kg|t|g)\s*$"


def machine_load() -> Node:
    """[load.machine]: running, and start and stop."""
    rows = {"type": "array", "items": {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "string"}}}
    keys = {
        "speed": _speed("Of the machine", "900 rpm"),
        "runs": text("How long it runs, as in 16 h/day", "16 h/day"),
        "starts": text("How often it starts, as in 6/day", "6/day"),
        "start_time": quantity("s", "Of an even start", "5 s"),
        "stop_time": quantity("s", "Of an even stop", "20 s"),
        "start": rows | {
            "description": "Times and speeds of the start", "examples": [[["0 s", "0 rpm"], ["5 s", "900 rpm"]]],
        },
        "stop": rows | {
            "description": "Times and speeds of the stop", "examples": [[["0 s", "900 rpm"], ["20 s", "0 rpm"]]],
        },
        "support": _support(),
        "unbalance": _one_or_more(_unbalance()),
        "reciprocating": _one_or_more(_reciprocating()),
        "stroke": _one_or_more(_stroke()),
        "running": _constant("while it runs"),
        "starting": _constant("while it starts"),
        "stopping": _constant("while it stops"),
        "length": quantity("s", "Of the history, where shafts with slip have no short repeat", "60 s"),
    }  # fmt: skip
    return table("Data sheet of a machine; it becomes a history of running and one of start and stop", keys,
                 required=("runs", "starts", "support"))  # fmt: skip


def _support() -> Node:
    one = {
        "frequency": quantity("1/s", "Natural frequency of the machine on it", "3 Hz"),
        "damping": either("Damping ratio", quantity("", "In per cent", "5 %"), number("As a number", 0.05, least=0.0)),
    }
    rigid = choice(("rigid",), "Nothing is amplified or held back")
    says = "Natural frequency and damping, one degree of freedom in each direction"
    both = table(says, one, required=("frequency", "damping"))
    apart = table("Each direction by itself", {name: either(name, both, rigid) for name in DIRECTIONS},
                  required=DIRECTIONS)  # fmt: skip
    return either("Support of the machine", both, apart, rigid)


def _unbalance() -> Node:
    keys = {
        **_common(),
        "motion": choice(MOTIONS, "Turning, or shaking along a line"),
        **_line(),
        "mass": _mass("Of the unbalance"),
        "eccentricity": quantity("mm", "Of its mass", "50 mm"),
        "force": quantity("N", "At the speed of at", "12 kN"),
        "at": _speed("Speed at which the force was stated", "900 rpm"),
        "grade": choice(read_table("loadhistories", "balance_grades"), "Balance quality grade"),
        "rotor_mass": _mass("Of the rotor"),
        "factor": number("On the unbalance of the grade, for wear and build-up", 2.0, above=0.0),
    }
    return table("A mass that turns out of balance", keys, one_of=(("mass",), ("force",), ("grade",)))


def _reciprocating() -> Node:
    keys = {
        **_common(),
        **_line(),
        "mass": _mass("That goes to and fro"),
        "crank_radius": quantity("mm", "Of the crank", "150 mm"),
        "rod_length": quantity("mm", "Of the connecting rod", "600 mm"),
    }
    return table("A mass that a crank moves to and fro", keys, required=("mass", "crank_radius", "rod_length"))


def _stroke() -> Node:
    keys = {
        "name": text("Name of the exciter", "press"),
        **_line(),
        "force": quantity("N", "Of one stroke", "80 kN"),
        "duration": quantity("s", "Of one stroke", "0.05 s"),
        "rate": pattern(_STROKES, "Strokes in a time", "30/min"),
        "shape": choice(SHAPES, "Of the force over time"),
        "rise": quantity("s", "Of a trapezoid", "0.01 s"),
    }
    return table("A force that strikes again and again", keys, required=("force", "duration", "rate", "shape"))


def _common() -> dict[str, Node]:
    return {
        "name": text("Name of the exciter", "rotor"),
        "speed": _speed("Of its own shaft", "1480 rpm"),
        "phase": quantity("rad", "Against the other exciters", "90 deg"),
    }


def _line() -> dict[str, Node]:
    return {
        "along": choice(DIRECTIONS, "Direction of the force"),
        "inclination": quantity("rad", "Of the force to the horizontal", "30 deg"),
    }


def _constant(when: str) -> Node:
    keys = {
        name: quantity("N mm" if name == TORQUE else "N", name, "2 kN m" if name == TORQUE else "2 kN")
        for name in CHANNELS
    }
    return table(f"Constant loads {when}", keys)


def _speed(says: str, example: str) -> Node:
    return pattern(_SPEED, says, example)


def _mass(says: str) -> Node:
    return pattern(_MASS, f"Mass {says[0].lower()}{says[1:]}", "40 kg")


def _one_or_more(item: Node) -> Node:
    return either(item["description"], item, tables(item, required=True))
