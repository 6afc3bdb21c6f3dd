"""Loops over faces or samples as machine code, for what NumPy would need many passes for."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from pickle import UnpicklingError
from threading import Lock
from typing import Any, TypeVar, cast

Loop = TypeVar("Loop", bound=Callable[..., Any])

_one_at_a_time = Lock()
_BROKEN = (OSError, EOFError, UnpicklingError)


def compiled(loop: Loop) -> Loop:
    """The same function, compiled by Numba at its first call and kept on disk for later runs.

    Its machine code stands beside the source, as Python's own does, or in Numba's cache folder
    where that cannot be written; what is broken there is compiled anew. It runs without the
    interpreter lock, so that `in_threads` spreads it over the cores, and on one core alone, so that
    its sums do not depend on how many there are. One compiled loop cannot call another, and numbers
    of other modules must be handed to it: on disk it is told apart by its own file alone.

    Parameters
    ----------
    loop : takes arrays and numbers, and fills arrays or gives a number; a plain loop.
    """
    machine: list[Callable[..., Any]] = []

    @wraps(loop)
    def call(*arguments: Any) -> Any:
        if not machine:
            with _one_at_a_time:
                if not machine:
                    machine.append(_machine_code(loop))
        try:
            return machine[0](*arguments)
        except _BROKEN:
            # Nothing has run yet: what was kept on disk cannot be read, or the disk is full.
            machine[0] = _machine_code(loop, kept=False)
            return machine[0](*arguments)

    return cast(Loop, call)


def get_ready() -> None:
    """Load Numba and all that its first loop needs, a second's work, beside something else."""
    _one()


@compiled
def _one() -> int:
    """The least of loops."""
    return 1


def _machine_code(loop: Callable[..., Any], kept: bool = True) -> Callable[..., Any]:
    """The loop behind Numba, cached on disk where there is a folder to write to."""
    from numba import njit

    try:
        return njit(cache=kept, nogil=True, error_model="numpy")(loop)
    except RuntimeError:
        # Neither the package's folder nor the user's can be written: compile in every run.
        return njit(nogil=True, error_model="numpy")(loop)
