"""`griplife details`: the catalogue as a listing."""

import re

import pytest


@pytest.fixture
def listing(griplife):
    """Exit code and text of a listing."""

    def of(*arguments):
        shown = griplife("details", *arguments)
        return shown.exit_code, shown.stdout + shown.stderr

    return of


def test_all_details_are_listed_in_80_columns_with_their_identifiers(listing):
    from fatigue.catalogue import catalogue

    code, text = listing()
    assert code == 0
    rows = catalogue("EN 1993")
    assert text.startswith(f"EN 1993-1-9:2005: {len(rows)} details\n")
    found = {line.split()[0] for line in text.splitlines() if re.match(r"[8B]\.\d", line)}
    assert found == {row.id for row in rows}
    assert max(map(len, text.splitlines())) <= 80


def test_words_narrow_the_listing_to_rows_that_hold_them_all(listing):
    code, text = listing("longitudinal", "attachment", "tapered")
    assert code == 0
    assert "8.4-2 " in text
    assert "8.4-1a" not in text


def test_a_value_recalled_from_memory_is_marked_and_the_mark_explained(listing):
    code, text = listing("longitudinal", "attachment", "50")
    assert code == 0
    assert "  80 m  normal" in text
    assert "m: recalled, not read in the standard" in text


def test_words_that_nothing_holds_are_said_to_find_nothing(listing):
    code, text = listing("teapot")
    assert code == 0
    assert text == "EN 1993-1-9:2005: no detail with 'teapot'. Fewer or shorter words find more.\n"


def test_an_unknown_standard_is_refused_with_the_known_ones(listing):
    code, text = listing("--standard", "EN 1994")
    assert code == 2
    assert "standard 'EN 1994' is unknown; did you mean 'EN 1993'?" in text


@pytest.mark.parametrize("word", ["8.1-8", "8.1-13"])
def test_what_a_category_relies_on_is_told(listing, word):
    code, text = listing(word)
    assert code == 0
    assert "Stands only while the" in " ".join(text.split())
