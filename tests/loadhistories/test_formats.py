"""One record in every format and dialect gives the same history."""

import gzip
import warnings

import numpy as np
import pytest

from loadhistories import InputError, open_record, read_history

ROWS = 2000
TIMES = np.round(np.arange(ROWS) * 0.02, 2)
FORCE = np.round(7.5 * np.sin(0.11 * np.arange(ROWS)) + 0.003 * np.arange(ROWS), 3)
STRAIN = np.round(400.0 * np.cos(0.07 * np.arange(ROWS)), 1)


def text(*, mark=",", point=".", header=("Time (s),Fy (kN),Strain (um/m)",), preamble=(), end="\n"):
    rows = [f"{t:.2f}{mark}{f:.3f}{mark}{s:.1f}" for t, f, s in zip(TIMES, FORCE, STRAIN, strict=True)]
    rows = [row.replace(".", point) for row in rows]
    return end.join([*preamble, *(line.replace(",", mark) for line in header), *rows, ""])


KEYS = [f"Device {i}: value {i}" for i in range(40)]
TWO_BLOCKS = ["[Head]", "Device;Logger 7", "Start;01.03.2024 10:00:00", "Channels;3", "", "[Channel table]",
              "No;Name;Unit;Range", "1;Time;s;", "2;Fy;kN;±50", "3;Strain;um/m;±2000", "", "[Data]"]  # fmt: skip
TEXTS = {
    "comma": (text(), "utf-8", {}),
    "semicolon, decimal comma": (text(mark=";", point=","), "utf-8", {}),
    "tab": (text(mark="\t"), "utf-8", {}),
    "tab, decimal comma": (text(mark="\t", point=","), "utf-8", {}),
    "white space": (text(mark="   "), "utf-8", {}),
    "carriage returns": (text(end="\r\n"), "utf-8", {}),
    "byte order mark": (text(), "utf-8-sig", {}),
    "square brackets": (text(header=("Time [s],Fy [kN],Strain [um/m]",)), "utf-8", {}),
    "backslash in the unit": (text(header=(r"Time (s),Fy (kN),Strain (um\m)",)), "utf-8", {}),
    "micro sign": (text(header=("Time (s),Fy (kN),Strain (µm/m)",)), "utf-8", {}),
    "micro sign in cp1252": (text(header=("Time (s),Fy (kN),Strain (µm/m)",)), "cp1252", {}),
    "micro strain": (text(header=("Time (s),Fy (kN),Strain (µε)",)), "utf-8", {}),
    "microstrain": (text(header=("Time (s),Fy (kN),Strain [microstrain]",)), "utf-8", {}),
    "micro strain in words": (text(header=("Time (s),Fy (kN),Strain (µStrain)",)), "utf-8", {}),
    "units behind a stroke": (text(mark=";", point=",", header=("Time / s,Fy / kN,Strain / um/m",)), "utf-8", {}),
    "units in words": (text(mark=";", header=("Time in s,Fy in kN,Strain in um/m",)), "utf-8", {}),
    "delimiter behind the names": (text(header=("Time (s),Fy (kN),Strain (um/m),",)), "utf-8", {}),
    "names, units and a line how they were taken": (
        text(header=("Logger,7,x", "Time,Fy,Strain", "s,kN,um/m", ",Smp,Avg")), "utf-8", {}),
    "the same with the line of names given": (
        text(header=("Logger,7,x", "Time,Fy,Strain", "s,kN,um/m", ",Smp,Avg")), "utf-8", {"header_line": 2}),
    "row of units": (text(header=("Time,Fy,Strain", "s,kN,um/m")), "utf-8", {}),
    "row of units in brackets": (text(header=("Time,Fy,Strain", "[s],[kN],[um/m]")), "utf-8", {}),
    "long preamble": (text(preamble=KEYS), "utf-8", {}),
    "preamble with semicolons": (text(mark=";", preamble=[f"Key {i};{i};;" for i in range(300)]), "utf-8", {}),
    "preamble of numbers": (text(mark=";", preamble=["Rate;50", "Channels;3", ""]), "utf-8", {}),
    "comments above": (text(preamble=["# made by hand", "# second line"]), "utf-8", {}),
    "two blocks": (text(mark=";", header=("Time,Fy,Strain",), preamble=TWO_BLOCKS), "utf-8",
                   {"units": {"Time": "s", "Fy": "kN", "Strain": "um/m"}}),
    "two blocks, no names": (text(mark=";", header=(), preamble=TWO_BLOCKS), "utf-8",
                             {"names": ["Time", "Fy", "Strain"], "units": {"Time": "s", "Fy": "kN", "Strain": "um/m"}}),
}  # fmt: skip


