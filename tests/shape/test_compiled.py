"""A compiled loop does what the plain loop does, from any number of threads."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numba
import numpy as np
import pytest

from preview.shape import compiled as module
from preview.shape.compiled import compiled


def running_sum(values: np.ndarray, out: np.ndarray) -> int:
    """A plain loop."""
    total = 0.0
    for i in range(len(values)):
        total += values[i]
        out[i] = total
    return len(values)


def test_it_gives_and_fills_what_the_plain_loop_does() -> None:
    values = np.random.default_rng(0).random(1000)
    plain, fast = np.empty(1000), np.empty(1000)
    assert compiled(running_sum)(values, fast) == running_sum(values, plain)
    np.testing.assert_array_equal(fast, plain)


def test_threads_that_ask_at_once_share_one_compilation(monkeypatch: pytest.MonkeyPatch) -> None:
    made = []
    real = module._machine_code

    def counting(loop, kept=True):
        made.append(loop)
        return real(loop, kept)

    monkeypatch.setattr(module, "_machine_code", counting)
    fast = compiled(running_sum)
    assert made == [], "nothing is compiled before it is needed"
    with ThreadPoolExecutor(8) as pool:
        ends = list(pool.map(lambda n: fast(np.ones(n), np.empty(n)), range(1, 9)))
    assert ends == list(range(1, 9))
    assert len(made) == 1


def test_without_a_folder_for_machine_code_it_still_works(monkeypatch: pytest.MonkeyPatch) -> None:
    real = numba.njit

    def without_disk(**options):
        if options.get("cache"):

            def refuse(loop):
                raise RuntimeError("cannot cache function: no locator available")

            return refuse
        return real(**options)

    monkeypatch.setattr(numba, "njit", without_disk)
    out = np.empty(3)
    assert compiled(running_sum)(np.ones(3), out) == 3
    assert out.tolist() == [1, 2, 3]


def test_machine_code_that_cannot_be_read_is_compiled_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    real = module._machine_code

    def broken_once(loop, kept=True):
        if not kept:
            return real(loop, kept=False)

        def fail(*arguments):
            raise EOFError("Ran out of input")

        return fail

    monkeypatch.setattr(module, "_machine_code", broken_once)
    out = np.empty(3)
    fast = compiled(running_sum)
    assert fast(np.ones(3), out) == 3
    assert out.tolist() == [1, 2, 3]
    assert fast(np.ones(2), out) == 2


def test_its_name_and_words_stay() -> None:
    assert compiled(running_sum).__name__ == "running_sum"
    assert compiled(running_sum).__doc__ == "A plain loop."
