import gzip
import hashlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories import InputError, open_record, read_history

HEADER = "Time (s),Fy [kN],Mz (kNm)\n"


def record(rows=400, header=HEADER, end="\n"):
    return header + end.join(f"{i / 100:.2f},{i % 7 - 3}.25,{i % 5}e-1" for i in range(rows)) + end


def written(folder, text, name="drive.csv"):
    file = folder / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def with_line(text, line, replacement):
    lines = text.split("\n")
    lines[line - 1] = replacement
    return "\n".join(lines)


def test_a_record_states_where_it_came_from(tmp_path):
    text = "\n\n" + record(50)
    history = read_history(written(tmp_path, text))
    source = history.source
    assert source.sha256 == hashlib.sha256(text.encode()).hexdigest()
    assert (source.size, source.first_line, source.start) == (len(text), 4, "")
    assert source.path == str(tmp_path / "drive.csv")
    assert history.stated_units == ("kN", "kNm")
    assert (history.samples, history.step, history.span) == (50, 0.01, 0.5)
    assert not history.values.flags.writeable


def test_a_packed_record_gives_the_same_history(tmp_path):
    plain = read_history(written(tmp_path, record()))
    packed = written(tmp_path, gzip.compress(record().encode()), "drive.csv.gz")
    history = read_history(packed)
    np.testing.assert_array_equal(history.values, plain.values)
    assert history.source.sha256 == hashlib.sha256(packed.read_bytes()).hexdigest()


@pytest.mark.parametrize(
    ("cell", "wording"),
    [
        ("", r"gap \(empty cell\)"),
        ("nan", r"number that is not finite \('nan'\)"),
        ("-inf", r"number that is not finite \('-inf'\)"),
        ("1e999", r"number that is not finite \('1e999'\)"),
        ("N/A", r"gap \(marked 'N/A'\)"),
        ("off", r"text 'off' where a number must stand"),
        ("1.2.3", r"text '1\.2\.3' where a number must stand"),
    ],
)
@pytest.mark.parametrize("line", [2, 3, 251, 401])
def test_a_cell_that_is_no_number_is_refused_with_line_and_column(tmp_path, cell, wording, line):
    time = f"{(line - 2) / 100:.2f}"
    file = written(tmp_path, with_line(record(), line, f"{time},1.0,{cell}"))
    if line == 2 and cell in ("off", "1.2.3"):
        wording = f"text {cell!r} stands in a row of numbers"
    with pytest.raises(InputError, match=rf"{wording}.*\(.*drive\.csv, line {line}, column 3.*\)"):
        read_history(file)


def test_the_first_of_several_faults_is_named(tmp_path):
    text = with_line(with_line(record(), 300, "2.98,1,"), 200, "1.98,,1")
    with pytest.raises(InputError, match=r"line 200, column 2 'Fy'"):
        read_history(written(tmp_path, text))


@pytest.mark.parametrize(
    ("row", "wording"),
    [
        ("1.98,1.0", r"row has 2 of 3 cells \(.*line 200, column 3 'Mz'\)"),
        ("1.98", r"row has 1 of 3 cells \(.*line 200, column 2 'Fy'\)"),
        ("1.98,1,2,3", r"row has 4 cells instead of 3 \(.*line 200, column 4\)"),
        ("", r"empty line among the rows \(.*line 200, column 1\)"),
        ("Time (s),Fy [kN],Mz (kNm)", r"text 'Time \(s\)' where a number must stand \(.*line 200, column 1 'Time'\)"),
    ],
)
def test_a_ragged_row_is_refused_with_its_line(tmp_path, row, wording):
    with pytest.raises(InputError, match=wording):
        read_history(written(tmp_path, with_line(record(), 200, row)))


def test_quotation_marks_that_are_not_closed_swallow_no_row(tmp_path):
    text = "Time (s);Note;Fy (kN)\n" + "".join(f"{i};on;{i}\n" for i in range(200))
    one = with_line(text, 150, '148;"on;148')
    for faulty in (one, with_line(one, 160, '158;on";158')):
        file = written(tmp_path, faulty)
        with pytest.raises(InputError, match=r"quotation mark that is not closed \(.*drive\.csv, line 150\)"):
            read_history(file, header_line=1, columns=["Fy"])


def test_a_file_that_ends_in_the_middle_of_a_row_is_refused(tmp_path):
    for end, column in ("4.00", 2), ("4.00,1.0", 3):
        with pytest.raises(InputError, match=rf"the file ends in the middle of this row \(.*line 402, column {column}"):
            read_history(written(tmp_path, record() + end))
    with pytest.raises(InputError, match=r"gap \(empty cell\); the file ends in the middle of this row"):
        read_history(written(tmp_path, record() + "4.00,1.0,"))
    history = read_history(written(tmp_path, record() + "4.00,1.0,2.0"))
    assert history.samples == 401
    assert "the last line has no line end: its last number may be cut short" in history.remarks


