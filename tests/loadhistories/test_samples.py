from importlib.resources import files

import pytest

from loadhistories.samples.drive_bracket import RECORDS, record_text


@pytest.mark.parametrize("name", RECORDS)
def test_a_sample_record_is_the_one_that_its_recipe_makes(name):
    make, what = RECORDS[name]
    stored = files("loadhistories.samples").joinpath(name).read_text(encoding="utf-8").splitlines()
    made = record_text(make(), what).splitlines()
    assert stored[:4] == made[:4]
    assert len(stored) == len(made)
    for old, new in zip(stored[4:], made[4:], strict=True):
        assert [float(x) for x in old.split(",")] == pytest.approx([float(x) for x in new.split(",")], abs=0.0101)
