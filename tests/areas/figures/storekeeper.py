"""A figure with exact areas: the storekeeper of a breakwater lighthouse, counting the stores.

He reads a ledger and holds up the keys, in coat and apron, beside a barrel topped with rope.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tests.areas.figures.fields import (
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

_ROUGH = 4
_LOW, _HIGH = np.array([-13.0, -13.0, -0.5]), np.array([13.0, 13.0, 34.0])
_MIDDLE = -2.5
_BARREL = (6.9, 3.2)
# The sections of the coat: height, half width, half depth, and how far each sits backwards.
_HEIGHT = (9.2, 12.5, 15.5, 18.0, 21.0, 23.2, 24.8)
_WIDE = (5.6, 4.9, 4.7, 4.9, 4.9, 4.0, 2.5)
_DEEP = (4.9, 4.3, 4.3, 4.5, 3.8, 2.8, 2.2)
_BACK = (0.2, -0.1, -0.4, -0.6, -0.2, 0.1, 0.2)


def storekeeper(cell: float = 0.24) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from skimage.measure import marching_cubes

    solids = _solids()
    step = cell * _ROUGH
    shape = [int(np.ceil(span / step)) for span in _HIGH - _LOW]
    middles = _grid(shape, step) + step / 2
    rough = np.array([solid.field(middles).reshape(shape) for solid in solids])
    volume = rough.min(axis=0)
    for axis in range(3):
        volume = volume.repeat(_ROUGH, axis=axis)
    near = np.flatnonzero(np.abs(volume) < 1.5 * step)
    found = np.full(len(near), np.inf)
    for distance in _distances(solids, rough, step, _grid(list(volume.shape), cell)[near]):
        found = filleted(found, distance)
    volume.ravel()[near] = found
    vertices, faces, _, _ = marching_cubes(volume, 0.0, gradient_direction="descent")
    vertices, faces = (vertices * cell + _LOW).astype(np.float32), faces.astype(np.int32)
    vertices, faces = largest_piece(vertices, faces)
    vertices = _eased(vertices, faces)
    names = tuple(dict.fromkeys(solid.area for solid in solids))
    middle = vertices[faces].mean(axis=1).astype(np.float64)
    closest = np.argmin(_distances(solids, rough, step, middle), axis=0)
    area = np.array([names.index(solid.area) for solid in solids], np.int32)[closest]
    return Figure(vertices, faces, _settled(faces, area), names)


def _distances(solids: list[Solid], rough: Array, step: float, places: Array) -> Array:
    """The distance of each place to each body, infinite to bodies that are roughly far."""
    i, j, k = ((places - _LOW) / step).astype(int).T
    found = np.full((len(solids), len(places)), np.inf)
    for solid, distance, row in zip(solids, rough, found, strict=True):
        close = distance[i, j, k] < 2.0 * step
        row[close] = solid.field(places[close])
    return found


def _eased(vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> NDArray[np.float32]:
    """Even out the triangles without shrinking the body, its underside back on zero."""
    ahead, behind = faces.ravel(), faces[:, [1, 2, 0]].ravel()
    count = np.bincount(ahead, minlength=len(vertices))
    found = vertices.astype(np.float64)
    for share in (0.5, -0.52, 0.5, -0.52):
        total = [np.bincount(ahead, found[behind, axis], len(found)) for axis in range(3)]
        found += share * (np.stack(total, axis=1) / count[:, None] - found)
    return (found - [0.0, 0.0, found[:, 2].min()]).astype(np.float32)


def _settled(faces: NDArray[np.int32], area: NDArray[np.int32]) -> NDArray[np.int32]:
    """Give faces that stick out into another area, or stand alone, to their neighbours' area."""
    ends = np.sort(faces[:, [[0, 1], [1, 2], [2, 0]]], axis=2).astype(np.int64)
    _, edge = np.unique(ends[..., 0] * len(faces) + ends[..., 1], return_inverse=True)
    rank = np.arange(len(faces))
    pairs = np.bincount(edge.ravel(), rank.repeat(3)).astype(np.int64)
    across = pairs[edge.reshape(-1, 3)] - rank[:, None]
    while True:
        beside = area[across]
        better = np.sort(beside, axis=1)[:, 1]
        gain = (beside == better[:, None]).sum(axis=1) > (beside == area[:, None]).sum(axis=1)
        gain &= ~(gain[across] & (across < rank[:, None])).any(axis=1)
        if not gain.any():
            return area
        area = np.where(gain, better, area)