def test_blank_lines_at_the_end_and_comments_between_are_passed_over(tmp_path):
    text = with_line(record(), 200, "# gauge checked\n1.98,7,8").replace("3.99,-3", "3.99,off")
    with pytest.raises(InputError, match=r"text 'off.*line 402, column 2"):
        read_history(written(tmp_path, text), block_size=100)
    history = read_history(written(tmp_path, text.replace("off", "1") + "\n\r\n  \n\n"))
    assert history.samples == 400
    assert history.channel("Fy")[198] == 7000.0
    assert history.remarks == ("comment lines among the rows, passed over: 1",)


@pytest.mark.parametrize("mark", ["-999", "---", "9999.0"])
def test_a_text_given_as_the_mark_of_a_gap_is_named_as_one(tmp_path, mark):
    file = written(tmp_path, with_line(record(), 200, f"1.98,{mark},1"))
    with pytest.raises(InputError, match=rf"gap \(marked '{mark}'\) \(.*line 200, column 2 'Fy'\)"):
        read_history(file, missing=[mark])


@pytest.mark.parametrize(
    ("times", "wording"),
    [
        ([0, 1, 2, 2, 3, 4], r"time stands still at 2: cut the record there \(.*line 5, column 1 'Time'\)"),
        ([0, 1, 2, 1.5, 3, 4], r"time runs backwards by 0\.5 s, from 2 to 1\.5.*line 5"),
        ([0, 1, 2, 4, 5, 6], r"gap of 2 s in steps of 1 s, from 2 to 4.*line 5"),
        ([0, 1, 2, 2.3, 3, 4], r"time step of 0\.3 s among steps of 1 s, from 2 to 2\.3.*line 5"),
        ([3, 3, 3, 3], r"time stands still at 3.*line 3"),
        ([5, 4, 3, 2], r"time runs backwards by 1 s, from 5 to 4.*line 3"),
        ([0, "nan", 2, 3], r"not finite \('nan'\) \(.*line 3, column 1 'Time'\)"),
        ([0, "", 2, 3], r"gap \(empty cell\) \(.*line 3, column 1 'Time'\)"),
    ],
)
@pytest.mark.parametrize("block_size", [None, 8])
def test_time_that_does_not_run_evenly_is_refused_with_its_place(tmp_path, times, wording, block_size):
    text = "Time (s),Fy (kN)\n" + "".join(f"{time},1\n" for time in times)
    with pytest.raises(InputError, match=wording):
        read_history(written(tmp_path, text), block_size=block_size)


def test_jitter_of_a_tenth_is_accepted_and_remarked(tmp_path):
    steps = np.tile([9, 10, 11], 500)
    times = np.datetime64("2022-03-07T16:35:15.601") + np.cumsum(steps).astype("timedelta64[ms]")
    rows = (f"{str(time).replace('T', ' ')},{i % 9}\n" for i, time in enumerate(times))
    text = "Time (-),Strain (um\\m)\n" + "".join(rows)
    history = read_history(written(tmp_path, text))
    assert history.step == 0.01
    assert history.units == ("",)
    assert history.source.start == "2022-03-07 16:35:15.610"
    assert history.remarks == ("time steps run from 0.009 to 0.011 s around 0.01 s and are taken as even",)


def test_stamps_too_coarse_for_the_rate_give_the_mean_step(tmp_path):
    text = "Time (s),Fy (kN)\n" + "".join(f"{i / 400:.3f},1\n" for i in range(2000))
    history = read_history(written(tmp_path, text))
    assert history.step == pytest.approx(0.0025, rel=1e-3)


