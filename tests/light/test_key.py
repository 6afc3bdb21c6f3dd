"""The key light: cosine, and a shadow where geometry says."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from preview.light.directions import direction_of
from preview.light.key import key_light
from preview.shape.rays import RayScene


@pytest.mark.parametrize(
    ("azimuth", "elevation", "expected"),
    [
        (0, 0, [0, -1, 0]),
        (90, 0, [1, 0, 0]),
        (0, 90, [0, 0, 1]),
        (180, -45, [0, 0.70711, -0.70711]),
    ],
)
def test_angles_say_where_the_light_stands(
    azimuth: float, elevation: float, expected: list[float]
) -> None:
    np.testing.assert_allclose(direction_of(azimuth, elevation), expected, atol=1e-5)


def test_a_sphere_gets_the_cosine_and_its_far_side_nothing() -> None:
    ball = trimesh.creation.icosphere(subdivisions=4, radius=9.0)
    towards = direction_of(35.0, 40.0)
    key = key_light(
        ball.triangles_center.astype(np.float32),
        ball.face_normals.astype(np.float32),
        RayScene(ball.vertices, ball.faces),
        towards,
    )
    np.testing.assert_allclose(key, np.maximum(ball.face_normals @ towards, 0), atol=1e-5)


def test_a_post_casts_a_shadow_as_long_as_the_light_is_low() -> None:
    height, elevation = 5.0, 40.0
    post = trimesh.creation.box(extents=(2.0, 1.0, height))
    post.apply_translation([0, 0, height / 2])
    along = np.arange(0.6, 12.0, 0.01)
    floor = np.stack([np.zeros_like(along), along, np.zeros_like(along)], axis=1)
    up = np.tile([0.0, 0.0, 1.0], (len(floor), 1))
    key = key_light(
        floor.astype(np.float32),
        up.astype(np.float32),
        RayScene(post.vertices, post.faces),
        direction_of(0.0, elevation),
    )
    # The light comes from -y; the shadow of the far top edge ends at 0.5 + h / tan(elevation).
    end = 0.5 + height / np.tan(np.radians(elevation))
    assert (key[along < end - 0.02] == 0).all()
    np.testing.assert_allclose(key[along > end + 0.02], np.sin(np.radians(elevation)), atol=1e-5)
