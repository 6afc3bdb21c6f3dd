"""The colours that a scheme gives to a sculpt, as the judge needs them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Colours:
    """Paint alone, without lamp or gloss.

    luminance : (faces,) luminance factor Y in [0, 1], linear.
    lab : (faces, 3) CIELAB under the same light.
    midtone_lab : (areas, 3) CIELAB of each area's mid-tone.

    Raises
    ------
    ValueError : shapes that do not fit together, or luminances that are no share of light.
    """

    luminance: NDArray[np.floating]
    lab: NDArray[np.floating]
    midtone_lab: NDArray[np.floating]

    def __post_init__(self) -> None:
        if self.lab.shape != (len(self.luminance), 3) or self.midtone_lab.shape[1:] != (3,):
            raise ValueError(
                f"{self.luminance.shape} luminances do not fit colours of shape "
                f"{self.lab.shape} and mid-tones of shape {self.midtone_lab.shape}"
            )
        low, high = self.luminance.min(initial=0.0), self.luminance.max(initial=0.0)
        if not (low >= 0.0 and high <= 1.01):
            raise ValueError(f"luminance factors lie in [0, 1], got {low:g} to {high:g}")