@pytest.mark.parametrize(
    ("stamps", "options"),
    [
        (["2022-11-04 08:36:24.90", "2022-11-04 08:36:25.00", "2022-11-04 08:36:25.10"], {}),
        (["2022-11-04T08:36:24.9", "2022-11-04T08:36:25", "2022-11-04T08:36:25.1"], {}),
        (["2022-11-04T08:36:24.9Z", "2022-11-04T08:36:25Z", "2022-11-04T08:36:25.1Z"], {}),
        (["2022-11-04 08:36:24,90", "2022-11-04 08:36:25,00", "2022-11-04 08:36:25,10"], {}),
        (["2022-11-04;08:36:24.90", "2022-11-04;08:36:25.00", "2022-11-04;08:36:25.10"], {}),
        (["08:36:24,90", "08:36:25,00", "08:36:25,10"], {}),
        (["04/11/2022 08:36:24.9", "04/11/2022 08:36:25.0", "04/11/2022 08:36:25.1"],
         {"date_format": "%d/%m/%Y %H:%M:%S.%f"}),
        (["04.11.2022;08:36:24,9", "04.11.2022;08:36:25,0", "04.11.2022;08:36:25,1"],
         {"date_format": "%d.%m.%Y %H:%M:%S,%f"}),
        (["0.9", "1.0", "1.1"], {}),
    ],
)  # fmt: skip
def test_every_form_of_stamp_gives_the_same_step(tmp_path, stamps, options):
    names = "Date;Time" if ";" in stamps[0] else "Time"
    text = f"{names};Fy (kN)\n" + "".join(f"{stamp};{i}\n" for i, stamp in enumerate(stamps))
    history = read_history(written(tmp_path, text), **options)
    assert history.step == pytest.approx(0.1, rel=1e-12)
    assert history.names == ("Fy",)
    assert history.values.tolist() == [[0.0, 1000.0, 2000.0]]


def test_a_date_that_leaves_day_and_month_open_is_refused(tmp_path):
    text = "Time;Fy (kN)\n" + "".join(f"03/04/2022 08:36:2{i};1\n" for i in range(4))
    file = written(tmp_path, text)
    with pytest.raises(InputError, match=r"'03/04/2022 08:36:20' leaves open what is day and month: give date_format"):
        read_history(file)
    with pytest.raises(InputError, match=r"does not fit date_format '%d-%m-%Y %H:%M:%S'"):
        read_history(file, date_format="%d-%m-%Y %H:%M:%S")
    with pytest.raises(InputError, match=r"date_format part '%j' is unknown"):
        read_history(file, date_format="%d/%m/%j %H:%M:%S")
    assert read_history(file, date_format="%d/%m/%Y %H:%M:%S").step == 1.0


@pytest.mark.parametrize("stamp", ["2022-02-30 08:36:22", "08:36", "late"])
def test_a_stamp_that_cannot_be_read_is_refused_with_its_line(tmp_path, stamp):
    rows = [f"2022-02-28 08:36:2{i}" for i in range(5)]
    rows[2] = stamp
    file = written(tmp_path, "Time;Fy (kN)\n" + "".join(f"{row};1\n" for row in rows))
    with pytest.raises(InputError, match=rf"text '{stamp}' where a time stamp must stand \(.*line 4, column 1 'T"):
        read_history(file)


def test_the_time_column_is_found_given_or_asked_for(tmp_path):
    file = written(tmp_path, "Time 1 (s),Time 2 (s),Fy (kN)\n0,0,1\n1,2,2\n2,4,3\n")
    with pytest.raises(InputError, match=r"columns 'Time 1' and 'Time 2' could be the time: give time_column"):
        read_history(file)
    assert read_history(file, time_column="Time 2").step == 2.0
    with pytest.raises(InputError, match=r"time_column 'Time 3' is unknown; did you mean 'Time"):
        read_history(file, time_column="Time 3")
    bare = written(tmp_path, "Fy (kN)\n1\n2\n3\n")
    with pytest.raises(InputError, match=r'no time column is found: give time_column, or step \(such as "10 ms"'):
        read_history(bare)
    assert read_history(bare, rate=50).step == read_history(bare, step="20 ms").step == 0.02
    with pytest.raises(InputError, match="give step or rate, not both"):
        read_history(bare, rate=50, step=0.02)
    with pytest.raises(InputError, match="rate must be above 0 Hz, got 0"):
        read_history(bare, rate=0)


def test_a_step_that_disagrees_with_the_time_column_is_refused(tmp_path):
    file = written(tmp_path, record())
    assert read_history(file, step=0.01).step == 0.01
    with pytest.raises(InputError, match=r"the step of 0\.02 s that was given disagrees with the 0\.01 s"):
        read_history(file, step="20 ms")
    assert read_history(file, step="20 ms", time_column="", columns=["Fy"]).step == 0.02


def test_a_time_without_unit_is_taken_as_seconds_and_said(tmp_path):
    history = read_history(written(tmp_path, "Time,Fy (kN)\n0,1\n1,2\n2,3\n"))
    assert history.step == 1.0
    assert history.remarks == ("assumed: column 'Time' is in s, as its unit is not stated",)
    assert read_history(tmp_path / "drive.csv", units={"Time": "min"}).step == 60.0


