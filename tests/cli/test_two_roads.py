"""One crane by both roads: its passages counted, and its duty class with an equivalent range; worked by hand."""

import pytest

from cli.assess import assess_file
from cli.note import note_html
from cli.screen import summary

# Every lift is full and the crane leaves the span, so that each is one cycle from nothing to the full moment:
# 250 000 lifts are the bound of U4, kQ = 1 is Q5, class S4, and the factor 0.5 is (250 000 / 2e6)^(1/3).
JOB = """title = "runway by both roads"
standard = "EN 1993"
design_life = "25 year"
fatigue = { concept = "damage tolerant", consequence = "high" }

[[load]]
name = "crane"
[load.components]
My = { column = "Moment" }
[load.crane]
rated_load = "100 kN"
bridge = "120 kN"
bridge_share = 0.5
crab = "20 kN"
span = "20 m"
approach = ["1 m", "1 m"]
wheel_spacings = ["3 m"]
travel_speed = "60 m/min"
factors = { phi_1 = 1.1, phi_2 = 1.2 }
[load.crane.girder]
spans = ["6 m", "6 m"]
system = "simple spans"
section = "3 m"
[[load.crane.duty]]
name = "full"
hook_load = "100 kN"
crab = "2 m"
from = "1.5 m"
to = "10.5 m"
lifts = "10000/year"

[[crane]]
name = "casting crane"
class = { cycles = 250000, spectrum = 1.0 }
fatigue_factors = { own = 1.05, hoist = 1.10 }
wheel_load = { crane = "39 kN", hoist = "45 kN" }
wheels = ["0 m", "3 m"]

[[joint]]
name = "girder at midspan"
[[joint.detail]]
name = "flange, passages counted"
category = 71
stress = { My = "0.5 MPa/(kN m)" }
[[joint.runway]]
name = "flange"
cranes = ["casting crane"]
category = 71
stress_cycles = 1
girder = { span = "6 m", at = "3 m", modulus = "2000 cm3" }
beside = "flange, passages counted"
records = "this crane"
"""


@pytest.fixture
def contract(tmp_path):
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    return assess_file(tmp_path / "job.toml")


def test_both_roads_come_to_the_same_damage_where_both_describe_the_same_cycles(contract):
    """Wheels of 1.05 * 39 + 1.1 * 45 = 90.45 kN: at midspan 135.675 kN m and, on 2000 cm3, 67.84 MPa."""
    item = contract["joints"][0]["runway"][0]
    full = 90.45e3 * 1500 / 2e6
    by_hand = 0.125 * (full * 1.15 / 71) ** 3
    assert item["cranes"][0]["class"] == "S4"
    assert item["cranes"][0]["equivalent_ranges_MPa"]["normal"] == pytest.approx(0.5 * full)
    assert item["beside"]["damage_by_class"] == pytest.approx(by_hand)
    assert item["beside"]["class_over_counted"] == pytest.approx(1.0, rel=1e-5)


def test_the_roads_differ_by_the_one_way_in_and_the_one_way_out_of_all_repeats(contract):
    """250 000 repeats in a row close 249 999.5 cycles of the full range: the first begins, and the last ends, at the
    moment of the empty crane, and each of these two parts is half a cycle of its own, below the knee (slope 5)."""
    item, detail = contract["joints"][0]["runway"][0], contract["joints"][0]["details"][0]
    full, empty = (load * 1500 / 2e6 for load in (90.45e3, 1.05 * 39e3))
    strength = 71 / 1.15
    knee = strength * (2 / 5) ** (1 / 3)
    assert 25 < empty < full - empty < knee < full
    ends = sum(0.5 / 5e6 * (range_ / knee) ** 5 for range_ in (empty, full - empty))
    by_hand = 249_999.5 / 2e6 * (full / strength) ** 3 + ends
    assert detail["cycles_per_life"] == 249_999.5 + 0.5 + 0.5
    assert detail["damage"] == item["beside"]["damage_counted"] == pytest.approx(by_hand, rel=1e-13)


def test_the_note_and_the_terminal_show_both_roads(contract):
    assert "Two roads side by side" in note_html(contract)
    words = " ".join(summary(contract, colour=False).split())
    assert "counted at flange, passages counted" in words and "casting crane S4" in words


@pytest.mark.parametrize("at", ["3 m", "6 m"])
def test_both_roads_pass_over_a_continuous_girder_alike(tmp_path, at):
    """The same wheels on the same influence line: beside the repeats' two ends nothing is left between the roads.

    Damage by class is one cycle a lift; counted are those of the loaded and of the empty way, the largest of which is
    the range by class.
    """
    pairs = [
        ('system = "simple spans"', 'system = "continuous"\nrunway = ["-10 m", "22 m"]'),
        ('section = "3 m"', f'section = "{at}"'),
        ('span = "6 m", at = "3 m"', f'spans = ["6 m", "6 m"], system = "continuous", at = "{at}"'),
        ('from = "1.5 m"', 'from = "-5 m"'), ('to = "10.5 m"', 'to = "17 m"'),
    ]  # fmt: skip
    text = JOB
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    joint = assess_file(tmp_path / "job.toml")["joints"][0]
    by_class = joint["runway"][0]["cranes"][0]["equivalent_ranges_MPa"]["normal"]
    assert joint["details"][0]["largest_range_MPa"] == pytest.approx(by_class / 0.5, rel=1e-12)
    assert f"section at {at} of a girder of 6 + 6 m (continuous)" in " ".join(joint["runway"][0]["remarks"])
