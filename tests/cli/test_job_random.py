"""Random stress at a detail through the whole job: from its density to the damage and its checks."""

import numpy as np
import pytest

from cli.assess import assess_file
from cli.note import note_html
from cli.screen import summary
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
        ('psd = { file = "none.csv", occurs = "1 h/day" }', FLAT, "is not there"),
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


SHEAR = """[[joint.detail]]
name = "throat"
category = { strength = "80 MPa", stress = "shear" }
stress = { Fy = "0.4 MPa/kN" }
"""


def test_life_at_other_stress_holds_the_random_stress_and_its_own_life_is_told(assessed):
    contract = assessed()
    detail = detail_of(contract)
    random = detail["random"]
    assert random["damage_together"] == pytest.approx(random["damage"] + detail["damage"])
    assert random["life_years_together"] == pytest.approx(25 / random["damage_together"])
    assert random["life_years_together"] < detail["life_years"]
    lives = {item["stress_factor"]: item["damage"] for item in detail["outlook"]["other_stress"]}
    assert lives[0.9] < random["damage_together"] < lives[1.1]
    # The same on the curve of 71 MPa, every stress a tenth larger: a category a tenth lower.
    lower = assessed(category='{ strength = "64.545454545454 MPa", stress = "normal" }')
    assert lives[1.1] == pytest.approx(detail_of(lower)["random"]["damage_together"], rel=1e-6)
    row = next(line for line in summary(contract, colour=False).splitlines() if line.startswith("weld toe"))
    assert f"{random['life_years_together']:.3g} years" in row


def test_what_the_records_alone_tell_of_the_life_is_left_out_beside_a_random_stress(assessed):
    outlook = detail_of(assessed())["outlook"]
    assert outlook["half_of_damage"] is None and outlook["along_record"] == []
    assert "density.csv does damage beside the records" in outlook["untimed"]
    assert outlook["interval"]["reason"] == outlook["untimed"]


def test_remaining_life_is_not_stated_beside_a_random_stress(assessed):
    past = (
        '[[past]]\nname = "before"\nserved = "5 year"\ndamage = { "weld toe" = 0.1 }\nbecause = "assessed before"\n'
    )
    contract = assessed(end=past)
    detail = detail_of(contract)
    assert "past" not in detail and detail["random"]["life_text_together"] == "not judged"
    assert detail["random"]["life_years_together"] is None
    assert "not judged" in summary(contract, colour=False)


def test_a_point_holds_the_random_stress_of_its_details(assessed):
    psd = 'point = "weld"\n' + PSD
    contract = assessed(psd, end=SHEAR + 'point = "weld"\n')
    checks = {item["id"]: item for item in contract["joints"][0]["checks"]}
    counted, both = checks["fatigue:point:1"], checks["fatigue:point:1:random"]
    assert both["demand"] == pytest.approx(counted["demand"] + detail_of(contract)["random"]["damage"])
    cracked = assessed('crack = "found"\n' + psd, end=SHEAR + 'point = "weld"\n')
    states = {item["id"]: item["state"] for item in cracked["joints"][0]["checks"]}
    assert states == {"fatigue:point:1": "not judged"}


def test_a_point_with_an_earlier_duty_and_a_random_stress_on_the_shear_alone(assessed):
    end = SHEAR + 'point = "weld"\n' + PSD
    contract = assessed('point = "weld"\n', end=end)
    both = next(x for x in contract["joints"][0]["checks"] if x["id"] == "fatigue:point:1:random")
    assert figure(both, "D_r,σ") == 0.0 and figure(both, "D_r,τ") > 0.0
    past = (
        '[[past]]\nname = "before"\nserved = "5 year"\ndamage = { "weld toe" = 0.1, throat = 0.1 }\n'
        'because = "assessed before"\n'
    )
    before = assessed('point = "weld"\n', end=end + past)
    both = next(x for x in before["joints"][0]["checks"] if x["id"] == "fatigue:point:1:random")
    assert both["state"] == "not judged" and "earlier duty" in both["reason"]


def test_an_inspection_beside_a_random_stress_is_refused(assessed):
    with pytest.raises(InputError, match="growth of a crack is found from the recorded loads alone"):
        assessed('inspection = { method = "magnetic particles", share = 0.5 }\n' + PSD)
