"""A figure with exact areas, as fields of distances: the stoker of the fog signal's boiler."""

from __future__ import annotations

from functools import reduce

import numpy as np

from tests.areas.figures.fields import (
    Array,
    Field,
    Figure,
    ball,
    cone,
    disc,
    filleted,
    largest_piece,
    ring,
)

Place = Array | tuple[float, float, float]

_ROUGH = 4
_LOW, _HIGH = np.array([-13.0, -13.0, -0.5]), np.array([13.0, 13.0, 33.0])
_SMALL_PIECE = 40
_SHOULDERS = np.array([[-3.4, -0.3, 22.7], [3.4, -1.3, 22.5]])
_ELBOWS = np.array([[-6.5, 0.9, 19.5], [5.0, -4.0, 18.8]])
_HANDS = np.array([[-4.3, -3.0, 18.2], [2.0, -6.3, 15.4]])
_HIPS = np.array([[-1.7, 0.7, 14.6], [1.7, 0.3, 14.6]])
_KNEES = np.array([[-3.0, 0.2, 9.3], [3.1, -2.9, 9.5]])
_ANKLES = np.array([[-3.6, 3.0, 4.6], [3.4, -2.3, 4.6]])


def stoker(cell: float = 0.2) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components
    from skimage.measure import marching_cubes

    fields, step = _areas(), (cell,) * 3
    volume, near = _volume(list(fields.values()), cell)
    places, faces, _, _ = marching_cubes(volume, 0.0, spacing=step, gradient_direction="descent")
    places, faces = largest_piece(places + _LOW, faces.astype(np.int32))
    area = np.argmin(near(places[faces].mean(axis=1)), axis=0)
    thirds, ends = np.full(faces.size, 1 / 3), np.arange(0, faces.size + 1, 3)
    touch = csr_array((thirds, faces.ravel(), ends), (len(faces), len(places)))
    gather = touch.T.multiply(1.0 / touch.sum(axis=0)[:, None]).tocsr()
    for pull in (0.6, -0.62, 0.6, -0.62):
        places = places + pull * (gather @ (touch @ places) - places)
    one, two = (touch @ touch.T > 0.2).nonzero()  # faces with a common edge
    small = np.zeros(len(faces), bool)
    for _ in range(8):
        shares = np.eye(len(fields))[area] * ~small[:, None]
        area = (touch @ (gather @ shares)).argmax(axis=1)
        alike = area[one] == area[two]
        same = csr_array((alike[alike], (one[alike], two[alike])), (len(faces),) * 2)
        piece = connected_components(same, directed=False)[1]
        small = np.bincount(piece)[piece] < _SMALL_PIECE
    vertices = (np.maximum(places, [-99, -99, 0]) * [1.0, 1.0, 1.05]).astype(np.float32)
    return Figure(vertices, faces, area.astype(np.int32), tuple(fields))


def _volume(fields: list[Field], cell: float) -> tuple[Array, Field]:
    """All areas together on a grid, exact near the surface only; and each area near itself."""
    rough = cell * _ROUGH
    counts = [int(np.ceil(span / rough)) for span in _HIGH - _LOW]
    middles = _grid(counts, rough) + rough / 2
    apart = [field(middles).reshape(counts) for field in fields]

    def near(p: Array) -> Array:
        block, found = ((p - _LOW) / rough).astype(int), np.full((len(fields), len(p)), np.inf)
        for row, field, far in zip(found, fields, apart, strict=True):
            close = far[tuple(block.T)] < 1.5 * rough
            row[close] = field(p[close])
        return found

    volume = np.kron(np.min(apart, axis=0), np.ones((_ROUGH,) * 3))
    shell = np.abs(volume) < 1.1 * rough
    volume[shell] = reduce(filleted, near(_grid(list(volume.shape), cell)[shell.ravel()]))
    return volume, near


def _grid(counts: list[int], step: float) -> Array:
    """Places on a grid, the last axis fastest."""
    axes = [np.arange(count) * step for count in counts]
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3) + _LOW


def _melted(soft: float, *fields: Field) -> Field:
    """Bodies that flow into each other."""

    def joined(a: Array, b: Array) -> Array:
        near = np.maximum(soft - np.abs(a - b), 0.0) / soft
        return np.minimum(a, b) - near * near * soft / 4

    return lambda p: reduce(joined, [field(p) for field in fields])


def _within(*fields: Field) -> Field:
    """What all bodies share."""
    return lambda p: reduce(np.maximum, [field(p) for field in fields])


