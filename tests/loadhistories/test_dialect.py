import itertools

import numpy as np
import pytest

from loadhistories import InputError, read_history

TIMES = (0.0, 0.1, 0.2, 0.3)
FORCE = (1.5, -2.25, 0.125, 1234.5)
MOMENT = (10.0, 0.5, -7.75, 3.0)
DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "blanks": "   "}
HEADERS = ("brackets", "square", "row", "square row", "commented")
PREAMBLES = ("", "Logger 7\n", "Logger 7\nRate;100\nStart: 2022-11-04 08:36\n\n# made for trial\n")


def text_of(delimiter, decimal, header, preamble, end="\n"):
    cells = {
        "brackets": [["Time (s)", "Fy (kN)", "Mz (kNm)"]],
        "square": [["Time [s]", "Fy [kN]", "Mz [kNm]"]],
        "row": [["Time", "Fy", "Mz"], ["s", "kN", "kNm"]],
        "square row": [["Time", "Fy", "Mz"], ["[s]", "[kN]", "[kNm]"]],
        "commented": [["# Time [s]", "Fy [kN]", "Mz [kNm]"]],
    }[header]
    rows = [[str(value).replace(".", decimal) for value in row] for row in zip(TIMES, FORCE, MOMENT, strict=True)]
    lines = preamble.splitlines() + [delimiter.join(row) for row in cells + rows]
    return end.join(lines) + end


@pytest.mark.parametrize(
    ("delimiter", "decimal", "header", "preamble"),
    [
        (mark, decimal, header, preamble)
        for mark, decimal, header, preamble in itertools.product(DELIMITERS, ".,", HEADERS, PREAMBLES)
        if (mark, decimal) != ("comma", ",")
    ],
)
def test_every_layout_of_the_same_record_gives_the_same_history(tmp_path, delimiter, decimal, header, preamble):
    file = tmp_path / "drive.txt"
    file.write_text(text_of(DELIMITERS[delimiter], decimal, header, preamble), encoding="utf-8")
    history = read_history(file)
    assert history.names == ("Fy", "Mz")
    assert history.units == ("N", "N mm")
    assert history.step == 0.1
    np.testing.assert_array_equal(history.values, [np.multiply(FORCE, 1e3), np.multiply(MOMENT, 1e6)])


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_line_ends_and_encodings_change_nothing(tmp_path, end, encoding):
    text = text_of(";", ",", "row", "Prüfstand µ\n", end).replace("Mz", "Dehnung").replace("kNm", "µm/m")
    file = tmp_path / "drive.csv"
    file.write_bytes(text.encode(encoding))
    history = read_history(file)
    assert history.names == ("Fy", "Dehnung")
    assert history.units == ("N", "")
    np.testing.assert_allclose(history.channel("Dehnung"), np.multiply(MOMENT, 1e-6), rtol=1e-15)


def test_quoted_cells_are_read(tmp_path):
    file = tmp_path / "drive.csv"
    file.write_text('"Time [s]","Fy, vertical [kN]"\n"0","1.5"\n"1","2.5"\n"2","3.5"\n')
    history = read_history(file)
    assert history.names == ("Fy, vertical",)
    assert history.values.tolist() == [[1500.0, 2500.0, 3500.0]]


def test_an_empty_cell_at_the_end_of_every_row_is_no_channel(tmp_path):
    for header in ("Time (s);Fy (kN);", "Time (s);Fy (kN)"):
        file = tmp_path / "drive.csv"
        file.write_text(f"{header}\n0;1;\n1;2;\n2;3;\n")
        assert read_history(file).names == ("Fy",)
    file.write_text("Time (s);Fy (kN);\n0;1;\n1;2;\n2;3;9\n")
    with pytest.raises(InputError, match=r"cell '9' beyond the last name \(.*drive\.csv, line 4, column 3"):
        read_history(file)


def test_a_bracket_that_is_no_unit_belongs_to_the_name(tmp_path):
    file = tmp_path / "drive.csv"
    file.write_text("Time (s),Strain (top),Heat (°C),Fy (KN)\n0,1,2,3\n1,2,3,4\n2,3,4,5\n", encoding="utf-8")
    history = read_history(file)
    assert history.names == ("Strain (top)", "Heat", "Fy")
    assert history.units == (None, "°C", "KN")
    assert history.values[2].tolist() == [3.0, 4.0, 5.0]


def test_decimal_commas_of_a_single_column_are_not_two_columns(tmp_path):
    file = tmp_path / "drive.csv"
    file.write_text("Fy (kN)\n1,5\n2,5\n3,5\n")
    assert read_history(file, step="10 ms").values.tolist() == [[1500.0, 2500.0, 3500.0]]


