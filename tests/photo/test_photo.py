"""Swatches recovered from photographs made of published spectra; slips with photographs."""

from __future__ import annotations

import io
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from PIL import Image, ImageCms

from preview.errors import PhotoFault, UsageError
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.optics.srgb_iec61966 import LINEAR_FROM_XYZ, encoded_from_linear
from preview.photo.chart import chart_reflectance, chart_xyz, patch_quads
from preview.photo.measure import measure_by_card, measure_by_chart
from preview.photo.picture import Photo, read_photo
from preview.photo.spots import Disc, Quad, read_spot, spot_from
from tests.oil_films import FILMS, PAINTS
from tests.photo.camera import (
    CAMERAS,
    CARD_AT,
    CARD_RADIUS,
    CHART_BOX,
    HEIGHT,
    SWATCH_AT,
    SWATCH_RADIUS,
    WIDTH,
    Scene,
    chart_spectra,
    corners_of,
)

SWATCH = Disc(*SWATCH_AT, SWATCH_RADIUS - 3)
CARD = Disc(*CARD_AT, CARD_RADIUS - 3)
TINTS = [FILMS[paint + "B"][1] for paint in PAINTS]


def _chart(turn: int = 0) -> Quad:
    """The chart's corners, typed from any of them on."""
    points = np.roll(corners_of(), turn, axis=0).ravel()
    spot = spot_from(",".join(str(v) for v in points), "--chart")
    assert isinstance(spot, Quad)
    return spot


def _errors(scene: Scene) -> tuple[float, float]:
    """Median CIEDE2000 of nine oil tints by the card and by the chart."""
    by_card, by_chart = [], []
    for reflectance in TINTS:
        photo, want = scene.photograph(reflectance), lab_from_reflectance(reflectance)
        by_card.append(ciede2000(measure_by_card(photo, SWATCH, CARD).lab, want))
        by_chart.append(ciede2000(measure_by_chart(photo, SWATCH, _chart()).lab, want))
    return float(np.median(by_card)), float(np.median(by_chart))


# Medians measured here, card and chart: 0.8 and 0.7; 4.8 and 1.2; 1.8 and 1.6; 5.3 and 1.5
@pytest.mark.parametrize(
    ("camera", "light", "most_by_card", "most_by_chart"),
    [
        (CAMERAS[0], "D65", 1.2, 1.0),
        (CAMERAS[0], "LED-B3", 6.0, 1.6),
        (CAMERAS[1], "D65", 2.4, 2.0),
        (CAMERAS[1], "LED-B3", 6.5, 2.0),
    ],
)
def test_oil_tints_are_recovered(
    colour_science: ModuleType, camera: str, light: str, most_by_card: float, most_by_chart: float
) -> None:
    by_card, by_chart = _errors(Scene(colour_science, camera, light))
    assert by_card < most_by_card
    assert by_chart < most_by_chart


def test_the_chart_is_the_published_one(colour_science: ModuleType) -> None:
    """Its spectra give, within a print's tolerance, the colours published for the chart."""
    average = chart_spectra(colour_science, "BabelColor Average")
    apart = ciede2000(lab_from_reflectance(chart_reflectance()), lab_from_reflectance(average))
    # Measured here: median 0.7, largest 1.9
    assert np.median(apart) < 1.0
    assert apart.max() < 2.5


def test_a_camera_that_is_a_matrix_is_undone_exactly() -> None:
    """Linear light = matrix x tristimulus values + constant, dithered to 8 bits."""
    matrix = LINEAR_FROM_XYZ.T @ np.array([[0.7, 0.1, 0.0], [0.1, 0.6, 0.1], [0.0, 0.15, 0.5]])
    seen = np.clip(chart_xyz() @ matrix + 0.03, 0.0, 1.0)
    picture = np.full((HEIGHT, WIDTH, 3), 0.2)
    left, top, right, bottom = CHART_BOX
    for number, light in enumerate(seen):
        x, y = number % 6, number // 6
        wide, tall = (right - left) // 6, (bottom - top) // 4
        picture[top + y * tall : top + (y + 1) * tall, left + x * wide : left + (x + 1) * wide] = (
            light
        )
    picture[145:190, 360:400] = chart_xyz()[1] @ matrix + 0.03
    dither = np.random.default_rng(5).random(picture.shape)
    photo = Photo("plain.png", (255 * encoded_from_linear(picture) + dither).astype(np.uint8))
    measured = measure_by_chart(photo, SWATCH, _chart())
    assert measured.residual is not None
    assert max(measured.residual) < 0.25
    want = lab_from_reflectance(chart_reflectance()[1])
    assert ciede2000(measured.lab, want) < 0.15