def assert_is_the_record(history):
    assert [name for name in history.names if name != "Time"] == ["Fy", "Strain"]
    assert (history.channel("Fy") == FORCE * 1e3).all()
    assert history.channel("Strain") == pytest.approx(STRAIN * 1e-6, rel=1e-15)
    assert history.units[history.names.index("Fy")] == "N"
    assert history.units[history.names.index("Strain")] == ""
    assert history.step == 0.02


@pytest.mark.parametrize("packed", [False, True], ids=["plain", "gzip"])
@pytest.mark.parametrize("dialect", TEXTS)
def test_every_dialect_of_text_gives_the_same_history(tmp_path, dialect, packed):
    content, encoding, options = TEXTS[dialect]
    file = tmp_path / ("record.csv.gz" if packed else "record.csv")
    data = content.encode(encoding)
    file.write_bytes(gzip.compress(data) if packed else data)
    assert_is_the_record(read_history(file, **options))


def arrow_columns():
    import pyarrow as pa

    return pa.table({"Time [s]": TIMES, "Fy [kN]": FORCE, "Strain [um/m]": STRAIN})


def write_parquet(file):
    import pyarrow.parquet as pq

    pq.write_table(arrow_columns(), file, row_group_size=700)


def write_feather(file, **options):
    import pyarrow.feather as feather

    feather.write_feather(arrow_columns(), file, chunksize=700, **options)


def write_stream(file):
    import pyarrow as pa

    with pa.OSFile(str(file), "wb") as sink, pa.ipc.new_stream(sink, arrow_columns().schema) as stream:
        stream.write_table(arrow_columns(), 700)


def write_npy(file, order="C"):
    np.save(file, np.asarray(np.column_stack([FORCE, STRAIN]), order=order))


def write_mat(file, **options):
    import scipy.io

    scipy.io.savemat(file, {"Time": TIMES, "Fy": FORCE, "Strain": STRAIN, "rate": 50.0, "who": "us"}, **options)


def write_mat_structure(file):
    import scipy.io

    scipy.io.savemat(file, {"run": {"Time": TIMES, "Fy": FORCE, "Strain": STRAIN}, "slow": np.arange(40.0)})


def write_hdf5(file, *, group="", chunks=None):
    import h5py

    with h5py.File(file, "w") as held:
        for name, values, unit in (("Time", TIMES, "s"), ("Fy", FORCE, "kN"), ("Strain", STRAIN, "um/m")):
            options = {"chunks": chunks, "compression": "gzip"} if chunks else {}
            item = held.create_dataset(f"{group}/{name}" if group else name, data=values, **options)
            item.attrs["unit"] = unit
        if group:
            held.create_dataset("slow/Temperature", data=np.arange(40.0))


def write_hdf5_table(file):
    import h5py

    kind = np.dtype([("Time [s]", float), ("Fy [kN]", float), ("Strain [um/m]", float), ("note", "S4")])
    rows = np.zeros(ROWS, kind)
    for name, values in zip(kind.names, (TIMES, FORCE, STRAIN), strict=False):
        rows[name] = values
    with h5py.File(file, "w") as held:
        held["run"] = rows


