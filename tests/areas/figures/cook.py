"""A figure with exact areas, as a field of distances: the lighthouse's cook on the quay.

A stout woman leans into the storm with her ladle raised and a pot of stew on her hip.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

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
    largest_piece,
)

Parts = list[tuple[str, Field]]

FILLET_MM, SPECK_MM2 = 0.18, 0.8
_ROUGH = 4
_LOW, _HIGH = np.array([-12.2, -12.2, -0.5]), np.array([12.2, 12.2, 33.5])
_HEAD, _HEAD_TURN = (-0.9, -1.1, 27.5), -0.45
_POT, _BOWL = (4.7, -5.0, 15.0), (-9.4, -5.2, 29.8)
_ELBOWS = ((-6.8, -0.6, 18.9), (7.0, 1.5, 17.9))
_FIST, _GRIP = (-7.9, -3.7, 21.9), (7.2, -4.3, 14.0)


def cook(cell: float = 0.3) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from skimage.measure import marching_cubes

    solids = [Solid(*part) for part in _quay() + _legs() + _clothes() + _arms() + _head()]
    solids += [Solid(*part) for part in _gear() + _cat()]
    counts = np.ceil((_HIGH - _LOW) / (cell * _ROUGH)).astype(int)
    middles = _LOW + (np.indices(counts).reshape(3, -1).T + 0.5) * cell * _ROUGH
    rough = np.array([solid.field(middles) for solid in solids])
    whole = rough.min(axis=0)

    def blocks(places: Array) -> NDArray[np.int64]:
        found = ((places - _LOW) / (cell * _ROUGH)).astype(int)
        return np.ravel_multi_index(tuple(found.T), tuple(counts))

    def fields(places: Array) -> Iterator[Array]:
        block = blocks(places)
        for solid, matters in zip(solids, rough < whole + 2.4 * cell * _ROUGH, strict=True):
            some, found = np.flatnonzero(matters[block]), np.full(len(places), np.inf)
            found[some] = solid.field(places[some])
            yield found

    grid = _LOW + np.indices(counts * _ROUGH).reshape(3, -1).T * cell
    volume = whole[blocks(grid)]
    near = np.flatnonzero(np.abs(volume) < 1.6 * cell * _ROUGH)
    volume[near] = np.inf
    for found in fields(grid[near]):
        volume[near] = filleted(volume[near], found, FILLET_MM)
    vertices, faces, _, _ = marching_cubes(
        volume.reshape(counts * _ROUGH), 0.0, spacing=(cell,) * 3, gradient_direction="descent"
    )
    vertices, faces = (vertices + _LOW).astype(np.float32), faces.astype(np.int32)
    vertices, faces = largest_piece(vertices, faces)
    names = tuple(dict.fromkeys(solid.area for solid in solids))
    numbers = np.array([names.index(solid.area) for solid in solids], np.int32)
    corners = vertices[faces].astype(np.float64)
    nearest = np.argmin(list(fields(corners.mean(axis=1))), axis=0)
    return Figure(vertices, faces, _tidied(corners, faces, numbers[nearest]), names)


def _tidied(corners: Array, faces: NDArray[np.int32], area: NDArray[np.int32]) -> NDArray[np.int32]:
    """The areas, with specks given to the area around them."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    size = np.linalg.norm(np.cross(first, second), axis=1) / 2
    sides = np.sort(faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    a, b = (np.lexsort(sides.T) // 3).reshape(-1, 2).T
    same = area[a] == area[b]
    links = coo_array((np.ones(same.sum()), (a[same], b[same])), shape=(len(faces),) * 2)
    area, (_, piece) = area.copy(), connected_components(links, directed=False)
    small = np.bincount(piece, size) < SPECK_MM2
    while small[piece].any():
        for one, other in ((a, b), (b, a)):
            lost = small[piece[one]] & ~small[piece[other]]
            area[one[lost]], piece[one[lost]] = area[other[lost]], piece[other[lost]]
    return area


def _quay() -> Parts:
    """Worn slabs with an iron mooring ring."""
    return [
        ("stone", _slabs),
        ("ironwork", ball((2.2, 8.0, 1.9), (0.75, 0.75, 0.95))),
        ("ironwork", _hoop((3.7, 8.0, 2.35), (-0.15, 0.1, 1.0), 1.4, 0.36)),
    ]


def _slabs(p: Array) -> Array:
    """The base, its top cut into slabs of unequal height."""
    x, y = p[:, 0] * 0.94 + p[:, 1] * 0.34, p[:, 1] * 0.94 - p[:, 0] * 0.34
    across = (y + 12.5) / 5.6
    along = (x + 40 + 3.1 * np.floor(across)) / 7.4
    joint = np.minimum(
        np.abs(along - np.round(along)) * 7.4, np.abs(across - np.round(across)) * 5.6
    )
    step = 0.16 * np.sin(7.0 * np.floor(across) + 4.3 * np.floor(along))
    worn = 0.06 * np.sin(1.7 * x) * np.cos(1.3 * y)
    top = 1.75 + step + worn - 0.34 * np.exp(-((joint / 0.32) ** 2))
    return np.maximum(disc((0, 0, 1.1), 11.5, 1.1)(p), 0.9 * (p[:, 2] - top))


def _legs() -> Parts:
    """Stockings and wooden clogs."""
    local: Parts = [
        ("stockings", _chain([(0, 0.9, 6.5), (0, 0.4, 4.0), (0, 0.1, 1.6)], [1.35, 1.25, 0.95])),
        ("clogs", _hoop((0, -0.05, 1.75), (0, 0.15, 1), 1.05, 0.28)),
    ]
    shoe = [ball((0, -0.1, 0.95), (1.25, 1.5, 1.0)), ball((0, -1.7, 0.75), (1.3, 1.9, 0.95))]
    shoe.append(cone((0, -2.9, 0.85), (0, -3.9, 1.6), 0.8, 0.35))
    local.append(("clogs", _blend(0.5, *shoe)))
    ankles = (((-1.6, -2.2, 1.7), -0.35), ((2.7, -1.5, 1.7), 0.45))
    return [(area, _placed(field, *ankle)) for ankle in ankles for area, field in local]


def _skirt(p: Array, out: float, drop: float) -> tuple[Array, Array, Array]:
    """How far it is out of a blown skirt and below its hem, and the way about its middle."""
    low = np.clip((17.4 - p[:, 2]) / 11.5, 0.0, 1.1)
    x, y = p[:, 0] - 1.7 * low**1.6, (p[:, 1] - 0.8 * low**1.6) / 0.93
    angle = np.arctan2(y, x)
    lee = 0.5 + 0.5 * np.cos(angle - 0.35)
    knee = np.exp(-(((angle + 2.1) / 0.5) ** 2) - ((low - 0.68) / 0.3) ** 2)
    wave = np.cos(5 * angle + 0.8 + 1.5 * low) + 0.7 * np.cos(
        9 * angle - 2.0 - 2.2 * low + 0.8 * np.sin(angle)
    )
    depth = 0.75 * low**0.8 * (0.3 + 0.7 * np.sqrt(lee))
    wide = 3.6 + 1.2 * (1 - np.exp(-6 * low)) + 0.9 * low + 2.6 * lee * low**2
    radius = wide + 1.0 * knee + depth * (wave - 0.3 * wave**2) + out
    reach = np.hypot(x, y)
    hem = 6.2 + 2.0 * lee**2 + 0.25 * wave - drop + 0.4 * np.maximum(radius - reach, 0.0)
    return 0.85 * (reach - radius), 0.85 * (hem - p[:, 2]), angle


def _dress_skirt(p: Array) -> Array:
    """The dress below the waist."""
    side, hem, _ = _skirt(p, 0.0, 0.0)
    return np.maximum(_rounded(0.3, side, hem), p[:, 2] - 17.8)


def _petticoat(p: Array) -> Array:
    """A petticoat that shows under the hem."""
    side, hem, angle = _skirt(p, -0.6, 1.4)
    return np.maximum(_rounded(0.4, side + 0.12 * np.cos(17 * angle), hem), p[:, 2] - 12.0)


def _apron(p: Array) -> Array:
    """A cloth on the front of the skirt, a pocket on it and a corner lifted by the wind."""
    low = np.clip((17.4 - p[:, 2]) / 11.5, 0.0, 1.0)
    side, _, angle = _skirt(p, 0.0, 0.0)
    across = (angle + 1.75 - 0.15 * low) * (3.9 + 2.2 * low)
    lifted = 0.36 + 0.75 * low**2 * np.clip(across / 4.0, 0.0, 1.2) ** 2
    half = 3.4 + 1.6 * low
    edge = np.maximum(np.abs(across) - half, 7.6 + 0.045 * across**2 + 0.2 * across - p[:, 2])
    edge = np.maximum(edge, p[:, 2] - 17.2)
    raised = 0.14 * np.exp(-(((edge + 0.45) / 0.28) ** 2))
    pocket = np.maximum(np.abs(across + 2.1) - 1.2, np.abs(p[:, 2] - 12.4) - 1.2)
    raised += 0.34 * np.clip(0.5 - 4.0 * pocket, 0.0, 1.0)
    return _rounded(0.25, side - lifted - raised + 0.1 * np.sin(2.1 * across + 3 * low), edge)


def _bodice(p: Array) -> Array:
    """A stout body to the shoulders."""
    return _blend(
        0.9,
        ball((-0.1, 0.0, 19.6), (3.9, 3.4, 4.6)),
        ball((-1.7, -2.2, 20.7), (1.9, 1.7, 1.7)),
        ball((1.4, -2.2, 20.6), (1.9, 1.7, 1.7)),
        cone((-2.6, 0.4, 22.6), (2.4, 0.4, 22.6), 1.7, 1.7),
    )(p)


def _trunk(p: Array) -> Array:
    """The bodice with the upper sleeves."""
    found = _bodice(p)
    for side, elbow in zip((-1, 1), _ELBOWS, strict=True):
        creases = 0.13 * np.sin(p @ np.array([0.9 * side, 1.6, 2.6])) * (np.abs(p[:, 0]) > 4.0)
        sleeve = cone((side * 3.2, 0.2, 22.5), elbow, 1.9, 1.6)(p) + creases
        found = filleted(found, sleeve, 0.9)
    return found


def _belt(p: Array) -> Array:
    """A leather belt, a little slanting."""
    waist = _blend(1.0, _bodice, _dress_skirt)(p)
    return _rounded(0.3, waist - 0.75, np.abs(p[:, 2] - 17.0 - 0.07 * p[:, 0]) - 0.65)


def _shawl(p: Array) -> Array:
    """A shawl about the shoulders, crossed over the chest and wound about the waist."""
    x, y, z = p.T
    trunk = _trunk(p)
    found = np.full(len(p), np.inf)
    for side, out in ((-1.0, 0.42), (1.0, 0.8)):
        off = (5.6 * (x - 3.3 * side) - 6.4 * side * (z - 23.6)) / 8.5 * side
        edge = np.maximum(np.abs(off) - 1.5, np.maximum(y - 0.4, np.abs(x) - 4.9))
        pleats = 0.13 * np.cos(4.4 * off)
        found = np.minimum(found, _rounded(0.25, trunk - out + pleats, edge))
    back = np.maximum(17.9 + 0.95 * np.abs(x - 0.2) - z, np.maximum(-1.7 - y, np.abs(x) - 4.9))
    pleats = 0.24 * np.cos(11 * np.arctan2(x - 0.4, z - 15.5)) * np.clip((25 - z) / 4, 0, 1)
    wound = np.abs(z - 18.4 - 0.07 * x) - 0.75
    winding = _rounded(0.25, _bodice(p) - 0.75 + 0.12 * np.cos(5.0 * z), wound)
    return np.minimum(np.minimum(found, _rounded(0.25, trunk - 0.62 + pleats, back)), winding)


def _clothes() -> Parts:
    """What she wears from the neck down, the shawl's ends in the wind behind her."""
    knot = (0.4, 4.0, 18.2)
    upper, lower = [(2.3, 4.9, 16.8), (4.6, 5.6, 16.6), (6.6, 5.7, 15.2)], [(1.2, 5.2, 15.6)]
    lower += [(2.8, 6.0, 13.6), (4.4, 6.6, 13.0)]
    found: Parts = [("dress", _blend(1.0, _trunk, _dress_skirt)), ("petticoat", _petticoat)]
    found += [("apron", _apron), ("belt", _belt), ("shawl", _shawl)]
    found += [("shawl", ball(knot, (1.1, 0.9, 0.95)))]
    return found + [("shawl", _ribbon([knot, *end], 0.42)) for end in (upper, lower)]


def _arms() -> Parts:
    """Rolled sleeves, bare forearms and hands."""
    found: Parts = [("skin", ball(_GRIP, (0.85, 1.0, 0.95)))]
    found += [("skin", ball((-7.7, -3.4, 21.9), (0.85, 0.85, 1.0)))]
    for elbow, hand in zip(_ELBOWS, (_FIST, _GRIP), strict=True):
        along = np.subtract(hand, elbow)
        roll = tuple(elbow + along * 0.17)
        found += [
            ("dress", cone(elbow, roll, 1.55, 1.45)),
            ("dress", _hoop(roll, along, 1.2, 0.62)),
            ("dress", _hoop(elbow + along * 0.34, along, 1.05, 0.55)),
            ("skin", cone(elbow, hand, 1.35, 0.8)),
        ]
    shaft = np.array([-0.17, -0.15, 1.0])
    for share in (-0.75, -0.25, 0.25, 0.75):
        found.append(("skin", _hoop(_FIST + shaft * share, shaft, 0.6, 0.33)))
    for way, level in ((-0.15, 0.1), (-0.25, -0.23), (-0.4, -0.54), (0.0, -0.77)):
        turns = np.array([way + 0.3, way - 0.2, way - 0.6])
        reach, height = 2.75 * np.cos(level), np.full(3, 2.6 * np.sin(level))
        finger = np.stack([reach * np.cos(turns), reach * np.sin(turns), height], axis=1)
        found.append(("skin", _chain(finger + _POT, [0.5, 0.46, 0.36])))
    return found


def _head() -> Parts:
    """A weathered face in a headscarf, a plait blown over the shoulder."""
    face = _blend(
        0.3,
        ball((0, -0.3, 0.1), (1.85, 2.05, 2.3)),
        ball((0, -1.2, -1.35), (1.05, 1.0, 0.95)),
        *(ball((side * 0.95, -1.45, -0.45), (0.75, 0.7, 0.7)) for side in (-1, 1)),
        cone((0, -2.15, 0.45), (0, -2.6, -0.3), 0.24, 0.42),
        cone((-0.9, -1.9, 0.75), (0.9, -1.9, 0.75), 0.3, 0.3),
        cone((-0.4, -2.05, -1.0), (0.4, -2.05, -1.0), 0.24, 0.24),
    )
    hollows = _blend(
        0.1,
        *(ball((side * 0.72, -2.35, 0.3), (0.36, 0.4, 0.24)) for side in (-1, 1)),
        cone((-0.5, -2.4, -0.85), (0.5, -2.4, -0.85), 0.14, 0.14),
    )
    skull, bun = ball((0, 0.4, 0.35), (2.3, 2.4, 2.55)), ball((0, 2.0, 0.3), (1.4, 1.3, 1.3))
    scarf = _blend(0.5, skull, bun)
    opening = ball((0, -2.7, -0.1), (1.5, 2.7, 2.3))

    def cloth(p: Array) -> Array:
        rays = np.arctan2(p[:, 0], p[:, 2] + 2.6) * 8 + 1.2 * p[:, 1]
        folded = scarf(p) - 0.1 + 0.12 * np.cos(rays)
        brim = _rounded(0.2, scarf(p) - 0.28, opening(p) - 0.6)
        return np.maximum(np.minimum(folded, brim), -opening(p))

    def fringe(p: Array) -> Array:
        parted = ball((0, -0.35, 0.65), (1.6, 2.1, 1.65))(p) + 0.05 * np.cos(8 * p[:, 0])
        return np.maximum(parted, -ball((0, -2.7, 0.1), (1.25, 1.9, 0.9))(p))

    knot = (0.15, -1.5, -2.55)
    local: Parts = [
        ("skin", _without(face, hollows)),
        ("hair", fringe),
        ("headscarf", cloth),
        ("headscarf", _chain([(-1.75, -0.8, -0.6), (-1.35, -1.1, -1.9), knot], [0.5] * 3)),
        ("headscarf", _chain([(1.75, -0.8, -0.6), (1.35, -1.1, -1.9), knot], [0.5] * 3)),
        ("headscarf", ball(knot, (0.75, 0.6, 0.65))),
        ("headscarf", _ribbon([(-0.2, 1.6, 0.4), (0.7, 2.4, -1.2), (1.9, 3.2, -2.2)], 0.55)),
    ]
    found = [(area, _placed(field, _HEAD, _HEAD_TURN)) for area, field in local]
    under, upper = (-1.6, -2.5, 24.9), [(0.1, -3.3, 24.8), (1.7, -3.3, 24.0), (3.2, -3.6, 24.4)]
    found += [
        ("skin", cone((0.0, -0.6, 22.8), (-0.7, -0.6, 26.0), 1.9, 1.3)),
        ("headscarf", _ribbon([under, *upper], 0.36)),
        ("headscarf", _ribbon([under, (-0.9, -3.7, 23.8), (0.3, -4.3, 23.2)], 0.36)),
    ]
    return found


def _gear() -> Parts:
    """The ladle, the pot of stew with its steam, the buckle, the keys and the plait."""
    x, y, z = _POT
    facing = np.array([0.45, -0.85, 0.2])
    hollow = ball(tuple(_BOWL + 0.9 * facing), (1.45, 1.45, 1.45))
    buckle = box((-0.3, -4.2, 17.1), (0.95, 0.5, 0.85))
    hook = (-4.3, -2.8, 15.6)
    found: Parts = [
        ("ladle", cone((-7.2, -3.0, 17.9), (-9.2, -4.9, 28.6), 0.42, 0.36)),
        ("ladle", _without(ball(_BOWL, (1.7, 1.7, 1.7)), hollow)),
        ("ladle", _hoop(_BOWL + 0.3 * facing, facing, 1.5, 0.34)),
        ("pot", _without(ball(_POT, (2.75, 2.75, 2.6)), box((x, y, z + 3.4), (3, 3, 2)))),
        ("pot", _hoop((x, y, z + 1.6), (0, 0, 1), 2.3, 0.42)),
        ("pot", _hoop((x - 1.6, y - 2.3, z + 1.0), (0.8, -0.55, 0.3), 0.75, 0.3)),
        ("stew", ball((x, y, z + 1.2), (2.1, 2.1, 0.75))),
        ("stew", ball((x - 0.7, y - 0.5, z + 1.8), (0.8, 0.6, 0.5))),
        ("stew", ball((x + 0.4, y - 1.0, z + 1.75), (0.55, 0.5, 0.5))),
        ("ironwork", _without(buckle, box((-0.3, -5.0, 17.1), (0.55, 0.5, 0.45)))),
        ("ironwork", _hoop(hook, (0.75, 0.55, 0.2), 0.85, 0.27)),
    ]
    for shift, length in ((-0.5, 2.6), (0.45, 3.2)):
        top = np.add(hook, (0.5 * shift - 0.35, -0.4 - 0.6 * shift, -0.9))
        foot = np.add(top, (0.5 * shift - 0.3, -0.25 - 0.5 * shift, -length))
        found += [
            ("ironwork", cone(tuple(top), tuple(foot), 0.34, 0.3)),
            ("ironwork", box(tuple(np.add(foot, (0.25, -0.35, 0.2))), (0.45, 0.45, 0.5))),
        ]
    share = np.linspace(0.0, 1.0, 14)
    for blown, rise, sway in ((3.2, 6.6, 1.1), (4.4, 3.4, -0.8)):
        swing, swirl = sway * np.sin(7.5 * share), 0.4 * np.cos(7.5 * share)
        wisp = (0.3 + blown * share**1.6 + swing, 0.5 + swirl, 1.3 + rise * share**0.9)
        places = np.stack(wisp, axis=1) + _POT
        found.append(("steam", _chain(places, 0.4 + 0.38 * np.sin(3.1 * share**0.7))))
    for step in range(9):
        side, down = 0.32 * (-1) ** step, step / 8
        at = (1.1 + 2.5 * down + side, -1.2 - 3.4 * np.sin(1.5 * down), 25.8 - 6.6 * down)
        found.append(("hair", ball(at, (0.8, 0.75, 0.62))))
    return found


def _cat() -> Parts:
    """A cat that waits for its share."""
    body = _blend(
        0.35,
        ball((0, 0.9, 1.5), (1.6, 1.8, 1.6)),
        cone((0, 0.1, 1.8), (0, -0.6, 3.9), 1.3, 0.9),
        ball((0, -1.0, 5.0), (1.2, 1.1, 1.05)),
        ball((0, -1.85, 4.75), (0.55, 0.5, 0.42)),
        *(cone((s * 0.55, -1.0, 3.0), (s * 0.55, -1.4, 0.4), 0.5, 0.48) for s in (-1, 1)),
        *(cone((s * 0.65, -0.8, 5.6), (s * 0.85, -0.7, 6.6), 0.5, 0.16) for s in (-1, 1)),
    )
    curl = [(0.6, 2.4, 0.6), (2.0, 2.2, 0.5), (2.5, 0.4, 0.5), (1.7, -1.2, 0.45)]
    tail = _chain(curl, [0.6, 0.5, 0.5, 0.5])
    return [("cat", _placed(field, (-7.0, -4.4, 1.6), 0.5)) for field in (body, tail)]


def filleted(a: Array, b: Array, reach: float) -> Array:
    """Both bodies, with a fillet where they meet."""
    with np.errstate(invalid="ignore"):
        near = np.maximum(reach - np.abs(a - b), 0.0) / reach
    near = np.where(np.isfinite(a), near, 0.0)
    return np.minimum(a, b) - near * near * reach / 4


def _rounded(reach: float, a: Array, b: Array) -> Array:
    """What both bodies share, with a rounded edge."""
    return -filleted(-a, -b, reach)


def _blend(reach: float, *fields: Field) -> Field:
    """Bodies grown into one another."""

    def field(p: Array) -> Array:
        found = fields[0](p)
        for other in fields[1:]:
            found = filleted(found, other(p), reach)
        return found

    return field


def _without(body: Field, hole: Field) -> Field:
    """A body less another."""
    return lambda p: np.maximum(body(p), -hole(p))


def _placed(body: Field, at: Vec, turn: float) -> Field:
    """A body turned about the upright and set down somewhere."""
    c, s = np.cos(turn), np.sin(turn)
    back = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    return lambda p: body((p - np.array(at)) @ back)


def _hoop(middle: Vec | Array, axis: Vec | Array, radius: float, thick: float) -> Field:
    """A torus about some axis."""
    way = np.array(axis) / np.linalg.norm(axis)

    def field(p: Array) -> Array:
        rel = p - np.array(middle)
        up = rel @ way
        flat = np.linalg.norm(rel - up[:, None] * way, axis=1)
        return np.hypot(flat - radius, up) - thick

    return field


def _chain(places: Sequence[Vec] | Array, radii: Sequence[float] | Array) -> Field:
    """Round-ended cones one after another."""
    links = zip(places[:-1], places[1:], radii[:-1], radii[1:], strict=True)
    return _blend(0.3, *(cone(*link) for link in links))


def _ribbon(places: Sequence[Vec], thick: float) -> Field:
    """A strip of cloth that widens towards its end."""
    line, down = np.array(places), np.outer(0.12 + 0.13 * np.arange(len(places)), (0, 0, 1))
    rows = (_chain(line - row * down, [thick] * len(places)) for row in range(4))
    return _blend(0.4, *rows)
