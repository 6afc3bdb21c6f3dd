"""A figure with exact areas, as a field of distances: the coxswain of a lighthouse's boat.

It was made to judge the finding of areas by; that marks may grow from lines was learnt on it.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tests.areas.figures.fields import (
    FILLET_MM,
    Array,
    Field,
    Figure,
    Solid,
    Vec,
    ball,
    box,
    cone,
    disc,
    filleted,
    largest_piece,
    ring,
)

Faces = NDArray[np.int32]
Row = tuple[float, ...]

_ROUGH = 4
_CLEAR = 1e-5  # No corner of a cube lies on the surface, or edges could stay open.
_LOW, _HIGH = np.array([-12.0, -10.5, -0.5]), np.array([12.0, 10.5, 35.5])
# Rows of the coat: height, middle x and y, half width and depth, depth of the folds.
_COAT: tuple[Row, ...] = (
    (7.6, 0.3, 0.9, 5.5, 4.7, 0.42),
    (10.5, 0.1, 0.5, 4.9, 4.1, 0.32),
    (13.5, 0.0, 0.2, 4.2, 3.4, 0.14),
    (16.5, 0.0, 0.0, 3.6, 2.7, 0.05),
    (20.0, 0.0, 0.0, 3.9, 2.8, 0.0),
    (22.8, 0.0, 0.1, 4.3, 2.6, 0.0),
    (24.4, 0.0, 0.2, 3.7, 2.1, 0.0),
    (25.5, 0.0, 0.2, 1.7, 1.5, 0.0),
)


def coxswain(cell: float = 0.3) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from skimage.measure import marching_cubes

    solids = [*_quay(), *_coat(), *_legs(), *_cork_jacket(), *_head(), *_boathook(), *_rope()]
    step = cell * _ROUGH
    counts = [int(np.ceil(span / step)) for span in _HIGH - _LOW]
    middles = _grid(counts, step) + step / 2 + _LOW
    rough = np.array([solid.field(middles) for solid in solids])
    volume = _volume(solids, rough, middles, cell).reshape(*counts, *[_ROUGH] * 3)
    volume = volume.transpose(0, 3, 1, 4, 2, 5).reshape([count * _ROUGH for count in counts])
    vertices, faces, _, _ = marching_cubes(
        volume, 0.0, spacing=(cell,) * 3, gradient_direction="descent"
    )
    vertices, faces = (vertices + _LOW).astype(np.float32), faces.astype(np.int32)
    vertices, faces = largest_piece(vertices, faces)
    places = vertices[faces].mean(axis=1).astype(np.float64)
    block = np.ravel_multi_index(tuple(((places - _LOW) // step).astype(int).T), counts)
    names = tuple(dict.fromkeys(solid.area for solid in solids))
    area, least = np.zeros(len(faces), np.int32), np.full(len(faces), np.inf)
    for solid, far in zip(solids, rough, strict=True):
        rows = np.flatnonzero(far[block] < 1.5 * step)
        depth = solid.field(places[rows])
        rows, depth = rows[depth < least[rows]], depth[depth < least[rows]]
        area[rows], least[rows] = names.index(solid.area), depth
    vertices[:, 2] -= vertices[:, 2].min()
    return Figure(vertices, faces, _without_teeth(area, faces), names)


def _without_teeth(area: Faces, faces: Faces) -> Faces:
    """The areas with even edges: a face goes with two neighbours that agree, never alone."""
    edges = np.sort(faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1).astype(np.int64)
    order = np.argsort(edges[:, 0] * (faces.max() + 1) + edges[:, 1], kind="stable")
    beside = np.empty(len(edges), np.int64)
    beside[order] = order.reshape(-1, 2)[:, ::-1].ravel() // 3
    turns = np.arange(len(faces)) % 3
    for turn in range(9):
        first, second, third = area[beside.reshape(-1, 3)].T
        agreed = np.where((first == second) | (first == third), first, area)
        agreed = np.where(second == third, second, agreed)
        area = np.where(turns == turn % 3, agreed, area)
    around = area[beside.reshape(-1, 3)]
    return np.where((around != area[:, None]).all(axis=1), around[:, 0], area)


def _volume(solids: list[Solid], rough: Array, middles: Array, cell: float) -> Array:
    """The field of all bodies in each rough block, exact near the surface only."""
    inner = _grid([_ROUGH] * 3, cell) - cell * _ROUGH / 2
    reach, whole = 1.2 * cell * _ROUGH, rough.min(axis=0)
    near = np.abs(whole) < reach
    blocks = np.where(near, np.inf, whole)[:, None].repeat(len(inner), axis=1)
    for solid, far in zip(solids, rough, strict=True):
        rows = np.flatnonzero(near & (far < reach + FILLET_MM))
        places = (middles[rows, None] + inner).reshape(-1, 3)
        blocks[rows] = filleted(blocks[rows], solid.field(places).reshape(len(rows), -1))
    return np.where(np.abs(blocks) < _CLEAR, _CLEAR, blocks)


def _grid(counts: list[int], step: float) -> Array:
    """Places on a grid, the last axis fastest."""
    axes = [np.arange(count) * step for count in counts]
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)


def _quay() -> list[Solid]:
    """A slab with joints and chips, a coping stone and a mooring ring."""
    slab = _placed(_block((9.3, 8.3, 0.8), 0.3), (0, 0, 0.9))
    for cut in (
        box((-2.5, 4.0, 2.2), (0.22, 4.6, 0.5)),
        box((0, -0.7, 2.2), (12, 0.22, 0.5)),
        box((-5.5, -5.0, 2.2), (0.22, 4.2, 0.5)),
        ball((-9.6, 8.4, 2.0), (2.0, 1.6, 1.3)),
        ball((9.7, 1.0, 2.3), (1.0, 1.8, 1.0)),
        ball((-4.0, -8.8, 2.4), (1.9, 1.0, 1.1)),
    ):
        slab = _without(slab, cut)
    coping = _placed(_block((3.6, 2.9, 1.0), 0.35), (4.2, -4.9, 2.4))
    mooring = _placed(ring((0, 0, 0), 1.7, 0.36), (5.6, 5.6, 2.6), (14, 8, 0))
    eye = _placed(ring((0, 0, 0), 0.6, 0.32), (5.6, 3.9, 2.7), (0, 90, 0))
    return [
        *_of("stone", slab, _without(coping, ball((7.8, -7.9, 3.6), (1.4, 1.2, 1.0)))),
        *_of("iron", mooring, eye, disc((5.6, 3.9, 2.1), 0.95, 0.3)),
    ]


def _coat() -> list[Solid]:
    """The oilskin: a hollow skirt open in front, sleeves, collar and a pocket."""
    lining = [(z, x, y, wide - 0.75, deep - 0.75, fold) for z, x, y, wide, deep, fold in _COAT[:4]]
    hollow = _loft(((5.0, *lining[0][1:]), *lining), 9)
    body = _without(_loft(_COAT, 9), _without(hollow, box((0, 0, 18.2), (9, 9, 4.0))))
    collar = _loft(((24.2, 0, 0.2, 2.6, 2.2, 0), (26.0, 0, 0.3, 3.1, 2.8, 0)), 1)
    throat = _loft(((24.9, 0, 0.2, 1.9, 1.7, 0), (27.0, 0, 0.3, 2.4, 2.1, 0)), 1)
    gap = _placed(box((0, -3, 0), (1.7, 3, 3)), (0.0, 0, 27), (0, 0, 8))
    pocket = _placed(_block((1.3, 0.3, 0.6), 0.15), (-3.1, -2.5, 14.2), (-8, 0, -42))
    found = [_without(body, _opening), _without(_without(collar, throat), gap), pocket]
    for shoulder, elbow, wrist, cuff in (
        ((-3.6, 0.2, 23.2), (-6.8, 1.3, 19.4), (-8.0, -1.4, 20.0), (-8.4, -2.2, 20.2)),
        ((3.6, 0.2, 23.2), (6.5, 1.5, 19.8), (7.5, -0.6, 17.7), (7.8, -1.2, 17.1)),
    ):
        arm = _limb((*shoulder, 1.75), (*elbow, 1.4), (*wrist, 1.25))
        found += [_waved(part, (0.9, 2.2, 2.6), 0.13) for part in arm]
        found.append(cone(wrist, cuff, 1.35, 1.6))
    return _of("oilskin", *found)


def _opening(p: Array) -> Array:
    """The room between the two flaps of the coat, one swept aside by the knee."""
    drop = 15.0 - p[:, 2]
    right, left = 0.2 - 0.16 * drop - p[:, 0], p[:, 0] - 0.6 - 3.8 * np.tanh(drop / 2.0)
    return 0.85 * np.maximum(np.maximum(right, left), p[:, 1] + 0.4)


def _legs() -> list[Solid]:
    """Trousers, sea boots and their turned-down tops; one foot on the coping stone."""
    found: list[Solid] = []
    for hip, knee, ankle, yaw in (
        ((-1.4, 0.3, 14.5), (-2.0, 0.2, 9.4), (-2.3, 0.9, 4.2), -24.0),
        ((1.4, 0.7, 13.5), (2.9, -3.7, 10.9), (3.1, -3.5, 5.7), 14.0),
    ):
        shin = np.array(knee) - np.array(ankle)
        lean = (float(np.degrees(np.arctan2(-shin[1], shin[2]))), 0.0, yaw)
        x, y, z = ankle
        top, half = (np.array(ankle) + share * shin for share in (0.85, 0.62))
        fold = _loft(((-1.5, 0, 0, 2.35, 2.35, 0.1), (1.5, 0, 0, 2.0, 2.0, 0)), 5)
        foot = (
            cone((0, 0.2, 1.2), (0, -2.0, 0.85), 1.25, 0.95),
            ball((0, -2.2, 0.9), (1.3, 1.5, 0.9)),
            _placed(_block((1.0, 1.3, 0.25), 0.3), (0, -2.0, 0.15)),
            _placed(_block((0.85, 0.8, 0.4), 0.3), (0, 0.5, 0.25)),
        )
        found += _of("trousers", *_limb((*hip, 1.5), (*knee, 1.7), (*top, 1.5)))
        found += _of("boots", *(_placed(part, (x, y, z - 2.2), (0, 0, yaw)) for part in foot))
        found += _of("boots", *_limb((*ankle, 1.35), (*half, 1.6)))
        for part in (fold, ring((0, 0, 1.4), 1.75, 0.4)):
            found += _of("turn-downs", _placed(part, tuple(half), lean))
    return found


def _cork_jacket() -> list[Solid]:
    """Rows of cork on canvas, with shoulder straps and a knotted tape round the waist."""
    cloth = tuple((z, x, y, wide + 0.3, deep + 0.3, 0.0) for z, x, y, wide, deep, _ in _COAT[3:6])
    canvas = [
        _without(_loft(cloth, 1), lambda p: 3.3 - np.abs(p[:, 0])),
        _loft(((19.5, 0, 0, 4.3, 3.3, 0.0), (20.3, 0, 0, 4.3, 3.3, 0.0)), 1),
        *_limb((1.4, -3.5, 19.9, 0.5), (2.3, -3.9, 20.5, 0.4), (2.6, -3.8, 19.4, 0.3)),
        *_limb((1.4, -3.5, 19.9, 0.5), (0.5, -3.9, 20.5, 0.4), (0.3, -3.9, 19.5, 0.3)),
        *_limb((1.5, -3.6, 19.9, 0.4), (1.9, -3.9, 18.4, 0.35), (1.7, -3.9, 17.0, 0.4)),
    ]
    cork = []
    for side in (-1, 1):
        over = ((2.4, -2.6, 22.9), (2.6, -1.7, 24.3), (2.6, 0.3, 25.0), (2.6, 2.0, 24.3))
        canvas += _limb(*((x * side, y, z, 0.55) for x, y, z in (*over, (2.4, 2.6, 22.9))))
        for degrees in (-33.0, -11.0, 11.0, 33.0):
            x, y = 4.6 * np.sin(np.radians(degrees)), side * 3.0 * np.cos(np.radians(degrees))
            for level in (21.6, 18.2):
                block = _block((0.4, 0.5, 1.05), 0.2)
                cork.append(_placed(block, (x, y, level), (0, 0, -side * degrees)))
    return [*_of("canvas", *canvas), *_of("cork", *cork)]


def _head() -> list[Solid]:
    """Face, beard and sou'wester, turned towards the sea, and a knitted muffler."""
    skin = [
        ball((0, 0, 0), (1.75, 2.0, 2.3)),
        cone((0, 0.2, -1.0), (0, 0.4, -3.0), 1.2, 1.2),
        cone((0, -1.9, 0.25), (0, -2.35, -0.45), 0.3, 0.45),
        cone((-1.0, -1.6, 0.85), (1.0, -1.6, 0.85), 0.35, 0.35),
    ]
    locks = [ball((0, -1.2, -2.0), (1.65, 1.3, 1.6)), ball((0, 0.9, -0.7), (1.75, 1.4, 1.7))]
    moustache = []
    for side in (-1, 1):
        skin.append(ball((0.95 * side, -1.5, -0.5), (0.65, 0.6, 0.5)))
        skin.append(ball((0.8 * side, -1.6, 0.2), (0.42, 0.4, 0.36)))
        locks.append(ball((1.35 * side, -0.4, -1.2), (0.6, 0.9, 1.6)))
        moustache.append(cone((0.1 * side, -2.2, -1.05), (1.3 * side, -1.8, -1.6), 0.42, 0.3))
    head = [
        *_of("skin", *skin),
        *_of("hair", *(_waved(lock, (6.5, 0, 1.2), 0.12) for lock in locks), *moustache),
        *_of("sou'wester", _without(_crown, box((0, 0, 0), (4, 4, 1.15))), _brim),
    ]
    knit = (0.0, 0.0, 6.0)
    muffler = [
        _waved(_placed(ring((0, 0, 0), 1.8, 0.8), (0, 0, 25.4), (12, 0, 0)), knit, 0.1),
        cone((-0.2, -2.2, 24.9), (-1.3, -2.9, 23.6), 0.75, 0.6),
        _placed(
            _waved(_block((0.55, 0.15, 1.7), 0.25), knit, 0.1), (-1.5, -3.5, 22), (-12, 8, -12)
        ),
    ]
    turned = [Solid(one.area, _placed(one.field, (0.1, -0.6, 27.9), (4, 0, 24))) for one in head]
    return [*turned, *_of("muffler", *muffler)]


