"""The calculation note: one self-contained page from the contract; formats what is there and computes nothing."""

import math
import numbers
import re
from functools import cache
from itertools import groupby, islice, product

from cli import plots
from cli.cautions import NOT_CHECKED
from cli.screen import option_heading
from cli.symbols import (
    MISSING,
    formula_html,
    formula_values_html,
    number,
    quantity,
    stored_quantity,
    symbol_html,
    utilisation,
    variables,
    without_noise,
)
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED, evaluate

STATE_WORDS = {
    HOLDS: "every check holds",
    FAILS: "at least one check fails",
    NOT_JUDGED: "at least one check could not be judged; this does not mean that it holds",
}
_COMPARED_TO = 1e-6
_MOST_TRIED = 256


def note_html(contract: dict) -> str:
    """The note as one HTML page that asks for nothing from outside.

    Parameters
    ----------
    contract : dict
        An assessment as `griplife assess --json` prints it.

    Returns
    -------
    str
        HTML with style sheet and pictures inside; the same contract gives the same text.
    """
    joints = [_joint_view(contract, joint, f"j{place}") for place, joint in enumerate(contract["joints"], start=1)]
    job_hash = next((item["sha256"] for item in contract["inputs"] if item["what"] == "job"), "")
    return _template().render(
        note=contract,
        loads=[{"data": load, "lines": working_lines(load.get("figures") or [])} for load in contract["loads"]],
        joints=joints,
        state_words=STATE_WORDS[contract["state"]],
        rows=utilisation_rows(contract),
        not_checked=NOT_CHECKED,
        unconfirmed=[text for joint in contract["joints"] for text in joint.get("unconfirmed") or []],
        footer=_footer(contract["griplife"], job_hash),
    )


def working_lines(figures: list[dict]) -> list[dict]:
    """Each figure as the note prints it: title, clause, `html` of symbol = formula = values = result.

    The values are left out where the numbers at hand do not give the printed result: the note prints no
    working that was not computed. `given` marks a number without formula.
    """
    symbols = {_variable(figure): figure["symbol"] for figure in figures}
    return [
        {
            "title": figure.get("title") or "",
            "clause": figure.get("clause") or "",
            "given": not figure.get("formula"),
            "html": _working_html(figures, place, symbols),
        }
        for place, figure in enumerate(figures)
    ]


def utilisation_rows(contract: dict) -> list[dict]:
    """Every check and detail of every joint in one list; `governing` marks the one that decides."""
    rows = []
    for joint in contract["joints"]:
        for check in joint["checks"]:
            rows.append({**_row(joint, check), "what": check["title"], "at": check.get("at") or ""})
        for detail in joint["details"]:
            damage, *others = detail.get("checks") or [detail]
            row = {**_row(joint, detail), "state": damage["state"], "clause": damage["clause"]}
            rows.append({**row, "what": f"fatigue: {detail['name']}", "at": "damage"})
            for check in others:
                rows.append({**_row(joint, check), "what": check["title"], "at": check.get("at") or ""})
    decisive = max(rows, key=_severity, default=None)
    for row in rows:
        row["governing"] = row is decisive and row["state"] != NOT_JUDGED
    return rows


def bar_svg(value) -> str:
    """A utilisation as a bar from 0 to 1.5 with the limit at 1; empty for none, cut with an arrow beyond."""
    if not isinstance(value, numbers.Real):
        return ""
    length = 100.0 * min(max(value, 0.0), 1.5)
    fill = "#4d7ea8" if value <= 1.0 else "#a5281b"
    beyond = f'<path d="M150 1l8 6-8 6z" fill="{fill}"/>' if value > 1.5 else ""
    return (
        '<svg class="bar" viewBox="0 0 160 14" width="160" height="14" aria-hidden="true">'
        '<rect x="0" y="3" width="150" height="8" fill="#e6e6e6"/>'
        f'<rect x="0" y="3" width="{length:.1f}" height="8" fill="{fill}"/>{beyond}'
        '<path d="M100 0v14" stroke="#000" stroke-width="2"/></svg>'
    )


def _row(joint: dict, item: dict) -> dict:
    return {
        "joint": joint["name"],
        "clause": item["clause"],
        "utilisation": item.get("utilisation"),
        "state": item["state"],
    }


def _severity(row: dict) -> tuple[bool, float]:
    """A failure before all else, one without a number (nothing left to resist) before any number."""
    fails = row["state"] == FAILS
    none = math.inf if fails else -math.inf
    return fails, none if row["utilisation"] is None else row["utilisation"]


