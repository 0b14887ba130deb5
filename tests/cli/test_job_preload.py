"""The key `preload` as a table: what it reads, what it refuses, and what the contract, screen and note show of it."""

from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.job import read_job
from cli.note import note_html
from cli.screen import summary
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
TEXT = (JOBS / "bracket.toml").read_text(encoding="utf-8")
FULL = 'preload = "full"'
TABLE = (
    'preload = { specified = "full", method = "torque", surface = "uncoated", coating_creep = "5 %", '
    'later_loss = "10 %" }'
)


@pytest.fixture
def job_with(tmp_path):
    """Path of the sample job with its preload given otherwise."""

    def written(preload):
        assert FULL in TEXT
        (tmp_path / "bracket.csv").write_bytes((JOBS / "bracket.csv").read_bytes())
        (tmp_path / "bracket.toml").write_text(TEXT.replace(FULL, preload, 1), encoding="utf-8")
        return tmp_path / "bracket.toml"

    return written


def test_the_table_follows_the_preload_and_leaves_the_checks_alone(job_with):
    """Hand calculation: 100 - 5 - 2.5 - 5 - 10 = 77.5 % of 171.5 kN are left, 132.9 kN."""
    (given,) = read_job(job_with(TABLE)).joints
    assert given.joint.preload == 171_500.0
    assert given.joint.preload_life.remaining == pytest.approx(132_912.5)
    assert any(text.startswith("preload, seating: mean 5 %") for text in given.assumptions)
    plain, table = (assess_file(job_with(preload))["joints"][0] for preload in (FULL, TABLE))
    assert [check["utilisation"] for check in plain["checks"]] == [check["utilisation"] for check in table["checks"]]
    assert plain["slip"]["preload_life"] is None


def test_a_force_and_own_values_are_taken(job_with):
    (given,) = read_job(job_with(
        'preload = { specified = "150 kN", method = "combined", surface = "galvanised", installed = "1.1", '
        'scatter = "6 %", seating = "2 %", torque_factor = 0.13 }'
    )).joints  # fmt: skip
    life, torque = given.joint.preload_life, given.joint.tightening
    assert (given.joint.preload, life.installed, life.variation, life.seating) == (150e3, 1.1, 0.06, 0.02)
    assert torque.torque == pytest.approx(0.13 * 20 * 150e3)
    assert "preload 150 kN as given, below the 171.5 kN specified for M20 10.9" in given.assumptions
    assert "preload: no later loss: none is given" in given.assumptions


def test_what_was_left_open_about_the_scatter_is_said(job_with):
    (given,) = read_job(job_with('preload = { specified = "full", method = "combined", surface = "uncoated" }')).joints
    assert any("the scatter of combined is not known here" in text for text in given.assumptions)


@pytest.mark.parametrize(("table", "words"), [
    ('{ specified = "none", method = "torque", surface = "uncoated" }',
     r'specified must be "full" or a force.*joint\[1\].bolts.preload.specified'),
    ('{ method = "torque", surface = "uncoated" }', "specified is missing; give it as in specified"),
    ('{ specified = "180 kN", method = "torque", surface = "uncoated" }', "specified must not be above the 171.5 kN"),
    ('{ specified = "full", method = "torq", surface = "uncoated" }', "method 'torq' is unknown; did you mean"),
    ('{ specified = "full", method = "torque", surface = "bare" }', "surface 'bare' is unknown"),
    ('{ specified = "full", method = "torque", surface = "coated" }', "coating_creep is missing"),
    ('{ specified = "full", method = "torque", surface = "uncoated", loss = "5 %" }', "'loss' is no key here"),
    ('{ specified = "full", method = "torque", surface = "uncoated", later_loss = "5" }', "later_loss must be below 1"),
    ('{ specified = "full", method = "torque", surface = "uncoated", later_loss = "95 %" }', "they must leave some"),
    ('{ specified = "full", method = "torque", surface = "uncoated", seating = "-1 %" }', "must not be below 0"),
    ('{ specified = "full", method = "torque", surface = "uncoated", torque_factor = 13.0 }',
     r"torque_factor must not be above 1, got 13 .*preload.torque_factor"),
])  # fmt: skip
def test_what_cannot_be_is_refused_with_its_place(job_with, table, words):
    with pytest.raises(InputError, match=words):
        read_job(job_with(f"preload = {table}"))


def test_the_contract_lists_the_utilisation_at_less_preload(job_with):
    slip = assess_file(job_with(TABLE))["joints"][0]["slip"]
    shares = [row["share"] for row in slip["preload"]]
    assert shares[:4] == [1.0, 0.9, 0.8, 0.7] and shares[4] == pytest.approx(0.775)
    assert [row["after_losses"] for row in slip["preload"]] == [False] * 4 + [True] * (len(shares) - 4)
    for level in slip["levels"]:
        rows = [row[level["level"]] for row in slip["preload"]]
        assert rows[0]["utilisation"] == level["utilisation"]
        assert [row["utilisation"] for row in rows[:4]] == sorted(row["utilisation"] for row in rows[:4])
        for share, row in zip(shares, rows, strict=True):
            assert row["grips"] == (level["preload_at_slip_share"] <= share)
    life = slip["preload_life"]
    assert life["remaining_N"] == pytest.approx(132_912.5)
    assert {"F_p,C", "F_q", "d_c"} <= {figure["symbol"] for figure in life["figures"]}


def test_values_that_coincide_share_a_row(job_with):
    """Hand calculation: 100 - 5 - 2.5 - 12.5 = 80 %; the combined method counts nothing above the specified preload."""
    table = 'preload = { specified = "full", method = "combined", surface = "uncoated", later_loss = "12.5 %" }'
    rows = assess_file(job_with(table))["joints"][0]["slip"]["preload"]
    titles = "; ".join(row["title"] for row in rows if row["share"] == pytest.approx(0.8))
    assert "80 % of the specified preload" in titles and "specified preload less the stated losses" in titles
    assert "mean preload by combined less the stated losses" in titles


def test_screen_and_note_show_what_less_preload_does(job_with):
    contract = assess_file(job_with(TABLE))
    slip = contract["joints"][0]["slip"]
    begins = 100 * slip["levels"][0]["preload_at_slip_share"]
    shown = " ".join(summary(contract, colour=False).split())
    assert f"Preload: it begins to slip at {begins:.3g} % at service level" in shown
    assert "77.5 % (specified preload less the stated losses)" in shown
    page = note_html(contract)
    assert "If preload is lost" in page and "specified preload less the stated losses" in page
    assert "lost by creep of the coating" in page and "70 % of the specified preload" in page