def _grid(counts: list[int], step: float) -> Array:
    """Places on a grid, the last axis fastest."""
    axes = [np.arange(count) * step for count in counts]
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3) + _LOW


def _blend(soft: float, *fields: Field) -> Field:
    """Several bodies flowing into one over some width."""

    def field(p: Array) -> Array:
        found = fields[0](p)
        for other in fields[1:]:
            more = other(p)
            near = np.maximum(soft - np.abs(found - more), 0.0) / soft
            found = np.minimum(found, more) - near * near * soft / 4
        return found

    return field


def _cut(body: Field, *away: Field) -> Field:
    """A body without what lies in others, the new edges a little worn."""
    kept = _blend(0.4, lambda p: -body(p), *away)
    return lambda p: -kept(p)


def _placed(body: Field, middle: Vec, turn: float = 0, tilt: float = 0, lean: float = 0) -> Field:
    """A body leant about Y, tilted about X, turned about Z, all in degrees, then moved."""
    whole = np.eye(3)
    for axis, degrees in ((1, lean), (0, tilt), (2, turn)):
        one, two, step = (axis + 1) % 3, (axis + 2) % 3, np.eye(3)
        step[one, one] = step[two, two] = np.cos(np.radians(degrees))
        step[two, one], step[one, two] = np.sin(np.radians([degrees, -degrees]))
        whole = step @ whole
    return lambda p: body((p - np.array(middle)) @ whole)


def _cloth(inward: float, low: float, high: float) -> Field:
    """The coat's own form between two heights, some way inside it; its skirt falls in folds."""

    def field(p: Array) -> Array:
        z = p[:, 2]
        half = np.stack([np.interp(z, _HEIGHT, _WIDE), np.interp(z, _HEIGHT, _DEEP)], axis=1)
        x, y = p[:, 0] - _MIDDLE, p[:, 1] - np.interp(z, _HEIGHT, _BACK)
        folds = 0.3 * np.clip((16.0 - z) / 7.0, 0.0, 1.0) * np.cos(9 * np.arctan2(x, y))
        q = np.stack([x, y], axis=1) / half
        share = np.linalg.norm(q, axis=1)
        side = share * (share - 1.0) / (np.linalg.norm(q / half, axis=1) + 1e-9)
        return np.max([side + inward - folds, low - z, z - high], axis=0)

    return field


def _opening(p: Array) -> Array:
    """The gap between the two fronts of the coat, wider towards the hem and the throat."""
    half = np.interp(p[:, 2], [8.0, 16.0, 20.0, 24.0], [3.1, 1.7, 1.8, 2.3])
    return np.maximum(np.abs(p[:, 0] - _MIDDLE) - half, p[:, 1] + 0.3)


def _cask(p: Array) -> Array:
    """The bulging side of the barrel."""
    side = np.hypot(p[:, 0] - _BARREL[0], p[:, 1] - _BARREL[1])
    return side - (3.9 - 0.7 * ((p[:, 2] - 7.0) / 5.2) ** 2)


def _staves(p: Array) -> Array:
    """The barrel with grooves between its staves, and its flat lid."""
    around = np.arctan2(p[:, 1] - _BARREL[1], p[:, 0] - _BARREL[0])
    groove = 0.16 * np.maximum(0.0, 1 - np.abs(np.sin(8 * around)) / 0.35)
    return np.max([_cask(p) + groove, p[:, 2] - 12.2, 1.0 - p[:, 2]], axis=0)


def _hoops(p: Array) -> Array:
    """Four flat hoops round the barrel."""
    off = np.abs(p[:, 2:] - np.array([3.1, 5.3, 8.9, 11.0])).min(axis=1)
    return np.maximum(_cask(p) - 0.32, off - 0.5)


def _coil(p: Array) -> Array:
    """A turn of laid rope about its own middle."""
    x, y, z = p.T
    strand = 16 * np.arctan2(y, x) + 3 * np.arctan2(z, np.hypot(x, y) - 2.15)
    return ring((0, 0, 0), 2.15, 0.55)(p) - 0.1 * np.sin(strand)


def _key(foot: Vec, lean: float) -> Field:
    """A big key hanging from the place given, leant sideways: bow, shank, and the bit."""
    bow = _placed(ring((0, 0, 0), 0.8, 0.3), (0, 0, -0.7), tilt=90.0)
    shank = cone((0, 0, -1.5), (0, 0, -5.0), 0.36, 0.36)
    bits = [cone((0, 0, z), (1.2, 0, z), 0.36, 0.36) for z in (-3.7, -4.85)]
    return _placed(_blend(0.2, bow, shank, *bits), foot, lean=lean)


