"""Gaps, breaks of the time and markers of raw records: found with their place, cut or bridged only on request."""

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.cycles import count_cycles
from loadhistories import InputError, read_history
from loadhistories.cleaning import Treatments, find_faults, treat
from loadhistories.raw import read_raw


@pytest.fixture
def write(tmp_path):
    """Writes rows of time and one value as text; None leaves the cell empty."""

    def to_file(rows, name="record.csv", head="Time [s],Force [kN]"):
        lines = [f"{time},{'' if value is None else value}" for time, value in rows]
        (tmp_path / name).write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
        return tmp_path / name

    return to_file


def rows(count=400, step=0.01):
    return [(f"{step * i:.3f}", f"{10 * np.sin(i / 15) + 0.01 * (i * 7919 % 13):.4f}") for i in range(count)]


def faults(path, **dialect):
    return [(fault.kind, fault.first, fault.samples) for fault in find_faults(read_raw(path, **dialect)).faults]


def test_a_sound_record_reads_raw_with_the_same_values_as_strictly(write):
    path = write(rows())
    raw, strict = read_raw(path), read_history(path)
    assert raw.values.tobytes() == strict.values.tobytes()
    assert (raw.names, raw.units, raw.step) == (strict.names, strict.units, strict.step)
    assert raw.lines.tolist() == list(range(2, 402))
    assert faults(path) == []


@given(places=st.sets(st.integers(0, 399), min_size=1, max_size=40), mark=st.sampled_from(["", "NaN", "n/a", "-999"]))
def test_every_gap_is_read_as_missing_at_its_line_and_nowhere_else(places, mark, tmp_path_factory):
    lines = [f"{time},{mark if i in places else value}" for i, (time, value) in enumerate(rows())]
    path = tmp_path_factory.mktemp("gaps") / "record.csv"
    path.write_text("Time [s],Force [kN]\n" + "\n".join(lines) + "\n", encoding="utf-8")
    raw = read_raw(path, missing=["-999"])
    assert set(np.flatnonzero(np.isnan(raw.values[0]))) == places
    sound = [float(value) * 1000.0 for i, (_, value) in enumerate(rows()) if i not in places]
    np.testing.assert_allclose(raw.values[0][~np.isnan(raw.values[0])], sound)


def test_a_gap_is_refused_with_its_place_and_the_remedy(write):
    damaged = rows()
    damaged[57] = (damaged[57][0], None)
    damaged[90] = (damaged[90][0], None)
    raw = read_raw(write(damaged))
    wording = r"1 value missing in column 'Force' and 1 more gaps: missing = \"cut\" leaves .* line 59\)"
    with pytest.raises(InputError, match=wording):
        treat(raw, Treatments())


def test_rows_with_a_gap_are_cut_and_the_segments_counted_as_the_sum_of_their_counts(write):
    damaged = rows()
    for i in (*range(100, 130), 250):
        damaged[i] = (damaged[i][0], None)
    cleaned = treat(read_raw(write(damaged)), Treatments(missing=True))
    assert [(part.samples, part.time) for part in cleaned.segments] == [
        (100, 0.0), (120, pytest.approx(1.3)), (149, pytest.approx(2.51)),
    ]  # fmt: skip
    values = cleaned.history.channel("Force")
    parts = np.split(values, [part.first for part in cleaned.segments[1:]])
    whole = count_cycles(values)
    joined = count_cycles(parts[0]) + count_cycles(parts[1]) + count_cycles(parts[2])
    for got in (joined.ranges, joined.counts):
        wanted = whole.ranges if got is joined.ranges else whole.counts
        np.testing.assert_array_equal(np.sort(got), np.sort(wanted))
    assert [(change.treatment, change.samples) for change in cleaned.changes] == [("missing", 30), ("missing", 1)]
    assert "31 of 400 rows are left out" in cleaned.history.remarks[-1]


