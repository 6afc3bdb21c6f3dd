"""How two renderers are held to each other."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import trimesh

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.render.rays import RayRenderer
from preview.render.seen import Renderer, Seen
from preview.render.view import View
from preview.shipped import shipped

BODIES = ("keeper", "torus in stripes", "cut box")


def sculpt_named(body: str, sculpt_of_body: Callable[..., Sculpt]) -> Sculpt:
    """One of BODIES."""
    if body == "keeper":
        return load_sculpt(shipped("meshes", "keeper.glb"))
    if body == "torus in stripes":
        ring = trimesh.creation.torus(9.0, 3.0, major_sections=200, minor_sections=80)
        return sculpt_of_body(
            ring, lambda at: np.floor((np.arctan2(at[:, 1], at[:, 0]) + 4) * 2).astype(int)
        )
    box = trimesh.creation.box(extents=(12.0, 7.0, 18.0))
    return sculpt_of_body(box, lambda at: (at[:, 2] > 0).astype(int))


def grid(seen: Seen, values: np.ndarray, nothing: float) -> np.ndarray:
    """Values of one sample per pixel as a picture."""
    whole = np.full(seen.view.width * seen.view.height, nothing)
    whole[seen.pixel] = values
    return whole.reshape(seen.view.height, seen.view.width)


def near_a_border(area: np.ndarray) -> np.ndarray:
    """Pixels within one pixel of an outline or of a border between areas."""
    wide = np.pad(area, 1, mode="edge")
    shifted = [
        wide[i : i + area.shape[0], j : j + area.shape[1]] for i in range(3) for j in range(3)
    ]
    return np.max(shifted, axis=0) != np.min(shifted, axis=0)


def depth_jumps(depth: np.ndarray, limit: float) -> np.ndarray:
    """Pixels within one pixel of an outline in front of other surface."""
    wide = np.pad(depth, 1, mode="edge")
    shifted = [
        wide[i : i + depth.shape[0], j : j + depth.shape[1]] for i in range(3) for j in range(3)
    ]
    return np.max(shifted, axis=0) - np.min(shifted, axis=0) > limit


def compare(
    renderer: Renderer, sculpt: Sculpt, view: View, record: Callable[[str, object], None]
) -> None:
    """Hold a renderer to the rays: same areas and depths but for a band along every border."""
    drawn = renderer.see(view)
    cast = RayRenderer(sculpt.vertices, sculpt.faces).see(view)
    area_drawn = grid(drawn, sculpt.area[drawn.face], -1)
    area_cast = grid(cast, sculpt.area[cast.face], -1)
    depth_drawn, depth_cast = grid(drawn, drawn.depth, 0.0), grid(cast, cast.depth, 0.0)
    # An outline before other surface: the depth changes by more than a slope of 80 degrees does.
    limit = view.mm_per_pixel * 2 * math.sqrt(2) * math.tan(math.radians(80))
    band = near_a_border(area_cast) | depth_jumps(depth_cast, limit)
    covered = (area_cast >= 0) | (area_drawn >= 0)
    kept = covered & ~band
    left_out = 1 - kept.sum() / covered.sum()
    record(
        f"{sculpt.name} from {view.azimuth_deg:g}: share within a pixel of a border",
        round(float(left_out), 4),
    )
    same = area_drawn[kept] == area_cast[kept]
    assert same.mean() >= 0.995, f"{same.mean():.4f} agree; {left_out:.3f} left out at borders"
    agree = kept & (area_drawn == area_cast)
    apart = np.abs(depth_drawn - depth_cast)[agree]
    assert (apart <= 0.02).mean() >= 0.9999, f"{apart.max()} mm; {left_out:.3f} left out"
    assert left_out < 0.6
    assert kept.sum() > 5000
