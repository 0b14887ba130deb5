"""Sends mutants through one door for as long as it is told; what a door must not do is kept as a file.

By hand: `python tests/fuzz/run.py DOOR --inputs 10000 --seed 1`; DOOR is one of `DOORS`. Mutants of bytes follow the
coverage of the code where atheris is installed (`pip install '.[fuzz]'`), and chance alone otherwise or with --chance.
"""

import argparse
import sys
import tempfile
import time
import traceback
from collections import Counter
from functools import partial
from pathlib import Path

HERE = Path(__file__).parent
RECORDS = (".csv", ".csv.gz", ".parquet", ".npy", ".mat", ".h5", ".feather")
TABLES = ("counted", "events", "density", "duty", "rates", "rows")
DOORS = ("values", "jobs", "toml", *TABLES, *(f"record{end}" for end in RECORDS))
LEAST_MEMORY = 8000


class Tally:
    """Counts outcomes, and keeps the first inputs of each kind of finding."""

    def __init__(self, kept: Path):
        self.outcomes, self.findings = Counter(), Counter()
        self.slowest, self._kept, self._start = 0.0, kept, time.monotonic()

    def take(self, door, content) -> None:
        """Send one input through a door."""
        begun = time.monotonic()
        try:
            self.outcomes[str(door(content))] += 1
        except Exception as fault:
            self._keep(fault, content)
        took = time.monotonic() - begun
        if took > max(2.0, self.slowest):
            self._write(f"slow_{took:.0f}s", content)
        self.slowest = max(self.slowest, took)

    def _keep(self, fault: Exception, content) -> None:
        frames = [frame for frame in traceback.extract_tb(fault.__traceback__) if "fuzz" not in frame.filename]
        ends = "/".join(f"{Path(frame.filename).name}:{frame.lineno}" for frame in frames[-2:])
        kind = f"{type(fault).__name__}-{ends or str(fault)[:40]}"
        self.findings[kind] += 1
        if self.findings[kind] == 1:
            path = self._write(kind, content)
            print(f"finding {kind}: {str(fault)[:300]} ({path})", flush=True)

    def _write(self, kind: str, content) -> Path:
        self._kept.mkdir(parents=True, exist_ok=True)
        path = self._kept / "".join(letter if letter.isalnum() or letter in "._-" else "_" for letter in kind)[:120]
        if not isinstance(content, bytes):
            from cli.compare_toml import toml_text

            content = toml_text(content).encode("utf-8")
        path.write_bytes(content)
        return path

    def tell(self) -> None:
        """Print what was found."""
        seconds = time.monotonic() - self._start
        total = sum(self.outcomes.values()) + sum(self.findings.values())
        print(f"{total} inputs in {seconds:.0f} s, slowest {self.slowest:.2f} s: {dict(self.outcomes)}", flush=True)
        print(f"findings: {dict(self.findings)}", flush=True)


def door_of(name: str, folder: Path):
    """The door of a name, as a function of one input, and the seeds of its inputs."""
    import doors
    import seeds

    if name in ("jobs", "toml"):
        door = doors.job_of_bytes if name == "jobs" else doors.read_bytes
        return partial(door, folder), seeds.jobs()
    if name.startswith("record"):
        ending = name.removeprefix("record")
        options = {"rate": "10 Hz"} if ending in (".npy", ".mat", ".h5") else {}
        text = ending.startswith(".csv")
        return partial(doors.record_of_bytes, folder, ending, **options), seeds.TEXT if text else seeds.binary(ending)
    return doors.table_door(name, folder)


def by_chance(tally: Tally, name: str, folder: Path, inputs: int, seed: int) -> None:
    """Mutants by chance."""
    import doors
    import mutants
    import seeds

    if name == "values":
        made = mutants.Mutants(mutants.sound_jobs(), seed)
        door = partial(doors.job_of_values, folder, notes=True)
    else:
        door, held = door_of(name, folder)
        made = seeds.ByteMutants(held, seed)
    for number in range(1, inputs + 1):
        tally.take(door, made.next())
        if number % 500 == 0:
            tally.tell()


def by_coverage(tally: Tally, name: str, folder: Path, inputs: int, seed: int) -> None:
    """Mutants that atheris leads to code which no other has reached."""
    import atheris

    with atheris.instrument_imports(include=["cli", "slip", "fatigue", "loadhistories"]):
        door, held = door_of(name, folder)
        for content in held:
            # Loads what is imported where it is first used, so that it is led by its coverage as well.
            tally.take(door, content)
    corpus = folder / "corpus"
    corpus.mkdir()
    for number, content in enumerate(held):
        (corpus / f"{number}").write_bytes(content)
    left = [inputs]

    def one(content: bytes) -> None:
        tally.take(door, content)
        left[0] -= 1
        if left[0] % 5000 == 0:
            tally.tell()

    asked = [f"-runs={inputs + 1}", f"-seed={seed}", "-max_len=20000", "-timeout=60", "-rss_limit_mb=0"]
    atheris.Setup(["fuzz", *asked, str(corpus)], one)
    atheris.Fuzz()


def main() -> None:
    sys.path[:0] = [str(HERE), str(HERE.parent.parent)]
    from outcomes import limit_memory

    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("door", choices=DOORS)
    asked.add_argument("--inputs", type=int, default=10_000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--kept", type=Path, default=Path(tempfile.gettempdir()) / "griplife-findings")
    asked.add_argument("--chance", action="store_true", help="without coverage")
    given = asked.parse_args()
    limit_memory(LEAST_MEMORY)
    with tempfile.TemporaryDirectory() as scratch:
        import doors

        folder = doors.made_folder(Path(scratch) / "jobs")
        tally = Tally(given.kept / given.door)
        try:
            import atheris  # noqa: F401

            led = not given.chance and given.door != "values"
        except ImportError:
            led = False
        (by_coverage if led else by_chance)(tally, given.door, folder, given.inputs, given.seed)
        tally.tell()


if __name__ == "__main__":
    main()
