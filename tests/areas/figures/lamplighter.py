"""A low-polygon figure with exact areas: the old lamplighter of a breakwater lighthouse.

It is built as figures for games are: closed shells of few corners, stuck into each other, with
the area given per face. Cuffs, hat band and ferrule change area inside a shell, without a crease.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tests.areas.figures.fields import Figure, Shell, Vec, side_by_side

Array = NDArray[np.float64]

NAMES = (
    *("ground", "coat", "waistcoat", "trousers", "gaiters", "leather"),
    *("hat", "skin", "beard", "scarf", "wood", "brass"),
)


def lamplighter() -> Figure:
    """Put all the shells of the figure together."""
    shells = [*_ground(), *_legs(), *_body(), *_arms(), *_head(), *_scarf(), *_pole(), *_can()]
    return side_by_side(shells, NAMES)


def _ground() -> list[Shell]:
    """A round base of worn stone, and a boulder behind the foot."""
    slab = _stack(26, "0 11.2 11.2 0, 0 11.2 11.2 0.9, 0 10.5 10.5 1.5, 0 7.5 7.5 1.7, 0 3 3 1.75")
    slab[3, :, 2] += 0.18 * np.sin(3 * _turn(26) + 0.4) + 0.1 * np.cos(8 * _turn(26))
    boulder = _stack(10, "0 3.4 2.8 0.6, 0 3.3 2.7 2.0, 0.1 2.6 2.0 3.5, 0.2 1.1 0.8 4.1")
    boulder[:, :, :2] *= 1 + 0.09 * np.sin(np.arange(40).reshape(4, 10, 1) * 2.3)
    return [_loft(slab, "ground"), _loft(boulder + np.array([4.8, 5.6, 0.0]), "ground")]


def _legs() -> list[Shell]:
    """Trousers, gaiters and shoes, the left foot a step ahead."""
    found = []
    for side, ahead in ((-1.0, 0.9), (1.0, -1.0)):
        trousers = _tube(
            14,
            "1.55 0.2 13.4 2.15 2.3, 1.9 0.1 11.2 2.1 2.15, 2.2 0 9.3 1.95 2.0, "
            "2.45 0 8.4 2.0 2.0, 2.5 0 7.5 1.7 1.75, 2.5 0 6.4 1.35 1.4",
        )
        trousers[:, :, 0] *= side
        trousers[:, :, 1] += (ahead * np.array([0.0, 0.2, 0.35, 0.45, 0.55, 0.8]))[:, None]
        gaiter = _stack(
            16,
            "0 1.3 1.4 7.7, 0 1.95 2.05 7.75, 0 1.9 2.0 7.1, 0 1.75 1.95 6.0, 0 1.5 1.65 4.8, "
            "-0.1 1.45 1.65 3.9, -0.5 1.65 2.2 3.2, -0.7 1.75 2.5 2.75, -0.7 1.4 2.1 2.7",
        )
        gaiter[:, :, 0] += 2.5 * side
        gaiter[:, :, 1] += (ahead * np.array([0.55, 0.55, 0.6, 0.75, 0.9, 1, 1, 1, 1]))[:, None]
        found += [_loft(trousers, "trousers"), _loft(gaiter, "gaiters")]
        found.append(_loft(_shoe(2.5 * side, ahead - 0.2, 0.16 * side), "leather"))
    return found


def _shoe(x: float, y: float, toed_out: float) -> Array:
    """Rings of a stout shoe from heel to toe, its sole flat on the ground."""
    rings = []
    for along, half, height in _rows(
        "1.75 0.8 0.9, 1.5 1.25 1.5, 0.4 1.35 1.8, -1.0 1.4 1.75, "
        "-2.2 1.6 1.4, -3.1 1.5 1.25, -3.75 1.05 0.95, -4.0 0.5 0.6"
    ):
        level = np.maximum(height * (0.5 - 0.62 * np.cos(_turn(12))), 0.0)
        across = half * np.sin(_turn(12)) * np.where(level < height / 2, 1.08, 1.0)
        rings.append(np.stack([across - toed_out * along, np.full(12, along), level], axis=1))
    shoe: Array = np.array(rings) + np.array([x, y, 1.55])
    return shoe


def _body() -> list[Shell]:
    """Waistcoat, long coat with its collar, belt and buckle."""
    waistcoat = _stack(
        20,
        "0 2.4 1.9 12.2, 0.0 3.25 2.75 11.7, -0.1 3.35 2.9 13.2, -0.15 3.3 2.85 15.4, "
        "-0.2 3.5 2.95 17.5, -0.1 3.6 2.85 19.6, 0.1 3.0 2.3 21.4, 0.1 1.6 1.5 22.4, "
        "0.1 1.3 1.3 23.6",
    )
    waistcoat[1:6, :2, 1] -= 0.2
    waistcoat[1, [0, 1, 2, 17, 18, 19], 2] += np.array([0.2, -0.75, -0.2, -0.2, -0.75, 0.2])
    section = _rows("-0.4 14.75, 0.3 14.75, 0.42 15.4, 0.3 16.05, -0.4 16.05")
    belt = np.stack([_arc(_turn(24), 4.1 + out, 3.55 + out, 0.1, z) for out, z in section], axis=1)
    buckle = _stack(12, "0 1.15 0.85 0.0, 0 1.15 0.85 0.55, 0 0.85 0.55 0.8", 5.0)
    buckle = buckle[:, :, [0, 2, 1]] * np.array([1.0, -1.0, 1.0]) + np.array([0.0, -3.6, 15.4])
    return [
        _loft(waistcoat, "waistcoat"),
        _loft(_coat(), "coat"),
        _loft(_collar(), "waistcoat"),
        _loft(belt, "leather", closed=True),
        _loft(buckle, "brass"),
    ]


def _coat() -> Array:
    """Rings of the coat, open in front, with lapels above the belt and folds below it."""
    rings = []
    for z, y, wide, deep, opening, thick, fold in _rows(
        "5.6 0.8 5.7 4.9 0.72 0.5 0.11, 6.0 0.8 5.75 4.95 0.7 0.7 0.11, "
        "8.2 0.6 5.3 4.6 0.64 0.7 0.085, 10.6 0.4 4.85 4.2 0.54 0.7 0.055, "
        "12.8 0.2 4.5 3.9 0.45 0.7 0.025, 14.6 0.1 4.1 3.55 0.36 0.7 0, "
        "15.4 0.1 4.05 3.5 0.36 0.7 0, 16.2 0.1 4.15 3.6 0.38 0.7 0, "
        "17.8 0 4.5 3.75 0.47 0.75 0, 19.6 0.1 4.75 3.7 0.6 0.8 0, "
        "21.0 0.2 4.8 3.25 0.7 0.9 0, 22.1 0.3 3.9 2.6 0.78 0.9 0, 22.9 0.4 2.3 1.9 0.85 0.7 0"
    ):
        turn = np.linspace(opening, 2 * np.pi - opening, 27)
        swell = 1 + fold * np.cos(6.5 * (turn - np.pi))
        lapel = np.zeros(27)
        if 17.0 < z < 22.0:
            lapel[[0, 1, 2, -3, -2, -1]] = np.array([0.25, 0.4, 0.4, 0.4, 0.4, 0.25])
        outer = _arc(turn, wide * swell + lapel, deep * swell + lapel, y, z)
        inner = _arc(turn, wide * swell - thick, deep * swell - thick, y, z)
        rings.append(np.concatenate([outer, inner[::-1]]))
    return np.array(rings)


def _collar() -> Array:
    """Rings of a turned-down collar, open in front and deepest behind."""
    turn = np.linspace(0.75, 2 * np.pi - 0.75, 17)
    rings = []
    for wide, deep, z, droop in _rows("4.2 3.7 22.2 1.2, 3.2 2.8 23.1 0.7, 2.35 2.1 23.7 0"):
        z_here = z - droop * np.cos(turn) ** 2
        outer = _arc(turn, wide, deep, 0.3, z_here)
        inner = _arc(turn, wide - 0.8, deep - 0.8, 0.3, z_here)
        rings.append(np.concatenate([outer, inner[::-1]]))
    return np.array(rings)


def _arms() -> list[Shell]:
    """Sleeves with their cuffs, and a closed hand in each."""
    raised = _tube(
        14,
        "-2.9 0.3 20.6 1.0 1.0, -4.3 0.4 20.3 1.75 1.75, -5.8 0.7 19.1 1.85 1.85, "
        "-6.9 0.9 17.7 1.7 1.7, -7.55 0.4 16.9 1.72 1.72, -7.8 -0.6 17.1 1.55 1.55, "
        "-7.9 -1.6 17.6 1.5 1.5, -7.95 -2.1 17.9 1.5 1.5, -8.0 -2.6 18.2 1.5 1.5, "
        "-8.05 -3.1 18.5 1.5 1.5",
    )
    hanging = _tube(
        14,
        "2.9 0.3 20.6 1.0 1.0, 4.3 0.4 20.3 1.75 1.75, 5.6 0.7 19.0 1.85 1.85, "
        "6.4 0.8 17.6 1.7 1.7, 6.8 0.6 16.5 1.72 1.72, 7.1 0.2 15.4 1.55 1.55, "
        "7.35 -0.3 14.4 1.5 1.5, 7.45 -0.5 13.9 1.5 1.5, 7.55 -0.7 13.4 1.5 1.5, "
        "7.65 -0.9 12.9 1.5 1.5",
    )
    fist = _stack(
        12,
        "0 0.7 0.6 -1.35, 0 1.15 0.95 -1.15, 0 1.3 1.05 -0.85, 0 1.18 0.95 -0.6, "
        "0 1.38 1.12 -0.3, 0 1.24 1.0 -0.02, 0 1.4 1.15 0.3, 0 1.26 1.0 0.58, 0 1.3 1.1 0.9, "
        "0 1.1 0.95 1.2, 0 0.6 0.5 1.4",
    )
    upright = fist @ _rotation((0.0, 0.0, 1.0), 0.3) + np.array([-8.1, -3.9, 18.6])
    lying = fist @ _rotation((1.0, 0.0, 0.0), np.pi / 2 - 0.1) + np.array([7.75, -1.1, 11.9])
    sleeve = ["coat"] * 6 + ["waistcoat"] * 3
    return [
        _loft(raised, sleeve),
        _loft(hanging, sleeve),
        _loft(upright, "skin"),
        _loft(lying, "skin"),
    ]


def _head() -> list[Shell]:
    """Face, nose, hair, beard, moustache and the tall hat."""
    face = _stack(
        18,
        "-0.3 1.2 1.2 22.6, -0.5 1.55 1.7 23.2, -0.5 1.95 2.05 24.0, -0.45 2.1 2.15 24.9, "
        "-0.4 2.15 2.05 25.5, -0.4 2.2 2.25 26.1, -0.35 2.2 2.2 27.0, -0.3 1.7 1.7 28.0",
    )
    face[4, [1, 2, 15, 16], 1] += 0.25
    nose = _stack(8, "0.2 0.3 0.5 24.35, 0 0.6 0.95 24.55, 0 0.5 0.8 25.0, 0.3 0.3 0.5 26.0")
    nose[:, :, 1] -= 2.45
    hair = _stack(
        18,
        "0.5 1.5 1.3 23.0, 0.45 2.2 2.0 23.5, 0.4 2.45 2.2 24.6, 0.35 2.45 2.2 26.0, "
        "0.3 2.3 2.1 27.2",
    )
    beard = _stack(
        20,
        "-0.95 1.9 1.6 24.75, -1.1 2.3 1.95 24.1, -1.45 2.3 2.05 23.1, -1.9 2.1 1.9 22.0, "
        "-2.3 1.65 1.55 20.9, -2.6 1.05 1.1 19.9, -2.8 0.4 0.45 19.2",
    )
    beard[1:-1, ::2, :2] *= 1.06
    moustache = _tube(
        8,
        "-1.9 -2.2 23.5 0.2 0.2, -1.2 -2.85 24.0 0.4 0.4, -0.45 -3.1 24.35 0.48 0.48, "
        "0 -3.05 24.25 0.36 0.36, 0.45 -3.1 24.35 0.48 0.48, 1.2 -2.85 24.0 0.4 0.4, "
        "1.9 -2.2 23.5 0.2 0.2",
    )
    hat = _stack(
        22,
        "0 2.2 2.2 26.7, 0 3.5 3.7 26.6, 0 3.75 3.95 26.85, 0 3.5 3.7 27.1, 0 2.5 2.6 27.15, "
        "0 2.45 2.55 27.75, 0 2.4 2.5 28.3, 0 2.38 2.48 29.4, 0 2.45 2.55 30.6, "
        "0 2.6 2.7 31.6, 0 2.4 2.5 31.95, 0 1.2 1.2 32.0",
    )
    hat[1:4, :, 2] += 0.55 * np.sin(_turn(22)) ** 2 - 0.2 * np.cos(_turn(22)) ** 2
    middle = np.array([0.0, 0.0, 26.7])
    hat = (hat - middle) @ _rotation((1.0, 0.4, 0.0), -0.06) + middle
    return [
        _loft(face, "skin"),
        _loft(nose, "skin"),
        _loft(hair, "beard"),
        _loft(beard, "beard"),
        _loft(moustache, "beard"),
        _loft(hat, ["hat"] * 4 + ["leather"] * 2 + ["hat"] * 5),
    ]


def _scarf() -> list[Shell]:
    """A wound scarf with one end down the chest."""
    turn, section = _turn(22), _turn(8) + 0.5
    loop = []
    for angle in section:
        out = 0.62 * np.cos(angle) + 0.1 * np.sin(5 * turn)
        z = 22.95 + 0.85 * np.sin(angle) + 0.1 * np.cos(4 * turn) - 0.45 * np.cos(turn)
        loop.append(_arc(turn, 2.35 + out, 2.3 + out, 0.2, z))
    end = _tube(
        10,
        "1.95 -1.0 23.1 0.6 0.4, 2.15 -2.3 22.7 0.8 0.5, 2.4 -3.3 21.8 1.0 0.5, "
        "2.55 -3.75 20.6 1.05 0.45, 2.65 -3.9 19.0 1.05 0.45, 2.8 -3.95 17.4 1.15 0.45, "
        "3.0 -3.95 16.5 1.15 0.45, 3.2 -4.1 15.2 1.2 0.45, 3.4 -4.2 13.6 1.3 0.45, "
        "3.45 -4.25 13.2 1.25 0.35",
    )
    return [_loft(np.stack(loop, axis=1), "scarf", closed=True), _loft(end, "scarf")]


def _pole() -> list[Shell]:
    """The lighting pole with a ferrule flush on the wood, and the lamp on its end."""
    foot, tip = np.array([-8.6, -4.6, 1.4]), np.array([-7.8, -3.6, 30.6])
    shaft = np.array([_arc(_turn(10), 0.52, 0.52, 0.0, 0.0)] * 9)
    shares = np.array([0.0, 0.15, 0.3, 0.45, 0.6, 0.72, 0.84, 0.94, 1.0])
    shaft += foot + shares[:, None, None] * (tip - foot)
    lamp = _stack(
        12, "0 0.5 0.5 30.2, 0 1.0 1.0 30.6, 0 1.05 1.05 31.6, 0 0.75 0.75 32.0, 0 0.3 0.3 32.8"
    )
    lamp += np.array([tip[0], tip[1], 0.0])
    return [_loft(shaft, ["wood"] * 6 + ["brass"] * 2), _loft(lamp, "brass")]


def _can() -> list[Shell]:
    """The oil can with its spout and the handle in the left hand."""
    can = _stack(
        18,
        "0 2.0 2.0 5.2, 0 2.15 2.15 5.4, 0 2.15 2.15 5.9, 0 1.95 1.95 6.1, 0 1.95 1.95 8.0, "
        "0 1.2 1.2 9.1, 0 0.75 0.75 9.4, 0 0.75 0.75 9.9, 0 0.35 0.35 10.2",
    )
    can += np.array([7.8, -1.6, 0.0])
    spout = _tube(
        10,
        "7.8 -2.4 6.6 0.75 0.75, 7.7 -4.0 7.0 0.62 0.62, 7.6 -4.9 8.2 0.5 0.5, "
        "7.5 -5.5 9.9 0.38 0.38, 7.45 -5.9 10.6 0.34 0.34",
    )
    handle = _tube(
        8,
        "7.8 -3.1 7.6 0.36 0.36, 7.8 -3.5 9.2 0.36 0.36, 7.8 -3.3 11.0 0.36 0.36, "
        "7.8 -2.4 11.9 0.36 0.36, 7.8 -0.8 11.9 0.36 0.36, 7.8 0.1 11.0 0.36 0.36, "
        "7.8 0.3 9.2 0.36 0.36, 7.8 -0.1 7.6 0.36 0.36",
    )
    return [_loft(can, "brass"), _loft(spout, "brass"), _loft(handle, "brass")]


def _rows(text: str) -> Array:
    """A table of numbers, its rows parted by commas."""
    return np.array([[float(number) for number in row.split()] for row in text.split(",")])


def _turn(sides: int) -> Array:
    """Angles once round, from the front, half a step off so that sides mirror."""
    return (np.arange(sides) + 0.5) * 2 * np.pi / sides


def _arc(
    turn: Array, wide: Array | float, deep: Array | float, y: float, z: Array | float
) -> Array:
    """Corners at some angles about the upright axis."""
    return np.stack([wide * np.sin(turn), y - deep * np.cos(turn), z + 0.0 * turn], axis=1)


def _stack(sides: int, levels: str, power: float = 2.0) -> Array:
    """Level rings from rows of y, half width, half depth, z; more power makes them boxy."""
    turn = _turn(sides)
    norm = (np.abs(np.sin(turn)) ** power + np.abs(np.cos(turn)) ** power) ** (1 / power)
    return np.array([_arc(turn, w / norm, d / norm, y, z) for y, w, d, z in _rows(levels)])


def _tube(sides: int, path: str) -> Array:
    """Rings square to a path, from rows of x, y, z and two half widths, the first one level."""
    places, widths = np.split(_rows(path), [3], axis=1)
    ahead = np.gradient(places, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    across = np.array([1.0, 0.0, 0.0])
    rings = []
    for place, way, (first, second) in zip(places, ahead, widths, strict=True):
        across = across - way * float(across @ way)
        across /= np.linalg.norm(across)
        side, up = np.sin(_turn(sides)), np.cos(_turn(sides))
        rings.append(
            place + np.outer(first * side, across) - np.outer(second * up, np.cross(way, across))
        )
    return np.array(rings)


def _rotation(axis: Vec, angle: float) -> Array:
    """A turn about an axis, for rows of places multiplied from the left."""
    x, y, z = np.array(axis) / np.linalg.norm(axis)
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    turned: Array = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    return turned.T


def _loft(rings: Array, area: str | Sequence[str], closed: bool = False) -> Shell:
    """A closed shell over rings; an area for all or for each band, ends like their bands."""
    count, sides = rings.shape[:2]
    bands = count if closed else count - 1
    areas = [area] * bands if isinstance(area, str) else list(area)
    faces, numbers = [], []
    for band, name in enumerate(areas):
        a = band * sides + np.arange(sides)
        b = (band + 1) % count * sides + np.arange(sides)
        c, d = np.roll(b, -1), np.roll(a, -1)
        faces += [np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)]
        numbers += [NAMES.index(name)] * (2 * sides)
    if not closed:
        i = np.arange(sides // 2 - 1)
        j = sides - 1 - i
        lid = np.concatenate([np.stack([i, i + 1, j], 1), np.stack([i + 1, j - 1, j], 1)])
        faces += [lid, lid[:, ::-1] + (count - 1) * sides]
        numbers += [NAMES.index(areas[0])] * len(lid) + [NAMES.index(areas[-1])] * len(lid)
    points, whole = rings.reshape(-1, 3), np.concatenate(faces)
    corners = points[whole]
    volume = np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    return Shell(points, whole if volume > 0 else whole[:, ::-1], np.array(numbers, np.int64))
