"""A figure with exact areas built of shells: the woman who rows stores out to a lighthouse."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tests.areas.figures.fields import Array, Figure, Shell, Vec, side_by_side

Row = tuple[float, float, float, float, float, str]
NAMES = ("ground", "wood", "metal", "leather", "skirt", "canvas", "oilskin", "trim", "skin", "hair")
RIGHT: Vec = (1.0, 0.0, 0.0)
BACK: Vec = (0.0, 1.0, 0.0)
UP: Vec = (0.0, 0.0, 1.0)


def ferrywoman() -> Figure:
    """All shells, pushed into each other."""
    shells = [*_quay(), *_stores(), *_below(), *_above(), *_arms(), *_oar()]
    shells += [_turned(shell, -14.0, (0.0, 0.0)) for shell in _head()]
    return side_by_side(shells, NAMES)


def _rows(text: str, x: float = 0.0, y: float = 0.0) -> list[Row]:
    """Rows as `x y z a b`, `x y z r`, `z a b` or `z r`, an area named where it starts."""
    found, area = [], ""
    for part in text.split(","):
        words = part.split()
        if words[0] in NAMES:
            area = words.pop(0)
        numbers = [float(word) for word in words]
        if len(numbers) < 4:
            numbers = [0.0, 0.0, *numbers]
        east, north, z, first = numbers[:4]
        found.append((east + x, north + y, z, first, numbers[-1], area))
    return found


def _rings(
    rows: list[Row], sides: int, along: Vec | None, across: Vec = BACK, square: float = 2.0
) -> Array:
    """Ring of places for each row, square to the path or to a given direction."""
    middles, reach = np.array([row[:3] for row in rows]), np.array([row[3:5] for row in rows])
    onward = np.gradient(middles, axis=0) if along is None else np.tile(along, (len(rows), 1))
    onward /= np.linalg.norm(onward, axis=1, keepdims=True)
    first = np.cross(across, onward)
    first /= np.linalg.norm(first, axis=1, keepdims=True)
    axes = np.stack([first, np.cross(onward, first)], axis=1)
    turn = (np.arange(sides) + 0.5) * 2 * np.pi / sides
    wave = np.stack([np.cos(turn), np.sin(turn)])
    wave = np.sign(wave) * np.abs(wave) ** (2 / square)
    arms: Array = np.einsum("ra,as,rak->rsk", reach, wave, axes)
    return middles[:, None] + arms


def _woven(grid: Array, areas: Sequence[str], around: bool) -> Shell:
    """Two faces between each four neighbours of a grid, split along the shorter way."""
    count, sides = grid.shape[:2]
    index = np.arange(count * sides).reshape(count, sides)
    if around:
        index = np.concatenate([index, index[:, :1]], axis=1)
    a, b, c, d = (
        part.ravel() for part in (index[:-1, :-1], index[:-1, 1:], index[1:, 1:], index[1:, :-1])
    )
    places = grid.reshape(-1, 3)
    straight = np.linalg.norm(places[a] - places[c], axis=1)
    other = np.linalg.norm(places[b] - places[d], axis=1)
    short = (straight <= other + 1e-6)[:, None]
    faces = np.where(short, np.stack([a, b, c, a, c, d], 1), np.stack([a, b, d, b, c, d], 1))
    numbers = np.array([NAMES.index(name) for name in areas[: count - 1]])
    return Shell(places, faces.reshape(-1, 3), numbers.repeat(2 * len(faces) // (count - 1)))


def _ended(grid: Array, rows: list[Row], rough: float) -> Shell:
    """A woven tube made a little uneven, its ends filled; an area reaches up to the next row."""
    waves = np.array([[2.9, 5.3, 4.1], [4.7, 2.3, 5.9], [5.1, 4.3, 2.7]])
    above = np.clip(grid[..., 2:] / 0.5, 0.0, 1.0)
    grid = grid + rough * above * np.sin(grid @ waves)
    areas = [row[5] for row in rows]
    body = _woven(grid, areas, around=True)
    count, sides = grid.shape[:2]
    here, low = np.arange(sides), np.full(sides, count * sides)
    top = here + (count - 1) * sides
    bottom = np.stack([np.roll(here, -1), here, low], 1)
    crown = np.stack([top, np.roll(top, -1), low + 1], 1)
    ends = [NAMES.index(areas[0])] * sides + [NAMES.index(areas[-1])] * sides
    return Shell(
        np.concatenate([body.vertices, grid[[0, -1]].mean(axis=1)]),
        np.concatenate([body.faces, bottom, crown]),
        np.concatenate([body.area, ends]),
    )


def _path(rows: list[Row], sides: int, across: Vec = BACK, rough: float = 0.0) -> Shell:
    """A tube whose rings stand square to its path."""
    return _ended(_rings(rows, sides, None, across), rows, rough)


def _pile(
    rows: list[Row], sides: int, rough: float = 0, square: float = 2, along: Vec = UP
) -> Shell:
    """A tube whose rings all lie the same way, level if not told otherwise."""
    return _ended(_rings(rows, sides, along, square=square), rows, rough)


def _turned(shell: Shell, degrees: float, about: tuple[float, float]) -> Shell:
    """The shell turned about an upright line."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    pivot = np.array([*about, 0.0])
    turn = np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    return Shell((shell.vertices - pivot) @ turn + pivot, shell.faces, shell.area)


