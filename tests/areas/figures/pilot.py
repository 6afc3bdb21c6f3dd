"""A figure of few, large faces with exact areas: the harbour pilot of the breakwater.

It is built of shells pushed into each other, as figures for games are. It was made to judge the
finding of areas by, and no setting was chosen on it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tests.areas.figures.fields import Array, Figure, Vec

# The stations of a shell: of each the middle (x, y, z) and the two half widths.
Stations = Sequence[Sequence[float]]

_COAT = [(0, 0.2, 13.6, 4.2, 3.4), (0, 0.2, 11.2, 4.9, 4.1), (0, 0.2, 10.7, 5.5, 4.7)]
_COAT += [(0, 0.2, 11.9, 5.25, 4.4), (0, 0.1, 13.2, 4.9, 4.0), (0, 0, 14.5, 4.45, 3.5)]
_COAT += [(0, 0, 15.8, 4.15, 3.15), (0, 0, 17.2, 4.3, 3.2), (0, 0, 18.6, 4.6, 3.35)]
_COAT += [(0, 0, 20.0, 4.8, 3.4), (0, 0, 21.3, 4.75, 3.2), (0, 0, 22.5, 4.2, 2.85)]
_COAT += [(0, 0, 23.4, 3.3, 2.45), (0, 0, 24.1, 2.2, 1.9), (0, 0, 24.5, 0.9, 0.9)]


def pilot() -> Figure:
    """Sculpt the figure, feet apart, a boathook in one hand and a speaking trumpet in the other."""
    shells = _Shells()
    for part in (_place, _legs, _coat, _head, _arms, _tools):
        part(shells)
    return shells.figure()


class _Shells:
    """The shells so far, each with vertices of its own."""

    def __init__(self) -> None:
        self._vertices: list[Array] = []
        self._faces: list[NDArray[np.int64]] = []
        self._areas: list[str] = []
        self._count = 0

    def add(
        self,
        area: str,
        stations: Stations,
        sides: int,
        *,
        steps: int = 2,
        axis: Sequence[float] | None = None,
        across: Sequence[float] = (1, 0, 0),
        closed: bool = True,
        spans: dict[int, str] | None = None,
        strips: Sequence[int] = (),
        boxy: float = 2.0,
        flutes: Sequence[float] = (0,),
        twist: float = 0.0,
        rough: float = 0.02,
    ) -> None:
        """Draw a skin over the stations, some spans of another area; the strips are trim."""
        rows = _smooth(np.array(stations, np.float64), steps)
        along = np.gradient(rows[:, :3], axis=0) if axis is None else np.array([axis] * len(rows))
        along = along / np.linalg.norm(along, axis=1)[:, None]
        chance = np.random.default_rng(self._count)
        first, rings = np.array(across, np.float64), []
        for row, (station, ahead) in enumerate(zip(rows, along, strict=True)):
            first = first - ahead * float(first @ ahead)
            first /= np.linalg.norm(first)
            turn = 2 * np.pi * np.arange(sides)[:, None] / sides + twist * row
            size = 1 + np.resize(flutes, (sides, 1)) + rough * chance.uniform(-1, 1, (sides, 1))
            size /= (np.abs(np.cos(turn)) ** boxy + np.abs(np.sin(turn)) ** boxy) ** (1 / boxy)
            wide, deep = station[3] * size * np.cos(turn), station[4] * size * np.sin(turn)
            rings.append(station[:3] + wide * first + deep * np.cross(ahead, first))
        faces = []
        for row in range(len(rows) - 1):
            banded = (spans or {}).get(row // steps, area)
            for side in range(sides):
                after, low, high = (side + 1) % sides, row * sides, (row + 1) * sides
                a, b, c, d = low + side, low + after, high + after, high + side
                rising = rings[row][side] - rings[row + 1][after]
                falling = rings[row][after] - rings[row + 1][side]
                short = float(rising @ rising) < float(falling @ falling)
                faces += [(a, b, c), (a, c, d)] if short else [(a, b, d), (b, c, d)]
                self._areas += ["trim" if side in strips and banded == area else banded] * 2
        if closed:
            last = len(rows) * sides
            for side in range(sides):
                after = (side + 1) % sides
                faces.append((after, side, last))
                faces.append((last - sides + side, last - sides + after, last + 1))
                self._areas += [(spans or {}).get(0, area), banded]
            rings += [rings[0].mean(axis=0)[None], rings[-1].mean(axis=0)[None]]
        self._faces.append(np.array(faces) + self._count)
        self._vertices += rings
        self._count += sum(map(len, rings))

    def figure(self) -> Figure:
        """All shells as one mesh."""
        names = tuple(dict.fromkeys(self._areas))
        area = np.array([names.index(area) for area in self._areas], np.int32)
        vertices = np.concatenate(self._vertices).astype(np.float32)
        return Figure(vertices, np.concatenate(self._faces).astype(np.int32), area, names)


def _smooth(stations: Array, steps: int) -> Array:
    """More stations, on a smooth curve through the given ones."""
    ends = 2 * stations[[0, -1]] - stations[[1, -2]]
    p = np.concatenate([ends[:1], stations, ends[1:]])
    p0, p1, p2, p3 = p[:-3, None], p[1:-2, None], p[2:-1, None], p[3:, None]
    t = (np.arange(steps) / steps)[None, :, None]
    curve = 2 * p1 + (p2 - p0) * t + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2
    curve = (curve + (3 * p1 - p0 - 3 * p2 + p3) * t**3) / 2
    return np.concatenate([curve.reshape(-1, stations.shape[1]), stations[-1:]])


def _upright(x: float, y: float, rows: Sequence[tuple[float, float]]) -> Stations:
    """Round stations above each other, of (height, radius)."""
    return [(x, y, height, radius, radius) for height, radius in rows]


def _coat_widths(z: float) -> tuple[float, float]:
    """The two half widths of the coat's outside at a height."""
    rows = np.array(_COAT[2:])
    return float(np.interp(z, rows[:, 2], rows[:, 3])), float(np.interp(z, rows[:, 2], rows[:, 4]))


