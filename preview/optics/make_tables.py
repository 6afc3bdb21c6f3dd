"""Make the shipped weight tables with colour-science: python -m preview.optics.make_tables.

Run by hand when a table is added; the tests recompute every table and compare.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from preview.optics.spectrum import BANDS, WAVELENGTHS_NM, Floats
from preview.optics.weights import ILLUMINANTS, TABLES, table_path

OBSERVER_IN_COLOUR = {
    2: "CIE 1931 2 Degree Standard Observer",
    10: "CIE 1964 10 Degree Standard Observer",
}


def weights_from_colour_science(illuminant: str, observer: int) -> Floats:
    """ASTM E308 weights for 400-700 nm by 10 nm, as colour-science applies them.

    The computation is linear, so the weight of a band is the tristimulus value of a reflectance
    that is 1 in that band and 0 elsewhere. Light beyond both ends is folded into the end bands.

    Parameters
    ----------
    illuminant : a key of `preview.optics.weights.ILLUMINANTS`.
    observer : degrees, 2 (CIE 1931) or 10 (CIE 1964).

    Returns
    -------
    (31, 3) unitless; the perfect white has Y = 1.

    References
    ----------
    ASTM E308, Computing the Colors of Objects by Using the CIE System, as in colour-science.
    """
    import colour

    shape = colour.SpectralShape(WAVELENGTHS_NM[0], WAVELENGTHS_NM[-1], 10)
    cmfs = colour.MSDS_CMFS[OBSERVER_IN_COLOUR[observer]]
    lamp = colour.SDS_ILLUMINANTS[ILLUMINANTS[illuminant]]
    bands = [colour.SpectralDistribution(band, shape) for band in np.eye(BANDS)]
    # It warns that it brings the lamp to the observer's wavelengths, which is what is wanted
    with colour.utilities.suppress_warnings(colour_runtime_warnings=True):
        rows = [colour.sd_to_XYZ(band, cmfs, lamp, method="ASTM E308") for band in bands]
    return np.asarray(rows, dtype=np.float64) / 100.0


def write_table(path: Path, illuminant: str, observer: int) -> None:
    """Write one table as text, its origin in the header."""
    import colour

    header = (
        f"Tristimulus weights X Y Z per band, 400-700 nm by 10 nm; perfect white has Y = 1.\n"
        f"Illuminant {ILLUMINANTS[illuminant]}, {OBSERVER_IN_COLOUR[observer]}.\n"
        f"Made with colour-science {colour.__version__}, method ASTM E308, ends folded in."
    )
    weights = weights_from_colour_science(illuminant, observer)
    np.savetxt(path, weights, fmt="%.10e", header=header, encoding="utf-8")


def main() -> None:
    """Write every table."""
    for illuminant, observer in TABLES:
        write_table(table_path(illuminant, observer), illuminant, observer)


if __name__ == "__main__":
    main()
