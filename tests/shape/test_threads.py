"""Work that runs at once gives what it would give one after another."""

from __future__ import annotations

import threading

import pytest

from preview.shape import threads
from preview.shape.threads import at_once, in_threads


def test_results_come_in_the_order_of_the_works(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(threads, "cores", lambda: 2)
    second_is_done = threading.Event()

    def first() -> str:
        assert second_is_done.wait(10)
        return "first"

    def second() -> str:
        second_is_done.set()
        return "second"

    assert at_once(first, second) == ["first", "second"]


def test_each_work_may_spread_over_the_cores_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(threads, "cores", lambda: 2)
    both = threading.Barrier(2, timeout=10)

    def meet(_: int) -> int:
        return both.wait()

    met, nothing = at_once(lambda: list(in_threads(meet, [0, 1])), lambda: None)
    assert sorted(met) == [0, 1]
    assert nothing is None


def test_inside_a_thread_that_works_on_a_part_nothing_is_begun(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(threads, "cores", lambda: 2)

    def where(_: int) -> bool:
        here = threading.get_ident()
        return at_once(threading.get_ident, threading.get_ident) == [here, here]

    assert list(in_threads(where, [0, 1])) == [True, True]


def test_what_goes_wrong_in_one_is_told() -> None:
    with pytest.raises(ZeroDivisionError):
        at_once(lambda: 1, lambda: 1 // 0)