def _on_coat(x: float, z: float) -> Vec:
    """The place on the front of the coat."""
    wide, deep = _coat_widths(z)
    return x, 0.1 - deep * float(np.sqrt(1.0 - (x / wide) ** 2)), z


def _knob(shells: _Shells, at: Vec, out: Vec, size: float) -> None:
    """A brass button or boss that stands out of a surface."""
    rows = ((-0.8, 1.0), (0.25, 1.0), (0.6, 0.75), (0.75, 0.25))
    place, away = np.array(at), size * np.array(out)
    stations = [(*(place + far * away), size * wide, size * wide) for far, wide in rows]
    shells.add("brass", stations, 8, steps=1, rough=0.0)


def _rope(shells: _Shells, stations: Stations) -> None:
    """A rope of three strands."""
    strands = (0.06, 0.06, -0.22)
    shells.add("rope", stations, 9, across=(0, 0, 1), flutes=strands, twist=0.35, rough=0.0)


def _place(shells: _Shells) -> None:
    """The end of the breakwater: stones, and a bollard with a rope around it."""
    ground = [(0, 10.6), (0, 11.6), (0.8, 11.4), (1.3, 11.0), (1.5, 10.0), (1.55, 7.5), (1.5, 5.0)]
    shells.add("stone", _upright(0, 0, [*ground, (1.55, 2.5)]), 14, steps=1, axis=(0, 0, 1))
    for x, y, across in ((-5.6, 4.4, (0.9, 0.5, 0)), (6.8, -3.4, (0.3, 0.9, 0))):
        slab = [(x, y, 0.9, 3.2, 2.3), (x, y, 1.8, 3.1, 2.2), (x, y, 2.3, 2.7, 1.8)]
        slab.append((x, y, 2.4, 1.2, 0.8))
        shells.add("stone", slab, 12, steps=1, axis=(0, 0, 1), across=across, boxy=4, rough=0.04)
    post = [(1.2, 2.3), (3.4, 2.15), (5.4, 2.05), (7.2, 2.0), (7.7, 2.5), (8.6, 2.6), (9.2, 2.3)]
    shells.add("wood", _upright(5.6, 5.2, [*post, (9.5, 1.2)]), 14, axis=(0, 0, 1))
    rope = []
    for turn in np.linspace(0.0, 6.2 * np.pi, 25):
        reach = 1.6 + 0.8 * min(1.0, turn)
        x, y = 5.6 + reach * np.cos(turn + 2.2), 5.2 + reach * np.sin(turn + 2.2)
        rope.append((x, y, 6.1 - 0.125 * turn, 0.46, 0.46))
    for x, y, z in ((1.8, 3.9, 2.6), (1.3, 2.7, 2.0), (0.2, 2.3, 1.9), (-1.2, 3.0, 1.9)):
        rope.append((x, y, z, 0.46, 0.46))
    _rope(shells, rope)


