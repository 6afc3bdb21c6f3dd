"""What a painter may mark or draw on a piece of a figure that has the wrong area."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from preview.areas.analysis.surface import Surface
from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.model import BELT, DISC, HEIGHTS, OUTLINE, POINT, STROKE, Mark, Spot
from preview.shape.neighbours import joined

# How far marks grow, in lengths or widths of the piece; how many places a traced line has at most,
# and how far from the ends of the piece, in its widths.
_REACHES = (0.6, 1.0)
_PLACES = 7
_SHORT = 0.4
# In widths of the piece, each about a quarter larger than the last.
_SIZES = (0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5)
_BELTS = (0.25, 0.5, 0.75, 0.95)
# How many corners an outline has at most, and how large the picture is that it is drawn on.
_CORNERS = (5, 8)
_PIXELS = 96


@dataclass(frozen=True, eq=False)
class Wrong:
    """A piece of one true area that has another label, connected or of shells that touch.

    inside : (faces,) bool.
    face : in its middle.
    depth : (faces,) mm, from each face of the piece to its border, along the surface.
    """

    inside: NDArray[np.bool_]
    face: int
    depth: NDArray[np.float64]

    @property
    def wide_mm(self) -> float:
        """How wide the piece is in its middle."""
        return 2 * float(self.depth[self.face])


def traced(figure: MarkedFigure, own: Surface, wrong: Wrong) -> tuple[Spot, ...]:
    """Places along the middle of a piece; none where it has no width."""
    return _spots(figure, _along(own, wrong)) if wrong.wide_mm > 0 else ()


def growing(
    figure: MarkedFigure, own: Surface, wrong: Wrong, name: str, line: tuple[Spot, ...]
) -> list[Mark]:
    """Marks that grow from the middle, or from a line along the piece: freely, or within a reach.

    A line goes straight from end to end, or is the traced one.
    """
    point = mark_on(figure, wrong.face, name)
    lines = [_straight(figure, own, wrong, point)]
    if line:
        lines.append(replace(point, spots=line))
    away = np.linalg.norm(own.centre[wrong.inside] - own.centre[wrong.face], axis=1)
    long = float(np.quantile(away, 0.98))
    within = [replace(point, size=k * long) for k in _REACHES if long > 0]
    if wrong.wide_mm > 0:
        within += [replace(line, size=k * wrong.wide_mm) for line in lines for k in _REACHES]
    return [point, *lines, *within]


def shapes(
    figure: MarkedFigure, own: Surface, wrong: Wrong, name: str, line: tuple[Spot, ...]
) -> list[Mark]:
    """What covers a piece, or comes near it; with the images of it, and of a growing mark."""
    point = mark_on(figure, wrong.face, name)
    height = own.centre[:, 2] - float(figure.vertices[:, 2].min())
    low, half, high = np.percentile(height[wrong.inside], (1, 50, 99)) + np.array((-0.05, 0, 0.05))
    wide = wrong.wide_mm
    drawn = [replace(point, kind=DISC, size=k * wide) for k in _SIZES]
    if len(line) > 1:
        drawn += [replace(point, kind=STROKE, size=k * wide, spots=line) for k in _SIZES]
    bands = [
        replace(point, kind=HEIGHTS, low=float(a), high=float(b))
        for a, b in ((low, high), (low, half), (half, high))
    ]
    drawn += _belts(figure, own, wrong, point) + _outlines(figure, own, wrong, point)
    # Where the file counts marks on both sides, their images are there already.
    images = [] if figure.analysis.both_sides else [point, *drawn]
    return [*drawn, *bands, *(replace(mark, mirror=True) for mark in images)]


def _straight(figure: MarkedFigure, own: Surface, wrong: Wrong, point: Mark) -> Mark:
    """A mark that grows from a straight line along a piece, through its middle."""
    start, end = _spots(figure, _ends(own, wrong))
    return replace(point, spots=(start, *point.spots, end))


def _ends(own: Surface, wrong: Wrong) -> tuple[int, int]:
    """The faces at both ends of a piece."""
    which = np.flatnonzero(wrong.inside & (own.mm2 > 0))
    middle = own.centre[which] - own.centre[which].mean(axis=0)
    along = middle @ np.linalg.svd(middle.T @ middle)[0][:, 0]
    return int(which[np.argmin(along)]), int(which[np.argmax(along)])


def _along(own: Surface, wrong: Wrong) -> list[int]:
    """Faces along the middle of the piece on its shell, from one end of it to the other."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import dijkstra

    inside = wrong.inside & (own.shell == own.shell[wrong.face])
    which = np.flatnonzero(inside)
    place = np.cumsum(inside) - 1
    steps = np.flatnonzero(inside[own.left] & inside[own.right])
    left, right = place[own.left[steps]], place[own.right[steps]]
    step = np.maximum(own.step[steps], 1e-6)

    def ways(cost: NDArray[np.float64], start: int) -> tuple[NDArray[np.float64], NDArray[np.int_]]:
        net = coo_array((cost, (left, right)), shape=(len(which), len(which))).tocsr()
        return dijkstra(net, directed=False, indices=start, return_predecessors=True)

    def farthest(start: int) -> int:
        away = ways(step, start)[0]
        return int(np.argmax(np.where(np.isfinite(away), away, -1.0)))

    one = farthest(int(place[wrong.face]))
    other = farthest(one)
    deep = np.maximum(np.minimum(wrong.depth[own.left[steps]], wrong.depth[own.right[steps]]), 1e-3)
    before = ways(step * (1 + (0.5 * wrong.wide_mm / deep) ** 2), one)[1]
    path = [other]
    while before[path[-1]] >= 0:
        path.append(int(before[path[-1]]))
    faces = which[path]
    along = np.linalg.norm(np.diff(own.centre[faces], axis=0), axis=1)
    gone = np.concatenate(([0.0], np.cumsum(along)))
    short = min(_SHORT * wrong.wide_mm, gone[-1] / 2)
    wanted = np.linspace(short, gone[-1] - short, _PLACES)
    near = np.abs(gone[:, None] - wanted).argmin(axis=0)
    return list(dict.fromkeys(faces[near].tolist()))


