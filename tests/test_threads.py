"""The same job by one and by many threads, to the last bit; in pieces of any size, but for rounding."""

import math
import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cli import assess
from cli.job import read_job

JOBS = Path(__file__).parent / "jobs"
NAMES = ("recalculated_en1993.toml", "recalculated_as4100.toml", "recalculated_aisc360.toml")


def in_pieces(load, size):
    """The load with chunks of so many instants."""
    whole = np.concatenate(list(load.block.chunks()), axis=1)

    def chunks():
        for start in range(0, whole.shape[1], size):
            yield whole[:, start : start + size].copy()

    return replace(load, block=replace(load.block, chunks=chunks))


def differences(one, other, path=""):
    """Where two contracts differ by more than the rounding of a product of matrices of another shape."""
    if isinstance(one, dict) and isinstance(other, dict) and list(one) == list(other):
        return [text for key in one for text in differences(one[key], other[key], f"{path}/{key}")]
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        pairs = enumerate(zip(one, other, strict=True))
        return [text for i, pair in pairs for text in differences(*pair, f"{path}/{i}")]
    if isinstance(one, float) and isinstance(other, float):
        return [] if math.isclose(one, other, rel_tol=1e-12, abs_tol=1e-9) else [f"{path}: {one} {other}"]
    return [] if one == other else [f"{path}: {one} {other}"]


@pytest.fixture(params=NAMES)
def job(request):
    return read_job(JOBS / request.param)


@pytest.mark.parametrize("threads", [1, 3])
def test_contract_is_the_same_whatever_the_number_of_threads(job, threads, monkeypatch):
    alone = assess.assess_job(job)
    monkeypatch.setattr(assess, "SHARED_FROM", 0)
    monkeypatch.setattr(os, "cpu_count", lambda: threads)
    assert assess.assess_job(job) == alone


@pytest.mark.parametrize("size", [1, 4])
def test_contract_is_the_same_in_pieces_of_any_size_on_several_threads(job, size, monkeypatch):
    whole = assess.assess_job(job)
    pieces = replace(job, loads=tuple(in_pieces(load, size) for load in job.loads))
    monkeypatch.setattr(assess, "SHARED_FROM", 0)
    assert differences(assess.assess_job(pieces), whole) == []
