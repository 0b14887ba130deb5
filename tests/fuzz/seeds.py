"""Small sound inputs of each door, from which the mutants of bytes are made."""

import io
from random import Random

import mutants
import numpy as np

TEXT = (
    b"Time (s),Fy (kN),Strain\n0,1,2\n0.1,2,3\n0.2,-1,4\n0.3,5,5\n",
    b"Time [s];Kraft [kN];T\n0,0;1,5;20\n0,1;2,5;21\n0,2;-1;22\n",
    b"# logger 7\n\n\tTime\tFy\n\ts\tkN\n\t0\t1.5\n\t1\t2.5\n\t2\t-3e2\n",
    b"Date,Fy\n2024-03-31 01:59:59,1\n2024-03-31 03:00:00,2\n2024-03-31 03:00:01,3\n2024-03-31 03:00:02,1\n",
    b"1 2 3\n4 5 6\n7 8 9\n1 2 3\n",
    b'\xef\xbb\xbf"Time (ms)","Fy, vertical (N)"\r\n0,1\r\n1,"2"\r\n2,NaN\r\n3,4\r\n',
    b"Time (s),Fy (kN)\n0,1\n0.1,\n0.2,OverRange\n0.3,1e308\n0.4,-1e308\n",
)
WORDS = (
    b"\n", b"\r\n", b",", b";", b"\t", b"nan", b"inf", b"-inf", b"1e400", b"-", b"1e-320", b"\x00", b"\xff\xfe", b'"',
    b"(kN)", b"[MPa]", b"Time (s)", b"2024-02-30T25:61:61", b"9999-12-31T23:59:59.999999999", b"0001-01-01", b"1,5",
    b"1_0", b"\xe2\x88\x92", b"\x1a", b"#", b"sep=;\n", b"9" * 400, b",,,,", b"=1+1", b"true", b"UTC", b"+02:00",
)  # fmt: skip


def binary(ending: str) -> list[bytes]:
    """Whole files of a format with one channel of sixteen samples."""
    values = np.linspace(-3.0, 3.0, 16)
    stream = io.BytesIO()
    if ending == ".npy":
        np.save(stream, np.column_stack([values, values]))
    elif ending == ".mat":
        import scipy.io

        scipy.io.savemat(stream, {"Fy": values, "Fz": values.astype(np.int16)}, do_compression=False)
    elif ending == ".h5":
        import h5py

        with h5py.File(stream, "w") as file:
            file.create_dataset("Fy", data=values)
    else:
        _arrow(ending, values, stream)
    return [stream.getvalue()]


def _arrow(ending: str, values, stream) -> None:
    import pyarrow as pa
    import pyarrow.feather
    import pyarrow.parquet

    table = pa.table({"Time (s)": np.arange(16) / 10.0, "Fy (kN)": values})
    if ending == ".parquet":
        pa.parquet.write_table(table, stream, compression="none")
    else:
        pa.feather.write_feather(table, stream, compression="uncompressed")


def jobs() -> list[bytes]:
    """The sound jobs as files."""
    from cli.compare_toml import toml_text

    return [toml_text(job).encode("utf-8") for job in mutants.sound_jobs().values()]


class ByteMutants:
    """Mutants of bytes without end: the same seed gives the same ones."""

    def __init__(self, seeds, seed: int, words=WORDS):
        self._seeds, self._random, self._words = [*seeds], Random(seed), words

    def next(self) -> bytes:
        """One more mutant."""
        content = bytearray(self._random.choice(self._seeds))
        for _ in range(self._random.choice((1, 1, 2, 4, 8))):
            place = self._random.randrange(len(content) + 1)
            draw = self._random.randrange(6)
            span = self._random.choice((1, 1, 2, 4, 16))
            if draw == 0 and place < len(content):
                content[place] ^= 1 << self._random.randrange(8)
            elif draw == 1:
                del content[place : place + span]
            elif draw == 2:
                content[place:place] = self._random.choice(self._words)
            elif draw == 3:
                content[place : place + span] = self._random.choice(self._words)
            elif draw == 4:
                content[place : place + span] = self._random.choice((b"\xff", b"\x00", b"\x7f")) * span
            else:
                other = self._random.choice(self._seeds)
                start = self._random.randrange(len(other))
                content[place:place] = other[start : start + self._random.randrange(64)]
        return bytes(content)
