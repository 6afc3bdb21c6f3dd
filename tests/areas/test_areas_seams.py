"""On a heavy mesh, of which a stand-in is analysed, seams are ragged by one face at most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.areas.analysis.standin import HEAVY
from preview.areas.marks.apply import MarkedFigure
from preview.areas.sculpt import Sculpt
from preview.shape.neighbours import neighbours_of
from tests.areas.marked_bodies import marks_of, point_mark
from tests.sculpts import sculpt_of, sphere_mesh

Floats = NDArray[np.float64]

# Askew, so that neither the crease nor the line between marks follows edges of the mesh.
AXIS = np.array([0.3, 0.2, 1.0]) / np.linalg.norm([0.3, 0.2, 1.0])
TOPS = np.array([[1.0, 0.2, 0.4], [-1.0, 0.1, 0.7]])
_RADIUS, _APART = 10.0, 6.0
_WINDOW = 6


@dataclass(frozen=True, eq=False)
class Peanut:
    """Two balls grown together, their crease a circle, with two marks on one and one on the other.

    side : (vertices,) mm from the plane of the crease.
    marked : (faces,) area after marks, 0 and 1 on the upper ball, 2 on the lower.
    merely_carried : the same as the stand-in's nearest faces have it.
    """

    sculpt: Sculpt
    side: Floats
    marked: NDArray[np.int32]
    merely_carried: NDArray[np.int32]


@pytest.fixture(scope="module")
def peanut() -> Peanut:
    directions, faces = sphere_mesh(1.0, 7)
    leaning = _APART * np.abs(directions @ AXIS)
    reach = leaning + np.sqrt(leaning**2 + _RADIUS**2 - _APART**2)
    sculpt = sculpt_of(directions * reach[:, None], faces)
    assert len(sculpt.faces) > HEAVY
    wanted = (*TOPS, -AXIS)
    spots = [sculpt.vertices[int(np.argmax(directions @ toward))] for toward in wanted]
    marks = marks_of(
        *(
            point_mark(name, (float(x), float(y), float(z)))
            for name, (x, y, z) in zip(("cap", "face", "coat"), spots, strict=True)
        )
    )
    figure = MarkedFigure(sculpt, marks)
    assert len(figure.analysis.surface.faces) < HEAVY
    marked = figure.apply(marks)
    rough = marked.carried.thin[figure.analysis.standing_in]
    return Peanut(sculpt, reach * (directions @ AXIS), marked.sculpt.area, rough)


def _astray(body: Peanut, area: NDArray[np.int32]) -> int:
    """How many faces lie wholly beyond the crease and have the area of the other side."""
    corners = body.side[body.sculpt.faces]
    above, below = (corners > 0).all(axis=1), (corners < 0).all(axis=1)
    return int(((above & (area == 2)) | (below & (area != 2))).sum())


def _raggedness(body: Peanut, area: NDArray[np.int32]) -> float:
    """How far the seam between the upper two areas strays from its own course, in faces.

    Its course at each place is the straight line that fits the seam for six edges either way;
    a face counts as wide as the longest edge there.
    """
    from scipy.spatial import cKDTree

    pairs = neighbours_of(body.sculpt.faces)
    meet = area[pairs.left] + area[pairs.right] == 1
    ends = body.sculpt.vertices[pairs.ends[meet]].astype(np.float64)
    edges = np.linalg.norm(ends[:, 0] - ends[:, 1], axis=1)
    line = np.unique(ends.reshape(-1, 3), axis=0)
    strays = []
    for place, near in zip(
        line, cKDTree(line).query_ball_point(line, _WINDOW * edges.mean()), strict=True
    ):
        course = line[near] - line[near].mean(axis=0)
        along = np.linalg.svd(course, full_matrices=False)[2][0]
        off = place - line[near].mean(axis=0)
        strays.append(np.linalg.norm(off - (off @ along) * along))
    return float(max(strays) / edges.max())


def test_a_seam_at_a_crease_runs_through_the_faces_that_the_crease_crosses(peanut: Peanut) -> None:
    assert _astray(peanut, peanut.marked) == 0


def test_a_seam_without_a_crease_strays_by_at_most_one_face(peanut: Peanut) -> None:
    assert _raggedness(peanut, peanut.marked) <= 1.0


def test_labels_that_are_merely_carried_over_would_be_more_ragged(peanut: Peanut) -> None:
    assert _astray(peanut, peanut.merely_carried) > 0
    assert _raggedness(peanut, peanut.merely_carried) > 1.0