def test_units_are_given_only_where_the_file_states_none(tmp_path):
    file = written(tmp_path, "Time (s),Fy,Mz (kNm)\n0,1,1\n1,2,2\n2,3,3\n")
    history = read_history(file, units={"Fy": "kN", "Mz": "kN m"})
    assert history.channel("Fy").tolist() == [1000.0, 2000.0, 3000.0]
    with pytest.raises(InputError, match=r"column 'Mz' is in 'kNm' by the file, but 'Nm' is given"):
        read_history(file, units={"Mz": "Nm"})
    with pytest.raises(InputError, match=r"unit of column 'Fy': unit 'KN' is unknown; did you mean 'kN'"):
        read_history(file, units={"Fy": "KN"})
    with pytest.raises(InputError, match=r"column 'Mx' is unknown; known: Time, Fy, Mz"):
        read_history(file, units={"Mx": "kN"})


def test_a_file_that_is_not_there_is_refused_with_the_nearest(tmp_path):
    written(tmp_path, record(), "drive_bracket.csv")
    with pytest.raises(InputError, match=r"there is no file '.*drive_braket\.csv'; did you mean 'drive_bracket\.csv'"):
        read_history(tmp_path / "drive_braket.csv")
    with pytest.raises(InputError, match="must be a file, got the folder"):
        read_history(tmp_path)
    with pytest.raises(InputError, match=r"ending '\.xlsx' is unknown; known: \.csv, \.txt"):
        read_history(written(tmp_path, record(), "drive.xlsx"))


@pytest.mark.parametrize("rows", [1, 2])
def test_fewer_than_three_samples_are_refused(tmp_path, rows):
    with pytest.raises(InputError, match=rf"the record holds {rows} samples, at least 3 are needed"):
        read_history(written(tmp_path, record(rows)))


