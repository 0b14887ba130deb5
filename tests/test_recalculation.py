"""Whole jobs calculated a second time, by scripts that know the clauses and nothing of the package.

The scripts of `recalculation/` read job and records themselves, count by another rule (three points), search where the
package solves, and hold their own values of the tables with their clauses. Every number of the contract has to come
out again, and every number of a script has to stand in the contract.
"""

import json
import math
import subprocess
import sys
from pathlib import Path

import pytest

from cli.assess import assess_file

HERE = Path(__file__).parent
STANDARDS = ("en1993", "as4100", "aisc360")
NOT_CALCULATED = ("bytes", "interval_years")  # size of a file; interval of care, a rule of practice without arithmetic
SHARE = 1e-9
MOVED, DRIVEN = 1e-6, 1e-4
"""Movement by search beside that of the package. [mm, mrad]

Where a load drives the part the package stops within 1e-10 of the largest work. There the work hardly changes with the
place, so that the place is left open by some 1e-5 of the travel.
"""


def leaves(value, path=()):
    """All numbers of a contract with their paths; checks go by their id, figures by their symbol."""
    if isinstance(value, dict):
        for key, item in value.items():
            if key == "figures" and isinstance(item, list):
                for figure in item:
                    yield (*path, key, figure["symbol"]), figure["value"]
            elif key == "figures":
                for symbol, numbers in item.items():
                    for number in numbers if isinstance(numbers, list) else [numbers]:
                        yield (*path, key, symbol), number
            elif key == "checks" and isinstance(item, list):
                for check in item:
                    yield from leaves(check, (*path, key, check["id"]))
            elif key == "checks":
                for name, check in item.items():
                    yield from leaves(check, (*path, key, name))
            else:
                yield from leaves(item, (*path, key))
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from leaves(item, (*path, place))
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield path, float(value)


def gathered(value):
    found = {}
    for path, number in leaves(value):
        found.setdefault(path, []).append(number)
    return found


def agrees(path, one, two):
    searched = 0.0
    if "movement" in path:
        searched = DRIVEN if any(str(part).startswith("driven") for part in path) else MOVED
    return math.isclose(one, two, rel_tol=SHARE, abs_tol=max(searched, 1e-12))


@pytest.fixture(scope="module", params=STANDARDS)
def calculated(request):
    job = HERE / "jobs" / f"recalculated_{request.param}.toml"
    script = HERE / "recalculation" / f"{request.param}.py"
    again = subprocess.run(
        [sys.executable, str(script), str(job)], capture_output=True, text=True, check=False, encoding="utf-8"
    )
    assert again.returncode == 0, again.stderr
    return assess_file(job), json.loads(again.stdout)


@pytest.fixture(scope="module")
def both(calculated):
    contract, again = calculated
    return gathered(contract), gathered(again)


def test_every_number_of_the_contract_comes_out_again(both):
    contract, again = both
    missing = [path for path in contract if path not in again and path[-1] not in NOT_CALCULATED]
    assert missing == []


def test_every_number_that_was_calculated_again_stands_in_the_contract(both):
    contract, again = both
    assert [path for path in again if path not in contract] == []


def test_both_calculations_agree(both):
    contract, again = both
    apart = {
        path: (numbers, again[path]) for path, numbers in contract.items() if path in again
        and not all(any(agrees(path, number, other) for other in again[path]) for number in numbers)
    }
    assert apart == {}


def test_states_follow_from_the_numbers_that_were_calculated_again(calculated):
    contract, again = calculated
    for joint, other in zip(contract["joints"], again["joints"], strict=True):
        details = zip(joint["details"], other.get("details", []), strict=True)
        for shown, found in ((joint, other), *details):
            assert {item["id"]: item["state"] for item in shown["checks"]} == {
                name: "holds" if item["utilisation"] <= 1.0 else "fails" for name, item in found["checks"].items()
            }
        parts = (other, *other.get("details", []))
        worst = max(item["utilisation"] for part in parts for item in part["checks"].values())
        assert joint["state"] == ("holds" if worst <= 1.0 else "fails")


def test_the_scripts_use_nothing_but_the_standard_library():
    own = {"counting", "statics", "moving", "plates"}
    allowed = own | {"csv", "itertools", "json", "math", "sys", "tomllib", "pathlib"}
    for script in (HERE / "recalculation").glob("*.py"):
        for line in script.read_text(encoding="utf-8").splitlines():
            words = line.split()
            if words and words[0] in ("import", "from"):
                assert words[1] in allowed, f"{script.name}: {line}"
