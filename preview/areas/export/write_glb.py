"""GLB with one mesh and material for each area; metres, Y up, as the format has it.

Reference: glTF 2.0 specification, Khronos Group, sections 3.6, 3.7, 3.9 and 4.4.
"""

from __future__ import annotations

import json
import struct
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.export.grouped import Grouped
from preview.optics.srgb_iec61966 import linear_from_srgb8

_FLOATS, _INTS = 5126, 5125
_POINTS, _CORNERS = 34962, 34963
_GLTF, _JSON, _BIN = 0x46546C67, 0x4E4F534A, 0x004E4942


def write_glb(path: Path, mesh: Grouped) -> None:
    """Write a binary glTF file; the same mesh gives the same bytes."""
    tree, blob = _described(mesh)
    text = json.dumps(tree, separators=(",", ":"), ensure_ascii=True).encode()
    text += b" " * (-len(text) % 4)
    with path.open("wb") as out:
        out.write(struct.pack("<III", _GLTF, 2, 28 + len(text) + len(blob)))
        out.write(struct.pack("<II", len(text), _JSON) + text)
        out.write(struct.pack("<II", len(blob), _BIN) + blob)


def _described(mesh: Grouped) -> tuple[dict[str, Any], bytes]:
    """The file's description, and the numbers that it points into."""
    blob = bytearray()
    tree: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "fourpot"}, "scene": 0, "scenes": [{}],
        "nodes": [], "meshes": [], "materials": [], "accessors": [], "bufferViews": [],
    }  # fmt: skip
    metres = np.stack(
        [mesh.vertices[:, 0], mesh.vertices[:, 2], -mesh.vertices[:, 1]], axis=1
    ).astype("<f4") / np.float32(1000.0)
    for number, name in enumerate(mesh.names):
        own = mesh.faces[mesh.group == number]
        if not len(own):
            continue
        used, corners = np.unique(own, return_inverse=True)
        points = metres[used]
        place = _stored(tree, blob, points, _FLOATS, "VEC3", _POINTS)
        tree["accessors"][place] |= {
            "min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()
        }  # fmt: skip
        index = _stored(tree, blob, corners.ravel().astype("<u4"), _INTS, "SCALAR", _CORNERS)
        material = len(tree["materials"])
        colour = np.asarray(linear_from_srgb8(mesh.srgb8[number])).astype(float).round(6).tolist()
        tree["materials"].append(
            {"name": name, "pbrMetallicRoughness": {
                "baseColorFactor": [*colour, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.9}}
        )  # fmt: skip
        primitive = {"attributes": {"POSITION": place}, "indices": index, "material": material}
        tree["meshes"].append({"name": name, "primitives": [primitive]})
        tree["nodes"].append({"name": name, "mesh": material})
    tree["scenes"][0]["nodes"] = list(range(len(tree["nodes"])))
    tree["buffers"] = [{"byteLength": len(blob)}]
    return tree, bytes(blob)


def _stored(
    tree: dict[str, Any],
    blob: bytearray,
    data: NDArray[Any],
    kind: int,
    shape: str,
    target: int,
) -> int:
    """Add numbers to the blob; gives the number of their accessor."""
    tree["bufferViews"].append(
        {"buffer": 0, "byteOffset": len(blob), "byteLength": data.nbytes, "target": target}
    )
    tree["accessors"].append(
        {"bufferView": len(tree["bufferViews"]) - 1, "componentType": kind, "count": len(data),
         "type": shape}
    )  # fmt: skip
    blob.extend(data.tobytes())
    return len(tree["accessors"]) - 1
