"""Frames of one turn, and the same as animated WebP and GIF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.optics.srgb_iec61966 import linear_from_srgb8
from preview.paint.picture import Picture, on_backdrop, with_alpha
from preview.present.png import write_png
from preview.progress import Progress, silent
from preview.render.view import View
from preview.shape.compiled import compiled
from preview.shape.threads import in_threads

Shot = Callable[[View], NDArray[np.uint8]]

# A turn takes 3.6 seconds: slow enough to follow, short enough to wait for.
_TURN_MS = 3600
_ANIMATION_PIXELS = 640
_GIF_PALETTE_FRAMES = 4
_BLACK = np.zeros(3, np.float32)


def write_frames(
    folder: Path, views: Sequence[View], shoot: Shot, progress: Progress = silent
) -> list[Image.Image]:
    """Write frame-000.png …; gives them at the size of the animations.

    Parameters
    ----------
    views : one per frame, in order.
    shoot : makes the picture of a view, (height, width, 3 or 4) uint8 sRGB.
    """

    def frame(job: tuple[int, View]) -> Image.Image:
        number, view = job
        picture = shoot(view)
        write_png(folder / frame_name(number), picture)
        return _small(picture)

    small = []
    for done, image in enumerate(in_threads(frame, list(enumerate(views))), start=1):
        small.append(image)
        progress("turntable frames", done, len(views))
    return small


def frame_name(number: int) -> str:
    """The file name of a frame."""
    return f"frame-{number:03d}.png"


def write_animations(folder: Path, frames: Sequence[Image.Image]) -> list[str]:
    """Write the turn as turntable.webp and turntable.gif; gives their names.

    One frame alone does not move: nothing is written.
    """
    if len(frames) < 2:
        return []
    each_ms = max(20, round(_TURN_MS / len(frames)))

    def save(kind: str) -> str:
        name = f"turntable.{kind}"
        if kind == "webp":
            # No key frames after the first: otherwise many frames are coded twice to choose.
            frames[0].save(
                folder / name,
                save_all=True,
                append_images=frames[1:],
                duration=each_ms,
                loop=0,
                quality=80,
                method=2,
                kmin=0,
                kmax=0,
            )
        else:
            indexed = _indexed(frames)
            indexed[0].save(
                folder / name,
                save_all=True,
                append_images=indexed[1:],
                duration=each_ms,
                loop=0,
                disposal=2,
            )
        return name

    return list(in_threads(save, ["webp", "gif"]))


def _small(codes: NDArray[np.uint8]) -> Image.Image:
    """The picture at the size of the animation, averaged in linear light."""
    longer = max(codes.shape[:2])
    if longer <= _ANIMATION_PIXELS:
        return Image.fromarray(codes)
    height, width = (round(side * (_ANIMATION_PIXELS / longer)) for side in codes.shape[:2])
    light, coverage = (
        np.zeros((height, width, 3), np.float32),
        np.zeros((height, width), np.float32),
    )
    rows, wide = _cuts(codes.shape[0], height), np.diff(_cuts(codes.shape[1], width))
    _average(codes, _linear(), rows, np.repeat(np.arange(width), wide), wide, light, coverage)
    shrunk = Picture(light, coverage)
    return Image.fromarray(
        with_alpha(shrunk) if codes.shape[2] == 4 else on_backdrop(shrunk, _BLACK)
    )


def _cuts(pixels: int, parts: int) -> NDArray[np.int64]:
    """(parts + 1,) where to cut a row of pixels into parts as even as whole pixels allow."""
    return (2 * np.arange(parts + 1) * pixels + parts) // (2 * parts)


@compiled
def _average(
    codes: NDArray[np.uint8],
    linear: NDArray[np.float32],
    rows: NDArray[np.int64],
    column: NDArray[np.int64],
    wide: NDArray[np.int64],
    premultiplied: NDArray[np.float32],
    coverage: NDArray[np.float32],
) -> None:
    """Fill in the mean light and coverage of the pixels between the cuts; both begin at 0.

    column : where each column of pixels goes; wide : how many go there.
    """
    one, whole = np.float32(1.0), np.float32(255.0)
    transparent = codes.shape[2] == 4
    for row in range(premultiplied.shape[0]):
        for y in range(rows[row], rows[row + 1]):
            for x in range(codes.shape[1]):
                alpha = codes[y, x, 3] / whole if transparent else one
                for k in range(3):
                    premultiplied[row, column[x], k] += alpha * linear[codes[y, x, k]]
                coverage[row, column[x]] += alpha
        for c in range(premultiplied.shape[1]):
            share = one / np.float32((rows[row + 1] - rows[row]) * wide[c])
            for k in range(3):
                premultiplied[row, c, k] *= share
            coverage[row, c] *= share


@cache
def _linear() -> NDArray[np.float32]:
    """Linear light of each sRGB byte."""
    return linear_from_srgb8(np.arange(256)).astype(np.float32)


def _indexed(frames: Sequence[Image.Image]) -> list[Image.Image]:
    """The frames in one palette of 255 colours made from a few of them, so that none flickers."""
    opaque = [_on_white(f) for f in frames]
    step = max(1, len(opaque) // _GIF_PALETTE_FRAMES)
    strip = np.concatenate([np.asarray(f) for f in opaque[::step]], axis=1)
    palette = Image.fromarray(strip).quantize(255, method=Image.Quantize.MEDIANCUT)
    return [f.quantize(palette=palette, dither=Image.Dither.NONE) for f in opaque]


def _on_white(frame: Image.Image) -> Image.Image:
    """The frame without transparency, which a GIF can only show as holes."""
    if frame.mode != "RGBA":
        return frame
    white = Image.new("RGBA", frame.size, (255, 255, 255, 255))
    return Image.alpha_composite(white, frame).convert("RGB")