def _crown(p: Array) -> Array:
    """A round crown sewn of six pieces."""
    seam = np.abs(np.sin(3 * np.arctan2(p[:, 1] - 0.2, p[:, 0])))
    return ball((0, 0.2, 1.3), (2.35, 2.55, 2.2))(p) + 0.22 * np.exp(-6.0 * seam)


def _brim(p: Array) -> Array:
    """A brim turned up in front and long over the neck."""
    back, front = np.maximum(p[:, 1] + 1.5, 0.0), np.maximum(-1.5 - p[:, 1], 0.0)
    level = 1.45 - 0.075 * back**2 + 0.3 * front**2 - 0.04 * p[:, 0] ** 2
    edge = np.hypot(p[:, 0] / 3.3, (p[:, 1] - 1.3) / 4.4) - 1.0
    return _edged(3.2 * edge, 0.75 * np.abs(p[:, 2] - level) - 0.3)


def _boathook() -> list[Solid]:
    """A pole with an iron spike and hook, and the hand about it."""
    iron = [
        *_limb((0, 0, 27.2, 0.72), (0, 0, 28.8, 0.72)),
        *_limb((0, 0, 28.8, 0.6), (0, 0, 31.6, 0.2)),
        *_limb((0, 0, 28.8, 0.5), (1.5, 0, 29.5, 0.45), (2.2, 0, 28.6, 0.4), (1.9, 0, 27.4, 0.25)),
    ]
    upright = [
        *_of("pole", cone((0, 0, 0), (0, 0, 28.0), 0.5, 0.5)),
        *_of("iron", *iron),
        *_of("skin", *(_placed(part, (0, 0, 18.5)) for part in _grip(1))),
    ]
    foot, lean = (-8.3, -5.0, 1.8), (-4.7, -1.2, 0.0)
    return [Solid(one.area, _placed(one.field, foot, lean)) for one in upright]


