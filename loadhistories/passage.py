"""Passage: the force on a support while a machine starts, runs and stops, integrated over time.

The equation is that of the spring force s = k x: s'' + 2 zeta w s' + w^2 s = w^2 F(t); the support is given
s + 2 zeta s' / w. So neither the mass nor the stiffness is needed, only natural frequency and damping.
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loadhistories.exciters import DIRECTIONS, Harmonic, Strokes
from loadhistories.speedlaw import SpeedLaw
from loadhistories.support import Support, handed_on
from loadhistories.validation import InputError

Floats = NDArray[np.float64]
Supports = tuple[Support | None, Support | None]

# Relative tolerance of the integration; the absolute one is this share of the largest static force.
TOLERANCE = 1e-9


def steady_harmonics(harmonics: Sequence[Harmonic], supports: Supports, times: Floats) -> Floats:
    """Force on the support in each of DIRECTIONS, shape (2, n), when nothing of the start is left. [N]"""
    found = np.zeros((len(DIRECTIONS), len(times)))
    for item in harmonics:
        rate = 2.0 * math.pi * item.frequency
        for row, on in enumerate(supports):
            if item.weights[row]:
                share = item.weights[row] * item.amplitude * handed_on(item.frequency, on)
                found[row] += (share * np.exp(1j * (rate * times + item.phases[row]))).real
    return found


def steady_strokes(item: Strokes, supports: Supports, times: Floats) -> Floats:
    """Force on the support in each of DIRECTIONS, shape (2, n), of strokes that came for ever. [N]

    The state at the start of a stroke is that which one period brings back: exact, not waited for.
    """
    found = np.zeros((len(DIRECTIONS), len(times)))
    since = np.mod(times, item.period)
    since[since > item.period * (1.0 - 1e-12)] = 0.0
    for row, on in enumerate(supports):
        if not item.weights[row]:
            continue
        if on is None:
            found[row] += item.weights[row] * item.forces(times)
            continue
        _, once = _stroke(item, on, (0.0, 0.0), np.array([item.period]))
        state = np.linalg.solve(np.eye(2) - free_motion(on, item.period), once)
        instants, back = np.unique(since, return_inverse=True)
        values, _ = _stroke(item, on, tuple(state), instants)
        found[row] += item.weights[row] * values[back]
    return found


def passing_harmonics(harmonics: Sequence[Harmonic], supports: Supports, law: SpeedLaw, times: Floats) -> Floats:
    """Force on the support in each of DIRECTIONS, shape (2, n), from rest through a law of the speed. [N]

    Parameters
    ----------
    law : SpeedLaw
        For every shaft alike, as a share of its own running speed.
    times : array, shape (n,)
        Rising, from 0; after the law has ended the machine swings freely. [s]
    """
    found = np.zeros((len(DIRECTIONS), len(times)))
    for row, on in enumerate(supports):
        acting = [item for item in harmonics if item.weights[row]]
        if not acting:
            continue
        if on is None:
            found[row] = forces_of(acting, row, law, times)
            continue
        scale = sum(abs(item.weights[row]) * item.amplitude for item in acting)
        pieces = [
            (law.times[number], law.times[number + 1], _force_in(acting, row, law, number))
            for number in range(len(law.times) - 1)
        ]
        if times[-1] > law.span:
            pieces.append((law.span, float(times[-1]), None))
        found[row], _ = integrated(on, pieces, times, scale=scale)
    return found


def passing_strokes(item: Strokes, supports: Supports, number: int, times: Floats, *, begins: float = 0.0) -> Floats:
    """Force on the support in each of DIRECTIONS, shape (2, n), of a number of strokes from rest. [N]"""
    found = np.zeros((len(DIRECTIONS), len(times)))
    for row, on in enumerate(supports):
        if not item.weights[row]:
            continue
        if on is None:
            inside = (times >= begins) & (times < begins + number * item.period)
            found[row, inside] = item.weights[row] * item.forces(times[inside] - begins)
            continue
        pieces = [(0.0, begins, None)] if begins > 0.0 else []
        for stroke in range(number):
            start = begins + stroke * item.period
            pieces += _stroke_pieces(item, start)
            pieces.append((start + item.duration, start + item.period, None))
        end = begins + number * item.period
        if times[-1] > end:
            pieces.append((end, float(times[-1]), None))
        values, _ = integrated(on, pieces, times, scale=abs(item.force))
        found[row] = item.weights[row] * values
    return found


def forces_of(harmonics: Sequence[Harmonic], row: int, law: SpeedLaw, times: Floats) -> Floats:
    """Force on the machine itself in one direction over a law of the speed, 0 once it stands. [N]"""
    share, rate, turned = law.at(np.minimum(times, law.span))
    found = np.zeros_like(times)
    for item in harmonics:
        full = 2.0 * math.pi * float(item.turns)
        angle = item.order * full * turned + item.phases[row]
        part = (full * share) ** 2 * np.cos(angle) + full * rate / item.order * np.sin(angle)
        found += item.weights[row] * item.unbalance / 1000.0 * part
    found[times > law.span] = 0.0
    return found


def free_motion(on: Support, time: float | Floats) -> Floats:
    """What becomes of spring force and its rate in free vibration over a time [s], shape (2, 2) or (2, 2, n)."""
    decay = on.damping * on.rate
    swing = on.rate * math.sqrt(1.0 - on.damping**2)
    cosine, sine = np.cos(swing * time), np.sin(swing * time) / swing
    matrix = [[cosine + decay * sine, sine], [-(on.rate**2) * sine, cosine - decay * sine]]
    return np.exp(-decay * time) * np.array(matrix)


def integrated(
    on: Support,
    pieces: Sequence[tuple[float, float, Callable[[float], float] | None]],
    times: Floats,
    *,
    scale: float,
    state: tuple[float, float] = (0.0, 0.0),
) -> tuple[Floats, Floats]:
    """Force on the support at some instants [N], and spring force and its rate at the end.

    Parameters
    ----------
    pieces : sequence of (float, float, callable or None)
        Start and end [s] and the force on the machine in between [N], smooth within a piece; None where it is free.
    times : array, shape (n,)
        Rising; within the pieces. [s]
    scale : float
        Size of the forces, for the tolerance. [N]
    state : (float, float)
        Spring force [N] and its rate [N/s] at the start.
    """
    found = np.zeros(len(times))
    first = 0
    for place, (start, end, force) in enumerate(pieces):
        last = len(times) if place == len(pieces) - 1 else int(np.searchsorted(times, end, side="left"))
        wanted = np.clip(times[first:last], start, end)
        values, state = _over_piece(on, start, end, force, wanted, state, scale)
        found[first:last] = values[0] + 2.0 * on.damping / on.rate * values[1]
        first = last
    return found, np.array(state)


def _over_piece(on: Support, start: float, end: float, force, wanted: Floats, state, scale: float):
    """Spring force and its rate at the wanted instants of one piece, and at its end."""
    if force is None:
        values = np.einsum("ijk,j->ik", free_motion(on, wanted - start), np.array(state))
        return values, tuple(free_motion(on, end - start) @ state)
    from scipy.integrate import solve_ivp

    stiffness, drag = on.rate**2, 2.0 * on.damping * on.rate

    def slope(time: float, now) -> tuple[float, float]:
        return now[1], stiffness * (force(time) - now[0]) - drag * now[1]

    solution = solve_ivp(
        slope, (start, end), state, method="DOP853", rtol=TOLERANCE,
        atol=[TOLERANCE * scale, TOLERANCE * scale * on.rate],
        t_eval=np.append(wanted, end) if not len(wanted) or wanted[-1] < end else wanted,
    )  # fmt: skip
    if not solution.success:
        raise InputError(f"the passage from {start:g} s to {end:g} s could not be integrated: {solution.message}")
    return solution.y[:, : len(wanted)], tuple(solution.y[:, -1])


def _force_in(harmonics: Sequence[Harmonic], row: int, law: SpeedLaw, number: int) -> Callable[[float], float]:
    """The force on the machine in one direction, in one piece of a law of the speed. [N]"""
    start, share, rate, turned = law.piece(number)
    terms = []
    for item in harmonics:
        full = 2.0 * math.pi * float(item.turns)
        size = item.weights[row] * item.unbalance / 1000.0
        terms.append((size * full**2, size * full * rate / item.order, item.order * full, item.phases[row]))

    def force(time: float) -> float:
        since = time - start
        now = share + rate * since
        angle_time = turned + since * (share + 0.5 * rate * since)
        total = 0.0
        for square, along, order_rate, phase in terms:
            angle = order_rate * angle_time + phase
            total += square * now * now * math.cos(angle) + along * math.sin(angle)
        return total

    return force


def _stroke(item: Strokes, on: Support, state: tuple[float, float], instants: Floats):
    """Force on the support, of a stroke of full weight, at instants of one period; and the state at its end."""
    pieces = [*_stroke_pieces(item, 0.0), (item.duration, item.period, None)]
    return integrated(on, pieces, instants, scale=abs(item.force), state=state)


def _stroke_pieces(item: Strokes, begins: float) -> list[tuple[float, float, Callable[[float], float]]]:
    knots = item.knots
    return [
        (begins + first, begins + last, lambda time, piece=piece: item.push(time - begins, piece))
        for piece, (first, last) in enumerate(pairwise(knots))
    ]
