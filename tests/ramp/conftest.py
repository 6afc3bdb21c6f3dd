"""A small rack and a scheme that is right, for tests that change one thing in it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from preview.errors import SchemeFault
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme

RACK = """
title = "Quay"
[[paint]]
name = "rust orange"
srgb = "#a8481c"
hiding = "semi"
[[paint]]
name = "deep sea blue"
srgb = "#1f3f63"
[[paint]]
name = "sailcloth"
srgb = "#eae2cd"
hiding = "opaque"
[[paint]]
name = "tarred rope"
srgb = "#6b4a30"
[[paint]]
name = "soot"
srgb = "#1b1b1c"
[[paint]]
name = "tin"
srgb = "#9a9b9c"
finish = "metallic"
[[paint]]
name = "buoy green"
srgb = "#2f7a4a"
"""

SCHEME = """
title = "Storm watch"
rack = "quay"
primer = "grey"

[pots]
warm = "rust orange"
cold = "deep sea blue"
pale = "sailcloth"
brown = "tarred rope"

[ramps.oilskin]
shadow = { cold = 2, brown = 1 }
midtone = { warm = 3, cold = 1 }
highlight = [ { midtone = 2, pale = 1 }, { midtone = 1, pale = 2 } ]
begins = [0.0, 0.35, 0.7, 0.9]
edges = "blended"
finish = "satin"

[ramps.plain]
midtone = { brown = 1 }

[areas]
coat = "oilskin"
boots = "plain"
"""

Write = Callable[[str], Path]


@pytest.fixture
def scheme_text() -> str:
    """A scheme without a fault."""
    return SCHEME


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a scheme file beside its rack, and say where."""
    (tmp_path / "quay.toml").write_text(RACK, encoding="utf-8")

    def write_scheme(text: str) -> Path:
        path = tmp_path / "storm-watch.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write_scheme


@pytest.fixture
def load(write: Write) -> Callable[[str], Scheme]:
    """Load a scheme from its text."""
    return lambda text: load_scheme(write(text))


@pytest.fixture
def faults_of(write: Write) -> Callable[[str], list[tuple[str, str, str]]]:
    """What, where and fix of every fault of a scheme's text."""

    def read(text: str) -> list[tuple[str, str, str]]:
        with pytest.raises(SchemeFault) as raised:
            load_scheme(write(text))
        return [(fault.what, fault.where, fault.fix) for fault in raised.value.faults]

    return read
