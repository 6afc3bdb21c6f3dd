"""Small bodies with round figures, and writers for every format that is read."""

from __future__ import annotations

import json
import struct
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]

_QUADS = np.array(
    [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]
)


def box(low: Sequence[float], size: Sequence[float]) -> Mesh:
    """A closed box, 12 faces, wound outward."""
    unit = np.array([[x, y, z] for z in (0, 1) for y in (0, 1) for x in (0, 1)], np.float64)
    faces = np.concatenate((_QUADS[:, [0, 1, 2]], _QUADS[:, [0, 2, 3]]))
    return unit * np.asarray(size) + np.asarray(low), faces


def ball(centre: Sequence[float], radius: float, rows: int = 24) -> Mesh:
    """A closed ball of 4 * rows * (rows - 1) faces, wound outward."""
    columns = 2 * rows
    tilt = np.linspace(0, np.pi, rows + 1)[1:-1, None]
    turn = np.linspace(0, 2 * np.pi, columns, endpoint=False)[None, :]
    x, y, z = np.broadcast_arrays(
        np.sin(tilt) * np.cos(turn), np.sin(tilt) * np.sin(turn), np.cos(tilt)
    )
    ring = np.stack((x, y, z), axis=-1).reshape(-1, 3)
    places = np.concatenate(([[0.0, 0.0, 1.0]], ring, [[0.0, 0.0, -1.0]]))
    index = 1 + np.arange((rows - 1) * columns).reshape(rows - 1, columns)
    right = np.roll(index, -1, axis=1)
    last = len(places) - 1
    top = np.stack((np.zeros(columns, int), index[0], right[0]), axis=1)
    bottom = np.stack((np.full(columns, last), right[-1], index[-1]), axis=1)
    a, b, c, d = (v.ravel() for v in (index[:-1], index[1:], right[1:], right[:-1]))
    faces = np.concatenate((top, bottom, np.stack((a, b, c), 1), np.stack((a, c, d), 1)))
    return places * radius + np.asarray(centre), faces


def joined(*meshes: Mesh) -> Mesh:
    """Several meshes as one."""
    shifts = np.cumsum([0, *(len(v) for v, _ in meshes)])
    return (
        np.concatenate([v for v, _ in meshes]),
        np.concatenate([f + s for (_, f), s in zip(meshes, shifts[:-1], strict=True)]),
    )


def write_stl(
    path: Path, mesh: Mesh, header: bytes = b"", count: int | None = None, words: object = 0
) -> Path:
    """A binary STL; `count` may lie."""
    vertices, faces = mesh
    rows = np.zeros(len(faces), [("n", "<f4", 3), ("c", "<f4", (3, 3)), ("w", "<u2")])
    rows["c"], rows["w"] = vertices[faces], words
    told = len(faces) if count is None else count
    path.write_bytes(header.ljust(80, b"\0") + struct.pack("<I", told) + rows.tobytes())
    return path


def stl_text(parts: Mapping[str, Mesh]) -> str:
    """A text STL with a solid for each part."""
    lines = []
    for name, (vertices, faces) in parts.items():
        lines.append(f"solid {name}")
        for corners in vertices[faces]:
            lines.append(" facet normal 0 0 0\n  outer loop")
            lines += [f"   vertex {x:.6e} {y:.6e} {z:.6e}" for x, y, z in corners]
            lines.append("  endloop\n endfacet")
        lines.append(f"endsolid {name}")
    return "\n".join(lines) + "\n"


def obj_text(parts: Mapping[str, Mesh], keyword: str = "usemtl") -> str:
    """An OBJ with a material, group or object for each part."""
    lines, shift = [], 1
    for name, (vertices, faces) in parts.items():
        lines += [f"v {x!r} {y!r} {z!r}" for x, y, z in vertices.tolist()]
        lines.append(f"{keyword} {name}")
        lines += [f"f {a} {b} {c}" for a, b, c in (faces + shift).tolist()]
        shift += len(vertices)
    return "\n".join(lines) + "\n"


CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MATERIAL = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02"


