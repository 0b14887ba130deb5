import pytest

from loadhistories.density import read_density
from loadhistories.validation import InputError


@pytest.fixture
def table(tmp_path):
    def write(text):
        path = tmp_path / "density.csv"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_a_table_of_frequency_and_density_is_read_in_its_order(table):
    path = table("Frequency [Hz],Density [MPa^2/Hz]\n0.5,2\n3,60.5\n\n")
    assert [column.tolist() for column in read_density(path)] == [[0.5, 3.0], [2.0, 60.5]]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", r"density.csv is empty; give a table that begins with"),
        ("Frequency,Density\n1,2\n", r"must name columns and units as in"),
        ("Frequency [Hz],Density [ksi2/Hz]\n1,2\n", r"must name columns and units as in"),
        ("Frequency [Hz],Density [MPa2/Hz]\n1,2\n3;4\n", r"line 3 of density.csv must be two numbers, got '3;4'"),
        ("Frequency [Hz],Density [MPa2/Hz]\n1,2\n1,2,3\n", r"line 3 of density.csv must be two numbers"),
    ],
)
def test_a_table_that_is_none_is_refused(table, text, words):
    with pytest.raises(InputError, match=words):
        read_density(table(text))


def test_a_missing_file_is_refused(tmp_path):
    with pytest.raises(InputError, match="is not there; give the path of a density"):
        read_density(tmp_path / "none.csv")
