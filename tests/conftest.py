"""What tests of several stages share."""

from __future__ import annotations

import os
import warnings
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

OUTSIDE_MESHES = Path(__file__).resolve().parents[2] / "shared" / "meshes"


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
