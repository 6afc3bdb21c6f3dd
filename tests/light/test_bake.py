"""Light from end to end: what the baked terms and the tone say about known bodies."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from preview.light.bake import bake
from preview.light.lightmap import Rig
from preview.light.tone import face_tone
from tests.sculpts import sculpt_of, sphere_mesh


def test_a_sphere_under_open_sky_has_each_tone_on_its_share() -> None:
    ball = sculpt_of(*sphere_mesh(15.0, 6))
    # A zone of a sphere has the area of its height (Archimedes, On the Sphere and Cylinder), and
    # tone is (1 + n_z) / 2: so tone in [low, high] has exactly the share high - low.
    rig = Rig("open sky", sky=1.0, key=0.0, spread=0.0)
    tone = face_tone(bake(ball, rig), rig, ball)
    for low, high in [(0.0, 0.3), (0.3, 0.45), (0.5, 0.9), (0.9, 1.0)]:
        inside = (tone >= low) & (tone <= high)
        share = ball.mm2[inside].sum() / ball.mm2.sum()
        # A ring of triangles at the zone's border counts or does not: 0.4 % of the sphere.
        assert share == pytest.approx(high - low, abs=0.004)


def test_all_terms_are_levels_hidden_faces_get_none_and_progress_is_told() -> None:
    post = trimesh.creation.capsule(height=20.0, radius=1.0)
    plain = sculpt_of(post.vertices, post.faces)
    exposed = plain.corners[:, :, 2].mean(axis=1) > 5
    sculpt = replace(plain, exposed=exposed)
    heard: list[tuple[str, int, int]] = []
    light = bake(
        sculpt, Rig("r", key=1.0, recess=1.0, edge=1.0), progress=lambda *said: heard.append(said)
    )
    assert heard[-1][1] == heard[-1][2]
    assert [done for _, done, _ in heard] == sorted(done for _, done, _ in heard)
    for name in ("sky", "key", "recess", "edge"):
        term = getattr(light, name)
        assert term.dtype == np.float32
        assert term.shape == (len(sculpt.faces),)
        assert 0 <= term.min() <= term.max() <= 1
        assert (term[~exposed] == 0).all()


def test_a_figure_that_lies_flat_bakes_too() -> None:
    sheet = trimesh.creation.box(extents=(9.0, 9.0, 1e-4))
    light = bake(sculpt_of(sheet.vertices, sheet.faces), Rig("r"))
    up = np.asarray(sheet.face_normals)[:, 2] > 0.9
    np.testing.assert_allclose(light.sky[up], 1.0, atol=1e-6)
