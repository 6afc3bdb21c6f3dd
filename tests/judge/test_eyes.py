"""Whose eyes: read from words, refused when they mean nothing, and what they see."""

from __future__ import annotations

import numpy as np
import pytest

from preview.errors import UsageError
from preview.judge.caveats import CAVEATS, caveats_on
from preview.judge.conditions import Conditions, every_condition
from preview.judge.eye import visibility
from preview.judge.eyes import Eyes, read_eyes
from preview.judge.views import Around


@pytest.mark.parametrize(
    ("words", "eyes", "name"),
    [
        ("normal", Eyes(), "normal"),
        ("60", Eyes(60.0), "age 60"),
        ("age:60", Eyes(60.0), "age 60"),
        ("deutan", Eyes(deficiency="deutan"), "deutan"),
        ("Protan:0.6", Eyes(deficiency="protan", severity=0.6), "protan 0.6"),
        ("tritan 0.5, 70", Eyes(70.0, "tritan", 0.5), "tritan 0.5, age 70"),
    ],
)
def test_words(words: str, eyes: Eyes, name: str) -> None:
    assert read_eyes(words) == eyes
    assert eyes.name == name


@pytest.mark.parametrize(
    "words",
    ["", "deuten", "normal:2", "12", "deutan:1.5", "deutan,protan", "age", "deutan:x", "nan"],
)
def test_words_that_mean_nothing_are_refused(words: str) -> None:
    with pytest.raises(UsageError, match="--eyes"):
        read_eyes(words)


def test_ages_beyond_the_measured_are_said_to_be_extrapolated() -> None:
    assert "76 years" in caveats_on(Conditions(eyes=Eyes(76.0)))[-1]
    assert caveats_on(Conditions(eyes=Eyes(75.0))) == CAVEATS


def test_ages_asked_for_second_are_said_to_be_extrapolated_once() -> None:
    several = [Conditions(d, eyes=Eyes(age)) for age in (23.0, 80.0) for d in (0.6, 1.0)]
    assert len(caveats_on(*several)) == len(CAVEATS) + 1
    assert "80 years: extrapolated" in caveats_on(*several)[-1]


@pytest.mark.parametrize("wrong", [None, np.full((4, 4), 1 + 2j), [["a"]]])
def test_visibility_takes_real_numbers_alone(wrong: object) -> None:
    with pytest.raises(ValueError, match="real numbers"):
        visibility(wrong, 1.0, 60.0, 30.0)
    with pytest.raises(ValueError, match="real numbers"):
        visibility(np.ones((4, 4)), wrong, 60.0, 30.0)


def test_the_nearest_word_is_named() -> None:
    with pytest.raises(UsageError, match='did you mean "deutan"'):
        read_eyes("deuten")


@pytest.mark.parametrize(
    ("words", "kind"),
    [("20,70", "age"), ("age:20,70", "age"), ("deutan,protan", "deficiency")],
)
def test_one_viewer_has_one_age_and_one_deficiency(words: str, kind: str) -> None:
    with pytest.raises(UsageError, match=f"a second {kind}") as raised:
        read_eyes(words)
    assert "repeat --eyes" in raised.value.faults[0].fix


def test_normal_eyes_see_what_is_there() -> None:
    colours = np.random.default_rng(2).uniform(0.0, 1.0, (4, 3))
    np.testing.assert_array_equal(Eyes().see(colours), colours)
    assert np.abs(read_eyes("protan").see(colours) - colours).max() > 0.05


def test_every_distance_for_all_eyes_once() -> None:
    found = every_condition([1.0, 0.6, 1.0], [Eyes(), Eyes(60.0), Eyes()])
    assert [one.name for one in found] == ["1 m", "0.6 m", "1 m, age 60", "0.6 m, age 60"]


def test_all_distances_that_make_no_sense_are_told() -> None:
    with pytest.raises(UsageError) as caught:
        every_condition([0.0, float("nan"), 1.0], lux=-3.0, illuminant="candle")
    said = str(caught.value)
    for words in ("got 0", "got nan", "got -3", '"candle" is unknown'):
        assert words in said


def test_the_front_counts_more_and_settings_are_checked() -> None:
    weights = Around(front=3.0).weights()
    assert weights.mean() == pytest.approx(1.0)
    assert weights[0] == pytest.approx(3.0 * weights[4])
    assert weights[1] == pytest.approx(weights[7])
    np.testing.assert_allclose(Around(front=1.0).weights(), 1.0)
    with pytest.raises(UsageError) as caught:
        Around(elevation_deg=95.0, front=0.0)
    assert len(caught.value.faults) == 2