def test_a_short_gap_is_bridged_by_a_line_and_a_longer_one_is_not(write):
    damaged = rows()
    for i in (50, 51, *range(200, 210)):
        damaged[i] = (damaged[i][0], None)
    raw = read_raw(write(damaged))
    with pytest.raises(InputError, match=r"longer than the 0.03 s to bridge: longer ones are left out with cut = true"):
        treat(raw, Treatments(bridge=0.03))
    cleaned = treat(raw, Treatments(bridge=0.03, missing=True))
    line = np.interp([50, 51], [49, 52], raw.values[0][[49, 52]])
    np.testing.assert_allclose(cleaned.history.channel("Force")[50:52], line)
    assert [part.samples for part in cleaned.segments] == [200, 190]


def test_breaks_of_the_time_are_found_and_joined_on_request(write):
    damaged = rows()
    del damaged[300:350]
    path = write(damaged)
    (fault,) = find_faults(read_raw(path)).faults
    assert fault.words == "gap of 0.51 s in steps of 0.01 s: 50 rows missing"
    assert (fault.time, fault.size) == (pytest.approx(3.5), pytest.approx(0.51))
    with pytest.raises(InputError, match=r"50 rows missing: breaks = \"join\" counts .* line 302\)"):
        treat(read_raw(path), Treatments())
    cleaned = treat(read_raw(path), Treatments(breaks=True))
    assert [(part.samples, part.time) for part in cleaned.segments] == [(300, 0.0), (50, pytest.approx(3.5))]
    assert cleaned.untreated == ()


def test_a_logger_that_starts_its_clock_again_is_a_break(write):
    path = write(rows(200) + rows(150))
    (fault,) = find_faults(read_raw(path)).faults
    assert fault.words == "the time runs backwards by 1.99 s"
    assert [part.samples for part in treat(read_raw(path), Treatments(breaks=True)).segments] == [200, 150]


def test_repeated_rows_are_dropped_only_where_time_and_values_agree(write):
    path = write(rows(200)[:100] + rows(200)[99:])
    assert faults(path) == [("repeated row", 100, 1)]
    with pytest.raises(InputError, match=r"row that repeats the one before, time and values: repeated = \"drop\""):
        treat(read_raw(path), Treatments())
    cleaned = treat(read_raw(path), Treatments(repeated=True))
    assert cleaned.history.samples == 200
    other = [*rows(200)[:100], (rows(200)[99][0], "77"), *rows(200)[100:]]
    assert [kind for kind, _, _ in faults(write(other))] == ["uneven stamps", "spike"]


def test_late_stamps_of_even_samples_are_told_from_breaks(write):
    late = [(f"{0.01 * i + (0.008 if i % 50 == 7 else 0.0):.3f}", value) for i, (_, value) in enumerate(rows())]
    path = write(late)
    (fault,) = find_faults(read_raw(path)).faults
    assert fault.kind == "uneven stamps"
    assert "late stamps of even samples" in fault.words
    with pytest.raises(InputError, match=r"late stamps of even samples: stamps = \"even\" takes them as even"):
        treat(read_raw(path), Treatments())
    cleaned = treat(read_raw(path), Treatments(stamps=True))
    assert cleaned.history.samples == 400
    assert cleaned.history.step == pytest.approx(0.01, rel=1e-3)
    lost = rows()
    del lost[200:260]
    with pytest.raises(InputError, match=r"stamps = \"even\" is for late stamps of even samples: here they stray"):
        treat(read_raw(write(lost)), Treatments(stamps=True))


def test_stamps_that_jitter_within_a_quarter_step_are_noticed_as_such(write):
    jittering = [(f"{0.01 * i + 0.001 * (i % 3 - 1):.3f}", value) for i, (_, value) in enumerate(rows())]
    findings = find_faults(read_raw(write(jittering)))
    assert findings.faults == ()
    assert findings.remarks[0] == "the stamps jitter: steps of 0.008 to 0.011 s around 0.01 s are taken as even"


