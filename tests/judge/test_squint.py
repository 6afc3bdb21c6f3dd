"""Masses of value and the focal point on pictures where one can count them."""

from __future__ import annotations

import numpy as np
import pytest

from preview.judge.masses import squint_at
from preview.optics.cie1976_lab import y_from_lightness

PPD = 120.0


def _squint(lightness: np.ndarray, label: np.ndarray, coverage: np.ndarray | None = None):
    cover = np.ones(label.shape) if coverage is None else coverage
    names = ("coat", "face", "boots")
    y = y_from_lightness(lightness) * cover
    return squint_at(y, cover, label.astype(np.int32), names, PPD, 0.57, 3.75)


def _patches() -> tuple[np.ndarray, np.ndarray]:
    """A dark coat with a light face and boots of nearly its own value."""
    label = np.zeros((200, 120), int)
    label[20:60, 40:80] = 1
    label[170:] = 2
    return np.array([30.0, 78.0, 34.0])[label], label


def test_counts_groups_and_masses() -> None:
    found = _squint(*_patches())
    assert len(found.groups) == 2
    assert found.groups[0].lightness == pytest.approx(31.0, abs=2.0)
    # Blur in linear light lets the light side spread.
    assert 1600 / 24000 <= found.groups[1].share <= 1.6 * 1600 / 24000
    assert found.masses == 2
    assert "2 groups of value" in found.in_words()


def test_one_flat_area_is_one_mass_without_a_focus() -> None:
    found = _squint(np.full((90, 90), 50.0), np.zeros((90, 90), int))
    assert [(g.share, g.masses) for g in found.groups] == [(1.0, 1)]
    assert found.focus is None
    assert "1 group of value" in found.in_words()


def test_the_focus_is_where_the_contrast_is() -> None:
    focus = _squint(*_patches()).focus
    assert focus is not None
    assert focus.pair == "coat and face"
    assert 10 <= focus.row <= 70
    assert 30 <= focus.column <= 90


def test_what_is_behind_the_figure_does_not_count() -> None:
    lightness, label = _patches()
    coverage = np.zeros(label.shape)
    coverage[:, 10:110] = 1.0
    found = _squint(lightness, label, coverage)
    assert len(found.groups) == 2
    assert found.focus is not None
    assert found.focus.pair == "coat and face"


def test_thin_stripes_melt_into_one_value() -> None:
    stripes = np.where(np.indices((160, 160))[0] // 4 % 2, 70.0, 30.0)
    found = _squint(stripes, np.zeros((160, 160), int))
    assert len(found.groups) == 1


def test_nothing_in_sight() -> None:
    found = _squint(np.full((20, 20), 50.0), np.zeros((20, 20), int), np.zeros((20, 20)))
    assert found.groups == ()
    assert found.focus is None
