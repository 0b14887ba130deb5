"""A screen on springs, a whole job to EN 1993: running by its closed form, start and stop integrated a second way.

Unbalance 40 kg x 50 mm = 2000 kg mm at 900 rpm = 94.2478 rad/s: 2000 x 94.2478^2 / 1000 = 17 765.3 N.
Support 3 Hz, damping 0.05; 15 Hz is r = 5: T = sqrt(1 + 0.5^2) / sqrt(24^2 + 0.5^2) = 1.118034 / 24.005208 = 0.0465746.
On the support: 17 765.3 x 0.0465746 = 827.41 N in each direction.
20 years of 365.25 days are 7305 days: 16 h x 3600 s x 15 Hz x 7305 = 6.31152e9 turns; 6 x 7305 = 43 830 starts.
"""

import json
import math
from pathlib import Path

import numpy as np
import pytest

from cli.note import note_html, note_markdown
from cli.screen import summary

JOB = Path(__file__).parent / "jobs" / "machine_support.toml"
FORCE, SHARE = 17_765.3, 0.0465746
TURNS, STARTS = 6.31152e9, 43_830
# Category 71 / 1.35; knee at 5e6 and cut-off at 1e8 by EN 1993-1-9:2005, 7.1.
STRENGTH = 71.0 / 1.35
KNEE = STRENGTH * (2e6 / 5e6) ** (1 / 3)
CUT_OFF = KNEE * (5e6 / 1e8) ** (1 / 5)


@pytest.fixture(scope="module")
def contract():
    from cli.assess import assess_file

    return assess_file(JOB)


def integrated_again():
    """Vertical force on the support in one start and stop by the central difference, every 1/6000 s. [N]

    Its own law: 5 s up, then a stay of max(ln 100 / (0.05 x 2 pi 3), two turns) = 4.886 s, then 20 s down.
    """
    rate, damping, step = 2.0 * math.pi * 3.0, 0.05, 1.0 / 6000.0
    stay = math.log(100.0) / (damping * rate)
    times = np.arange(0.0, 5.0 + stay + 20.0 + stay, step)
    up, down = np.minimum(times / 5.0, 1.0), np.clip((times - 5.0 - stay) / 20.0, 0.0, 1.0)
    speed = 94.24778 * (up - down)
    change = np.where(times < 5.0, 94.24778 / 5.0, np.where(times > 5.0 + stay, -94.24778 / 20.0, 0.0))
    change[down >= 1.0] = 0.0
    angle = np.concatenate(([0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1]) * step)))
    force = 2.0 * (speed**2 * np.cos(angle) + change * np.sin(angle))
    place = np.zeros(len(times))
    for k in range(1, len(times) - 1):
        slope = rate**2 * (force[k] - place[k])
        ahead = 1.0 + damping * rate * step
        place[k + 1] = (2.0 * place[k] - (1.0 - damping * rate * step) * place[k - 1] + step**2 * slope) / ahead
    return place + 2.0 * damping / rate * np.gradient(place, step)


def test_running_hands_on_the_force_worked_by_hand(contract):
    running, started = contract["loads"]
    assert (running["name"], started["name"]) == ("screen: running", "screen: start and stop")
    assert running["extremes"]["Fz"]["high"] == pytest.approx(FORCE * SHARE / 1000.0, rel=2e-4)
    assert running["extremes"]["Fy"]["low"] == pytest.approx(-FORCE * SHARE / 1000.0, rel=2e-4)
    assert running["repeats"] == pytest.approx(TURNS, rel=1e-9)
    assert started["repeats"] == pytest.approx(STARTS)


def test_the_working_of_unbalance_and_support_is_in_the_contract(contract):
    groups = {group["title"]: group["figures"] for group in contract["loads"][0]["made"]["groups"]}
    assert set(groups) == {"unbalance", "unbalance, vertical", "unbalance, horizontal"}
    shown = {item["symbol"]: item["value"] for group in groups.values() for item in group}
    assert (shown["U"], shown["r"]) == pytest.approx((2000.0, 5.0))
    assert (shown["F_0"], shown["T"]) == pytest.approx((FORCE, SHARE), rel=1e-5)


def test_start_and_stop_peak_and_damage_agree_with_a_second_integration(contract):
    """Stress 3 MPa/kN; the cycles of the second integration on the curve of category 71, summed by hand here.

    The damage hangs on the fifth power of the few ranges that exceed the cut-off, so it is compared within 3 %.
    """
    from fatigue.cycles import count_cycles

    again = integrated_again()
    assert contract["loads"][1]["extremes"]["Fz"]["high"] == pytest.approx(again.max() / 1000.0, rel=2e-3)
    table = count_cycles(np.concatenate(([0.0], 0.003 * again, [0.0]))).repeated(float(STARTS))
    ranges, counts = table.ranges, table.counts
    assert ranges.max() < KNEE
    harmful = ranges >= CUT_OFF
    damage = (counts[harmful] / 5e6 * (ranges[harmful] / KNEE) ** 5).sum()
    (detail,) = contract["joints"][0]["details"]
    assert detail["damage"] == pytest.approx(damage, rel=0.03)
    by_load = {part["load"]: part for part in detail["by_load"]}
    # Running makes 2 x 3 x 0.82741 = 4.964 MPa, far below the cut-off, once each turn.
    assert by_load["screen: running"]["damage"] == 0.0
    assert by_load["screen: running"]["largest_range_MPa"] == pytest.approx(4.9645, rel=2e-4)
    assert by_load["screen: running"]["cycles"] == pytest.approx(TURNS, rel=1e-6)


def test_what_was_taken_for_granted_is_told(contract):
    told = " | ".join(contract["assumptions"])
    assert "screen: support: one degree of freedom in each direction, linear, without rocking" in told
    assert "screen: the time of starts and stops comes on top of the hours run" in told


def test_note_screen_and_json_show_how_the_histories_were_made(contract):
    json.dumps(contract, allow_nan=False)
    assert "made for one start and stop through 3 Hz" in " ".join(summary(contract, colour=False).split())
    page = note_html(contract)
    assert "amplification of the displacement" in page
    assert "largest force on the support while it starts and stops" in page


def test_a_made_start_and_stop_is_nowhere_called_recorded(contract):
    (detail,) = contract["joints"][0]["details"]
    reason = detail["outlook"]["interval"]["reason"]
    assert "is made from its data, not recorded" in reason and "record several" not in reason
    screen = " ".join(summary(contract, colour=False).split())
    assert "in the record" not in screen and "does not slip in one run of every load" in screen
    assert contract["loads"][1]["repeats_text"].startswith("the made history of")
    assert "the record of" not in note_markdown(contract) and "repeats of the record" not in note_markdown(contract)
