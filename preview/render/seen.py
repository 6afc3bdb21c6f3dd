"""What the samples of a picture see, and the interface that every renderer offers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from preview.render.view import View


@dataclass(frozen=True, eq=False)
class Seen:
    """One row per sample that hits the sculpt; samples that miss are left out.

    pixel : (samples,) int32, row * width + column, row 0 at the top.
    weight : (samples,) float32 in (0, 1], the sample's share of its pixel; over a pixel that
        the sculpt covers wholly they sum to 1.
    face : (samples,) int32.
    bary : (samples, 2) float32, barycentric weights of the face's corners 1 and 2.
    depth : (samples,) float32, mm from the camera plane through the eye (orthographic: from the
        plane through the target, towards the viewer negative), along the view axis.
    """

    view: View
    pixel: NDArray[np.int32]
    weight: NDArray[np.float32]
    face: NDArray[np.int32]
    bary: NDArray[np.float32]
    depth: NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Drawn:
    """The face that every sample of a picture shows, on a grid.

    side : samples of a pixel across, and down.
    number : (height * side * width * side,) int32, row 0 at the top; -1 where there is nothing.
    depth : the same shape, float32, as in `Seen`; without meaning where there is nothing.
    """

    view: View
    side: int
    number: NDArray[np.int32]
    depth: NDArray[np.float32]


class Renderer(Protocol):
    """Prepared for one sculpt; sees it from any view.

    driver : what draws, where that is not our own code; else empty.
    """

    name: str
    driver: str

    def draw(self, view: View, samples: int = 1) -> Drawn:
        """The face at each of `samples` samples per pixel (a square number: 1, 4, 9 …)."""
        ...

    def see(self, view: View, samples: int = 1) -> Seen:
        """What each of `samples` samples per pixel (a square number: 1, 4, 9 …) sees."""
        ...
