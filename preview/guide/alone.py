"""Each area alone in the flat colours of its steps, seen from where most of it shows."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from preview.flow import Stand
from preview.guide.sides import ELEVATION, PAPER_WHITE
from preview.paint.look import Look, look_at
from preview.paint.painted import Painted
from preview.paint.picture import gather_picture, on_backdrop
from preview.paint.table import LEVELS
from preview.present.labels import spaced
from preview.present.part_labels import deepest_spots
from preview.present.tints import part_picture
from preview.present.vantage import Scout
from preview.ramp.levels import step_of_tone
from preview.ramp.words import Group, group_of
from preview.render.framing import framing
from preview.render.view import View
from preview.shape.threads import in_threads

AREA_PIXELS = 640

# Looked from for the view that shows most of an area.
_SCOUT_PIXELS = 160
_AZIMUTHS = tuple(45.0 * k for k in range(8))
_ELEVATIONS = (ELEVATION, 50.0, -25.0)
# A view from the usual height is kept unless another shows so many times more; of those from
# before the figure and beside it the same.
_MUCH_MORE, _MORE = 1.4, 1.2
_BEHIND_DEG = 100.0
# An area alone is shown with air around it, and never nearer than this share of the figure.
_AIR = 1.25
_NEAREST = 0.22
# Pieces with more than this share of the picture between them count as apart, and the largest is
# shown alone where that makes it so many times larger.
_APART = 0.12
_WORTH_ZOOMING = 1.5

# What the letters on an area's picture tell; the mid-tone is all the rest.
_MARKED: tuple[Group, ...] = ("shadow", "highlight")

# Letters stand beside the picture, so far apart as a share of its height.
_LETTER_ROOM = 0.16

# Linear light of the ghosts, turned away from the eye and facing it.
_GHOST_DIM, _GHOST_PALE = 0.62, 0.90


@dataclass(frozen=True)
class Mark:
    """Where steps of a group show most; x to the right and y down, as shares of the picture.

    at : how far down its letter stands beside the picture.
    """

    group: Group
    x: float
    y: float
    at: float


@dataclass(frozen=True, eq=False)
class AreaView:
    """One area in its paint, all else as ghosts.

    picture : (rows, columns, 3) uint8 sRGB on white paper.
    side : from where it is seen, in words.
    whole : whether it shows all pieces of the area, or the largest of several far apart.
    marks : where shadow and highlight show most.
    """

    picture: NDArray[np.uint8]
    side: str
    whole: bool
    marks: tuple[Mark, ...]


def area_views(stand: Stand, painted: Painted) -> dict[str, AreaView]:
    """Area -> it alone, seen from where most of it shows; areas that nothing shows are left out."""
    sculpt = painted.sculpt
    scout = Scout(sculpt.vertices, sculpt.area, len(sculpt.area_names), stand.renderer)
    front = framing(stand.outline, _SCOUT_PIXELS, _SCOUT_PIXELS, ELEVATION)
    views = [
        replace(front, azimuth_deg=azimuth, elevation_deg=elevation)
        for elevation in _ELEVATIONS
        for azimuth in _AZIMUTHS
    ]
    counts = np.array(list(in_threads(lambda view: scout.pixels(view, _SCOUT_PIXELS), views)))
    worth = counts * np.array([_liking(view) for view in views])[:, None]
    shown = [k for k in range(len(sculpt.area_names)) if counts[:, k].any()]

    def taken(area: int) -> AreaView:
        return _area_alone(stand, painted, area, views[int(np.argmax(worth[:, area]))])

    names = [sculpt.area_names[k] for k in shown]
    return dict(zip(names, in_threads(taken, shown), strict=True))


def _liking(view: View) -> float:
    """How much an area may show less in a view that people like better."""
    behind = abs((view.azimuth_deg + 180.0) % 360.0 - 180.0) > _BEHIND_DEG
    level = view.elevation_deg == ELEVATION
    return (_MUCH_MORE if level else 1.0) * (1.0 if behind else _MORE)


def _area_alone(stand: Stand, painted: Painted, area: int, like: View) -> AreaView:
    """One area in the flat colours of its steps, from the direction of a view, close by."""
    sculpt = painted.sculpt
    view = _close(painted, area, like)
    near = _on_largest_piece(stand, painted, area, view)
    seen = stand.renderer.see(near or view, 4)
    look = look_at(seen, sculpt.area, painted.corner_tone, None, lambda: sculpt.rays, None)
    own = look.area == area
    towards = np.asarray(view.axes()[2], dtype=np.float32)
    facing = np.abs(sculpt.normal[seen.face] @ towards)
    ghost = np.asarray(_GHOST_DIM + (_GHOST_PALE - _GHOST_DIM) * facing, dtype=np.float32)
    linear = np.where(own[:, None], painted.table.linear.reshape(-1, 3)[look.row], ghost[:, None])
    picture = on_backdrop(gather_picture(seen, linear.astype(np.float32)), PAPER_WHITE)
    return AreaView(picture, _from_where(like), near is None, _marks(painted, area, look))


def _marks(painted: Painted, area: int, look: Look) -> tuple[Mark, ...]:
    """A letter for the largest spot of shadow and of highlight that the view shows."""
    ramp = painted.ramp_of_area[area]
    if ramp is None:
        return ()
    tones = np.linspace(0.0, 1.0, LEVELS)
    number = {group: k for k, group in enumerate(_MARKED)}
    of_step = np.array([number.get(group_of(step.name), -1) for step in ramp.steps])
    group = of_step[step_of_tone(ramp, tones)][look.row % LEVELS]
    shown = np.full(look.seen.view.width * look.seen.view.height, -1, dtype=np.int32)
    shown[look.seen.pixel] = np.where(look.area == area, group, -1)
    size = float(look.seen.view.width)
    spots = deepest_spots(shown.reshape(look.seen.view.height, -1), len(_MARKED))
    spots = dict(sorted(spots.items(), key=lambda item: item[1].y))
    heights = spaced([spot.y for spot in spots.values()], size, _LETTER_ROOM * size)
    return tuple(
        Mark(_MARKED[k], spot.x / size, spot.y / size, y / size)
        for (k, spot), y in zip(spots.items(), heights, strict=True)
    )


def _close(painted: Painted, area: int, like: View) -> View:
    """A view from the same direction that shows the area large, with some of what is around it."""
    sculpt = painted.sculpt
    points = sculpt.corners[(sculpt.area == area) & sculpt.exposed].reshape(-1, 3)
    axes = np.stack(like.axes())
    along = points.astype(np.float64) @ axes.T
    low, high = along.min(axis=0), along.max(axis=0)
    x, y, z = (0.5 * (low + high)) @ axes
    return replace(
        like,
        target=(float(x), float(y), float(z)),
        distance_mm=math.inf,
        mm_per_pixel=_span_mm(painted, float((high - low)[:2].max())) / AREA_PIXELS,
        width=AREA_PIXELS,
        height=AREA_PIXELS,
        name="alone",
    )


def _span_mm(painted: Painted, shown_mm: float) -> float:
    """How wide a picture is taken of what is so large."""
    return max(_AIR * shown_mm, _NEAREST * float(np.ptp(painted.sculpt.vertices, axis=0).max()))


def _on_largest_piece(stand: Stand, painted: Painted, area: int, view: View) -> View | None:
    """The view drawn in on the area's largest piece; None where that would gain little."""
    from scipy.ndimage import distance_transform_edt, find_objects, label

    small = replace(view, width=_SCOUT_PIXELS, height=_SCOUT_PIXELS,
                    mm_per_pixel=view.mm_per_pixel * AREA_PIXELS / _SCOUT_PIXELS)  # fmt: skip
    own = part_picture(stand.renderer.see(small, 1), painted.sculpt.area) == area
    if not own.any():
        return None
    pieces, count = label(distance_transform_edt(~own) <= 0.5 * _APART * _SCOUT_PIXELS)
    sizes = np.bincount(pieces[own], minlength=count + 1)
    rows, columns = find_objects(np.where(own & (pieces == int(np.argmax(sizes))), 1, 0))[0]
    shown = max(rows.stop - rows.start, columns.stop - columns.start) * small.mm_per_pixel
    scale = _span_mm(painted, shown) / AREA_PIXELS
    if count == 1 or view.mm_per_pixel < _WORTH_ZOOMING * scale:
        return None
    right, up, _ = view.axes()
    middle = 0.5 * _SCOUT_PIXELS
    x = (0.5 * (columns.start + columns.stop) - middle) * small.mm_per_pixel
    y = (middle - 0.5 * (rows.start + rows.stop)) * small.mm_per_pixel
    target = np.asarray(view.target) + x * np.asarray(right) + y * np.asarray(up)
    return replace(
        view,
        target=(float(target[0]), float(target[1]), float(target[2])),
        mm_per_pixel=scale,
    )


def _from_where(view: View) -> str:
    """The direction of a view in words."""
    eighths = ("front", "front left", "left", "back left", "back", "back right", "right",
               "front right")  # fmt: skip
    side = eighths[round(view.azimuth_deg / 45.0) % 8]
    if view.elevation_deg > ELEVATION:
        return f"{side} and above"
    return f"{side} and below" if view.elevation_deg < 0 else side