def model_mesh(mesh: Mesh, each: str = "") -> str:
    """The mesh element of a 3MF object; `each` is added to every triangle."""
    vertices, faces = mesh
    return (
        "<mesh><vertices>"
        + "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in vertices.tolist())
        + "</vertices><triangles>"
        + "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"{each}/>' for a, b, c in faces.tolist())
        + "</triangles></mesh>"
    )


def write_3mf(
    path: Path, resources: str, build: str, unit: str = "millimeter", before: str = ""
) -> Path:
    """A 3MF package with one model."""
    model = (
        f'<?xml version="1.0" encoding="UTF-8"?>{before}<model unit="{unit}" xmlns="{CORE}" '
        f'xmlns:m="{MATERIAL}"><resources>{resources}</resources><build>{build}</build></model>'
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        package.writestr("3D/3dmodel.model", model)
    return path


def gltf_scene(parts: Mapping[str, Mesh], named: str = "materials") -> tuple[dict, bytes]:
    """A glTF description and its buffer, in metres and Y up, from parts in mm and Z up."""
    data, views, accessors, primitives = b"", [], [], []
    for vertices, faces in parts.values():
        x, y, z = vertices.T
        for array, kind, code in (
            ((np.stack((x, z, -y), 1) / 1000).astype("<f4"), "VEC3", 5126),
            (faces.ravel().astype("<u4"), "SCALAR", 5125),
        ):
            views.append({"buffer": 0, "byteOffset": len(data), "byteLength": array.nbytes})
            accessors.append(
                {"bufferView": len(views) - 1, "componentType": code, "count": len(array),
                 "type": kind}
            )  # fmt: skip
            data += array.tobytes()
        k = len(accessors)
        primitives.append({"attributes": {"POSITION": k - 2}, "indices": k - 1})
    scene: dict = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "buffers": [{"byteLength": len(data)}],
        "bufferViews": views,
        "accessors": accessors,
    }
    if named == "materials":
        scene["materials"] = [{"name": name} for name in parts]
        meshes = [{"primitives": [p | {"material": k} for k, p in enumerate(primitives)]}]
        scene |= {"meshes": meshes, "nodes": [{"mesh": 0, "name": "figure"}]}
    else:
        scene["meshes"] = [{"primitives": [p]} for p in primitives]
        scene["nodes"] = [{"mesh": k, "name": name} for k, name in enumerate(parts)]
    scene["scenes"] = [{"nodes": list(range(len(scene["nodes"])))}]
    return scene, data


def write_glb(path: Path, scene: dict, data: bytes) -> Path:
    """A GLB file."""
    text = json.dumps(scene).encode()
    text += b" " * (-len(text) % 4)
    body = struct.pack("<II", len(text), 0x4E4F534A) + text
    body += struct.pack("<II", len(data), 0x004E4942) + data
    path.write_bytes(b"glTF" + struct.pack("<II", 2, 12 + len(body)) + body)
    return path


def ply_text(mesh: Mesh, rgb: Sequence[Sequence[int]], per: str = "face") -> str:
    """A text PLY with a colour for each face or vertex."""
    vertices, faces = mesh
    colour = "property uchar red\nproperty uchar green\nproperty uchar blue\n"
    tint = [" " + " ".join(map(str, c)) for c in rgb]
    v_rows = [f"{x} {y} {z}" + (tint[k] if per == "vertex" else "")
              for k, (x, y, z) in enumerate(vertices.tolist())]  # fmt: skip
    f_rows = [f"3 {a} {b} {c}" + (tint[k] if per == "face" else "")
              for k, (a, b, c) in enumerate(faces.tolist())]  # fmt: skip
    return (
        f"ply\nformat ascii 1.0\nelement vertex {len(vertices)}\n"
        "property float x\nproperty float y\nproperty float z\n"
        + (colour if per == "vertex" else "")
        + f"element face {len(faces)}\nproperty list uchar int vertex_indices\n"
        + (colour if per == "face" else "")
        + "end_header\n"
        + "\n".join(v_rows + f_rows)
        + "\n"
    )
