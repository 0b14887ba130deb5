"""The worked job tests/jobs/curves_only.toml: 200 000 lifts from 0 to 100 kN and back, worked by hand.

Hanger toe, IIW FAT 71 at 100 MPa: thickness (25/40)^0.3 = 0.8685, design strength 71 0.8685 / 1.25 = 49.33 MPa,
N = 2e6 (49.33/100)^3 = 240 100, D = 0.833, on the first slope because 100 MPa is above the knee at 28.8 MPa.
Beam flange, BS 7608 class F (1993) at 70 MPa, 12 mm below 16 mm: log10 N = 12.237 - 2 0.2183 - 3 log10 70, N = 1.841e6,
D = 0.1086; with a design fatigue factor of 2: 0.217.
End plate, DNV F1, 50 MPa, 32 mm: log10 N = 11.699 - 3 log10(50 (32/25)^0.25), N = 3.324e6, D = 0.0602; times 3: 0.180.
Weld throat across, 36* as 40 with gamma_Mf 1.25 at 30 MPa: N = 2e6 (32/30)^3 = 2.427e6, D = 0.0824.
Weld throat along, 80 at 50 MPa: N = 2e6 (64/50)^5 = 6.872e6, D = 0.0291. Together 0.1115.
"""

from pathlib import Path

import pytest

from cli.assess import assess_file, assess_job
from cli.job import read_job
from loadhistories.validation import InputError

JOBS = Path(__file__).parent / "jobs"
TEXT = (JOBS / "curves_only.toml").read_text(encoding="utf-8")
BY_HAND = [(0.833, 0.833), (0.1086, 0.2172), (0.0602, 0.1805), (0.0824, 0.0824), (0.0291, 0.0291)]


@pytest.fixture
def changed(tmp_path):
    """Reads the job with pieces of it replaced, beside its record."""

    def read(*changes):
        text = TEXT
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        (tmp_path / "curves_only.csv").write_bytes((JOBS / "curves_only.csv").read_bytes())
        (tmp_path / "curves_only.toml").write_text(text, encoding="utf-8")
        return read_job(tmp_path / "curves_only.toml")

    return read


@pytest.fixture(scope="module")
def contract():
    return assess_file(JOBS / "curves_only.toml")


def test_damage_and_utilisation_of_each_detail_are_those_worked_by_hand(contract):
    (joint,) = contract["joints"]
    found = [(item["damage"], item["utilisation"]) for item in joint["details"]]
    for numbers, by_hand in zip(found, BY_HAND, strict=True):
        assert numbers == pytest.approx(by_hand, rel=2e-3)
    assert contract["state"] == joint["state"] == "holds"


def test_each_detail_names_the_edition_of_its_curve(contract):
    clauses = [item["clause"] for item in contract["joints"][0]["details"]]
    assert clauses == [
        "IIW-1823-07 (2008), 3.2, with factors as given",
        "BS 7608:1993, Table 14, with factors as given",
        "DNV-RP-C203:2011, Table 2-1, with factors as given",
        "EN 1993-1-9:2005, 8(4), A.5",
        "EN 1993-1-9:2005, 8(4), A.5",
    ]


def test_normal_and_shear_at_the_weld_are_a_check_of_the_joint(contract):
    checks = {item["id"]: item for item in contract["joints"][0]["checks"]}
    assert list(checks) == ["fatigue:point:1", "fatigue:point:1:equivalent"]
    assert checks["fatigue:point:1"]["demand"] == pytest.approx(0.1115, rel=2e-3)
    assert checks["fatigue:point:1"]["clause"] == "EN 1993-1-9:2005, 8(4), A.5"
    assert checks["fatigue:point:1:equivalent"]["clause"] == "EN 1993-1-9:2005, 8(3)"


def test_own_partial_factor_is_listed_as_a_deviation_with_its_ground(contract):
    (told,) = contract["assumptions"]
    assert told.startswith("gamma_Mf 1.25 in place of the 1.15 that EN 1993-1-9:2005, Table 3.1, recommends")
    assert told.endswith("given by the user: agreed with the owner: inspection is difficult")
    assert contract["fatigue_basis"]["gamma_Mf"] == 1.25


def test_recalled_curves_are_listed_as_unconfirmed(contract):
    listed = " ".join(contract["joints"][0]["unconfirmed"])
    for source in ("IIW-1823-07", "BS 7608:1993", "DNV-RP-C203:2011"):
        assert source in listed


def test_design_fatigue_factor_makes_a_damage_below_one_fail(changed):
    job = changed(("design_fatigue_factor = 3 }", "design_fatigue_factor = 20 }"))
    contract = assess_job(job)
    plate = contract["joints"][0]["details"][2]
    assert (plate["state"], contract["state"]) == ("fails", "fails")
    assert plate["utilisation"] == pytest.approx(20 * plate["damage"], rel=1e-12)


def test_point_is_not_judged_when_one_of_its_details_is_far_above_its_curve(changed):
    job = changed(('{ Fy = "0.3 MPa/kN"', '{ Fy = "3.0 MPa/kN"'), ('"200000"', '"2000"'))
    joint = assess_job(job)["joints"][0]
    assert (joint["details"][3]["state"], joint["details"][3]["utilisation"]) == ("not judged", None)
    assert joint["checks"][0]["reason"] == "not judged by itself: hanger weld, throat across"


@pytest.mark.parametrize(
    ("change", "wording"),
    [
        ((", gamma_M = 1.25", ""), r"no safety of their own: give gamma_M = 1.25 .*, joint\[1\].detail\[1\].category"),
        ((", second_slope = 5", ""), r"class FAT 71 needs second_slope"),
        ((', thickness_rule = "transverse attachment, as welded"', ""), r"thicker than 25 mm: give thickness_rule"),
        (("edition = 1993", "edition = true"), r"edition must be a text or a number, got True"),
        (('curves = "IIW"', 'curves = "EN 1993"'), r"curves 'EN 1993' is unknown; .*known: BS 7608, DNV-RP-C203, IIW"),
        (("second_slope = 5", "second_slop = 5"), r"'second_slop' is no key here; did you mean 'second_slope'"),
        (('class = "FAT 71"', 'class = ["FAT 71"]'), r"class must be a name or a number"),
        (("because     =", "becaus ="), r"'becaus' is no key here; did you mean 'because'"),
        (('because     = "agreed with the owner: inspection is difficult"', ""), r"needs its ground: give because"),
        (("gamma_Mf    = 1.25", ""), r"because goes with gamma_Mf; give it too, or take because away"),
        (("gamma_Mf    = 1.25", "gamma_Mf    = 0.5"), r"gamma_Mf must not be below 1, got 0.5"),
        (('starred  = "limit at 1e7"', 'starred  = "yes"'), r"starred 'yes' is unknown; known: limit at 1e7"),
        (('standard    = "EN 1993"', 'standard    = "IIW"'), r"standard 'IIW' is unknown; .*EN 1993"),
    ],
)
def test_refused_job_says_what_would_do(changed, change, wording):
    with pytest.raises(InputError, match=wording):
        changed(change)