def _without(base: Field, hole: Field) -> Field:
    """A body with another taken out of it."""
    return lambda p: np.maximum(base(p), -hole(p))


def _raised(base: Field, height: float | Field) -> Field:
    """A body grown by some mm, or by a relief."""
    return lambda p: base(p) - (height(p) if callable(height) else height)


def _mirrored(base: Field) -> Field:
    """A body whose right half repeats its left."""
    return lambda p: base(np.column_stack([np.abs(p[:, 0]), p[:, 1:]]))


def _turned(base: Field, middle: Place, along: Place, up: Place) -> Field:
    """A body set down elsewhere, its x axis along one direction, its z axis near another."""
    first, second = np.array(along), np.cross(up, along)
    axes = [row / np.linalg.norm(row) for row in (first, second, np.cross(first, second))]
    return lambda p: base((p - np.array(middle)) @ np.transpose(axes))


def _half(normal: Place, level: float) -> Field:
    """All below a plane."""
    return lambda p: p @ (np.array(normal) / np.linalg.norm(normal)) - level


def _folds(along: Place, wave: float, height: float, low: float = -9, top: float = 99) -> Field:
    """A relief of uneven creases across a direction, fading out above and below two heights."""
    unit = np.array(along) / np.linalg.norm(along) * np.pi / wave

    def field(p: Array) -> Array:
        bend = 1.1 * np.sin(p @ [0.85, 0.7, 0.5]) + 0.7 * np.sin(p @ [0.9, 1.2, 1.4])
        crease = height * (1.1 - 2.0 * np.sqrt(np.sin(p @ unit + bend) ** 2 + 0.04))
        return crease * np.clip(np.minimum(p[:, 2] - low, top - p[:, 2]), 0.0, 1.0)

    return field


def _lump(middle: Place, size: float, dice: np.random.Generator) -> Field:
    """A broken piece of coal with flat faces."""
    normals, reach = dice.normal(size=(11, 3)), size * dice.uniform(0.72, 1.0, 11)
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)

    def field(p: Array) -> Array:
        found = np.linalg.norm(p - np.array(middle), axis=1) - 1.25 * size
        near = np.flatnonzero(found < 1.0)
        faced = ((p[near] - np.array(middle)) @ normals.T - reach).max(axis=1)
        found[near] = np.maximum(found[near], faced)
        return found

    return field


def _areas() -> dict[str, Field]:
    """Every area of the figure."""
    body, sleeves, forearms, scarf = _shirt()
    trousers, apron, boots = _legs()
    heap, bucket, slabs = _ground()
    around, ahead = ((1, -0.25, 0), (0, -0.12, 1)), _HANDS[1] - _HANDS[0]
    face, hair, cap = (_turned(part, (0.3, -2.3, 27.2), *around) for part in _head())
    wood, blade, load, fists = (_turned(part, _HANDS[1], ahead, (0, 0, 1)) for part in _shovel())
    buckle = _turned(ring((0, 0, 0), 0.72, 0.27), (0, -3.0, 16.5), (1, 0, 0), (0, -1, 0.1))
    tongue = cone((-0.6, -3, 16.5), (0.7, -3.2, 16.5), 0.2, 0.2)
    strap = _within(cone((0, 0.4, 15), (0, -0.1, 18), 3.1, 3.1), _half((0, -0.08, -1), -15.9))
    braces = _within(_raised(body, 0.3), _straps, _half((0, 0, -1), -16.6))
    found = {"slabs": slabs, "boots": boots, "trousers": trousers, "apron": apron, "wood": wood}
    found |= {"coal": _melted(0.1, heap, load), "skin": _melted(0.25, face, fists, forearms)}
    found |= {"iron": _melted(0.1, blade, bucket, buckle, tongue), "braces": braces}
    found |= {"belt": _within(strap, _half((0, 0.08, 1), 17.2)), "hair": hair, "cap": cap}
    return found | {"shirt": _melted(0.9, body, sleeves), "neckerchief": scarf}


