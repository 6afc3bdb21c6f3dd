"""glTF and GLB: trimesh reads the triangles, names come from the file's own description.

trimesh gives nodes and meshes names of its own where a mesh has several materials, so the
description it is given names every node and material by number, and leaves pictures out.

Reference: Khronos Group (2021), "glTF 2.0 Specification": metres, Y up.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.gltf_description import BIN_CHUNK, JSON_CHUNK, described, numbered
from preview.areas.quiet_trimesh import quiet_trimesh
from preview.areas.soup import Soup, labels_from_parts
from preview.errors import MeshFault


def read_gltf(path: Path) -> Soup:
    """Read a .glb or .gltf file; raises MeshFault."""
    description, binary = described(path, path.read_bytes())
    scene = _scene(path, numbered(description), binary)
    return _soup(path, description, scene)


def _scene(path: Path, description: Mapping[str, Any], binary: bytes) -> Any:
    """The scene as trimesh reads it."""
    trimesh = quiet_trimesh()
    text = json.dumps(description).encode()
    text += b" " * (-len(text) % 4)
    body = struct.pack("<II", len(text), JSON_CHUNK) + text
    if binary:
        padded = binary + b"\0" * (-len(binary) % 4)
        body += struct.pack("<II", len(padded), BIN_CHUNK) + padded
    glb = b"glTF" + struct.pack("<II", 2, 12 + len(body)) + body
    resolver = trimesh.resolvers.FilePathResolver(str(path))
    try:
        return trimesh.load_scene(BytesIO(glb), file_type="glb", resolver=resolver, process=False)
    except (
        ValueError, KeyError, IndexError, TypeError, AssertionError, AttributeError, OSError,
        NotImplementedError, OverflowError,
    ) as error:  # fmt: skip
        raise _contradicts(path, repr(error)) from error


def _contradicts(path: Path, why: str) -> MeshFault:
    """The refusal of a file whose parts do not fit together."""
    return MeshFault(
        f"the glTF file contradicts itself: {why}", str(path), "export the figure again as GLB"
    )


def _soup(path: Path, description: Mapping[str, Any], scene: Any) -> Soup:
    """All triangles, each node in its place."""
    nodes = description.get("nodes", [])
    materials = description.get("materials", [])
    vertices: list[NDArray[np.float64]] = []
    faces: list[NDArray[np.int64]] = []
    objects: list[str | None] = []
    stuffs: list[str | None] = []
    shift = 0
    for name in sorted(scene.graph.nodes_geometry, key=lambda n: (_number(n), scene.graph[n][1])):
        matrix, geometry = scene.graph[name]
        mesh = scene.geometry[geometry]
        if not hasattr(mesh, "faces") or not len(mesh.faces):
            continue
        placed = _placed(np.asarray(mesh.vertices, np.float64), np.asarray(matrix, np.float64))
        triples = np.asarray(mesh.faces, np.int64)
        if np.linalg.det(np.asarray(matrix)[:3, :3]) < 0:
            triples = triples[:, ::-1]
        vertices.append(placed)
        faces.append(triples + shift)
        shift += len(placed)
        objects.append(_name_of_node(nodes, description, _number(name)))
        stuffs.append(_material_name(materials, mesh))
    if not faces:
        raise MeshFault("the glTF file holds no triangle", str(path), "export the figure again")
    sizes = [len(part) for part in faces]
    total = sum(sizes)
    triples = np.concatenate(faces)
    if triples.min() < 0 or triples.max() >= shift:
        raise _contradicts(path, "faces point at vertices it does not hold")
    return Soup(
        vertices=np.concatenate(vertices),
        faces=triples.astype(np.int32),
        source_face=np.arange(total, dtype=np.int64),
        source_count=total,
        labels=(
            labels_from_parts("materials", stuffs, sizes),
            labels_from_parts("objects", objects, sizes),
        ),
        unit="metre",
        up="y",
    )


def _placed(vertices: NDArray[np.float64], matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    """Vertices moved by a 4 x 4 matrix, each on its own, so that equal ones stay equal."""
    x, y, z = vertices.T
    rows = [matrix[k, 0] * x + matrix[k, 1] * y + matrix[k, 2] * z + matrix[k, 3] for k in range(3)]
    return np.stack(rows, axis=1)


def _number(node_name: str) -> int:
    """The node's number in the description, out of the name that trimesh made from it."""
    return int(node_name[1:].split("_")[0])


def _name_of_node(nodes: list[Any], description: Mapping[str, Any], number: int) -> str | None:
    """The node's name, or its mesh's."""
    node = nodes[number]
    name = node.get("name") or description["meshes"][node["mesh"]].get("name")
    return str(name) if name else None


def _material_name(materials: list[Any], mesh: Any) -> str | None:
    """The name of the material of a piece; a nameless one is named by its number."""
    material = getattr(mesh.visual, "material", None)
    if material is None or material.name is None or not str(material.name).isdecimal():
        return None
    number = int(material.name)
    return str(materials[number].get("name") or f"material {number + 1}")
