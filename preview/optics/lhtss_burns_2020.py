"""A smooth reflectance that has a given colour: least hyperbolic tangent slope squared."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.optics.spectrum import BANDS, Floats
from preview.optics.weights import Observer, weights, white

# No paint reflects nothing in a band. The curve keeps above the first of these floors that
# lets it have the colour: the darkest and most chromatic colours need the lower ones.
FLOORS = (0.004, 0.001, 0.0004)
LIGHTEST = 0.9995
# Black and white themselves need z = ±infinity. This much grey, mixed in at the lowest floor and
# at the top, keeps z finite; with the floor it makes black L* = 0.4.
_MARGIN = 1e-5
_FURTHEST_Z = 9.0
_ITERATIONS = 50
_TOLERANCE = 1e-9
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
    # A colour that no reflectance has would make the system singular; this keeps it solvable
    constraint = np.arange(BANDS, BANDS + 3)
    system[:, constraint, constraint] = -1e-12
    right = -np.concatenate([gradient, miss], axis=1)
    step = np.linalg.solve(system, right[..., None])[..., 0]
    return step[:, :BANDS], step[:, BANDS:], np.abs(right).max(axis=1)


def _solve(target: Floats, table: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """(colours, 31) values in (0, 1) with the smoothest z for each target, and which were found."""
    z = np.zeros((len(target), BANDS))
    multiplier = np.zeros((len(target), 3))
    error = np.full(len(target), np.inf)
    for _ in range(_ITERATIONS):
        rows = np.flatnonzero(error > _TOLERANCE)
        if not len(rows):
            break
        dz, dm, error[rows] = _newton_step(z[rows], multiplier[rows], target[rows], table)
        longest = np.maximum(np.abs(dz).max(axis=1, keepdims=True), _LONGEST_STEP)
        z[rows] = np.clip(z[rows] + dz * (_LONGEST_STEP / longest), -_FURTHEST_Z, _FURTHEST_Z)
        multiplier[rows] += dm * (_LONGEST_STEP / longest)
    return (np.tanh(z) + 1.0) / 2.0, error <= _TOLERANCE


def reflectance_from_xyz(
    xyz: ArrayLike, illuminant: str = "D65", observer: Observer = 2
) -> tuple[Floats, NDArray[np.bool_]]:
    """The smoothest reflectance with given tristimulus values, by LHTSS.

    Minimises the summed squared steps of z under the three colour constraints, where the
    reflectance is `floor + (LIGHTEST - floor) * (tanh z + 1) / 2`, for the first floor that the
    colour allows. To stay between those ends, every colour darkens by 0.05 % (0.01 CIEDE2000),
    and those that need the lowest floor are lifted by it (black to L* 0.4, at most 0.37).

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
    wanted = np.asarray(xyz, dtype=np.float64).reshape(-1, 3)
    table, light = weights(illuminant, observer), white(illuminant, observer)
    curves = np.empty((len(wanted), BANDS))
    found = np.zeros(len(wanted), dtype=bool)
    for floor in FLOORS:
        rows = np.flatnonzero(~found)
        grey = floor if floor > FLOORS[-1] else 0.0
        target = (wanted[rows] - grey * light) / (1.0 - grey)
        target = target * (1.0 - 2.0 * _MARGIN) + _MARGIN * light
        share, found[rows] = _solve(target, table)
        curves[rows] = floor + (LIGHTEST - floor) * share
    shape = np.shape(xyz)[:-1]
    return curves.reshape(*shape, BANDS), found.reshape(shape)
