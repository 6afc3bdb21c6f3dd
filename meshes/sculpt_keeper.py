"""Sculpt the breakwater keeper and write it as GLB (named areas) and STL (one solid).

Without options it builds the shipped pair next to this file.  For every triangle at a
finer setting: ``python meshes/sculpt_keeper.py --voxel 0.08 --out build/keeper-fine``.
"""

import argparse
import sys
from pathlib import Path

import numpy as np
from keeper.build import MAX_VOXEL, MIN_VOXEL, build, say
from keeper.export import write_glb, write_stl
from keeper.figure import figure
from keeper.mend import absorb_specks

SHIPPED_VOXEL, SHIPPED_FACES = 0.11, 156_000


def _arguments(argv: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Sculpt the breakwater keeper.")
    parser.add_argument(
        "--voxel",
        type=float,
        help=f"cell size in mm, {MIN_VOXEL} to {MAX_VOXEL}; given, no triangle is thinned away "
        f"unless --faces asks for it (default: {SHIPPED_VOXEL} thinned to {SHIPPED_FACES} faces)",
    )
    parser.add_argument("--faces", type=int, help="thin the mesh to about this many faces")
    parser.add_argument("--out", type=Path, help="folder to write to (default: this script's)")
    args = parser.parse_args(argv)
    if args.voxel is not None and not MIN_VOXEL <= args.voxel <= MAX_VOXEL:
        parser.error(f"--voxel must lie between {MIN_VOXEL} and {MAX_VOXEL} mm")
    if args.faces is not None and args.faces < 5_000:
        parser.error("--faces must be at least 5000")
    return args


def main(argv: list[str] | None = None) -> int:
    """Build the figure and write both files."""
    args = _arguments(argv)
    voxel, faces = args.voxel, args.faces
    if voxel is None:
        voxel, faces = SHIPPED_VOXEL, faces or SHIPPED_FACES
    out = args.out or Path(__file__).resolve().parent
    parts = figure()
    mesh = build(parts, voxel, faces)
    areas = list(dict.fromkeys(part.area for part in parts))
    number = np.array([areas.index(part.area) for part in parts])[mesh.part]
    number = absorb_specks(mesh.faces, number)
    order = np.argsort(number, kind="stable")
    f = mesh.faces[order]
    v = mesh.vertices.astype(np.float32)
    groups = [(name, f[number[order] == n]) for n, name in enumerate(areas)]
    groups = [(name, tris) for name, tris in groups if len(tris)]
    out.mkdir(parents=True, exist_ok=True)
    write_stl(out / "keeper-single.stl", v, f)
    write_glb(out / "keeper.glb", v, groups)
    for name, tris in groups:
        say(f"{name:10s} {len(tris):9,} faces")
    say(f"{len(f):,} faces in {len(groups)} areas written to {out}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