def _working_html(figures: list[dict], place: int, symbols: dict[str, str]) -> str:
    figure = figures[place]
    formula, result = figure.get("formula") or "", stored_quantity(figure["value"], figure.get("unit") or "")
    parts = [symbol_html(figure["symbol"])]
    if formula:
        parts.append(formula_html(formula, symbols))
        values = _values_of(figures, place)
        if values:
            parts.append(formula_values_html(formula, values))
    return " = ".join([*parts, f'<b class="result">{result}</b>'])


def _values_of(figures: list[dict], place: int) -> dict[str, float]:
    """The numbers that the formula at `place` was computed from, {} if they are not among the figures.

    A symbol may stand for several numbers in one check (each result has its own): those nearest before the
    formula are tried first, and only numbers that give the printed result are taken.
    """
    names = variables(figures[place]["formula"])
    nearest_first = [*reversed(figures[:place]), *figures[place + 1 :]]
    choices = [[figure for figure in nearest_first if _variable(figure) == name] for name in names]
    for chosen in islice(product(*choices), _MOST_TRIED):
        used = dict(zip(names, chosen, strict=True))
        if _gives(figures[place], {name: figure["value"] for name, figure in used.items()}):
            return {name: without_noise(figure["value"], figure.get("unit") or "") for name, figure in used.items()}
    return {}


def _gives(figure: dict, known: dict[str, float]) -> bool:
    """Whether the figure's formula gives its number for these values."""
    unit = figure.get("unit") or ""
    try:
        found = evaluate(figure["formula"], known)
    except ArithmeticError:
        return False
    close = math.isclose(found, figure["value"], rel_tol=_COMPARED_TO)
    return close or without_noise(found, unit) == without_noise(figure["value"], unit) == 0.0


def _variable(figure: dict) -> str:
    return figure["symbol"].replace(",", "")


def _joint_view(contract: dict, joint: dict, key: str) -> dict:
    """A joint with its pictures and workings, ready for the page."""
    slip, bolts = joint.get("slip") or {}, (joint.get("geometry") or {}).get("bolts")
    return {
        "data": joint,
        "sketch": plots.joint_sketch(joint, key=f"{key}-sketch") if bolts else "",
        "checks": [_check_view(check) for check in joint["checks"]],
        "movement": plots.movement_plot(joint, key=f"{key}-movement") if bolts else "",
        "histories": [
            {"load": load, "svg": plots.history_plot(load, joint, key=f"{key}-history{place}")}
            for place, load in enumerate(contract["loads"], start=1)
            if load.get("trace") and load.get("joint") in (None, joint["name"])
        ],
        "levels": slip.get("levels") or [],
        "details": [
            {
                "data": detail,
                "lines": working_lines(detail["figures"]),
                "others": [_check_view(check) for check in (detail.get("checks") or [])[1:]],
                "svg": plots.spectrum_plot(detail, key=f"{key}-spectrum{place}"),
                "growth": plots.damage_plot(detail, key=f"{key}-damage{place}"),
                "interval": working_lines(_of_interval(detail).get("figures") or []),
                "inspection": working_lines((detail.get("inspection") or {}).get("figures") or []),
            }
            for place, detail in enumerate(joint["details"], start=1)
        ],
    }


def _of_interval(detail: dict) -> dict:
    return (detail.get("outlook") or {}).get("interval") or {}


def _check_view(check: dict) -> dict:
    return {"data": check, "lines": working_lines(check["figures"])}


def _footer(version: str, job_hash: str) -> str:
    """Foot of every printed page; goes into the style sheet, so only plain letters pass."""
    plain = re.sub(r"[^0-9A-Za-z.+-]", "", f"{version}"), re.sub(r"[^0-9a-f]", "", job_hash)[:12]
    return f"griplife {plain[0]} · job {plain[1] or MISSING} · DRAFT — NOT CHECKED"


def _consecutive(lines: list[dict], key: str) -> list[tuple]:
    """The lines in groups of neighbours with the same value of `key`."""
    return [(value, list(group)) for value, group in groupby(lines, key=lambda line: line[key])]


@cache
def _template():
    from jinja2 import Environment, PackageLoader, StrictUndefined

    page = Environment(
        loader=PackageLoader("cli", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    page.filters.update(
        number=number,
        quantity=quantity,
        utilisation=utilisation,
        bar=bar_svg,
        symbol=symbol_html,
        consecutive=_consecutive,
        heading=option_heading,
    )
    return page.get_template("note.html")
