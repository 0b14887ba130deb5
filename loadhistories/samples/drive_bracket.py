"""The two records of the demo: a drive bracket in a transfer tower, starting and stopping, and running loaded.

Made from sums of sines without any random numbers, so that the files come out the same everywhere. The forces
are those of the drive alone; the logger was set to zero under the dead load.
"""

import numpy as np
from numpy.typing import NDArray

RATE = 100.0
HEADER = "Transfer tower, drive bracket C4: {what}\nsynthetic record made for demonstration, {rate:g} Hz\n"


def _hum(time: NDArray[np.float64], low: float, high: float, tones: int) -> NDArray[np.float64]:
    """Restless noise of unit standard deviation between two frequencies [Hz], from tones of scattered phase."""
    number = np.arange(tones)
    frequency = low * (high / low) ** ((number + 0.5) / tones) * (1 + 0.013 * np.sin(7.1 * number))
    phase = 2 * np.pi * (number * 0.6180339887 % 1.0)
    return np.sqrt(2 / tones) * np.sin(2 * np.pi * frequency[:, None] * time + phase[:, None]).sum(axis=0)


def _ramp(time: NDArray[np.float64], start: float, stop: float) -> NDArray[np.float64]:
    """Smooth step from 0 to 1 between two times."""
    x = np.clip((time - start) / (stop - start), 0.0, 1.0)
    return x * x * (3 - 2 * x)


def _ring(time: NDArray[np.float64], start: float, frequency: float, decay: float) -> NDArray[np.float64]:
    """Free vibration from `start` on, first swing upwards, dying out with the time constant `decay`."""
    after = np.maximum(time - start, 0.0)
    return np.exp(-after / decay) * np.sin(2 * np.pi * frequency * after)


def _running(time: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Vertical force and belt pull of the loaded drive about their means. [kN]"""
    feed = 1.1 * _hum(time, 0.03, 0.25, 9)
    drum = 1.4 * np.sin(2 * np.pi * 1.55 * time) + 0.5 * np.sin(2 * np.pi * 3.10 * time + 0.7)
    mesh = 0.35 * _hum(time, 9.0, 24.0, 17)
    return -feed - drum - mesh, 0.5 * feed + 0.35 * drum + 0.12 * _hum(time, 5.0, 21.0, 13)


def loaded_running(seconds: float = 120.0) -> NDArray[np.float64]:
    """Time [s], vertical force and belt pull [kN] of steady work, shape (3, n)."""
    time = np.arange(round(seconds * RATE)) / RATE
    vertical, pull = _running(time)
    return np.stack([time, -26.0 + vertical, 12.0 + pull])


def start_and_stop(seconds: float = 90.0) -> NDArray[np.float64]:
    """Time [s], vertical force and belt pull [kN] of one start, a short run and one braked stop, shape (3, n)."""
    time = np.arange(round(seconds * RATE)) / RATE
    working = _ramp(time, 6.0, 9.5) * (1 - _ramp(time, 68.0, 71.0))
    vertical, pull = _running(time)
    start = -20.0 * _ring(time, 9.1, 1.9, 1.6)
    brake = 27.0 * _ring(time, 70.7, 2.3, 1.2)
    rest = 0.05 * _hum(time, 4.0, 30.0, 19)
    return np.stack(
        [
            time,
            working * (-26.0 + vertical) + start + brake + rest,
            working * (12.0 + pull) - 0.3 * start - 0.2 * brake + 0.6 * rest,
        ]
    )


RECORDS = {
    "drive_bracket_running.csv": (loaded_running, "loaded running"),
    "drive_bracket_start_stop.csv": (start_and_stop, "one start and stop"),
}


def record_text(table: NDArray[np.float64], what: str) -> str:
    """The record as a logger would write it: two lines of preamble, names, units, rows."""
    # Adding 0.0 turns a rounded -0.0 into 0.0.
    rows = "\n".join(",".join(f"{round(value, 2) + 0.0:.2f}" for value in row) for row in table.T)
    return f"{HEADER.format(what=what, rate=RATE)}Time,Vertical,Belt pull\ns,kN,kN\n{rows}\n"
