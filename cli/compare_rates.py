"""The file of rates of `griplife compare`: hours, cost and choices that the user owns; samples are examples only."""

import tomllib
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from cli.keys import Keys
from loadhistories.small_files import content_of
from loadhistories.validation import InputError
from slip.alternatives.work import ITEMS, SHOP, SITE, Rates

SAMPLE = "compare_rates.toml"


@dataclass(frozen=True)
class OwnRates:
    """What the file says: rates, choices for the design, and whether these are the examples of griplife."""

    rates: Rates
    wishes: dict[str, float]
    name: str
    examples: bool


def sample_text() -> str:
    """The sample file, marked as examples."""
    return files("cli").joinpath(SAMPLE).read_text(encoding="utf-8")


def read_rates(path: str | None) -> OwnRates:
    """The rates of a file, or the examples where none is given.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    if path is None:
        return _read(sample_text(), "example rates", examples=True)
    try:
        text = content_of(path, "file of rates").decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(f"{path} cannot be read as a file of rates: {error}") from error
    return _read(text, Path(path).name, examples=False)


def _read(text: str, name: str, *, examples: bool) -> OwnRates:
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(f"{name} is no valid TOML: {error}") from error
    problems: list[str] = []
    keys = Keys(table, name, problems)
    currency = keys.text("currency", like='"EUR"')
    places, hours, material = (_numbers(keys, *what) for what in (
        ("cost_of_an_hour", (SHOP, SITE), True), ("hours", tuple(ITEMS), False), ("material", tuple(ITEMS), False),
    ))  # fmt: skip
    wishes = _wishes(keys)
    keys.done()
    if problems:
        raise InputError(*problems)
    return OwnRates(Rates(currency, places, hours, material), wishes, name, examples)


def _numbers(keys: Keys, key: str, names: tuple[str, ...], required: bool) -> dict[str, float]:
    inner = keys.table_of(key, required=True, like="{ … }")
    if inner is None:
        return {}
    found = {name: inner.number(name, *(() if required else (None,)), least=0.0) for name in names}
    inner.done()
    return {name: value for name, value in found.items() if value is not None}


def _wishes(keys: Keys) -> dict[str, float]:
    inner = keys.table_of("choices")
    if inner is None:
        return {}
    resin = inner.quantity("resin_strength", "MPa", None, above=0.0)
    factor = inner.number("site_weld_factor", None, above=0.0)
    inner.done()
    if factor is not None and factor > 1.0:
        inner.note(f"site_weld_factor must not be above 1; got {factor:g}", "site_weld_factor")
    found = {"resin_strength": resin, "site_weld_factor": factor}
    return {name: value for name, value in found.items() if value is not None}
