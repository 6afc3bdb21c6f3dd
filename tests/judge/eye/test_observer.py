"""Laws of the observer of pictures, and what it refuses."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.errors import UsageError
from preview.judge.eye import threshold_contrast, visibility

Floats = NDArray[np.float64]


def _lopsided(side: int = 90) -> Floats:
    """A light L and a dark dot on grey, no two sides alike."""
    picture = np.full((side, side + 14), 30.0)
    picture[20:60, 30:36] = 40.0
    picture[54:60, 30:58] = 40.0
    picture[25:30, 60:66] = 18.0
    return picture


def _seen(picture: Floats, ground: object = 30.0, ppd: float = 120.0, light: float = 30.0) -> float:
    return visibility(picture, ground, ppd, light)


def test_mirrored_and_turned_pictures_are_seen_alike() -> None:
    picture = _lopsided()
    plain = _seen(picture)
    assert plain > 1.0
    for other in (picture[::-1], picture[:, ::-1], picture.T, np.rot90(picture)):
        assert _seen(other) == pytest.approx(plain, rel=1e-9)


def test_where_it_stands_in_the_picture_does_not_matter() -> None:
    picture = _lopsided()
    moved = np.full((300, 260), 30.0)
    moved[190:280, 20:124] = picture
    assert _seen(moved) == pytest.approx(_seen(picture), rel=1e-3)


def test_twice_as_far_is_half_as_large() -> None:
    picture = _lopsided()
    twice = np.kron(picture, np.ones((2, 2)))
    assert _seen(twice, ppd=240.0) == pytest.approx(_seen(picture), rel=0.02)
    assert _seen(picture, ppd=240.0) < _seen(picture)


def test_in_proportion_to_contrast_and_free_of_units() -> None:
    picture = _lopsided()
    half = 30.0 + 0.5 * (picture - 30.0)
    assert _seen(half) == pytest.approx(0.5 * _seen(picture), rel=1e-12)
    assert _seen(picture / 30.0, 1.0) == pytest.approx(_seen(picture), rel=1e-12)
    assert _seen(np.full((40, 40), 7.0), 7.0) == 0.0


def test_more_light_is_never_harder() -> None:
    picture = _lopsided()
    seen = [_seen(picture, light=light) for light in (0.1, 1.0, 10.0, 100.0, 1000.0)]
    assert seen == sorted(seen)


def test_a_background_picture_hides_what_it_shares() -> None:
    ground = _lopsided()
    changed = ground.copy()
    changed[70:75, 70:75] += 6.0
    assert 0.0 < _seen(changed, ground) < _seen(changed)
    assert _seen(ground, ground) == 0.0


def test_drawn_marks_need_what_the_formula_says() -> None:
    for width, length in ((4, 4), (6, 20), (2, 60)):
        picture = np.full((160, 160), 30.0)
        picture[10 : 10 + 2 * length, 10 : 10 + 2 * width] = 33.0
        needed = 0.1 / _seen(picture)
        assert needed == pytest.approx(threshold_contrast(width, length, 30.0), rel=0.01)


def test_older_eyes_need_more() -> None:
    picture = _lopsided()
    young, old = (visibility(picture, 30.0, 120.0, 30.0, age=age) for age in (25, 70))
    assert young / old == pytest.approx(2.95, abs=0.03)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"luminance": np.full(5, 3.0)}, "rows and columns"),
        ({"luminance": np.full((4, 4), np.nan)}, "luminance must be numbers"),
        ({"luminance": np.full((4, 4), -1.0)}, "luminance must be numbers"),
        ({"background": np.ones((3, 3))}, "differ in shape"),
        ({"background": 0.0}, "black background"),
        ({"pixels_per_degree": 0.0}, "pixels per degree"),
        ({"pixels_per_degree": float("nan")}, "pixels per degree"),
        ({"pixels_per_degree": 1e5}, "too large a picture"),
        ({"adaptation": 0.0}, "adaptation must be"),
        ({"adaptation": float("nan")}, "adaptation must be"),
        ({"age": 12.0}, "18 to 80"),
    ],
)
def test_nonsense_is_refused(change: dict[str, object], says: str) -> None:
    good = {
        "luminance": np.full((4, 4), 3.0),
        "background": 2.0,
        "pixels_per_degree": 120.0,
        "adaptation": 30.0,
        "age": 23.0,
    }
    assert visibility(**good) > 0.0
    with pytest.raises(UsageError, match=says):
        visibility(**{**good, **change})


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(UsageError) as caught:
        visibility(np.full((4, 4), -3.0), 2.0, -1.0, -5.0, age=99.0)
    assert len(caught.value.faults) == 4
