"""The snowman of several tests, and the same prepared for marks."""

from __future__ import annotations

import numpy as np
import pytest

from preview.areas.marks.apply import MarkedFigure
from preview.areas.sculpt import Sculpt
from tests.areas.marked_bodies import marks_of, snowman


@pytest.fixture(scope="module")
def man() -> tuple[Sculpt, np.ndarray]:
    """Three balls grown into one solid, and which ball each face is on."""
    return snowman()


@pytest.fixture(scope="module")
def figure(man: tuple[Sculpt, np.ndarray]) -> MarkedFigure:
    """The snowman without any mark."""
    return MarkedFigure(man[0], marks_of())