def _rope() -> list[Solid]:
    """A coil in the other hand, bound by two turns, with a loose end."""
    hand = (7.7, -1.8, 15.6)
    rope = [
        *(_placed(ring((0, 0, 0), 0.8, 0.38), (7.7, -3.6, z), (38, 0, 0)) for z in (14.1, 13.4)),
        *_limb((7.6, -4.4, 13.0, 0.42), (8.0, -4.7, 10.0, 0.42), (7.9, -4.2, 7.6, 0.42)),
        *_limb((7.9, -4.2, 7.6, 0.42), (8.2, -4.5, 6.0, 0.5)),
    ]
    for high, tilt, yaw in ((2.7, 17, 5), (3.1, 5, -7), (2.8, -6, 4), (3.2, -16, -4)):
        rope.append(_placed(_loop(high, 0.43), hand, (0, tilt, yaw)))
    grip = (_placed(part, hand, (75, 0, 0)) for part in _grip(-1))
    return [*_of("rope", *rope), *_of("skin", *grip)]


def _grip(side: int) -> list[Field]:
    """A closed hand about an upright rod: fingers, palm, wrist and thumb."""
    return [
        *(ring((0, 0, level), 0.72, 0.42) for level in (-1.1, -0.37, 0.37, 1.1)),
        ball((0.35 * side, 0.8, 0), (0.85, 0.95, 1.35)),
        cone((0.3 * side, 1.0, 0), (0.5 * side, 1.9, 0), 0.85, 0.85),
        cone((0.7 * side, 0.5, 1.1), (0.1 * side, -0.75, 1.6), 0.45, 0.38),
    ]


