"""Turntables: every frame as a PNG, the turn as WebP and GIF that decode to the same length."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from preview.optics.srgb_iec61966 import linear_from_srgb8, srgb8_from_linear
from preview.present.turntable import _small, write_animations, write_frames
from preview.render.framing import turntable_views
from preview.render.view import View

FRONT = View((0.0, 0.0, 0.0), 0.0, 10.0, 100.0, 1.0, 60, 60)


def _shoot(view: View) -> np.ndarray:
    """A flat picture whose red tells the azimuth."""
    picture = np.full((60, 60, 3), 90, dtype=np.uint8)
    picture[..., 0] = round(view.azimuth_deg / 2)
    return picture


def test_frames_and_animations_hold_the_same_turn(tmp_path: Path) -> None:
    heard: list[tuple[int, int]] = []
    small = write_frames(
        tmp_path,
        turntable_views(FRONT, 6),
        _shoot,
        lambda _step, done, total: heard.append((done, total)),
    )
    assert write_animations(tmp_path, small) == ["turntable.webp", "turntable.gif"]
    assert heard == [(k, 6) for k in range(1, 7)]
    for k in range(6):
        with Image.open(tmp_path / f"frame-{k:03d}.png") as frame:
            assert frame.getpixel((30, 30)) == (30 * k, 90, 90)
    for moving in ("turntable.webp", "turntable.gif"):
        with Image.open(tmp_path / moving) as film:
            assert film.n_frames == 6
            assert film.size == (60, 60)
            film.seek(5)
            red, _, _ = film.convert("RGB").getpixel((30, 30))
            assert abs(red - 150) <= 6


def test_one_frame_makes_no_animation(tmp_path: Path) -> None:
    assert write_animations(tmp_path, write_frames(tmp_path, [FRONT], _shoot)) == []
    assert [path.name for path in tmp_path.iterdir()] == ["frame-000.png"]


def test_the_same_turn_gives_the_same_bytes(tmp_path: Path) -> None:
    both = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        folder = tmp_path / name
        write_animations(folder, write_frames(folder, turntable_views(FRONT, 4), _shoot))
        both.append([path.read_bytes() for path in sorted(folder.iterdir())])
    assert len(both[0]) == 6
    assert both[0] == both[1]


@pytest.mark.parametrize("channels", [3, 4])
def test_the_animation_is_shrunk_in_linear_light(tmp_path: Path, channels: int) -> None:
    # Black and white lines of one pixel, halved: half the light of white, which sRGB writes as 188
    # (IEC 61966-2-1), not the 128 that averaging the codes would give.
    lines = np.zeros((1280, 1280, channels), np.uint8)
    lines[::2, :, :3] = 255
    if channels == 4:
        lines[..., 3] = 255
    views = turntable_views(FRONT, 2)
    write_animations(tmp_path, write_frames(tmp_path, views, lambda view: lines))
    with Image.open(tmp_path / "turntable.webp") as picture:
        assert picture.size == (640, 640)
        codes = np.asarray(picture.convert("RGB")).astype(int)
    assert np.abs(codes - 188).max() <= 2


def test_shrinking_by_a_broken_factor_is_that_of_a_box_filter() -> None:
    picture = np.random.default_rng(6).integers(0, 256, (1000, 700, 3), dtype=np.uint8)
    light = linear_from_srgb8(picture[..., 1]).astype(np.float32)
    box = Image.fromarray(light).resize((448, 640), Image.Resampling.BOX)
    exact = srgb8_from_linear(np.asarray(box)).astype(int)
    found = np.asarray(_small(picture))[..., 1].astype(int)
    assert np.abs(found - exact).max() <= 1
