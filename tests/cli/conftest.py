"""The command line run as its users run it, in a process of its own or in this one."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from preview.cli import app, main
from preview.errors import FourpotError

SCHEME = """
title = "Boat"
rack = "harbour"
primer = "grey"

[pots]
warm = "rust orange"
cold = "deep sea blue"
pale = "sailcloth"
brown = "tarred rope"

[ramps.tar]
shadow = { cold = 2, brown = 1 }
midtone = { brown = 2, warm = 1 }
highlight = { midtone = 1, pale = 1 }

[ramps.wood]
shadow = { brown = 1 }
midtone = { brown = 1, warm = 1, pale = 2 }
highlight = { midtone = 1, pale = 2 }

[areas]
hull = "tar"
mast = "wood"
"""

Run = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Run `fourpot` with arguments in a folder of its own."""

    def call(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "preview", *map(str, arguments)]
        return subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)

    return call


@pytest.fixture
def run_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Run:
    """The same in this process, which spares its start; for runs beside one of its own."""

    def call(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
        monkeypatch.setattr(sys, "argv", ["fourpot", *map(str, arguments)])
        monkeypatch.chdir(tmp_path)
        capsys.readouterr()
        with pytest.raises(SystemExit) as done:
            main()
        said = capsys.readouterr()
        return subprocess.CompletedProcess(sys.argv, int(done.value.code or 0), said.out, said.err)

    return call


def refused(*arguments: object) -> FourpotError:
    """The refusal of a command run in this process."""
    with pytest.raises(FourpotError) as caught:
        app([str(one) for one in arguments], standalone_mode=False)
    return caught.value


@pytest.fixture
def scheme(tmp_path: Path) -> Path:
    """A scheme for the two solids."""
    path = tmp_path / "boat.toml"
    path.write_text(SCHEME, encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def two_solids(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An ASCII STL of two boxes, named hull and mast, 32 mm tall."""
    import trimesh

    hull = trimesh.creation.box((12.0, 20.0, 8.0))
    mast = trimesh.creation.cylinder(2.0, 24.0, sections=24)
    hull.apply_translation((0, 0, 4.0))
    mast.apply_translation((0, 0, 20.0))
    text = "".join(_solid(name, mesh.triangles) for name, mesh in (("hull", hull), ("mast", mast)))
    path = tmp_path_factory.mktemp("meshes") / "boat.stl"
    path.write_text(text, encoding="utf-8")
    return path


def _solid(name: str, triangles: np.ndarray) -> str:
    """One solid of an ASCII STL."""
    lines = [f"solid {name}"]
    for triangle in triangles:
        corners = "".join(f"vertex {x:.6f} {y:.6f} {z:.6f}\n" for x, y, z in triangle)
        lines.append(f"facet normal 0 0 0\nouter loop\n{corners}endloop\nendfacet")
    return "\n".join([*lines, f"endsolid {name}\n"])