def _of(area: str, *fields: Field) -> list[Solid]:
    """Bodies of one area."""
    return [Solid(area, field) for field in fields]


def _limb(*joints: Row) -> list[Field]:
    """Round-ended cones from joint to joint: place and radius."""
    return [
        cone((ax, ay, az), (bx, by, bz), first, last)
        for (ax, ay, az, first), (bx, by, bz, last) in pairwise(joints)
    ]


def _loft(rows: tuple[Row, ...], folds: int) -> Field:
    """A body of oval sections: height, middle x and y, half width and depth, depth of folds."""
    from scipy.interpolate import PchipInterpolator

    table = np.array(rows)
    low, high = table[0, 0], table[-1, 0]
    curve = PchipInterpolator(table[:, 0], table[:, 1:])

    def field(p: Array) -> Array:
        x, y, wide, deep, fold = curve(np.clip(p[:, 2], low, high)).T
        angle = np.arctan2(p[:, 1] - y, p[:, 0] - x)
        reach = 1.0 / np.hypot(np.cos(angle) / wide, np.sin(angle) / deep)
        reach = reach + fold * np.sin(folds * angle + 0.9 * np.sin(2 * angle))
        side = 0.85 * (np.hypot(p[:, 0] - x, p[:, 1] - y) - reach)
        return _edged(side, np.maximum(low - p[:, 2], p[:, 2] - high))

    return field


