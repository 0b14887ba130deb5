"""From a file to damage and slip: what a whole assessment costs beside the mere parsing of its record.

Run by hand, with the project installed: `python tests/speed/whole.py [csv_gigabytes] [largest_samples]`. Prints
ratios of times taken in one run and asserts none.
"""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

COLUMNS = ("Fx", "Fy", "Fz", "Mz")
UNITS = {"Fx": "kN", "Fy": "kN", "Fz": "kN", "Mz": "kNm"}
DETAILS = 12
JOB = """title = "benchmark"
standard = "EN 1993"
design_life = "25 year"
[[load]]
name = "record"
history = "{record}"
occurs = "16 h/day"
{file}
[load.components]
{components}
[[joint]]
name = "sixteen bolts"
slip = "never"
permanent = {{ Fy = "-14 kN" }}
[joint.bolts]
size = "M24"
grade = "10.9"
preload = "full"
rows = 4
columns = 4
pitch = "90 mm"
gauge = "90 mm"
holes = "normal"
surface = "A"
planes = 2
[[joint.plates]]
name = "plate"
thickness = "20 mm"
steel = "S355"
end_distance = "50 mm"
edge_distance = "50 mm"
"""


def chunks(samples: int, size: int = 1_000_000):
    """Narrow-band forces of some 20 kN, 20 samples a cycle, with noise; shape (m, 4)."""
    random = np.random.default_rng(1)
    for start in range(0, samples, size):
        phase = 2 * np.pi * np.arange(start, min(start + size, samples)) / 20
        rows = [20 * np.sin(phase + k) * (1 + 0.3 * np.sin(phase / 300 + k)) for k in range(4)]
        yield start, np.array(rows).T + random.normal(0, 0.5, (len(phase), 4))


def write_csv(path: Path, gigabytes: float) -> int:
    import pyarrow as pa
    import pyarrow.csv as csv

    rows = 0
    with path.open("wb") as file:
        file.write(("Time [s]," + ",".join(f"{name} [{UNITS[name]}]" for name in COLUMNS) + "\n").encode())
        for start, table in chunks(10**10):
            time_column = np.round((start + np.arange(len(table))) / 100.0, 2)
            arrays = [time_column, *np.round(table.T, 4)]
            table = pa.table({str(k): column for k, column in enumerate(arrays)})
            csv.write_csv(table, file, csv.WriteOptions(include_header=False))
            rows += len(arrays[0])
            if file.tell() >= gigabytes * 1e9:
                return rows
    return rows


def write_npy(path: Path, samples: int) -> None:
    table = np.lib.format.open_memmap(path, mode="w+", dtype=np.float32, shape=(samples, 4))
    for start, rows in chunks(samples):
        table[start : start + len(rows)] = rows
    table.flush()


def write_job(folder: Path, record: Path) -> Path:
    binary = record.suffix == ".npy"
    given = '[load.file]\nstep = "0.01 s"\nnames = ["Fx", "Fy", "Fz", "Mz"]' if binary else ""
    components = "\n".join(f'{name} = {{ column = "{name}", unit = "{UNITS[name]}" }}' for name in COLUMNS)
    text = JOB.format(record=record.name, file=given, components=components)
    for number in range(DETAILS):
        text += f'[[joint.detail]]\nname = "detail {number}"\ncategory = "8.4-7a"\n'
        text += f'stress = {{ Fx = "{0.1 + 0.02 * number} MPa/kN", Fy = "0.4 MPa/kN", Mz = "0.3 MPa/(kN m)" }}\n'
    path = folder / f"{record.stem}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def parse_with_pyarrow(path: Path) -> float:
    import pyarrow.csv as csv

    start = time.perf_counter()
    for _ in csv.open_csv(path):
        pass
    return time.perf_counter() - start


def assess(job: Path) -> tuple[float, float]:
    """Seconds and peak memory [MB] of one assessment in a process of its own (of Linux: what `resource` tells of a
    new process counts the one that started it as well)."""
    code = (
        "import sys, time\nstart = time.perf_counter()\nfrom cli.assess import assess_file\n"
        "assess_file(sys.argv[1])\n"
        "seconds = time.perf_counter() - start\n"
        "print(seconds, *(x.split()[1] for x in open('/proc/self/status') if x.startswith('VmHWM')))"
    )
    run = subprocess.run([sys.executable, "-c", code, str(job)], capture_output=True, text=True, check=True)
    seconds, kilobytes = run.stdout.split()
    return float(seconds), float(kilobytes) / 1024


def main(gigabytes: float, largest: float) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        record = folder / "record.csv"
        rows = write_csv(record, gigabytes)
        job = write_job(folder, record)
        assess(job)
        parsing = min(parse_with_pyarrow(record) for _ in range(2))
        seconds, memory = assess(job)
        print(f"CSV of {record.stat().st_size / 1e9:.2f} GB, {rows} rows, 5 columns, {DETAILS} details, 16 bolts")
        print(f"  pyarrow alone {parsing:.1f} s, whole assessment {seconds:.1f} s: {seconds / parsing:.2f} times")
        print(f"  peak memory {memory:.0f} MB")
        record.unlink()
        print("  samples      seconds   ns per sample and detail   peak memory [MB]")
        samples = 100_000
        while samples <= largest:
            record = folder / "record.npy"
            write_npy(record, samples)
            seconds, memory = assess(write_job(folder, record))
            each = seconds / samples / DETAILS * 1e9
            print(f"  {samples:<12g} {seconds:7.2f}   {each:24.1f}   {memory:16.0f}", flush=True)
            record.unlink()
            samples *= 10


if __name__ == "__main__":
    given = [float(text) for text in sys.argv[1:]]
    main(*(given + [1.0, 1e8][len(given) :]))
    print(f"peak memory of the benchmark itself {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
