"""A figure with exact areas, as a field of distances: a fiddler sitting on a quay bollard."""

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

_ROUGH = 5
_LOW, _HIGH = np.array([-11.5, -14.5, -0.6]), np.array([12.5, 11.0, 32.0])
_CHIN, _NECK, _BELLY = (1.6, 1.2, 20.9), (0.52, -0.85, 0.08), (-0.35, -0.13, 0.92)


def fiddler(cell: float = 0.24) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from skimage.measure import marching_cubes

    solids = [*_pier(), *_legs(), *_trunk(), *_head(), *_fiddle(), *_arms()]
    vertices, faces, _, _ = marching_cubes(
        _volume(solids, cell), 0.0, spacing=(cell,) * 3, gradient_direction="descent"
    )
    vertices, faces = largest_piece(vertices.astype(np.float32), faces.astype(np.int32))
    beside, edges = _borders(faces)
    vertices = _evened(vertices + _LOW + cell / 2, edges)
    names = tuple(dict.fromkeys(solid.area for solid in solids))
    nearest = np.argmin([solid.field(vertices) for solid in solids], axis=0)
    numbers = np.array([names.index(solid.area) for solid in solids], np.int32)
    first, second, third = numbers[nearest][faces].T
    area = _tidied(beside, np.where(second == third, second, first))
    rim = edges[(area[:, None] != area[beside]).ravel()]
    for _ in range(5):
        vertices = _evened(vertices, rim)
    vertices = _evened(vertices, edges)
    vertices[:, 2] -= vertices[:, 2].min()
    return Figure(vertices.astype(np.float32), faces, area, names)


def _volume(solids: list[Solid], cell: float) -> Array:
    """The field on a grid: each body exact in the blocks that it may reach, rough elsewhere."""
    rough = cell * _ROUGH
    counts = np.ceil((_HIGH - _LOW) / rough).astype(int)
    blocks = (np.indices(counts).reshape(3, -1).T + 0.5) * rough + _LOW
    inside = (np.indices((_ROUGH,) * 3).reshape(3, -1).T + 0.5) * cell - rough / 2
    exact = np.full((len(blocks), _ROUGH**3), np.inf)
    far = np.full(len(blocks), np.inf)
    for solid in solids:
        coarse = solid.field(blocks)
        far = np.minimum(far, coarse)
        near = np.flatnonzero(coarse < 1.6 * rough)
        places = (blocks[near, None] + inside).reshape(-1, 3)
        exact[near] = filleted(exact[near], solid.field(places).reshape(len(near), -1))
    exact = np.where(np.isfinite(exact), exact, far[:, None])
    parts = exact.reshape(*counts, _ROUGH, _ROUGH, _ROUGH).transpose(0, 3, 1, 4, 2, 5)
    return parts.reshape(counts * _ROUGH)


def _borders(faces: NDArray[np.int32]) -> tuple[NDArray[np.int64], NDArray[np.int32]]:
    """The three faces beside each face, and the edges of all faces across which they lie."""
    edges = faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
    order = np.lexsort(np.sort(edges, axis=1).T)
    beside = np.empty(len(edges), np.int64)
    beside[order[0::2]], beside[order[1::2]] = order[1::2] // 3, order[0::2] // 3
    return beside.reshape(-1, 3), edges


def _evened(vertices: Array, edges: NDArray[np.int32]) -> Array:
    """The ends of edges moved halfway to the middle of those beside them."""
    count = np.bincount(edges[:, 0], minlength=len(vertices))
    total = np.zeros_like(vertices)
    np.add.at(total, edges[:, 0], vertices[edges[:, 1]])
    middle = total / np.maximum(count, 1)[:, None]
    return np.where(count[:, None] > 0, (vertices + middle) / 2, vertices)


def _tidied(beside: NDArray[np.int64], area: NDArray[np.int32]) -> NDArray[np.int32]:
    """Areas without ragged rims: a face goes to the area of most of those beside it."""
    lot = np.arange(len(area)) % 3
    for turn in range(18):
        first, second, third = area[beside].T
        most = np.where(second == third, second, first)
        agreed = (first == second) | (first == third) | (second == third)
        area = np.where(agreed & (lot == turn % 3), most, area)
    return area


def _placed(field: Field, at: Vec, axes: Array) -> Field:
    """A body moved to a place and turned to three axes."""
    return lambda p: field((p - np.array(at)) @ axes.T)


