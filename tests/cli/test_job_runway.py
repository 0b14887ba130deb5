"""Places of a crane runway through the whole job: from the duty classes to the checks, the note and the terminal."""

from importlib.resources import files

import pytest

from cli.assess import assess_file
from cli.note import note_html
from cli.screen import summary
from loadhistories.validation import InputError

HEAD = """title = "runway"
standard = "EN 1993"
design_life = "25 year"
fatigue = { concept = "damage tolerant", consequence = "high" }
"""
LOAD = """[[load]]
name = "start and stop"
history = "record.csv"
occurs = "40/day"
[load.components]
Fy = { column = "Vertical" }
"""
CRANE = """[[crane]]
name = "casting crane"
class = "S3"
hoisting = "HC2"
hoisting_speed = "6 m/min"
own_factor = 1.1
wheel_load = { crane = "50 kN", hoist = "100 kN" }
"""
OTHER = """[[crane]]
name = "repair crane"
class = "S1"
fatigue_factors = { own = 1, hoist = 1.2 }
wheel_load = { crane = "30 kN", hoist = "40 kN" }
wheels = ["0 m", "2.4 m"]
"""
DETAIL = """[[joint.detail]]
name = "flange, counted"
category = 112
stress = { Fy = "1.0 MPa/kN" }
"""
RUNWAY = """[[joint.runway]]
name = "web below the rail"
cranes = ["casting crane"]
category = 71
stress_cycles = 1
stress = { normal = "0.3 MPa/kN" }
"""
STRESS = 'stress = { normal = "0.3 MPa/kN" }'
WEB = 'web = { thickness = "10 mm", seat = "fixed", rail_and_flange = "4e6 mm4" }'
BENDING = (
    'rail_and_flange = "4e6 mm4", bending = { rail_width = "55 mm", web_height = "600 mm", spacing = "1500 mm", '
    'flange_torsion = "1e6 mm4" } }'
)
# phi_2 of HC2 at 0.1 m/s is 1.1 + 0.34 * 0.1 = 1.134, so phi_fat is 1.05 and 1.067 of 50 kN and 100 kN.
FORCE = 1.05 * 50 + 1.067 * 100
LENGTH = 3.25 * 4e5 ** (1 / 3)


@pytest.fixture
def assessed(tmp_path):
    record = files("loadhistories.samples").joinpath("drive_bracket_start_stop.csv").read_bytes()
    (tmp_path / "record.csv").write_bytes(record)

    def run(*pairs, head=HEAD, load="", cranes=CRANE, detail="", runway=RUNWAY, end=""):
        text = head + load + cranes + '[[joint]]\nname = "girder"\n' + detail + runway + end
        for old, new in pairs:
            assert old in text, old
            text = text.replace(old, new)
        (tmp_path / "job.toml").write_text(text, encoding="utf-8")
        return assess_file(tmp_path / "job.toml")

    return run


def both(assessed, records, *pairs, **more):
    """A job with a counted detail beside the place of the runway."""
    given = {"load": LOAD, "detail": DETAIL} | more
    return assessed(*pairs, runway=f'{RUNWAY}beside = "flange, counted"\nrecords = "{records}"\n', **given)


def joint_of(contract):
    return contract["joints"][0]


def check_of(contract, id="runway:1:normal"):
    return next(item for item in joint_of(contract)["checks"] if item["id"] == id)


def figure(check, symbol):
    return next(item["value"] for item in check["figures"] if item["symbol"] == symbol)


def test_a_job_of_runways_alone_needs_no_load_and_gives_the_range_by_hand(assessed):
    contract = assessed()
    check = check_of(contract)
    # 159.2 kN, factor 0.397 of S3, 0.3 MPa/kN: 18.96 MPa against 71 / 1.15 = 61.74 MPa.
    assert check["demand"] == pytest.approx(0.3 * 0.397 * FORCE) and check["unit"] == "MPa"
    assert check["resistance"] == pytest.approx(71 / 1.15)
    damage = check_of(contract, "runway:1")
    assert damage["demand"] == pytest.approx((0.3 * 0.397 * FORCE * 1.15 / 71) ** 3)
    assert figure(damage, "φ_2") == pytest.approx(1.134)
    assert contract["state"] == "holds" and contract["loads"] == []


