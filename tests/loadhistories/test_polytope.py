import itertools

import numpy as np
import pytest

from loadhistories.polytope import polytope_of


def box(rank):
    """Corners of a box from -1 to 1, and points inside it and on its faces."""
    rng = np.random.default_rng(rank)
    corners = np.array(list(itertools.product([-1.0, 1.0], repeat=rank))).T
    inside = rng.uniform(-1, 1, size=(rank, 2000))
    inside[rng.integers(0, rank, size=1000), np.arange(1000)] = 1.0 if rank > 1 else 0.5
    return corners, inside


@pytest.mark.parametrize("rank", range(1, 7))
def test_corners_of_a_box_are_needed_and_points_inside_and_on_its_faces_are_not(rank):
    corners, inside = box(rank)
    faces, centre, needed = polytope_of(np.concatenate([inside, corners], axis=1), 0)
    assert not np.any(needed[:2000])
    assert np.all(needed[2000:])
    assert not np.any(faces.excess(inside - centre)[0] > 0.0)


@pytest.mark.parametrize("rank", range(1, 7))
def test_a_point_outside_a_box_exceeds_a_face_by_its_distance(rank):
    corners, inside = box(rank)
    faces, centre, _ = polytope_of(np.concatenate([inside, corners], axis=1), 0)
    for axis, over in itertools.product(range(rank), [1e-12, 1e-6, 0.5, 1e3]):
        point = np.full((rank, 1), 0.3)
        point[axis] = -1.0 - over
        above, face = faces.excess(point - centre)
        assert above[0] == pytest.approx(over, rel=1e-9, abs=2e-13)
        assert faces.normals[face[0]] == pytest.approx(-np.eye(rank)[axis], abs=1e-12)


@pytest.mark.parametrize("rank", range(1, 7))
def test_points_known_before_are_kept_on_a_face_and_let_go_inside(rank):
    corners, _ = box(rank)
    before = np.zeros((rank, 2))
    before[0] = [1.0, 1.0 - 1e-6]
    needed = polytope_of(np.concatenate([before, corners], axis=1), 2)[2]
    assert needed[0] and not needed[1]


@pytest.mark.parametrize("rank", range(2, 7))
def test_points_that_make_no_body_make_no_polytope(rank):
    assert polytope_of(np.outer(np.ones(rank), [0.0, 1.0]), 0) is None
