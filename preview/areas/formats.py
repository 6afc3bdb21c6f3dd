"""Which file goes to which reader, and what is refused before it is read."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from preview.areas.soup import Soup
from preview.errors import MeshFault, choices_fix, nearest
from preview.files import typed
from preview.settings import MESH_SUFFIXES

_LARGEST_BYTES = 4 << 30
_MOST_LISTED = 8


def can_begin(path: Path) -> bool:
    """Whether a file is there, can be opened and has a reader; what it holds is not looked at."""
    try:
        _refuse_unreadable(path)
        _reader(path)
    except MeshFault:
        return False
    return True


def read_soup(path: Path) -> Soup:
    """Read one mesh file by its suffix.

    Parameters
    ----------
    path : an STL, OBJ, 3MF, GLB, glTF or PLY file.

    Raises
    ------
    MeshFault : the file is missing, a folder, empty, too large, of a kind that is not supported,
        or not what its suffix says.
    """
    _refuse_unreadable(path)
    reader = _reader(path)
    try:
        return reader(path)
    except OSError as error:
        raise MeshFault(
            f"the mesh file cannot be read: {error.strerror or error}",
            str(path),
            "check the file and its permissions",
        ) from error
    except MemoryError as error:
        raise MeshFault(
            "the mesh file needs more memory than this machine has",
            str(path),
            "decimate the mesh, or close other programs",
        ) from error


def _reader(path: Path) -> Callable[[Path], Soup]:
    """The reader for a suffix; imported here, so that each costs only who needs it."""
    from preview.areas.read_3mf import read_3mf
    from preview.areas.read_gltf import read_gltf
    from preview.areas.read_obj import read_obj
    from preview.areas.read_ply import read_ply
    from preview.areas.read_stl import read_stl

    suffix = path.suffix.lower()
    readers: dict[str, Callable[[Path], Soup]] = {
        ".stl": read_stl,
        ".obj": read_obj,
        ".3mf": read_3mf,
        ".glb": read_gltf,
        ".gltf": read_gltf,
        ".ply": read_ply,
    }
    if suffix == ".toml":
        raise MeshFault(
            "this is a scheme or a marks file, not a mesh",
            str(path),
            f"run a scheme with: fourpot paint {typed(path)}; a marks file goes after its mesh: "
            f"fourpot areas MESH {typed(path)}",
        )
    if suffix not in readers:
        raise MeshFault(
            f'mesh files that end in "{suffix}" are not supported'
            if suffix
            else "the mesh file has no suffix that tells its kind",
            str(path),
            choices_fix(suffix, MESH_SUFFIXES),
        )
    return readers[suffix]


def _refuse_unreadable(path: Path) -> None:
    """MeshFault when there is nothing to read, or far too much."""
    if path.is_dir():
        raise MeshFault("a folder was given for a mesh file", str(path), "name the file inside it")
    try:
        size = path.stat().st_size
    except OSError as error:
        raise MeshFault(
            "there is no such mesh file" if isinstance(error, FileNotFoundError)
            else f"the mesh file cannot be read: {error.strerror}",
            str(path),
            _beside_fix(path),
        ) from error  # fmt: skip
    if not path.is_file():
        raise MeshFault("this is no file that can be read", str(path), "name a mesh file")
    if not os.access(path, os.R_OK):
        raise MeshFault(
            "the mesh file may not be read", str(path), "check the file and its permissions"
        )
    if size == 0:
        raise MeshFault("the mesh file is empty", str(path), "copy or export the file again")
    if size > _LARGEST_BYTES:
        raise MeshFault(
            f"the mesh file is too large: {size / 2**30:.1f} GiB, at most 4 are read",
            str(path),
            "decimate the mesh to a few million faces",
        )


def _beside_fix(path: Path) -> str:
    """The mesh files that stand where the missing one was looked for, the nearest name first."""
    try:
        beside = sorted(p.name for p in path.parent.iterdir() if p.suffix.lower() in MESH_SUFFIXES)
    except (OSError, ValueError):
        return f"there is no folder {path.parent} that can be read; check the path"
    near = nearest(path.name, beside)
    if near:
        return f'did you mean "{near}"?'
    if not beside:
        return "check the path; its folder holds no mesh file"
    more = f" and {len(beside) - _MOST_LISTED} more" if len(beside) > _MOST_LISTED else ""
    return f"mesh files in its folder: {', '.join(beside[:_MOST_LISTED])}{more}"
