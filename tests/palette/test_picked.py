"""A colour picked from a picture: the place, the spot, the profile, and pictures that are none."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from preview.errors import FileFault, UsageError
from preview.optics.srgb_iec61966 import srgb8_from_hex
from preview.palette.picked import pick_colour

RUST, SEA = (180, 87, 43), (37, 66, 95)


def _halves(path: Path, **saved: object) -> Path:
    """60 x 40 pixels: left half rust, right half sea."""
    pixels = np.zeros((40, 60, 3), np.uint8)
    pixels[:, :30], pixels[:, 30:] = RUST, SEA
    Image.fromarray(pixels).save(path, **saved)
    return path


def test_the_place_is_column_then_row_from_the_top_left(tmp_path: Path) -> None:
    path = _halves(tmp_path / "two.png")
    assert pick_colour(path, 0, 39).srgb == "#b4572b"
    assert pick_colour(path, 59, 0).srgb == "#25425f"
    assert "taken as sRGB" in pick_colour(path, 3, 3).notes[0]


def test_grain_and_single_pixels_do_not_count(tmp_path: Path) -> None:
    pixels = np.full((9, 9, 3), 120, np.uint8)
    pixels[4, 4] = (255, 0, 255)
    Image.fromarray(pixels).save(tmp_path / "grain.png")
    assert pick_colour(tmp_path / "grain.png", 4, 4).srgb == "#787878"


def test_an_uneven_spot_is_told(tmp_path: Path) -> None:
    noisy = np.random.default_rng(1).integers(0, 256, (20, 20, 3)).astype(np.uint8)
    Image.fromarray(noisy).save(tmp_path / "noise.png")
    assert any("uneven" in note for note in pick_colour(tmp_path / "noise.png", 9, 9).notes)
    assert not any("uneven" in n for n in pick_colour(_halves(tmp_path / "t.png"), 9, 9).notes)


def test_a_camera_turned_on_its_side_is_turned_back(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF orientation: turn clockwise to see it upright
    path = _halves(tmp_path / "side.png", exif=exif)
    # Upright it is 40 wide and 60 high, the left half on top.
    assert pick_colour(path, 20, 5).srgb == "#b4572b"
    assert pick_colour(path, 20, 55).srgb == "#25425f"


def test_a_profile_is_followed(tmp_path: Path) -> None:
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    picked = pick_colour(_halves(tmp_path / "srgb.png", icc_profile=srgb), 3, 3)
    assert "own profile" in picked.notes[0]
    assert picked.srgb == "#b4572b"
    # The same profile with its red and green primaries exchanged in its table of tags
    table = srgb[:400].replace(b"rXYZ", b"wasr").replace(b"gXYZ", b"rXYZ").replace(b"wasr", b"gXYZ")
    exchanged = _halves(tmp_path / "other.png", icc_profile=table + srgb[400:])
    red, green, blue = srgb8_from_hex(pick_colour(exchanged, 3, 3).srgb).astype(int)
    # 2: LittleCMS works in 8 bits
    np.testing.assert_allclose((green, red, blue), RUST, atol=2)


def test_pictures_of_other_kinds(tmp_path: Path) -> None:
    Image.new("L", (8, 8), 120).save(tmp_path / "grey.png")
    Image.new("P", (8, 8), 0).save(tmp_path / "palette.png")
    Image.fromarray(np.full((8, 8), 120 * 257, np.uint16)).save(tmp_path / "deep.png")
    assert pick_colour(tmp_path / "grey.png", 4, 4).srgb == "#787878"
    assert pick_colour(tmp_path / "deep.png", 4, 4).srgb == "#787878"
    assert pick_colour(tmp_path / "palette.png", 4, 4).srgb == "#000000"
    one = _halves(tmp_path / "one.webp", lossless=True)
    assert pick_colour(one, 3, 3).srgb == "#b4572b"


@pytest.mark.parametrize("place", [(60, 0), (0, 40), (-1, 0), (10**8, 10**8)])
def test_a_place_outside_is_refused_with_the_size(tmp_path: Path, place: tuple[int, int]) -> None:
    with pytest.raises(UsageError, match="columns go from 0 to 59, rows from 0 to 39"):
        pick_colour(_halves(tmp_path / "two.png"), *place)


def test_what_is_transparent_has_no_colour(tmp_path: Path) -> None:
    Image.new("RGBA", (9, 9), (255, 0, 0, 0)).save(tmp_path / "clear.png")
    with pytest.raises(UsageError, match="transparent there"):
        pick_colour(tmp_path / "clear.png", 4, 4)


def test_files_that_are_no_pictures(tmp_path: Path) -> None:
    (tmp_path / "notes.png").write_text("not a picture")
    whole = _halves(tmp_path / "two.png").read_bytes()
    (tmp_path / "cut.png").write_bytes(whole[: len(whole) // 2])
    Image.new("CMYK", (9, 9)).save(tmp_path / "print.jpg")
    Image.new("LAB", (9, 9)).save(tmp_path / "lab.tif")
    _halves(tmp_path / "odd.png", icc_profile=b"no profile")
    for name in ("notes.png", "cut.png", "none.png", ".", "print.jpg", "lab.tif", "odd.png"):
        with pytest.raises(FileFault):
            pick_colour(tmp_path / name, 4, 4)
