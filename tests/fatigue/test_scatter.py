import tomllib
from pathlib import Path

import pytest

from fatigue.scatter import failure_damage

CASE = tomllib.loads((Path(__file__).parents[1] / "published" / "life.toml").read_text())["case"]["damage_at_failure"]


def test_damage_at_failure_of_the_jcss_probabilistic_model_code():
    found = failure_damage()
    assert (found.mean, found.variation) == (CASE["inputs"]["mean"], CASE["inputs"]["variation"])
    for name, value in CASE["expected"].items():
        assert getattr(found, name) == pytest.approx(value, rel=CASE["tolerance_rel"]), name
