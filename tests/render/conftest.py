"""Bodies that the tests of cameras and renderers share."""

from __future__ import annotations

import os
from collections.abc import Callable

import numpy as np
import pytest
import trimesh

from preview.areas.sculpt import Placement, Sculpt
from preview.render.gl_probe import Probe, probe


@pytest.fixture(scope="session")
def sculpt_of_body() -> Callable[..., Sculpt]:
    """Makes a sculpt of a trimesh body, as it stands; areas by a function of face middles."""

    def make(
        body: trimesh.Trimesh, area_of: Callable[[np.ndarray], np.ndarray] | None = None
    ) -> Sculpt:
        faces = np.asarray(body.faces, dtype=np.int32)
        area = np.zeros(len(faces), np.int32)
        if area_of is not None:
            area = area_of(np.asarray(body.triangles_center)).astype(np.int32)
        return Sculpt(
            name="body",
            vertices=np.asarray(body.vertices, dtype=np.float32),
            faces=faces,
            area=area,
            area_names=tuple(f"area {k}" for k in range(int(area.max()) + 1)),
            source_face=np.arange(len(faces)),
            exposed=np.ones(len(faces), np.bool_),
            placement=Placement(1.0, "mm", "z", "made so", float(np.ptp(body.vertices[:, 2]))),
            areas_from="the test",
        )

    return make


@pytest.fixture(scope="session")
def gl_here() -> Probe:
    """What OpenGL can do here; skips where nothing works, but never in CI."""
    found = probe()
    if not found.works and os.environ.get("CI") != "true":
        pytest.skip(f"no OpenGL here: {found.tried}")
    assert found.works, f"CI must have OpenGL; tried {found.tried}"
    return found
