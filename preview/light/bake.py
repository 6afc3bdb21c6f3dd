"""Bake painted light: the raw terms of each face, which depend on sculpt and rig alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.light.directions import direction_of
from preview.light.key import key_light
from preview.light.lightmap import Levels, LightMap, Rig
from preview.light.relief import relief
from preview.light.sky import sky_light
from preview.progress import Progress, silent
from preview.shape.triangles import middles


def bake(sculpt: Sculpt, rig: Rig, progress: Progress = silent) -> LightMap:
    """The raw terms of painted light on each face.

    Parameters
    ----------
    sculpt : the figure.
    rig : only its key direction and relief scale matter here; weights and spread come later.
    progress : told of every batch of sky directions.

    Returns
    -------
    light : sky, key, recess and edge, each (faces,) float32 in [0, 1]; 0 on hidden faces, which
        no light reaches.
    """
    scene = sculpt.rays
    seen = np.flatnonzero(sculpt.exposed)
    centres = middles(sculpt.vertices, sculpt.faces[seen])
    normals = sculpt.normal[seen]
    towards = direction_of(rig.key_azimuth_deg, rig.key_elevation_deg)
    recess, edge = relief(
        sculpt.vertices, sculpt.faces[seen], normals, sculpt.mm2[seen], rig.relief_mm
    )
    terms = (
        sky_light(centres, normals, scene, progress=progress),
        key_light(centres, normals, scene, towards),
        recess,
        edge,
    )
    return LightMap(*(_on_all(term, seen, len(sculpt.faces)) for term in terms))


def _on_all(term: Levels, seen: NDArray[np.intp], faces: int) -> Levels:
    """The term on every face: as given on those seen, 0 on the others."""
    if len(seen) == faces:
        return term
    whole = np.zeros(faces, np.float32)
    whole[seen] = term
    return whole
