"""Circle, opposites and mixing charts show the paints' own colours where they belong."""

from __future__ import annotations

import colorsys
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from preview.palette.opposites import find_opposites
from preview.palette.pairs import find_pairs
from preview.palette.standing import Standing, round_the_circle, stand_on_circle
from preview.present.canvas import colour_from_hex
from preview.present.circle_dial import Dial, chroma_limit, page_angle
from preview.present.circle_sheet import circle_sheet
from preview.present.mixing_chart import PAIRS_A_PAGE, mixing_charts
from preview.present.opposites_sheet import opposites_sheets
from preview.present.palette_words import circle_notes, pairs_notes
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from tests.palette.racks import calibrated, rack_of

HARBOUR = load_rack("harbour")
STANDINGS = round_the_circle(stand_on_circle(HARBOUR))


class Pixels:
    """A picture in which colours can be looked up."""

    def __init__(self, picture: Image.Image) -> None:
        self.picture, self.middle = picture, picture.width / 2
        self.codes = np.asarray(picture.convert("RGBA")).view("<u4")[..., 0]

    def of(self, srgb: str) -> np.ndarray:
        """(pixels, 2) x and y of all pixels of a colour."""
        red, green, blue = colour_from_hex(srgb)
        code = np.uint32(red | green << 8 | blue << 16 | 255 << 24)
        y, x = np.divmod(np.flatnonzero(self.codes == code), self.picture.width)
        return np.stack([x, y], axis=1)


def _circle(rack: Rack) -> Pixels:
    return Pixels(circle_sheet(rack, round_the_circle(stand_on_circle(rack))))


def _many(count: int) -> Rack:
    """Paints of all hues, each a colour of its own, a sixth of them neutral."""
    swatches = {}
    for k in range(count):
        strength = 0.0 if k % 6 == 5 else 0.4 + 0.08 * (k % 7)
        rgb = colorsys.hsv_to_rgb(k / count, strength, 0.4 + 0.5 * k / count)
        swatches[f"pot {k:02}"] = "#" + "".join(f"{round(255 * v):02x}" for v in rgb)
    return rack_of(swatches)


@cache
def _circle_of_many(count: int) -> tuple[Pixels, list[Standing]]:
    """The circle of that many paints."""
    rack = _many(count)
    return _circle(rack), stand_on_circle(rack)


@pytest.fixture(scope="module")
def circle() -> Pixels:
    return _circle(HARBOUR)


def _placed() -> list[Standing]:
    return [one for one in STANDINGS if one.place.side != "neutral"]


@pytest.mark.parametrize("one", _placed(), ids=lambda one: one.name)
def test_each_paint_s_dot_lies_at_its_hue_and_chroma_in_its_own_colour(
    circle: Pixels, one: Standing
) -> None:
    pixels = circle.of(one.mix.srgb)
    middle = circle.middle
    dot = pixels[np.abs(pixels[:, 0] - middle) < 520]
    chip = pixels[np.abs(pixels[:, 0] - middle) > 560]
    # a dot of radius 15 less its rim; a chip of 18 with round corners
    assert 400 < len(dot) < 720
    assert 200 < len(chip) < 360
    x, y = dot.mean(axis=0) - (middle, _middle_y(circle))
    # clockwise from the top, where cold begins at 135 degrees of wheel
    turned = np.degrees(np.arctan2(x, -y)) % 360.0
    # 1.5 degrees: pixels; two dots near one another part a little
    assert abs((turned - (one.place.wheel_deg - 135.0) + 180.0) % 360.0 - 180.0) < 1.5
    assert (x > 0) == (one.place.side == "cold")


