"""How long one figure takes to load from each format, and how much memory that needs.

Run by hand: python tests/bench/load_mesh.py [MILLIONS_OF_FACES]

The figure is four bumpy spheres that cut each other, so that a third of its faces is hidden. Each
format is loaded in a process of its own; the first line is the figure as binary STL.
"""

from __future__ import annotations

import json
import struct
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

_BALLS = (
    (0.0, 0.0, 8.0, 8.0),
    (0.0, 0.0, 20.0, 6.0),
    (5.0, 0.0, 15.0, 4.0),
    (-5.0, 1.0, 15.0, 4.0),
)

_CHILD = """
import resource, sys, time
import numpy, scipy.sparse.csgraph, scipy.spatial
from pathlib import Path
from preview.areas import load_sculpt

def now():
    return numpy.array([time.perf_counter(), time.process_time()])

marks = []
start = now()
figure = load_sculpt(sys.argv[1], progress=lambda step, done, total: marks.append(now()))
def since(mark):
    wall, cpu = mark - start
    return f"{wall:5.2f} s ({cpu:5.2f} s CPU)"
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
print(f"{len(figure.faces):>9,} faces  read {since(marks[1])}  mended {since(marks[2])}  "
      f"all {since(now())}  peak {peak:4.2f} GiB  {int((~figure.exposed).sum()):,} hidden")
"""


def bumpy_ball(rows: int) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """A closed ball of about 4 * rows² faces, with bumps."""
    columns = 2 * rows
    tilt = np.linspace(0, np.pi, rows + 1)[1:-1, None]
    turn = np.linspace(0, 2 * np.pi, columns, endpoint=False)[None, :]
    ring = np.stack(
        np.broadcast_arrays(np.sin(tilt) * np.cos(turn), np.sin(tilt) * np.sin(turn), np.cos(tilt)),
        axis=-1,
    ).reshape(-1, 3)
    places = np.concatenate(([[0.0, 0.0, 1.0]], ring, [[0.0, 0.0, -1.0]]))
    places *= 1 + 0.03 * np.prod(np.sin(places * (9, 11, 7)), axis=1, keepdims=True)
    index = 1 + np.arange((rows - 1) * columns).reshape(rows - 1, columns)
    right = np.roll(index, -1, axis=1)
    last = len(places) - 1
    fans = [
        np.stack((np.zeros(columns, int), index[0], right[0]), axis=1),
        np.stack((np.full(columns, last), right[-1], index[-1]), axis=1),
    ]
    a, b, c, d = (x.ravel() for x in (index[:-1], index[1:], right[1:], right[:-1]))
    return places, np.concatenate((*fans, np.stack((a, b, c), 1), np.stack((a, c, d), 1)))


def figure(millions: float) -> tuple[NDArray[np.float32], NDArray[np.int64], NDArray[np.int64]]:
    """Vertices in mm, faces, and to which of four balls a face belongs."""
    places, faces = bumpy_ball(max(8, int(np.sqrt(millions * 1e6 / 16))))
    vertices = np.concatenate([places * r + (x, y, z) for x, y, z, r in _BALLS])
    triples = np.concatenate([faces + k * len(places) for k in range(len(_BALLS))])
    return vertices.astype(np.float32), triples, np.repeat(np.arange(len(_BALLS)), len(faces))


def write_stl(path: Path, v: NDArray[np.float32], f: NDArray[np.int64]) -> None:
    """Binary STL."""
    rows = np.zeros(len(f), [("n", "<f4", 3), ("c", "<f4", (3, 3)), ("w", "<u2")])
    rows["c"] = v[f]
    path.write_bytes(b"\0" * 80 + struct.pack("<I", len(f)) + rows.tobytes())


def write_stl_text(path: Path, v: NDArray[np.float32], f: NDArray[np.int64]) -> None:
    """Text STL."""
    facet = (
        "facet normal 0 0 0\n outer loop\n"
        + "  vertex %.6e %.6e %.6e\n" * 3
        + " endloop\nendfacet\n"
    )
    with path.open("w") as out:
        out.write("solid figure\n")
        for start in range(0, len(f), 10000):
            out.write(
                "".join(facet % tuple(row) for row in v[f[start : start + 10000]].reshape(-1, 9))
            )
        out.write("endsolid figure\n")


def write_obj(path: Path, v: NDArray[np.float32], f: NDArray[np.int64]) -> None:
    """OBJ with four materials, faces as v//n."""
    with path.open("w") as out:
        out.write("".join(f"v {x:.6f} {y:.6f} {z:.6f}\n" for x, y, z in v.tolist()))
        for k, part in enumerate(np.split(f + 1, 4)):
            out.write(f"usemtl part{k}\n")
            out.write("".join(f"f {a}//{a} {b}//{b} {c}//{c}\n" for a, b, c in part.tolist()))


