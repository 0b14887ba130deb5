"""`griplife tables`: every data table is of one kind, is printed whole, and says what is not yet confirmed."""

from fnmatch import fnmatchcase

import pytest

from cli.recalled_rules import recalled_rules
from cli.table_files import kinds, known_standards, table_files, tables_of
from cli.table_listing import tables_text, unconfirmed_text
from loadhistories.validation import InputError

KINDS = [kind for kind in kinds() if tables_of(kind=kind)]


def test_every_table_is_of_exactly_one_kind():
    patterns = {kind: row["tables"] for kind, row in kinds().items()}
    for table in table_files():
        fitting = [kind for kind, names in patterns.items() if any(fnmatchcase(table.name, name) for name in names)]
        assert len(fitting) == 1, f"{table.package}/{table.name}: {fitting}"


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_printed_whole_within_80_columns(kind):
    text = tables_text([kind])
    assert max(map(len, text.splitlines())) <= 80
    for table in tables_of(kind=kind):
        assert [key for key in table.rows if key not in text] == []


def test_decimal_points_stand_below_each_other_and_units_in_the_head():
    lines = tables_text(["bolts", "coarse"], "EN 1993").splitlines()
    assert any("[mm2]" in line for line in lines)
    areas = {line.split()[0]: line for line in lines if line.startswith("M")}
    assert areas["M12"].index("84.3") + 2 == areas["M20"].index("245") + 3
    assert areas["M27"].rstrip().endswith("m [3]") and areas["M20"].rstrip().endswith(" [1]")


def test_bands_of_a_steel_stand_on_lines_of_their_own():
    lines = tables_text(["steels", "S235"]).splitlines()
    start = next(number for number, line in enumerate(lines) if line.startswith("S235"))
    assert [line.split()[-3:] for line in lines[start + 1 : start + 4]] == [
        ["40", "225", "360"], ["63", "215", "360"], ["100", "215", "360"],
    ]  # fmt: skip


def test_words_and_a_standard_narrow_the_rows():
    text = tables_text(["M20"], "AS 4100")
    assert "[AS 4100]" in text and "[all standards]" in text and "[EN 1993]" not in text
    assert "M24" not in [line.split()[0] for line in text.splitlines() if line]


@pytest.mark.parametrize(
    ("words", "standard", "says"),
    [
        (["bolt"], "", "did you mean griplife tables bolts?"),
        (["steels", "teapot"], "", "no row of a table holds 'teapot'; fewer or shorter words find more"),
        (["M20"], "EN 1994", "standard 'EN 1994' is unknown; did you mean 'EN 1993'?"),
        (["cranes"], "IIW", "there is no table of kind 'cranes' of IIW"),
    ],
)
def test_what_nothing_holds_is_refused_with_a_way_on(words, standard, says):
    with pytest.raises(InputError) as refused:
        tables_text(["bolt zzz"] if words == ["bolt"] else words, standard)
    assert says in str(refused.value)


def test_every_recalled_row_and_rule_is_listed_as_unconfirmed():
    text = " ".join(unconfirmed_text().split())
    for table in table_files():
        for key, row in table.unconfirmed.items():
            assert key in text and _alike(row["source"]) in _alike(text), (table.name, key)
    for clause in recalled_rules():
        assert _alike(clause) in _alike(text)


def _alike(text):
    return "".join(letter for letter in text if letter.isalnum() and letter.isascii())


def test_the_worst_to_be_wrong_stands_first_and_each_group_says_why():
    text = unconfirmed_text("EN 1993")
    heads = ("1. rules and formulas", "2. details:", "3. curves:")
    assert [text.index(head) for head in heads] == sorted(text.index(head) for head in heads)
    assert "a strength 10 % too high promises" in " ".join(text.split())
    assert text.index("details: categories") < text.index("steels: structural steels")
    assert "[AS 4100]" not in text and "[AISC 360-16" not in text


def test_a_strength_ten_per_cent_too_high_promises_the_life_that_the_order_says():
    assert (round(1.1**3, 2), round(1.1**5, 2)) == (1.33, 1.61)


def test_the_command_lists_kinds_rows_and_the_unconfirmed(griplife):
    assert "griplife tables KIND" in griplife("tables").stdout
    assert griplife("tables", "surfaces", "--standard", "EN 1993").stdout.startswith("Classes of faying surfaces")
    assert griplife("tables", "--unconfirmed", "--standard", "AS 4100").exit_code == 0
    assert griplife("tables", "bolts", "--unconfirmed").exit_code == 2
    assert griplife("tables", "M99").exit_code == 2


def test_standards_of_tables_are_those_of_both_rooms():
    assert {"EN 1993", "AS 4100", "AISC 360-22", "IIW", "BS 7608"} <= set(known_standards())
