"""PNG files of ours as an independent reader, Pillow, sees them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from preview.present.png import write_png


@pytest.mark.parametrize("shape", [(1, 1, 3), (37, 501, 3), (501, 37, 4)])
def test_pillow_reads_back_every_byte(tmp_path: Path, shape: tuple[int, int, int]) -> None:
    picture = np.random.default_rng(3).integers(0, 256, shape, dtype=np.uint8)
    picture[: shape[0] // 2] = 77
    write_png(tmp_path / "p.png", picture)
    with Image.open(tmp_path / "p.png") as read:
        read.verify()
    with Image.open(tmp_path / "p.png") as read:
        assert read.mode == {3: "RGB", 4: "RGBA"}[shape[2]]
        assert (np.asarray(read) == picture).all()


def test_a_smooth_picture_is_packed_as_tightly_as_by_pillow(tmp_path: Path) -> None:
    down, right = np.mgrid[0:400, 0:400]
    inside = np.hypot(down - 200, right - 200) < 150
    grey = np.where(inside, 40 + down // 3 + right // 5, 180 + down // 40)
    picture = np.repeat(grey[..., None], 3, axis=2).astype(np.uint8)
    write_png(tmp_path / "ours.png", picture)
    Image.fromarray(picture).save(tmp_path / "theirs.png", compress_level=2)
    assert (tmp_path / "ours.png").stat().st_size < 1.2 * (tmp_path / "theirs.png").stat().st_size