@pytest.mark.parametrize("turn", [1, 2, 3])
def test_corners_may_come_from_any_side_and_the_photograph_upside_down(
    colour_science: ModuleType, turn: int
) -> None:
    photo = Scene(colour_science).photograph(TINTS[5])
    plain = measure_by_chart(photo, SWATCH, _chart())
    np.testing.assert_allclose(measure_by_chart(photo, SWATCH, _chart(turn)).lab, plain.lab)
    turned = Photo("turned.png", photo.srgb8[::-1, ::-1])
    left, top, right, bottom = CHART_BOX
    box = (WIDTH - right, HEIGHT - bottom, WIDTH - left, HEIGHT - top)
    swatch = Disc(WIDTH - SWATCH.x, HEIGHT - SWATCH.y, SWATCH.radius)
    upside_down = measure_by_chart(turned, swatch, Quad(corners_of(box)))
    assert ciede2000(upside_down.lab, plain.lab) < 0.3


def test_patches_lie_where_perspective_puts_them() -> None:
    """Straight lines stay straight: a row's middles lie on a line, in a trapezium too."""
    corners = np.array([[100.0, 50.0], [500.0, 90.0], [480.0, 300.0], [60.0, 380.0]])
    middles = np.array([quad.corners.mean(axis=0) for quad in patch_quads(Quad(corners), 0)])
    for row in middles.reshape(4, 6, 2):
        along = row[-1] - row[0]
        off = row - row[0]
        across = np.abs(along[0] * off[:, 1] - along[1] * off[:, 0]) / np.hypot(*along)
        assert across.max() < 1.0
    flat = patch_quads(Quad(corners_of((0, 0, 600, 400))), 0)
    np.testing.assert_allclose(flat[8].corners.mean(axis=0), [250.0, 150.0])


def test_other_corners_are_no_chart(colour_science: ModuleType) -> None:
    photo = Scene(colour_science).photograph(TINTS[5])
    with pytest.raises(PhotoFault, match="no 24-patch chart fits"):
        measure_by_chart(photo, SWATCH, Quad(corners_of((5, 5, 250, 150))))
    table = Photo("table.png", np.full((HEIGHT, WIDTH, 3), 120, dtype=np.uint8))
    with pytest.raises(PhotoFault, match="no 24-patch chart fits"):
        measure_by_chart(table, SWATCH, _chart())


def test_uneven_light_is_told_then_refused(colour_science: ModuleType) -> None:
    even = measure_by_chart(Scene(colour_science).photograph(TINTS[5]), SWATCH, _chart())
    assert not any("differs" in note for note in even.notes)
    lit = Scene(colour_science, slope=0.3, exposure=0.7).photograph(TINTS[5])
    assert any("differs" in note for note in measure_by_chart(lit, SWATCH, _chart()).notes)
    steep = Scene(colour_science, slope=1.2, exposure=0.55).photograph(TINTS[5])
    with pytest.raises(PhotoFault, match=r"differs|no 24-patch chart"):
        measure_by_chart(steep, SWATCH, _chart())


def test_clipped_patches_are_left_out_then_refused(colour_science: ModuleType) -> None:
    bright = Scene(colour_science, exposure=1.1).photograph(TINTS[5])
    measured = measure_by_chart(bright, SWATCH, _chart())
    assert 18 <= measured.patches < 24
    assert any("left out" in note for note in measured.notes)
    glare = Scene(colour_science, exposure=2.5).photograph(TINTS[5])
    with pytest.raises(PhotoFault, match="too bright"):
        measure_by_chart(glare, SWATCH, _chart())
    with pytest.raises(PhotoFault, match="--swatch is too bright"):
        measure_by_card(glare, SWATCH, CARD)


