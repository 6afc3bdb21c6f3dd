"""A figure of about 1.4 million faces: the keeper with every face cut into nine."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from preview.shipped import shipped

_RECORD = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("word", "<u2")])


def write_large_stl(path: Path) -> int:
    """Write the fine keeper as binary STL; gives its number of faces."""
    source = shipped("meshes", "keeper-single.stl").read_bytes()
    corners = np.frombuffer(source[84:], dtype=_RECORD)["corner"].astype(np.float64)
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]

    # Both faces of an edge must compute its points alike, so that they still weld.
    def third(p: np.ndarray, q: np.ndarray) -> np.ndarray:
        return (2.0 * p + q) / 3.0

    ab, ba, bc, cb, ca, ac = (
        third(a, b),
        third(b, a),
        third(b, c),
        third(c, b),
        third(c, a),
        third(a, c),
    )
    m = (a + b + c) / 3.0
    nine = [
        (a, ab, ac), (ab, ba, m), (ba, b, bc), (ab, m, ac), (ba, bc, m),
        (ac, m, ca), (m, bc, cb), (m, cb, ca), (ca, cb, c),
    ]  # fmt: skip
    faces = np.concatenate([np.stack(corner3, axis=1) for corner3 in nine])
    records = np.zeros(len(faces), dtype=_RECORD)
    records["corner"] = faces
    header = b"fine keeper".ljust(80, b"\0") + np.uint32(len(faces)).tobytes()
    path.write_bytes(header + records.tobytes())
    return len(faces)


if __name__ == "__main__":
    target = Path(sys.argv[1])
    sys.stdout.write(f"{write_large_stl(target)} faces in {target}\n")
