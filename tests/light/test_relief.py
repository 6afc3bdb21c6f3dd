"""Recess and edge: none on a plane, full at a right angle, the same for any triangles."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from preview.light.relief import relief

SCALE = 0.4


def terms(body: trimesh.Trimesh, scale: float = SCALE) -> tuple[np.ndarray, np.ndarray]:
    return relief(
        body.vertices.astype(np.float32),
        body.faces.astype(np.int32),
        body.face_normals.astype(np.float32),
        body.area_faces.astype(np.float32),
        scale,
    )


def fine(body: trimesh.Trimesh, longest: float) -> trimesh.Trimesh:
    return body.subdivide_to_size(longest)


def hollow_box() -> trimesh.Trimesh:
    """A box turned inside out: each of its edges is an inner corner."""
    box = trimesh.creation.box(extents=(6.0, 6.0, 6.0))
    box.invert()
    return fine(box, 0.15)


def to_nearest_edge(places: np.ndarray) -> np.ndarray:
    """How far places on the cube of side 6 lie from the nearest of its edges."""
    return np.sort(3.0 - np.abs(places), axis=1)[:, 1]


def test_a_plane_has_neither() -> None:
    tilt = trimesh.transformations.rotation_matrix(0.7, [1, 2, 3])
    sheet = trimesh.creation.box(extents=(9.0, 9.0, 5.0), transform=tilt)
    sheet = fine(sheet, 0.3)
    flat = trimesh.transform_points(sheet.triangles_center, np.linalg.inv(tilt))
    inner = np.sort([4.5, 4.5, 2.5] - np.abs(flat), axis=1)[:, 1] > 3 * SCALE
    recess, edge = terms(sheet)
    assert inner.sum() > 500
    assert recess[inner].max() == 0
    assert edge[inner].max() == 0


def test_outer_edges_are_edges_and_inner_corners_are_recesses_alike() -> None:
    box = fine(trimesh.creation.box(extents=(6.0, 6.0, 6.0)), 0.15)
    near = to_nearest_edge(box.triangles_center) < 0.06
    recess, edge = terms(box)
    assert edge[near].mean() > 0.75
    assert recess.max() == 0
    pit = hollow_box()
    inside = to_nearest_edge(pit.triangles_center) < 0.06
    recess, edge = terms(pit)
    assert recess[inside].mean() > 0.75
    assert edge.max() == 0


@pytest.mark.parametrize("scale", [0.3, 0.6])
def test_the_band_along_an_edge_is_as_wide_as_the_scale(scale: float) -> None:
    box = fine(trimesh.creation.box(extents=(6.0, 6.0, 6.0)), 0.12)
    _, edge = terms(box, scale)
    reach = to_nearest_edge(box.triangles_center)
    # Half the weight's width (a quarter of the scale) still feels the edge, twice it does not.
    assert edge[reach < scale / 4].mean() > 0.4
    assert edge[reach > 1.6 * scale].max() == 0


def test_finer_triangles_change_little() -> None:
    coarse = fine(trimesh.creation.box(extents=(6.0, 6.0, 6.0)), 0.5)
    finer = coarse.subdivide().subdivide()
    _, edge = terms(coarse)
    _, edge_finer = terms(finer)
    # Four, then sixteen faces stand for one; the mean over them against the coarse face's own,
    # where the face is small against the band, that is in the mean over all of them.
    size, size_finer = coarse.area_faces, finer.area_faces
    mean = float((edge * size).sum() / size.sum())
    mean_finer = float((edge_finer * size_finer).sum() / size_finer.sum())
    assert mean == pytest.approx(mean_finer, abs=0.02)


def test_a_thin_sheet_is_no_ridge_but_its_rim_is() -> None:
    sheet = fine(trimesh.creation.box(extents=(8.0, 8.0, 0.3)), 0.2)
    recess, edge = terms(sheet)
    place = sheet.triangles_center
    broad = (np.abs(sheet.face_normals[:, 2]) > 0.9) & (np.abs(place[:, :2]).max(axis=1) < 3)
    assert edge[broad].max() < 0.02
    assert recess[broad].max() < 0.02
    assert edge[np.abs(place[:, :2]).max(axis=1) > 3.95].mean() > 0.5


def test_rounder_is_weaker() -> None:
    means = []
    for radius in (0.3, 1.0, 4.0):
        ball = trimesh.creation.icosphere(subdivisions=5, radius=radius)
        recess, edge = terms(ball)
        assert recess.max() == 0
        means.append(float(edge.mean()))
    assert means[0] > means[1] > means[2]
    assert means[2] < 0.02


def test_a_part_that_stands_on_another_makes_a_recess_without_a_shared_edge() -> None:
    slab = fine(trimesh.creation.box(extents=(8.0, 8.0, 1.0)), 0.15)
    post = fine(trimesh.creation.box(extents=(2.0, 2.0, 4.0)), 0.15)
    post.apply_translation([0, 0, 2.5])
    both = trimesh.util.concatenate([slab, post])
    # Faces inside the joint see nothing, and are left out as hidden faces are.
    place = both.triangles_center
    joint = (np.abs(place[:, 2] - 0.5) < 1e-6) & (np.abs(place[:, :2]).max(axis=1) < 1.0)
    shown = both.submesh([np.flatnonzero(~joint)], append=True, repair=False)
    recess, _ = terms(shown)
    place = shown.triangles_center
    beside = np.abs(np.abs(place[:, :2]).max(axis=1) - 1.0) < 0.06
    foot = beside & (np.abs(place[:, 2] - 0.5) < 0.06)
    assert foot.sum() > 50
    assert recess[foot].mean() > 0.6
