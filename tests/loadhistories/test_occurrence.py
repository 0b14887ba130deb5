import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories import InputError
from loadhistories.figures import recomputed
from loadhistories.occurrence import YEAR, repeats

LIFE = 25 * YEAR

FORMS = [
    # hand calculation: 25 years of 365.25 days, record of 300 s
    ("16 h/day", 25 * 365.25 * 16 * 12),
    ("16 h/day, 250 day/year", 25 * 250 * 16 * 12),
    ("16 h/day, 5 day/week", 25 * 365.25 / 7 * 5 * 16 * 12),
    ("40 h/week", 25 * 365.25 / 7 * 40 * 12),
    ("6000 h/year", 25 * 6000 * 12),
    ("100 h", 1200),
    ("40/day", 25 * 365.25 * 40),
    ("40/day, 250 day/year", 25 * 250 * 40),
    ("12/year", 300),
    ("3/h, 16 h/day", 25 * 365.25 * 16 * 3),
    ("3/h, 6000 h/year", 25 * 6000 * 3),
    ("200000", 200_000),
    ("2e5", 200_000),
    ("24 h/day", 25 * 365.25 * 24 * 12),
]

REFUSED = [
    ("often", r"occurs 'often' is unknown; known forms: \"16 h/day\".*\"200000\" \(job\.toml\)"),
    ("", "occurs '' is unknown"),
    ("1,5 h/day", "is unknown; known forms"),
    ("16 kN/day", "is unknown; known forms"),
    (16, r"occurs must be a text, one of the forms .*, got 16 \(job\.toml\)"),
    ("25 h/day", "occurs '25 h/day' asks for more than the 24 h of a day"),
    ("9000 h/year", "asks for more than the 8766 h of a year"),
    ("169 h/week", "asks for more than the 168 h of a week"),
    ("300000 h", "asks for more than the 219150 h of the design life"),
    ("8 h/day, 367 day/year", "asks for more than the 366 days of a year"),
    ("8 h/day, 8 day/week", "asks for more than the 7 days of a week"),
    ("0/day", "number of times of occurs must be above 0, got 0"),
    ("-3/day", "number of times of occurs must be above 0, got -3"),
    ("0 h/day", "hours of occurs must be above 0, got 0"),
    ("8 h/day, 0 day/year", "days of occurs must be above 0, got 0"),
    ("0/h, 8 h/day", "events per hour of occurs must be above 0, got 0"),
    ("3/h", r"leaves open how many hours are worked: write \"3/h, 16 h/day\""),
    ("3/h, 40/day", r"\"/h\" needs the hours worked beside it"),
    ("250 day/year", "is unknown; known forms"),
    ("12/year, 250 day/year", "days of work need hours or a number for each day beside them"),
    ("40/day, 3/day", "is unknown; known forms"),
]


@pytest.mark.parametrize(("text", "expected"), FORMS)
def test_repeats_follow_from_the_form(text, expected):
    assert repeats(text, design_life=LIFE, span=300.0).repeats == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("text", "expected"), FORMS)
def test_every_printed_formula_gives_its_number(text, expected):
    for figure, stored, again in recomputed(repeats(text, design_life=LIFE, span=300.0)):
        assert stored == pytest.approx(again, rel=1e-14), figure


@pytest.mark.parametrize(("text", "wording"), REFUSED)
def test_a_refused_form_is_named_with_what_would_do(text, wording):
    with pytest.raises(InputError, match=wording):
        repeats(text, design_life=LIFE, span=300.0, place="job.toml")


@pytest.mark.parametrize(("life", "span"), [(0.0, 300.0), (-1.0, 300.0), (LIFE, 0.0), (LIFE, float("nan"))])
def test_a_life_or_span_that_is_not_above_zero_is_refused(life, span):
    with pytest.raises(InputError, match=r"must be above 0 s|must be finite"):
        repeats("40/day", design_life=life, span=span)


def test_a_short_record_is_told_from_one_that_covers_what_it_stands_for():
    short = repeats("16 h/day", design_life=LIFE, span=300.0)
    assert not short.covers_period
    assert short.recorded_share == pytest.approx(300.0 / (25 * 365.25 * 16 * 3600))
    assert short.per_life == (
        "the record of 300 s stands for 16 h in each day over 25 year: repeated 1.75 million times"
    )
    assert repeats("16 h/day", design_life=LIFE, span=16 * 3600.0).covers_period
    assert not repeats("40/day, 250 day/year", design_life=LIFE, span=300.0).covers_period
    assert repeats("1/day", design_life=LIFE, span=300.0).covers_period
    assert repeats("100 h", design_life=LIFE, span=360_000.0).covers_period


def test_one_sentence_says_what_the_record_stands_for():
    assert repeats("40/day, 250 day/year", design_life=LIFE, span=90.0).per_life == (
        "the record of 90 s stands for one event, 40 times in each day worked (250 in a year) over 25 year: "
        "repeated 250000 times"
    )


@given(st.floats(0.1, 24.0), st.floats(1.0, 100.0), st.floats(1.0, 1e5))
def test_the_time_a_record_stands_for_does_not_depend_on_its_span(hours, years, span):
    occurrence = repeats(f"{hours!r} h/day", design_life=years * YEAR, span=span)
    assert occurrence.repeats * span == pytest.approx(hours * 3600 * 365.25 * years, rel=1e-12)
    assert occurrence.total_time <= years * YEAR * (1 + 1e-12)
