"""Small golden pictures of the demo figure, and proof that the comparison can fail."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from preview.flow import Stand, paint_sculpt
from preview.paint.lamp import DAYLIGHT
from preview.paint.look import paint_look, value_of_look
from preview.paint.picture import on_backdrop
from preview.present.backdrop import Backdrop
from preview.ramp.load import load_scheme
from preview.render.framing import framing
from preview.shipped import shipped
from tests.pictures.golden import GOLDEN, difference, hold_to_golden

SIDE = 240


@pytest.fixture(scope="module")
def shown(keeper: Stand) -> dict[str, NDArray[np.uint8]]:
    """The keeper under Storm watch: as lit, as paint alone, and in values."""
    painted = paint_sculpt(keeper, load_scheme(shipped("schemes", "storm-watch.toml")))
    view = framing(keeper.sculpt.vertices, SIDE, SIDE, elevation_deg=15.0)
    behind = Backdrop(keeper.sculpt).linear(view)
    lit = keeper.look(view, [painted], DAYLIGHT)
    bare = keeper.look(view, [painted], None)
    return {
        "keeper-lit": on_backdrop(paint_look(lit, painted.table, DAYLIGHT), behind),
        "keeper-paint": on_backdrop(paint_look(bare, painted.table, None), behind),
        "keeper-value": on_backdrop(value_of_look(bare, painted.table), behind),
    }


@pytest.mark.parametrize("name", ["keeper-lit", "keeper-paint", "keeper-value"])
def test_the_keeper_looks_as_it_did(
    name: str, shown: dict[str, NDArray[np.uint8]], request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    regenerate = bool(request.config.getoption("--regenerate"))
    hold_to_golden(name, shown[name], regenerate, tmp_path)


@pytest.mark.parametrize("change", ["black", "shifted", "re-tinted"])
def test_a_wrong_picture_does_not_pass(change: str) -> None:
    with Image.open(GOLDEN / "keeper-lit.png") as picture:
        golden = np.asarray(picture.convert("RGB"))
    wrong = {
        "black": np.zeros_like(golden),
        "shifted": np.roll(golden, 1, axis=1),
        "re-tinted": np.clip(golden * np.array([1.03, 1.0, 0.97]), 0, 255).astype(np.uint8),
    }[change]
    assert difference(golden, golden) == ""
    assert difference(wrong, golden) != ""