def _quay() -> list[Shell]:
    """The stone underfoot and three blocks lying on it."""
    stone = "ground 0 11.6 11.2, 0.9 11.4 11, 1.5 10.7 10.4, 1.8 9.4 9.1, 1.85 7.4 7.2, 1.8 5.2 5"
    found = [_pile(_rows(stone + ", 1.8 2.8 2.7"), 28, rough=0.17)]
    for x, y, size, degrees in ((7.4, 5.2, 2.3, 20), (8.9, 2.2, 1.3, 50), (-1.2, -9.2, 1.2, 75)):
        block = []
        for height, share in ((0.3, 1.0), (1.2, 1.0), (1.9, 0.86), (2.2, 0.5)):
            z, wide = 0.7 + height * size * 0.65, share * size
            block.append((x, y, z, wide * 1.2, wide, "ground"))
        found.append(_turned(_pile(block, 12, rough=0.14, square=4.0), degrees, (x, y)))
    return found


def _stores() -> list[Shell]:
    """A cask and a sack to take across."""
    cask = (
        "metal 1.6 2.0, wood 2.5 2.3, metal 3.3 2.48, wood 4.0 2.58, 5.0 2.62, metal 6.0 2.58,"
        "wood 6.7 2.48, metal 7.5 2.3, wood 8.4 2.0, 8.4 1.7, 8.05 1.6"
    )
    sack = (
        "canvas 1.5 2.2 1.94, 2.2 2.75 2.42, 3.3 2.85 2.5, 4.5 2.5 2.2, 5.6 1.8 1.58,"
        "leather 6.3 1.0 0.88, canvas 6.9 0.95 0.84, 7.5 1.4 1.23, 8.2 1.75 1.54, 7.7 1.05 0.92"
    )
    return [_pile(_rows(cask, -5.5, 6.1), 18), _pile(_rows(sack, 5.3, -6.4), 16, rough=0.1)]


