"""How long the light of a large mesh takes, term by term; prints seconds and peak memory.

    python tests/bench/bake_light.py [MESH]

Without a mesh: the keeper with every face cut into nine, about 1.4 million faces.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from large_mesh import write_large_stl

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.light.directions import direction_of
from preview.light.key import key_light
from preview.light.lightmap import LightMap
from preview.light.relief import relief
from preview.light.rigs import DEFAULT_RIG, RIGS
from preview.light.sky import sky_light
from preview.light.tone import corner_tone, face_tone
from preview.shape.rays import RayScene
from preview.shape.triangles import middles


@contextmanager
def timed(name: str) -> Iterator[None]:
    """Print how long a block took, by the clock and by the processor."""
    wall, work = time.perf_counter(), time.process_time()
    yield
    wall, work = time.perf_counter() - wall, time.process_time() - work
    sys.stdout.write(f"{name:14} {wall:6.2f} s, {work:6.2f} s of work\n")


def load(path: str | None) -> Sculpt:
    """The mesh named, or the large keeper."""
    if path is not None:
        return load_sculpt(Path(path))
    with tempfile.TemporaryDirectory() as folder:
        mesh = Path(folder) / "large.stl"
        write_large_stl(mesh)
        return load_sculpt(mesh)


def main() -> None:
    """Bake the usual rig's terms one by one."""
    sculpt = load(sys.argv[1] if len(sys.argv) > 1 else None)
    rig = RIGS[DEFAULT_RIG]
    sys.stdout.write(f"{len(sculpt.faces)} faces\n")
    vertices, faces, normals, sizes = sculpt.vertices, sculpt.faces, sculpt.normal, sculpt.mm2
    with timed("ray scene"):
        scene = RayScene(vertices, faces)
    centres = middles(vertices, faces)
    with timed("sky"):
        sky = sky_light(centres, normals, scene)
    with timed("key"):
        towards = direction_of(rig.key_azimuth_deg, rig.key_elevation_deg)
        key = key_light(centres, normals, scene, towards)
    with timed("recess, edge"):
        recess, edge = relief(vertices, faces, normals, sizes, rig.relief_mm)
    with timed("face tone"):
        tone = face_tone(LightMap(sky, key, recess, edge), rig, sculpt)
    with timed("corner tone"):
        corner_tone(tone, sculpt)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    sys.stdout.write(f"peak memory {peak:.2f} GB, loading included\n")


if __name__ == "__main__":
    main()
