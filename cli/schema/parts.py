"""The pieces that the schema of the job file is made of: texts, numbers, quantities with their units, tables.

A piece is a dict of JSON Schema, draft 7. Nothing here knows a key of the job file.
"""

import re
from collections.abc import Collection, Mapping, Sequence
from functools import cache

from loadhistories.units import unit_words

Node = dict

NUMBER = r"[+−-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?"
_DOT = r"[ *·⋅.-]?"
_TWO, _THREE, _FOUR = (rf"(\^|\*\*)?{power}|{raised}" for power, raised in (("2", "²"), ("3", "³"), ("4", "⁴")))


def text(says: str, *examples: str) -> Node:
    """A text that is not blank."""
    return _with({"type": "string", "pattern": r"\S"}, says, examples)


def texts(says: str, *example: str) -> Node:
    """A list of texts with at least one in it."""
    return _with({"type": "array", "minItems": 1, "items": {"type": "string"}}, says, [list(example)])


def any_text(says: str, *examples: str) -> Node:
    """A text that may be blank."""
    return _with({"type": "string"}, says, examples)


def number(says: str, example: float, *, above: float | None = None, least: float | None = None) -> Node:
    """A bare number."""
    node: Node = {"type": "number"}
    if above is not None:
        node["exclusiveMinimum"] = above
    if least is not None:
        node["minimum"] = least
    return _with(node, says, [example])


def whole(says: str, example: int, *, least: int = 1) -> Node:
    """A whole number."""
    return _with({"type": "integer", "minimum": least}, says, [example])


def boolean(says: str) -> Node:
    """true or false."""
    return _with({"type": "boolean"}, says, [True])


def choice(known: Collection[str], says: str) -> Node:
    """One of the known words."""
    return {"description": says, "enum": list(known)}


def quantity(unit: str, says: str, example: str) -> Node:
    """A text such as "90 mm" in any unit of the kind of a base unit."""
    return _with({"type": "string", "pattern": quantity_pattern(unit)}, says, [example])


def quantities(unit: str, says: str, *example: str) -> Node:
    """A list of quantities."""
    return _with({"type": "array", "items": quantity(unit, says, example[0])}, says, [list(example)])


def pattern(words: str, says: str, *examples: str) -> Node:
    """A text of a form of its own, as a regular expression."""
    return _with({"type": "string", "pattern": words}, says, examples)


def list_of(item: Node, says: str, *, least: int = 1, most: int | None = None) -> Node:
    """A list of pieces that are alike."""
    node = {"type": "array", "minItems": least, "items": item}
    if most is not None:
        node["maxItems"] = most
    return _with(node, says, ())


def point(says: str) -> Node:
    """Two lengths, x and y."""
    example = ["-65 mm", "90 mm"]
    node = {"type": "array", "minItems": 2, "maxItems": 2, "items": quantity("mm", "x, then y", "90 mm")}
    return _with(node, says, [example])


def either(says: str, *nodes: Node) -> Node:
    """One of several pieces."""
    return {"description": says, "anyOf": list(nodes)}


def table(
    says: str,
    keys: Mapping[str, Node],
    *,
    required: Collection[str] = (),
    one_of: Sequence[Collection[str]] = (),
    apart: Sequence[str] = (),
    others: Node | None = None,
) -> Node:
    """A table of keys.

    Parameters
    ----------
    required : collection of str
        Keys that must be there.
    one_of : sequence of collections of str
        Exactly one of these groups is given: some key of it, and no key of another group.
    apart : sequence of str
        Keys that do not go together.
    others : dict, optional
        What stands under keys of the user's own choice; without it there are none.
    """
    node: Node = {
        "type": "object",
        "description": says,
        "properties": dict(keys),
        "additionalProperties": False if others is None else others,
    }
    if required:
        node["required"] = list(required)
    if one_of:
        node["oneOf"] = [{"anyOf": [{"required": [key]} for key in group]} for group in one_of]
    if apart:
        node["not"] = {"required": list(apart)}
    return node


def tables(item: Node, *, required: bool = False) -> Node:
    """An array of tables, [[key]]."""
    node = {"type": "array", "description": item["description"], "items": item}
    if required:
        node["minItems"] = 1
    return node


@cache
def quantity_pattern(unit: str) -> str:
    """Regular expression of the texts that are a quantity of the kind of a base unit, one of `units.BASE_UNITS`."""
    return rf"^\s*{NUMBER}\s*({_units()[unit]})\s*$"


@cache
def _units() -> dict[str, str]:
    """Regular expression of the units of each kind, by the base unit."""
    force, length, stress, time = (_any(base) for base in ("N", "mm", "MPa", "s"))
    pressure = rf"{stress}|{force}/{length}({_TWO})"
    moment = rf"{force}{_DOT}{length}"
    return {
        "N": force,
        "mm": length,
        "MPa": pressure,
        "s": time,
        "rad": _any("rad"),
        "N mm": moment,
        "mm2": rf"{length}({_TWO})",
        "mm3": rf"{length}({_THREE})",
        "mm4": rf"{length}({_FOUR})",
        "N/mm": rf"{force}/{length}",
        "MPa/N": rf"({pressure})/{force}|1/{length}({_TWO})",
        "MPa/(N mm)": rf"({pressure})/(\({moment}\)|{force}{length})|1/{length}({_THREE})",
        "1/mm": rf"1/{length}",
        "1/s": rf"{_any('1/s')}|1/{time}",
        "mm/s": rf"{length}/{time}",
        "": r"%|‰|",
    }


def _any(base: str) -> str:
    return f"({'|'.join(re.escape(word) for word in sorted(unit_words(base), key=len, reverse=True))})"


def _with(node: Node, says: str, examples: Sequence) -> Node:
    node["description"] = says
    if examples:
        node["examples"] = list(examples)
    return node


