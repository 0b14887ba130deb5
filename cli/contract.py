"""The JSON contract: everything that an assessment found, as plain values with their units.

`--json` prints it, the note and the terminal table are made from it and from nothing else.
"""

import math

from cli.care import care_of
from cli.cautions import CAUTIONS
from cli.contract_cleaning import cleaning_of, columns_of, gauges_of, with_damage_before
from cli.contract_figures import figures_of
from cli.contract_frame import frames_of
from cli.contract_inspection import inspection_of
from cli.contract_life import life_of, past_of
from cli.contract_made import made_assumptions, made_cycles, made_inputs, made_of
from cli.contract_random import random_of
from cli.contract_runway import runway_of
from cli.contract_slip import geometry, movement_of, slip_of
from cli.contract_unconfirmed import unconfirmed_of, unconfirmed_of_job
from cli.outlook import DetailLife
from cli.sequences import lasting_of, sequence_assumptions, sequences_of
from cli.version import version
from fatigue import standards as fatigue_standards
from fatigue.assessment import DetailOutcome
from loadhistories.figures import NOT_JUDGED, Check, figure_values, worst_state
from loadhistories.tables import recalled_rows
from slip import standards as slip_standards


def contract_of(job, traces, results) -> dict:
    """The contract of a job, the traces of its loads by name and the results of its joints."""
    joints = [joint_of(result) for result in results]
    frames = frames_of(job, results)
    found = {
        "griplife": version(),
        "title": job.title,
        "note": None if job.note is None else job.note.plain(),
        "state": worst_state(item["state"] for item in (*joints, *frames) if item["state"] is not None),
        "design_life_years": job.design_life_years,
        "standard": {"name": job.standard, "editions": _editions(job)},
        "fatigue_basis": _basis(job),
        "inputs": _inputs(job),
        "changes": [{"key": item.key, "text": item.text} for item in job.changes],
        "loads": [_load(load, traces[load.name], joints) for load in job.loads],
        "sequences": sequences_of(job),
        "joints": joints,
        "frames": frames,
        "assumptions": [*job.assumptions, *made_assumptions(job), *sequence_assumptions(job)],
        "unconfirmed": [],
        "cautions": list(CAUTIONS),
    }
    found["unconfirmed"] = unconfirmed_of_job(job, {key: item for key, item in found.items() if key != "joints"})
    return found


def _editions(job) -> dict:
    found = {}
    for part, known in (("fatigue", fatigue_standards), ("joints", slip_standards)):
        if job.standard in known.names():
            found[part] = known.edition(job.standard)
    return found


def _basis(job) -> dict:
    factors = fatigue_standards.standard(job.standard).partial_factors(**job.basis)
    values = {item.figure.variable: item.value for item in figure_values(factors)}
    clauses = [item.figure.clause for item in figure_values(factors) if item.figure.clause]
    return {
        **job.basis,
        **values,
        "choices": dict(job.basis),
        "clause": clauses[-1] if clauses else "",
        "figures": figures_of((factors,)),
    }


def _inputs(job) -> list[dict]:
    remarks = [item.words for item in job.changes]
    found = [{"what": "job", "path": str(job.path), "sha256": job.sha256, "bytes": job.bytes, "remarks": remarks}]
    seen = set()
    for load in job.every_load:
        if load.made is not None:
            found += made_inputs(load, seen)
            continue
        source = load.history.source
        if source.path in seen:
            continue
        seen.add(source.path)
        found.append(
            {
                "what": "history",
                "path": str(source.path),
                "sha256": source.sha256,
                "bytes": source.size,
                "remarks": list(load.history.remarks),
                "load": load.name,
                "understood_as": source.dialect,
            }
        )
    for task in {task.file: task for task in job.densities}.values():
        path = str(job.path.parent / task.file)
        found.append({"what": "density", "path": path, "sha256": task.sha256, "bytes": task.size, "remarks": []})
    return found


def _load(load, trace, joints) -> dict:
    block, occurrence = load.block, load.occurrence
    return {
        "name": load.name,
        "history": load.origin,
        "joint": load.joint or None,
        "occurs": occurrence.text,
        "kind": load.kind or None,
        "samples": block.samples,
        "step_s": block.step if block.timed else None,
        "span_s": block.span,
        "repeats": block.repeats,
        "repeats_text": load.per_life,
        "columns": columns_of(load),
        "cleaning": cleaning_of(load),
        "extremes": trace.extremes(),
        "trace": trace.trace() if block.timed else None,
        "figures": figures_of((occurrence, *(load.made.working if load.made is not None else ()), *gauges_of(load))),
        "made": None if load.made is None else made_of(load.made) | {"cycles": made_cycles(load.name, joints)},
        **lasting_of(load),
    }