def _carved(field: Field, *cutters: Field) -> Field:
    """A body less other bodies."""
    return lambda p: np.maximum(field(p), -np.min([cut(p) for cut in cutters], axis=0))


def _wide(field: Field, times: float) -> Field:
    """A body made broader along x."""
    return lambda p: field(p / np.array([times, 1.0, 1.0]))


def _ridged(field: Field, depth: float, wave: Field) -> Field:
    """A body with ridges where the wave is high."""
    return lambda p: field(p) - depth * np.cos(wave(p))


def _axes(along: Vec, up: Vec) -> Array:
    """Three axes: sideways, along, and up as far as that is square to along."""
    ahead = np.array(along) / np.linalg.norm(along)
    side = np.cross(ahead, up)
    side /= np.linalg.norm(side)
    return np.stack([side, ahead, np.cross(side, ahead)])


def _between(start: Vec, end: Vec, share: float) -> Vec:
    """A place on the way from one place to another."""
    x, y, z = np.array(start) + share * (np.array(end) - np.array(start))
    return float(x), float(y), float(z)


def _ribbed(start: Vec, end: Vec, first: float, last: float) -> Field:
    """A knitted sleeve: a cone with ribs across it."""
    along = np.subtract(end, start) / np.linalg.norm(np.subtract(end, start))
    return _ridged(cone(start, end, first, last), 0.09, lambda p: (p @ along) * 5.2)


def _rope(middle: Vec, radius: float) -> Field:
    """One turn of twisted rope lying flat."""

    def wave(p: Array) -> Array:
        x, y, z = (p - np.array(middle)).T
        turn = np.arctan2(z, np.hypot(x, y) - radius)
        return np.round(radius * 5.0) * np.arctan2(y, x) + 2 * turn

    return _ridged(ring(middle, radius, 0.6), 0.1, wave)


def _pier() -> list[Solid]:
    """The quay with its joints, the bollard, the mooring rope, a mug."""
    places = ((-4.6, 7.0), (5.4, 7.0), (-0.6, -1.4), (-5.2, -9.9), (4.4, -9.9))
    joints = [box((x, y, 2.0), (0.17, 4.3, 0.35)) for x, y in places]
    joints += [box((0.3, y, 2.0), (12.0, 0.17, 0.35)) for y in (-5.6, 2.8)]
    mug = _carved(disc((-7.0, -8.6, 3.4), 1.45, 1.5), disc((-7.0, -8.6, 4.9), 1.0, 1.6))
    upright = _axes((0, 0, 1.0), (0, 1.0, 0))
    found = [
        Solid("quay", _carved(box((0.3, -1.7, 1.0), (10.6, 11.4, 1.0)), *joints)),
        Solid("bollard", disc((0, 3.7, 2.4), 4.4, 0.6)),
        Solid("bollard", cone((0, 3.7, 3.0), (0, 3.7, 9.0), 2.9, 2.7)),
        Solid("bollard", disc((0, 3.7, 10.2), 4.1, 0.75)),
        Solid("mug", mug),
        Solid("mug", _placed(ring((0, 0, 0), 0.85, 0.32), (-8.5, -8.6, 3.4), upright)),
        Solid("rope", ball((7.5, 3.6, 1.9), (2.3, 2.3, 0.9))),
        Solid("rope", _ribbed((3.4, 3.0, 4.2), (6.4, 2.0, 2.25), 0.6, 0.6)),
    ]
    turns = [((0, 3.7, level), 3.2) for level in (4.2, 5.3, 6.4)]
    turns += [((7.5, 3.6, 2.15), 2.4), ((7.4, 3.7, 3.2), 1.8)]
    return found + [Solid("rope", _rope(middle, radius)) for middle, radius in turns]


