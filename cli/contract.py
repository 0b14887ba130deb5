"""The JSON contract: everything that an assessment found, as plain values with their units.

`--json` prints it, the note and the terminal table are made from it and from nothing else.
"""

import math

from cli.cautions import CAUTIONS
from cli.contract_figures import figures_of
from cli.contract_frame import frames_of
from cli.contract_inspection import inspection_of
from cli.contract_life import life_of, past_of
from cli.contract_slip import geometry, movement_of, slip_of
from cli.outlook import DetailLife
from cli.version import version
from fatigue import standards as fatigue_standards
from fatigue.assessment import DetailOutcome
from fatigue.random_vibration import DIRLIK, RICE
from loadhistories.figures import NOT_JUDGED, Check, figure_values, worst_state
from loadhistories.tables import FROM_MEMORY
from slip import standards as slip_standards


def contract_of(job, traces, results) -> dict:
    """The contract of a job, the traces of its loads by name and the results of its joints."""
    joints = [_joint(result) for result in results]
    frames = frames_of(job, results)
    return {
        "griplife": version(),
        "title": job.title,
        "state": worst_state(item["state"] for item in (*joints, *frames) if item["state"] is not None),
        "design_life_years": job.design_life_years,
        "standard": {"name": job.standard, "editions": _editions(job)},
        "fatigue_basis": _basis(job),
        "inputs": _inputs(job),
        "loads": [_load(load, traces[load.name]) for load in job.loads],
        "joints": joints,
        "frames": frames,
        "assumptions": list(job.assumptions),
        "cautions": list(CAUTIONS),
    }


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
    found = [{"what": "job", "path": str(job.path), "sha256": job.sha256, "bytes": job.bytes, "remarks": []}]
    seen = set()
    for load in job.every_load:
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


def _load(load, trace) -> dict:
    block, occurrence = load.block, load.occurrence
    return {
        "name": load.name,
        "history": load.path,
        "joint": load.joint or None,
        "occurs": occurrence.text,
        "kind": load.kind or None,
        "samples": block.samples,
        "step_s": block.step,
        "span_s": block.span,
        "repeats": block.repeats,
        "repeats_text": occurrence.per_life,
        "columns": [vars(column) for column in load.columns],
        "extremes": trace.extremes(),
        "trace": trace.trace(),
        "figures": figures_of((occurrence,)),
    }


def _joint(result) -> dict:
    given, outcome = result.given, result.outcome
    checks = list(outcome.checks) if outcome is not None else []
    if result.movement is not None:
        checks.extend(result.movement.checks)
    checks.extend(result.welds)
    checks.extend(result.points)
    checks.extend(result.fatigue_distances)
    details = [
        _detail(item, life) | inspection_of(inspection)
        for item, life, inspection in zip(result.details, result.lives, result.inspections, strict=True)
    ]
    joint = given.joint
    return {
        "name": given.name,
        "state": worst_state([*(check.state for check in checks), *(item["state"] for item in details)]),
        "slip_rule": joint.slip if joint is not None else None,
        "because": joint.because if joint is not None else "",
        "geometry": geometry(outcome) if outcome is not None else None,
        "checks": [check_of(check) for check in checks],
        "slip": slip_of(outcome) if outcome is not None and outcome.levels else None,
        "movement": movement_of(result.movement) if result.movement is not None else None,
        "details": details,
        "past": past_of(result.past),
        "warnings": [
            {"code": item.code, "text": item.text, "clause": item.clause, "advice": list(item.advice)}
            for item in result.warnings
        ],
        "alternatives": [_alternative(item) for item in result.alternatives],
        "assumptions": list(result.assumptions),
        "unconfirmed": _unconfirmed(result),
    }


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
        "condition": detail.row.condition,
        "checks": [check_of(check) for check in item.checks],
        "remarks": list(item.remarks),
    }
    if result is None:
        return shown | {"damage": None, "life_years": None, "life_text": NOT_JUDGED, "utilisation": None, "figures": []}
    shown |= life_of(life)
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
    }


def _unconfirmed(result) -> list[str]:
    """Values of this joint that were recalled and not read in their source, in words."""
    found = []
    outcome = result.outcome
    if outcome is not None:
        for what, row in (("bolt", outcome.bolt), ("hole", outcome.hole)):
            if row.unconfirmed:
                found.append(f"{what}: {row.source}")
        life = outcome.joint.preload_life
        if life is not None:
            found += [f"preload: {source}" for source in life.sources if FROM_MEMORY in source.casefold()]
    recalled = [item.detail for item in result.details if item.detail.unconfirmed]
    found += [f"category of {detail.name}: {detail.source}" for detail in recalled]
    shaken = [detail for detail in result.given.details if detail.random is not None]
    return found + [f"random stress at {detail.name}: {text}" for detail in shaken for text in (DIRLIK, RICE)]


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(value)