def joint_of(result) -> dict:
    """Everything found for one joint, as plain values."""
    given, outcome = result.given, result.outcome
    checks = list(outcome.checks) if outcome is not None else []
    if result.movement is not None:
        checks.extend(result.movement.checks)
    checks.extend(result.welds)
    checks.extend(result.points)
    with recalled_rows() as looked_up:
        checks.extend(result.fatigue_distances)
    checks.extend(check for item in result.runway for check in item.checks)
    details = [
        _detail(item, life) | inspection_of(inspection)
        for item, life, inspection in zip(result.details, result.lives, result.inspections, strict=True)
    ]
    details = with_damage_before(details, result.damage_before)
    joint = given.joint
    found = {
        "name": given.name,
        "state": worst_state([*(check.state for check in checks), *(item["state"] for item in details)]),
        "slip_rule": joint.slip if joint is not None else None,
        "because": joint.because if joint is not None else "",
        "geometry": geometry(outcome) if outcome is not None else None,
        "checks": [check_of(check) for check in checks],
        "slip": slip_of(outcome) if outcome is not None and outcome.levels else None,
        "movement": movement_of(result.movement) if result.movement is not None else None,
        "details": details,
        "runway": [runway_of(item) for item in result.runway],
        "past": past_of(result.past),
        "warnings": [
            {"code": item.code, "text": item.text, "clause": item.clause, "advice": list(item.advice)}
            for item in result.warnings
        ],
        "alternatives": [_alternative(item) for item in result.alternatives],
        "assumptions": list(result.assumptions),
        "unconfirmed": [],
        **care_of(result),
    }
    every_check = [*checks, *(check for item in result.details for check in item.checks)]
    found["unconfirmed"] = unconfirmed_of(result, every_check, looked_up.lines, found)
    return found


def check_of(check: Check) -> dict:
    """A check with its working."""
    return {
        "id": check.id,
        "title": check.title,
        "state": check.state,
        "demand": _number(check.demand),
        "resistance": _number(check.resistance),
        "unit": check.unit,
        "utilisation": _number(check.utilisation),
        "clause": check.clause,
        "reason": check.reason,
        "at": check.at,
        "figures": figures_of(check.working),
    }


def _detail(item: DetailOutcome, life: DetailLife) -> dict:
    detail, result = item.detail, item.result
    shown = {
        "name": detail.name,
        "category": detail.row.letter or f"{detail.strength:g}",
        "catalogue": detail.category,
        "state": item.state,
        "reason": item.reason,
        "clause": item.check.clause,
        "source": detail.source,
        "unconfirmed": detail.unconfirmed,
        "stress": detail.stress,
        "stress_on": detail.row.stress_on,
        "recipe": detail.recipe.text,
        "site": None if detail.site is None else {"x_mm": detail.site[0], "y_mm": detail.site[1]},
        "condition": detail.row.condition,
        "checks": [check_of(check) for check in item.checks],
        "remarks": list(item.remarks),
    }
    if result is None:
        return shown | {"damage": None, "life_years": None, "life_text": NOT_JUDGED, "utilisation": None, "figures": []}
    shown |= life_of(life) | random_of(item)
    curve_cycles, curve_ranges = result.curve.points()
    return shown | {
        "cycles_per_life": result.cycles,
        "largest_range_MPa": result.largest_range,
        "equivalent_range_MPa": result.equivalent_range,
        "damage": result.damage,
        "life_years": result.life,
        "life_text": result.life_text,
        "utilisation": _number(item.check.utilisation),
        "stress_utilisation": result.stress_utilisation,
        "share_by_range": [
            {"from_MPa": s.lower, "to_MPa": s.upper, "cycles": s.cycles, "damage": s.damage, "share": s.share}
            for s in result.share_by_range
        ],
        "by_load": [
            {
                "load": block.name,
                "damage": block.damage,
                "cycles": block.cycles,
                "repeats": block.repeats,
                "largest_range_MPa": block.largest_range,
            }
            for block in result.blocks
        ],
        "curve": {"cycles": [float(n) for n in curve_cycles], "range_MPa": [float(r) for r in curve_ranges]},
        "figures": figures_of((*detail.recipe.working, result)),
    }


def _alternative(item) -> dict:
    return {
        "kind": item.kind,
        "title": item.title,
        "state": item.state,
        "utilisation": _number(item.utilisation),
        "checks": [check_of(check) for check in item.checks],
        "still_to_show": list(item.still_to_show),
        "tried": [{"what": step.what, "state": step.state, "reason": step.reason} for step in item.tried],
    }


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(value)
