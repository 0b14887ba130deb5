"""How much memory it takes to walk a long record: run by hand, `python tests/speed/memory.py [SAMPLES ...]`.

Writes a NumPy and a Parquet file of so many samples in a temporary folder, walks each as a load block in a process
of its own, and prints time and peak of the resident memory. 1e9 samples need 16 GB on the disk for two columns.
"""

import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

AT_ONCE = 1_000_000
ROW_GROUP = 4_000_000


def main():
    """Print a row for every length, kind of file and number of columns."""
    lengths = [int(float(text)) for text in sys.argv[1:]] or [10**6, 10**7, 10**8]
    print(f"{'samples':>13} {'columns':>7} {'numbers':>8} {'file':>8} {'stored MB':>10} {'seconds':>8} {'M/s':>7} "
          f"{'peak RSS MB':>12}")  # fmt: skip
    print(f"{'(nothing read)':>47} {'':>19} {measured(None)['peak']:12.0f}")
    for samples in lengths:
        for columns, kind in (1, "float32"), (2, "float64"):
            for ending, write in (".npy", write_array), (".parquet", write_parquet):
                with tempfile.TemporaryDirectory() as folder:
                    file = Path(folder) / f"record{ending}"
                    write(file, samples, columns, kind)
                    found, stored = measured(file), file.stat().st_size / 1e6
                if found["samples"] != samples:
                    raise SystemExit(f"{file} gave {found['samples']} samples instead of {samples}")
                print(f"{samples:13d} {columns:7d} {kind:>8} {ending[1:]:>8} {stored:10.0f} {found['seconds']:8.2f} "
                      f"{samples / found['seconds'] / 1e6:7.0f} {found['peak']:12.0f}", flush=True)  # fmt: skip


def pieces(samples, columns, kind):
    """The record piece by piece, shape (rows, columns)."""
    noise = np.random.default_rng(1).normal(size=(AT_ONCE, columns)).astype(kind)
    for start in range(0, samples, AT_ONCE):
        yield noise[: min(AT_ONCE, samples - start)]


def write_array(file, samples, columns, kind):
    """A NumPy file, written without ever holding it."""
    with open(file, "wb") as stream:
        header = {"descr": np.dtype(kind).str, "fortran_order": False, "shape": (samples, columns)}
        np.lib.format.write_array_header_1_0(stream, header)
        for piece in pieces(samples, columns, kind):
            piece.tofile(stream)


def write_parquet(file, samples, columns, kind):
    """A Parquet file with row groups of ROW_GROUP rows, written without ever holding it."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    schema = pa.schema([(f"column {i + 1}", pa.from_numpy_dtype(kind)) for i in range(columns)])
    with pq.ParquetWriter(file, schema, compression="snappy") as writer:
        waiting = []
        for piece in pieces(samples, columns, kind):
            waiting.append(pa.table([np.ascontiguousarray(column) for column in piece.T], schema=schema))
            if len(waiting) * AT_ONCE >= ROW_GROUP:
                writer.write_table(pa.concat_tables(waiting), row_group_size=ROW_GROUP)
                waiting = []
        if waiting:
            writer.write_table(pa.concat_tables(waiting), row_group_size=ROW_GROUP)


def measured(file):
    """Samples, seconds and peak resident memory [MB] of a walk in a process of its own; of none without a file."""
    command = [sys.executable, __file__, "--walk", *([str(file)] if file else [])]
    return json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)


def walk(path=None):
    """Walk a record as a load block and print what it took as JSON."""
    from loadhistories import Term, block_of_history, open_record
    from loadhistories.ahead import read_ahead

    began, samples = time.perf_counter(), 0
    if path is not None:
        record = open_record(path, step=0.01)
        mapping = dict(zip(("Fy", "Mz"), ([Term(name, unit=unit)] for name, unit in
                                          zip(record.names, ("kN", "kNm"), strict=False)), strict=False))  # fmt: skip
        block = block_of_history("trial", record, mapping, repeats=1.0)
        for chunk in read_ahead(block.chunks()):
            samples += chunk.shape[1]
    print(json.dumps({"samples": samples, "seconds": time.perf_counter() - began, "peak": peak()}))


def peak():
    """Peak of the resident memory of this process. [MB]

    Linux counts the memory of the parent before the start in the usual figure; the one of its status file does not.
    """
    status = Path("/proc/self/status")
    if status.exists():
        (line,) = [line for line in status.read_text().splitlines() if line.startswith("VmHWM")]
        return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    if sys.argv[1:2] == ["--walk"]:
        walk(*sys.argv[2:])
    else:
        main()
