"""Work spread over the processor's cores; results come back in the order of the jobs."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

Job = TypeVar("Job")
Result = TypeVar("Result")

_here = threading.local()


def cores() -> int:
    """How many processor cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return max(1, len(os.sched_getaffinity(0)))
    return max(1, os.cpu_count() or 1)


def in_threads(work: Callable[[Job], Result], jobs: Sequence[Job]) -> Iterator[Result]:
    """The result of `work` on each job, in the jobs' order, computed by as many threads as cores.

    NumPy and Embree release the interpreter lock, so threads suffice. Order, and with it every
    sum over the results, does not depend on the number of cores. Called inside such a thread it
    works on alone, since the cores are taken; when it is given up, jobs not begun are dropped.
    """
    if len(jobs) <= 1 or cores() == 1 or getattr(_here, "working", False):
        yield from map(work, jobs)
        return
    pool = ThreadPoolExecutor(max_workers=min(cores(), len(jobs)), initializer=_begin)
    try:
        yield from pool.map(work, jobs)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def at_once(*works: Callable[[], Any]) -> list[Any]:
    """The results of several works, in their order, all begun at once.

    Each may spread over the cores itself: what keeps one core busy for a while then leaves no
    other idle. Inside a thread of `in_threads` they are done one after another. The first is done
    by the calling thread, so that Ctrl-C stops it at once: let it be the longest.
    """
    if cores() == 1 or len(works) == 1 or getattr(_here, "working", False):
        return [work() for work in works]
    first, *others = works
    with ThreadPoolExecutor(max_workers=len(others)) as pool:
        begun = [pool.submit(work) for work in others]
        return [first(), *(one.result() for one in begun)]


def once(make: Callable[[], Result]) -> Callable[[], Result]:
    """`make`, called when its result is first wanted, by whichever thread wants it first."""
    made: list[Result] = []
    lock = threading.Lock()

    def give() -> Result:
        with lock:
            if not made:
                made.append(make())
            return made[0]

    return give


def _begin() -> None:
    """Mark this thread as one that works on a part of a whole."""
    _here.working = True


def chunks(count: int, size: int) -> list[slice]:
    """Slices of at most `size` that cover range(count)."""
    return [slice(start, min(start + size, count)) for start in range(0, count, size)]
