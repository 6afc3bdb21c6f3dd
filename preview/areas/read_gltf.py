"""glTF and GLB: trimesh reads the triangles, names come from the file's own description.

trimesh gives nodes and meshes names of its own where a mesh has several materials, so the
description it is given names every node and material by number, and leaves pictures out.

Reference: Khronos Group (2021), "glTF 2.0 Specification": metres, Y up.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.gltf_description import BIN_CHUNK, JSON_CHUNK, described, numbered
from preview.areas.quiet_trimesh import TRIMESH_ERRORS, quiet_trimesh
from preview.areas.soup import Soup, labels_from_parts
from preview.errors import MeshFault

_MOST_FACES = 50_000_000


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
    except TRIMESH_ERRORS as error:
        raise _contradicts(path, repr(error)) from error


def _contradicts(path: Path, why: str) -> MeshFault:
    """The refusal of a file whose parts do not fit together."""
    return MeshFault(
        f"the glTF file contradicts itself: {why}", str(path), "export the figure again as GLB"
    )


@dataclass(frozen=True, eq=False)
class _Piece:
    """The triangles of one node that are of one material, in their place."""

    vertices: NDArray[np.float64]
    faces: NDArray[np.int64]
    object_name: str | None
    material_name: str | None


def _soup(path: Path, description: Mapping[str, Any], scene: Any) -> Soup:
    """All triangles, in the order of the nodes."""
    pieces = list(_pieces(path, description, scene))
    if not pieces:
        raise MeshFault("the glTF file holds no triangle", str(path), "export the figure again")
    sizes = [len(piece.faces) for piece in pieces]
    if sum(sizes) > _MOST_FACES:
        raise MeshFault(
            f"the glTF file unfolds to {sum(sizes):,} faces, which is too much",
            str(path),
            "decimate the mesh to a few million faces",
        )
    shifts = np.cumsum([0, *(len(piece.vertices) for piece in pieces)])[:-1]
    faces = np.concatenate([p.faces + k for p, k in zip(pieces, shifts, strict=True)])
    return Soup(
        vertices=np.concatenate([piece.vertices for piece in pieces]),
        faces=faces.astype(np.int32),
        source_face=np.arange(len(faces), dtype=np.int64),
        source_count=len(faces),
        labels=(
            labels_from_parts("materials", [piece.material_name for piece in pieces], sizes),
            labels_from_parts("objects", [piece.object_name for piece in pieces], sizes),
        ),
        unit="metre",
        up="y",
    )


def _pieces(path: Path, description: Mapping[str, Any], scene: Any) -> Iterator[_Piece]:
    """Every piece that has triangles; raises MeshFault when one does not fit together."""
    placed = [(_number(name), *reversed(scene.graph[name])) for name in scene.graph.nodes_geometry]
    for node, geometry, matrix in sorted(placed, key=lambda item: item[:2]):
        mesh = scene.geometry[geometry]
        if not hasattr(mesh, "faces") or not len(mesh.faces):
            continue
        vertices, faces = np.asarray(mesh.vertices, np.float64), np.asarray(mesh.faces, np.int64)
        if vertices.ndim != 2 or vertices.shape[1] != 3:
            raise _contradicts(path, "its positions are not made of three numbers")
        if faces.min() < 0 or faces.max() >= len(vertices):
            raise _contradicts(path, "faces point at vertices it does not hold")
        mirrored = np.linalg.det(matrix[:3, :3]) < 0
        yield _Piece(
            _placed(vertices, matrix),
            faces[:, ::-1] if mirrored else faces,
            _name_of_node(description, node),
            _material_name(description, mesh),
        )


def _placed(vertices: NDArray[np.float64], matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    """Vertices moved by a 4 x 4 matrix, each on its own, so that equal ones stay equal."""
    x, y, z = vertices.T
    rows = [matrix[k, 0] * x + matrix[k, 1] * y + matrix[k, 2] * z + matrix[k, 3] for k in range(3)]
    return np.stack(rows, axis=1)


def _number(node_name: str) -> int:
    """The node's number in the description, out of the name that trimesh made from it."""
    return int(node_name[1:].split("_")[0])


def _name_of_node(description: Mapping[str, Any], number: int) -> str | None:
    """The node's name, or its mesh's."""
    node = description["nodes"][number]
    name = node.get("name") or description["meshes"][node["mesh"]].get("name")
    return str(name) if name else None


def _material_name(description: Mapping[str, Any], mesh: Any) -> str | None:
    """The name of the material of a piece; a nameless one is named by its number."""
    material = getattr(mesh.visual, "material", None)
    if material is None or material.name is None or not str(material.name).isdecimal():
        return None
    number = int(material.name)
    return str(description["materials"][number].get("name") or f"material {number + 1}")
