"""The plain loop that a user would write with trimesh and pyrender, to measure against.

Usage: python tests/bench/plain_loop.py MESH OUT_DIR [FRAMES]
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np


def main(path: Path, out: Path, frames: int = 36) -> None:
    """Load, colour each face by its height and slope, render lit frames, save them."""
    # pyrender chooses its platform at import, and still asks NumPy for a name that is gone.
    os.environ.setdefault("PYOPENGL_PLATFORM", "egl")
    vars(np).setdefault("infty", np.inf)
    import pyrender
    import trimesh
    from PIL import Image

    out.mkdir(parents=True, exist_ok=True)
    mesh = trimesh.load(path, force="mesh")
    slope = 0.5 + 0.5 * mesh.face_normals[:, 2:3]
    colours = np.clip(slope * np.array([[200, 140, 90]]), 0, 255).astype(np.uint8)
    mesh.visual.face_colors = np.column_stack([colours, np.full(len(colours), 255, np.uint8)])
    middle, size = mesh.bounds.mean(axis=0), float(np.ptp(mesh.bounds, axis=0).max())
    scene = pyrender.Scene(bg_color=[0.8, 0.8, 0.8, 1.0], ambient_light=[0.3, 0.3, 0.3])
    scene.add(pyrender.Mesh.from_trimesh(mesh, smooth=False))
    camera = scene.add(pyrender.PerspectiveCamera(yfov=np.radians(12.0)), pose=np.eye(4))
    light = scene.add(pyrender.DirectionalLight(intensity=3.0), pose=np.eye(4))
    renderer = pyrender.OffscreenRenderer(1000, 1000)
    for k in range(frames):
        pose = _pose(middle, size * 5.5, 2 * np.pi * k / frames)
        scene.set_pose(camera, pose)
        scene.set_pose(light, pose)
        colour, _ = renderer.render(scene)
        Image.fromarray(colour).save(out / f"frame-{k:03d}.png")


def _pose(middle: np.ndarray, distance: float, turn: float) -> np.ndarray:
    """A camera on a circle around the figure, level with its middle, Z up."""
    back = np.array([np.sin(turn), -np.cos(turn), 0.0])
    right = np.array([np.cos(turn), np.sin(turn), 0.0])
    pose = np.eye(4)
    pose[:3, 0], pose[:3, 1], pose[:3, 2] = right, np.cross(back, right), back
    pose[:3, 3] = middle + distance * back
    return pose


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), *map(int, sys.argv[3:4]))
