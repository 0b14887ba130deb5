"""The contract of loads whose history was made instead of read: how, from which files, and what was assumed."""

from cli.contract_figures import figures_of
from cli.job_loads import LoadInput
from cli.made_loads import Made, digest


def made_of(made: Made) -> dict:
    """How a history was made."""
    groups = [{"title": title, "figures": figures_of(results)} for title, results in made.groups]
    return {
        "how": made.how,
        "summary": made.summary,
        "assumptions": list(made.assumptions),
        "load": made.load,
        "groups": groups,
        "recorded": made.recorded,
    }


def made_cycles(name: str, joints: list[dict]) -> list[dict]:
    """The cycles in the design life that were counted at each judged detail under one load, by joint and detail."""
    return [
        {"joint": joint["name"], "detail": detail["name"], "cycles": part["cycles"]}
        for joint in joints
        for detail in joint["details"]
        for part in detail.get("by_load") or []
        if part["load"] == name
    ]


def made_inputs(load: LoadInput, seen: set[str]) -> list[dict]:
    """The files that were read for a made history, each once, and the history itself with the hash of its values."""
    found = []
    for source in load.made.files:
        if source.path not in seen:
            seen.add(source.path)
            found.append(
                {
                    "what": "table",
                    "path": source.path,
                    "sha256": source.sha256,
                    "bytes": source.size,
                    "remarks": [],
                    "load": load.name,
                    "understood_as": source.dialect,
                }
            )
    sha256, size = digest(load.history)
    found.append(
        {
            "what": "made history" if load.block.timed else "counted cycles",
            "path": load.origin,
            "sha256": sha256,
            "bytes": size,
            "remarks": list(load.history.remarks),
            "load": load.name,
            "understood_as": "",
        }
    )
    return found


def made_assumptions(job) -> list[str]:
    """What the job file left to the makers of its loads, each once."""
    found = [
        f"{load.made.load}: {text}"
        for load in job.every_load
        if load.made is not None
        for text in load.made.assumptions
    ]
    return list(dict.fromkeys(found))