def _loop(high: float, thick: float) -> Field:
    """An upright oval of laid rope that hangs from the middle of the frame."""

    def field(p: Array) -> Array:
        y, z = p[:, 1] * 1.15, p[:, 2] + high
        out = np.hypot(y, z) - high
        lay = np.sin(16 * np.arctan2(y, z) + 2 * np.arctan2(p[:, 0], out))
        return 0.85 * (np.hypot(out, p[:, 0]) - thick - 0.07 * lay)

    return field


def _block(half: Vec, round_by: float) -> Field:
    """A box about the middle of the frame, grown all round so that its edges are round."""
    return lambda p: box((0, 0, 0), half)(p) - round_by


def _edged(side: Array, end: Array) -> Array:
    """What both bounds share, the edge between them rounded."""
    a, b = side + 0.25, end + 0.25
    out = np.hypot(np.maximum(a, 0.0), np.maximum(b, 0.0))
    return out + np.minimum(np.maximum(a, b), 0.0) - 0.25


def _placed(field: Field, at: Vec, turn: Vec = (0.0, 0.0, 0.0)) -> Field:
    """A body turned about x, then y, then z, degrees, and moved."""
    (sx, sy, sz), (cx, cy, cz) = np.sin(np.radians(turn)), np.cos(np.radians(turn))
    about_x = np.array([[1, 0, 0], [0, cx, -sx], [0, sx, cx]])
    about_y = np.array([[cy, 0, sy], [0, 1, 0], [-sy, 0, cy]])
    about_z = np.array([[cz, -sz, 0], [sz, cz, 0], [0, 0, 1]])
    turned = about_z @ about_y @ about_x
    return lambda p: field((p - np.array(at)) @ turned)


def _without(field: Field, cut: Field) -> Field:
    """A body less another."""
    return lambda p: np.maximum(field(p), -cut(p))


def _waved(field: Field, wave: Vec, depth: float) -> Field:
    """A body in ridges, for cloth and hair; the wave in radians a mm."""
    return lambda p: field(p) + depth * np.sin(p @ np.array(wave))
