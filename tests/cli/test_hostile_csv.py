"""Texts of records in tables for a spreadsheet: none of them is run there."""

import csv
import io
from types import SimpleNamespace

import pytest

from cli.contract_cleaning import changes_csv
from loadhistories.segments import Change

HOSTILE = ("=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "plain, with \"quotes\"\nand lines")


@pytest.mark.parametrize("text", HOSTILE)
def test_names_of_loads_and_channels_are_harmless_in_the_changes(text):
    change = Change("spikes", text, 1.0, 2.0, 3, -4.5, 0.0)
    load = SimpleNamespace(
        name=text,
        cleaned=SimpleNamespace(changes=(change,)),
        history=SimpleNamespace(names=(text,), units=("N",)),
    )
    _, row = csv.reader(io.StringIO(changes_csv([load]), newline=""))
    shown = text if text.startswith("plain") else f"'{text}"
    assert (row[0], row[2]) == (shown, shown)
    assert "-4.5" in row
