"""A low-poly figure with exact areas: the woman who mends the nets of the breakwater.

It is made of shells pushed into each other, as figures for games are, not of one solid.
It was made to judge the finding of areas by, and no setting was chosen on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from tests.areas.figures.fields import Array, Figure, Shell, Vec, side_by_side

_NAMES = ("skin", "hair", "dress", "linen", "shawl", "rope", "wood", "ground")
_SEED = 1907
Mask = NDArray[np.bool_]
Row = tuple[float, float, float, float, float]  # The middle of a ring and its two reaches.


def netmender() -> Figure:
    """Put all shells side by side in one mesh, none of them joined."""
    shells = [*_ground(), *_clothes(), *_arms(), *_head(), *_gear()]
    return side_by_side(shells, _NAMES)


def _ground() -> Iterable[Shell]:
    """A rough slab with the boulders of the breakwater."""
    draw = np.random.default_rng(_SEED)
    wide = np.array((11.8, 12.0, 11.3, 9.2, 7.0, 4.8, 2.4))
    slab = _columns(0.4, -0.6, (0, 0.9, 1.6, 1.8, 1.8, 1.8, 1.8), wide, 0.9 * wide)
    rings = _level(slab, 24)
    rings[1:3] += draw.normal(0, 0.16, rings[1:3].shape)
    rings[3:, :, 2] += draw.normal(0, 0.12, rings[3:, :, 2].shape)
    yield _loft(rings, "ground")
    for x, y, reach in ((-8.2, 4.2, 2.3), (-6.0, 6.6, 1.7), (5.2, 7.2, 1.9), (-9.6, 0.6, 1.3)):
        rings = _level(_ball((x, y, 2.2), (reach, reach, 0.8 * reach), 5), 8)
        yield _loft(rings + draw.normal(0, 0.03 * reach, rings.shape), "ground")


def _clothes() -> Iterable[Shell]:
    """Skirt, bodice, apron, shawl and clogs."""
    skirt = _columns(
        (0.5, 0.45, 0.4, 0.3, 0.2, 0.1, 0, 0, 0, 0),
        (0.2, 0.2, 0.2, 0.2, 0.15, 0.1, 0.1, 0, 0, 0),
        (2.2, 3.3, 4.4, 6.4, 8.6, 10.8, 13.0, 15.0, 16.8, 18.3),
        (6.5, 6.35, 6.2, 5.75, 5.2, 4.65, 4.1, 3.5, 2.85, 2.4),
        (5.7, 5.6, 5.45, 5.1, 4.65, 4.15, 3.6, 3.05, 2.45, 2.0),
    )
    angles = np.arange(20) * np.pi / 10
    cloth = np.stack([_skirt(row, angles) for row in skirt])
    yield _loft(cloth, "dress", "linen", np.arange(9)[:, None] < 2)

    bodice = _columns(
        0.0,
        (0, 0, -0.1, -0.3, -0.25, -0.1, 0, 0, -0.05, -0.2, -0.4),
        (17.4, 18.6, 19.9, 21.1, 22.1, 23.0, 23.8, 24.4, 24.9, 25.6, 26.6),
        (2.45, 2.35, 2.65, 3.0, 3.2, 3.3, 3.1, 2.3, 1.4, 1.1, 1.1),
        (2.0, 1.9, 2.15, 2.6, 2.6, 2.3, 1.95, 1.6, 1.25, 1.1, 1.15),
    )
    # The neckline runs along edges of the smooth bodice, lowest in the middle of the front.
    off_middle = np.abs((np.arange(16) + 12.5) % 16 - 8)
    lowest = np.select([off_middle < 1, off_middle < 2, off_middle < 6], [4, 5, 6], 7)
    yield _loft(_level(bodice, 16), "dress", "skin", np.arange(10)[:, None] >= lowest)

    heights = np.linspace(6.4, 17.9, 11)
    rows = np.stack([np.interp(heights, skirt[:, 2], column) for column in skirt.T], axis=1)
    across = np.linspace(0.95, 0.62, 11)[:, None] * np.linspace(-1, 1, 11) - 1.62
    apron = [_skirt(row, angles, 0.3) for row, angles in zip(rows, across, strict=True)]
    yield _slab(np.stack(apron), 0.55, "linen")

    half = np.array(
        [
            [(1.2, 1.3, 25.5), (1.95, -0.1, 25.1), (1.75, -1.9, 23.8), (0.5, -3.05, 21.8)],
            [(2.4, 2.0, 24.5), (3.9, 0.0, 24.9), (3.0, -2.4, 23.5), (0.7, -3.3, 21.3)],
            [(3.3, 2.9, 21.6), (5.9, 0.3, 23.2), (4.4, -2.5, 22.6), (0.85, -3.45, 20.75)],
            [(3.7, 3.2, 18.6), (6.9, 0.6, 20.9), (5.2, -2.9, 21.2), (1.0, -3.5, 20.1)],
        ]
    )
    back = np.array([(0.0, 1.7, 25.4), (0.0, 2.5, 24.3), (0.1, 3.2, 20.6), (0.4, 3.3, 15.9)])
    right = half[:, ::-1] * (-1, 1, 1) + (0.0, 0.05, 0.15)
    around = np.concatenate([half[:, ::-1], back[:, None], right[:, ::-1]], axis=1)
    yield _slab(_patch(around, 8, 23), 0.4, "shawl")
    yield _loft(_level(_ball((0.0, -3.5, 20.9), (1.0, 0.75, 0.8), 6), 9), "shawl")
    for x, z in ((-1.3, 17.2), (1.0, 16.6)):
        tail = [(0.1 * x, -3.5, 20.8, 0.4, 0.3), (0.6 * x, -3.5, 19.2, 0.7, 0.3)]
        yield _loft(_tube([*tail, (x, -3.4, z, 1.0, 0.3)], 6, 8, (1, 0, 0)), "shawl")

    for x, turn in ((-2.6, -0.5), (2.9, 0.7)):
        clog = [(x, -3.6, 2.4, 0.9, 1.0), (x + 0.4 * turn, -5.2, 2.5, 1.0, 1.25)]
        clog += [(x + 0.8 * turn, -6.6, 2.3, 0.75, 1.05), (x + turn, -7.4, 2.35, 0.45, 0.5)]
        yield _loft(_tube(clog, 8, 10, (0, 0, 1)), "wood")


def _arms() -> Iterable[Shell]:
    """Sleeves with linen cuffs, and the hands at work; the left ones reach out lower."""
    sleeve = [(-2.6, 0.0, 23.3, 1.3, 1.3), (-4.3, 0.3, 22.0, 1.65, 1.65)]
    sleeve += [(-5.3, 0.2, 19.8, 1.6, 1.7), (-4.9, -1.9, 18.3, 1.55, 1.6)]
    sleeve += [(-4.0, -3.6, 18.3, 1.2, 1.2), (-3.5, -4.6, 18.5, 1.5, 1.5)]
    hand = [(-3.8, -4.0, 18.4, 0.8, 0.8), (-3.1, -5.5, 18.8, 0.7, 0.75)]
    hand += [(-2.6, -6.5, 19.1, 1.05, 0.7), (-1.8, -7.2, 19.0, 1.1, 0.6)]
    hand += [(-1.0, -7.0, 18.8, 0.85, 0.4)]
    thumb = [(-2.9, -6.2, 19.4, 0.4, 0.4), (-2.1, -6.2, 20.1, 0.42, 0.42)]
    thumb += [(-1.4, -6.3, 20.2, 0.28, 0.28)]
    for side, reach in ((1, 0.0), (-1, 1.0)):
        mirror = np.array((side, 1, 1, 1, 1))
        lower = reach * np.array((1.0, -0.2, -0.9, 0, 0))
        rows = np.array(sleeve) * mirror + np.linspace(0, 1, 6)[:, None] * lower
        rings = _tube(rows, 11, 12, (-0.7 * side, -0.2, 1))
        yield _loft(rings, "dress", "linen", np.arange(10)[:, None] >= 8)
        yield _loft(_tube(np.array(hand) * mirror + lower, 9, 10), "skin")
        yield _loft(_tube(np.array(thumb) * mirror + lower, 5, 7), "skin")


def _head() -> Iterable[Shell]:
    """Head, ears, nose and hair, bent a little to the work."""
    rows = _columns(
        0.0,
        (-0.85, -0.65, -0.4, -0.2, -0.1, 0.0, 0.1, 0.15),
        (25.7, 26.2, 27.0, 27.9, 28.7, 29.5, 30.3, 30.9),
        (0.8, 1.35, 1.75, 1.95, 2.05, 2.05, 1.7, 1.0),
        (0.75, 1.3, 1.75, 2.05, 2.1, 2.2, 1.85, 1.1),
    )
    rings = _level(rows, 16)
    rings[4, [11, 13], 1] += 0.35
    parts = [_loft(rings, "skin")]
    nose = [(0, -1.9, 28.7, 0.3, 0.3), (0, -2.5, 27.8, 0.45, 0.45), (0, -2.3, 27.4, 0.3, 0.25)]
    parts.append(_loft(_tube(nose, 4, 6, (1, 0, 0)), "skin"))
    for side in (-1, 1):
        ear = _ball((2.1 * side, -0.2, 27.8), (0.4, 0.6, 0.8), 5)
        parts.append(_loft(_level(ear, 8), "skin"))
        lock = [(0.25 * side, -2.0, 30.3, 0.5, 0.4), (1.4 * side, -1.65, 29.6, 0.6, 0.4)]
        lock += [(2.05 * side, -0.8, 28.9, 0.6, 0.4), (2.1 * side, 0.6, 28.0, 0.6, 0.4)]
        lock += [(1.6 * side, 1.7, 27.5 - 0.2 * side, 0.4, 0.4)]
        parts.append(_loft(_tube(lock, 9, 8, (0.2 * side, 0.3, 1)), "hair"))

    # The hairline rises over the brow and falls to the nape; the hair closes inside the head.
    angles = np.arange(16) * np.pi / 8
    front = -np.sin(angles)
    hairline = 28.5 + 1.4 * np.clip(front, 0, 1) ** 2 - 1.7 * np.clip(-front, 0, 1)
    crown = []
    for share, inside in ((0, 0.7), (0, 1), (0.25, 1), (0.5, 1), (0.75, 1), (0.93, 1)):
        height = hairline + (31.7 - hairline) * share
        reach = inside * np.sqrt(1 - ((height - 28.6) / 3.4) ** 2)
        place = (2.28 * reach * np.cos(angles), 0.2 + 2.5 * reach * np.sin(angles), height)
        crown.append(np.stack(place, 1))
    parts.append(_loft(np.stack(crown), "hair"))
    parts.append(_loft(_level(_ball((0.1, 2.6, 29.6), (1.6, 1.4, 1.6), 7), 12), "hair"))
    bend = np.array([(0.98, -0.2, 0), (0.2, 0.97, -0.12), (0, 0.12, 0.99)])
    pivot = np.array((0.0, 0.0, 26.0))
    for part in parts:
        yield Shell((part.vertices - pivot) @ bend.T + pivot, part.faces, part.area)

    plait = [(1.0, 1.8, 27.3, 0.7, 0.7), (2.2, 1.0, 26.1, 0.7, 0.7), (2.6, -0.8, 25.6, 0.75, 0.7)]
    plait += [(2.7, -2.6, 24.2, 0.75, 0.65), (2.6, -3.8, 22.0, 0.7, 0.6)]
    plait += [(2.7, -4.2, 20.0, 0.6, 0.5), (2.8, -4.0, 18.7, 0.3, 0.3)]
    rings = _tube(plait, 19, 8, (1, 0.1, 0.3))
    middle = rings.mean(axis=1, keepdims=True)
    swell = np.where(np.arange(19) % 2 == 0, 1.15, 0.8)[:, None, None]
    tied = np.arange(18)[:, None] // 2 == 7
    yield _loft(middle + (rings - middle) * swell, "hair", "rope", tied)


def _gear() -> Iterable[Shell]:
    """The net over its post, floats, needle, girdle and a coil of rope."""
    heights = (1.0, 4.0, 7.0, 10.0, 13.0, 15.4, 16.2, 17.0)
    post = _columns(9.0, 2.6, heights, *[(1.3, 1.3, 1.3, 1.25, 1.2, 1.2, 1.6, 1.2)] * 2)
    yield _loft(_level(post, 10), "wood")
    hung = np.array(
        [
            [(2.2, -7.4, 17.4), (4.6, -6.8, 14.9), (7.2, -4.6, 13.2), (9.2, -1.0, 13.6)],
            [(2.7, -7.6, 13.0), (5.0, -7.2, 11.0), (7.9, -5.0, 9.6), (10.0, -1.2, 9.8)],
            [(3.0, -7.8, 7.6), (5.4, -7.5, 6.4), (8.3, -5.3, 5.8), (10.3, -1.4, 5.8)],
            [(2.8, -8.9, 2.0), (5.8, -8.5, 2.0), (9.0, -6.0, 2.0), (10.9, -1.8, 2.0)],
        ]
    )
    end = np.array([(10.5, 2.6, 14.8), (11.0, 3.0, 10.5), (11.1, 3.2, 6.2), (11.2, 3.4, 2.2)])
    net = _patch(np.concatenate([hung, end[:, None]], 1), 15, 17)
    i, j = np.indices(net.shape[:2])
    fold = 0.25 * np.sin(1.3 * j) + 0.13 * (-1.0) ** (i + j)
    yield _slab((net + fold[..., None] * _normals(net))[::-1], 0.45, "rope")
    for row, column in ((0, 4), (0, 8), (0, 12)):
        x, y, z = net[row, column]
        yield _loft(_level(_ball((x, y, z), (0.95, 0.95, 1.1), 6), 9), "wood")
    yield _wound((9.0, 2.6, 13.6), 1.35, 1.35, 2.2, (0, 0, 0.65))
    yield _wound((0.0, 0.0, 17.7), 2.65, 2.25, 2.1, (0.1, 0.1, 0.65))
    yield _wound((-7.0, -5.2, 2.2), 2.7, 2.7, 2.7, (0.72, 0.72, 0.35))
    for x, z in ((0.7, 11.2), (1.7, 13.0)):
        cord = [(0.8 + 0.4 * x, -2.0, 18.0, 0.4, 0.4), (0.5 + x, -3.2, 15.6, 0.35, 0.35)]
        cord += [(0.6 + x, -4.2, z, 0.35, 0.35), (0.6 + x, -4.3, z - 0.9, 0.55, 0.55)]
        yield _loft(_tube(cord, 9, 6, (1, 0, 0)), "rope")

    needle = [(-2.2, -6.2, 15.6, 0.6, 0.25), (-2.0, -6.3, 16.4, 0.75, 0.3)]
    needle += [(-1.3, -6.6, 18.8, 0.75, 0.3), (-0.4, -7.2, 22.4, 0.75, 0.3)]
    needle += [(-0.1, -7.4, 23.6, 0.2, 0.2)]
    wound = np.arange(12)[:, None] // 3 == 2
    yield _loft(_tube(needle, 13, 8, (1, 0, 0)), "wood", "rope", wound)


def _skirt(row: Array, angles: Array, above: float = 0.0) -> Array:
    """Places on the skirt at one height, some way above its cloth."""
    x, y, z, wide, deep = row
    fall = np.clip((18.3 - z) / 16, 0, 1)
    folds = 1 + fall * (0.055 * np.cos(5 * angles + 0.4) + 0.03 * np.cos(3 * angles))
    across, along = (wide * folds + above) * np.cos(angles), (deep * folds + above) * np.sin(angles)
    return np.stack([x + across, y + along, np.full(len(angles), z)], axis=1)


def _columns(*columns: float | Sequence[float] | Array) -> Array:
    """Rows from the columns x, y, z and the two reaches."""
    return np.stack(np.broadcast_arrays(*columns), axis=1).astype(float)


def _level(rows: Array, sides: int) -> Array:
    """Flat rings, one above the other."""
    angles = np.arange(sides) * 2 * np.pi / sides
    x, y, z, wide, deep = rows.T[:, :, None]
    return np.stack(np.broadcast_arrays(x + wide * np.cos(angles), y + deep * np.sin(angles), z), 2)


def _ball(middle: Vec, reach: Vec, count: int) -> Array:
    """Rows of an ellipsoid along the axes."""
    tilts = np.linspace(-1.25, 1.25, count)
    flat = np.cos(tilts)
    heights = middle[2] + reach[2] * np.sin(tilts)
    return _columns(*middle[:2], heights, reach[0] * flat, reach[1] * flat)


def _wound(middle: Vec, wide: float, deep: float, turns: float, shift: Vec) -> Shell:
    """A rope laid round some times, each turn moved inwards on both sides and upwards."""
    turn = np.linspace(0, turns, int(17 * turns))
    x = middle[0] + (wide - shift[0] * turn) * np.cos(2 * np.pi * turn)
    y = middle[1] + (deep - shift[1] * turn) * np.sin(2 * np.pi * turn)
    path = _columns(x, y, middle[2] + shift[2] * turn, 0.45, 0.45)
    return _loft(_tube(path, len(path), 6), "rope")


def _tube(rows: Sequence[Row] | Array, count: int, sides: int, up: Vec = (0, 0, 1)) -> Array:
    """Rings across a smooth way through the rows; the first reach lies towards `up`."""
    way = _smooth(np.array(rows, float), count)
    along = np.gradient(way[:, :3], axis=0)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    side = np.cross(np.array(up, float), along)
    side /= np.linalg.norm(side, axis=1, keepdims=True)
    above = np.cross(along, side)
    angles = (np.arange(sides) * 2 * np.pi / sides)[:, None]
    across = way[:, None, 4:] * np.cos(angles) * side[:, None]
    return way[:, None, :3] + across + way[:, None, 3:4] * np.sin(angles) * above[:, None]


def _smooth(points: Array, count: int) -> Array:
    """Evenly counted points on the smooth curve through some points, along the first axis."""
    place = np.linspace(0, len(points) - 1, count)
    start = np.minimum(place.astype(int), len(points) - 2)
    ends = np.concatenate([2 * points[:1] - points[1:2], points, 2 * points[-1:] - points[-2:-1]])
    a, b, c, d = (ends[start + step] for step in range(4))
    t = (place - start).reshape(-1, *[1] * (points.ndim - 1))
    return b + t / 2 * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))


def _patch(control: Array, rows: int, columns: int) -> Array:
    """A grid of places on the smooth sheet through a few."""
    return _smooth(_smooth(control, rows).swapaxes(0, 1), columns).swapaxes(0, 1)


def _normals(grid: Array) -> Array:
    """The way out of a sheet whose columns run to the right of who looks and rows run up."""
    out = np.cross(np.gradient(grid, axis=1), np.gradient(grid, axis=0))
    return out / np.linalg.norm(out, axis=2, keepdims=True)


def _slab(grid: Array, thick: float, area: str) -> Shell:
    """A sheet with a back and edges, closed."""
    back = grid - thick * _normals(grid)
    numbers = np.arange(grid.shape[0] * grid.shape[1]).reshape(grid.shape[:2])
    rim = np.concatenate([numbers[0, :-1], numbers[:-1, -1], numbers[-1, :0:-1], numbers[:0:-1, 0]])
    corners = np.stack([numbers[:-1, :-1], numbers[:-1, 1:], numbers[1:, 1:], numbers[1:, :-1]])
    odd = np.indices(corners.shape[1:]).sum(axis=0) % 2 == 1
    front = _quads(*np.where(odd, np.roll(corners, -1, axis=0), corners))
    after, shift = np.roll(rim, -1), numbers.size
    edge = _quads(rim + shift, after + shift, after, rim)
    faces = np.concatenate([front, front[:, ::-1] + shift, edge])
    places = np.concatenate([grid.reshape(-1, 3), back.reshape(-1, 3)])
    return Shell(places, faces, np.full(len(faces), _NAMES.index(area), np.int32))


def _loft(rings: Array, area: str, other: str = "", where: Mask | None = None) -> Shell:
    """A skin over rings, closed at the ends; some bands and columns may be of another area."""
    count, sides = rings.shape[:2]
    numbers = np.arange(count * sides, dtype=np.int32).reshape(count, sides)
    low, high = numbers[:-1], numbers[1:]
    marks = np.full(low.shape, _NAMES.index(area), np.int32)
    if where is not None:
        marks[np.broadcast_to(where, low.shape)] = _NAMES.index(other)
    faces = [_quads(low, np.roll(low, -1, 1), np.roll(high, -1, 1), high)]
    for ring, step, middle in ((numbers[0], 1, 0), (numbers[-1], -1, 1)):
        tip = np.full(sides, count * sides + middle, np.int32)
        faces.append(np.stack([tip, np.roll(ring, -step), ring], axis=1))
    area_of = np.concatenate([marks.ravel().repeat(2), marks[0], np.roll(marks[-1], 1)])
    places = np.concatenate([rings.reshape(-1, 3), rings[[0, -1]].mean(axis=1)])
    return Shell(places, np.concatenate(faces), area_of)


def _quads(*corners: NDArray[np.integer]) -> NDArray[np.int32]:
    """Two faces for each four corners."""
    a, b, c, d = corners
    both = [np.stack([a, b, c], axis=-1), np.stack([a, c, d], axis=-1)]
    return np.stack(both, axis=-2).reshape(-1, 3).astype(np.int32)
