"""Front of the note: title block, signatures, basis and editions, scope and what was not checked, inputs."""

from cli.cautions import NOT_CHECKED
from cli.notes.formula import symbol
from cli.notes.model import (
    Bullets,
    Paragraph,
    Section,
    State,
    Styled,
    Table,
    bold,
    bullets,
    cells,
    facts,
    line,
    quiet,
    row,
    table,
)
from cli.symbols import MISSING, number
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED

STATE_WORDS = {
    HOLDS: "every check holds",
    FAILS: "at least one check fails",
    NOT_JUDGED: "at least one check could not be judged; this does not mean that it holds",
}
NOT_CHECKED_MARK = "DRAFT — NOT CHECKED"
_TITLE_ROWS = (("project", "project"), ("number", "note"), ("revision", "revision"), ("date", "date"))
_READING = (
    "In the workings, numbers put into formulas are in N, mm, MPa (N/mm²), s and rad unless a unit stands beside "
    "them, and are rounded for print; the results were computed with all digits. Three states are used: “holds”, "
    "“fails” and “not judged”. “Not judged” means that the rule does not cover the case or that data are missing; "
    "it never means that a check holds."
)
_OF_THE_CHECKER = (
    "The job names the checker; the check holds for the job file and the records whose hashes stand under “Inputs”."
)


def status_of(contract: dict) -> str:
    """What stands at head and foot: not checked, until the job names who checked it and when.

    Nobody checked a job that was changed for one run.
    """
    checker = _signed(contract, "checker")
    if not checker:
        return NOT_CHECKED_MARK
    return f"CHECKED BY {checker['name']}, {checker['date']} — AS STATED IN THE JOB"


def head_of(contract: dict) -> tuple:
    """Title block and signatures."""
    said, standard = contract.get("note") or {}, contract["standard"]
    rows = [row("what this is", "calculation note: grip and fatigue of a cyclically loaded steel joint")]
    rows += [row(name, said[key]) for key, name in _TITLE_ROWS if said.get(key)]
    rows += [
        row("result", (State(contract["state"]), f" {STATE_WORDS[contract['state']]}")),
        row("standard", f"{standard['name']} ({', '.join(standard['editions'].values())})"),
        row("design life", f"{number(contract['design_life_years'])} years"),
        row("program", f"griplife {contract['griplife']}"),
    ]
    people = [
        row("made by", said.get("author"), None, said.get("date") if said.get("author") else None),
        _person("checked by", _signed(contract, "checker")),
        _person("approved by", _signed(contract, "approver")),
    ]
    return (
        line(status_of(contract), role="draft"),
        Table((), tuple(rows), "hw", kind="title"),
        Table(cells("role", "name", "signature", "date"), tuple(people), "hlll", kind="sign"),
        *([line(quiet(_OF_THE_CHECKER))] if _signed(contract, "checker") else []),
    )


def front_sections(contract: dict, open_rows: list[dict]) -> list[Section]:
    """Basis, scope and inputs; `open_rows` are the checks that could not be judged."""
    return [
        Section("Basis and editions", tuple(_basis(contract))),
        Section("Scope and what was not checked", tuple(_scope(contract, open_rows))),
        Section("Inputs", tuple(_inputs(contract))),
    ]


def foot_of(contract: dict) -> str:
    """Foot of every page: program, job and status."""
    said = contract.get("note") or {}
    job = next((item["sha256"] for item in contract["inputs"] if item["what"] == "job"), "")
    parts = [f"griplife {contract['griplife']}", f"job {job[:12] or MISSING}"]
    if said.get("revision"):
        parts.append(f"revision {said['revision']}")
    return " · ".join([*parts, status_of(contract)])


def _signed(contract: dict, role: str) -> dict | None:
    """Who checked or approved the job; nobody did where it was changed for one run."""
    return None if contract.get("changes") else (contract.get("note") or {}).get(role)


def _person(role: str, said: dict | None):
    said = said or {}
    return row(role, said.get("name"), None, said.get("date"))


def _basis(contract: dict):
    rows = [row(what, edition) for what, edition in contract["standard"]["editions"].items()]
    basis = contract.get("fatigue_basis")
    if basis:
        for key, value in basis["choices"].items():
            shown = value if isinstance(value, str) else number(value)
            rows.append(row(f"fatigue: {key.replace('_', ' ')}", shown))
        for item in basis["figures"]:
            said = (symbol(item["symbol"]), f" = {number(item['value'])} ", quiet(item["clause"]))
            rows.append(row(f"fatigue: {item['title']}", said))
    yield from facts(rows)
    yield line(quiet(_READING))
    parts = (contract, *contract["joints"])
    unconfirmed = list(dict.fromkeys(text for part in parts for text in part.get("unconfirmed") or []))
    if unconfirmed:
        yield line(bold("Values not yet confirmed in their source"), " (compare them with the standard before use):")
        yield from bullets(unconfirmed)


def _scope(contract: dict, open_rows: list[dict]):
    covered = [
        f"joint “{joint['name']}” ({len(joint['checks'])} checks, {len(joint['details'])} fatigue details)"
        for joint in contract["joints"]
    ]
    yield line(f"Covered: {'; '.join(covered)}.")
    yield line("Not checked in this note:")
    yield from bullets(NOT_CHECKED)
    if open_rows:
        yield line(bold("Could not be judged:"))
        yield Bullets(tuple((f"{item['joint']}: {item['what']}",) for item in open_rows))


def _inputs(contract: dict):
    rows = []
    for item in contract["inputs"]:
        what = item["what"] + (f": {item['load']}" if item.get("load") else "")
        size = f"{item['bytes']:,}".replace(",", "\u202f")
        rows.append(row(what, item["path"], Styled(item["sha256"], "code"), size))
        read = f"Read as: {item['understood_as']}. " if item.get("understood_as") else ""
        remarks = read + "; ".join(item["remarks"])
        if remarks:
            rows.append(row(None, quiet(remarks), style="whole"))
    yield from table(("input", "path", "SHA-256", "bytes"), rows, "lwwr", may_break=True)


def nothing(words: str) -> list[Paragraph]:
    """A paragraph that says that a part is empty."""
    return [line(words)]
