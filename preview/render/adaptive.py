"""Four samples a pixel in effect: one where the picture is even, four where it is not."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.render.rays import RayRenderer
from preview.render.seen import Renderer, Seen
from preview.render.view import View

SAMPLES = 4
_TONE_STEP = 0.1
_FACING_COSINE = 0.9
_DEPTH_PIXELS = 2.0
_STEEPEST_COSINE = 0.15

Floats = NDArray[np.float32]
Part = tuple[slice, slice] | slice
Kind = TypeVar("Kind", np.float32, np.int32)


def see_adaptive(
    renderer: Renderer,
    view: View,
    sculpt: Sculpt,
    corner_tone: Floats | None = None,
    samples: int = SAMPLES,
    jumps: Sequence[float] = (),
) -> Seen:
    """What a picture needs: one sample where pixels are alike, `samples` where they differ.

    A pixel counts as different when it and a neighbour see another area, one of them nothing, a
    depth that the slope does not explain, another facing, or another tone.

    Parameters
    ----------
    renderer : rays; any other takes all samples of all pixels.
    view : the camera.
    sculpt : areas and facings.
    corner_tone : (faces, 3) float32, in [0, 1]; None leaves tone aside.
    samples : per differing pixel, a square number.
    jumps : tones at which the colour jumps, such as the hard edges of layered steps; pixels on
        either side of one differ.

    Returns
    -------
    seen : the single samples first, then those of the differing pixels.
    """
    if not isinstance(renderer, RayRenderer):
        return renderer.see(view, samples)
    one = renderer.see(view, 1)
    uneven = uneven_pixels(one, sculpt, corner_tone, jumps)
    more = renderer.see_pixels(view, np.flatnonzero(uneven).astype(np.int32), samples)
    return _joined(one, np.flatnonzero(~uneven[one.pixel]), more)


def uneven_pixels(
    seen: Seen,
    sculpt: Sculpt,
    corner_tone: Floats | None = None,
    jumps: Sequence[float] = (),
) -> NDArray[np.bool_]:
    """Which pixels differ from a neighbour, by what one sample in the middle of each sees.

    Parameters
    ----------
    seen : one sample per pixel.
    sculpt, corner_tone, jumps : as for `see_adaptive`.

    Returns
    -------
    uneven : (height * width,) bool.
    """
    view = seen.view
    uneven = np.zeros((view.height, view.width), np.bool_)
    if len(seen.pixel) == 0:
        return uneven.ravel()
    shown = _Shown(seen, sculpt, corner_tone, jumps)
    found = uneven[shown.window]
    for before, after in (
        (np.s_[:, :-1], np.s_[:, 1:]),
        (np.s_[:-1], np.s_[1:]),
    ):
        differ = shown.differ(before, after)
        found[before] |= differ
        found[after] |= differ
    return uneven.ravel()


class _Shown:
    """What each pixel shows, as pictures of the part of the view that shows the sculpt.

    window : that part, with a border of one pixel where the view has it.
    """

    def __init__(
        self, seen: Seen, sculpt: Sculpt, corner_tone: Floats | None, jumps: Sequence[float]
    ) -> None:
        view = seen.view
        row, column = np.divmod(seen.pixel, view.width)
        top, left = max(int(row.min()) - 1, 0), max(int(column.min()) - 1, 0)
        bottom, right = int(row.max()) + 2, int(column.max()) + 2
        self.window = np.s_[top:bottom, left:right]
        self._shape = min(bottom, view.height) - top, min(right, view.width) - left
        self._place = (row - top) * self._shape[1] + (column - left)
        self._area = self._picture(sculpt.area[seen.face], -1)
        self._depth = self._picture(seen.depth, 0)
        facing = sculpt.normal[seen.face]
        # Where there is nothing, all faces alike.
        self._facing = [self._picture(part, 1 if k == 0 else 0) for k, part in enumerate(facing.T)]
        self._slope = self._picture(_rise(facing, view), 0)
        self._plain = np.float32(view.mm_per_pixel * _DEPTH_PIXELS)
        tone = None if corner_tone is None else _tone_of(seen, corner_tone)
        self._tone = None if tone is None else self._picture(tone, 0)
        self._step: NDArray[np.int32] | None = None
        if tone is not None and len(jumps):
            edges = np.sort(np.asarray(jumps, np.float32))
            self._step = self._picture(np.searchsorted(edges, tone, "right").astype(np.int32), 0)

    def differ(self, a: Part, b: Part) -> NDArray[np.bool_]:
        """Whether the pixels of part a and their neighbours in part b show different things."""
        differ: NDArray[np.bool_] = self._area[a] != self._area[b]
        jump = np.abs(self._depth[a] - self._depth[b])
        differ |= jump > self._plain + np.maximum(self._slope[a], self._slope[b])
        cosine = self._facing[0][a] * self._facing[0][b]
        cosine += self._facing[1][a] * self._facing[1][b]
        cosine += self._facing[2][a] * self._facing[2][b]
        differ |= cosine < np.float32(_FACING_COSINE)
        if self._tone is not None:
            differ |= np.abs(self._tone[a] - self._tone[b]) > np.float32(_TONE_STEP)
        if self._step is not None:
            differ |= self._step[a] != self._step[b]
        return differ

    def _picture(self, values: NDArray[Kind], nothing: float) -> NDArray[Kind]:
        """The samples' values, each at its pixel."""
        picture = np.full(self._shape[0] * self._shape[1], nothing, values.dtype)
        picture[self._place] = values
        return picture.reshape(self._shape)


def _rise(facing: Floats, view: View) -> Floats:
    """How much the depth changes to the next pixel along the plane of each face, mm."""
    _, _, back = view.axes()
    cosine = np.abs(np.einsum("sx,x->s", facing, back.astype(np.float32)))
    cosine = np.maximum(cosine, np.float32(_STEEPEST_COSINE))
    rise = np.float32(view.mm_per_pixel) * np.sqrt(1 / (cosine * cosine) - 1)
    return np.asarray(rise, dtype=np.float32)


def _tone_of(seen: Seen, corner_tone: Floats) -> Floats:
    """The tone at each sample, blended between the corners of its face."""
    corner = corner_tone[seen.face]
    u, v = seen.bary.T
    tone: Floats = corner[:, 0].copy()
    tone += (corner[:, 1] - corner[:, 0]) * u
    tone += (corner[:, 2] - corner[:, 0]) * v
    return tone


def _joined(one: Seen, kept: NDArray[np.intp], more: Seen) -> Seen:
    """The kept samples of one and all of another."""
    return Seen(
        view=one.view,
        pixel=np.concatenate([one.pixel[kept], more.pixel]),
        weight=np.concatenate([one.weight[kept], more.weight]),
        face=np.concatenate([one.face[kept], more.face]),
        bary=np.concatenate([one.bary[kept], more.bary]),
        depth=np.concatenate([one.depth[kept], more.depth]),
    )
