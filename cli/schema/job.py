"""The schema of the whole job file, for editors that complete and check keys."""

import json
from collections.abc import Iterator
from functools import cache

import fatigue.standards
from cli.schema.cranes import crane
from cli.schema.joints import frame, joint
from cli.schema.loads import load, past, sequence
from cli.schema.parts import Node, choice, number, pattern, quantity, table, tables, text
from cli.schema.shared import with_definitions

DRAFT = "http://json-schema.org/draft-07/schema#"


@cache
def job_schema() -> Node:
    """JSON Schema, draft 7, of a job file; it takes whatever the reader takes, and every key that the reader knows."""
    keys = {
        "title": text("What is assessed", "Transfer tower: drive bracket at column C4"),
        "standard": choice(fatigue.standards.judging(), "By which it is judged"),
        "design_life": quantity("s", "How long it is to serve", "25 year"),
        "fatigue": _basis(),
        "load": tables(load()),
        "past": tables(past()),
        "sequence": tables(sequence()),
        "crane": tables(crane()),
        "joint": tables(joint(), required=True),
        "frame": tables(frame()),
        "note": _note(),
    }
    whole = table("A job of griplife", keys, required=("title", "standard", "design_life", "joint"))
    return {"$schema": DRAFT, "title": "Job of griplife", **whole}


def schema_text() -> str:
    """The schema as JSON, pieces that occur several times written once."""
    return json.dumps(with_definitions(job_schema()), ensure_ascii=False, indent=1) + "\n"


def key_descriptions() -> Iterator[tuple[str, str]]:
    """Path and description of every key; where a key takes several forms, its paths are told once."""
    seen: set[tuple[str, str]] = set()
    for path, description in _described("", job_schema()):
        if (path, description) not in seen:
            seen.add((path, description))
            yield path, description


def _described(path: str, node: Node) -> Iterator[tuple[str, str]]:
    for key, inner in node.get("properties", {}).items():
        own = f"{path}.{key}" if path else key
        yield own, _said(inner)
        yield from _described(own, inner)
    for inner in (*node.get("anyOf", ()), *([node["items"]] if isinstance(node.get("items"), dict) else [])):
        yield from _described(path, inner)


def _said(node: Node) -> str:
    """The description of a key with the words it takes, or an example."""
    words = [word for part in (node, *node.get("anyOf", ())) for word in part.get("enum", ())]
    examples = [item for part in (node, *node.get("anyOf", ())) for item in part.get("examples", ())]
    plain = [item for item in examples if not isinstance(item, (list, dict))][:2]
    said = node.get("description", "").rstrip(".")
    if words:
        return f"{said}; one of {', '.join(map(_shown, words))}"
    return f"{said}; as in {', '.join(map(_shown, plain))}" if plain else said


def _shown(value) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value).lower() if isinstance(value, bool) else str(value)


def _note() -> Node:
    """[note]: the title block of the calculation note."""
    day = pattern(r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "Day of the note", "2026-03-31")
    person = {"name": text("Name", "another person"), "date": day | {"description": "Day"}}
    keys = {
        "project": text("Project", "Transfer tower"),
        "number": text("Number of the note", "C-104"),
        "revision": text("Revision", "A"),
        "author": text("Who made it", "the author"),
        "date": day,
        "checker": table("Who checked it", person, required=("name", "date")),
        "approver": table("Who approved it", person, required=("name", "date")),
    }
    return table("Title block of the calculation note", keys)


def _basis() -> Node:
    """What the safety of the fatigue strength depends on, of every standard that judges jobs."""
    keys: dict[str, Node] = {}
    for name in fatigue.standards.judging():
        rules = fatigue.standards.standard(name)
        for key, values in rules.BASIS.items():
            known = [*keys.get(key, {}).get("enum", ()), *values]
            keys[key] = choice(dict.fromkeys(known), f"For {name}; the first if left out")
        for key in getattr(rules, "OWN_FACTORS", ()):
            keys[key] = number(f"For {name}: your own factor in place of the recommended one", 1.15, above=0.0)
    keys["because"] = text("Where your own factor comes from", "national annex, Table 1")
    return table("Safety of the fatigue strength; the strictest choice where none is made", keys)