def _head() -> list[Solid]:
    """The head about its own middle, looking towards -Y, then bent over the ledger."""
    sides = (-1.0, 1.0)
    face = [
        ball((0, 0.2, 0), (2.05, 2.3, 2.6)),
        ball((0, -0.7, -1.3), (1.6, 1.7, 1.6)),
        cone((0, -2.1, 0.5), (0, -2.75, -0.45), 0.3, 0.5),
        *(ball((2.1 * side, 0.1, -0.1), (0.45, 0.7, 0.95)) for side in sides),
        *(ball((1.05 * side, -1.8, -0.5), (0.65, 0.5, 0.55)) for side in sides),
    ]
    beard = [
        ball((0, -1.6, -2.1), (1.75, 1.25, 1.5)),
        cone((0, -2.0, -2.4), (0, -2.3, -4.2), 1.3, 0.5),
        *(cone((0.35 * side, -2.6, -1.25), (1.4 * side, -2.1, -1.8), 0.48, 0.35) for side in sides),
        *(cone((1.85 * side, -0.35, 0.9), (1.4 * side, -1.0, -1.9), 0.45, 0.8) for side in sides),
    ]
    nape = _cut(ball((0, 0.5, -0.2), (2.25, 2.35, 2.5)), box((0, -4.2, 0), (4, 5.0, 5)))
    peak = _placed(ball((0, 0, 0), (2.2, 1.95, 0.55)), (0, -2.3, 1.6), 0.0, 14.0)
    cap = [disc((0, 0.15, 2.1), 2.45, 0.65), ball((0, 0.35, 3.2), (3.2, 3.2, 1.15)), peak]
    parts = {"skin": face, "hair": [*beard, nape], "cap": cap}
    whole = {area: _blend(0.3, *fields) for area, fields in parts.items()}
    return [Solid(area, _placed(whole[area], (-2.4, -0.9, 27.7), 16, 12)) for area in whole]


def _leaves(wide: float, tall: float, low: float, high: float) -> Field:
    """Both halves of an open book in a shallow V, its spine along Y, its edges rounded outwards."""
    leaves = []
    for side in (-1.0, 1.0):
        leaf = box((side * wide / 2, 0, (low + high) / 2), (wide / 2, tall / 2, (high - low) / 2))
        leaves.append(_placed(leaf, (0, 0, 0), lean=-14.0 * side))
    return lambda p: _blend(0.1, *leaves)(p) - 0.18


def _ledger() -> list[Solid]:
    """The open ledger tipped towards the reader, and the hand that grips its near edge."""
    hand = [
        ball((0.3, 2.5, -0.65), (1.6, 1.5, 0.9)),
        cone((-0.6, 3.1, -0.6), (-0.5, 3.1, 0.6), 0.6, 0.55),
        cone((-0.5, 3.1, 0.6), (-0.4, 1.2, 0.75), 0.55, 0.45),
    ]
    for x in (-1.0, -0.15, 0.7, 1.55):
        knuckle, tip = (x, 2.2, 0.2 * abs(x) - 0.85), (1.22 * x, -0.5, 0.25 * abs(x) - 0.8)
        hand.append(cone(knuckle, tip, 0.56, 0.48))
    cover, pages = _leaves(3.5, 5.2, -0.35, -0.1), _leaves(3.1, 4.5, 0.15, 0.6)
    parts = {"cover": cover, "pages": pages, "skin": _blend(0.25, *hand)}
    return [Solid(area, _placed(parts[area], (2.2, -7.2, 19.2), 20, -35)) for area in parts]


def _keys() -> list[Solid]:
    """The bunch of keys and the fist that it hangs from."""
    fingers = [cone((-10.1, y, 19.6), (-10.0, y, 18.5), 0.5, 0.45) for y in (-5.5, -4.7, -3.9)]
    palm = ball((-9.3, -4.7, 19.1), (1.1, 1.2, 1.1))
    thumb = cone((-8.5, -4.4, 19.8), (-8.8, -5.8, 19.5), 0.5, 0.45)
    bunch = [_placed(ring((0, 0, 0), 1.4, 0.34), (-9.3, -5.3, 17.3), tilt=90.0)]
    feet = ((-10.3, -5.1, 16.5), (-9.3, -5.6, 16.0), (-8.3, -5.1, 16.5))
    bunch += [_key(foot, lean) for foot, lean in zip(feet, (24.0, 0.0, -24.0), strict=True)]
    return [Solid("skin", _blend(0.25, palm, thumb, *fingers)), Solid("keys", _blend(0.15, *bunch))]