def test_a_given_dialect_is_taken_as_given(tmp_path):
    file = tmp_path / "drive.csv"
    file.write_text("Id;1;2\nTime;1;2\ns;kN;kN\n0;1;2\n1;2;3\n2;3;4\n")
    with pytest.raises(InputError, match=r"text 'Time' stands in a row of .* header_line = 2 \(.*line 2, column 1"):
        read_history(file)
    history = read_history(file, header_line=2, delimiter=";", decimal=".")
    assert history.names == ("1", "2")
    assert history.units == ("N", "N")
    assert history.source.first_line == 4
    assert history.source.dialect == (
        "text (utf-8), semicolon between cells, decimal point, header in line 2, units in line 3"
    )


def test_text_columns_are_left_aside_where_the_columns_are_named(tmp_path):
    file = tmp_path / "drive.csv"
    file.write_text("Time (s);Note;Fy (kN)\n0;on;1,5\n1;on;2,5\n2;off;3,5\n")
    with pytest.raises(InputError, match=r"no row of numbers is found .* header_line"):
        read_history(file)
    with pytest.raises(InputError, match=r"text 'on' where a number must stand \(.*line 2, column 2 'Note'\)"):
        read_history(file, header_line=1)
    assert read_history(file, header_line=1, columns=["Fy"]).values.tolist() == [[1500.0, 2500.0, 3500.0]]


def test_a_file_without_header_numbers_its_columns_or_takes_names(tmp_path):
    file = tmp_path / "drive.csv"
    file.write_text("0,1\n1,2\n2,3\n")
    assert read_history(file, rate="100 Hz").names == ("column 1", "column 2")
    history = read_history(file, names=["Time", "Fy"], units={"Time": "ms", "Fy": "kN"})
    assert (history.names, history.step) == (("Fy",), 0.001)
    with pytest.raises(InputError, match="names must be 2 different texts, one for each column"):
        read_history(file, names=["Time"])


@pytest.mark.parametrize(
    ("content", "options", "wording"),
    [
        (b"", {}, r"the file is empty \("),
        (b"\n \n", {}, r"the file is empty \("),
        (b"Time,Fy\n", {}, r"the file holds one line: a record needs a line of names and rows of numbers"),
        (b"This is prose.\nIt goes on, and on.\n" * 9, {}, r"no row of numbers is found in the first"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", {}, r"the file is binary, not text: line 3 holds a zero byte"),
        ("Time,Fy\n0,1\n".encode("utf-16"), {}, r"UTF-16 text: save it as UTF-8"),
        (b"Zeit,\x81\n0,1\n1,2\n", {}, r"neither utf-8 nor cp1252: give its encoding"),
        (b"Time,Fy\n0,1\n1,2\n2,3\n", {"encoding": "utf-99"}, r"encoding 'utf-99' is unknown"),
        (b"Time,Fy\n0,1\n1,2\n2,3\n", {"delimiter": "|"}, r"delimiter '\|' is unknown; known: ',', ';'"),
        (b"Time,Fy\n0,1\n1,2\n2,3\n", {"decimal": "'"}, r"decimal must be '\.' or ','"),
        (b"Time,Fy\n0,1\n1,2\n2,3\n", {"header_line": 99}, r"header_line must be a line before the first row, got 99"),
        (b"Time,Fy,Fy\n0,1,1\n1,2,1\n2,3,1\n", {}, r"the name 'Fy' stands over columns 2 and 3: names must differ"),
        (b"Time,Fy\n0,1,1\n1,2,1\n2,3,1\n", {}, r"2 names and the rows have 3 cells: give header_line.*line 1\)"),
        (b"Time (s),Fy (kN)\ns,N\n0,1\n1,2\n2,3\n", {}, r"column 'Fy' states 'kN' and 'N' as its unit \(.*line 2\)"),
    ],
)
def test_a_file_that_is_no_record_is_refused(tmp_path, content, options, wording):
    file = tmp_path / "drive.csv"
    file.write_bytes(content)
    with pytest.raises(InputError, match=wording):
        read_history(file, **options)


def test_a_faulty_first_row_is_not_taken_for_a_header(tmp_path):
    file = tmp_path / "drive.csv"
    file.write_text("Time (s),Fy (kN)\n0,err\n1,2\n2,3\n3,4\n")
    with pytest.raises(InputError, match=r"text 'err' stands in a row of numbers.*line 2, column 2\)"):
        read_history(file)
    file.write_text("Time (s),Fy (kN)\n0,\n1,2\n2,3\n3,4\n")
    with pytest.raises(InputError, match=r"gap \(empty cell\) \(.*line 2, column 2 'Fy'\)"):
        read_history(file)
