"""PLY with a colour for each face; the format knows no names, so they stand in comments.

Reference: Turk (1994), "The PLY polygon file format", from memory.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from preview.areas.export.grouped import Grouped

_FACE = np.dtype([("count", "u1"), ("corners", "<i4", 3), ("srgb8", "u1", 3)])


def write_ply(path: Path, mesh: Grouped) -> None:
    """Write a binary PLY in mm, Z up."""
    header = ["ply", "format binary_little_endian 1.0", "comment millimetres, Z up"]
    header += [f"comment area {mesh.hex(k)} {name}" for k, name in enumerate(mesh.names)]
    header += [f"element vertex {len(mesh.vertices)}"]
    header += [f"property float {axis}" for axis in "xyz"]
    header += [f"element face {len(mesh.faces)}", "property list uchar int vertex_indices"]
    header += [f"property uchar {colour}" for colour in ("red", "green", "blue")]
    rows = np.zeros(len(mesh.faces), _FACE)
    rows["count"] = 3
    rows["corners"] = mesh.faces
    rows["srgb8"] = mesh.srgb8[mesh.group]
    with path.open("wb") as out:
        out.write("\n".join([*header, "end_header", ""]).encode("utf-8"))
        out.write(np.ascontiguousarray(mesh.vertices, "<f4").tobytes() + rows.tobytes())
