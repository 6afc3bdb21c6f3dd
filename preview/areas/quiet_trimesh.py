"""trimesh, kept from writing to the user's screen: what is wrong is told as an error of ours."""

from __future__ import annotations

import logging
from types import ModuleType

# What trimesh was seen to raise on damaged files. NameError: variables that its readers leave
# unset; RuntimeError holds RecursionError.
TRIMESH_ERRORS = (
    ArithmeticError, AssertionError, AttributeError, EOFError, LookupError, NameError, OSError,
    RuntimeError, TypeError, ValueError,
)  # fmt: skip


def quiet_trimesh() -> ModuleType:
    """The trimesh package; its log goes nowhere unless somebody set a handler for it."""
    import trimesh

    log = logging.getLogger("trimesh")
    if not log.handlers:
        log.addHandler(logging.NullHandler())
    module: ModuleType = trimesh
    return module
