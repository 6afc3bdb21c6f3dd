"""Files damaged at random either load as a sound sculpt or are refused; nothing else happens."""

from __future__ import annotations

import random
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from preview.areas import load_sculpt
from preview.errors import Fault, MeshFault
from tests.areas.small_meshes import (
    box,
    gltf_scene,
    joined,
    model_mesh,
    obj_text,
    ply_text,
    stl_text,
    write_3mf,
    write_glb,
    write_stl,
)

PARTS = {"head": box((5, 5, 20.5), (10, 10, 10)), "body": box((0, 0, 0), (20, 30, 10))}
WHOLE = joined(*PARTS.values())
SCRAPS = (b"0", b"-1", b"1e300", b"nan", b"999999999999", b'"', b"{", b"[]", b"null", b"<", b"\n")
ROUNDS = 60

Rebuild = Callable[[bytes], bytes]


def _damaged(data: bytes, chance: random.Random) -> bytes:
    """The data cut, with bytes changed, a piece lost, a piece repeated, or scraps put in."""
    out = bytearray(data)
    at = chance.randrange(len(out))
    how = chance.randrange(5)
    if how == 0:
        return data[:at]
    if how == 1:
        for _ in range(chance.choice((1, 3, 20))):
            out[chance.randrange(len(out))] = chance.randrange(256)
    elif how == 2:
        del out[at : at + chance.randrange(1, 60)]
    elif how == 3:
        start = chance.randrange(len(out))
        out[at:at] = out[start : start + 80]
    else:
        out[at : at + 1] = chance.choice(SCRAPS)
    return bytes(out)


def _plain(folder: Path, suffix: str) -> tuple[bytes, Rebuild]:
    texts = {
        ".obj": obj_text(PARTS),
        ".ply": ply_text(WHOLE, [(1, 2, 3)] * 12 + [(4, 5, 6)] * 12),
        "text.stl": stl_text(PARTS),
    }
    if suffix in texts:
        return texts[suffix].encode(), bytes
    return write_stl(folder / "whole.stl", WHOLE).read_bytes(), bytes


def _inside_zip(folder: Path, suffix: str) -> tuple[bytes, Rebuild]:
    """The model inside the package is damaged: a damaged package fails its checksum at once."""
    resources = f'<object id="1" name="head">{model_mesh(WHOLE)}</object>'
    path = write_3mf(folder / "whole.3mf", resources, '<item objectid="1"/>')
    with zipfile.ZipFile(path) as package:
        model = package.read("3D/3dmodel.model")

    def rebuild(data: bytes) -> bytes:
        with zipfile.ZipFile(path, "w") as package:
            package.writestr("3D/3dmodel.model", data)
        return path.read_bytes()

    return model, rebuild


def _description(folder: Path, suffix: str) -> tuple[bytes, Rebuild]:
    """The description inside the GLB is damaged, its lengths are set right again."""
    whole = write_glb(folder / "whole.glb", *gltf_scene(PARTS)).read_bytes()
    (size,) = struct.unpack_from("<I", whole, 12)

    def rebuild(text: bytes) -> bytes:
        text += b" " * (-len(text) % 4)
        body = struct.pack("<II", len(text), 0x4E4F534A) + text + whole[20 + size :]
        return b"glTF" + struct.pack("<II", 2, 12 + len(body)) + body

    return whole[20 : 20 + size], rebuild


@pytest.mark.parametrize(
    ("suffix", "source"),
    [(".stl", _plain), ("text.stl", _plain), (".obj", _plain), (".ply", _plain),
     (".3mf", _inside_zip), (".glb", _description)],
)  # fmt: skip
def test_damaged_files_load_soundly_or_are_refused(
    suffix: str, source: Callable[[Path, str], tuple[bytes, Rebuild]], tmp_path: Path
) -> None:
    data, rebuild = source(tmp_path, suffix)
    chance = random.Random(suffix)
    outcomes = {"loaded": 0, "refused": 0}
    unsaid: list[Fault] = []
    for _ in range(ROUNDS):
        path = tmp_path / f"damaged{suffix}"
        path.write_bytes(rebuild(_damaged(data, chance)))
        try:
            sculpt = load_sculpt(path)
        except MeshFault as error:
            unsaid += [one for one in error.faults if not (one.what and one.where and one.fix)]
            outcomes["refused"] += 1
            continue
        assert len(sculpt.faces) > 0
        assert np.isfinite(sculpt.vertices).all()
        assert 0 <= sculpt.area.min() <= sculpt.area.max() < len(sculpt.area_names)
        assert sculpt.source_face.min() >= 0
        outcomes["loaded"] += 1
    assert not unsaid
    assert outcomes["refused"] > 0, "damage that is never noticed tests nothing"
