"""Welding against NumPy's own search for equal rows, and nearness on known points."""

from __future__ import annotations

import numpy as np
import pytest

from preview.shape.ordering import order_of
from preview.shape.weld import weld_exact, weld_near


@pytest.mark.parametrize("kind", [np.float32, np.float64])
def test_equal_places_become_one_and_no_others(kind: type) -> None:
    chance = np.random.default_rng(0)
    vertices = chance.integers(-6, 6, (5000, 3)).astype(kind) / 7
    places, place_of = weld_exact(vertices)
    assert np.array_equal(places[place_of], vertices)
    assert len(places) == len(np.unique(vertices, axis=0))
    assert place_of[0] == 0
    first = np.unique(place_of, return_index=True)[1]
    assert (np.diff(first) > 0).all(), "places stand in the order of their first mention"


def test_zero_and_minus_zero_are_one_place() -> None:
    places, place_of = weld_exact(np.array([[0.0, 1, 2], [-0.0, 1, 2]], np.float32))
    assert (len(places), place_of.tolist()) == (1, [0, 0])


def test_neighbouring_floats_are_two_places() -> None:
    a = np.float32(1.0)
    pair = np.array([[a, 0, 0], [np.nextafter(a, np.float32(2)), 0, 0]], np.float32)
    assert len(weld_exact(pair)[0]) == 2


def test_nothing_welds_to_nothing() -> None:
    places, place_of = weld_exact(np.zeros((0, 3), np.float32))
    assert (places.shape, place_of.shape) == ((0, 3), (0,))


def test_a_table_nearly_full_of_places_that_differ_in_one_bit_still_tells_them_apart() -> None:
    bits = np.arange(3 * (1 << 15), dtype=np.uint32).reshape(-1, 3) + np.uint32(0x3F800000)
    vertices = np.concatenate([bits, bits[::-1]]).view(np.float32)
    places, place_of = weld_exact(vertices)
    assert np.array_equal(places, vertices[: len(bits)])
    assert np.array_equal(place_of[len(bits) :], np.arange(len(bits))[::-1])


def test_near_candidates_are_joined_in_chains_and_others_never() -> None:
    vertices = np.array([[0, 0, 0], [0.9, 0, 0], [1.8, 0, 0], [5, 0, 0], [5.1, 0, 0]], float)
    assert weld_near(vertices, np.array([0, 1, 2, 3]), 1.0).tolist() == [0, 0, 0, 3, 4]
    assert weld_near(vertices, np.array([3, 4]), 1.0).tolist() == [0, 1, 2, 3, 3]


@pytest.mark.parametrize("bits", [12, 40, 64])
def test_the_order_is_stable(bits: int) -> None:
    chance = np.random.default_rng(2)
    top = min(2**bits, 2**63)
    keys = chance.integers(0, top, 300, dtype=np.uint64)[chance.integers(0, 300, 2000)]
    assert np.array_equal(order_of(keys, bits), np.argsort(keys, kind="stable"))
    assert order_of(keys[:0], bits).shape == (0,)
