import pytest

from loadhistories.tables import read_table, recalled_rows


@pytest.fixture
def table(tmp_path, monkeypatch):
    """Writes a table into a package of its own and gives its rows."""
    monkeypatch.syspath_prepend(tmp_path)
    # A name of its own for every test: packages and tables are read once.
    package = f"shelf_{tmp_path.name}"
    (tmp_path / package).mkdir()
    (tmp_path / package / "__init__.py").write_text("")

    def write(name, text):
        (tmp_path / package / f"{name}.toml").write_text(text, encoding="utf-8")
        return read_table(package, name)

    return write


ROWS = """title = "shelf"
columns = ["value"]
[row.wide_gap]
value = 1
source = "a book, from memory"
[row.b]
value = 2
source = "a book, from memory"
[row.c]
value = 3
source = "a book, page 3"
"""


def test_recalled_rows_that_are_looked_up_are_noted_by_their_source(table):
    rows = table("plain", ROWS)
    with recalled_rows() as found:
        assert [rows[key]["value"] for key in ("b", "wide_gap", "c", "b")] == [2, 1, 3, 2]
    assert found.lines == ("b, wide gap: a book, from memory",)
    assert rows["wide_gap"]["value"] == 1 and found.lines == ("b, wide gap: a book, from memory",)


def test_rows_that_are_only_listed_are_not_noted(table):
    rows = table("plain", ROWS)
    with recalled_rows() as found:
        assert len(list(rows.values())) == len(list(rows.items())) == len({**rows}) == 3
    assert found.lines == ()


def test_what_an_inner_one_notes_an_outer_one_does_not(table):
    rows = table("plain", ROWS)
    with recalled_rows() as outer:
        with recalled_rows() as inner:
            assert rows["b"]
        assert rows["wide_gap"]
    assert (inner.lines, outer.lines) == (("b: a book, from memory",), ("wide gap: a book, from memory",))


def test_rows_of_a_catalogue_are_left_to_what_is_made_of_them(table):
    rows = table("listed", ROWS.replace("columns", "catalogue = true\ncolumns", 1))
    with recalled_rows() as found:
        assert rows["b"]["value"] == 2
    assert found.lines == ()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('source = "a book, page 3"', "", "row 'c' has no source"),
        ("value = 3", "height = 3", r"row 'c' lacks \['value'\], has unknown \['height'\]"),
        ("title", "caption", r"unknown entry \['caption'\]"),
    ],
)
def test_a_table_that_breaks_the_rules_is_a_fault_of_ours(table, old, new, words):
    with pytest.raises(LookupError, match=words):
        table("broken", ROWS.replace(old, new))
