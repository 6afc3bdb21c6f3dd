"""Shortest ways over a net, held to SciPy's."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from preview.shape.net import Net, Ways


def _random(seed: int) -> tuple[int, np.ndarray, np.ndarray, np.ndarray]:
    draw = np.random.default_rng(seed)
    left, right = draw.integers(0, 400, (2, 700)).astype(np.int32)
    apart = left != right
    left, right = left[apart], right[apart]
    _, once = np.unique(np.minimum(left, right) * 400 + np.maximum(left, right), return_index=True)
    return 400, left[once], right[once], draw.uniform(0.1, 2.0, len(once))


@pytest.mark.parametrize("seed", range(4))
def test_ways_are_as_long_as_scipy_finds_them(seed: int) -> None:
    count, left, right, cost = _random(seed)
    begin = np.array([3, 77, 250])
    ways = Ways(Net.of(count, left, right), cost)
    ways.add(begin)
    twice, ends = np.tile(cost, 2), (np.r_[left, right], np.r_[right, left])
    net = coo_array((twice, ends), shape=(count, count)).tocsr()
    distance, _, source = dijkstra(net, indices=begin, min_only=True, return_predecessors=True)
    np.testing.assert_allclose(ways.distance, distance, rtol=1e-12)
    np.testing.assert_array_equal(ways.nearest, np.where(source >= 0, source, -1))


@pytest.mark.parametrize("seed", range(4))
def test_among_some_things_ways_are_as_long_as_scipy_finds_them_there(seed: int) -> None:
    count, left, right, cost = _random(seed)
    some = np.random.default_rng(seed).permutation(count)[:230]
    ways = Ways(Net.of(count, left, right).among(some), cost)
    ways.add(np.array([0, 7]))
    twice, ends = np.tile(cost, 2), (np.r_[left, right], np.r_[right, left])
    net = coo_array((twice, ends), shape=(count, count)).tocsr()[some][:, some]
    np.testing.assert_allclose(
        ways.distance, dijkstra(net, indices=[0, 7], min_only=True), rtol=1e-12
    )
    assert len(Ways(Net.of(count, left, right).among(some[:0]), cost).nearest) == 0


@pytest.mark.parametrize("cost", [1.0, None])
def test_it_does_not_matter_when_things_are_added(cost: float | None) -> None:
    count, left, right, own = _random(9)
    # Links of one length make many ways equally long.
    own = own if cost is None else np.full(len(own), cost)
    net, begin = Net.of(count, left, right), np.arange(0, 400, 23)
    at_once, one_by_one = Ways(net, own), Ways(net, own)
    at_once.add(begin)
    for thing in begin[::-1]:
        one_by_one.add(np.array([thing]))
    np.testing.assert_array_equal(at_once.distance, one_by_one.distance)
    np.testing.assert_array_equal(at_once.nearest, one_by_one.nearest)


def test_of_equally_near_ones_the_lower_number_counts() -> None:
    ways = Ways(
        Net.of(5, np.arange(4, dtype=np.int32), np.arange(1, 5, dtype=np.int32)), np.ones(4)
    )
    ways.add(np.array([4, 0]))
    assert ways.nearest.tolist() == [0, 0, 0, 4, 4]
    assert ways.distance.tolist() == [0, 1, 2, 1, 0]


def test_a_way_that_begins_late_is_a_way_that_came_from_so_far() -> None:
    count, left, right, cost = _random(5)
    begin, late = np.array([250, 3, 77]), np.array([0.0, 1.7, 0.6])
    ways = Ways(Net.of(count, left, right), cost)
    ways.add(begin, late)
    # The same by a link of that length to each from a thing of its own.
    own = np.arange(count, count + 3, dtype=np.int32)
    longer = Net.of(count + 3, np.r_[left, own], np.r_[right, begin].astype(np.int32))
    same = Ways(longer, np.r_[cost, np.maximum(late, 1e-12)])
    same.add(own)
    np.testing.assert_allclose(ways.distance, same.distance[:count], atol=1e-9)
    from_where = np.r_[np.arange(count), begin, -1][same.nearest[:count]]
    np.testing.assert_array_equal(ways.nearest, from_where)


@pytest.mark.parametrize("late", [None, np.array([0.0, 1.7, 0.6])])
@pytest.mark.parametrize("equal", [False, True])
def test_a_way_is_a_chain_of_links_as_long_as_its_distance(
    equal: bool, late: np.ndarray | None
) -> None:
    count, left, right, cost = _random(7)
    cost = np.ones(len(cost)) if equal else cost
    begin = np.array([250, 3, 77])
    ways = Ways(Net.of(count, left, right), cost)
    ways.add(begin, late)
    behind = dict(zip(begin.tolist(), np.zeros(3) if late is None else late, strict=True))
    links = dict(
        zip(map(frozenset, zip(left.tolist(), right.tolist(), strict=True)), cost, strict=True)
    )
    for thing in np.flatnonzero(ways.nearest >= 0).tolist():
        way = ways.way(thing).tolist()
        assert (way[0], way[-1]) == (thing, ways.nearest[thing])
        long = sum(links[frozenset(pair)] for pair in pairwise(way))
        assert long + behind[way[-1]] == pytest.approx(ways.distance[thing], abs=1e-9)


def test_ways_until_a_thing_know_the_way_to_it() -> None:
    count, left, right, cost = _random(3)
    net = Net.of(count, left, right)
    whole = Ways(net, cost)
    whole.add(np.array([5]))
    far = int(np.argmax(np.where(np.isfinite(whole.distance), whole.distance, -1.0)))
    for thing in (far, int(left[0]), 5):
        part = Ways(net, cost)
        part.add(np.array([5]), until=thing)
        assert part.distance[thing] == whole.distance[thing]
        assert part.way(thing).tolist() == whole.way(thing).tolist()
    near = Ways(net, cost)
    near.add(np.array([5]), until=int(net.other[net.start[5]]))
    assert not np.isfinite(near.distance[far])


def test_what_is_tied_to_nothing_is_not_reached() -> None:
    ways = Ways(Net.of(3, np.array([0], np.int32), np.array([1], np.int32)), np.ones(1))
    ways.add(np.array([0]))
    assert ways.nearest.tolist() == [0, 0, -1]
    assert ways.distance[2] == np.inf
    assert ways.way(2).tolist() == [2]
