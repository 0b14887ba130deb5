"""The whole note in the order in which a checker reads it, made from the contract; computes nothing."""

from cli.notes.closing import closing_sections, frame_boxes, last_sections, utilisation_rows
from cli.notes.details import fatigue, runway
from cli.notes.front import foot_of, front_sections, head_of, status_of
from cli.notes.grip import grip_checks, histories, movement, slips, strength_checks
from cli.notes.joints import joint_section
from cli.notes.loads import load_section
from cli.notes.model import Note, Section, all_visible
from cli.notes.outlook import inspection_section, sensitivity_section
from loadhistories.figures import NOT_JUDGED


def note_of(contract: dict) -> Note:
    """The note of an assessment.

    Parameters
    ----------
    contract : dict
        An assessment as `griplife assess --json` prints it; it is left as it is.

    Returns
    -------
    Note
        The same contract gives the same note.
    """
    contract = all_visible(contract)
    rows = utilisation_rows(contract)
    joints = [(joint, f"j{place}") for place, joint in enumerate(contract["joints"], start=1)]
    sections = [
        *front_sections(contract, [item for item in rows if item["state"] == NOT_JUDGED]),
        *(joint_section(joint, key) for joint, key in joints),
        load_section(contract),
        *(_assessed(contract, joint, key) for joint, key in joints),
    ]
    frames = frame_boxes(contract)
    if frames:
        sections.append(Section("Frames", tuple(frames)))
    sections += closing_sections(contract, rows)
    sections += [inspection_section(contract), *last_sections(contract)]
    # Sensitivity is read before the cautions.
    sections.insert(-1, sensitivity_section(contract))
    return Note(contract["title"], status_of(contract), head_of(contract), tuple(sections), foot_of(contract))


def _assessed(contract: dict, joint: dict, key: str) -> Section:
    blocks = [
        *grip_checks(joint), *fatigue(joint, key), *runway(joint), *histories(contract, joint, key), *slips(joint),
        *movement(joint, key), *strength_checks(joint),
    ]  # fmt: skip
    return Section(f"Assessment: {joint['name']}", tuple(blocks))
