"""Random stress at a detail through the whole job: from its density to the damage and its checks."""

import numpy as np
import pytest

from cli.assess import assess_file
from cli.note import note_html
from fatigue.curves import life_curve
from fatigue.cycles import count_cycles
from loadhistories.validation import InputError

JOB = """title = "support"
standard = "EN 1993"
design_life = "25 year"
fatigue = { concept = "damage tolerant", consequence = "high" }
[[load]]
name = "start"
history = "record.csv"
occurs = "40/day"
[load.components]
Fy = { column = "Fy" }
[[joint]]
name = "support"
[[joint.detail]]
name = "weld toe"
category = CATEGORY
stress = { Fy = "1.0 MPa/kN" }
"""
PSD = 'psd = { file = "density.csv", occurs = "1 h/day" }\n'
FLAT = "Frequency [Hz],Density [MPa2/Hz]\n1,40\n5,40\n"
TIME = 3600 * 365.25 * 25


@pytest.fixture
def assessed(tmp_path):
    def run(psd=PSD, density=FLAT, category="71", end=""):
        (tmp_path / "record.csv").write_text("Time [s],Fy [kN]\n0,0\n1,60\n2,0\n3,0\n", encoding="utf-8")
        (tmp_path / "density.csv").write_text(density, encoding="utf-8")
        (tmp_path / "job.toml").write_text(JOB.replace("CATEGORY", category) + psd + end, encoding="utf-8")
        return assess_file(tmp_path / "job.toml")

    return run


def detail_of(contract):
    return contract["joints"][0]["details"][0]


def check_of(contract, id="random:1"):
    return next(item for item in detail_of(contract)["checks"] if item["id"] == id)


def figure(check, symbol):
    return next(item["value"] for item in check["figures"] if item["symbol"] == symbol)


def test_moments_of_a_flat_density_are_those_by_hand(assessed):
    check = check_of(assessed())
    # 40 MPa2/Hz from 1 Hz to 5 Hz: m_k = 40 (5^(k+1) - 1) / (k + 1).
    for order, value in ((0, 160.0), (1, 480.0), (2, 40 * 124 / 3), (4, 40 * 3124 / 5)):
        assert figure(check, f"m_{order}") == pytest.approx(value)
    assert figure(check, "T") == pytest.approx(TIME)
    assert figure(check, "ΔS_C,d") == pytest.approx(71 / 1.15)


def test_the_damage_is_that_of_a_counted_record_within_a_few_per_cent(assessed):
    check = check_of(assessed())
    random, span, step = np.random.default_rng(5), 20_000.0, 0.02
    samples = int(span / step)
    frequencies = np.fft.rfftfreq(samples, step)
    inside = (frequencies >= 1.0) & (frequencies <= 5.0)
    lines = np.where(inside, random.normal(size=len(frequencies)) + 1j * random.normal(size=len(frequencies)), 0.0)
    # Each line has the variance 40 / span of the density.
    stress = np.fft.irfft(lines * np.sqrt(40.0 / span) * samples / 2.0, samples)
    assert np.std(stress) == pytest.approx(np.sqrt(160.0), rel=0.02)
    table = count_cycles(stress).repeated(1.0)
    counted = life_curve("EN 1993", 71).factored(1.15).damage(table.ranges, table.counts) * TIME / span
    assert check["demand"] == pytest.approx(counted, rel=0.08)
    assert figure(check, "D_nb") > counted


def test_random_stress_and_recorded_loads_are_judged_together(assessed):
    contract = assessed()
    both = check_of(contract, "random:1:together")
    assert detail_of(contract)["damage"] > 0.0
    assert both["demand"] == pytest.approx(check_of(contract)["demand"] + detail_of(contract)["damage"])
    assert both["resistance"] == 1.0
    assert any("other times than the recorded loads" in text for text in contract["joints"][0]["assumptions"])
    assert any("as of a narrow band" in text for text in detail_of(contract)["remarks"])
    assert "by random stress and recorded loads together" in note_html(contract)
    assert [item["what"] for item in contract["inputs"]] == ["job", "history", "density"]
    assert any("Dirlik" in text for text in contract["joints"][0]["unconfirmed"])


def test_too_strong_a_random_stress_fails_the_detail(assessed):
    contract = assessed(density=FLAT.replace(",40", ",4000"))
    assert check_of(contract)["state"] == detail_of(contract)["state"] == "fails"


def test_a_cracked_detail_and_an_earlier_duty_are_not_judged(assessed):
    assert check_of(assessed('crack = "found"\n' + PSD))["state"] == "not judged"
    past = (
        '[[past]]\nname = "before"\nserved = "5 year"\ndamage = { "weld toe" = 0.1 }\nbecause = "assessed before"\n'
    )
    both = check_of(assessed(end=past), "random:1:together")
    assert both["state"] == "not judged" and "earlier duty" in both["reason"]


@pytest.mark.parametrize(
    ("psd", "density", "words"),
    [
        ('psd = { file = "density.csv" }', FLAT, "occurs is missing"),
        ('psd = { occurs = "1 h/day" }', FLAT, "file is missing"),
        ('psd = { file = "none.csv", occurs = "1 h/day" }', FLAT, "cannot be read"),
        ('psd = { file = "density.csv", occurs = "40/day" }', FLAT, "must be a time"),
        ('psd = { file = "density.csv", occurs = "30 h/day" }', FLAT, "asks for more than the 24 h"),
        ('psd = { file = "density.csv", occur = "1 h/day" }', FLAT, "did you mean 'occurs'"),
        (PSD, FLAT.replace("MPa2/Hz", "Pa"), "must name columns and units"),
        (PSD, FLAT.replace("5,40", "0.5,40"), "frequencies must rise"),
        (PSD, FLAT.replace(",40", ",0"), "zero throughout"),
        (PSD, FLAT.replace("5,40", "1.0000001,40"), "narrow band"),
    ],
)
def test_a_refused_density_says_what_and_where(assessed, psd, density, words):
    with pytest.raises(InputError, match=words) as refusal:
        assessed(psd, density)
    assert any("detail[1].psd" in text for text in refusal.value.problems)


def test_curves_of_another_source_are_refused(assessed):
    with pytest.raises(InputError, match="by EN 1993 only, not by IIW"):
        assessed(category='{ curves = "IIW", class = "FAT 71", second_slope = 5, gamma_M = 1.25 }')
