"""What an assessment leaves behind: the JSON text, the note, and the exit code of its state."""

import json

from loadhistories.figures import HOLDS

EXIT_HOLDS = 0
EXIT_NOT_SHOWN = 1


def exit_code(contract: dict) -> int:
    """0 where every check holds, 1 where one fails or is not judged."""
    return EXIT_HOLDS if contract["state"] == HOLDS else EXIT_NOT_SHOWN


def json_text(contract: dict) -> str:
    """The contract as JSON in full precision; a number that is not finite is a fault of ours and raises ValueError."""
    return json.dumps(contract, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def require_printable(note_file: str) -> None:
    """Refuse, before any work is done, a note of another kind than .html, .pdf, .md or .txt."""
    from cli.note import require_print

    require_print(note_file)


def outcome_files(contract: dict, *, json_file: str | None, note_file: str | None) -> dict[str, bytes]:
    """Content of every file that is asked for, by its path; "-" is none."""
    contents = {}
    if json_file and json_file != "-":
        contents[json_file] = json_text(contract).encode("utf-8")
    if note_file:
        from cli.note import note_print

        contents[note_file] = note_print(contract, note_file)
    return contents
