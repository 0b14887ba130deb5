"""What a job may say of prying: a factor or the flange, the same for the bolts' strength and their fatigue."""

from pathlib import Path

import pytest

from cli.assess import assess_job
from cli.job import read_job
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
TEXT = (JOBS / "bracket.toml").read_text(encoding="utf-8")
BOLTS = "planes = 1"
PERMANENT = "permanent = {"
FLANGE = 'flange_thickness = "20 mm", m = "45 mm", e = "40 mm", steel = "S355", length = "90 mm"'


def detail(prying):
    return f"""
[[joint.detail]]
name = "bolts"
category = "8.1-14"
diameter = "20 mm"
stress = {{ bolt_tension = {{ prying = {prying}, share = 0.25 }} }}
"""


@pytest.fixture
def job(tmp_path):
    """The job with what it says of prying, and a detail of the bolts."""

    def of(prying, *, details="", standard='"EN 1993"'):
        assert BOLTS in TEXT and PERMANENT in TEXT
        said = "" if prying is None else f"\nprying = {prying}"
        text = TEXT.replace(BOLTS, BOLTS + said, 1).replace('"EN 1993"', standard, 1) + details
        text = text.replace(PERMANENT, f'{PERMANENT} Fz = "360 kN",', 1)
        (tmp_path / "bracket.csv").write_bytes((JOBS / "bracket.csv").read_bytes())
        (tmp_path / "bracket.toml").write_text(text, encoding="utf-8")
        return read_job(tmp_path / "bracket.toml")

    return of


def test_a_flange_is_read_and_judged(job):
    found = job(f"{{ {FLANGE} }}")
    flange = found.joints[0].joint.flange
    assert (flange.thickness, flange.m, flange.e, flange.length) == (20.0, 45.0, 40.0, 90.0)
    contract = assess_job(found)["joints"][0]
    check = next(item for item in contract["checks"] if item["id"] == "prying")
    assert {"Q_Ed", "F_T,2", "M_pl,2"} <= {item["symbol"] for item in check["figures"]}
    assert contract["geometry"]["prying"] >= 1.0


def test_fatigue_of_the_bolts_takes_the_prying_of_the_joint(job):
    found = job("1.25", details=detail('"joint"'))
    assert found.joints[0].details[-1].recipe.workings[0][0].prying == 1.25
    pried = job(f"{{ {FLANGE} }}", details=detail('"joint"')).joints[0]
    assert pried.details[-1].recipe.workings[0][0].prying == pytest.approx(176.4e3 / pried.joint.flange.second)


def test_a_smaller_prying_in_fatigue_is_refused_beside_a_factor_and_warned_of_beside_a_flange(job):
    with pytest.raises(InputError, match=r"prying 1.1 of the detail differs from 1.25 of the bolts"):
        job("1.25", details=detail("1.1"))
    beside = job(f"{{ {FLANGE} }}", details=detail("1.1"))
    (warning,) = [
        item for item in assess_job(beside)["joints"][0]["warnings"] if item["code"] == "less-prying-in-fatigue"
    ]
    assert "judged with a prying factor of 1.1, their strength with" in warning["text"]


def test_fatigue_cannot_refer_to_prying_of_which_nothing_is_said(job):
    with pytest.raises(InputError, match=r'prying = "joint" needs the key prying in \[joint.bolts\]'):
        job(None, details=detail('"joint"'))


@pytest.mark.parametrize(
    ("prying", "standard", "message"),
    [
        ('{ m = "45 mm", e = "40 mm", steel = "S355", length = "90 mm" }', '"EN 1993"', "flange_thickness is missing"),
        (f'{{ {FLANGE}, washer = "30 mm" }}', '"EN 1993"', "washer"),
        (f"{{ {FLANGE} }}".replace("45 mm", "45"), '"EN 1993"', "unit"),
        (f"{{ {FLANGE} }}", '"AS 4100"', r"AS 4100:2020.* has no rule here for the size of prying forces"),
        (f"{{ {FLANGE} }}".replace("45 mm", "8 mm"), '"EN 1993"', r"m 8 mm leaves no flange .*bolts\.prying"),
    ],
)
def test_flanges_are_refused_with_their_reason(job, prying, standard, message):
    with pytest.raises(InputError, match=message):
        job(prying, standard=standard)
