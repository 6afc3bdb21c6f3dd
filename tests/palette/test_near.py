"""Near colours by the grid are those by the formula; bounds are never below what is reached."""

from __future__ import annotations

import numpy as np
import pytest

from preview.mix.circle import HUES, place_on_circle
from preview.mix.ratios import distinct_ratios
from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.palette.bounds import most_of_fours, most_with_any
from preview.palette.mixes import Pots, lab_of_full_mixes, pair_place, pairs_of, triple_place
from preview.palette.near import Nearby, unpacked
from preview.palette.roles import cast_roles
from preview.palette.targets import by_rule
from tests.palette.racks import rack_by_rule


@pytest.mark.parametrize("within", [1.0, 3.0, 8.0])
@pytest.mark.parametrize("spread", [1.5, 6.0, 25.0])
def test_near_is_what_ciede2000_says(within: float, spread: float) -> None:
    rng = np.random.default_rng(5)
    hue = rng.uniform(0.0, 2.0 * np.pi, 150)
    chroma = rng.uniform(0.0, 90.0, 150) * rng.integers(0, 2, 150)
    colours = np.stack(
        [rng.uniform(0.0, 100.0, 150), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1
    )
    lab = colours[rng.integers(0, 150, 6000)] + rng.normal(0.0, spread, (6000, 3))
    lab[:, 0] = np.clip(lab[:, 0], 0.0, 100.0)
    found = Nearby(colours, within).found(lab[:, None])
    expected = np.concatenate(
        [ciede2000(some[:, None], colours[None]) <= within for some in np.split(lab, 10)]
    )
    assert expected.any()
    np.testing.assert_array_equal(unpacked(found.mask, len(colours)), expected)
    np.testing.assert_array_equal(found.low, lab[:, 0])


def test_hues_are_those_of_the_painters_circle() -> None:
    rng = np.random.default_rng(6)
    lab = np.stack([np.full(2000, 50.0), *rng.uniform(-60.0, 60.0, (2, 2000))], axis=1)
    found = Nearby(by_rule().lab, 3.0).found(lab[:, None])
    for one, hues in zip(lab, found.hues, strict=True):
        place = place_on_circle(one)
        assert hues == (1 << HUES.index(place.hue) if place.chroma >= 20.0 else 0)


def test_mixes_are_those_of_the_recipes() -> None:
    rack = rack_by_rule(30)
    paints = list(rack.paints.values())
    for size, count in ((1, 1), (2, 21), (3, 52), (4, 69)):
        members = np.array([[2, 9, 17, 28][:size]], dtype=np.int32)
        lab = lab_of_full_mixes(Pots.of(paints), members)[0]
        ratios = distinct_ratios(size, 8)
        full = ratios[ratios.min(axis=1) > 0]
        mixed = mix_recipes(*constants_of([paints[k] for k in members[0]]), full)
        expected = lab_from_reflectance(reflectance_of_mixes(*mixed))
        assert len(lab) == count
        np.testing.assert_allclose(lab, expected, atol=1e-9)


def test_mixes_of_all_sizes_are_all_407() -> None:
    assert 4 * 1 + 6 * 21 + 4 * 52 + 69 == len(distinct_ratios(4, 8)) == 407


def test_bounds_are_never_below_what_mixes_of_four_reach() -> None:
    rack = rack_by_rule(60)
    pots = Pots.of(list(rack.paints.values()))
    rng = np.random.default_rng(7)
    names = list(rack.paints)
    pales = np.array([names.index(p.name) for p in cast_roles(rack).by_role["pale"]], np.int32)
    others = np.setdiff1d(np.arange(60), pales)
    trios = np.array([rng.choice(others, 3, replace=False) for _ in range(300)], dtype=np.int32)
    nearby = Nearby(np.concatenate([by_rule().lab] * 2), np.repeat([3.0, 8.0], len(by_rule().lab)))
    most = most_of_fours(pots, trios, pales, nearby)
    reached = 0
    for pale in pales:
        four = np.concatenate([trios, np.full((300, 1), pale, dtype=np.int32)], axis=1)
        found = nearby.found(lab_of_full_mixes(pots, four))
        reached += np.bitwise_count(found.mask[:, :1]).sum()
        assert not np.any(found.mask & ~most.mask)
        assert not np.any(found.hues & ~most.hues)
        assert np.all(most.low <= found.low + 1e-9)
        assert np.all(most.high >= found.high - 1e-9)
    # And they say something: of the first 64 colours it is 6 times what one pale pot reaches
    assert 0 < np.bitwise_count(most.mask[:, :1]).sum() * len(pales) < 7.0 * reached


def test_bounds_with_any_pale_pot_are_never_below_what_its_mixes_reach() -> None:
    rack = rack_by_rule(60)
    pots = Pots.of(list(rack.paints.values()))
    rng = np.random.default_rng(8)
    members = np.array([rng.choice(50, 3, replace=False) for _ in range(100)], dtype=np.int32)
    others = np.arange(50, 60, dtype=np.int32)
    nearby = Nearby(by_rule().lab, 3.0)
    most = most_with_any(pots, members, others, nearby)
    for other in others:
        four = np.concatenate([members, np.full((100, 1), other, dtype=np.int32)], axis=1)
        found = nearby.found(lab_of_full_mixes(pots, four)) | nearby.found(
            lab_of_full_mixes(pots, members)
        )
        assert not np.any(found.mask & ~most.mask)
        assert not np.any(found.hues & ~most.hues)
        assert np.all(most.low <= found.low + 1e-9)
        assert np.all(most.high >= found.high - 1e-9)


def test_pairs_and_triples_have_places_of_their_own() -> None:
    pairs = pairs_of(9)
    assert pair_place(pairs).tolist() == list(range(36))
    assert pair_place(pairs[:, ::-1]).tolist() == list(range(36))
    triples = np.array([(i, j, k) for k in range(9) for j in range(k) for i in range(j)])
    assert triple_place(triples.astype(np.int32)[:, [2, 0, 1]]).tolist() == list(range(84))
