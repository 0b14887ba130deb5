"""The inspection and care plan of a joint: what it is made from, and how it is shown and written as CSV."""

import csv
import io
from collections.abc import Sequence
from dataclasses import asdict

from cli.contract_figures import figures_of
from cli.job_joint import JointInput
from cli.schedule_output import harmless
from fatigue.detail import Detail
from fatigue.inspection_task import InspectionOutcome
from slip.advice import Findings
from slip.care import Cared, CareItem, care_plan
from slip.trade import Setting, largest_pull

COLUMNS = (
    "joint", "what", "first", "interval", "interval_years", "method", "acceptance", "because", "standing", "possible",
)  # fmt: skip


def setting_of(given: JointInput, blocks: Sequence, basis: dict) -> Setting:
    """What the rules of the trade look at; the loads only where welds may be pulled by them."""
    pull = largest_pull(blocks, given.permanent) if given.welded is not None else (0.0, 0.0)
    return Setting(given.place, given.column, given.welded, pull, basis.get("concept", ""))


def planned_care(
    findings: Findings, given: Sequence[Detail], inspections: Sequence[InspectionOutcome | None]
) -> tuple[CareItem, ...]:
    """The care plan of a joint.

    Parameters
    ----------
    given : sequence of Detail
        As the job states them; they hold the intervals that the user plans.
    """
    planned = [None if item.inspection is None else item.inspection.planned for item in given]
    return care_plan(Cared(findings, inspections, planned))


def care_of(result) -> dict:
    """The contract of the place of a joint, of the column that carries it, and of its care."""
    place, column = result.given.place, result.given.column
    said = {key: value for key, value in asdict(place).items() if value not in ("", None)}
    if "main_inspection" in said:
        said["main_inspection_years"] = said.pop("main_inspection")
    return {
        "place": said,
        "column": None
        if column is None
        else {
            "stiff_Nmm": column.moment.stiff,
            "pinned_Nmm": column.moment.pinned,
            "above_Nmm": column.moment.into_above,
            "below_Nmm": column.moment.into_below,
            "members": [{"name": name, "figures": figures_of((item,))} for name, item in column.members.items()],
            "figures": figures_of((column.moment,)),
        },
        "care_plan": [asdict(item) for item in result.care],
    }


def care_csv(contract: dict) -> bytes:
    """The care plans of all joints as CSV in UTF-8, a row for each thing to look at."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for joint in contract["joints"]:
        for item in joint["care_plan"]:
            row = {"joint": joint["name"]} | item | {"possible": "yes" if item["possible"] else "no, hidden"}
            writer.writerow(["" if row[name] is None else harmless(row[name]) for name in COLUMNS])
    return text.getvalue().encode("utf-8")
