"""What a glTF file says about itself, checked before anybody reads its triangles.

Reference: Khronos Group (2021), "glTF 2.0 Specification".
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import unquote

from preview.errors import MeshFault

JSON_CHUNK, BIN_CHUNK = 0x4E4F534A, 0x004E4942
_LISTS = ("buffers", "bufferViews", "accessors", "meshes", "nodes", "materials", "scenes")
_HARMLESS = ("KHR_materials_", "KHR_texture_", "KHR_lights_", "KHR_xmp", "KHR_animation_",
             "EXT_texture_", "EXT_lights_", "MSFT_texture_", "KHR_mesh_quantization")  # fmt: skip
_DRACO = "KHR_draco_mesh_compression"


def described(path: Path, data: bytes) -> tuple[dict[str, Any], bytes]:
    """The description in a .glb or .gltf file and the binary data that follow it.

    Parameters
    ----------
    path : the file, for messages and for files beside it.
    data : its bytes.

    Raises
    ------
    MeshFault : the file is cut off, is no glTF 2.0, packs its triangles, or needs data that are
        not beside it.
    """
    text, binary = _parts_of_glb(path, data) if data[:4] == b"glTF" else (data, b"")
    description = _description(path, text)
    _refuse_packed(path, description)
    _refuse_far_buffers(path, description)
    return description, binary


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
    return parts.get(JSON_CHUNK, b""), parts.get(BIN_CHUNK, b"")


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
    if not _well_formed(description):
        raise MeshFault(
            "the glTF file contradicts itself: its description has the wrong form",
            str(path),
            "export the figure again as GLB",
        )
    return description


def _well_formed(description: Mapping[str, Any]) -> bool:
    """Whether lists are lists and their members have named parts, as deep as is read here."""
    lists = [description.get(key, []) for key in _LISTS]
    lists += [mesh.get("primitives") for mesh in _members(description.get("meshes"))]
    attributes = [primitive.get("attributes") for primitive in _primitives(description)]
    return all(
        isinstance(some, list) and all(isinstance(member, dict) for member in some)
        for some in lists
    ) and all(isinstance(some, dict) for some in attributes)


def _members(some: object) -> list[dict[str, Any]]:
    """Those members of a list that have named parts."""
    return [member for member in some if isinstance(member, dict)] if isinstance(some, list) else []


def _primitives(description: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """Every primitive of every mesh."""
    for mesh in _members(description.get("meshes")):
        yield from _members(mesh.get("primitives"))


def _refuse_packed(path: Path, description: Mapping[str, Any]) -> None:
    """MeshFault when triangles are packed in a way that cannot be unpacked here."""
    packed = [
        str(name)
        for name in description.get("extensionsRequired", [])
        if not str(name).startswith(_HARMLESS)
    ]
    places = description.get("accessors", [])
    for primitive in _primitives(description):
        if _DRACO in primitive.get("extensions", {}):
            packed.append(_DRACO)
        at = primitive["attributes"].get("POSITION")
        if isinstance(at, int) and 0 <= at < len(places) and places[at].get("normalized"):
            packed.append("positions that are fractions")
    if any("bufferView" not in place for place in places):
        packed.append("numbers that do not stand in the file")
    if packed:
        raise MeshFault(
            f"the file packs its triangles in a way that is not supported: {packed[0]}",
            str(path),
            "export without mesh compression and quantization",
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


def numbered(description: Mapping[str, Any]) -> dict[str, Any]:
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
