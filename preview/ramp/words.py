"""The words that a scheme file reserves: what a pot is for, and the names of steps."""

from __future__ import annotations

import re
from typing import Literal, get_args

Role = Literal["warm", "cold", "pale", "brown", "accent", "dark", "metal"]
Group = Literal["shadow", "midtone", "highlight"]

ROLES: tuple[Role, ...] = get_args(Role)
MAIN_ROLES: tuple[Role, ...] = ("warm", "cold", "pale", "brown", "accent")
MAIN_POTS = 4
MOST_HIGHLIGHTS = 8

STEP_KEYS = ("deep", "shadow", "midtone", "highlight")
ELSEWHERE = "elsewhere"
AUTO = "auto"
GLAZE, OVER, PRIMER = "glaze", "over", "primer"


def highlight_name(number: int) -> str:
    """The name of the n-th highlight of a list, counted from 1."""
    return f"highlight{number}"


HIGHLIGHT_NAMES = tuple(highlight_name(n) for n in range(1, MOST_HIGHLIGHTS + 1))
RESERVED = frozenset((*ROLES, *STEP_KEYS, *HIGHLIGHT_NAMES, ELSEWHERE, AUTO, GLAZE, OVER, PRIMER))


def step_in_words(name: str) -> str:
    """A step's or pot's name for people: "highlight 1" for "highlight1"."""
    return re.sub(r"(?<=[a-z])(?=\d)", " ", name)


def group_of(step_name: str) -> Group:
    """Which third of a ramp a step counts for: what is below the mid-tone is shadow."""
    if step_name in ("deep", "shadow"):
        return "shadow"
    return "midtone" if step_name == "midtone" else "highlight"
