"""Writes pieces of a schema that occur several times once, under `definitions`, and refers to them."""

import json
import re
from collections import Counter

from cli.schema.parts import Node, quantity_pattern
from loadhistories.units import BASE_UNITS

# Pieces that take less room than this, as JSON, stay where they are.
SMALLEST = 300


def with_definitions(schema: Node) -> Node:
    """The same schema, with quantities and larger pieces that occur several times written once."""
    schema = _quantities_named(schema)
    counts: Counter[str] = Counter()
    _count(schema, counts)
    names: dict[str, str] = {}
    definitions: Node = {}
    body = {key: _shared(value, counts, names, definitions) for key, value in schema.items()}
    kinds = {name: {"type": "string", "pattern": quantity_pattern(unit)} for unit, name in _kinds().items()}
    return {**body, "definitions": {**kinds, **definitions}}


def _kinds() -> dict[str, str]:
    """Name of the definition of each kind of quantity, by its base unit."""
    return {unit: _slug(kind) for unit, (kind, *_) in BASE_UNITS.items()}


def _quantities_named(value):
    """Patterns of quantities become references, in whatever holds them."""
    if isinstance(value, list):
        return [_quantities_named(item) for item in value]
    if not isinstance(value, dict):
        return value
    by_pattern = {quantity_pattern(unit): name for unit, name in _kinds().items()}
    if isinstance(value.get("pattern"), str) and value["pattern"] in by_pattern:
        rest = {key: item for key, item in value.items() if key not in ("type", "pattern")}
        return {"allOf": [_reference(by_pattern[value["pattern"]])], **rest}
    return {key: _quantities_named(item) for key, item in value.items()}


def _count(value, counts: Counter) -> None:
    if isinstance(value, list):
        for item in value:
            _count(item, counts)
    elif isinstance(value, dict):
        text = _text(value)
        if len(text) >= SMALLEST:
            counts[text] += 1
        for item in value.values():
            _count(item, counts)


def _shared(value, counts: Counter, names: dict[str, str], definitions: Node):
    """The value, each piece in it that occurs several times put into the definitions."""
    if isinstance(value, list):
        return [_shared(item, counts, names, definitions) for item in value]
    if not isinstance(value, dict):
        return value
    text = _text(value)
    if counts[text] < 2 or not {"type", "enum", "anyOf"} & set(value):
        return {key: _shared(item, counts, names, definitions) for key, item in value.items()}
    if text not in names:
        names[text] = _free(_slug(value.get("description", "piece")), definitions)
        definitions[names[text]] = {}
        definitions[names[text]] = {key: _shared(item, counts, names, definitions) for key, item in value.items()}
    return _reference(names[text])


def _free(name: str, definitions: Node) -> str:
    taken = {*definitions, *_kinds().values()}
    tries = (name if number == 1 else f"{name}-{number}" for number in range(1, len(taken) + 2))
    return next(item for item in tries if item not in taken)


def _reference(name: str) -> Node:
    return {"$ref": f"#/definitions/{name}"}


def _slug(text: str) -> str:
    return "-".join(re.findall(r"[a-z0-9]+", text.casefold())[:6])


def _text(value) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True)