def _coat() -> Field:
    """The open coat, hollow under its skirt, with collar, lapels, sleeves and turned cuffs."""
    added = [_cut(ring((_MIDDLE, 0.3, 24.6), 2.5, 0.7), box((_MIDDLE, -3.4, 24.6), (2.0, 2.5, 2)))]
    for side in (-1.0, 1.0):
        x = [_MIDDLE + out * side for out in (2.8, 2.7, 2.1)]
        throat, chest, waist = (x[0], -2.2, 23.7), (x[1], -3.5, 21.2), (x[2], -4.7, 17.6)
        added += [cone(throat, chest, 0.55, 0.8), cone(chest, waist, 0.8, 0.3)]
    right = ((-6.2, 0.1, 22.3), (-9.0, 0.4, 18.0), (-9.2, -2.0, 18.6), (-9.3, -3.0, 18.8))
    left = ((1.2, 0.1, 22.3), (4.0, -0.1, 17.4), (2.8, -2.8, 16.9), (2.3, -3.9, 16.7))
    for shoulder, elbow, cuff, wrist in (right, left):
        added += [cone(shoulder, elbow, 1.9, 1.55), cone(elbow, wrist, 1.55, 1.2)]
        added.append(cone(cuff, wrist, 1.6, 1.5))
    body = _cut(_cloth(0.0, 9.2, 24.8), _opening, _cloth(1.5, 5.0, 10.5))
    return _blend(0.5, body, *added)


def _solids() -> list[Solid]:
    """Every body."""
    spots = ((0.8, -0.4), (-5.5, 7.9), (-4.0, -8.7), (6.0, -8.7))
    joints = [box((x, y, 1.9), (0.28, 4.3, 0.5)) for x, y in spots]
    joints += [box((0, y, 1.9), (13, 0.28, 0.5)) for y in (3.6, -4.4)]
    jumper, inner = _cloth(1.0, 14.5, 24.8), _cloth(1.5, 5.0, 10.5)
    apron = _blend(0.1, _cloth(0.6, 8.0, 16.4), _cloth(0.25, 15.5, 16.6))
    aside = box((_MIDDLE, 9.0, 12.0), (9.0, 9.0, 9.0))
    found = [
        Solid("ground", _cut(disc((0, 0, 0.9), 12.0, 0.9), *joints)),
        Solid("barrel", _staves),
        Solid("hoops", _hoops),
        Solid("jumper", lambda p: jumper(p) - 0.08 * np.cos(8.0 * p[:, 0])),
        Solid("jumper", ring((_MIDDLE, -0.1, 25.0), 1.6, 0.8)),
        Solid("apron", _cut(apron, inner, aside)),
        Solid("coat", _coat()),
        Solid("skin", cone((_MIDDLE, -0.1, 25.0), (-2.4, -0.6, 27.0), 1.4, 1.5)),
    ]
    x, y = _BARREL
    coil = [(x, y, 12.6), (x + 0.25, y - 0.25, 13.5), (x - 0.15, y + 0.15, 14.4)]
    loop = _placed(_coil, (x - 0.4, y - 3.85, 12.75), -8.0, 76.0)
    found.append(Solid("rope", _blend(0.1, loop, *(_placed(_coil, place) for place in coil))))
    shaft, top = cone((0, 0, 0.6), (0, 0, -0.4), 1.7, 1.5), ring((0, 0, 1.6), 1.5, 0.55)
    boot = _blend(0.8, shaft, top, cone((0, 0, -1.5), (0, -2.5, -1.7), 1.55, 1.35))
    right = ((-4.4, 0.3, 12.5), (-4.9, -0.2, 8.4), (-5.2, 0.5, 3.6))
    left = ((-0.6, 0.1, 12.5), (-0.3, -0.6, 8.4), (0.3, -0.7, 3.6))
    for (hip, knee, ankle), turn in ((right, -24.0), (left, 22.0)):
        legs = _blend(0.4, cone(hip, knee, 2.0, 1.75), cone(knee, ankle, 1.75, 1.3))
        found += [Solid("trousers", legs), Solid("boots", _placed(boot, ankle, turn))]
    return found + _head() + _ledger() + _keys()