def _legs(shells: _Shells) -> None:
    """Trousers and sea boots; the brass toe caps are drawn on the boots."""
    for side, y in ((-1, -0.9), (1, 0.3)):
        x = 2.5 * side
        leg = [(1.7 * side, 0.2, 14.0, 1.9, 2.0), (1.9 * side, y * 0.4, 11.6, 2.0, 2.1)]
        leg += [(2.2 * side, y * 0.7 - 0.3, 9.4, 1.85, 1.95), (x, y, 7.4, 1.9, 1.95)]
        leg.append((x, y, 6.2, 1.6, 1.6))
        shells.add("trousers", leg, 12, steps=3, closed=False, rough=0.04)
        shaft = [(x, y, 6.9, 1.7, 1.75), (x, y, 7.3, 2.1, 2.15), (x, y, 6.7, 2.3, 2.35)]
        shaft += [(x, y, 5.7, 2.15, 2.2), (x, y, 5.5, 1.75, 1.8), (x, y + 0.1, 4.4, 1.65, 1.75)]
        shaft += [(x, y + 0.2, 3.3, 1.5, 1.65), (x, y + 0.2, 2.4, 1.45, 1.6)]
        shells.add("leather", shaft, 12, axis=(0, 0, -1), closed=False)
        rows = [(2.1, 0.9, 0.9), (1.8, 1.35, 1.3), (0.6, 1.5, 1.5), (-0.8, 1.5, 1.35)]
        rows += [(-2.0, 1.6, 1.15), (-3.0, 1.6, 1.05), (-3.8, 1.35, 0.95), (-4.3, 0.85, 0.7)]
        foot = [(x - 0.22 * side * b, y + b, 1.55 + high, wide, high) for b, wide, high in rows]
        caps = {5: "brass", 6: "brass"}
        shells.add("leather", foot, 12, spans=caps, boxy=2.4, rough=0.015)


def _coat(shells: _Shells) -> None:
    """The coat with trim drawn on it, belt and buttons, and a coil of rope over one shoulder."""
    up, hem = (0, 0, 1), {1: "trim", 2: "trim"}
    shells.add(
        "coat", _COAT, 20, steps=1, axis=up, spans=hem, strips=(14, 15), flutes=(0.02, -0.02)
    )
    rows = ((15.1, 0.0), (15.2, 0.38), (15.8, 0.42), (16.4, 0.38), (16.5, 0.0))
    belt = [(0, 0, z, 4.1 + more, 3.15 + more) for z, more in rows]
    shells.add("leather", belt, 20, steps=1, axis=up, closed=False, rough=0.0)
    rows = ((-3.1, 0.9), (-3.75, 0.95), (-3.95, 0.8), (-3.95, 0.45), (-3.7, 0.35))
    buckle = [(0, y, 15.8, 1.2 * size, size) for y, size in rows]
    shells.add("brass", buckle, 12, steps=1, axis=(0, -1, 0), boxy=5, rough=0.0)
    for z in (12.9, 17.9, 19.6):
        for x in (-1.9, 1.9):
            _knob(shells, _on_coat(x, z), (x * 0.2, -0.93, 0.0), 0.5)
    for side in (-1, 1):
        x, y, _ = _on_coat(3.95 * side, 13.6)
        flap = [(x, y + 0.5, 14.4, 0.9, 0.35), (x, y + 0.2, 14.2, 1.15, 0.55)]
        flap += [(x * 1.03, y + 0.05, 13.4, 1.2, 0.55), (x * 1.05, y, 12.6, 0.9, 0.45)]
        tangent = (0.6, 0.8 * side, 0)
        shells.add("trim", flap, 12, steps=1, axis=(0, 0, -1), across=tangent, boxy=2.8)
    collar = [(0, 0, 23.1, 3.0, 2.3), (0, 0, 22.5, 3.6, 2.9), (0, 0, 23.1, 3.75, 3.0)]
    collar += [(0, 0, 24.0, 3.0, 2.6), (0, 0, 25.1, 2.55, 2.5), (0, 0, 25.2, 2.2, 2.1)]
    collar.append((0, 0, 24.4, 1.9, 1.8))
    shells.add("trim", collar, 14, axis=up, closed=False)
    rope = []
    for turn in np.linspace(-0.1, 2 * np.pi + 0.1, 24):
        z = 18.7 - 4.6 * np.cos(turn)
        wide, deep = _coat_widths(z)
        rope.append(((wide + 0.4) * np.cos(turn), (deep + 0.35) * np.sin(turn), z, 0.6, 0.6))
    _rope(shells, rope)