def _belts(figure: MarkedFigure, own: Surface, wrong: Wrong, point: Mark) -> list[Mark]:
    """Belts through three places far apart in a piece, in four widths up to its own."""
    deep = np.flatnonzero(wrong.inside & (wrong.depth >= 0.25 * wrong.wide_mm))
    away = own.centre - own.centre[wrong.face]
    second = int(deep[np.argmax(np.linalg.norm(away[deep], axis=1))])
    beside = np.cross(away, away[second])
    third = int(deep[np.argmax(np.linalg.norm(beside[deep], axis=1))])
    long = float(np.linalg.norm(beside[third]))
    if not long:
        return []
    off = np.abs(away[wrong.inside] @ beside[third]) / long
    spots = _spots(figure, (wrong.face, second, third))
    return [
        replace(point, kind=BELT, size=float(2 * half + 0.02), spots=spots)
        for half in np.quantile(off, _BELTS)
    ]


def _outlines(figure: MarkedFigure, own: Surface, wrong: Wrong, point: Mark) -> list[Mark]:
    """Outlines of a piece as one sees it from straight above its middle, with a few corners."""
    from skimage.measure import approximate_polygon, find_contours

    axis = own.normal[wrong.face]
    for _ in range(2):
        facing = wrong.inside & (own.normal @ axis > 0)
        facing[wrong.face] = True
        pairs = facing[own.left] & facing[own.right]
        _, piece = joined(len(facing), own.left[pairs], own.right[pairs])
        which = np.flatnonzero(facing & (piece == piece[wrong.face]))
        axis = own.mm2[which] @ own.normal[which]
        axis /= np.linalg.norm(axis)
    plane = np.linalg.svd(axis[None])[2][1:]
    corners = own.vertices[own.faces[which]] @ plane.T
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    cell = float((high - low).max()) / _PIXELS
    seen = Image.new("1", (_PIXELS + 4, _PIXELS + 4))
    pen = ImageDraw.Draw(seen)
    for triangle in ((corners - low) / cell + 2.0).tolist():
        pen.polygon([(x, y) for x, y in triangle], fill=1)
    rims = find_contours(np.asarray(seen, dtype=np.float64), 0.5)
    if not rims:
        return []
    rim = max(rims, key=len)[:, ::-1]
    middle = own.centre[which] @ plane.T
    marks = []
    for most in _CORNERS:
        loose = next(
            shape for k in range(_PIXELS) if len(shape := approximate_polygon(rim, k)) <= most + 1
        )
        places = (loose[:-1] - 2.0) * cell + low
        if len(places) < 3:
            continue
        near = [int(which[np.argmin(np.linalg.norm(middle - at, axis=1))]) for at in places]
        marks.append(replace(point, kind=OUTLINE, spots=_spots(figure, near)))
    return marks


def _spots(figure: MarkedFigure, faces: Sequence[int]) -> tuple[Spot, ...]:
    """The middles of some faces."""
    return tuple(mark_on(figure, face, "").spots[0] for face in faces)


def mark_on(figure: MarkedFigure, face: int, name: str) -> Mark:
    """A mark at the middle of a face."""
    at = figure.vertices[figure.sculpt.faces[face]].mean(axis=0)
    normal = figure.sculpt.normal[face]
    spot = Spot(
        (float(at[0]), float(at[1]), float(at[2])),
        (float(normal[0]), float(normal[1]), float(normal[2])),
    )
    return Mark(name, POINT, "simulated", (spot,))
