import numpy as np
import pytest

from fatigue.catalogue import catalogue, find_details
from fatigue.curves import curve_of_strength, life_curve
from fatigue.cycles import count_cycles
from fatigue.detail import detail
from fatigue.standards import aisc360
from fatigue.stress import stress_per_component
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

NEW = "AISC 360-22"
LETTERS = ["A", "B", "B'", "C", "C'", "C''", "D", "E", "E'", "F", "G"]
PULL = stress_per_component({"Fx": 1.0})
YEAR = 365.25 * 86_400.0



def test_every_row_has_a_letter_or_says_why_not():
    rows = catalogue(NEW)
    assert len(rows) == 59
    for row in rows:
        assert row.source
        if row.letter:
            assert row.letter in LETTERS
            assert row.stress == ("shear" if row.letter == "F" else "normal"), row.id
        else:
            assert row.see or "not permitted" in row.condition, row.id
    known = {row.id for row in rows}
    assert all(set(row.see) | set(row.also) <= known for row in rows)


@pytest.mark.parametrize(
    ("number", "letter"),
    [("1.1", "A"), ("1.2", "B"), ("2.1", "B"), ("2.3", "D"), ("3.1", "B"), ("3.2", "B'"), ("3.4", "E"), ("3.5b", "E'"),
     ("4.1a", "E"), ("5.4", "C"), ("5.6-toe", "C"), ("5.6-root", "C'"), ("5.7-root", "C''"), ("6.1d", "E"),
     ("7.1d", "E'"), ("8.1", "C"), ("8.2", "F"), ("8.5", "G")],
)  # fmt: skip
def test_known_letters_of_aisc_360_table_a_3_1(number, letter):
    assert aisc360.row_of(number).letter == letter


def test_constants_from_memory_mark_the_rows_that_use_them():
    assert not aisc360.row_of("1.1").unconfirmed
    assert aisc360.row_of("E'").unconfirmed
    assert all(row.unconfirmed for row in catalogue(NEW) if row.letter in ("E", "E'", "F"))


def test_details_are_found_by_words_and_by_letter():
    assert [row.id for row in find_details(NEW, "cover plate E'")] == ["3.5b", "3.6a"]


def test_primes_may_be_typed_as_they_are_printed():
    assert life_curve(NEW, "B′") == life_curve(NEW, "B’") == life_curve(NEW, "B'")
    sizes = {"thickness": 12.7, "leg": 8.0}
    assert life_curve(NEW, "C″", **sizes) == life_curve(NEW, "C''", **sizes)


def test_a_strength_of_the_users_own_has_no_threshold():
    curve = curve_of_strength(NEW, 50.0)
    assert curve.cycles_to_failure([50.0, 5.0]) == pytest.approx([2e6, 2e6 * 10 ** (1 / 0.333)])
    assert curve_of_strength(NEW, 50.0, stress="shear").slopes == (pytest.approx(1 / 0.167),)
    item = detail("own", standard=NEW, recipe=PULL, strength=50.0)
    result = aisc360.detail_damage(
        item, [count_cycles(np.array([0.0, 50.0, 0.0]))], blocks=[("one", 1e6)],
        factors=aisc360.partial_factors("US"), design_life=YEAR, permanent_stress=0.0,
    )  # fmt: skip
    assert result.damage == pytest.approx(0.5)
    assert all(again == pytest.approx(stored, rel=1e-9) for _, stored, again in recomputed(result))


@pytest.mark.parametrize(
    ("category", "sizes", "wording"),
    [
        (71, {}, r"category 71: AISC 360 names its categories A, B, B', .* such as \"5\.4\""),
        ("H", {}, r"category 'H' is unknown in AISC 360"),
        ("8.4-1a", {}, r"category '8\.4-1a' is unknown in AISC 360"),
        ("3.5", {}, r"known of this kind: 3\.5a, 3\.5b"),
        ("3.6b", {}, r"'3\.6b' has no category of its own: not permitted"),
        ("5.6", {}, r"'5\.6' has no category of its own: .*use one of 5\.6-toe, 5\.6-root"),
        ("C''", {"thickness": 12.7}, r"category C'' depends on the weld .*: give its leg, such as leg = \"0\.5 in\""),
        ("C'", {"thickness": 12.7}, r"give its root_face"),
        ("C'", {"thickness": 12.7, "root_face": 13.0}, r"root_face must not be above the thickness of 12\.7 mm"),
        ("A", {"stress": "shear"}, r"category A is for normal stress, got 'shear'"),
        ("A", {"equations": "metric"}, r"equations 'metric' is unknown; known: US, SI"),
    ],
)  # fmt: skip
def test_refused_categories_say_what_would_do(category, sizes, wording):
    with pytest.raises(InputError, match=wording):
        life_curve(NEW, category, **sizes)


@pytest.mark.parametrize(
    ("arguments", "wording"),
    [
        ({"pitch": 2.5, "threads_per_inch": 9}, "a bolt's thread needs one of pitch and threads_per_inch"),
        ({"pitch": 25.0}, "a thread of pitch 25 mm leaves nothing of a bolt of 20 mm"),
        ({"pitch": -1.0}, "pitch must be above 0 mm, got -1"),
    ],
)
def test_refused_threads_are_named(arguments, wording):
    with pytest.raises(InputError, match=wording):
        aisc360.net_tensile_area(20.0, **arguments)


def test_a_shear_category_refuses_normal_stress():
    normal = stress_per_component({"Fx": 1.0}, stress="normal")
    with pytest.raises(InputError, match=r"category 8\.2 is for shear stress, its recipe gives normal stress"):
        detail("throat", standard=NEW, recipe=normal, category="8.2")