def _middle_y(circle: Pixels) -> float:
    """The height of the dial's middle: halfway between the ends of its heavy rim."""
    column = np.asarray(circle.picture)[:, circle.picture.width // 2 - 6].astype(int).sum(axis=1)
    dark = np.flatnonzero(column < 160)
    dark = dark[dark > 150]
    return float((dark[0] + dark[-1]) / 2)


def test_farther_out_is_more_chroma(circle: Pixels) -> None:
    middle = np.array([circle.middle, _middle_y(circle)])
    far, chroma = [], []
    for one in _placed():
        pixels = circle.of(one.mix.srgb)
        dot = pixels[np.abs(pixels[:, 0] - middle[0]) < 520]
        far.append(float(np.linalg.norm(dot.mean(axis=0) - middle)))
        chroma.append(one.place.chroma)
    ratio = np.array(far) ** 2 / np.array(chroma)
    # a twentieth: pixels, and dots that part
    np.testing.assert_allclose(ratio, np.median(ratio), rtol=0.05)


def test_neutrals_stand_apart_from_the_circle(circle: Pixels) -> None:
    for one in STANDINGS:
        if one.place.side == "neutral":
            pixels = circle.of(one.mix.srgb)
            patch = pixels[pixels[:, 1] > _middle_y(circle) + 505]
            assert len(patch) > 1500


def test_a_page_turns_so_that_warm_is_left_and_cold_right() -> None:
    dial = Dial((0.0, 0.0), 100.0, 10.0, 60.0)
    assert dial.on(45.0, 10.0) == pytest.approx([-10, 0], abs=1e-9)
    assert dial.on(225.0, 10.0) == pytest.approx([10, 0], abs=1e-9)
    assert dial.on(135.0, 10.0) == pytest.approx([0, -10], abs=1e-9)
    assert float(page_angle(135.0)) == 270.0
    assert dial.at(225.0, 60.0)[0] == pytest.approx(90.0)
    assert chroma_limit([]) == chroma_limit([12.0]) == 60.0
    assert chroma_limit([83.0]) == 90.0


@pytest.mark.parametrize("count", [1, 24, 60])
def test_each_of_many_paints_has_a_dot_and_a_chip(count: int) -> None:
    picture, standings = _circle_of_many(count)
    middle = picture.middle
    for one in standings:
        pixels = picture.of(one.mix.srgb)
        assert len(pixels) > 350
        if one.place.side != "neutral":
            outside = np.abs(pixels[:, 0] - middle) > 560
            assert outside.any()
            assert (~outside).any()


def test_chips_of_sixty_paints_stand_apart() -> None:
    """Each name's line has its own height: no two chips of one column overlap."""
    picture, standings = _circle_of_many(60)
    middle = picture.middle
    for way in (-1, 1):
        spans = []
        for one in standings:
            pixels = picture.of(one.mix.srgb)
            beside = pixels[way * (pixels[:, 0] - middle) > 560]
            if one.place.side != "neutral" and len(beside):
                spans.append((beside[:, 1].min(), beside[:, 1].max()))
        spans.sort()
        assert len(spans) > 12
        assert all(low[1] < high[0] for low, high in pairwise(spans))


def test_paints_of_one_colour_both_show() -> None:
    one, two = (
        len(_circle(rack_of(swatches)).of("#b4572b"))
        for swatches in ({"rust": "#b4572b"}, {"rust": "#b4572b", "again": "#b4572b"})
    )
    # a second dot and a second chip, neither hidden by the first
    assert two > 1.9 * one


def test_a_circle_without_colours_says_so() -> None:
    greys = rack_of({"ash": "#808080", "chalk": "#f4f4f4"})
    notes = circle_notes(stand_on_circle(greys))
    assert notes[0] == "All paints of this rack are neutral: none has a place on the circle."
    assert _circle(greys).of("#808080").size > 1000
    assert opposites_sheets(greys, stand_on_circle(greys), []) == []


@pytest.mark.parametrize(
    ("swatches", "said"),
    [
        ({"rust": "#b4572b", "brick": "#a43530"}, "No paint of this rack is cold."),
        ({"sea": "#2c7d7a", "kelp": "#4d6336"}, "No paint of this rack is warm."),
        (
            {"rust": "#b4572b", "ash": "#808080"},
            "rust is the only colour: nothing is opposite.",
        ),
    ],
)
def test_what_a_rack_lacks_is_said(swatches: dict[str, str], said: str) -> None:
    assert said in circle_notes(stand_on_circle(rack_of(swatches)))


def test_a_dark_neutral_swatch_is_told_to_be_doubtful_until_it_is_calibrated() -> None:
    said = "A dark neutral may hide a strong hue"
    soot = rack_of({"soot": "#29292c", "rust": "#b4572b"})
    assert any(note.startswith(said) for note in circle_notes(stand_on_circle(soot)))
    known = stand_on_circle(calibrated(soot))
    assert not any(note.startswith(said) for note in circle_notes(known))


def test_opposites_show_paints_and_their_most_neutral_mixes() -> None:
    opposites = find_opposites(STANDINGS)
    page = Pixels(*opposites_sheets(HARBOUR, STANDINGS, opposites))
    by_name = {one.name: one for one in STANDINGS}
    for row in opposites:
        assert len(page.of(by_name[row.name].mix.srgb)) > 800
        if row.mixing is not None:
            assert len(page.of(row.mixing.neutral.mix.srgb)) > 2500


def test_opposites_of_many_paints_fill_several_pages() -> None:
    rack = _many(60)
    standings = stand_on_circle(rack)
    opposites = find_opposites(standings)
    pages = opposites_sheets(rack, standings, opposites)
    assert len(pages) == -(-len(opposites) // 36) > 1


def test_a_chart_shows_every_mix_and_its_lightened_one() -> None:
    found = find_pairs(HARBOUR, 3)
    page = Pixels(*mixing_charts(found))
    for pair in found.pairs:
        for mix in (*pair.mixes, *pair.lightened, pair.neutral.mix):
            assert len(page.of(mix.srgb)) > 1200
        for mix in (pair.brown, pair.grey):
            assert mix is None or len(page.of(mix.srgb)) > 1200


def test_charts_go_on_over_pages_and_say_what_is_left_out() -> None:
    found = find_pairs(HARBOUR, PAIRS_A_PAGE + 1)
    assert len(mixing_charts(found)) == 2
    assert pairs_notes(found)[0] == (
        "The 13 pairs of widest span; 17 of 30 are left out, --top tells more."
    )
    assert pairs_notes(find_pairs(HARBOUR, 99))[0] == "All 30 pairs, the widest span first."