def _legs() -> list[Solid]:
    """The right foot flat, the left one beating time on its heel."""
    found = [
        Solid("trousers", _wide(ball((0, 3.6, 12.5), (2.8, 2.9, 1.9)), 1.3)),
        Solid("boots", cone((-3.3, -3.0, 3.2), (-3.7, -6.2, 2.9), 1.35, 1.2)),
        Solid("boots", ball((-3.5, -4.6, 2.1), (1.5, 3.2, 0.5))),
        Solid("boots", disc((-3.3, -2.5, 2.3), 1.35, 0.5)),
        Solid("boots", cone((3.9, -7.3, 3.3), (4.6, -10.2, 4.6), 1.35, 1.15)),
    ]
    right = (-1.0, (-3.2, -3.4, 12.3), (-3.3, -3.0, 4.0))
    left = (1.0, (3.1, -3.6, 11.9), (3.9, -7.1, 4.2))
    for side, knee, ankle in (right, left):
        calf, cuff, rim = (_between(knee, ankle, share) for share in (0.2, 0.33, 0.42))
        thigh = cone((1.8 * side, 2.8, 12.8), knee, 2.1, 1.6)
        found += [
            Solid("trousers", _ridged(thigh, 0.1, lambda p: p @ np.array([1.8, 2.2, 1.6]))),
            Solid("trousers", cone(knee, calf, 1.6, 1.75)),
            Solid("boots", cone(cuff, rim, 2.15, 2.0)),
            Solid("boots", cone(rim, ankle, 1.5, 1.3)),
        ]
    return found


def _trunk() -> list[Solid]:
    """The jersey with the waistcoat over it, and the neckerchief."""
    waistcoat = _carved(
        _wide(cone((0, 3.4, 13.2), (0, 3.1, 18.6), 3.0, 2.95), 1.28),
        lambda p: p[:, 2] - 12.9,
        lambda p: np.maximum((16.6 + 1.7 * np.abs(p[:, 0]) - p[:, 2]) / 2.0, p[:, 1] - 2.0),
        box((0, 0.2, 14.0), (0.12, 0.6, 6.0)),
    )
    found = [
        Solid("jersey", _wide(cone((0, 3.4, 14.0), (0, 3.1, 18.6), 2.3, 2.5), 1.3)),
        Solid("waistcoat", waistcoat),
        Solid("skin", cone((0, 3.0, 20.5), (0.3, 2.4, 23.0), 1.5, 1.4)),
        Solid("neckerchief", _wide(ring((0, 2.7, 21.3), 1.65, 0.75), 1.1)),
        Solid("neckerchief", ball((-0.7, 0.5, 20.6), (0.75, 0.7, 0.7))),
        Solid("neckerchief", cone((-0.8, 0.3, 20.3), (-1.7, -0.2, 18.2), 0.35, 0.6)),
        Solid("neckerchief", cone((-0.6, 0.3, 20.3), (-0.2, -0.1, 18.4), 0.35, 0.55)),
    ]
    for x in (-1.7, 0.0, 1.7):
        found.append(Solid("neckerchief", cone((x, 4.9, 20.7), (0, 6.25, 18.0), 0.95, 0.5)))
    for level in (14.0, 15.4, 16.7):
        found.append(Solid("waistcoat", ball((-0.75, 0.25, level), (0.38, 0.38, 0.38))))
    return found


def _head() -> list[Solid]:
    """A bearded head bent over the fiddle, under a knitted cap."""
    axes = _axes((-0.45, 0.88, 0.22), (0.2, -0.1, 1.0))
    wool = _carved(ball((0, 0.35, 1.5), (2.45, 2.65, 2.9)), lambda p: p[:, 2] - 0.9)
    nape = _carved(ball((0, 0.6, -0.3), (2.15, 2.2, 2.3)), lambda p: p[:, 1] - 0.6)
    parts = [
        ("skin", ball((0, 0, 0), (1.95, 2.3, 2.7))),
        ("skin", cone((0, -2.2, 0.3), (0, -2.75, -0.45), 0.35, 0.5)),
        ("skin", cone((-0.95, -1.95, 0.55), (0.95, -1.95, 0.55), 0.35, 0.35)),
        ("hair", _ridged(nape, 0.07, lambda p: p[:, 0] * 6.0)),
        ("hair", _ridged(ball((0, -1.2, -2.1), (1.75, 1.6, 1.5)), 0.08, lambda p: p[:, 0] * 6.0)),
        ("cap", _ridged(wool, 0.1, lambda p: 22 * np.arctan2(p[:, 1] - 0.35, p[:, 0]))),
        ("cap", ring((0, 0.25, 1.35), 2.1, 0.65)),
        ("cap", ball((0, 0.6, 4.5), (0.95, 0.95, 0.9))),
    ]
    for side in (-1.0, 1.0):
        parts += [
            ("skin", ball((2.0 * side, 0.1, -0.3), (0.4, 0.6, 0.8))),
            ("skin", ball((1.0 * side, -1.75, -0.4), (0.6, 0.6, 0.5))),
            ("hair", cone((1.75 * side, -0.35, -0.9), (1.4 * side, -1.0, -2.0), 0.4, 0.6)),
            ("hair", cone((0.2 * side, -2.4, -1.1), (1.3 * side, -1.95, -1.6), 0.45, 0.35)),
        ]
    return [Solid(area, _placed(field, (0.5, 2.1, 24.6), axes)) for area, field in parts]


