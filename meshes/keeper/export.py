"""Writers: one plain binary STL, and one GLB with a primitive per paint area."""

import json
import struct
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

SWATCH = {
    "skin": (0.78, 0.56, 0.45),
    "eyes": (0.92, 0.92, 0.88),
    "beard": (0.72, 0.70, 0.66),
    "hat": (0.80, 0.62, 0.16),
    "oilskin": (0.84, 0.67, 0.20),
    "jumper": (0.20, 0.28, 0.42),
    "trousers": (0.33, 0.31, 0.29),
    "boots": (0.16, 0.15, 0.15),
    "belt": (0.40, 0.25, 0.14),
    "buckle": (0.70, 0.60, 0.35),
    "lantern": (0.45, 0.20, 0.15),
    "glass": (0.98, 0.86, 0.50),
    "rope": (0.74, 0.62, 0.42),
    "barnacles": (0.80, 0.78, 0.70),
    "iron": (0.30, 0.20, 0.16),
    "rock": (0.45, 0.46, 0.47),
}

Points = NDArray[np.float32]


def write_stl(path: Path, v: Points, f: NDArray[np.int64]) -> None:
    """Write a binary STL in millimetres, Z up."""
    tri = v[f]
    n = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    n /= np.maximum(np.linalg.norm(n, axis=1), 1e-12)[:, None]
    row = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    data = np.zeros(len(f), dtype=row)
    data["n"], data["v"] = n, tri
    head = b"breakwater keeper, millimetres, Z up".ljust(80)
    path.write_bytes(head + struct.pack("<I", len(f)) + data.tobytes())


def write_glb(path: Path, v: Points, groups: list[tuple[str, NDArray[np.int64]]]) -> None:
    """Write a GLB (metres, Y up): one node, mesh and material per named group of faces."""
    blob = bytearray()
    views: list[dict[str, int]] = []
    accessors: list[dict[str, object]] = []

    def store(data: NDArray[np.float32] | NDArray[np.uint32], kind: str, target: int) -> int:
        views.append(
            {"buffer": 0, "byteOffset": len(blob), "byteLength": data.nbytes, "target": target}
        )
        blob.extend(data.tobytes())
        item: dict[str, object] = {
            "bufferView": len(views) - 1,
            "componentType": 5126 if kind == "VEC3" else 5125,
            "count": len(data),
            "type": kind,
        }
        if kind == "VEC3":
            item["min"] = [float(x) for x in data.min(axis=0)]
            item["max"] = [float(x) for x in data.max(axis=0)]
        accessors.append(item)
        return len(accessors) - 1

    metres = np.stack([v[:, 0], v[:, 2], -v[:, 1]], axis=1) / np.float32(1000.0)
    nodes, meshes, materials = [], [], []
    for n, (name, faces) in enumerate(groups):
        used, inverse = np.unique(faces, return_inverse=True)
        position = store(metres[used].astype("<f4"), "VEC3", 34962)
        index = store(inverse.reshape(-1).astype("<u4"), "SCALAR", 34963)
        primitive = {"attributes": {"POSITION": position}, "indices": index, "material": n}
        meshes.append({"name": name, "primitives": [primitive]})
        nodes.append({"name": name, "mesh": n})
        colour = [*SWATCH.get(name, (0.6, 0.6, 0.6)), 1.0]
        surface = {"baseColorFactor": colour, "metallicFactor": 0.0, "roughnessFactor": 0.9}
        materials.append({"name": name, "pbrMetallicRoughness": surface})
    tree = {
        "asset": {"version": "2.0", "generator": "fourpot keeper sculpt"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(nodes)))}],
        "nodes": nodes,
        "meshes": meshes,
        "materials": materials,
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(blob)}],
    }
    text = json.dumps(tree, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    total = 12 + 8 + len(text) + 8 + len(blob)
    with path.open("wb") as out:
        out.write(struct.pack("<4sII", b"glTF", 2, total))
        out.write(struct.pack("<I4s", len(text), b"JSON") + text)
        out.write(struct.pack("<I4s", len(blob), b"BIN\0") + bytes(blob))
