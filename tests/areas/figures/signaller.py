"""A figure of few triangles with exact areas: the lighthouse's young signaller with a flag.

It is built as figures for games are, from many closed shells stuck into each other. Each shell is
lofted from rings of few vertices, and its materials are given face by face.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from tests.areas.figures.fields import Figure

Array = NDArray[np.float64]
Paint = NDArray[np.str_]
Place = Array | tuple[float, float, float]
Table = Sequence[Sequence[float]]

NAMES = ("stone", "leather", "trousers", "coat", "cream", "skin", "hair", "red", "brass", "wood")

# fmt: off
# Height, middle from front to back, half width and half depth.
_COAT = (
    (10.4, 0.0, 4.35, 3.55), (11.5, 0.0, 4.15, 3.35), (12.6, 0.0, 3.85, 3.05),
    (13.6, 0.0, 3.6, 2.8), (14.5, 0.0, 3.45, 2.65), (15.5, 0.0, 3.5, 2.65), (16.6, 0.0, 3.65, 2.75),
    (17.7, 0.0, 3.8, 2.8), (18.7, 0.05, 3.85, 2.7), (19.5, 0.1, 3.6, 2.5), (20.2, 0.15, 3.0, 2.25),
    (20.8, 0.2, 2.4, 2.0), (21.5, 0.2, 2.1, 1.9),
)
_HEAD = (
    (20.2, 0.2, 1.6, 1.6), (21.6, 0.1, 1.55, 1.55), (22.1, -0.4, 2.0, 2.1), (22.6, -0.45, 2.5, 2.6),
    (23.3, -0.35, 2.9, 2.95), (24.0, -0.2, 3.15, 3.1), (24.6, -0.1, 3.25, 3.15),
    (25.2, 0.0, 3.3, 3.2), (25.8, 0.0, 3.3, 3.3), (26.6, 0.1, 3.3, 3.4), (27.6, 0.2, 3.1, 3.2),
    (28.5, 0.2, 2.4, 2.5), (29.0, 0.2, 1.3, 1.4),
)
_HAIR = (
    (22.9, 1.5, 2.0, 1.7), (23.6, 1.4, 2.8, 2.3), (24.6, 1.2, 3.35, 2.75), (25.6, 1.1, 3.55, 2.95),
    (26.6, 1.0, 3.6, 3.0), (27.6, 0.9, 3.3, 2.8), (28.4, 0.8, 2.4, 2.2),
)
_CAP = (
    (-0.5, 0.0, 3.4, 3.5), (-0.2, 0.0, 3.75, 3.85), (0.4, 0.0, 3.8, 3.9), (1.0, 0.0, 3.9, 4.0),
    (1.7, 0.1, 4.2, 4.3), (2.4, 0.3, 4.35, 4.4), (2.95, 0.35, 3.9, 4.0), (3.25, 0.35, 2.4, 2.5),
)
_BOOT = (
    (1.4, -1.0, 1.55, 2.7), (1.9, -1.0, 1.65, 2.8), (2.5, -0.9, 1.6, 2.65), (3.1, -0.45, 1.45, 2.0),
    (3.8, 0.05, 1.35, 1.45), (4.5, 0.1, 1.45, 1.45), (5.2, 0.1, 1.65, 1.65),
)
_SATCHEL = (
    (-2.0, 0.0, 0.95, 2.0), (-1.6, 0.0, 1.15, 2.2), (0.4, 0.0, 1.15, 2.2), (0.5, 0.0, 1.3, 2.35),
    (1.5, 0.0, 1.25, 2.3), (1.9, 0.0, 0.9, 2.0),
)
_LAMP = (
    (0.0, 0.0, 1.3, 1.3), (0.25, 0.0, 1.6, 1.6), (0.8, 0.0, 1.6, 1.6), (1.0, 0.0, 1.3, 1.3),
    (1.7, 0.0, 1.45, 1.45), (2.5, 0.0, 1.3, 1.3), (2.7, 0.0, 1.6, 1.6), (3.0, 0.0, 1.6, 1.6),
    (3.7, 0.0, 0.8, 0.8), (4.3, 0.0, 0.5, 0.5),
)
# A place and two half widths.
_LEG = (
    (1.7, 0.0, 12.6, 1.9, 1.9), (1.85, -0.1, 10.2, 1.85, 1.85), (1.95, -0.25, 7.6, 1.5, 1.5),
    (2.0, 0.1, 6.0, 1.4, 1.5), (2.05, 0.1, 3.9, 1.1, 1.1),
)
_SLEEVES = (
    ((-2.2, 0.0, 18.7, 1.2, 1.2), (-4.1, 0.0, 18.4, 1.75, 1.7), (-5.8, -0.3, 16.8, 1.5, 1.45),
     (-7.1, -1.1, 16.3, 1.4, 1.35), (-8.0, -2.4, 17.3, 1.4, 1.35), (-8.5, -3.2, 18.9, 1.45, 1.4)),
    ((2.2, 0.0, 18.7, 1.2, 1.2), (4.1, 0.0, 18.4, 1.75, 1.7), (5.5, 0.1, 16.6, 1.5, 1.5),
     (6.1, -0.1, 15.0, 1.45, 1.45), (6.5, -0.9, 13.6, 1.4, 1.4), (6.8, -1.7, 12.4, 1.45, 1.4)),
)
_HANDS = (
    ((-8.3, -2.9, 18.2, 0.8, 0.8), (-8.6, -3.4, 19.2, 0.9, 0.95), (-8.8, -3.7, 19.9, 1.1, 1.2),
     (-8.9, -3.9, 20.8, 1.1, 1.25), (-9.0, -3.9, 21.5, 0.7, 0.8)),
    ((6.7, -1.4, 12.9, 0.8, 0.8), (6.9, -1.9, 12.0, 0.9, 0.95), (7.0, -2.2, 11.3, 1.1, 1.2),
     (7.0, -2.3, 10.4, 1.1, 1.25), (7.0, -2.3, 9.8, 0.7, 0.8)),
)
_THUMBS = (
    ((-9.7, -3.3, 19.7, 0.5, 0.5), (-9.9, -4.3, 20.3, 0.5, 0.5), (-9.2, -5.1, 20.6, 0.4, 0.4)),
    ((6.3, -2.7, 11.5, 0.5, 0.5), (6.5, -3.3, 10.9, 0.5, 0.5), (7.0, -3.4, 10.3, 0.4, 0.4)),
)
_LOCKS = (
    ((-0.3, -2.7, 26.9, 0.5, 0.7), (-1.4, -3.0, 26.6, 0.5, 0.8), (-2.6, -2.5, 25.6, 0.1, 0.1)),
    ((-0.1, -2.7, 27.0, 0.5, 0.7), (0.9, -3.1, 26.8, 0.5, 0.7), (2.1, -2.9, 26.5, 0.1, 0.1)),
    ((2.3, -1.6, 26.9, 0.8, 0.6), (3.1, -1.5, 26.0, 0.8, 0.5), (2.9, -1.9, 23.8, 0.1, 0.1)),
    ((-2.3, -1.6, 26.7, 0.8, 0.6), (-3.1, -1.4, 26.0, 0.8, 0.5), (-3.0, -1.5, 24.2, 0.1, 0.1)),
    ((0.2, 3.2, 25.2, 0.8, 0.8), (0.9, 4.6, 23.8, 1.1, 1.2), (1.0, 4.2, 20.6, 0.2, 0.2)),
    ((0.5, -3.2, 25.7, 0.2, 0.2), (1.3, -3.0, 26.0, 0.25, 0.28), (2.1, -2.6, 25.7, 0.12, 0.12)),
    ((-0.5, -3.2, 25.7, 0.2, 0.2), (-1.3, -3.0, 26.0, 0.25, 0.28), (-2.1, -2.6, 25.7, 0.12, 0.12)),
)
# fmt: on


@dataclass(frozen=True, eq=False)
class Shell:
    """A closed body of triangles that face outwards, with a name for each face."""

    vertices: Array
    faces: NDArray[np.int64]
    area: Paint


def signaller() -> Figure:
    """Build the figure, about 32 mm high."""
    shells = [*_ground(), *_legs(), *_coat(), *_head(), *_cap(), *_gear(), *_flag(), *_lamp()]
    starts = np.cumsum([0] + [len(shell.vertices) for shell in shells[:-1]])
    faces = np.concatenate([s.faces + start for s, start in zip(shells, starts, strict=True)])
    numbers = [NAMES.index(str(name)) for shell in shells for name in shell.area]
    vertices = np.concatenate([shell.vertices for shell in shells]).astype(np.float32)
    return Figure(vertices, faces.astype(np.int32), np.array(numbers, np.int32), NAMES)


def _ground() -> list[Shell]:
    """A round piece of the breakwater with a cut block."""
    rings, turn = [], np.arange(28) * 2.4
    for height, reach in ((0, 10.6), (0.9, 10.7), (1.4, 10.1), (1.55, 7.6), (1.6, 5), (1.6, 2.4)):
        ring = _ring((0, 0, height), (reach, 0, 0), (0, reach, 0), 28)
        ring[:, :2] *= 1 + 0.02 * np.sin(turn + reach)[:, None]
        ring[:, 2] += 0.18 * np.sin(3 * (turn + reach) + 1) * (height > 1)
        rings.append(ring)
    block = _upright([(0.6, 0, 2.9, 2), (2.7, 0, 3, 2.1), (3.1, 0, 2.7, 1.8)], 12, 5)
    return [_loft(rings, "stone"), _loft(_placed(block, (4.2, 6.4, 0), turn=28), "stone")]


def _legs() -> list[Shell]:
    """Breeches with a stripe, stockings of the same smooth leg, and boots."""
    shells = []
    for side in (1.0, -1.0):
        leg = [ring * (side, 1, 1) for ring in _tube(_LEG, 13, 14, (1, 0, 0))]
        paint = _paint("trousers", leg)
        paint[:, [0, -1]] = "red"
        paint[7:] = "cream"
        boot = _placed(_upright(_BOOT, 14, 2.3), (2.05 * side, 0, 0), turn=8 * side)
        shells += [_loft(leg, paint), _loft(boot, "leather")]
    return shells


def _coat() -> list[Shell]:
    """The coat with its hem and collar as strips of it, sleeves with cuffs, and hands."""
    body = [_ring((0, 0, 11.2), (3, 0, 0), (0, 2.4, 0), 20, 2.4), *_upright(_COAT, 20, 2.4)]
    for row, dip in ((7, 0.2), (8, 0.5), (9, 0.9), (10, 1.4), (11, 1.7), (12, 1.2), (13, 0.4)):
        body[row][12:19, 2] -= dip * np.array([0.15, 0.4, 0.75, 1, 0.75, 0.4, 0.15])
    paint = _paint("coat", body)
    paint[1] = paint[11:] = "cream"
    shells = [_loft(body, paint)]
    for stations, hand, thumb in zip(_SLEEVES, _HANDS, _THUMBS, strict=True):
        sleeve = _tube(stations, 14, 12, (0, 1, 0.3))
        cuffed = _paint("coat", sleeve)
        cuffed[-2:] = "cream"
        shells += [_loft(sleeve, cuffed), _loft(_tube(hand, 8, 8, (0, 1, 0.3)), "skin")]
        shells.append(_loft(_tube(thumb, 5, 8, (0, 1, 0.3)), "skin"))
    return shells


def _head() -> list[Shell]:
    """Head and neck, ears, eyes, brows and hair."""
    head = _upright(_HEAD, 20, 2.2)
    for row, out in ((5, 0.75), (6, 0.75), (7, 0.35)):
        head[row][15, 1] -= out
    shells = [_loft(head, "skin"), _loft(_upright(_HAIR, 16, 2.2), "hair")]
    shells += [_loft(_tube(lock, 6, 7, (0, 1, 0.5)), "hair") for lock in _LOCKS]
    for side in (-1.0, 1.0):
        shells.append(_loft(_ball((3.35 * side, 0.1, 24.9), (0.4, 0.7, 0.95)), "skin"))
        shells.append(_loft(_ball((1.2 * side, -2.8, 25.05), (0.42, 0.35, 0.55)), "hair"))
    return shells


def _cap() -> list[Shell]:
    """A cap worn a little askew, its band a strip of it, with peak and badge."""
    crown, peak = _upright(_CAP, 20, 2), []
    paint = _paint("coat", crown)
    paint[:3] = "red"
    for angle in np.radians(np.linspace(205, 335, 12)):
        out = np.array([np.cos(angle), np.sin(angle), 0])
        wide = 0.35 + 1.3 * max(0.0, -out[1] - 0.42)
        sloping = wide * (out - (0, 0, 0.3))
        peak.append(_ring(out * 3.5 + sloping, sloping, (0, 0, 0.24), 8))
    badge = _ball((0, -3.95, 0.55), (0.6, 0.3, 0.7))
    return [
        _loft(_placed(rings, (0.1, 0.35, 27.6), lean=6), area)
        for rings, area in ((crown, paint), (peak, "leather"), (badge, "brass"))
    ]


def _gear() -> list[Shell]:
    """Belt, strap and satchel, the neckerchief, and the things of brass on them."""
    turns = np.radians(np.arange(24) * 15.0)
    scarf = []
    for turn in turns[::2]:
        out = np.array([np.cos(turn), np.sin(turn), 0])
        middle = out * (2.1, 1.95, 0) + (0, 0.1, 21.45 + 0.35 * np.sin(turn))
        scarf.append(_ring(middle, 0.5 * out, (0, 0, 0.55), 8))
    shells = [
        _loft([_on_coat(turn, 14.6, 0, 0.28, 0.6) for turn in turns], "leather", looped=True),
        _loft([_on_coat(turn, 17.2, 1.2, 0.22, 0.5) for turn in turns], "leather", looped=True),
        _loft(_placed(_upright(_SATCHEL, 16, 4.5), (-5.2, 0.6, 11), turn=8), "leather"),
        _loft(scarf, "red", looped=True),
        _loft(_ball((-6.45, 0.4, 11.5), (0.3, 0.5, 0.6)), "brass"),
        _loft(_ball((0, -2.95, 14.55), (0.95, 0.35, 0.8)), "brass"),
    ]
    for side in (-1.0, 1.0):
        tail = [(0.1, -2.1, 20.9, 0.5, 0.4), (0.5, -2.75, 19.6, 0.75, 0.35)]
        rings = _tube([*tail, (0.9, -3, 18.1, 0.9, 0.25)], 6, 8, (1, 0, 0))
        shells.append(_loft([ring * (side, 1, 1) for ring in rings], "red"))
        for height, depth in ((16.6, -2.63), (12.6, -2.88)):
            shells.append(_loft(_ball((1.3 * side, depth, height), (0.45, 0.28, 0.45)), "brass"))
    return shells


def _flag() -> list[Shell]:
    """The pole with tip and foot of brass as strips of it, and a flag in quarters."""
    foot, up = np.array([-8.6, -4.6, 11.5]), np.array([-0.06, 0.01, 1])
    reach = ((0, 0.42), (5, 0.42), (10, 0.42), (15, 0.42), (20, 0.42), (20.4, 0.6), (21.3, 0.15))
    pole = _tube([(*(foot + up * along), wide, wide) for along, wide in reach], 17, 8, (1, 0, 0))
    paint = _paint("wood", pole)
    paint[0] = paint[-2:] = "brass"
    rings, high = [], np.linspace(0, 7.2, 9)
    for along in np.linspace(0, 9, 13):
        level = high + 11.9 - 0.012 * along**2
        sway = 0.9 * np.sin(along * 0.85 + high * 0.12) * min(1.0, along / 2.5) + 0.35 * along
        front = foot + np.stack([-along - 0.06 * level, sway, level], axis=1)
        rings.append(np.concatenate([front, front[::-1] + np.array([0, 0.5, 0])]))
    cloth = _paint("red", rings)
    cloth[:6, 4:13] = "cream"
    cloth[6:, :4] = cloth[6:, 13:] = "cream"
    return [_loft(pole, paint), _loft(rings, cloth)]


def _lamp() -> list[Shell]:
    """A lamp with red glass, hung from the lower hand by a handle."""
    body, handle = _placed(_upright(_LAMP, 12, 2), (7, -2.3, 4.3)), []
    paint = _paint("brass", body)
    paint[3:5] = "red"
    for turn in np.arange(14) * 2 * np.pi / 14:
        out = np.array([np.cos(turn), 0, np.sin(turn)])
        handle.append(_ring(out * (1.35, 0, 1.5) + (7, -2.3, 9.2), 0.25 * out, (0, 0.25, 0), 6))
    return [_loft(body, paint), _loft(handle, "brass", looped=True)]


def _on_coat(turn: float, level: float, slope: float, thick: float, wide: float) -> Array:
    """The section of a strap that lies on the coat, in a plane that may slope to one side."""
    out = np.array([np.cos(turn), np.sin(turn), slope * np.cos(turn)])
    along = np.array([-np.sin(turn), np.cos(turn), -slope * np.sin(turn)])
    places, table = np.linspace(0.5, 5, 400)[:, None] * out + (0, 0, level), np.array(_COAT)
    middle, half, deep = (np.interp(places[:, 2], table[:, 0], table[:, k]) for k in (1, 2, 3))
    beside, before = np.abs(places[:, 0] / half), np.abs((places[:, 1] - middle) / deep)
    across = _unit(np.cross(out, along))
    outward = _unit(np.cross(along, across))
    found = places[np.argmax(beside**2.4 + before**2.4 > 1)]
    return _ring(found + outward * 0.1, outward * thick, across * wide, 8, 3)


def _ball(middle: Place, reach: tuple[float, float, float]) -> list[Array]:
    """The rings of a small ellipsoid."""
    angles = np.linspace(-1.15, 1.15, 5)
    flat = [(reach[2] * np.sin(a), 0, reach[0] * np.cos(a), reach[1] * np.cos(a)) for a in angles]
    return _placed(_upright(flat, 8, 2), middle)


def _upright(stations: Table, sides: int, power: float) -> list[Array]:
    """Level rings, one above the other."""
    return [_ring((0, y, z), (a, 0, 0), (0, b, 0), sides, power) for z, y, a, b in stations]


def _tube(stations: Table, count: int, sides: int, facing: Place) -> list[Array]:
    """Rings square to a smooth way through places, each with two half widths."""
    table = np.array(stations, np.float64)
    way = np.concatenate([[0.0], np.linalg.norm(np.diff(table[:, :3], axis=0), axis=1).cumsum()])
    fine = PchipInterpolator(way, table)(np.linspace(0, way[-1], count))
    ahead = _unit(np.gradient(fine[:, :3], axis=0))
    first = _unit(np.array(facing) - (ahead @ np.array(facing))[:, None] * ahead)
    ways = zip(fine, first, np.cross(ahead, first), strict=True)
    return [_ring(at[:3], a * at[3], b * at[4], sides) for at, a, b in ways]


def _ring(middle: Place, first: Place, second: Place, sides: int, power: float = 2) -> Array:
    """A closed line about a middle, round or nearly a rectangle."""
    turn = np.arange(sides) * 2 * np.pi / sides
    a, b = (np.sign(w) * np.abs(w) ** (2 / power) for w in (np.cos(turn), np.sin(turn)))
    return np.array(middle) + np.outer(a, np.array(first)) + np.outer(b, np.array(second))


def _placed(rings: Sequence[Array], by: Place, turn: float = 0.0, lean: float = 0.0) -> list[Array]:
    """Rings leant to one side, turned about the vertical and moved."""
    c, s, d, t = (f(np.radians(w)) for w in (turn, lean) for f in (np.cos, np.sin))
    matrix = np.array([[d, 0, t], [0, 1, 0], [-t, 0, d]]) @ [[c, s, 0], [-s, c, 0], [0, 0, 1]]
    return [ring @ matrix + np.array(by) for ring in rings]


def _unit(ways: Array) -> Array:
    """The same directions, of length one."""
    length: Array = np.linalg.norm(ways, axis=-1, keepdims=True)
    return ways / length


def _paint(area: str, rings: Sequence[Array], looped: bool = False) -> Paint:
    """One name for every patch between rings, with room for a longer name."""
    return np.full((len(rings) - (not looped), len(rings[0])), area, dtype="U10")


def _loft(rings: Sequence[Array], area: str | Paint, looped: bool = False) -> Shell:
    """A closed shell through rings, with an end on each side unless it is a loop."""
    count, sides = len(rings), len(rings[0])
    paint = _paint(area, rings, looped) if isinstance(area, str) else area
    row, column = (grid.ravel() for grid in np.indices(paint.shape))
    a, b = row * sides + column, row * sides + (column + 1) % sides
    c, d = (a + sides) % (count * sides), (b + sides) % (count * sides)
    left = (np.abs(column + 0.5 - sides / 2) < sides / 4)[:, None]
    one, other = np.stack([a, b, d, a, d, c], axis=1), np.stack([a, b, c, b, d, c], axis=1)
    faces, names = np.where(left, other, one).reshape(-1, 3), paint.ravel().repeat(2)
    vertices = np.concatenate(rings)
    if not looped:
        here, end = np.arange(sides), np.full(sides, count * sides)
        after, last = (here + 1) % sides, (count - 1) * sides
        bottom, top = (after, here, end), (here + last, after + last, end + 1)
        faces = np.concatenate([faces, np.stack(bottom, axis=1), np.stack(top, axis=1)])
        vertices = np.concatenate([vertices, [rings[0].mean(axis=0), rings[-1].mean(axis=0)]])
        names = np.concatenate([names, paint[0], paint[-1]])
    corners = vertices[faces]
    volume = (corners[:, 0] * np.cross(corners[:, 1], corners[:, 2])).sum()
    return Shell(vertices, faces if volume > 0 else faces[:, ::-1], names)