def _head(shells: _Shells) -> None:
    """The head with hair and beard, and a cap with its band drawn on it, a peak and a badge."""
    head = [(0, -0.3, 23.6, 1.2, 1.2), (0, -0.5, 24.6, 1.6, 1.8), (0, -0.5, 25.8, 2.1, 2.25)]
    head += [(0, -0.5, 27.0, 2.3, 2.45), (0, -0.5, 28.2, 2.25, 2.4), (0, -0.5, 29.3, 1.7, 1.8)]
    shells.add("skin", head, 14)
    nose = [(0, -2.5, 27.9, 0.35, 0.3), (0, -3.0, 27.2, 0.45, 0.5), (0, -3.3, 26.5, 0.7, 0.65)]
    shells.add("skin", [*nose, (0, -3.0, 26.0, 0.45, 0.45)], 8)
    hair = [(0, 0.2, 24.4, 1.7, 1.7), (0, 0.5, 24.9, 2.2, 2.2), (0, 0.5, 26.2, 2.5, 2.3)]
    hair += [(0, 0.4, 27.3, 2.5, 2.25), (0, 0.2, 28.2, 2.3, 2.0), (0, 0.1, 28.9, 1.9, 1.7)]
    shells.add("hair", hair, 14, flutes=(0.03, -0.03))
    for side in (-1, 1):
        rows = ((2.0, 0.7, 0.4), (2.5, 0.85, 0.5), (2.8, 0.75, 0.4), (2.85, 0.35, 0.25))
        ear = [(side * x, -0.6, 26.8, high, wide) for x, high, wide in rows]
        shells.add("skin", ear, 8, steps=1, axis=(side, 0, 0), across=(0, 0, 1))
        brow = [(0.35, -2.85, 27.55, 0.2), (0.9, -2.85, 27.75, 0.36), (1.6, -2.45, 27.75, 0.32)]
        brow.append((2.0, -1.95, 27.5, 0.18))
        lip = [(-0.15, -3.05, 25.9, 0.3), (0.5, -3.2, 25.75, 0.6), (1.3, -2.85, 25.45, 0.6)]
        lip += [(2.0, -2.3, 25.2, 0.4), (2.5, -2.0, 25.5, 0.16)]
        for tuft in (brow, lip):
            stations = [(side * x, y, z, size, size) for x, y, z, size in tuft]
            shells.add("hair", stations, 8, across=(0, 0, 1))
    beard = [(0, -1.2, 26.4, 2.1, 0.9), (0, -1.5, 25.5, 2.35, 1.6), (0, -1.9, 24.4, 2.3, 1.75)]
    beard += [(0, -2.5, 23.2, 2.0, 1.5), (0, -3.1, 22.0, 1.4, 1.15), (0, -3.5, 21.0, 0.8, 0.7)]
    shells.add("hair", [*beard, (0, -3.7, 20.4, 0.3, 0.3)], 14, flutes=(0.06, -0.06))
    cap = [(0, -0.3, 28.6, 2.2, 2.3), (0, -0.3, 28.2, 2.6, 2.75), (0, -0.3, 28.8, 2.65, 2.8)]
    cap += [(0, -0.3, 29.4, 2.75, 2.9), (0, -0.3, 30.1, 3.2, 3.35), (0, -0.3, 30.8, 3.5, 3.6)]
    cap += [(0, -0.2, 31.4, 3.0, 3.1), (0, -0.1, 31.8, 1.8, 1.9), (0, 0, 31.9, 0.6, 0.6)]
    shells.add("trim", cap, 14, axis=(0, 0, 1), spans=dict.fromkeys(range(3), "leather"))
    peak = [(0, -1.9, 28.6, 2.3, 0.35), (0, -3.1, 28.45, 2.4, 0.35), (0, -4.0, 28.15, 2.1, 0.33)]
    peak += [(0, -4.6, 27.85, 1.5, 0.3), (0, -4.9, 27.7, 0.8, 0.25)]
    shells.add("leather", peak, 10, boxy=2.6)
    _knob(shells, (0, -3.2, 29.4), (0, -0.98, -0.2), 0.85)