def write_mat_73(file):
    """As MATLAB does it: a text in front, rows and columns exchanged, the class of each array beside it."""
    import h5py

    with h5py.File(file, "w", userblock_size=512) as held:
        for name, values in (("Time", TIMES), ("Fy", FORCE), ("Strain", STRAIN)):
            held[name] = values[None, :]
            held[name].attrs["MATLAB_class"] = np.bytes_("double")
        held["who"] = np.array([[117], [115]], np.uint16)
        held["who"].attrs["MATLAB_class"] = np.bytes_("char")
    with open(file, "r+b") as stream:
        stream.write(b"MATLAB 7.3 MAT-file".ljust(124) + b"\x00\x02IM")


def write_tdms(file, *, timed=True):
    from nptdms import ChannelObject, TdmsWriter

    with TdmsWriter(str(file)) as writer:
        for part in (slice(0, 900), slice(900, ROWS)):
            channels = [("Fy", FORCE, "kN"), ("Strain", STRAIN, "um/m")]
            properties = {"wf_increment": 0.02}
            if timed:
                channels, properties = [("Time", TIMES, "s"), *channels], {}
            writer.write_segment(
                [
                    ChannelObject("run", name, values[part], properties={"unit_string": unit, **properties})
                    for name, values, unit in channels
                ]
            )


def write_mdf(file, *, several=False, **options):
    with warnings.catch_warnings(action="ignore", category=DeprecationWarning):
        from asammdf import MDF, Signal

    with MDF(version="4.10") as held:
        held.append([Signal(FORCE, TIMES, name="Fy", unit="kN"), Signal(STRAIN, TIMES, name="Strain", unit="um/m")],
                    comment="fast")  # fmt: skip
        if several:
            held.append([Signal(FORCE[::10], TIMES[::10], name="Fy", unit="kN")], comment="slow")
        held.save(file, **options)


UNITS = {"units": {"Time": "s", "Fy": "kN", "Strain": "um/m"}}
BINARY = {
    "Parquet": ("a.parquet", write_parquet, {}),
    "Feather": ("a.feather", write_feather, {}),
    "Feather, packed": ("a.feather", lambda file: write_feather(file, compression="zstd"), {}),
    "Arrow stream": ("a.arrows", write_stream, {}),
    "NumPy array": ("a.npy", write_npy, {"names": ["Fy [kN]", "Strain [um/m]"], "rate": "50 Hz"}),
    "NumPy array by columns": ("a.npy", lambda file: write_npy(file, "F"),
                               {"names": ["Fy [kN]", "Strain [um/m]"], "step": "20 ms"}),
    "MAT": ("a.mat", write_mat, UNITS),
    "MAT, packed": ("a.mat", lambda file: write_mat(file, do_compression=True), UNITS),
    "MAT, structure": ("a.mat", write_mat_structure, {**UNITS, "group": "run"}),
    "MAT 7.3": ("a.mat", write_mat_73, UNITS),
    "HDF5": ("a.h5", write_hdf5, {}),
    "HDF5, group, packed": ("a.hdf5", lambda file: write_hdf5(file, group="one/run", chunks=300), {"group": "one/run"}),
    "HDF5, table": ("a.h5", write_hdf5_table, {}),
    "TDMS": ("a.tdms", write_tdms, {}),
    "TDMS, stated step": ("a.tdms", lambda file: write_tdms(file, timed=False), {}),
    "MDF": ("a.mf4", write_mdf, {}),
    "MDF, packed": ("a.mf4", lambda file: write_mdf(file, compression=2), {}),
    "MDF, several groups": ("a.mf4", lambda file: write_mdf(file, several=True), {"group": "fast"}),
}  # fmt: skip


@pytest.mark.parametrize("block_size", [None, 333])
@pytest.mark.parametrize("form", BINARY)
def test_every_format_gives_the_same_history(tmp_path, form, block_size):
    name, write, options = BINARY[form]
    file = tmp_path / name
    write(file)
    history = read_history(file, block_size=block_size, **options)
    assert_is_the_record(history)
    assert len(history.source.sha256) == 64


