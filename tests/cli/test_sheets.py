"""Tables of jobs: text and workbooks, and what is refused of them."""

import io

import openpyxl
import pytest

from cli.sheets import read_sheet
from loadhistories.validation import InputError


def written(tmp_path, content, name="rows.csv"):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return path


def workbook(tmp_path, rows, name="rows.xlsx"):
    book, content = openpyxl.Workbook(), io.BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(content)
    return written(tmp_path, content.getvalue(), name)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_text_is_read_with_the_separator_of_its_header(tmp_path, separator):
    rows = [["name", "joint.bolts.size"], ["a", "M20"], ["", ""], ["b", ""]]
    text = "\ufeff" + "\r\n".join(separator.join(row) for row in rows)
    assert read_sheet(written(tmp_path, text)) == (["name", "joint.bolts.size"], [(2, ["a", "M20"]), (4, ["b", ""])])


def test_rows_keep_the_number_of_the_line_they_begin_in(tmp_path):
    text = 'name,joint.because\n"a","two\nlines"\nb,one\n'
    assert read_sheet(written(tmp_path, text))[1] == [(2, ["a", "two\nlines"]), (4, ["b", "one"])]


def test_a_workbook_gives_numbers_as_numbers_and_passes_over_empty_columns(tmp_path):
    rows = [["name", "joint.bolts.rows", None], ["a", 4, None], [None, None, None], ["b", None, None]]
    path = workbook(tmp_path, rows)
    assert read_sheet(path) == (["name", "joint.bolts.rows"], [(2, ["a", 4]), (4, ["b", None])])


def test_a_formula_without_its_value_is_refused_and_not_taken_for_a_blank(tmp_path):
    path = workbook(tmp_path, [["name", "joint.bolts.rows"], ["a", "=1+3"]])
    with pytest.raises(InputError, match="cell B2 is a formula without its value"):
        read_sheet(path)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("name,a,a\nx,1,2\n", "column 'a' is there twice"),
        ("name,,a\nx,1,2\n", "column 2 has no name"),
        ("name,a\nx,1,2\n", "row 2 has 3 cells, the header 2"),
        ("name,a\nx\n", "row 2 has 1 cells, the header 2"),
        ('name,a\nx,"1\n', "is no table"),
        (b"name,a\nx,\xb5m\n", "must be text in UTF-8"),
    ],
)
def test_a_table_that_does_not_fit_is_refused(tmp_path, text, said):
    with pytest.raises(InputError, match=said):
        read_sheet(written(tmp_path, text))


def test_what_is_no_workbook_is_refused(tmp_path):
    with pytest.raises(InputError, match="is no workbook that can be read"):
        read_sheet(written(tmp_path, b"PK\x03\x04 no", "rows.xlsx"))
    with pytest.raises(InputError, match="is not there"):
        read_sheet(tmp_path / "none.csv")