def _on_fiddle(across: float, along: float, height: float) -> Vec:
    """The place of something that is given along the axes of the fiddle."""
    x, y, z = np.array(_CHIN) + np.array([across, along, height]) @ _axes(_NECK, _BELLY)
    return float(x), float(y), float(z)


def _body(p: Array) -> Array:
    """The fiddle's body along its own axes: two bouts, a waist, sharp rims."""
    share = np.clip((p[:, 1] - 2.2) / 3.5, 0.0, 1.0)
    outline = np.hypot(p[:, 0], p[:, 1] - 2.2 - 3.5 * share) - (2.25 - 0.45 * share)
    outline = np.maximum(outline, 1.4 - np.hypot(np.abs(p[:, 0]) - 2.75, p[:, 1] - 4.2))
    flat = np.abs(p[:, 2]) - 0.75
    out = np.hypot(np.maximum(outline, 0.0), np.maximum(flat, 0.0))
    return out + np.minimum(np.maximum(outline, flat), 0.0)


def _fiddle() -> list[Solid]:
    """The fiddle, its dark fittings, and the bow laid across."""
    holes = [box((1.05 * side, 4.0, 0.9), (0.2, 0.8, 0.5)) for side in (-1.0, 1.0)]
    parts = [
        ("fiddle", _carved(_body, *holes)),
        ("fiddle", cone((0, 7.0, 0.25), (0, 11.0, 0.35), 0.6, 0.5)),
        ("fiddle", cone((-0.35, 11.7, 0.1), (0.35, 11.7, 0.1), 0.75, 0.75)),
        ("fittings", box((0, 7.6, 1.0), (0.5, 2.7, 0.4))),
        ("fittings", box((0, 1.9, 0.9), (0.55, 1.2, 0.45))),
        ("fittings", cone((-1.3, 10.7, 0.3), (1.3, 10.7, 0.3), 0.36, 0.36)),
        ("bow", box((0, 4.4, 1.55), (6.6, 0.34, 0.27))),
        ("bow", cone((8.3, 4.4, 2.6), (-6.6, 4.4, 2.6), 0.45, 0.38)),
        ("bow", box((-6.5, 4.4, 2.0), (0.25, 0.3, 0.6))),
    ]
    axes = _axes(_NECK, _BELLY)
    return [Solid(area, _placed(field, _CHIN, axes)) for area, field in parts]


def _arms() -> list[Solid]:
    """Both sleeves and the hands on bow and neck."""
    found = []
    bowing = ((-3.4, 3.1, 19.6), (-6.5, -1.4, 17.5), _on_fiddle(6.4, 3.4, 0.9), (6.4, 4.2, 2.2))
    holding = ((3.4, 2.9, 19.6), (6.2, -1.8, 16.0), _on_fiddle(0.6, 8.4, -1.7), (0.3, 8.9, -0.6))
    for shoulder, elbow, wrist, palm in (bowing, holding):
        cuff, end = _between(elbow, wrist, 0.72), _between(elbow, wrist, 0.82)
        found += [
            Solid("jersey", _ribbed(shoulder, elbow, 1.75, 1.45)),
            Solid("jersey", _ribbed(elbow, cuff, 1.45, 1.1)),
            Solid("jersey", cone(cuff, end, 1.25, 1.25)),
            Solid("skin", cone(end, wrist, 0.85, 0.85)),
            Solid("skin", cone(wrist, _on_fiddle(*palm), 0.9, 0.95)),
        ]
    left = ((-0.9, 8.0, 0.2), (-0.85, 8.0, 1.3), (0.0, 8.0, 1.75))
    right = ((5.6, 4.2, 3.0), (5.6, 5.1, 2.5), (5.6, 5.1, 1.5))
    for row, across, along in ((left, 0.0, 0.62), (right, 0.62, 0.0)):
        for i in range(4):
            root, bend, tip = (_on_fiddle(x + i * across, y + i * along, z) for x, y, z in row)
            found.append(Solid("skin", cone(root, bend, 0.4, 0.37)))
            found.append(Solid("skin", cone(bend, tip, 0.37, 0.35)))
    return found
