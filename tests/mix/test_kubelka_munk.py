"""Kubelka-Munk, films and Saunderson: exact algebra, published tables, and the equations."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from preview.mix.film import film_over_ground, film_transmittance
from preview.mix.kubelka_munk_1931 import ratio_from_reflectance, reflectance_from_ratio
from preview.mix.saunderson_1942 import inner_from_outer, outer_from_inner
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes

REFERENCE = Path(__file__).parents[1] / "reference"

# K/S -> R∞, exact algebra of the formula to six decimals
HIDING = [
    (0.01, 0.868226),
    (0.05, 0.729844),
    (0.1, 0.641742),
    (0.25, 0.5),
    (0.5, 0.381966),
    (1.0, 2.0 - 3.0**0.5),
    (1.6, 0.2),
    (2.0, 0.171573),
    (4.05, 0.1),
    (5.0, 0.083920),
    (9.025, 0.05),
    (10.0, 0.045549),
    (20.0, 0.023823),
    (49.005, 0.01),
]

# Films with K/S = 0.25, S = 1: thickness, R over 0, R over 0.8, T; exact algebra
FILMS = [
    (0.25, 0.188794, 0.719942, 0.750771),
    (0.5, 0.299143, 0.658428, 0.584490),
    (1.0, 0.411383, 0.579253, 0.375205),
    (2.0, 0.481095, 0.518441, 0.169457),
    (4.0, 0.499070, 0.500929, 0.037363),
]

INNER = [0.0, 0.1, 0.25, 0.5, 0.75, 0.9, 1.0]
SAUNDERSON = {
    0.04: [0.04, 0.080851, 0.152941, 0.314286, 0.563636, 0.791304, 1.0],
    0.02: [0.02, 0.061702, 0.135294, 0.3, 0.554545, 0.786957, 1.0],
}

# White K 0.01, S 1 with blue K 2, S 0.05: share of blue -> R∞; exact algebra
WHITE_AND_BLUE = [
    (0.0, 0.868226),
    (0.02, 0.728110),
    (0.05, 0.621871),
    (0.10, 0.513157),
    (0.25, 0.333607),
    (0.50, 0.176940),
    (1.00, 0.012197),
]


@pytest.mark.parametrize(("ratio", "reflectance"), HIDING)
def test_hiding_paint(ratio: float, reflectance: float) -> None:
    # 6e-7: six decimals
    assert reflectance_from_ratio(ratio) == pytest.approx(reflectance, abs=6e-7)
    assert ratio_from_reflectance(reflectance_from_ratio(ratio)) == pytest.approx(ratio, rel=1e-9)


def test_no_absorption_is_white_and_very_much_is_nearly_black() -> None:
    assert reflectance_from_ratio(0.0) == 1.0
    assert reflectance_from_ratio(1e9) == pytest.approx(0.5e-9, rel=1e-6)


@pytest.mark.parametrize(("thickness", "black", "pale", "through"), FILMS)
def test_films(thickness: float, black: float, pale: float, through: float) -> None:
    assert film_over_ground(0.25, 1.0, 0.0, thickness) == pytest.approx(black, abs=6e-7)
    assert film_over_ground(0.25, 1.0, 0.8, thickness) == pytest.approx(pale, abs=6e-7)
    assert film_transmittance(0.25, 1.0, thickness) == pytest.approx(through, abs=6e-7)


def test_films_that_do_not_absorb_or_hardly_scatter() -> None:
    # Exact limits: SX / (1 + SX) for no absorption; 0.8 exp(-2 KX) for no scattering
    assert film_over_ground(0.0, 1.0, 0.0, 1.0) == pytest.approx(0.5)
    assert film_over_ground(0.0, 1.0, 0.8, 1.0) == pytest.approx(0.833333, abs=6e-7)
    assert film_over_ground(0.5, 1e-12, 0.8, 1.0) == pytest.approx(0.8 * np.exp(-1.0), rel=1e-9)
    assert film_over_ground(1e-14, 1.0, 0.0, 1.0) == pytest.approx(0.5, rel=1e-6)


def test_two_coats_are_one_coat_of_twice_the_thickness() -> None:
    first = film_over_ground(0.25, 1.0, 0.3, 1.0)
    assert film_over_ground(0.25, 1.0, first, 1.0) == pytest.approx(
        float(film_over_ground(0.25, 1.0, 0.3, 2.0)), rel=1e-12
    )


def test_a_very_thick_film_hides() -> None:
    thick = film_over_ground([0.25, 3.0], [1.0, 0.2], [0.0, 1.0], 1e5)
    np.testing.assert_allclose(thick, reflectance_from_ratio([0.25, 15.0]), rtol=1e-9)
    assert film_transmittance(0.25, 1.0, 1e5) < 1e-300


def test_films_solve_the_two_differential_equations() -> None:
    """SciPy integrates the light going down and the light going up, from the ground."""
    from scipy.integrate import solve_ivp

    rng = np.random.default_rng(1931)
    for _ in range(40):
        K, S = 10.0 ** rng.uniform(-3, 0.5, 2)
        ground, thickness = rng.random(), 10.0 ** rng.uniform(-2, 0.5)

        def flow(_: float, light: list[float], K: float = K, S: float = S) -> list[float]:
            down, up = light
            return [(K + S) * down - S * up, S * down - (K + S) * up]

        end = solve_ivp(flow, (0, thickness), [1.0, ground], rtol=1e-10, atol=1e-12).y[:, -1]
        # 1e-7: what the integration itself can be trusted to
        assert film_over_ground(K, S, ground, thickness) == pytest.approx(end[1] / end[0], abs=1e-7)
        black = solve_ivp(flow, (0, thickness), [1.0, 0.0], rtol=1e-10, atol=1e-12).y[:, -1]
        assert film_transmittance(K, S, thickness) == pytest.approx(1.0 / black[0], abs=1e-7)


@pytest.mark.parametrize("k1", SAUNDERSON)
def test_saunderson(k1: float) -> None:
    np.testing.assert_allclose(outer_from_inner(INNER, k1, 0.6), SAUNDERSON[k1], atol=6e-7)
    np.testing.assert_allclose(inner_from_outer(SAUNDERSON[k1], k1, 0.6), INNER, atol=2e-5)


def test_saunderson_inverse_value() -> None:
    assert inner_from_outer(0.5, 0.04, 0.6) == pytest.approx(0.696970, abs=6e-7)


@pytest.mark.parametrize(("share", "reflectance"), WHITE_AND_BLUE)
def test_two_constant_mixture(share: float, reflectance: float) -> None:
    mixed = mix_recipes(
        [[0.01], [2.0]], [[1.0], [0.05]], [[0.0, 0.0], [0.0, 0.0]], [1 - share, share]
    )
    assert reflectance_of_mixes(*mixed)[0] == pytest.approx(reflectance, abs=6e-7)


def _curtis() -> list[dict[str, str]]:
    with (REFERENCE / "curtis_1997.csv").open(encoding="utf-8") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


def _channels(row: dict[str, str], name: str) -> np.ndarray:
    return np.array([float(row[name + channel]) for channel in "RGB"])


@pytest.mark.parametrize("row", _curtis(), ids=lambda row: row["pigment"])
def test_twelve_watercolours_of_curtis_and_others(row: dict[str, str]) -> None:
    """The inverse printed by Curtis et al. 1997 finds their K and S in our films."""
    K, S = _channels(row, "K"), _channels(row, "S")
    white, black = film_over_ground(K, S, 1.0, 1.0), film_over_ground(K, S, 0.0, 1.0)
    # 6e-5: four decimals
    np.testing.assert_allclose(white, _channels(row, "white"), atol=6e-5)
    np.testing.assert_allclose(black, _channels(row, "black"), atol=6e-5)
    a = 0.5 * (white + (black - white + 1.0) / black)
    b = np.sqrt(a**2 - 1.0)
    scattering = np.arctanh(b * (1.0 - white) / (b**2 - (a - white) * (a - 1.0))) / b
    np.testing.assert_allclose(scattering, S, rtol=1e-6)
    np.testing.assert_allclose(scattering * (a - 1.0), K, rtol=1e-6)


def test_all_twelve_are_there() -> None:
    assert len(_curtis()) == 12