def _shirt() -> tuple[Field, Field, Field, Field]:
    """The shirt's body, its rolled sleeves, the bare forearms, and the knotted neckerchief."""
    parts = [cone((0, 0.4, 15), (0, -0.1, 17.6), 2.5, 2.5), ball((0, -0.6, 20.6), (3.3, 2.4, 3.3))]
    parts += [cone((-2.7, -0.2, 22.6), (2.6, -1, 22.4), 1.45, 1.45)]
    parts += [cone((0, -0.6, 22.8), (0.1, -0.9, 23.6), 1.6, 1.2)]
    parts += [ball((1.35 * side, 0.7 - 0.15 * side, 21.2), (1.6, 1.2, 2.3)) for side in (-1, 1)]
    body = _raised(_melted(1.6, *parts), _folds((0.3, 0.1, 1.0), 1.5, 0.13, 16.5, 22.8))
    sleeves, bare = [], []
    for shoulder, elbow, hand in zip(_SHOULDERS, _ELBOWS, _HANDS, strict=True):
        along = hand - elbow
        cuff, belly, wrist = (elbow + share * along for share in (0.28, 0.42, 0.83))
        upper = [ball(shoulder, (1.55, 1.6, 1.6)), cone(shoulder, elbow, 1.5, 1.3)]
        upper = _melted(0.6, *upper, cone(elbow, cuff, 1.3, 1.2))
        across = np.cross(along, (0, 0, 1))
        sleeves += [_raised(upper, _folds(elbow - shoulder, 1.3, 0.14))]
        sleeves += [_turned(disc((0, 0, 0), 1.45, 0.6), cuff, across, along)]
        bare += [cone(elbow, belly, 1, 1.05), cone(belly, wrist, 1.05, 0.68)]
        bare += [cone(wrist, hand, 0.68, 0.7)]
    wound = _melted(0.3, ring((0, 0, 0), 1.65, 0.68), ring((0, 0.1, 0.5), 1.4, 0.5))
    wound = _turned(wound, (0.15, -1.15, 23.95), (1, 0, 0), (0, -0.35, 1))
    knot, edge = (0.1, -3.15, 23.5), _mirrored(_half((0.8, 0, -0.6), -12.75))
    ends = [cone(knot, (-0.7, -3.5, 21.5), 0.35, 0.62), cone(knot, (0.9, -3.45, 21.9), 0.35, 0.58)]
    corner = _within(_raised(body, 0.5), edge, _half((0, -1, 0), -0.2))
    tied = _melted(0.25, wound, ball(knot, (0.62, 0.55, 0.55)), *ends, corner)
    scarf = _raised(tied, _folds((0.7, 0.4, 1), 0.8, 0.09))
    return body, _melted(0.2, *sleeves), _melted(0.3, *bare), scarf


def _straps(p: Array) -> Array:
    """Where the braces run: upright in front, crossing at the back."""
    side, height = np.abs(p[:, 0]), p[:, 2] - 19.8
    front, back = np.abs(side - 1.75 - 0.07 * height), np.abs(side - np.abs(0.5 * height)) / 1.12
    return np.where(p[:, 1] < -0.4, front, back) - 0.42


def _legs() -> tuple[Field, Field, Field]:
    """Creased trousers, a leather apron to the knees, and heavy boots."""
    legs, boots = [ball((0, 0.6, 14.9), (2.8, 2.4, 2.2))], []
    drape = [cone((0, 0.3, 17.0), (0, 0.2, 14.8), 2.6, 2.75)]
    sole = _melted(0.5, disc((0, 0, 0.3), 1.45, 0.3), disc((2.4, 0, 0.3), 1.5, 0.3))
    shaft, vamp = cone((0, 0, 1), (0, 0, 2), 1.3, 1.3), cone((0, 0, 1.2), (2.4, 0, 0.9), 1.3, 1.1)
    upper = _raised(_melted(0.7, shaft, vamp), _folds((0.6, 0, 1), 0.9, 0.08))
    foot = _melted(0.15, upper, ball((2.5, 0, 0.9), (1.4, 1.3, 0.95)), sole)
    for hip, knee, ankle, turn in zip(_HIPS, _KNEES, _ANKLES, (-0.45, 0.15), strict=True):
        bag, top = (ankle + share * (knee - ankle) for share in (0.42, 0.3))
        legs += [cone(hip, knee, 2.15, 1.55), cone(knee, bag, 1.55, 1.6), ball(bag, (1.7, 1.7, 1))]
        drape += [cone(hip, knee * [0.92, 1, 1] - [0, 0.3, 0.8], 2.3, 1.95)]
        boots += [_turned(foot, ankle - [0, 0, 2.5], (turn, -1, 0), (0, 0, 1))]
        boots += [_within(cone(ankle - [0, 0, 0.6], top, 1.45, 1.65), _half((0, 0, 1), top[2]))]
    creased = _raised(_melted(0.8, *legs), _folds((0.2, 0.5, 1), 1.25, 0.17, 5.5, 11.2))
    trousers = _raised(creased, _folds((0.9, 0.2, 0.5), 1.9, 0.12, 9.8, 15))
    outer = _raised(_raised(_melted(2.6, *drape), 0.36), _folds((1, 0, 0.1), 2, 0.16, 8, 15))
    hem = _raised(_half((0, 0, -1), -8.9), lambda p: 0.35 * np.sin(1.3 * p[:, 0] + 0.6))
    apron = _within(outer, hem, _half((0, 1, 0.22), 2.6), _half((0, 0, 1), 17))
    return trousers, _without(apron, _raised(outer, -0.8)), _melted(0.2, *boots)


