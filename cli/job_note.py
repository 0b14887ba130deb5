"""The table [note] of a job file: what stands in the title block of the calculation note, and who checked it."""

import datetime
from dataclasses import asdict, dataclass

from cli.keys import Keys

LONGEST = 200


@dataclass(frozen=True)
class Signed:
    """A person and a day, as in 2026-03-31."""

    name: str
    date: str


@dataclass(frozen=True)
class NoteHead:
    """What the title block says; "" and None where the job says nothing."""

    project: str = ""
    number: str = ""
    revision: str = ""
    date: str = ""
    author: str = ""
    checker: Signed | None = None
    approver: Signed | None = None

    def plain(self) -> dict:
        """As plain values."""
        return asdict(self)


def read_note(keys: Keys) -> NoteHead | None:
    """The title block; None where the job has none, or where something in it was refused."""
    inner = keys.table_of("note")
    if inner is None:
        return None
    before = len(inner.problems)
    texts = {key: _text(inner, key) for key in ("project", "number", "revision", "author")}
    date = _date(inner, "date", "")
    people = {key: _person(inner, key) for key in ("checker", "approver")}
    inner.done()
    checker = people["checker"]
    if checker is not None and texts["author"] and _alike(checker.name, texts["author"]):
        inner.note("checker must be another person than the author: nobody checks their own work", "checker")
    if checker is not None and date and checker.date < date:
        inner.note(f"checker.date {checker.date} lies before the date {date} of the note; check this one", "checker")
    return None if len(inner.problems) > before else NoteHead(date=date, **texts, **people)


def _text(keys: Keys, key: str) -> str:
    text = keys.text(key, "") or ""
    if len(text) > LONGEST:
        keys.note(f"{key} has {len(text)} letters, at most {LONGEST} fit into the title block", key)
    return text


def _person(keys: Keys, key: str) -> Signed | None:
    inner = keys.table_of(key, like='{ name = "…", date = "2026-03-31" }')
    if inner is None:
        return None
    name, date = inner.text("name", like='"…"'), _date(inner, "date")
    inner.done()
    return None if not name or not date else Signed(name, date)


def _date(keys: Keys, key: str, *default: str) -> str | None:
    """A day as text; a date of TOML and a text such as "2026-03-31" are the same."""
    given = keys.raw(key, *default, like='"2026-03-31"')
    if key not in keys:
        return given
    if isinstance(given, datetime.date) and not isinstance(given, datetime.datetime):
        return given.isoformat()
    try:
        return datetime.date.fromisoformat(given if isinstance(given, str) and len(given) == 10 else "").isoformat()
    except ValueError:
        shown = given.isoformat() if isinstance(given, datetime.datetime) else given
        keys.note(f'{key} must be a day, as in {key} = "2026-03-31"; got {str(shown)!r}', key)
        return None


def _alike(one: str, other: str) -> bool:
    return one.casefold().split() == other.casefold().split()
