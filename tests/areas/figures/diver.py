"""A figure with exact areas, as a field of distances: the breakwater's hard-hat diver.

It was made to judge the finding of areas by; that marks may grow from lines was learnt on it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tests.areas.figures.fields import Figure, ball, box, cone, disc, largest_piece, ring

Array = NDArray[np.float64]
Field = Callable[[Array], Array]
Vec = tuple[float, float, float]
Parts = list[tuple[str, Field]]

_LOW, _HIGH = np.array([-12.6, -12.6, -0.6]), np.array([12.6, 12.6, 33.0])
_FAR, _NEAR, _BLOCK = 9.0, 1.4, 1.5
_MIDDLE, _UP = (0.0, 0.0, 0.0), (0.0, 0.0, 1.0)
_LEFT_HAND, _LEFT_WRIST = (7.6, -4.9, 15.3), (7.5, -2.8, 16.0)
_RIGHT_HAND, _RIGHT_WRIST = (-8.4, -4.0, 17.8), (-8.25, -1.8, 17.9)
_HANDLE = (-0.1, -0.2, 1.0)


@dataclass(frozen=True)
class Solid:
    """A body of the figure, the area that its surface belongs to, and its fillet, mm."""

    area: str
    field: Field
    fillet: float = 0.15


def diver(cell: float = 0.3) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from skimage.measure import marching_cubes

    solids = _solids()
    boxes = [_box_around(solid.field) for solid in solids]
    axes = [np.arange(low, high, cell) for low, high in zip(_LOW, _HIGH, strict=True)]
    volume = np.full([len(axis) for axis in axes], _FAR)
    for solid, bounds in zip(solids, boxes, strict=True):
        cuts = [slice(*np.searchsorted(axis, bounds[:, i])) for i, axis in enumerate(axes)]
        places = _grid([axis[cut] for axis, cut in zip(axes, cuts, strict=True)])
        part = volume[tuple(cuts)]
        part[:] = _joined(part, solid.field(places).reshape(part.shape), solid.fillet)
    vertices, faces, _, _ = marching_cubes(
        np.maximum(volume, -axes[2]), 0.0, spacing=(cell,) * 3, gradient_direction="descent"
    )
    vertices, faces = (vertices + _LOW).astype(np.float32), faces.astype(np.int32)
    vertices, faces = largest_piece(vertices, faces)
    names = tuple(dict.fromkeys(solid.area for solid in solids))
    middle = vertices[faces].mean(axis=1).astype(np.float64)
    best, area = np.full(len(faces), np.inf), np.zeros(len(faces), np.int32)
    for solid, (low, high) in zip(solids, boxes, strict=True):
        inside = np.flatnonzero(((middle >= low) & (middle <= high)).all(axis=1))
        found = solid.field(middle[inside])
        nearer = found < best[inside]
        best[inside[nearer]] = found[nearer]
        area[inside[nearer]] = names.index(solid.area)
    for _ in range(5):
        cast = (faces * len(names) + area[:, None]).ravel()
        votes = np.bincount(cast, minlength=len(vertices) * len(names)).reshape(-1, len(names))
        area = votes[faces].sum(axis=1).argmax(axis=1).astype(np.int32)
    return Figure(vertices, faces, area, names)


def _solids() -> list[Solid]:
    """Every body, the large ones first."""
    return [
        *_rocks(),
        *_suit(),
        *_helmet(),
        *_boot((2.8, -3.4, 7.1), (0.15, -1.0, 0.08)),
        *_boot((-3.2, 3.9, 6.1), (-0.35, -1.0, -0.34)),
        *_weights_and_belt(),
        *_hammer(),
        *_hand(_RIGHT_HAND, _HANDLE, (0.1, 1.0, 0.1), 1.0),
        *_hand(_LEFT_HAND, (0.35, -0.25, -1.0), (-0.1, 1.0, 0.4), -1.0),
        *_hose(),
        *_mussels(),
    ]


def _rocks() -> list[Solid]:
    """The flat foot of the rock and the boulders on it."""
    boulders = [
        _boulder((0.0, 0.5, 1.0), (8.0, 8.0, 1.5), 3),
        _boulder((3.2, -4.0, 1.6), (4.9, 5.0, 2.9), 5),
        _boulder((-3.6, 2.6, 1.2), (5.4, 5.0, 2.0), 8),
        _boulder((-5.6, -4.8, 1.2), (3.6, 3.2, 3.6), 13),
        _boulder((4.9, 5.4, 1.2), (3.6, 3.5, 3.0), 21),
    ]
    foot = disc((0.0, 0.0, 0.7), 11.6, 0.7)
    return [Solid("rock", field, 0.4) for field in (foot, *boulders)]


def _suit() -> list[Solid]:
    """The canvas suit with its folds, and the rubber cuffs at the wrists."""
    limbs = [
        _sleeve((1.8, -0.2, 14.6), (2.9, -4.5, 11.4), 2.25, 1.85, 0.3),
        _sleeve((2.9, -4.5, 11.4), (2.8, -3.4, 7.5), 1.85, 1.4, 1.1),
        _sleeve((-1.8, 0.3, 14.6), (-2.9, 0.2, 9.6), 2.25, 1.85, 2.3),
        _sleeve((-2.9, 0.2, 9.6), (-3.2, 3.6, 6.6), 1.85, 1.35, 0.7),
        _sleeve((3.7, -0.3, 20.9), (7.5, 1.0, 17.2), 2.0, 1.6, 1.9),
        _sleeve((7.5, 1.0, 17.2), _LEFT_WRIST, 1.6, 1.05, 0.0),
        _sleeve((-3.7, -0.3, 20.9), (-7.6, 1.4, 18.0), 2.0, 1.6, 2.7),
        _sleeve((-7.6, 1.4, 18.0), _RIGHT_WRIST, 1.6, 1.05, 1.4),
    ]
    found = [Solid("suit", _torso, 0.3), *(Solid("suit", limb, 0.7) for limb in limbs)]
    for wrist, hand in ((_LEFT_WRIST, _LEFT_HAND), (_RIGHT_WRIST, _RIGHT_HAND)):
        cuff, rim = cone((0.0, 0.0, 0.2), _UP, 1.45, 1.15), ring((0.0, 0.0, 1.4), 1.05, 0.36)
        parts: Parts = [("cuffs", cuff), ("cuffs", rim)]
        found += _placed_parts(parts, wrist, _axes(np.subtract(hand, wrist), _UP))
    return found


def _torso(p: Array) -> Array:
    """Chest and hips in slack canvas, gathered above the belt."""
    chest = ball((0.0, -0.4, 20.4), (4.3, 3.2, 4.3))(p)
    hips = ball((0.0, 0.1, 15.4), (3.8, 3.0, 3.1))(p)
    turn = np.arctan2(p[:, 1], p[:, 0])
    wave = _fold(3.4 * p[:, 2] + 1.6 * np.sin(2 * turn + 0.6) + 1.8 * np.cos(turn))
    return _joined(chest, hips, 2.0) - 0.26 * wave * np.exp(-(((p[:, 2] - 17.6) / 2.6) ** 2))


def _collar(p: Array) -> Array:
    """The collar plate: a dome on the shoulders with a thick edge."""
    q = p - np.array([0.0, -0.4, 22.6])
    dome = np.maximum(ball(_MIDDLE, (4.9, 4.1, 2.9))(q), -q[:, 2])
    out = (np.hypot(q[:, 0] / 4.9, q[:, 1] / 4.1) - 1.0) * 4.4
    edge = np.hypot(np.maximum(np.abs(out) - 0.25, 0.0), q[:, 2]) - 0.36
    return _joined(dome, edge, 0.3)


def _helmet() -> list[Solid]:
    """Bonnet, collar plate, bolts, barred windows and valves."""
    axes, bonnet = _axes((0.06, -0.08, 1.0), (0.38, 1.0, 0.0)), (0.0, -0.5, 28.3)
    parts: Parts = [
        ("helmet", ball(_MIDDLE, (3.25, 3.25, 3.3))),
        ("brass", cone((0.9, 2.3, -0.6), (1.3, 3.7, -0.4), 0.95, 0.85)),
        ("brass", cone((-1.6, 2.2, -0.5), (-2.2, 2.9, -0.5), 0.9, 0.7)),
        ("brass", cone((-1.6, -2.3, -1.5), (-2.0, -2.9, -1.9), 0.45, 0.4)),
    ]
    found = [Solid("helmet", _collar), *_placed_parts(parts, bonnet, axes)]
    found.append(Solid("brass", disc((0.0, -0.45, 25.5), 2.85, 0.42)))
    for angle in np.arange(12) * np.pi / 6 + np.pi / 12:
        out = np.array([np.cos(angle), np.sin(angle), 0.7])
        place = out * (5.0, 4.2, 0.0) + (0.0, -0.4, 22.85)
        bolt = cone(_MIDDLE, (0.0, 0.0, 0.52), 0.42, 0.36)
        found += _placed_parts([("brass", bolt)], place, _axes(out, _UP))
    windows: list[tuple[Vec, float, tuple[float, ...]]] = [
        ((0.0, -1.0, -0.08), 1.6, ()),
        ((0.95, -0.3, 0.0), 1.45, (-0.5, 0.5)),
        ((-0.95, -0.3, 0.0), 1.45, (-0.5, 0.5)),
        ((0.0, -0.5, 0.86), 1.25, (0.0,)),
    ]
    for direction, radius, bars in windows:
        parts = [
            ("glass", disc((0.0, 0.0, 2.6), radius, 0.78)),
            ("brass", ring((0.0, 0.0, 3.25), radius + 0.1, 0.34)),
            ("brass", disc((0.0, 0.0, 2.6), radius + 0.34, 0.55)),
            *(("brass", cone((x, -radius, 3.45), (x, radius, 3.45), 0.22, 0.22)) for x in bars),
        ]
        found += _placed_parts(parts, bonnet, _axes(direction @ axes, axes[2] + 0.3 * axes[1]))
    return found


def _boot(ankle: Vec, forward: Vec) -> list[Solid]:
    """A boot with a lead sole, a brass toecap and two straps; y is forward, z up."""

    def upper(p: Array) -> Array:
        foot = ball((0.0, 1.0, -1.35), (1.4, 2.6, 1.35))(p)
        return _joined(foot, disc((0.0, -0.25, -0.55), 1.6, 1.25)(p) - 0.2, 0.8)

    def toecap(p: Array) -> Array:
        return np.maximum(upper(p) - 0.25, 2.0 - p[:, 1])

    def straps(p: Array) -> Array:
        instep = np.abs((p - np.array([0.0, 0.55, -0.9])) @ np.array([0.0, 0.75, 0.66])) - 0.36
        return np.maximum(upper(p) - 0.32, np.minimum(instep, np.abs(p[:, 2] - 0.15) - 0.33))

    sole = _plate((0.0, -0.7, -2.35), (0.0, 2.4, -2.35), 1.45, 1.6, 0.5)
    parts: Parts = [("boots", upper), ("lead", sole), ("brass", toecap), ("leather", straps)]
    ahead = np.array(forward) / np.linalg.norm(forward)
    return _placed_parts(parts, ankle, _axes(_UP - ahead * ahead[2], ahead))


def _weights_and_belt() -> list[Solid]:
    """Chest and back weights on straps, and the belt with buckle and knife."""

    def straps(p: Array) -> Array:
        over = np.abs(np.abs(p[:, 0]) - 0.42 * (p[:, 2] - 20.5) - 1.5) / 1.08 - 0.5
        around = np.abs(p[:, 2] - 19.3 - 0.12 * p[:, 0]) - 0.45
        body = _joined(_torso(p), _collar(p), 0.6) - 0.36
        return np.maximum(body, np.minimum(np.maximum(over, 19.5 - p[:, 2]), around))

    def belt(p: Array) -> Array:
        return np.maximum(_torso(p) - 0.5, np.abs(p[:, 2] - 16.4 - 0.06 * p[:, 0]) - 0.7)

    found = [Solid("leather", straps), Solid("leather", belt)]
    found.append(Solid("brass", box((0.3, -3.45, 16.4), (0.8, 0.3, 0.85))))
    weight: Parts = [
        ("lead", _plate((0.0, 0.5, 0.0), (0.0, -1.3, 0.0), 1.95, 1.0, 0.6)),
        ("brass", ring((-1.15, 1.5, 0.45), 0.42, 0.28)),
        ("brass", ring((1.15, 1.5, 0.45), 0.42, 0.28)),
    ]
    found += _placed_parts(weight, (0.0, -4.2, 19.2), _axes((0.0, -1.0, 0.1), _UP))
    found += _placed_parts(weight, (0.0, 3.3, 19.4), _axes((0.0, 1.0, 0.1), _UP))
    knife: Parts = [
        ("leather", cone((0.0, 0.0, -3.4), (0.0, 0.0, 0.9), 0.55, 0.85)),
        ("brass", disc((0.0, 0.0, 1.9), 0.95, 0.25)),
        ("wood", cone((0.0, 0.0, 2.2), (0.0, 0.0, 4.0), 0.5, 0.58)),
        ("brass", ball((0.0, 0.0, 4.6), (0.62, 0.62, 0.4))),
    ]
    return found + _placed_parts(knife, (-4.5, -1.5, 15.2), _axes((-0.05, 0.25, 1.0), (-1, 0, 0)))


def _hammer() -> list[Solid]:
    """A stone hammer, held upright."""

    def head(p: Array) -> Array:
        q = p - np.array([0.0, 0.0, 6.6])
        bevel = (np.abs(q[:, 0]) + np.abs(q[:, 2])) * np.sqrt(0.5) - 1.2
        return np.maximum(box(_MIDDLE, (1.0, 2.1, 1.0))(q), bevel)

    handle = cone((0.0, 0.0, -3.6), (0.0, 0.0, 7.4), 0.62, 0.5)
    axes = _axes(_HANDLE, (0.5, -1.0, 0.0))
    return _placed_parts([("wood", handle), ("iron", head)], _RIGHT_HAND, axes)


def _hand(middle: Vec, along: Vec, wrist: Vec, side: float) -> list[Solid]:
    """A bare fist around a bar along z, the wrist towards y, the fingertips on one side."""
    fist = [
        ball((-0.3 * side, 0.65, 0.0), (0.85, 0.95, 1.25)),
        cone((0.3 * side, 1.1, 0.7), (0.75 * side, -0.3, 1.45), 0.42, 0.34),
    ]
    for z in (-0.98, -0.33, 0.33, 0.98):
        joints = [(-0.95, 0.55), (-0.85, -0.75), (0.45, -0.95), (0.95, 0.05)]
        for start, end in pairwise((x * side, y, z) for x, y in joints):
            fist.append(cone(start, end, 0.4, 0.37))
    return _placed_parts([("hands", part) for part in fist], middle, _axes(along, wrist))


def _hose() -> list[Solid]:
    """The ribbed air hose: helmet, left shoulder, left hand, and a curl on the rock."""
    x = [2.4, 3.7, 5.2, 5.2, 4.5, 3.9, 4.6, 6.9, 7.6, 8.6, 9.3]
    y = [2.4, 4.0, 3.9, 1.5, -1.8, -4.6, -5.7, -5.2, -4.9, -5.3, -4.8]
    z = [27.7, 27.7, 26.4, 24.6, 24.0, 21.6, 18.2, 16.4, 15.3, 12.4, 7.6]
    x += [9.3, 9.2, 7.2, 3.4, -0.6, -4.6, -8.0]
    y += [-2.4, 1.6, 5.0, 7.2, 8.2, 8.4, 7.2]
    z += [1.7, 1.8, 4.6, 4.0, 1.7, 1.8, 1.8]
    line = np.column_stack([x, y, z])
    for _ in range(6):
        first, last = line[:-1], line[1:]
        between = np.stack([0.75 * first + 0.25 * last, 0.25 * first + 0.75 * last], axis=1)
        line = np.vstack([line[:1], between.reshape(-1, 3), line[-1:]])
    length = np.cumsum(np.linalg.norm(np.diff(line, axis=0, prepend=line[:1]), axis=1))
    thick = 0.66 + 0.09 * np.sin(2 * np.pi * length / 0.95)
    pieces = np.array_split(np.arange(len(line)), 14)
    return [Solid("hose", _tube(line[piece], thick[piece])) for piece in pieces]


def _mussels() -> list[Solid]:
    """Mussels in clumps on the rock."""
    rocks, random = _rocks(), np.random.default_rng(11)
    found, count = [], 8
    for x, y in ((6.5, -7.2), (-1.6, -7.0), (-7.6, -3.0), (-8.0, 1.6), (6.4, 2.4)):
        for place in random.normal((x, y, 2.5), (1.0, 1.0, 0.5), (count, 3)):
            place, out = _on_rock(rocks, place)
            axes = _axes(out + random.normal(0.0, 0.45, 3), random.normal(0.0, 1.0, 3))
            size = random.uniform(0.9, 1.3)
            shell = ball((0.0, 0.0, 0.35), (0.5 * size, 0.75 * size, 1.25 * size))
            found += _placed_parts([("mussels", shell)], place, axes)
    return found


def _on_rock(rocks: list[Solid], place: Array) -> tuple[Array, Array]:
    """The surface of the rock near a place, and the way out of it."""
    out = np.array(_UP)
    for _ in range(6):
        probes = place + np.vstack([np.zeros(3), 0.05 * np.eye(3)])
        depth = np.min([rock.field(probes) for rock in rocks], axis=0)
        out = (depth[1:] - depth[0]) / 0.05
        place = place - depth[0] * out
    return place, out


def _boulder(middle: Vec, reach: Vec, seed: int) -> Field:
    """A rough stone of flat faces, level on top."""
    random = np.random.default_rng(seed)
    normals = np.vstack([random.normal(size=(24, 3)), _UP])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    offsets = np.linalg.norm(normals * reach, axis=1) * random.uniform(0.84, 1.0, len(normals))

    def field(p: Array) -> Array:
        found = ball(_MIDDLE, (1.2 * reach[0], 1.2 * reach[1], 1.4 * reach[2]))(p - middle)
        for normal, offset in zip(normals, offsets, strict=True):
            found = np.maximum(found, (p - middle) @ normal - offset)
        return found

    return field


def _sleeve(start: Vec, end: Vec, first: float, last: float, phase: float) -> Field:
    """A limb in slack canvas, its folds running askew around it."""
    way = np.subtract(end, start)
    axes = _axes(way, (0.3, 1.0, 0.2))

    def field(p: Array) -> Array:
        q = (p - np.array(start)) @ axes.T
        turn = np.arctan2(q[:, 1], q[:, 0])
        wave = _fold(2 * np.pi * q[:, 2] / 1.8 + 2.2 * np.sin(turn + phase) + phase)
        slack = 0.5 + 0.5 * np.cos(np.pi * q[:, 2] / np.linalg.norm(way))
        amount = 0.3 * slack * (0.7 + 0.3 * np.sin(turn - phase))
        return cone(start, end, first, last)(p) - amount * wave

    return field


def _fold(at: Array) -> Array:
    """Round ridges and sharp valleys, between -1 and 1."""
    return 2 * np.abs(np.sin(at / 2)) - 1


def _tube(line: Array, thick: Array) -> Field:
    """A tube around a line of close places, as thick as is said at each."""
    from scipy.spatial import cKDTree

    tree = cKDTree(line)

    def field(p: Array) -> Array:
        far, nearest = tree.query(p)
        return far - thick[nearest]

    return field


def _plate(start: Vec, end: Vec, first: float, last: float, half: float) -> Field:
    """A level plate with a round-ended outline."""

    def field(p: Array) -> Array:
        flat = np.column_stack([p[:, :2], np.full(len(p), start[2])])
        side, top = cone(start, end, first, last)(flat), np.abs(p[:, 2] - start[2]) - half
        out = np.hypot(np.maximum(side + 0.2, 0.0), np.maximum(top + 0.2, 0.0))
        return out + np.minimum(np.maximum(side, top) + 0.2, 0.0) - 0.2

    return field


def _axes(up: ArrayLike, toward: ArrayLike) -> Array:
    """Three axes as rows: z along one direction, y as near as can be to another."""
    z = np.array(up, np.float64) / np.linalg.norm(up)
    x = np.cross(np.array(toward, np.float64), z)
    x /= np.linalg.norm(x)
    return np.array([x, np.cross(z, x), z])


def _placed_parts(parts: Parts, origin: ArrayLike, axes: Array) -> list[Solid]:
    """Parts made around the origin, moved elsewhere and turned."""

    def placed(field: Field) -> Field:
        return lambda p: field((p - np.array(origin)) @ axes.T)

    return [Solid(area, placed(field)) for area, field in parts]


def _joined(a: Array, b: Array, fillet: float) -> Array:
    """Both bodies, with a fillet where they meet."""
    near = np.maximum(fillet - np.abs(a - b), 0.0) / fillet
    return np.minimum(a, b) - near * near * fillet / 4


def _grid(axes: list[Array]) -> Array:
    """Places on a grid, the last axis fastest."""
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)


def _box_around(field: Field) -> Array:
    """The low and the high corner of a box well around a body."""
    places = _grid([np.arange(*ends, _BLOCK) for ends in zip(_LOW, _HIGH + _BLOCK, strict=True)])
    inside = places[field(places) < _NEAR]
    return np.array([inside.min(axis=0) - _BLOCK, inside.max(axis=0) + _BLOCK])
