"""OBJ with a group and a material for each area, and its MTL beside it.

Reference: "Object Files (.obj)" and "MTL material format", Wavefront, from memory.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from preview.areas.export.grouped import Grouped
from preview.optics.srgb_iec61966 import linear_from_srgb8

_BATCH = 50_000


def write_obj(path: Path, mesh: Grouped) -> None:
    """Write the OBJ at `path` and its materials as .mtl beside it, in mm, Z up."""
    # What follows a number sign is a comment in this format.
    words = [name.replace("#", "_") for name in mesh.names]
    with path.with_suffix(".mtl").open("w", encoding="utf-8", newline="\n") as out:
        for number, word in enumerate(words):
            red, green, blue = np.asarray(linear_from_srgb8(mesh.srgb8[number])).tolist()
            out.write(f"newmtl {word}\nKd {red:.5f} {green:.5f} {blue:.5f}\n")
    with path.open("w", encoding="utf-8", newline="\n") as out:
        out.write(f"# millimetres, Z up\nmtllib {path.stem}.mtl\n")
        for start in range(0, len(mesh.vertices), _BATCH):
            rows = mesh.vertices[start : start + _BATCH].tolist()
            out.write("".join(f"v {x:.9g} {y:.9g} {z:.9g}\n" for x, y, z in rows))
        for number, word in enumerate(words):
            own = mesh.faces[mesh.group == number] + 1
            if len(own):
                out.write(f"g {word}\nusemtl {word}\n")
            for start in range(0, len(own), _BATCH):
                corners = own[start : start + _BATCH].tolist()
                out.write("".join(f"f {a} {b} {c}\n" for a, b, c in corners))