def test_cycles_and_spectrum_make_the_class_by_name_or_by_number(assessed):
    names = assessed(('"S3"', '{ cycles = "U5", spectrum = "Q3" }'))
    numbers = assessed(('"S3"', "{ cycles = 4e5, spectrum = 0.2 }"))
    # U5 and Q3: S(5 + 3 - 5) = S3.
    for contract in (names, numbers):
        assert joint_of(contract)["runway"][0]["cranes"][0]["class"] == "S3"
        assert check_of(contract)["demand"] == pytest.approx(0.3 * 0.397 * FORCE)
    assert any("Table 2.11 (from memory)" in text for text in joint_of(names)["unconfirmed"])


def test_own_dynamic_factors_stand_in_place_of_the_hoisting_class(assessed):
    own = 'hoisting = "HC2"\nhoisting_speed = "6 m/min"\nown_factor = 1.1'
    contract = assessed((own, "fatigue_factors = { own = 1, hoist = 1.2 }"))
    assert check_of(contract)["demand"] == pytest.approx(0.3 * 0.397 * (50 + 1.2 * 100))


def test_the_web_below_a_wheel_has_pressure_bending_and_shear(assessed):
    shear = (STRESS, f'shear_category = 80\n{WEB}\nstress = {{ shear = "0.1 MPa/kN" }}')
    light = assessed(shear)
    assert check_of(light)["demand"] == pytest.approx(0.397 * FORCE * 1000 / LENGTH / 10)
    local = 0.4 * 1000 / LENGTH / 10
    assert check_of(light, "runway:1:shear")["demand"] == pytest.approx(0.575 * FORCE * (local + 0.1))
    heavy = assessed(shear, ('"S3"', '"S4"'), ('rail_and_flange = "4e6 mm4" }', BENDING))
    # EN 1993-6, 5.7.3 (from memory): 35.4676 MPa for 100 kN on these sizes, see tests/published/runway.toml.
    expected = 0.5 * FORCE * (1000 / LENGTH / 10 + 35.46757574 / 100)
    assert check_of(heavy)["demand"] == pytest.approx(expected, rel=1e-6)


def test_a_girder_makes_the_stress_of_passing_wheels(assessed):
    girder = 'girder = { span = "12 m", at = "6 m", modulus = "4e6 mm3", shear_area = "7000 mm2" }\nshear_category = 80'
    contract = assessed((STRESS, girder), ("[[joint]]", 'wheels = ["0 m", "3.2 m"]\n[[joint]]'))
    # One wheel at midspan, the other 3.2 m beside it: ordinates 3 m and 1.4 m; shear 1/2 + 2.8/12 on either side.
    assert check_of(contract)["demand"] == pytest.approx(0.397 * FORCE * 1000 * 4400 / 4e6)
    by_hand = 0.575 * FORCE * 1000 * 2 * (0.5 + 2.8 / 12) / 7000
    assert check_of(contract, "runway:1:shear")["demand"] == pytest.approx(by_hand)


def test_a_girder_of_several_spans_takes_the_moments_of_all_of_them(assessed):
    """One wheel on two spans of 12 m: from -0.0481 L with the other span loaded to 13/64 L at midspan (from memory)."""
    girder = 'girder = { spans = ["12 m", "12 m"], system = "continuous", at = "6 m", modulus = "4e6 mm3" }'
    wheel = ("[[joint]]", 'wheels = ["0 m"]\n[[joint]]')
    contract = assessed((STRESS, girder), wheel)
    by_hand = 12e3 * (13 / 64 + 1 / (12 * 3**0.5))
    assert check_of(contract)["demand"] == pytest.approx(0.397 * FORCE * 1000 * by_hand / 4e6)
    assert "the girder has the same stiffness in all spans" in joint_of(contract)["runway"][0]["remarks"]
    stated = girder.replace("at =", 'second_moment = ["8e8 mm4", "8e8 mm4"], at =')
    again = assessed((STRESS, stated), wheel)
    assert check_of(again)["demand"] == pytest.approx(check_of(contract)["demand"])
    assert "stiffness" not in " ".join(joint_of(again)["runway"][0]["remarks"])