def _head() -> tuple[Field, Field, Field]:
    """Face and ears, hair with whiskers and moustache, and the flat cap."""
    lobe, chin = ball((0, 0.15, 0.4), (1.6, 1.85, 1.9)), ball((0, -0.55, -1.05), (1.25, 1.25, 1.15))
    skull = _melted(0.5, lobe, chin)
    parts = [skull, cone((0, 0.4, -0.8), (0, 1, -3.8), 1.2, 1.4), ball((0, -1.6, -1.7), (0.6,) * 3)]
    parts += [cone((0, -1.42, 0.62), (0.75, -1.42, 0.62), 0.36, 0.36)]
    parts += [cone((0, -1.65, 0.4), (0, -2.2, -0.35), 0.22, 0.36)]
    parts += [ball((0.3, -1.95, -0.4), (0.26, 0.3, 0.24)), ball((0.8, -1.3, -0.35), (0.5,) * 3)]
    carved = _without(_melted(0.3, *parts), ball((0.66, -1.78, 0.2), (0.42, 0.36, 0.3)))
    lug, inside = ball((1.68, 0.2, -0.05), (0.34, 0.6, 0.8)), ball((2, 0.1, 0), (0.3, 0.34, 0.5))
    face = _melted(0.1, carved, _without(lug, inside), ball((0.64, -1.38, 0.18), (0.36, 0.36, 0.3)))
    jaw = _within(_half((0, 1, 0), 1), _half((0, -1, 0), 0.6), _half((0, -0.5, -1), 1.35))
    back = _within(_half((0, -1, 0), -0.5), _half((0, 0, -1), 1.5))
    grown = _raised(_raised(skull, 0.2), _folds((1, 0.6, 0.1), 0.6, 0.07))
    lip = cone((0.1, -2, -0.85), (0.75, -1.85, -1), 0.34, 0.36)
    tip = cone((0.75, -1.85, -1), (1.3, -1.4, -1.35), 0.36, 0.14)
    moustache = _raised(_melted(0.3, lip, tip), _folds((1, 0, 0.9), 0.45, 0.05))
    hair = _melted(0.1, _within(grown, _melted(0.01, jaw, back)), moustache)
    crown = _raised(ball((0.1, 0.25, 2.05), (2.25, 2.4, 0.85)), _folds((1, 0.4, 0.2), 1.7, 0.1))
    band = _within(_raised(skull, 0.3), _half((0, -0.1, -1), -0.98), _half((0, 0, 1), 2.6))
    above, below = ball((0, -1, 0.55), (1.75, 2.3, 1.3)), ball((0, -1, 0.1), (1.7, 2.25, 1.3))
    brim = _within(_without(above, below), _half((0, 0.3, -1), -1.55), _half((0, 1, 0), -0.9))
    cap = _melted(0.2, _melted(0.5, crown, band), brim, ball((0.1, 0.2, 2.95), (0.35,) * 3))
    return _mirrored(face), _mirrored(hair), cap


