"""Colours in words."""

from __future__ import annotations

import numpy as np
import pytest

from preview.guide.colour_words import colour_in_words
from preview.mix.circle import HUE_ANGLES_DEG, HUES


@pytest.mark.parametrize(
    ("lab", "words"),
    [
        ((50, 0, 0), "mid grey"),
        ((5, 0, 0), "near-black"),
        ((95, 1, 2), "near-white"),
        ((25, 0, 3), "very dark grey"),
        ((40, 8, -9), "dark greyish violet"),
    ],
)
def test_lightness_greyness_and_hue_are_said(lab: tuple[float, ...], words: str) -> None:
    assert colour_in_words(lab).split()[0] == words.split()[0]
    if "greyish" not in words:
        assert colour_in_words(lab) == words
    else:
        assert "greyish" in colour_in_words(lab)


def test_every_hue_of_the_circle_has_its_word() -> None:
    for hue, angle in zip(HUES, np.radians(HUE_ANGLES_DEG), strict=True):
        lab = (53.0, 50 * np.cos(angle), 50 * np.sin(angle))
        assert colour_in_words(lab) == f"mid {hue}"


@pytest.mark.parametrize(
    ("lab", "words"),
    [
        ((53, 38, 50), "mid orange"),
        ((39, 22, 30), "dark brown"),
        ((53, -4, 27), "mid olive"),
        ((70, 30, 8), "light pink"),
        ((89, 1, 14), "off-white, yellow-orange"),
    ],
)
def test_brown_olive_pink_and_off_white_are_called_so(lab: tuple[float, ...], words: str) -> None:
    assert colour_in_words(lab) == words


def test_lighter_is_never_called_darker() -> None:
    order = ["near-black", "very dark", "dark", "mid", "light", "pale", "near-white"]
    words = [colour_in_words((light, 0, 0)).removesuffix(" grey") for light in range(0, 101)]
    ranks = [order.index(word) for word in words]
    assert ranks == sorted(ranks)
    assert set(ranks) == set(range(7))
