"""`griplife count`: the cycle table of one channel of a record."""

import pytest

# The history of ASTM E1049-85, figure 6, once as kN and once doubled as a plain number.
ASTM = (-2, 1, -3, 5, -1, 3, -4, 4, -2)


@pytest.fixture
def record(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    rows = "\n".join(f"{0.01 * i:.2f},{value},{2 * value}" for i, value in enumerate(ASTM))
    (tmp_path / "astm.csv").write_text(f"Time [s],Force [kN],Double [-]\n{rows}\n", encoding="utf-8")
    return "astm.csv"


@pytest.fixture
def count(griplife):
    """Counts the cycles of a record."""
    return lambda *arguments: griplife("count", *arguments)


def rows_of(text):
    return [tuple(map(float, line.split())) for line in text.splitlines() if line[:20].strip()[:1].isdigit()
            and len(line.split()) == 3]  # fmt: skip


def test_the_cycles_of_the_astm_e1049_85_example_stand_in_the_table(count, record):
    shown = count(record, "--channel", "Force")
    assert shown.exit_code == 0
    assert "range [kN]" in shown.stdout
    assert "ASTM E1049-85: 4 cycles\nin them 6 half cycles of the residue" in shown.stdout
    by_range = {}
    for span, _, number in rows_of(shown.stdout):
        by_range[span] = by_range.get(span, 0.0) + number
    assert by_range == {3.0: 0.5, 4.0: 1.5, 6.0: 0.5, 8.0: 1.0, 9.0: 0.5}
    assert max(map(len, shown.stdout.splitlines())) <= 80


def test_the_csv_holds_every_cycle_in_base_units(count, record, tmp_path):
    shown = count(record, "--channel", "Force", "--csv", "-")
    assert shown.exit_code == 0
    lines = shown.stdout.splitlines()
    assert lines[0] == "range_N,mean_N,count"
    assert lines[1] == "9000.0,500.0,0.5"
    assert sum(float(line.split(",")[2]) for line in lines[1:]) == 4.0
    to_file = count(record, "--channel", "Force", "--csv", "cycles.csv")
    assert to_file.exit_code == 0
    assert (tmp_path / "cycles.csv").read_text() == shown.stdout
    assert "wrote cycles.csv" in to_file.stderr


def test_an_existing_csv_is_kept_unless_forced(count, record, tmp_path):
    (tmp_path / "cycles.csv").write_text("mine")
    refused = count(record, "--channel", "Force", "--csv", "cycles.csv")
    assert refused.exit_code == 2
    assert "cycles.csv exists already" in refused.stderr
    assert (tmp_path / "cycles.csv").read_text() == "mine"
    assert count(record, "--channel", "Force", "--csv", "cycles.csv", "--force").exit_code == 0


def test_bins_sum_the_cycles_up(count, record):
    shown = count(record, "--channel", "Force", "--bins", "3")
    assert rows_of(shown.stdout) == [(6.0, 9.0, 2.0), (3.0, 6.0, 2.0), (0.0, 3.0, 0.0)]


def test_one_of_several_channels_must_be_named(count, record):
    shown = count(record)
    assert shown.exit_code == 2
    assert "the record has 2 channels; name one by --channel: Force, Double" in shown.stderr


def test_an_unknown_channel_is_refused_with_the_nearest(count, record):
    shown = count(record, "--channel", "Forse")
    assert shown.exit_code == 2
    assert "did you mean 'Force'?" in shown.stderr


def test_a_record_without_time_column_needs_its_rate(count, tmp_path):
    (tmp_path / "plain.csv").write_text("Force [kN]\n1\n3\n2\n5\n", encoding="utf-8")
    path = str(tmp_path / "plain.csv")
    assert count(path).exit_code == 2
    shown = count(path, "--rate", "100 Hz")
    assert shown.exit_code == 0
    assert "4 samples, 0.01 s apart" in shown.stdout


def test_many_cycles_are_cut_short_with_the_rest_told(count, tmp_path):
    rows = "\n".join(f"{i},{(-1) ** i * (1 + i)}" for i in range(200))
    (tmp_path / "long.csv").write_text(f"Time [s],Force [kN]\n{rows}\n", encoding="utf-8")
    shown = count(str(tmp_path / "long.csv"), "--channel", "Force")
    assert len(rows_of(shown.stdout)) == 40
    assert "and 79.5 cycles of smaller ranges" in shown.stdout


def test_a_channel_that_does_not_change_has_no_cycle(count, tmp_path):
    (tmp_path / "flat.csv").write_text("Time [s],Force [kN]\n0,1\n1,1\n2,1\n", encoding="utf-8")
    shown = count(str(tmp_path / "flat.csv"))
    assert shown.exit_code == 0
    assert "no cycle: the channel does not change" in shown.stdout
