"""A smooth reflectance that has a given colour: least hyperbolic tangent slope squared."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.optics.spectrum import BANDS, Floats
from preview.optics.srgb_iec61966 import SRGB_WHITE, linear_from_xyz
from preview.optics.weights import Observer, weights, white

# The curve lives between these: no paint reflects nothing, nor everything. A reflectance of
# DARKEST in every band has L* = 0.72, which is 0.42 CIEDE2000 from black.
DARKEST = 0.0008
LIGHTEST = 0.9995
# Greys at the very ends need z = ±infinity; this much grey keeps z finite.
_MARGIN = 1e-4
# Real colours reach beyond the sRGB triangle: this share of the brightest channel can be taken
# off the darkest one, and a reflectance still has the colour.
_DEEPER_THAN_SRGB = 0.0
_ITERATIONS = 60
_TOLERANCE = 1e-10
_LONGEST_STEP = 2.0


def _slope_matrix() -> Floats:
    """Second derivative of the sum of (z[i+1] - z[i])^2."""
    matrix = 4.0 * np.eye(BANDS) - 2.0 * np.eye(BANDS, k=1) - 2.0 * np.eye(BANDS, k=-1)
    matrix[0, 0] = matrix[-1, -1] = 2.0
    return matrix


def _newton_step(
    z: Floats, multiplier: Floats, target: Floats, table: Floats
) -> tuple[Floats, Floats, Floats]:
    """One Newton step of the Lagrangian for every colour, and how far each was from the goal."""
    n = len(z)
    tanh = np.tanh(z)
    slope = (1.0 - tanh**2) / 2.0
    pull = multiplier @ table.T
    gradient = z @ _slope_matrix() + slope * pull
    miss = ((tanh + 1.0) / 2.0) @ table - target
    system = np.zeros((n, BANDS + 3, BANDS + 3))
    system[:, :BANDS, :BANDS] = _slope_matrix()
    diagonal = np.arange(BANDS)
    system[:, diagonal, diagonal] += -2.0 * tanh * slope * pull
    jacobian = slope[:, :, None] * table
    system[:, :BANDS, BANDS:] = jacobian
    system[:, BANDS:, :BANDS] = jacobian.transpose(0, 2, 1)
    right = -np.concatenate([gradient, miss], axis=1)
    step = np.linalg.solve(system, right[..., None])[..., 0]
    return step[:, :BANDS], step[:, BANDS:], np.abs(right).max(axis=1)


def _between_the_ends(xyz: Floats, light: Floats) -> Floats:
    """The colour that the hyperbolic tangent alone must give, so that both ends fit.

    Takes off the grey that DARKEST puts under every band, as far as the colour can spare it.
    """
    linear = linear_from_xyz(xyz / light * SRGB_WHITE)
    spare = linear.min(axis=1) + _DEEPER_THAN_SRGB * linear.max(axis=1)
    grey = np.clip(spare, 0.0, DARKEST)[:, None]
    return np.asarray((xyz - grey * light) / (1.0 - grey) * (1.0 - 2.0 * _MARGIN) + _MARGIN * light)


def reflectance_from_xyz(
    xyz: ArrayLike, illuminant: str = "D65", observer: Observer = 2
) -> tuple[Floats, NDArray[np.bool_]]:
    """The smoothest reflectance with given tristimulus values, by LHTSS.

    Minimises the summed squared steps of z under the three colour constraints, where the
    reflectance is `DARKEST + (LIGHTEST - DARKEST) * (tanh z + 1) / 2`. To stay between those
    ends, the nearest colours to black and white are moved a little: black becomes L* 0.7, white
    99.98. Chromatic near-blacks move by less than 0.5 CIEDE2000, all others not at all.

    Parameters
    ----------
    xyz : (..., 3) tristimulus values, perfect white Y = 1.
    illuminant, observer : see `preview.optics.weights.weights`.

    Returns
    -------
    reflectance : (..., 31) unitless in (0, 1).
    found : (...) bool, False where no reflectance has this colour (then the curve is the last
        one tried).

    Notes
    -----
    Holds exactly: a neutral gets a flat curve.
    Leaves out: the fine structure of real pigments; a colour has many spectra.

    References
    ----------
    Burns 2020, Numerical methods for smoothest reflectance reconstruction, Color Research &
    Application 45(1) (from memory).
    """
    wanted = np.asarray(xyz, dtype=np.float64)
    table, light = weights(illuminant, observer), white(illuminant, observer)
    target = _between_the_ends(wanted.reshape(-1, 3), light)
    z = np.zeros((len(target), BANDS))
    multiplier = np.zeros((len(target), 3))
    open_ = np.ones(len(target), dtype=bool)
    for _ in range(_ITERATIONS):
        rows = np.flatnonzero(open_)
        if not len(rows):
            break
        dz, dm, error = _newton_step(z[rows], multiplier[rows], target[rows], table)
        damp = np.minimum(1.0, _LONGEST_STEP / np.maximum(np.abs(dz).max(axis=1), 1e-12))[:, None]
        z[rows] += damp * dz
        multiplier[rows] += damp * dm
        open_[rows] = error > _TOLERANCE
    curve = DARKEST + (LIGHTEST - DARKEST) * (np.tanh(z) + 1.0) / 2.0
    return curve.reshape(*wanted.shape[:-1], BANDS), ~open_.reshape(wanted.shape[:-1])
