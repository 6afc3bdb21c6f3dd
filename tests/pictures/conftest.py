"""The keeper that ships, put up once for the picture tests."""

from __future__ import annotations

import pytest

from preview.areas.load import load_sculpt
from preview.flow import Stand
from preview.shipped import shipped


@pytest.fixture(scope="session")
def keeper() -> Stand:
    """The demo figure before ray casting."""
    return Stand(load_sculpt([shipped("meshes", "keeper.glb")]), "scan")
