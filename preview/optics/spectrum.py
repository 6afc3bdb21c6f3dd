"""The one spectral grid of fourpot: 400 to 700 nm by 10 nm."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

WAVELENGTHS_NM: Floats = np.arange(400.0, 701.0, 10.0)
BANDS = len(WAVELENGTHS_NM)
