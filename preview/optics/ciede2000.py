"""How different two colours look: CIEDE2000."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.spectrum import Floats


def _chroma_weight(chroma: Floats) -> Floats:
    """sqrt(C^7 / (C^7 + 25^7)), shared by G and R_C."""
    seventh = chroma**7
    return np.asarray(np.sqrt(seventh / (seventh + 25.0**7)))


def _hue_deg(a: Floats, b: Floats) -> Floats:
    """Hue angle in [0, 360); 0 for a neutral."""
    return np.degrees(np.arctan2(b, a)) % 360.0


def ciede2000(lab_1: ArrayLike, lab_2: ArrayLike) -> Floats:
    """CIEDE2000 colour difference with k_L = k_C = k_H = 1.

    Parameters
    ----------
    lab_1, lab_2 : (..., 3) CIELAB; the leading shapes broadcast.

    Returns
    -------
    (...,) unitless, >= 0; about 1 is just seen side by side.

    Notes
    -----
    Holds exactly: symmetric; 0 for equal colours.

    References
    ----------
    Sharma, Wu & Dalal 2005, The CIEDE2000 color-difference formula: implementation notes,
    supplementary test data, and mathematical observations, Color Research & Application 30(1),
    equations 2 to 22.
    """
    first, second = np.broadcast_arrays(
        np.asarray(lab_1, dtype=np.float64), np.asarray(lab_2, dtype=np.float64)
    )
    L1, a1, b1 = first[..., 0], first[..., 1], first[..., 2]
    L2, a2, b2 = second[..., 0], second[..., 1], second[..., 2]

    # Step 1: C' and h'  (2-7)
    G = 0.5 * (1.0 - _chroma_weight((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2.0))
    a1p, a2p = (1.0 + G) * a1, (1.0 + G) * a2
    C1p, C2p = np.hypot(a1p, b1), np.hypot(a2p, b2)
    h1p, h2p = _hue_deg(a1p, b1), _hue_deg(a2p, b2)

    # Step 2: differences  (8-11); without chroma there is no hue difference
    grey = C1p * C2p == 0.0
    turn = h2p - h1p
    dhp = np.where(grey, 0.0, turn - 360.0 * np.round(turn / 360.0))
    dLp, dCp = L2 - L1, C2p - C1p
    dHp = 2.0 * np.sqrt(C1p * C2p) * np.sin(np.radians(dhp) / 2.0)

    # Step 3: means and weights  (12-22)
    Lp, Cp = (L1 + L2) / 2.0, (C1p + C2p) / 2.0
    total = h1p + h2p
    far = np.abs(turn) > 180.0
    hp = np.where(far, np.where(total < 360.0, total + 360.0, total - 360.0), total) / 2.0
    hp = np.where(grey, total, hp)
    T = (
        1.0
        - 0.17 * np.cos(np.radians(hp - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * hp))
        + 0.32 * np.cos(np.radians(3.0 * hp + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * hp - 63.0))
    )
    d_theta = 30.0 * np.exp(-(((hp - 275.0) / 25.0) ** 2))
    S_L = 1.0 + 0.015 * (Lp - 50.0) ** 2 / np.sqrt(20.0 + (Lp - 50.0) ** 2)
    S_C = 1.0 + 0.045 * Cp
    S_H = 1.0 + 0.015 * Cp * T
    R_T = -np.sin(np.radians(2.0 * d_theta)) * 2.0 * _chroma_weight(Cp)
    square = (
        (dLp / S_L) ** 2 + (dCp / S_C) ** 2 + (dHp / S_H) ** 2 + R_T * (dCp / S_C) * (dHp / S_H)
    )
    return np.asarray(np.sqrt(np.maximum(square, 0.0)))
