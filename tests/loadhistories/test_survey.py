import gzip
import hashlib
import tempfile
import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import loadhistories.survey as module
from loadhistories import InputError
from loadhistories.lines import LONGEST_LINE, line_blocks
from loadhistories.reading import open_record
from loadhistories.record import HASHED_BESIDE
from loadhistories.survey import survey

LINES = st.lists(st.sampled_from([b"1,2", b"3", b"", b"  ", b"\r", b"# note", b' 4,"#5"', b"  # note"]), max_size=40)


@pytest.fixture(scope="module")
def folder():
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)


@given(LINES, st.sampled_from([b"", b"\n", b"\n\n \n"]), st.integers(1, 60), st.booleans(), st.integers(0, 5))
def test_the_rows_counted_are_those_that_are_read_whatever_the_pieces(folder, lines, end, size, packed, above):
    header = b"# made for trial\n" * above
    text = header + b"\n".join(lines) + end
    stored = gzip.compress(text) if packed else text
    file = folder / ("drive.csv.gz" if packed else "drive.csv")
    file.write_bytes(stored)
    usual, module._AT_ONCE = module._AT_ONCE, size
    try:
        rows, digest = survey(file, offset=len(header), first_line=above + 1)
    finally:
        module._AT_ONCE = usual
    read = line_blocks(file, offset=len(header), first_line=above + 1, size=1 << 20)
    assert rows == sum(block.rows for block in read)
    assert digest == (hashlib.sha256(stored).hexdigest() if packed else "")


def test_rows_in_thousands_of_pieces_are_counted(tmp_path):
    text = b"".join(b"%d,1.5\n" % number for number in range(500_000))
    file = tmp_path / "drive.csv"
    file.write_bytes(text)
    assert survey(file, offset=6, first_line=2) == (499_999, "")


def test_a_large_file_is_hashed_while_it_is_walked(tmp_path):
    text = b"x [kN]\n" + b"".join(b"%d.5\n" % number for number in range(800_000))
    file = tmp_path / "drive.csv"
    file.write_bytes(text)
    assert len(text) > HASHED_BESIDE
    record = open_record(file, step="0.01 s")
    for _ in record.chunks():
        assert any(thread.name.startswith("sha256") for thread in threading.enumerate())
        break
    assert not any(thread.name.startswith("sha256") for thread in threading.enumerate())
    assert sum(values.shape[1] for _, values in record.chunks()) == 800_000
    assert record._digest == record.source.sha256 == hashlib.sha256(text).hexdigest()


@pytest.mark.parametrize("filling", [b"1", b" ", b"\n", b"\0"])
def test_a_line_without_end_is_refused(tmp_path, filling):
    file = tmp_path / "drive.csv"
    file.write_bytes(b"1,2\n1,2\n" + filling * (3 * LONGEST_LINE))
    with pytest.raises(InputError, match=r"no row ends within 1048576 bytes \(.*drive\.csv, from line 3\)"):
        survey(file, offset=0, first_line=1)


def test_a_file_that_is_gone_is_refused(tmp_path):
    for name in "drive.csv", "drive.csv.gz":
        with pytest.raises(InputError, match=rf"the file cannot be read: No such file.*{name}"):
            survey(tmp_path / name, offset=0, first_line=1)
