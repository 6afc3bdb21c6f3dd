"""A second figure with exact areas, as a field of distances: a beekeeper beside a hive.

It was made to judge the finding of areas by, and no setting was chosen on it.
"""

from __future__ import annotations

import numpy as np

from tests.areas.figures.fields import (
    Array,
    Figure,
    Solid,
    ball,
    box,
    cone,
    disc,
    filleted,
    largest_piece,
    ring,
)

_ROUGH = 4
_LOW, _HIGH = np.array([-13.0, -11.0, -0.5]), np.array([15.0, 11.0, 34.5])


def beekeeper(cell: float = 0.3) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from skimage.measure import marching_cubes

    vertices, faces, _, _ = marching_cubes(
        _volume(cell), 0.0, spacing=(cell,) * 3, gradient_direction="descent"
    )
    vertices, faces = (vertices + _LOW).astype(np.float32), faces.astype(np.int32)
    vertices, faces = largest_piece(vertices, faces)
    names = tuple(dict.fromkeys(solid.area for solid in _solids()))
    middle = vertices[faces].mean(axis=1).astype(np.float64)
    near = np.argmin([np.abs(solid.field(middle)) for solid in _solids()], axis=0)
    numbers = np.array([names.index(solid.area) for solid in _solids()], np.int32)
    return Figure(vertices, faces, numbers[near], names)


def _volume(cell: float) -> Array:
    """The field on a grid, exact near the surface only, rough elsewhere."""
    rough = cell * _ROUGH
    counts = [int(np.ceil(span / rough)) for span in _HIGH - _LOW]
    middles = _grid(counts, rough) + rough / 2
    far = _whole(middles).reshape(counts)
    for axis in range(3):
        far = far.repeat(_ROUGH, axis=axis)
    volume = far.ravel()
    near = np.flatnonzero(np.abs(volume) < 1.5 * rough)
    volume[near] = _whole(_grid(list(far.shape), cell)[near])
    return volume.reshape(far.shape)


def _grid(counts: list[int], step: float) -> Array:
    """Places on a grid, the last axis fastest."""
    axes = [np.arange(count) * step for count in counts]
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3) + _LOW


def _whole(places: Array) -> Array:
    """All bodies together."""
    found = np.full(len(places), np.inf)
    for solid in _solids():
        found = filleted(found, solid.field(places))
    return found


def _solids() -> list[Solid]:
    """Every body, the large ones first."""
    both = (-1.0, 1.0)
    found = [
        Solid("ground", disc((0, 0, 0.9), 11.5, 0.9)),
        Solid("ground", ball((6.5, 3.0, 0.6), (5.0, 5.5, 1.9))),
        Solid("hive", ball((7.6, 2.6, 5.4), (3.5, 3.5, 4.6))),
        Solid("smock", cone((-2.5, 0, 10.0), (-2.5, 0, 20.5), 4.3, 2.9)),
        Solid("veil", cone((-2.5, -0.3, 22.0), (-2.5, -0.2, 27.0), 2.7, 2.2)),
        Solid("hat", disc((-2.5, -0.2, 28.3), 4.6, 0.35)),
        Solid("hat", ball((-2.5, -0.2, 28.8), (2.4, 2.4, 2.6))),
        Solid("smoker", cone((-9.2, -4.6, 15.2), (-9.2, -4.6, 18.6), 1.35, 1.35)),
        Solid("smoker", cone((-9.2, -4.6, 18.8), (-10.4, -5.9, 20.8), 0.95, 0.35)),
        Solid("bellows", box((-7.4, -4.6, 16.6), (0.5, 1.2, 1.5))),
        Solid("band", ring((-2.5, -0.2, 28.9), 2.45, 0.38)),
        Solid("sash", ring((-2.5, 0, 14.6), 3.55, 0.65)),
        Solid("sash", cone((-1.0, -3.9, 14.2), (-0.4, -4.6, 10.6), 0.55, 0.7)),
    ]
    for level in (2.4, 4.2, 6.0, 7.7):
        reach = 3.5 * np.sqrt(max(0.0, 1 - ((level - 5.4) / 4.6) ** 2))
        found.append(Solid("straw", ring((7.6, 2.6, level), float(reach), 0.42)))
    for side in both:
        hip, knee = (-2.5 + 1.9 * side, 0.0, 10.4), (-2.5 + 2.3 * side, -0.5, 6.2)
        ankle = (-2.5 + 2.4 * side, 0.2, 3.4)
        found += [
            Solid("trousers", cone(hip, knee, 2.0, 1.6)),
            Solid("trousers", cone(knee, ankle, 1.6, 1.35)),
            Solid("boots", cone((ankle[0], 0.2, 4.6), (ankle[0], 0.2, 2.4), 1.75, 1.5)),
            Solid("boots", ball((ankle[0], -0.9, 2.4), (1.6, 2.7, 1.1))),
        ]
    left, right = (-7.2, -2.6, 15.6), (2.2, 1.6, 13.2)
    found += [
        Solid("smock", cone((-5.0, 0, 19.6), (-7.3, -0.6, 16.4), 1.8, 1.5)),
        Solid("smock", cone((-7.3, -0.6, 16.4), left, 1.5, 1.25)),
        Solid("smock", cone((0.0, 0, 19.6), (1.9, 1.0, 16.0), 1.8, 1.5)),
        Solid("smock", cone((1.9, 1.0, 16.0), right, 1.5, 1.25)),
        Solid("gloves", ball((-7.5, -4.0, 15.4), (1.3, 1.5, 1.3))),
        Solid("gloves", ball((2.8, 2.0, 11.9), (1.3, 1.3, 1.6))),
    ]
    return found