def _shovel() -> tuple[Field, Field, Field, Field]:
    """Shaft with its grip, blade, the coal on it, and both fists; x runs towards the blade."""
    back, fists = -float(np.linalg.norm(_HANDS[1] - _HANDS[0])), []
    fork, grip = (back - 1.2, 0, 0), back - 2.6
    parts = [cone(fork, (3.4, 0, 0), 0.45, 0.48), cone((grip, -1, 0), (grip, 1, 0), 0.45, 0.45)]
    parts += [cone(fork, (grip, 0.85 * side, 0), 0.42, 0.36) for side in (-1, 1)]
    bowl, neck = ball((5, 0, 3.4), (6.2, 3.6, 4)), cone((2.5, 0, 0), (4.6, 0, -0.15), 0.68, 0.5)
    plate = _within(bowl, cone((2, 0, 0), (6.5, 0, 0), 2.2, 2.2), _half((-1, 0, 0), -3.4))
    blade = _melted(0.3, _without(plate, _raised(bowl, -0.65)), neck)
    dice = np.random.default_rng(11)
    load = [_lump((5.6, 0, 0.4), 1.0, dice), _lump((5.9, 0.2, 1.15), 0.75, dice)]
    for angle in np.arange(7) * 2 * np.pi / 7:
        place = (5.9 + 1.35 * np.cos(angle), 0.95 * np.sin(angle), 0.65)
        load += [_lump(place, dice.uniform(0.5, 0.75), dice)]
    for at, side in ((back, 1.0), (0.0, -1.0)):
        bent = (ring((0, 0, 0.53 * n - 0.8), 0.72, 0.31) for n in range(4))
        fists.append(_turned(_melted(0.12, *bent), (at, 0, 0), (0, 1, 0), (1, 0, 0)))
        fists.append(ball((at, 0.35 * side, 0.45), (1, 0.85, 0.7)))
        fists.append(cone((at + 0.6, 0.7 * side, 0.5), (at + 1.3, 0.1, 0.75), 0.34, 0.26))
    return _melted(0.25, *parts), blade, _melted(0.1, *load), _melted(0.12, *fists)


def _ground() -> tuple[Field, Field, Field]:
    """Coal in a heap, in the bucket and strewn about; the iron bucket; the paved base."""
    dice = np.random.default_rng(5)
    mound = _within(ball((5.3, 4.3, 1.9), (3.7, 3.8, 2.2)), _half((0, 0, -1), -1.2))
    coal = [_raised(mound, _folds((0.7, 0.7, 0.3), 1.1, 0.14)), disc((-6.5, -4.6, 3.6), 1.7, 1.3)]
    for angle, share in zip(np.arange(26) * 2.4, np.sqrt(np.arange(0.5, 26) / 26), strict=True):
        east, north = 5.3 + 3.1 * share * np.cos(angle), 4.3 + 3.2 * share * np.sin(angle)
        place = (east, north, 1.8 + 2.2 * np.sqrt(1 - 0.9 * share**2))
        coal.append(_lump(place, dice.uniform(0.55, 1.05), dice))
    for x, y in ((-7.2, -4.2), (-5.9, -5.3), (-6.0, -4.0), (-7.0, -5.4)):
        coal.append(_lump((x, y, 5.2), 0.85, dice))
    for x, y in ((0.2, 6.6), (7.6, -1.2), (-3.4, -7.8), (7.8, -3.6)):
        coal.append(_lump((x, y, 2.3), dice.uniform(0.5, 0.8), dice))
    wall = _within(cone((0, 0, -0.5), (0, 0, 4.5), 1.6, 2.25), _half((0, 0, -1), 0.2))
    bail = _turned(ring((0, 0, 0), 2.35, 0.24), (0, -0.15, 2.75), (1, 0, 0), (0, 0.35, 1))
    hoops = ring((0, 0, 3.25), 2.0, 0.3), ring((0, 0, 0.9), 1.8, 0.26)
    pail = _melted(0.2, _within(wall, _half((0, 0, 1), 3.3)), *hoops, bail)
    bucket = _without(pail, disc((0, 0, 3.5), 1.7, 1))
    spots = np.argwhere(np.ones((5, 5))) * 5.0 - 10.0
    spots, drop = spots + dice.uniform(-1.5, 1.5, spots.shape), dice.uniform(0.0, 0.25, len(spots))

    def worn(p: Array) -> Array:
        gap = np.hypot(p[:, :1] - spots[:, 0], p[:, 1:2] - spots[:, 1])
        first, second = np.partition(gap, 1, axis=1)[:, :2].T
        joint = np.clip(1.0 - (second - first) / 0.7, 0.0, 1.0) * 0.45
        return -joint - drop[np.argmin(gap, axis=1)] * np.clip(p[:, 2] - 1.1, 0.0, 1.0)

    slabs = _raised(disc((0, 0, 1.1), 10.8, 1.1), worn)
    return _melted(0.1, *coal), _turned(bucket, (-6.5, -4.6, 2.1), (1, 0, 0), (0, 0, 1)), slabs
