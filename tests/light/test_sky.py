"""Sky light against closed forms, and against thousands of rays per face on real figures."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import trimesh

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.light.directions import sky_directions
from preview.light.sky import sky_light
from preview.shape.rays import RayScene
from preview.shipped import shipped


def sky_of(body: trimesh.Trimesh, places: np.ndarray, normals: np.ndarray) -> np.ndarray:
    """The sky at places on a body, by the maps alone."""
    scene = RayScene(body.vertices, body.faces)
    return sky_light(places.astype(np.float32), normals.astype(np.float32), scene)


def own_sky(body: trimesh.Trimesh) -> np.ndarray:
    return sky_of(body, np.asarray(body.triangles_center), np.asarray(body.face_normals))


@pytest.mark.parametrize("subdivisions", [1, 4])
def test_a_sphere_gets_half_of_one_plus_the_normals_height(subdivisions: int) -> None:
    # The integral of cos+ over the half of the sky that a plane of normal n sees.
    ball = trimesh.creation.icosphere(subdivisions=subdivisions, radius=12.0)
    np.testing.assert_allclose(own_sky(ball), (1 + ball.face_normals[:, 2]) / 2, atol=1e-6)


def test_a_box_gets_all_on_top_half_on_its_walls_none_below() -> None:
    box = trimesh.creation.box(extents=(10.0, 6.0, 20.0))
    expected = {1.0: 1.0, 0.0: 0.5, -1.0: 0.0}
    for face, sky in enumerate(own_sky(box)):
        assert sky == pytest.approx(expected[round(box.face_normals[face, 2], 6)], abs=1e-6)


@pytest.mark.parametrize("depth_mm", [2.0, 6.0, 15.0])
def test_the_floor_of_a_round_pit_sees_a_disc(depth_mm: float) -> None:
    # From the middle of the floor the opening is a cone of half angle atan(r / h) round the
    # zenith: (1 / pi) times the integral of the cosine over it is r² / (r² + h²).
    radius = 5.0
    pit = trimesh.creation.annulus(r_min=radius, r_max=8.0, height=depth_mm, sections=256)
    floor = np.array([[0.0, 0.0, -depth_mm / 2]])
    got = sky_of(pit, floor, np.array([[0.0, 0.0, 1.0]]))[0]
    assert got == pytest.approx(radius**2 / (radius**2 + depth_mm**2), abs=0.015)


@pytest.mark.parametrize("away_mm", [1.0, 4.0, 9.0])
def test_a_wall_takes_its_form_factor(away_mm: float) -> None:
    # Lambert's form factor of the wall, integrated over it: cos cos / (pi d²), the wall facing
    # along x and the floor along z.
    from scipy.integrate import dblquad

    height, half = 8.0, 12.0
    blocked, _ = dblquad(
        lambda z, y: away_mm * z / (math.pi * (away_mm**2 + y**2 + z**2) ** 2),
        -half,
        half,
        0,
        height,
    )
    wall = trimesh.creation.box(
        extents=(1.0, 2 * half, height),
        transform=trimesh.transformations.translation_matrix([0.5, 0.0, height / 2]),
    )
    floor = trimesh.creation.box(extents=(12.0, 2 * half, 1.0))
    floor.apply_translation([-6.0, 0.0, -0.5])
    both = trimesh.util.concatenate([wall, floor])
    got = sky_of(both, np.array([[-away_mm, 0.0, 0.0]]), np.array([[0.0, 0.0, 1.0]]))[0]
    assert got == pytest.approx(1 - blocked, abs=0.02)


def test_a_roof_leaves_only_what_comes_in_from_the_side() -> None:
    # A disc overhead of radius r at height h takes r² / (r² + h²).
    radius, height = 6.0, 4.0
    roof = trimesh.creation.cylinder(radius=radius, height=0.2, sections=256)
    roof.apply_translation([0, 0, height + 0.1])
    floor = trimesh.creation.box(extents=(8.0, 8.0, 1.0))
    floor.apply_translation([0, 0, -0.5])
    got = sky_of(
        trimesh.util.concatenate([roof, floor]), np.zeros((1, 3)), np.array([[0.0, 0.0, 1.0]])
    )[0]
    assert got == pytest.approx(1 - radius**2 / (radius**2 + height**2), abs=0.02)


def test_directions_spread_evenly_over_the_upper_half() -> None:
    towards = sky_directions(128)
    np.testing.assert_allclose(np.linalg.norm(towards, axis=1), 1.0)
    assert towards[:, 2].min() > 0
    np.testing.assert_allclose(towards.mean(axis=0), [0, 0, 0.5], atol=5e-3)
    # Each has its own share of the hemisphere, 2 pi / 128: neighbours about 0.2 apart.
    gap = np.linalg.norm(towards[:, None] - towards[None], axis=2) + 9 * np.eye(128)
    assert gap.min(axis=1).min() > 0.12


def by_single_rays(sculpt: Sculpt, faces: np.ndarray, rays: int = 4096) -> np.ndarray:
    """The same integral by cosine-distributed rays from each face; error about 0.5 / sqrt(rays)."""
    scene = RayScene(sculpt.vertices, sculpt.faces)
    rng = np.random.default_rng(20)
    sky = np.empty(len(faces))
    for k, face in enumerate(faces):
        normal = sculpt.normal[face].astype(np.float64)
        helper = np.eye(3)[np.argmin(np.abs(normal))]
        across = np.cross(helper, normal)
        across /= np.linalg.norm(across)
        turn = rng.uniform(0, 2 * np.pi, rays)
        share = rng.random(rays)
        flat = np.sqrt(share)
        towards = (
            np.outer(flat * np.cos(turn), across)
            + np.outer(flat * np.sin(turn), np.cross(normal, across))
            + np.outer(np.sqrt(1 - share), normal)
        )
        towards = towards[towards[:, 2] > 0].astype(np.float32)
        start = sculpt.corners[face].mean(axis=0) + 1e-3 * normal
        origins = np.broadcast_to(start.astype(np.float32), towards.shape)
        sky[k] = (~scene.blocked(origins, towards)).sum() / rays
    return sky


def check_against_single_rays(sculpt: Sculpt) -> None:
    seen = np.flatnonzero(sculpt.exposed & (sculpt.mm2 > 0))
    faces = np.random.default_rng(5).permutation(seen)[:2000]
    centres = sculpt.corners[faces].mean(axis=1)
    scene = RayScene(sculpt.vertices, sculpt.faces)
    error = sky_light(centres, sculpt.normal[faces], scene) - by_single_rays(sculpt, faces)
    size = np.abs(error)
    assert size.mean() <= 0.01, size.mean()
    assert np.quantile(size, 0.99) <= 0.05, np.quantile(size, 0.99)
    assert abs(error.mean()) <= 0.005, error.mean()


def test_the_keeper_against_4096_rays_a_face() -> None:
    check_against_single_rays(load_sculpt(shipped("meshes", "keeper.glb")))


@pytest.mark.outside_meshes
def test_a_coarse_figure_by_others_against_4096_rays_a_face(
    outside_mesh: Callable[[str], Path],
) -> None:
    check_against_single_rays(load_sculpt(outside_mesh("rpg_mini_housecarl.stl")))
