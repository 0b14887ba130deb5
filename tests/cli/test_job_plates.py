"""What a job may say of plates as members, of prying, packing and fitted bolts; and what it must not."""

from pathlib import Path

import pytest

from cli.assess import assess_job
from cli.job import read_job
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
TEXT = (JOBS / "bracket.toml").read_text(encoding="utf-8")
PLATE = 'edge_distance = "40 mm"'
BOLTS = "planes = 1"
HOLES = 'holes = "normal"'
FITTED = 'holes = "fitted"\nthreads = "not in shear plane"'


@pytest.fixture
def job(tmp_path):
    """The job with pieces of it replaced."""

    def of(*changes):
        text = TEXT
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        (tmp_path / "bracket.csv").write_bytes((JOBS / "bracket.csv").read_bytes())
        (tmp_path / "bracket.toml").write_text(text, encoding="utf-8")
        return read_job(tmp_path / "bracket.toml")

    return of


def checks_of(job):
    return {item["id"]: item for item in assess_job(job)["joints"][0]["checks"]}


def test_a_plate_may_state_its_extents_and_whose_it_is(job):
    found = job((PLATE, f'{PLATE}\nwidth = "21 cm"\nheight = "280 mm"\nbelongs_to = "part"'))
    plate = found.joints[0].joint.plates[0]
    assert (plate.width, plate.height, plate.belongs_to) == (210.0, 280.0, "part")
    contract = assess_job(found)["joints"][0]
    assert {"gross-section-end plate", "net-section-end plate"} <= {item["id"] for item in contract["checks"]}
    shown = contract["geometry"]["plates"][0]
    assert (shown["width_mm"], shown["height_mm"], shown["belongs_to"]) == (210.0, 280.0, "part")


def test_without_extents_the_note_says_that_sections_are_not_judged(job):
    contract = assess_job(job())["joints"][0]
    assert not any("section" in item["id"] for item in contract["checks"])
    assert any("sections of end plate" in text for text in contract["assumptions"])


def test_prying_and_packing_are_read_and_shown(job):
    found = job((BOLTS, f'{BOLTS}\nprying = 1.25\npacking = "12 mm"'))
    joint = found.joints[0].joint
    assert (joint.prying, joint.packing) == (1.25, 12.0)
    geometry = assess_job(found)["joints"][0]["geometry"]
    assert (geometry["prying"], geometry["packing_mm"]) == (1.25, 12.0)
    assert job((BOLTS, f'{BOLTS}\nprying = "none"')).joints[0].joint.prying == 1.0
    assert job().joints[0].joint.prying is None


def test_contact_is_read_where_the_standard_knows_it(job):
    found = job((BOLTS, f'{BOLTS}\ncontact = "moment only"'))
    assert found.joints[0].joint.contact == "moment only"
    with pytest.raises(InputError, match="contact that makes up for tension is not offered for this standard"):
        job(('"EN 1993"', '"AS 4100"'), (BOLTS, f'{BOLTS}\ncontact = "moment only"'))


def test_fitted_bolts_are_read(job):
    found = job((HOLES, FITTED))
    joint = found.joints[0].joint
    assert (joint.fit, joint.holes, joint.threads_in_plane) == ("fitted", "normal", False)
    geometry = assess_job(found)["joints"][0]["geometry"]
    assert (geometry["holes"], geometry["hole_mm"]) == ("fitted", 20.0)


def test_injection_bolts_are_read_with_the_strength_of_their_resin(job):
    joint = job((HOLES, 'holes = "injection"\nresin_strength = "140 MPa"')).joints[0].joint
    assert (joint.fit, joint.resin_strength) == ("injection", 140.0)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (PLATE, f'{PLATE}\nwidth = "150 mm"', r"width 150 mm does not reach beyond the holes, which take up 152 mm"),
        (PLATE, f'{PLATE}\nbelongs_to = "column"', r"known: part, support .*plates\[1\]\.belongs_to"),
        (BOLTS, f"{BOLTS}\nprying = 0.9", r"prying must not be below 1; got 0.9 .*bolts\.prying"),
        (BOLTS, f'{BOLTS}\nprying = "some"', r'prying must be "none" or a factor .* got \'some\''),
        (BOLTS, f'{BOLTS}\npacking = "-1 mm"', r"packing must not be below 0 mm"),
        (BOLTS, f'{BOLTS}\nresin_strength = "140 MPa"', r"resin_strength is for injection bolts"),
        (HOLES, 'holes = "fitted"', r'fitted bolts bear with their shank; give threads = "not in shear plane"'),
    ],
)
def test_refusals_name_what_would_do(job, old, new, message):
    with pytest.raises(InputError, match=message):
        job((old, new))


def test_fitted_bolts_are_refused_where_the_standard_has_no_rule_for_them_here(job):
    with pytest.raises(InputError, match=r'holes = "fitted" is not offered for this standard'):
        job(('"EN 1993"', '"AS 4100"'), (HOLES, FITTED))


def test_a_detail_of_bolted_plates_has_the_distances_of_its_holes_checked(job):
    """EN 1993-1-9:2005, Table 8.1, from memory: 1.5 d = 30 mm, 2.5 d = 50 mm; the end plate has 40 mm at least."""
    found = checks_of(job(('category = "8.4-1a"', 'category = "8.1-10"')))
    assert found["fatigue-distances-end plate"]["state"] == "holds"
    assert not [name for name in checks_of(job()) if name.startswith("fatigue-distances")]
