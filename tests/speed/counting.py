"""Speed of counting, run by hand: python tests/speed/counting.py [samples]. Prints tables and asserts nothing.

All figures are in million samples a second, the best of several rounds that take turns, so that what else
the machine does falls on all alike; only ratios within one table mean something.
"""

import sys
import time

import numpy as np

from fatigue import counter
from fatigue.cycles import Bins, CycleCounter, count_cycles
from fatigue.kernel import COMPILED_FROM, compiled_kernel

ROUNDS = 12


class Cube:
    """A life curve of slope 3 without cut-off."""

    def damage(self, ranges, counts):
        return float((ranges * ranges * ranges * counts).sum())


def records(samples: int) -> dict[str, np.ndarray]:
    """White noise, narrow-band noise of 20 samples a cycle, and white noise on 30 levels."""
    rng = np.random.default_rng(1)
    time_steps = np.arange(samples)
    knots = np.arange(0, samples + 1000, 1000)
    envelope = np.interp(time_steps, knots, 2 + rng.normal(size=len(knots)))
    phase = np.interp(time_steps, knots, rng.normal(size=len(knots)))
    white = rng.normal(size=samples)
    return {
        "white": white,
        "narrow band": envelope * np.sin(2 * np.pi * time_steps / 20 + phase),
        "quantised": np.round(4 * white) / 4,
    }


def with_one_processor(run):
    """The same run, offered one processor."""

    def alone(values):
        offered = counter._processors
        counter._processors = lambda: 1
        try:
            return run(values)
        finally:
            counter._processors = offered

    return alone


def count_of_rainflow(values: np.ndarray | list[float]) -> None:
    """Every cycle by the rainflow package; it is about twice as fast on a list as on an array."""
    from rainflow import extract_cycles

    for _ in extract_cycles(values):
        pass


def arrays(values: np.ndarray) -> None:
    """Count and take the arrays of the cycles."""
    count = count_cycles(values)
    assert len(count.ranges) == len(count.means) == len(count.counts)


def damage(values: np.ndarray) -> None:
    """Only the damage on one curve."""
    count_cycles(values, keep="damage", curves=[Cube()]).damage()


def histogram(values: np.ndarray) -> None:
    """A histogram of some 100 x 100 cells."""
    count_cycles(values, keep="histogram", bins=Bins(0.1, 0.1))


RUNS = {
    "numpy.sum": np.sum,
    "count": count_cycles,
    "count, arrays": arrays,
    "count, 1 core": with_one_processor(count_cycles),
    "damage": damage,
    "histogram": histogram,
}


def seconds(run, values) -> float:
    """Wall time of one run."""
    start = time.perf_counter()
    run(values)
    return time.perf_counter() - start


def print_rates(samples: int) -> None:
    """Rates of every way of counting, and ratios to rainflow and to numpy.sum."""
    columns = ["rainflow", "of a list", *RUNS]
    print(f"{samples} samples, million samples a second")
    print(f"{'':12}", *(f"{name:>14}" for name in columns), f"{'/ rainflow':>14}", f"{'/ numpy.sum':>14}")
    for name, values in records(samples).items():
        best = dict.fromkeys(RUNS, np.inf)
        for _ in range(ROUNDS):
            for key, run in RUNS.items():
                best[key] = min(best[key], seconds(run, values))
        best["rainflow"] = seconds(count_of_rainflow, values)
        best["of a list"] = seconds(count_of_rainflow, values.tolist())
        rates = [samples / best[key] / 1e6 for key in columns]
        ratios = best["rainflow"] / best["count"], best["numpy.sum"] / best["count"]
        print(f"{name:12}", *(f"{rate:14.1f}" for rate in rates), *(f"{ratio:14.2f}" for ratio in ratios))


def print_growth(largest: int, details: int = 12) -> None:
    """Damage of several details in one pass over chunks: the cost for each sample and detail as it grows."""
    print(f"\n{details} details in chunks of 65536 samples, damage only, nanoseconds for each sample and detail")
    chunk = np.outer(np.linspace(0.5, 2, details), records(65_536)["narrow band"])
    samples = 100_000
    while samples <= largest:
        fed = CycleCounter(details, keep="damage", curves=[Cube()])
        start = time.perf_counter()
        for first in range(0, samples, chunk.shape[1]):
            fed.feed(chunk[:, : samples - first])
        fed.counts()
        taken = time.perf_counter() - start
        form = "compiled" if samples * details >= COMPILED_FROM else "plain"
        print(f"{samples:12} {form:10} {taken:8.3f} s {taken / samples / details * 1e9:8.2f} ns")
        samples *= 10


if __name__ == "__main__":
    number = int(float(sys.argv[1])) if len(sys.argv) > 1 else 10_000_000
    compiled_kernel()
    print_rates(number)
    print_growth(10 * number)
