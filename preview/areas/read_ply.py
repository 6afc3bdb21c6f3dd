"""PLY: trimesh reads it; its face or vertex colours become names."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.colours import labels_from_colours
from preview.areas.ply_header import refuse_wrong_header
from preview.areas.quiet_trimesh import TRIMESH_ERRORS, quiet_trimesh
from preview.areas.soup import Labels, Soup
from preview.errors import MeshFault

_AREA = re.compile(r"^comment area (#[0-9A-Fa-f]{6}) (.+)$", re.MULTILINE)


def read_ply(path: Path) -> Soup:
    """Read a PLY file, text or binary; raises MeshFault."""
    data = path.read_bytes()
    refuse_wrong_header(path, data)
    mesh = _mesh(path, data)
    faces = np.asarray(getattr(mesh, "faces", ()), np.int64).reshape(-1, 3)
    if not len(faces):
        raise MeshFault("the PLY file holds no usable face", str(path), "export the figure again")
    vertices = np.asarray(mesh.vertices)
    if faces.min() < 0 or faces.max() >= len(vertices):
        raise MeshFault(
            "the PLY file has faces that point at vertices it does not hold",
            str(path),
            "copy or export the file again",
        )
    return Soup(
        vertices=vertices,
        faces=faces.astype(np.int32),
        source_face=np.arange(len(faces), dtype=np.int64),
        source_count=len(faces),
        labels=tuple(_named(label, data) for label in _labels(mesh, faces)),
    )


def _named(label: Labels, data: bytes) -> Labels:
    """The labels with the names that comments of our own give to their colours."""
    header = data[: max(0, data.find(b"end_header"))].decode("utf-8", errors="replace")
    found = dict(_AREA.findall(header))
    known = {colour.lower(): name.strip() for colour, name in found.items()}
    names = tuple(known.get(name, name) for name in label.names)
    return Labels(label.kind, names, label.of_face)


def _mesh(path: Path, data: bytes) -> Any:
    """The mesh as trimesh reads it."""
    trimesh = quiet_trimesh()
    try:
        # Numbers too large for an index are caught below, by their range.
        with np.errstate(invalid="ignore", over="ignore"):
            return trimesh.load(
                BytesIO(data), file_type="ply", process=False, skip_materials=True,
                fix_texture=False,
            )  # fmt: skip
    except TRIMESH_ERRORS as error:
        raise MeshFault(
            f"the PLY file is cut off or contradicts itself ({error})",
            str(path),
            "copy or export the file again",
        ) from error


def _labels(mesh: Any, faces: NDArray[np.int64]) -> tuple[Labels, ...]:
    """One name for each distinct colour, of faces or else of vertices."""
    kind = mesh.visual.kind
    if kind == "face":
        return (labels_from_colours(np.asarray(mesh.visual.face_colors)[:, :3]),)
    if kind == "vertex":
        corner = np.asarray(mesh.visual.vertex_colors)[:, :3][faces]
        return (labels_from_colours(corner),)
    return ()