@pytest.mark.parametrize("form", ["MAT, structure", "HDF5, group, packed"])
def test_the_only_group_that_holds_the_named_channels_is_taken(tmp_path, form):
    name, write, options = BINARY[form]
    write(tmp_path / name)
    named = {key: value for key, value in options.items() if key != "group"}
    assert_is_the_record(read_history(tmp_path / name, columns=["Fy", "Strain"], time_column="Time", **named))


def test_several_groups_are_not_mixed_and_none_is_guessed(tmp_path):
    write_mdf(tmp_path / "a.mf4", several=True)
    with pytest.raises(InputError, match=r"holds 2 groups: give one, as in group = \"fast\"; 'fast' with .*, 'slow'"):
        open_record(tmp_path / "a.mf4")
    with pytest.raises(InputError, match="holds 2 groups"):
        open_record(tmp_path / "a.mf4", columns=["Fy"])
    with pytest.raises(InputError, match="group 'fats' is unknown; did you mean 'fast'"):
        open_record(tmp_path / "a.mf4", group="fats")
    assert open_record(tmp_path / "a.mf4", group="slow", columns=["Fy"]).step == 0.2


def test_channels_of_several_rates_are_not_mixed(tmp_path):
    from nptdms import ChannelObject, TdmsWriter

    with TdmsWriter(str(tmp_path / "a.tdms")) as writer:
        writer.write_segment(
            [
                ChannelObject("run", name, FORCE[::every], properties={"wf_increment": 0.02 * every})
                for name, every in (("Fy", 1), ("Fz", 1), ("Slow", 10))
            ]
        )
    with pytest.raises(InputError, match=r"name those that are wanted; .*2000 values at 50 Hz: Fy, Fz, 200 values"):
        open_record(tmp_path / "a.tdms")
    with pytest.raises(InputError, match="the named channels are of several lengths or rates"):
        open_record(tmp_path / "a.tdms", columns=["Fy", "Slow"])
    assert open_record(tmp_path / "a.tdms", columns=["Slow"]).step == pytest.approx(0.2)


def test_time_stamps_of_a_binary_file_give_its_step(tmp_path):
    from nptdms import ChannelObject, TdmsWriter

    stamps = np.datetime64("2024-03-01T10:00:00", "us") + np.arange(ROWS) * np.timedelta64(20_000, "us")
    with TdmsWriter(str(tmp_path / "a.tdms")) as writer:
        writer.write_segment([ChannelObject("run", "Time", stamps), ChannelObject("run", "Fy", FORCE)])
    record = open_record(tmp_path / "a.tdms")
    assert (record.step, record.start[:19]) == (0.02, "2024-03-01T10:00:00")


def test_an_option_of_another_format_is_refused(tmp_path):
    write_hdf5(tmp_path / "a.h5")
    (tmp_path / "a.csv").write_text(text())
    with pytest.raises(InputError, match="delimiter is for text files only"):
        open_record(tmp_path / "a.h5", delimiter=";")
    with pytest.raises(InputError, match="names are for files without header"):
        open_record(tmp_path / "a.h5", names=["a"])
    with pytest.raises(InputError, match="group is for files that hold groups of channels"):
        open_record(tmp_path / "a.csv", group="run")


@pytest.mark.parametrize(
    ("module", "name", "write", "what"),
    [
        ("h5py", "a.h5", write_hdf5, "HDF5"),
        ("nptdms", "a.tdms", write_tdms, "TDMS"),
        ("asammdf", "a.mf4", write_mdf, "MDF"),
    ],
)
def test_a_format_whose_package_is_missing_says_what_to_install(tmp_path, monkeypatch, module, name, write, what):
    write(tmp_path / name)
    monkeypatch.setitem(__import__("sys").modules, module, None)
    with pytest.raises(InputError, match=rf"an? {what} file needs the package .*pip install 'griplife\[formats\]'"):
        open_record(tmp_path / name)
