"""Time the judge on about 1.3 million faces: geometry once, then eight schemes.

Run: python tests/bench/judge_large.py
"""

from __future__ import annotations

import sys
import time

import numpy as np

from preview.areas.sculpt import Placement, Sculpt
from preview.judge.colours import Colours
from preview.judge.judge import grade, measure_neighbours
from preview.optics.cie1976_lab import y_from_lightness

RINGS, AROUND, AREAS, SCHEMES = 640, 1024, 16, 8


def ribbed_body() -> Sculpt:
    """A lumpy spindle 32 mm tall whose areas are patches of a spiral."""
    turn = 2.0 * np.pi * np.arange(AROUND) / AROUND
    height = np.linspace(0.0, 1.0, RINGS + 1)
    grown = 2.0 + 6.0 * np.sin(np.pi * height)[:, None]
    lumps = 1.0 + 0.08 * np.sin(7.0 * turn + 25.0 * height[:, None]) + 0.02 * np.sin(40.0 * turn)
    z = np.broadcast_to(32.0 * height[:, None], lumps.shape)
    grid = np.stack([grown * lumps * np.cos(turn), grown * lumps * np.sin(turn), z], axis=2)
    here = np.arange((RINGS + 1) * AROUND).reshape(RINGS + 1, AROUND)
    beside = np.roll(here, -1, axis=1)
    low = np.stack([here[:-1], beside[:-1], beside[1:]], axis=2).reshape(-1, 3)
    high = np.stack([here[:-1], beside[1:], here[1:]], axis=2).reshape(-1, 3)
    faces = np.concatenate([low, high]).astype(np.int32)
    vertices = grid.reshape(-1, 3).astype(np.float32)
    middle = vertices[faces].mean(axis=1)
    angle = np.arctan2(middle[:, 1], middle[:, 0]) / (2.0 * np.pi)
    patch = np.floor(4.0 * (angle + middle[:, 2] / 32.0)) + 4 * np.floor(middle[:, 2] / 6.4)
    area = np.mod(patch, AREAS).astype(np.int32)
    return Sculpt(
        name="spindle",
        vertices=vertices,
        faces=faces,
        area=area,
        area_names=tuple(f"patch {k}" for k in range(AREAS)),
        source_face=np.arange(len(faces), dtype=np.int64),
        exposed=np.ones(len(faces), np.bool_),
        placement=Placement(1.0, "mm", "z", "made for a benchmark", 32.0),
        areas_from="parts",
    )


def main() -> None:
    """Print the times."""
    sculpt = ribbed_body()
    start, work = time.perf_counter(), time.process_time()
    meeting = measure_neighbours(sculpt, 1.0)
    took, worked = time.perf_counter() - start, time.process_time() - work
    sys.stdout.write(f"{len(sculpt.faces)} faces, {len(meeting.pairs)} pairs\n")
    sys.stdout.write(f"geometry {took:.2f} s, of processor {worked:.2f} s\n")
    random = np.random.default_rng(1)
    start = time.perf_counter()
    for _ in range(SCHEMES):
        lightness = random.uniform(20.0, 85.0, AREAS)
        lab = np.stack([lightness, 0.0 * lightness, 0.0 * lightness], axis=1)
        grade(meeting, Colours(y_from_lightness(lightness)[sculpt.area], lab[sculpt.area], lab))
    sys.stdout.write(f"each scheme {(time.perf_counter() - start) / SCHEMES:.3f} s\n")


if __name__ == "__main__":
    main()