def test_a_packed_file_that_is_cut_short_is_refused(tmp_path):
    packed = gzip.compress(record(4000).encode())
    with pytest.raises(InputError, match="the packed file is damaged or cut short"):
        read_history(written(tmp_path, packed[: len(packed) // 2], "drive.csv.gz"))
    with pytest.raises(InputError, match="the packed file is damaged or cut short"):
        read_history(written(tmp_path, record(), "drive.csv.gz"))


def test_a_line_without_end_is_refused_before_it_fills_the_memory(tmp_path):
    file = written(tmp_path, record(20_000) + "1" * 3_000_000)
    with pytest.raises(InputError, match=r"no row ends within 1048576 bytes \(.*from line 20002\)"):
        read_history(file, block_size=1 << 18)


def test_a_column_that_turns_to_text_after_a_million_rows_is_refused_with_its_line(tmp_path):
    body = b"".join([b"%d,1.5\n" % i for i in range(1_000_000)])
    file = written(tmp_path, b"Time (s),Fy (kN)\n" + body + b"1000000,open\n1000001,1\n")
    with pytest.raises(InputError, match=r"text 'open' where a number must stand \(.*line 1000002, column 2 'Fy'\)"):
        for _ in open_record(file).chunks():
            pass


def test_a_file_that_changes_while_it_is_open_is_refused(tmp_path):
    file = written(tmp_path, record())
    opened = open_record(file)
    written(tmp_path, record(500))
    with pytest.raises(InputError, match="the file was changed after it was opened"):
        next(opened.chunks())


def test_a_record_is_walked_in_chunks_as_often_as_wanted(tmp_path):
    opened = open_record(written(tmp_path, record()), block_size=1000)
    assert (opened.names, opened.units, opened.step, opened.samples) == (("Fy", "Mz"), ("N", "N mm"), 0.01, 400)
    first = list(opened.chunks())
    assert len(first) > 5
    assert [line for line, _ in first] == (2 + np.cumsum([0] + [chunk.shape[1] for _, chunk in first[:-1]])).tolist()
    again = np.concatenate([chunk for _, chunk in opened.chunks(["Mz", "Fy"])], axis=1)
    np.testing.assert_array_equal(again[::-1], np.concatenate([chunk for _, chunk in first], axis=1))
    with pytest.raises(InputError, match=r"column 'Fz' is unknown; known: Fy, Mz"):
        next(opened.chunks(["Fz"]))


@settings(deadline=None, max_examples=30)
@given(block_size=st.integers(1, 4000), rows=st.integers(3, 150), end=st.sampled_from(["\n", "\r\n"]))
def test_any_chunk_size_gives_the_same_values_bit_for_bit(tmp_path_factory, block_size, rows, end):
    header = HEADER.replace("\n", end)
    file = written(tmp_path_factory.mktemp("chunks"), record(rows, header, end) + end)
    whole = read_history(file)
    opened = open_record(file, block_size=block_size)
    values = np.concatenate([chunk for _, chunk in opened.chunks()], axis=1)
    assert values.tobytes() == whole.values.tobytes()
    assert opened.samples == whole.samples == rows
    assert opened.remarks == whole.remarks


@settings(deadline=None, max_examples=30)
@given(
    values=st.lists(st.floats(-1e6, 1e6, allow_subnormal=False), min_size=3, max_size=30),
    unit=st.sampled_from([("kN", 1e3), ("N", 1.0), ("MN", 1e6)]),
)
def test_unit_of_the_file_changes_nothing(tmp_path_factory, values, unit):
    name, scale = unit
    text = f"Time (s),Fy ({name})\n" + "".join(f"{i},{value / scale!r}\n" for i, value in enumerate(values))
    history = read_history(written(tmp_path_factory.mktemp("units"), text))
    np.testing.assert_allclose(history.channel("Fy"), values, rtol=1e-14, atol=1e-12)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.floats(-0.12, 0.12), min_size=20, max_size=60))
def test_any_jitter_up_to_a_quarter_of_the_step_is_accepted(tmp_path_factory, offsets):
    text = "Time (s),Fy (kN)\n" + "".join(f"{i + offset:.6f},1\n" for i, offset in enumerate(offsets))
    history = read_history(written(tmp_path_factory.mktemp("jitter"), text))
    assert history.step == pytest.approx(1.0, abs=0.25)


@pytest.mark.parametrize(
    ("date_format", "stamp"),
    [
        ("%-m/%-d/%Y %-H:%M:%S.%f", "3/1/2024 {h}:{m:02d}:{s:02d}.5"),
        ("%-d.%-m.%Y %-H:%M:%S,%f", "1.3.2024 {h}:{m:02d}:{s:02d},5"),
        ("%d.%m.%y %H:%M:%S", "01.03.24 {h:02d}:{m:02d}:{s:02d}"),
        ("%-d-%-m-%y %-H:%M:%S", "1-3-24 {h}:{m:02d}:{s:02d}"),
    ],
)
def test_dates_without_leading_zeros_and_with_short_years_are_read_as_named(tmp_path, date_format, stamp):
    clocks = [(9, 59, 57 + i) for i in range(3)] + [(10, 0, i) for i in range(4)]
    rows = [f"{stamp.format(h=h, m=m, s=s)};{s}" for h, m, s in clocks]
    (tmp_path / "a.csv").write_text("\n".join(["Time;Fy [kN]", *rows, ""]))
    history = read_history(tmp_path / "a.csv", date_format=date_format)
    assert (history.step, history.samples) == (1.0, 7)


def test_a_date_without_leading_zeros_says_how_to_write_its_format(tmp_path):
    (tmp_path / "a.csv").write_text("Time;Fy [kN]\n" + "".join(f"3/1/2024 10:00:0{i};{i}\n" for i in range(5)))
    with pytest.raises(InputError, match="of numbers without leading zero write %-d, %-m, %-H"):
        read_history(tmp_path / "a.csv", date_format="%m/%d/%Y %H:%M:%S")


def test_swapped_day_and_month_are_found_at_midnight(tmp_path):
    stamps = ["2022-11-04 23:59:59.8", "2022-11-04 23:59:59.9", "2022-12-04 00:00:00.0", "2022-12-04 00:00:00.1"]
    rows = [f"{stamp},{i}.5" for i, stamp in enumerate(["2022-11-04 23:59:59.6", "2022-11-04 23:59:59.7", *stamps])]
    (tmp_path / "a.csv").write_text("\n".join(["Time,Fy (kN)", *rows, ""]))
    with pytest.raises(InputError, match=r"day and month are swapped: 2022-11-04 23:59:59.9 is followed by 2022-12-04"):
        read_history(tmp_path / "a.csv")
    assert read_history(tmp_path / "a.csv", date_format="%Y-%d-%m %H:%M:%S.%f").step == 0.1


def test_a_real_gap_of_a_month_is_not_taken_for_swapped_dates(tmp_path):
    stamps = ["2022-11-04 10:00:00", "2022-11-04 10:00:01", "2022-11-04 10:00:02", "2022-12-04 10:00:03"]
    (tmp_path / "a.csv").write_text("\n".join(["Time,Fy (kN)", *(f"{stamp},1.5" for stamp in stamps), ""]))
    with pytest.raises(InputError, match=r"gap of 2.592e\+06 s"):
        read_history(tmp_path / "a.csv")