def _below() -> list[Shell]:
    """Boots, skirt and apron."""
    boot = (
        "leather 9.2 1.65 1.6, 7.6 1.55 1.5, 6 1.4, 4.7 1.4 1.35, 0 -.1 3.7 1.6 1.35,"
        "0 -.8 3.1 1.5 1.35, 0 -1.8 2.9 1.15 1.45,"
        "metal 0 -2.7 2.75 1 1.5, 0 -3.5 2.6 .85 1.3, 0 -4.1 2.5 .5 .8"
    )
    sole = "leather 0 -1.3 1.5 1.4 2.8, 0 -1.3 2.25 1.5 2.95"
    found = []
    for x, y, degrees in ((-2.0, 0.9, -16.0), (2.0, 0.0, 13.0)):
        foot = _path(_rows(boot, x, y), 14, RIGHT, rough=0.03)
        under = _pile(_rows(sole, x, y), 16, square=2.6)
        found += [_turned(part, degrees, (x, y)) for part in (foot, under)]
    skirt = (
        "skirt 8.4 4.5 4.1, trim 6.3 5.3 4.9, 6.0 5.75 5.3, skirt 7.0 5.6 5.15, 8.2 5.35 4.9,"
        "9.5 5.0 4.55, 11.0 4.5 4.05, 12.5 3.95 3.5, 14.0 3.35 2.9, 15.5 2.8 2.3"
    )
    rows = _rows(skirt, y=0.2)
    grid, column = _rings(rows, 44, UP), np.arange(44)
    fold = np.cos((column + 0.5) * np.pi / 2)
    deep = np.clip((15.0 - grid[:, :1, 2]) / 9.0, 0.0, 1.0) * 0.055
    grid[..., :2] *= (1 + deep * fold + 0.02 * np.sin(2.0 * column))[..., None]
    apron = grid[4:9, 26:41].copy()
    apron[..., :2] *= 1.055
    apron[:, [0, -1], :2] *= 0.92
    apron[0, :, :2] *= 0.93
    return [*found, _ended(grid, rows, 0.05), _woven(apron, ["canvas"] * 4, around=False)]


def _above() -> list[Shell]:
    """Jacket, belt, buttons and neckerchief."""
    jacket = (
        "oilskin 0 .2 13.6 3.2 2.7, 0 .2 12.5 4.2 3.75, 0 .2 12.4 4.55 4.1, 0 .2 13.5 4.1 3.6,"
        "0 .1 14.6 3.5 3, 15.6 3.1 2.5, 0 -.1 16.8 3.3 2.65, 0 -.3 18.2 3.6 3, 0 -.4 19.5 3.8 3.2,"
        "0 -.2 20.7 3.9 2.9, 0 .1 21.8 3.7 2.4, 0 .1 22.6 2.7 1.9, 23.2 1.7 1.5"
    )
    belt = _rows("leather 15.0 2.9 2.3, 15.0 3.65 3.05, 16.2 3.6 2.95, 16.2 2.9 2.3")
    found = [_pile(_rows(jacket), 24, rough=0.05, square=2.3)]
    found.append(_woven(_rings(belt, 24, UP, square=2.3), ["leather"] * 3, around=True))
    buckle = "metal 0.1 -2.6 15.6 1.0 0.85, 0.1 -3.25 15.6 1.0 0.85, 0.1 -3.45 15.6 0.75 0.6"
    ahead, rows = (0.0, -1.0, 0.0), _rows(buckle)
    found.append(_ended(_rings(rows, 8, ahead, UP, square=5.0), rows, 0.0))
    for z, y in ((13.6, -3.35), (17.3, -2.75), (18.7, -3.3)):
        button = f"metal 0.1 0.3 {z} 0.5, 0.1 -0.15 {z} 0.5, 0.1 -0.35 {z} 0.3"
        found.append(_path(_rows(button, y=y), 9, UP))
    scarf = "trim 21.7 2.4 1.9, 0 -.2 21.9 3 2.5, 0 -.2 22.6 2.75 2.3, 23.4 1.95 1.8, 23.5 1.4 1.3"
    found.append(_pile(_rows(scarf), 18, rough=0.1))
    knot = "trim -0.9 -2.6 21.9 0.5 0.4, -0.2 -2.8 21.85 0.75 0.65, 0.5 -2.6 21.9 0.5 0.4"
    tails = (
        "-0.9 -3.2 20.9 0.7 0.28, -1.5 -3.75 19.6 0.95 0.26, -1.65 -3.75 19.2 0.75 0.2",
        "0.48 -3.2 20.9 0.7 0.28, 0.8 -3.85 20.0 0.95 0.26, 0.88 -3.85 19.6 0.75 0.2",
    )
    found.append(_path(_rows(knot), 8, UP))
    return found + [_path(_rows("trim -0.2 -2.7 21.8 0.45 0.3," + tail), 8) for tail in tails]


