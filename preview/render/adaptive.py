"""Four samples a pixel in effect: one where the picture is even, four where it is not."""

from __future__ import annotations

from collections.abc import Sequence

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
    wide = view.width + 2
    row, column = np.divmod(seen.pixel, view.width)
    place = (row + 1) * wide + column + 1
    sample_at = np.full(wide * (view.height + 2), -1, np.int32)
    sample_at[place] = np.arange(len(place), dtype=np.int32)
    compare = _Compare(seen, sculpt, corner_tone, jumps)
    uneven = np.zeros(len(sample_at), np.bool_)
    for step in (1, wide):
        after = sample_at[place + step]
        for lone, beside in ((after < 0, step), (sample_at[place - step] < 0, -step)):
            uneven[place[lone]] = True
            uneven[place[lone] + beside] = True
        first = np.flatnonzero(after >= 0)
        first = first[compare.differ(first, after[first])]
        uneven[place[first]] = True
        uneven[place[first] + step] = True
    return uneven.reshape(view.height + 2, wide)[1:-1, 1:-1].ravel()


class _Compare:
    """What each sample shows, made ready for comparing neighbours."""

    def __init__(
        self, seen: Seen, sculpt: Sculpt, corner_tone: Floats | None, jumps: Sequence[float]
    ) -> None:
        _, _, back = seen.view.axes()
        self.area = sculpt.area[seen.face]
        self.facing = sculpt.normal[seen.face]
        self.depth = seen.depth
        cosine = np.abs(np.einsum("sx,x->s", self.facing, back.astype(np.float32)))
        cosine = np.maximum(cosine, np.float32(_STEEPEST_COSINE))
        pixel = np.float32(seen.view.mm_per_pixel)
        self.slope = pixel * np.sqrt(1 / (cosine * cosine) - 1)
        self.plain = pixel * np.float32(_DEPTH_PIXELS)
        self.tone = None if corner_tone is None else _tone_of(seen, corner_tone)
        self.step: NDArray[np.intp] | None = None
        if self.tone is not None and len(jumps):
            self.step = np.searchsorted(np.sort(np.asarray(jumps, np.float32)), self.tone, "right")

    def differ(self, a: NDArray[np.intp], b: NDArray[np.int32]) -> NDArray[np.bool_]:
        """Whether sample a and its neighbour b show different things."""
        differ: NDArray[np.bool_] = self.area[a] != self.area[b]
        jump = np.abs(self.depth[a] - self.depth[b])
        differ |= jump > self.plain + np.maximum(self.slope[a], self.slope[b])
        cosine = np.einsum("sx,sx->s", self.facing[a], self.facing[b])
        differ |= cosine < np.float32(_FACING_COSINE)
        if self.tone is not None:
            differ |= np.abs(self.tone[a] - self.tone[b]) > np.float32(_TONE_STEP)
        if self.step is not None:
            differ |= self.step[a] != self.step[b]
        return differ


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
