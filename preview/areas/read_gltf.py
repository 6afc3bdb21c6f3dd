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
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import unquote

import numpy as np
from numpy.typing import NDArray

from preview.areas.soup import Labels, Soup, labels_from_parts
from preview.errors import MeshFault

_JSON, _BIN = 0x4E4F534A, 0x004E4942
_TRIANGLES = (4, 5)
_HARMLESS = ("KHR_materials_", "KHR_texture_", "KHR_lights_", "KHR_xmp", "KHR_animation_",
             "EXT_texture_", "EXT_lights_", "MSFT_texture_", "KHR_mesh_quantization")  # fmt: skip


def read_gltf(path: Path) -> Soup:
    """Read a .glb or .gltf file; raises MeshFault."""
    data = path.read_bytes()
    text, binary = _parts_of_glb(path, data) if data[:4] == b"glTF" else (data, b"")
    description = _description(path, text)
    _refuse_packed(path, description)
    _refuse_far_buffers(path, description)
    scene = _scene(path, _numbered(description), binary)
    return _soup(path, description, scene)


def _parts_of_glb(path: Path, data: bytes) -> tuple[bytes, bytes]:
    """The description and the binary part of a GLB."""
    if len(data) < 20:
        raise _cut(path, 20, len(data))
    _, version, length = struct.unpack_from("<4sII", data)
    if version != 2:
        raise MeshFault(f"GLB version {version} is not supported", str(path), "export as glTF 2.0")
    if length > len(data):
        raise _cut(path, length, len(data))
    parts: dict[int, bytes] = {}
    at = 12
    while at + 8 <= length:
        size, kind = struct.unpack_from("<II", data, at)
        if at + 8 + size > len(data):
            raise _cut(path, at + 8 + size, len(data))
        parts.setdefault(kind, data[at + 8 : at + 8 + size])
        at += 8 + size + (-size % 4)
    return parts.get(_JSON, b""), parts.get(_BIN, b"")


def _cut(path: Path, told: int, there: int) -> MeshFault:
    """The refusal of a file that ends too early."""
    return MeshFault(
        f"the GLB file is cut off: {there:,} of {told:,} bytes are there",
        str(path),
        "copy or export the file again",
    )


def _description(path: Path, text: bytes) -> dict[str, Any]:
    """The JSON that describes the scene."""
    try:
        description = json.loads(text.decode("utf-8-sig"))
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
        raise MeshFault(
            f"this is not a glTF file: its description cannot be read ({error})",
            str(path),
            "export the figure again as GLB",
        ) from error
    if not isinstance(description, dict) or "asset" not in description:
        raise MeshFault(
            "this is not a glTF file: it does not say so", str(path), "export it again as GLB"
        )
    return description


def _refuse_packed(path: Path, description: Mapping[str, Any]) -> None:
    """MeshFault when triangles are packed in a way that cannot be unpacked here."""
    required = description.get("extensionsRequired", [])
    packed = [name for name in required if not str(name).startswith(_HARMLESS)]
    if packed:
        raise MeshFault(
            f"the file packs its triangles with {', '.join(map(str, packed))}, "
            "which is not supported",
            str(path),
            "export without mesh compression",
        )
    for accessor in description.get("accessors", []):
        if accessor.get("normalized") and accessor.get("type") == "VEC3":
            raise MeshFault(
                "the file stores positions or normals as fractions, which is not supported",
                str(path),
                "export without mesh quantization",
            )


def _refuse_far_buffers(path: Path, description: Mapping[str, Any]) -> None:
    """MeshFault when the file asks for data outside its own folder, or that is not there."""
    for buffer in description.get("buffers", []):
        if not _is_beside(buffer):
            continue
        uri = buffer["uri"]
        inside = PurePosixPath(unquote(str(uri)).replace("\\", "/"))
        if ":" in str(uri) or inside.is_absolute() or ".." in inside.parts:
            raise MeshFault(
                f'the file asks for data outside its folder: "{uri}"',
                str(path),
                "put the .bin file beside the .gltf file, or export as GLB",
            )
        if not (path.parent / inside).is_file():
            raise MeshFault(
                f'the file needs "{uri}" beside it, which is missing',
                str(path),
                "copy it there, or export as GLB",
            )


def _is_beside(buffer: Mapping[str, Any]) -> bool:
    """Whether a buffer's data stand in a file of their own."""
    return "uri" in buffer and not str(buffer["uri"]).startswith("data:")


def _numbered(description: Mapping[str, Any]) -> dict[str, Any]:
    """The description with numbers for names and without pictures, cameras and movement."""
    left_out = {"images", "textures", "samplers", "cameras", "animations", "skins", "extensions",
                "extensionsRequired", "extensionsUsed"}  # fmt: skip
    plain = {key: value for key, value in description.items() if key not in left_out}
    plain["materials"] = [{"name": str(k)} for k in range(len(plain.get("materials", [])))]
    plain["buffers"] = [
        {**buffer, "uri": unquote(str(buffer["uri"]))} if _is_beside(buffer) else buffer
        for buffer in plain.get("buffers", [])
    ]
    plain["nodes"] = [
        {
            **{
                key: value for key, value in node.items() if key not in ("camera", "extras", "skin")
            },
            "name": f"n{k}",
        }
        for k, node in enumerate(plain.get("nodes", []))
    ]
    plain["meshes"] = [
        {"name": f"m{k}", "primitives": mesh.get("primitives", [])}
        for k, mesh in enumerate(plain.get("meshes", []))
    ]
    return plain


def _scene(path: Path, description: Mapping[str, Any], binary: bytes) -> Any:
    """The scene as trimesh reads it."""
    import trimesh

    text = json.dumps(description).encode()
    text += b" " * (-len(text) % 4)
    body = struct.pack("<II", len(text), _JSON) + text
    if binary:
        padded = binary + b"\0" * (-len(binary) % 4)
        body += struct.pack("<II", len(padded), _BIN) + padded
    glb = b"glTF" + struct.pack("<II", 2, 12 + len(body)) + body
    resolver = trimesh.resolvers.FilePathResolver(str(path))
    try:
        return trimesh.load_scene(BytesIO(glb), file_type="glb", resolver=resolver, process=False)
    except (
        ValueError, KeyError, IndexError, TypeError, AssertionError, AttributeError, OSError,
        NotImplementedError, OverflowError,
    ) as error:  # fmt: skip
        raise MeshFault(
            f"the glTF file contradicts itself and cannot be read ({error!r})",
            str(path),
            "export the figure again as GLB",
        ) from error


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
    return Soup(
        vertices=np.concatenate(vertices),
        faces=np.concatenate(faces).astype(np.int32),
        source_face=np.arange(total, dtype=np.int64),
        source_count=total,
        labels=_labels(objects, stuffs, sizes),
        unit="metre",
        up="y",
    )


def _labels(
    objects: list[str | None], stuffs: list[str | None], sizes: list[int]
) -> tuple[Labels, ...]:
    """Materials and objects as labels."""
    return (
        labels_from_parts("materials", stuffs, sizes),
        labels_from_parts("objects", objects, sizes),
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