def _fist(wrist: Vec, bar: Vec, onward: Vec, thick: float, curl: float) -> list[Shell]:
    """A hand closed about a bar: palm, four fingers and thumb."""
    start, middle = np.array(wrist), np.array(bar)
    line = np.array(onward) / np.linalg.norm(onward)
    back = start - middle - ((start - middle) @ line) * line
    back /= np.linalg.norm(back)
    side = np.cross(line, back) * curl
    heel = middle + back * (thick + 0.55) + side * 0.25
    end = heel - back * 0.55 + side * 0.2
    places, sizes = (start, (start + heel) / 2, heel, end), (0.8, 1.0, 1.3, 1.05)
    both = zip(places, sizes, (0.75, 0.75, 0.7, 0.6), strict=True)
    palm = [(*place.tolist(), wide, deep, "skin") for place, *(wide, deep) in both]
    found = [_path(palm, 10, tuple(np.cross(line, back).tolist()))]
    bent, apart = np.linspace(25, 205, 6), np.linspace(-10, -130, 5)
    for step, turns in ((-1.05, bent), (-0.35, bent), (0.35, bent), (1.05, bent), (1.2, apart)):
        across, up = np.cos(np.radians(turns))[:, None], np.sin(np.radians(turns))[:, None]
        way = middle + line * step + (thick + 0.3) * (back * across + side * up)
        radii = [0.4 if turns is bent else 0.44] * (len(turns) - 1) + [0.3]
        finger = [(*p, r, r, "skin") for p, r in zip(way.tolist(), radii, strict=True)]
        found.append(_path(finger, 7, tuple(line.tolist())))
    return found


def _arms() -> list[Shell]:
    """Sleeves with cuffs, hands, and the can of lamp oil that one of them carries."""
    sleeves = (
        "oilskin -2.1 0.1 20.9 1.3, -4.2 0.4 20.5 1.7, -6.0 1.2 19.0 1.65, -6.8 0.9 17.9 1.55,"
        "-7.1 -0.3 17.7 1.5, -7.15 -1.5 18.1 1.4, trim -7.15 -2.4 18.5 1.45, -7.1 -3.1 18.8 1.5",
        "oilskin 2.1 0.1 20.9 1.3, 4.1 0.4 20.4 1.7, 5.4 0.9 18.9 1.65, 6.1 0.9 17.4 1.55,"
        "6.8 0.4 16.2 1.5, 7.4 -0.1 15.2 1.4, trim 7.7 -0.4 14.4 1.45, 7.9 -0.6 13.7 1.5",
    )
    found = [_path(_rows(sleeve), 14, (1.0, 1.0, 0.0), rough=0.06) for sleeve in sleeves]
    found += _fist((-7.1, -2.8, 18.8), (-7.0, -4.6, 19.3), (0.04, 0.03, 1.0), 0.6, 1.0)
    found += _fist((7.9, -0.6, 13.7), (8.1, -0.9, 12.1), BACK, 0.35, -1.0)
    can = "metal 4.4 1.85, 4.7 2.05, 8.4 2.05, 9.3 1.4, 9.7 0.9, 10.4 0.85"
    turns = np.radians(np.linspace(-15, 195, 9))
    arch = np.stack([-0.9 - 1.8 * np.cos(turns), 9.0 + 3.1 * np.sin(turns)], axis=1)
    handle = [(8.1, y, z, 0.32, 0.32, "metal") for y, z in arch.tolist()]
    spout = _rows("metal 8.6 -2.2 7.6 0.75, 9.0 -3.3 8.6 0.5, 9.3 -4.2 10.2 0.38")
    found += [_path(handle, 7, RIGHT), _path(spout, 7, RIGHT)]
    return [*found, _pile(_rows(can, 8.1, -0.9), 16)]


