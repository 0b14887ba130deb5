"""The kernel that closes cycles: plain and compiled alike, work in proportion to the length, one notice."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import fatigue
from fatigue.kernel import FLOOR, close_cycles, compiled_kernel, empty_stack, plain_kernel
from fatigue.turning import turning_points


def dolls(depth: int) -> np.ndarray:
    """Ranges nested in each other: growing to twice the depth, then shrinking."""
    steps = np.arange(2 * depth)
    return np.where(steps % 2, 1.0, -1.0) * np.minimum(steps, steps[::-1])


def closed_by(kernel, points: np.ndarray) -> list[bytes]:
    stack, (ranges, means) = empty_stack(len(points)), np.zeros((2, len(points)))
    size, closed = kernel.close(points, len(points), stack, FLOOR, ranges, means)
    return [array.tobytes() for array in (stack[FLOOR:size], ranges[:closed], means[:closed])]


@pytest.mark.parametrize("depth", [0, 1, 2, 10_000])
def test_plain_and_compiled_close_the_same_cycles_to_the_bit(depth):
    rng = np.random.default_rng(depth)
    for values in (dolls(depth), dolls(depth)[::-1], rng.normal(size=3 * depth), rng.integers(-3, 4, depth) / 8):
        points = turning_points(values)
        assert closed_by(plain_kernel(), points) == closed_by(compiled_kernel(), points)


class Counted(list):
    """A list that counts how often it is read."""

    reads = 0

    def __getitem__(self, place):
        Counted.reads += 1
        return super().__getitem__(place)


def reads_of(values: np.ndarray) -> int:
    points = Counted(turning_points(values).tolist())
    stack, ranges, means = Counted(empty_stack(len(points)).tolist()), [0.0] * len(points), [0.0] * len(points)
    Counted.reads = 0
    close_cycles(points, len(points), stack, FLOOR, ranges, means)
    return Counted.reads


@pytest.mark.parametrize("depth", [10, 100, 10_000])
def test_work_is_bounded_by_the_length_however_deep_cycles_are_nested(depth):
    rising_and_falling = dolls(depth)
    growing, shrinking = np.split(rising_and_falling, 2)
    for values in (rising_and_falling, growing, shrinking, np.tile(growing, 3), np.concatenate((shrinking, growing))):
        # one read for each point, two for each cycle closed, and at most one cycle for every two points
        assert reads_of(values) <= 3 + 2 * len(values)


SCRIPT = "from fatigue.kernel import compiled_kernel; compiled_kernel(); compiled_kernel()"


def test_the_first_compilation_is_told_once_and_code_from_the_cache_is_not(tmp_path):
    room = Path(fatigue.__file__).parents[1]
    environment = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path), "PYTHONPATH": str(room)}
    runs = [
        subprocess.run([sys.executable, "-c", SCRIPT], env=environment, capture_output=True, text=True, check=True)
        for _ in range(2)
    ]
    assert [run.stdout for run in runs] == ["", ""]
    assert runs[0].stderr.splitlines() == ["compiling the loops for long histories (kept for the next run)"]
    assert runs[1].stderr == ""


def test_a_short_count_does_not_load_the_compiler():
    script = "import sys; from fatigue.cycles import count_cycles as c; c(range(1000)); print('numba' in sys.modules)"
    environment = {**os.environ, "PYTHONPATH": str(Path(fatigue.__file__).parents[1])}
    run = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True)
    assert run.stdout == "False\n"