def test_a_number_that_loggers_write_for_a_missing_value_is_found(write):
    marked = rows()
    marked[33] = marked[34] = (marked[33][0], "-999")
    marked[34] = (rows()[34][0], "-999.0")
    (fault,) = find_faults(read_raw(write(marked))).faults
    assert (fault.kind, fault.first, fault.samples, fault.value) == ("marker", 33, 2, -999_000.0)
    assert fault.words == "2 values of -999, which loggers write for a missing one"
    assert faults(write(marked), missing=["-999"]) == [("missing value", 33, 2)]


def stamped(first_day, second_day, count=200):
    before = [f"{first_day} 23:59:{59 + 0.005 * i:06.3f}" for i in range(count)]
    after = [f"{second_day} 00:00:{0.005 * i:06.3f}" for i in range(count)]
    return [(stamp, value) for stamp, (_, value) in zip(before + after, rows(2 * count), strict=True)]


def test_day_and_month_that_are_swapped_show_at_midnight(write):
    path = write(stamped("2022-04-11", "2022-05-11"), head="Time,Force [kN]")
    swapped, jump = find_faults(read_raw(path)).of("swapped date"), find_faults(read_raw(path)).of("break in time")
    assert "the date jumps by 29 days at midnight" in swapped[0].words and "swapped" in swapped[0].words
    assert len(jump) == 1
    assert faults(write(stamped("2022-04-11", "2022-04-12"), head="Time,Force [kN]")) == []


def test_day_and_month_that_are_swapped_against_the_name_of_the_file_are_named(write):
    lines = stamped("2022-11-04", "2022-11-05")
    (fault,) = find_faults(read_raw(write(lines, "bridge_2022-04-11.csv", "Time,Force [kN]"))).faults
    assert fault.kind == "swapped date"
    assert "2022-11-04 and the file's name says 2022-04-11: day and month are swapped" in fault.words
    findings = find_faults(read_raw(write(lines, "bridge.csv", "Time,Force [kN]")))
    assert findings.faults == ()
    assert "would mean 2022-04-11" in findings.remarks[0]


def test_a_strain_is_noticed_with_its_unit_as_the_file_spells_it(write):
    for unit, spelled in (("um\\m", "um\\m"), ("µm/m", "µm/m"), ("mm/m", "mm/m")):
        raw = read_raw(write(rows(), head=f"Time (s),SG 1 ({unit})"))
        assert raw.units == ("",)
        assert f"its unit '{spelled}' is read as" in find_faults(raw).remarks[-1]


def test_gaps_of_parquet_and_numpy_files_are_read_as_well(tmp_path):
    values = [float(value) for _, value in rows()]
    damaged = [None if i in (5, 300) else value for i, value in enumerate(values)]
    times = [0.01 * i for i in range(400)]
    pq.write_table(pa.table({"Time [s]": times, "Force [kN]": damaged}), tmp_path / "record.parquet")
    np.save(tmp_path / "record.npy", np.array([[v if v is not None else np.nan] for v in damaged]))
    for path, dialect in (("record.parquet", {}), ("record.npy", {"rate": 100.0, "names": ["Force [kN]"]})):
        raw = read_raw(tmp_path / path, **dialect)
        assert np.flatnonzero(np.isnan(raw.values[0])).tolist() == [5, 300]
        cleaned = treat(raw, Treatments(missing=True))
        np.testing.assert_allclose(cleaned.history.channel("Force"), 1000.0 * np.delete(values, [5, 300]))


def test_text_and_ragged_rows_stay_refused_with_their_place(write):
    broken = rows()
    broken[44] = (broken[44][0], None)
    broken[77] = (broken[77][0], "loose")
    with pytest.raises(InputError, match=r"text 'loose' where a number must stand \(.*, line 79, column 2 'Force'\)"):
        read_raw(write(broken))
    broken[77] = (broken[77][0], "1,2")
    with pytest.raises(InputError, match=r"row has 3 cells instead of 2 \(.*, line 79"):
        read_raw(write(broken))
