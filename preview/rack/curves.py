"""Measured curves as a file holds them, before anything is asked of them."""

from __future__ import annotations

from dataclasses import dataclass

from preview.optics.spectrum import Floats


@dataclass(frozen=True, eq=False)
class Curves:
    """The samples of one file, on the file's own wavelengths.

    wavelength_nm : (readings,) nm, rising.
    names : one per sample; empty texts when the file names none.
    values : (samples, readings) unitless, 1 for a perfect white.
    """

    wavelength_nm: Floats
    names: tuple[str, ...]
    values: Floats
