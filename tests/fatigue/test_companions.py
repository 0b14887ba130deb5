import pytest

from fatigue.companions import unjudged_beside
from fatigue.detail import detail
from fatigue.stress import stress_per_component
from fatigue.weld_stress import stress_of_welds
from loadhistories.validation import InputError

SIDES = [[[-50, -100], [-50, 100]], [[50, -100], [50, 100]]]
UNIT = stress_per_component({"Fy": 1e-3})
NORMAL, SHEAR = (stress_of_welds(SIDES, kind, leg=6.0) for kind in ("normal", "shear"))


def made(category, recipe=UNIT, **more):
    return detail(f"at {category}", standard="EN 1993", category=category, recipe=recipe, **more)


def missing(*details):
    return [(item.key, tuple(row.id for row in item.rows)) for item in unjudged_beside(details)]


def test_toe_of_a_cruciform_joint_wants_both_stresses_of_its_root_judged():
    assert missing(made("8.5-1-71")) == [("root", ("8.5-3",)), ("root", ("8.5-3t",))]
    assert missing(made("8.5-1-71"), made("8.5-3", NORMAL)) == [("root", ("8.5-3t",))]


def test_root_wants_one_of_the_toes_judged_whichever_fits():
    ((key, rows),) = missing(made("8.5-3", NORMAL), made("8.5-3t", SHEAR))
    assert (key, rows[0], len(rows)) == ("toe", "8.5-1-80", 7)
    assert missing(made("8.5-3", NORMAL), made("8.5-3t", SHEAR), made("8.5-1-56")) == []


def test_statement_with_its_reason_stands_for_what_is_not_judged():
    assert missing(made("8.5-1-71", root="none: full penetration")) == []
    both = (made("8.5-3", NORMAL, toe="none: ground and peened, judged elsewhere"), made("8.5-3t", SHEAR))
    assert missing(*both) == []


def test_rows_that_are_missing_at_several_details_are_told_once():
    assert len(missing(made("8.5-1-71"), made("8.5-1-63"))) == 2


def test_detail_without_rows_beside_it_wants_nothing():
    assert missing(made("8.4-1a"), made("8.1-4")) == []


@pytest.mark.parametrize("statement", ["full penetration", "none", "none: ", "no: full"])
def test_statement_without_a_reason_is_refused(statement):
    with pytest.raises(InputError, match='root must be "none: …" with the reason'):
        made("8.5-1-71", root=statement)
