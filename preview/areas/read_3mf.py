"""3MF: objects, components, base materials, colour groups and the unit.

Reference: 3MF Consortium, "3D Manufacturing Format, Core Specification" 1.3 and "Materials and
Properties Extension" 1.2, from memory.
"""

from __future__ import annotations

import zipfile
import zlib
from pathlib import Path

from preview.areas.assemble_3mf import assembled
from preview.areas.model_3mf import Model, read_model
from preview.areas.soup import Soup
from preview.errors import MeshFault

_LARGEST_UNPACKED = 1 << 30
_MOST_PARTS = 512


def read_3mf(path: Path) -> Soup:
    """Read a 3MF file; raises MeshFault."""
    try:
        with zipfile.ZipFile(path) as package:
            models = _models(path, package)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise MeshFault(
            f"the 3MF file is cut off or is no 3MF file ({error})",
            str(path),
            "copy or export the file again",
        ) from error
    return assembled(path, models)


def _models(path: Path, package: zipfile.ZipFile) -> dict[str, Model]:
    """Every model part of the package by its name; the main one first."""
    parts = [info for info in package.infolist() if info.filename.lower().endswith(".model")]
    if not parts:
        raise MeshFault("the 3MF file holds no model", str(path), "export the figure again as 3MF")
    unpacked = sum(info.file_size for info in parts)
    if unpacked > _LARGEST_UNPACKED or len(parts) > _MOST_PARTS:
        raise MeshFault(
            f"the 3MF file unpacks to {unpacked / 2**30:.1f} GiB in {len(parts)} parts, "
            "which is too much",
            str(path),
            "decimate the mesh to a few million faces",
        )
    parts.sort(key=lambda info: (info.filename.lower() != "3d/3dmodel.model", info.filename))
    models = {}
    for info in parts:
        models["/" + info.filename.lstrip("/")] = read_model(path, package.read(info))
    return models