def test_two_cranes_are_judged_each_alone_and_together(assessed):
    two = [('cranes = ["casting crane"]', 'cranes = ["casting crane", "repair crane"]')]
    contract = assessed(*two, cranes=CRANE + OTHER)
    item = joint_of(contract)["runway"][0]
    forces = (FORCE, 30 + 1.2 * 40)
    parts = [(0.3 * f * q * 1.15 / 71) ** 3 for f, q in zip((0.397, 0.25), forces, strict=True)]
    together = (0.3 * 0.198 * sum(forces) * 1.15 / 71) ** 3
    assert [crane["damage"] for crane in item["cranes"]] == pytest.approx(parts)
    # Two classes below S1 is not below S0.
    assert item["together"]["class"] == "S0" and item["together"]["damage"] == pytest.approx(together)
    assert check_of(contract, "runway:1")["demand"] == pytest.approx(sum(parts) + together)
    apart = assessed(*two, (STRESS, 'stress = { normal = ["0.3 MPa/kN", "0 MPa/kN"] }'), cranes=CRANE + OTHER)
    assert joint_of(apart)["runway"][0]["cranes"][1]["damage"] == 0.0


def test_both_roads_stand_side_by_side_and_do_not_add_for_the_same_crane(assessed):
    contract = both(assessed, "this crane")
    joint = joint_of(contract)
    beside, counted = joint["runway"][0]["beside"], joint["details"][0]["damage"]
    assert beside["damage_counted"] == counted > 0.0
    assert beside["class_over_counted"] == pytest.approx(beside["damage_by_class"] / counted)
    assert not any(item["id"].endswith(":beside") for item in joint["checks"])
    page, screen = note_html(contract), " ".join(summary(contract, colour=False).split())
    assert "Two roads side by side" in page and "cycles counted at flange, counted" in page
    assert "counted at flange, counted" in screen and "(the same cranes)" in screen


def test_damage_of_other_loads_adds_and_an_earlier_duty_leaves_it_not_judged(assessed):
    contract = both(assessed, "other loads")
    check = check_of(contract, "runway:1:beside")
    beside = joint_of(contract)["runway"][0]["beside"]
    assert check["demand"] == pytest.approx(beside["damage_by_class"] + beside["damage_counted"])
    past = (
        '[[past]]\nname = "before"\nserved = "5 year"\ndamage = { "flange, counted" = 0.1 }\n'
        'because = "assessed before"\n'
    )
    before = both(assessed, "other loads", end=past)
    assert check_of(before, "runway:1:beside")["state"] == before["state"] == "not judged"


def test_the_count_of_heavy_cycles_is_always_told_and_never_a_pass(assessed):
    silent = joint_of(assessed())["runway"][0]["exemption"]
    assert silent["may_be_exempt"] is None and "not stated for casting crane" in silent["text"]
    few = assessed(("[[joint]]", "heavy_cycles = 9000\n[[joint]]"), ("0.3 MPa/kN", "3 MPa/kN"))
    exempt = joint_of(few)["runway"][0]["exemption"]
    assert exempt["may_be_exempt"] and exempt["limit"] == 10_000 and few["state"] == "fails"
    page = note_html(few)
    assert "This is a hint only" in page and "Crane runway by duty classes" in page
    assert "This is a hint only" in " ".join(summary(few, colour=False).split())


def test_a_cracked_place_and_a_counted_detail_that_is_not_judged_are_told(assessed):
    cracked = assessed(runway=RUNWAY + 'crack = "found"\n')
    assert check_of(cracked, "runway:1")["state"] == "not judged" and "crack was found" in note_html(cracked)
    beside = both(assessed, "this crane", ("category = 112", 'category = 112\ncrack = "found"'))
    item = joint_of(beside)["runway"][0]
    assert item["beside"] is None and "was not judged by its cycles" in item["remarks"][0]


def test_recalled_rows_and_rules_of_the_runway_are_listed(assessed):
    listed = " ".join(joint_of(assessed((STRESS, WEB)))["unconfirmed"])
    for words in ("Table 2.12", "Tables 2.4 and 2.5", "Table 5.1", "5.7.2", "9.3.3", "HC2"):
        assert words in listed


@pytest.mark.parametrize("standard", ["AS 4100", "AISC 360-22"])
def test_another_standard_is_told_to_count_the_passages(assessed, standard):
    head = HEAD.replace("EN 1993", standard).replace(HEAD.splitlines()[3], "")
    with pytest.raises(InputError, match=r"are the method of EN 1991-3 and EN 1993-6.*give the passages as a"):
        assessed(head=head)