def _arms(shells: _Shells) -> None:
    """Sleeves with the cuffs drawn on them, and hands that hold something."""
    right = [(-2.6, 0, 21.2, 1.4, 1.4), (-4.5, 0.1, 21.4, 2.0, 2.0), (-6.2, 0.5, 19.4, 1.85, 1.85)]
    right += [(-7.3, 0.4, 17.6, 1.75, 1.8), (-7.9, -1.0, 17.4, 1.65, 1.65)]
    right += [(-8.3, -2.2, 18.3, 1.55, 1.55), (-8.5, -3.2, 19.2, 1.5, 1.5)]
    left = [(2.4, 0, 21.5, 1.4, 1.4), (4.5, 0.1, 21.4, 2.0, 2.0), (6.0, 0.6, 19.2, 1.85, 1.85)]
    left += [(6.6, 0.6, 17.3, 1.75, 1.6), (6.8, -1.0, 16.4, 1.6, 1.5)]
    left += [(7.0, -2.2, 16.5, 1.55, 1.55), (7.1, -3.4, 16.8, 1.5, 1.5)]
    for sleeve in ([*right, (-8.6, -3.6, 19.5, 0.9, 0.9)], [*left, (7.15, -3.9, 16.9, 0.9, 0.9)]):
        shells.add("coat", sleeve, 12, spans={5: "trim", 6: "trim"})
    _hand(shells, (-8.7, -5.0, 20.2), (0, 0, 1), (-8.5, -3.0, 19.0), -1)
    _hand(shells, (7.3, -5.1, 17.1), (0.4, -0.2, 0.9), (7.0, -2.9, 16.7), 1)


def _hand(shells: _Shells, grip: Vec, shaft: Vec, wrist: Vec, side: int) -> None:
    """A fist around a shaft, four fingers to one side and the thumb to the other."""
    middle, start, axis = np.array(grip), np.array(wrist), np.array(shaft) / np.linalg.norm(shaft)
    back = start - middle - axis * float((start - middle) @ axis)
    back /= np.linalg.norm(back)
    out = np.cross(axis, back) * side
    knuckles = middle + 0.25 * back + 0.35 * out
    rows = ((0.0, 0.85, 0.85), (0.35, 1.1, 0.95), (0.75, 1.3, 0.85), (0.95, 0.95, 0.5))
    palm = [(*(start * (1 - t) + knuckles * t), high, thick) for t, high, thick in rows]
    shells.add("skin", palm, 10, across=axis)
    for height, way in ((-0.96, 1), (-0.32, 1), (0.32, 1), (0.96, 1), (1.25, -1)):
        finger = []
        for turn, size in (
            (0.1, 0.4),
            (0.7, 0.43),
            (1.3, 0.45),
            (1.9, 0.43),
            (2.5, 0.4),
            (3.1, 0.3),
        ):
            bent = 0.85 * (back * np.cos(turn) + way * out * np.sin(turn))
            finger.append((*(middle + height * axis + bent), size, size))
        shells.add("skin", finger, 8, steps=1, across=axis)


def _tools(shells: _Shells) -> None:
    """The boathook, with a ferrule and a whipping drawn on its shaft, and the trumpet."""
    x, y = -8.7, -5.0
    shaft = _upright(x, y, [(1.4 + 1.16 * k, 0.52) for k in range(24)])
    drawn = {0: "brass", 1: "brass", 18: "rope", 19: "rope", 20: "rope"}
    shells.add("wood", shaft, 8, steps=1, spans=drawn, rough=0.03)
    spike = [(27.4, 0.75), (27.9, 0.85), (28.8, 0.8), (29.8, 0.62), (30.9, 0.5), (32.0, 0.15)]
    shells.add("brass", _upright(x, y, spike), 8, steps=1)
    rows = ((0, 28.5, 0.5), (1.0, 28.9, 0.48), (1.9, 28.6, 0.44), (2.2, 27.8, 0.36))
    hook = [(x - far, y - 0.2 * far, z, r, r) for far, z, r in (*rows, (1.9, 27.0, 0.2))]
    shells.add("brass", hook, 8, across=(0, 1, 0))
    trumpet = [(-3.2, 0.4), (-3.3, 0.9), (-2.8, 0.9), (-2.3, 0.5), (-1.0, 0.5), (1.0, 0.62)]
    trumpet += [(2.2, 0.8), (3.4, 1.1), (4.4, 1.6), (5.1, 2.3), (5.3, 2.35), (5.0, 1.9)]
    trumpet += [(4.2, 1.1), (3.4, 0.6)]
    bell = [(7.3 + 0.4 * t, -5.1 - 0.2 * t, 17.1 + 0.9 * t, r, r) for t, r in trumpet]
    shells.add("brass", bell, 14, steps=1, axis=(0.4, -0.2, 0.9), rough=0.0)