def write_3mf(path: Path, v: NDArray[np.float32], f: NDArray[np.int64]) -> None:
    """3MF with four base materials, named at each triangle."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as package:
        model = [
            '<?xml version="1.0"?><model unit="millimeter" '
            'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>'
            '<basematerials id="1">',
            *(f'<base name="part{k}" displaycolor="#808080"/>' for k in range(4)),
            '</basematerials><object id="2" type="model"><mesh><vertices>',
            *(f'<vertex x="{x:.6f}" y="{y:.6f}" z="{z:.6f}"/>' for x, y, z in v.tolist()),
            "</vertices><triangles>",
            *(
                f'<triangle v1="{a}" v2="{b}" v3="{c}" pid="1" p1="{4 * k // len(f)}"/>'
                for k, (a, b, c) in enumerate(f.tolist())
            ),
            '</triangles></mesh></object></resources><build><item objectid="2"/></build></model>',
        ]
        package.writestr("3D/3dmodel.model", "".join(model))


def write_glb(path: Path, v: NDArray[np.float32], f: NDArray[np.int64]) -> None:
    """GLB with four materials over one set of vertices."""
    metres, indices = (v * np.float32(0.001)).astype("<f4").tobytes(), f.astype("<u4").tobytes()
    quarter = len(indices) // 4
    views = [{"buffer": 0, "byteOffset": 0, "byteLength": len(metres)}] + [
        {"buffer": 0, "byteOffset": len(metres) + k * quarter, "byteLength": quarter}
        for k in range(4)
    ]
    accessors: list[dict[str, object]] = [
        {"bufferView": 0, "componentType": 5126, "count": len(v), "type": "VEC3"}
    ] + [
        {"bufferView": k + 1, "componentType": 5125, "count": quarter // 4, "type": "SCALAR"}
        for k in range(4)
    ]
    scene = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0, "name": "figure"}],
        "meshes": [
            {
                "primitives": [
                    {"attributes": {"POSITION": 0}, "indices": k + 1, "material": k}
                    for k in range(4)
                ]
            }
        ],
        "materials": [{"name": f"part{k}"} for k in range(4)],
        "buffers": [{"byteLength": len(metres) + len(indices)}],
        "bufferViews": views,
        "accessors": accessors,
    }
    text = json.dumps(scene).encode()
    text += b" " * (-len(text) % 4)
    data = metres + indices
    body = struct.pack("<II", len(text), 0x4E4F534A) + text
    body += struct.pack("<II", len(data), 0x004E4942) + data
    path.write_bytes(b"glTF" + struct.pack("<II", 2, 12 + len(body)) + body)


def write_ply(path: Path, v: NDArray[np.float32], f: NDArray[np.int64]) -> None:
    """Binary PLY with four face colours."""
    rows = np.zeros(len(f), [("n", "u1"), ("i", "<i4", 3), ("rgb", "u1", 3)])
    rows["n"], rows["i"] = 3, f
    rows["rgb"] = np.repeat(np.arange(4) * 60, len(f) // 4)[:, None]
    head = (
        f"ply\nformat binary_little_endian 1.0\nelement vertex {len(v)}\nproperty float x\n"
        f"property float y\nproperty float z\nelement face {len(f)}\n"
        "property list uchar int vertex_indices\nproperty uchar red\nproperty uchar green\n"
        "property uchar blue\nend_header\n"
    )
    path.write_bytes(head.encode() + v.astype("<f4").tobytes() + rows.tobytes())


def main() -> None:
    """Write the figure in every format and load each."""
    millions = float(sys.argv[1]) if len(sys.argv) > 1 else 1.3
    vertices, faces, _ = figure(millions)
    writers = {
        "figure.stl": write_stl,
        "text.stl": write_stl_text,
        "figure.obj": write_obj,
        "figure.3mf": write_3mf,
        "figure.glb": write_glb,
        "figure.ply": write_ply,
    }
    with tempfile.TemporaryDirectory() as folder:
        for name, write in writers.items():
            path = Path(folder) / name
            write(path, vertices, faces)
            done = subprocess.run(
                [sys.executable, "-c", _CHILD, str(path)], capture_output=True, text=True
            )
            said = done.stdout.strip() or done.stderr.strip().rsplit("\n", 1)[-1]
            sys.stdout.write(f"{name:<10} {path.stat().st_size / 1e6:6.0f} MB  {said}\n")
            path.unlink()


if __name__ == "__main__":
    main()