@pytest.mark.parametrize(
    ("pairs", "words"),
    [
        ([('"S3"', '"S10"')], r"S class 'S10' is unknown.*crane\[1\].class"),
        ([('class = "S3"\n', "")], "class is missing"),
        ([('"S3"', '{ cycles = "U5" }')], "spectrum is missing"),
        ([('"S3"', '{ cycles = 9e6, spectrum = "Q3" }')], "above the highest class U9"),
        ([('"S3"', '{ cycles = true, spectrum = "Q3" }')], "cycles must be"),
        ([('"HC2"', '"HC9"')], "hoisting class 'HC9' is unknown"),
        ([("own_factor = 1.1\n", "")], "own_factor is missing"),
        ([("own_factor = 1.1", "own_factor = 1.4")], "phi_1 must lie from 0.9 to 1.1"),
        ([('"6 m/min"', '"6 m"')], "hoisting_speed"),
        ([("own_factor", "fatigue_factors = { own = 1, hoist = 1 }\nown_factor")], "a crane needs one of hoisting"),
        ([('"50 kN"', '"0 kN"'), ('"100 kN"', '"0 kN"')], r"wheel load is 0 N.*crane\[1\]"),
        ([(', hoist = "100 kN"', "")], "hoist is missing"),
        ([('cranes = ["casting crane"]', 'cranes = ["none"]')], "crane 'none' is unknown; known: casting crane"),
        ([('["casting crane"]', '["casting crane", "casting crane"]')], "names one crane twice"),
        ([("stress_cycles = 1\n", "")], "stress_cycles is missing"),
        ([("stress_cycles", "stress_cycle")], "did you mean 'stress_cycles'"),
        ([("category = 71\n", "")], "needs category for normal stress"),
        ([("category = 71", "category = 77")], "category 77 is no normal stress class"),
        ([("category = 71", "category = true")], "category must be an identifier or a number"),
        ([(f"{STRESS}\n", "")], r"nothing makes stress for category 71.*runway\[1\]"),
        ([(STRESS, "stress = { }")], "stress needs normal, shear, or both"),
        ([(STRESS, 'stress = { normal = ["0.3 MPa/kN", "0.2 MPa/kN"] }')], "has 2 values for 1 cranes"),
        ([(STRESS, 'stress = { normal = ["-0.3 MPa/kN"] }')], "must not be below 0 MPa/N"),
        ([(STRESS, WEB.replace("fixed", "glued"))], "seat of the rail 'glued' is unknown"),
        ([(STRESS, WEB.replace("rail_and_flange", "rail"))], "needs rail_and_flange and nothing else"),
        ([(STRESS, WEB), ('"S3"', '"S4"')], "class S4 of crane 'casting crane' asks for bending"),
        ([(STRESS, 'girder = { span = "12 m", at = "6 m", modulus = "4e6 mm3" }')], "a girder needs the wheels of"),
        ([("[[joint]]", 'wheels = ["0 m", "0 mm"]\n[[joint]]')], "two wheels at one place"),
        ([(STRESS, 'girder = { at = "6 m", modulus = "4e6 mm3" }')], 'a girder needs one of span = "12 m" and spans'),
        ([(STRESS, 'girder = { span = "9 m", spans = ["9 m"], at = "6 m" }')], "a girder needs one of span"),
        ([(STRESS, 'girder = { spans = ["9 m", "9 m"], at = "6 m" }')], "system is missing"),
        ([(STRESS, 'girder = { span = "9 m", system = "continuous", at = "6 m" }')], "system goes with spans in a row"),
        (
            [(STRESS, 'girder = { spans = ["9 m", "-9 m"], system = "continuous", at = "6 m" }')],
            r"span 2 must be above 0 mm.*runway\[1\].girder",
        ),
        ([(STRESS, f'{STRESS}\nbeside = "flange"\nrecords = "this crane"')], "'flange' is not in this joint"),
        ([(STRESS, f'{STRESS}\nbeside = "flange, counted"')], "records is missing"),
        ([(STRESS, f'{STRESS}\nrecords = "this crane"')], "records goes with beside"),
    ],
)
def test_refused_runways_say_what_and_where(assessed, pairs, words):
    with pytest.raises(InputError, match=words):
        assessed(*pairs, load=LOAD, detail=DETAIL)


def test_a_random_stress_beside_classes_of_cranes_is_refused(assessed, tmp_path):
    (tmp_path / "density.csv").write_text("Frequency [Hz],Density [MPa2/Hz]\n1,40\n5,40\n", encoding="utf-8")
    psd = ("[[joint.runway]]", 'psd = { file = "density.csv", occurs = "1 h/day" }\n[[joint.runway]]')
    with pytest.raises(InputError, match="states a psd, and the damage of a random stress is not compared"):
        both(assessed, "other loads", psd)


def test_a_joint_with_a_detail_still_needs_a_load(assessed):
    with pytest.raises(InputError, match="load is missing"):
        assessed(detail=DETAIL)
