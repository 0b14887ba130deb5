import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from loadhistories import InputError, open_record, read_history

FORCE = np.linspace(-1.0, 1.0, 1000)
TIMES = np.datetime64("2022-11-04T08:36:24.897", "ns") + np.arange(1000) * np.timedelta64(10, "ms")


def table(**columns):
    return pa.table({"Time": TIMES, "Fy (kN)": FORCE, **columns})


def test_a_parquet_file_is_read_by_row_groups_of_any_size(tmp_path):
    file = tmp_path / "drive.parquet"
    pq.write_table(table(count=np.arange(1000)), file, row_group_size=130)
    history = read_history(file)
    assert (history.names, history.units, history.step) == (("Fy", "count"), ("N", None), 0.01)
    assert history.source.start == "2022-11-04T08:36:24.897000000"
    np.testing.assert_array_equal(history.channel("Fy"), FORCE * 1000.0)
    for size in (1, 7, 999, 5000):
        record = open_record(file, block_size=size)
        assert record.samples == 1000
        values = np.concatenate([chunk for _, chunk in record.chunks()], axis=1)
        assert values.tobytes() == history.values.tobytes()


def test_the_unit_of_a_parquet_column_may_stand_in_its_metadata(tmp_path):
    field = pa.field("Mz", pa.float32(), metadata={"unit": "kNm"})
    data = pa.table([pa.array([1, 2, 3], pa.float32())], pa.schema([field]))
    pq.write_table(data, tmp_path / "drive.parquet")
    history = read_history(tmp_path / "drive.parquet", rate="10 Hz")
    assert history.units == ("N mm",)
    assert history.values.tolist() == [[1e6, 2e6, 3e6]]


@pytest.mark.parametrize(
    ("column", "wording"),
    [
        ([None if i == 700 else 1.0 for i in range(1000)], r"gap \(empty cell\) \(.*row 701, column 3 'Mz'\)"),
        ([np.nan if i == 700 else 1.0 for i in range(1000)], r"not finite \(nan\) \(.*row 701, column 'Mz'\)"),
        ([-999.0 if i == 700 else 1.0 for i in range(1000)], r"gap \(marked -999\) \(.*row 701, column 'Mz'\)"),
        (["on"] * 1000, r"column 'Mz' holds no numbers: name the columns that are wanted"),
    ],
)
def test_a_parquet_value_that_cannot_be_judged_is_refused_with_its_row(tmp_path, column, wording):
    file = tmp_path / "drive.parquet"
    pq.write_table(table(Mz=column), file, row_group_size=300)
    with pytest.raises(InputError, match=wording):
        read_history(file, missing="-999")
    assert read_history(file, columns=["Fy"]).samples == 1000


def test_a_gap_in_time_is_refused_with_its_row(tmp_path):
    times = TIMES.copy()
    times[600:] += np.timedelta64(1, "s")
    pq.write_table(pa.table({"Time": times, "Fy (kN)": FORCE}), tmp_path / "drive.parquet")
    with pytest.raises(InputError, match=r"gap of 1\.01 s in steps of 0\.01 s.*row 601, column 1 'Time'"):
        read_history(tmp_path / "drive.parquet")


def test_a_parquet_file_cut_short_is_refused(tmp_path):
    file = tmp_path / "drive.parquet"
    pq.write_table(table(), file)
    file.write_bytes(file.read_bytes()[:-100])
    with pytest.raises(InputError, match="the file is no whole Parquet file"):
        read_history(file)


def test_a_parquet_file_damaged_inside_is_refused_with_its_row(tmp_path):
    file = tmp_path / "drive.parquet"
    pq.write_table(table(), file, row_group_size=100, compression="zstd")
    data = bytearray(file.read_bytes())
    data[3000:5000] = bytes(2000)
    file.write_bytes(data)
    with pytest.raises(InputError, match=r"the Parquet file is damaged from row \d+"):
        read_history(file)


@pytest.mark.parametrize("shape", [(1000,), (1000, 1)])
def test_an_array_of_one_channel_needs_a_step_and_takes_a_name(tmp_path, shape):
    file = tmp_path / "drive.npy"
    np.save(file, FORCE.reshape(shape))
    with pytest.raises(InputError, match="no time column is found"):
        read_history(file)
    history = read_history(file, rate="100 Hz", names=["Fy (kN)"])
    assert (history.names, history.units, history.step) == (("Fy",), ("N",), 0.01)
    np.testing.assert_array_equal(history.values, [FORCE * 1000.0])


def test_an_array_is_mapped_and_walked_in_chunks_of_any_size(tmp_path):
    file = tmp_path / "drive.npy"
    values = np.asfortranarray(np.random.default_rng(3).normal(size=(500, 3)).astype(np.float32))
    np.save(file, values)
    for size in (1, 64, 1000):
        record = open_record(file, step=0.01, block_size=size)
        walked = np.concatenate([chunk for _, chunk in record.chunks(["column 3", "column 1"])], axis=1)
        np.testing.assert_array_equal(walked, values[:, [2, 0]].T.astype(float))


def test_an_array_that_is_no_record_is_refused(tmp_path):
    file = tmp_path / "drive.npy"
    np.save(file, np.array([1.0, np.nan, 2.0]))
    with pytest.raises(InputError, match=r"not finite \(nan\) \(.*drive\.npy, row 2, column 'column 1'\)"):
        read_history(file, step=0.01)
    np.save(file, np.zeros((2, 2, 2)))
    with pytest.raises(InputError, match=r"shape \(samples,\) or \(samples, channels\), got float64 \(2, 2, 2\)"):
        read_history(file, step=0.01)
    np.save(file, FORCE)
    file.write_bytes(file.read_bytes()[:-100])
    with pytest.raises(InputError, match="no whole NumPy array"):
        read_history(file, step=0.01)
    np.save(file, FORCE)
    with pytest.raises(InputError, match="delimiter is for text files only"):
        read_history(file, step=0.01, delimiter=",")
    with pytest.raises(InputError, match="2 names are given for 1 columns"):
        read_history(file, step=0.01, names=["a", "b"])
