"""What tests of several stages share."""

from __future__ import annotations

import os
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from tests.sculpts import sculpt_of, sphere_mesh

OUTSIDE_MESHES = Path(__file__).resolve().parents[2] / "shared" / "meshes"


def pytest_addoption(parser: pytest.Parser) -> None:
    """One flag writes the golden pictures anew."""
    parser.addoption("--regenerate", action="store_true", help="write the golden pictures anew")


@pytest.fixture
def outside_mesh() -> Callable[[str], Path]:
    """The path of an openly licensed mesh that stands beside the checkout, or a skip."""

    def find(name: str) -> Path:
        path = OUTSIDE_MESHES / name
        if not path.exists() and os.environ.get("CI") != "true":
            pytest.skip(f"{name} does not stand in {OUTSIDE_MESHES}")
        assert path.exists(), f"{path} is missing"
        return path

    return find


@pytest.fixture(scope="session")
def colour_science() -> ModuleType:
    """colour-science, the oracle; it warns at import when optional packages are missing."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


LAYERED = """
title = "Plain and layered"
rack = "harbour"
primer = "grey"
rig = { sky = 1.0, key = 0.0, recess = 0.0, edge = 0.0, spread = 0.0 }

[pots]
warm = "rust orange"
cold = "deep sea blue"
pale = "sailcloth"
brown = "tarred rope"

[ramps.plain]
shadow = { cold = 2, brown = 1 }
midtone = { warm = 3, cold = 1 }
highlight = [{ midtone = 2, pale = 1 }, { midtone = 1, pale = 2 }]
begins = [0.0, 0.35, 0.7, 0.9]
edges = "layered"

[areas]
plain = "plain"
"""


@pytest.fixture(scope="session")
def ball() -> Sculpt:
    """A sphere of 30 mm in one area called plain."""
    return sculpt_of(*sphere_mesh())


@pytest.fixture(scope="session")
def layered(tmp_path_factory: pytest.TempPathFactory) -> Scheme:
    """Four steps with hard borders on one area called plain, under open sky."""
    path = tmp_path_factory.mktemp("schemes") / "layered.toml"
    path.write_text(LAYERED, encoding="utf-8")
    return load_scheme(path)


@pytest.fixture(autouse=True)
def _no_cache(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Tests neither read nor fill the user's cache."""
    monkeypatch.setenv("FOURPOT_CACHE", str(tmp_path / "cache"))


@pytest.fixture(autouse=True)
def _loud_numbers() -> Iterator[None]:
    """Numerical faults raise, but for underflow, which is harmless."""
    with np.errstate(divide="raise", over="raise", invalid="raise"):
        yield