def test_a_dark_photograph_is_noisier_but_still_measured(colour_science: ModuleType) -> None:
    scene = replace(Scene(colour_science), exposure=0.25)
    want = lab_from_reflectance(TINTS[5])
    photo = scene.photograph(TINTS[5])
    assert ciede2000(measure_by_chart(photo, SWATCH, _chart()).lab, want) < 4.0


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1,2", "3 or 8 numbers"),
        ("a,b,c", "3 or 8 numbers"),
        ("1,2,nan", "3 or 8 numbers"),
        ("", "3 or 8 numbers"),
        ("1,2,0", "radius"),
        ("0,0,10,0,20,0,30,0", "no quadrilateral"),
        ("0,0,100,0,50,20,50,90", "no quadrilateral"),
        ("0,0,0,0,0,0,0,0", "no quadrilateral"),
    ],
)
def test_places_that_are_none(text: str, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        spot_from(text, "--swatch")


def test_corners_that_cross_are_put_in_turn() -> None:
    crossed = spot_from("0,0,100,80,100,0,0,80", "--chart")
    plain = spot_from("0,0,100,0,100,80,0,80", "--chart")
    assert isinstance(crossed, Quad)
    assert isinstance(plain, Quad)
    np.testing.assert_array_equal(crossed.corners, plain.corners)


def test_spots_outside_or_too_small_are_refused() -> None:
    photo = Photo("grey.png", np.full((100, 100, 3), 128, dtype=np.uint8))
    with pytest.raises(PhotoFault, match="out of the photograph of 100 x 100"):
        read_spot(photo, Disc(95, 50, 10), "--swatch")
    with pytest.raises(PhotoFault, match="pixels; 40 are needed"):
        read_spot(photo, Disc(50, 50, 2), "--swatch")


def test_photographs_that_are_none(tmp_path: Path) -> None:
    with pytest.raises(PhotoFault, match="no such photograph"):
        read_photo(tmp_path / "none.jpg")
    (tmp_path / "text.jpg").write_text("no picture")
    with pytest.raises(PhotoFault, match="cannot be read as a photograph"):
        read_photo(tmp_path / "text.jpg")
    whole = io.BytesIO()
    noise = np.random.default_rng(1).integers(0, 255, (64, 64, 3), dtype=np.uint8)
    Image.fromarray(noise).save(whole, "JPEG")
    (tmp_path / "half.jpg").write_bytes(whole.getvalue()[: len(whole.getvalue()) // 2])
    with pytest.raises(PhotoFault, match="cannot be read as a photograph"):
        read_photo(tmp_path / "half.jpg")
    Image.new("L", (64, 64)).save(tmp_path / "grey.png")
    with pytest.raises(PhotoFault, match="no red, green and blue"):
        read_photo(tmp_path / "grey.png")
    with pytest.raises(PhotoFault, match="no such photograph"):
        read_photo(tmp_path)


def test_damaged_photographs_never_crash(tmp_path: Path) -> None:
    rng = np.random.default_rng(3)
    for kind in ("JPEG", "PNG", "TIFF", "WEBP"):
        whole = io.BytesIO()
        Image.fromarray(rng.integers(0, 255, (40, 40, 3), dtype=np.uint8)).save(whole, kind)
        for _ in range(12):
            data = bytearray(whole.getvalue())
            for place in rng.integers(0, len(data), 8):
                data[place] = int(rng.integers(0, 256))
            path = tmp_path / f"damaged.{kind.lower()}"
            path.write_bytes(bytes(data[: rng.integers(1, len(data))]))
            with suppress(PhotoFault):
                assert read_photo(path).srgb8.shape[2] == 3


def test_orientation_and_profile_are_minded(tmp_path: Path) -> None:
    pixels = np.full((20, 30, 3), 128, dtype=np.uint8)
    pixels[:10] = (200, 60, 40)
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.fromarray(pixels).save(tmp_path / "turned.png", exif=exif)
    assert read_photo(tmp_path / "turned.png").srgb8.shape == (30, 20, 3)
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    Image.fromarray(pixels).save(tmp_path / "srgb.png", icc_profile=plain)
    assert read_photo(tmp_path / "srgb.png").notes == ()
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    Image.fromarray(pixels).save(tmp_path / "lab.png", icc_profile=lab)
    assert len(read_photo(tmp_path / "lab.png").notes) == 1
    odd = Image.Exif()
    odd.get_ifd(0x8769)[0xA001] = 65535
    Image.fromarray(pixels).save(tmp_path / "odd.jpg", exif=odd)
    assert "EXIF" in read_photo(tmp_path / "odd.jpg").notes[0]
