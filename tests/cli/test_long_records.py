"""Long records that break late, through the commands: refused as a whole, nothing of them is shown."""

import signal
import subprocess
import sys
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

import cli.job_loads

JOB = Path(__file__).parent.parent / "jobs" / "bracket.toml"
HEADER = b"Vertical (kN)\n"
LATE = 1_100_000
ROWS = LATE // 4 * b"-1.5\n0.25\n-2\n0.75\n"


def written(folder, name, late):
    """A record of LATE sound rows with something behind them."""
    file = folder / name
    if name.endswith(".parquet"):
        table = pa.table({"Vertical (kN)": (LATE // 4) * [-1.5, 0.25, -2.0, 0.75] + [late]})
        pq.write_table(table, file, row_group_size=200_000)
    else:
        file.write_bytes(HEADER + ROWS + late)
    return name


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A working folder of its own."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def assess(griplife, folder):
    """Assesses a job with such a record."""

    def run(record, *arguments):
        write_job(folder, record)
        return griplife("assess", "long.toml", *arguments)

    return run


@pytest.fixture
def in_chunks(monkeypatch):
    """Records are walked in chunks, as larger ones would be, and not held in memory."""
    monkeypatch.setattr(cli.job_loads, "LARGEST_IN_MEMORY", 0)


def write_job(folder, record):
    """A job on a record of one channel without time."""
    text = JOB.read_text(encoding="utf-8").replace('"bracket.csv"', f'"{record}"\nfile = {{ rate = "100 Hz" }}')
    (folder / "long.toml").write_text(text.replace('unit = "kN", ', "").replace(', unit = "kN"', ""), "utf-8")


FAULTS = [
    ("long.csv", b"nan\n1\n1\n", "number that is not finite ('nan') (", "line 1100002, column 1 'Vertical')"),
    ("long.csv", b"open\n1\n1\n", "text 'open' where a number must stand (", "line 1100002, column 1 'Vertical')"),
    ("long.csv", b"1,2\n1\n1\n", "row has 2 cells instead of 1 (", "line 1100002, column 2)"),
    ("long.csv", b"-", "text '-' where a number must stand; the file ends in the middle of this row (", "line 1100002"),
    ("long.csv", b"1" * 3_000_000, "no row ends within 1048576 bytes (", "from line 1100002)"),
    ("long.parquet", float("nan"), "number that is not finite (nan) (", "row 1100001, column 'Vertical')"),
]


@pytest.mark.parametrize(("name", "late", "fault", "place"), FAULTS)
def test_count_shows_nothing_of_a_record_that_breaks_late(griplife, folder, name, late, fault, place):
    shown = griplife("count", written(folder, name, late), "--rate", "100 Hz", "--csv", "cycles.csv")
    refused_whole(shown, fault, place)
    assert [file.name for file in folder.iterdir()] == [name]


@pytest.mark.parametrize(("name", "late", "fault", "place"), FAULTS)
def test_assess_shows_nothing_of_a_record_that_breaks_late(assess, folder, name, late, fault, place):
    refused_whole(assess(written(folder, name, late), "--json", "-", "--note", "note.html"), fault, place)
    assert sorted(file.name for file in folder.iterdir()) == sorted([name, "long.toml"])


@pytest.mark.parametrize(("name", "late", "fault", "place"), [FAULTS[0], FAULTS[3], FAULTS[-1]])
def test_a_walk_that_breaks_late_shows_nothing(assess, in_chunks, folder, name, late, fault, place):
    refused_whole(assess(written(folder, name, late), "--json", "-", "--note", "note.html"), fault, place)
    assert sorted(file.name for file in folder.iterdir()) == sorted([name, "long.toml"])


def refused_whole(shown, fault, place):
    assert shown.exit_code == 2
    assert shown.stdout == ""
    assert fault in shown.stderr
    assert place in shown.stderr
    assert "long." in shown.stderr


def test_the_same_record_without_its_fault_is_assessed(assess, in_chunks, folder):
    shown = assess(written(folder, "long.csv", b""))
    assert shown.exit_code in (0, 1), shown.stderr
    assert "Result: " in shown.stdout


# A process that is started in the background may have been told to ignore the interrupt.
INTERRUPTED = """
import signal
import sys
import cli.job_loads
from cli.main import main
from loadhistories.record import Record

walk = Record.chunks

def told(record, columns=None):
    for number, chunk in enumerate(walk(record, columns)):
        if number == 3:
            print("walking", file=sys.stderr, flush=True)
        yield chunk

signal.signal(signal.SIGINT, signal.default_int_handler)
cli.job_loads.LARGEST_IN_MEMORY = 0
Record.chunks = told
main(["assess", "long.toml", "--json", "result.json", "--note", "note.html"])
"""


def test_an_interrupt_in_the_middle_of_a_record_ends_soon_and_leaves_no_file(folder):
    (folder / "long.csv").write_bytes(HEADER + 20 * ROWS)
    write_job(folder, "long.csv")
    command = [sys.executable, "-c", INTERRUPTED]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        # In a new environment loops are compiled before or after, which it says.
        while (line := running.stderr.readline()).startswith("compiling the loops"):
            pass
        assert line == "walking\n"
        running.send_signal(signal.SIGINT)
        shown, said = running.communicate(timeout=60)
    assert running.returncode == 130, said
    *before, last = said.splitlines()
    assert (shown, last) == ("", "griplife: stopped")
    assert all(line.startswith("compiling the loops") for line in before)
    assert sorted(file.name for file in folder.iterdir()) == ["long.csv", "long.toml"]