def _oar() -> list[Shell]:
    """The oar stood on its grip, its blade up and shod with sheet metal; heights are shares."""
    shape = (
        "wood 0 0.45, 0.015 0.6, 0.05 0.6, 0.1 0.6, 0.15 0.6, 0.2 0.6, 0.25 0.6, 0.3 0.6,"
        "leather 0.35 0.6, 0.4 0.6, wood 0.45 0.6, 0.5 0.6, 0.55 0.6, 0.6 0.6, 0.64 0.6,"
        "0.69 0.75 0.55, 0.74 1.1 0.5, trim 0.79 1.5 0.45, 0.84 1.72 0.42, wood 0.88 1.8 0.38,"
        "metal 0.925 1.8 0.36, 0.97 1.7 0.32, 1 1.3 0.26"
    )
    low, high = np.array([-7.6, -5.0, 1.6]), np.array([-6.4, -4.2, 34.4])
    rows = [(*(low + (high - low) * row[2]).tolist(), *row[3:]) for row in _rows(shape)]
    return [_path(rows, 10)]


def _head() -> list[Shell]:
    """Face, hair, plait and storm hat."""
    face = (
        "skin 0 .1 22.4 1.3, 23.9 1.25 1.3, 0 -.75 24 1.2 1.45, 0 -.65 24.5 1.6 1.85,"
        "0 -.4 25.3 1.95 2.2, 0 -.3 26.1 2.15 2.35, 0 -.15 26.7 2.15 2.2, 0 -.3 27.2 2.2 2.4,"
        "0 -.2 28.4 2 2.2, 0 -.1 29.3 1.3 1.4"
    )
    nose = "skin 0 -2.2 26.9 .25 .3, 0 -2.6 26.2 .35 .4, 0 -2.75 25.7 .5, 0 -2.5 25.4 .35 .3"
    brow = "hair {0}.4 -2.5 26.9 .26, {0}1 -2.35 27.1 .26, {0}1.6 -1.95 26.9 .18"
    hair = (
        "hair 0 1.3 23.2 1.5 1.1, 0 1.1 24.5 2.2 1.6, 0 0.85 25.6 2.55 2.0,"
        "0 0.5 26.6 2.6 2.3, 27.5 2.55 2.65, 28.6 2.2 2.3"
    )
    plait = (
        "hair 1.6 1.6 24.6 .7 .6, 2.3 1.0 24.1 1.05 .89, 2.8 0.2 23.6 .7 .6, 3 -0.7 23.1 1.05 .89,"
        "3 -1.6 22.6 .7 .6, 2.9 -2.4 21.9 1.05 .89, 2.7 -2.9 21.1 .68 .58, 2.5 -3.25 20.3 1 .85,"
        "2.35 -3.5 19.5 .6 .51, trim 2.2 -3.6 18.8 .5 .43, hair 2.15 -3.6 18.3 .5 .43,"
        "2.05 -3.55 17.6 .75 .64, 2 -3.4 16.8 .35 .3"
    )
    hat = (
        "oilskin 27.6 2.3 2.4, 0 .7 26.9 4 4.4, 0 .7 27.15 4.1 4.5, 0 .35 27.7 3.3 3.5,"
        "trim 0 .1 28.2 2.8 2.9, oilskin 0 .1 28.9 2.65 2.75, 0 .1 29.8 2.3 2.4, 0 .1 30.6 1.6 1.7,"
        "0 .1 31 .8 .9"
    )
    return [
        *(_pile(_rows(face), 18), _path(_rows(nose), 8)),
        *(_path(_rows(brow.format(sign)), 6, UP) for sign in "-+"),
        *(_pile(_rows(hair), 18, rough=0.1), _path(_rows(plait), 9, RIGHT)),
        _pile(_rows(hat), 20, rough=0.05, along=(0.0, 0.16, 1.0)),
    ]
