"""The vertex numbers in a run of OBJ face lines, such as "f 1/2/3 4/5/6 7/8/9"."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from preview.areas.text_numbers import whole_numbers_in

Ints = NDArray[np.int64]


def corners_in(block: bytes) -> tuple[Ints, Ints, int]:
    """The vertex number of every corner, lines one after the other.

    Parameters
    ----------
    block : lines that begin with "f ".

    Returns
    -------
    corners : (corners,) int64, as the file writes them: from 1, or negative.
    lengths : (lines,) int64, how many corners each line has.
    unread : how many lines were left out, since they hold something else.
    """
    alike = _all_alike(block)
    if alike is not None:
        return (*alike, 0)
    bare = re.sub(rb"/[^ \n]*", b"", block)
    numbers = _led_by_zero(bare)
    if numbers is not None and int((numbers == 0).sum()) == block.count(b"f "):
        return (*_split(numbers), 0)
    numbers, unread = _line_by_line(bare)
    return (*_split(numbers), unread)


def _all_alike(block: bytes) -> tuple[Ints, Ints] | None:
    """The corners when every one is written in the same of the ways "1", "1/2", "1//3", "1/2/3".

    Reading all numbers and leaving most out is several times faster than cutting them out first.
    """
    single = block.replace(b"//", b"/")
    numbers = _led_by_zero(single.replace(b"/", b" "))
    if numbers is None:
        return None
    corners, lengths = _split(numbers)
    text = np.frombuffer(single, np.uint8)
    starts = np.flatnonzero(text == ord("f"))
    if len(starts) != len(lengths):
        return None
    slashes = np.add.reduceat((text == ord("/")).astype(np.int64), starts)
    for width in (1, 2, 3):
        whole = lengths % width == 0
        if whole.all() and (slashes * width == lengths * (width - 1)).all():
            return corners[::width], lengths // width
    return None


def _led_by_zero(text: bytes) -> Ints | None:
    """All numbers with a 0 where a line begins: OBJ counts from 1, so no corner is 0."""
    return whole_numbers_in(text.replace(b"f ", b" 0 "))


def _split(numbers: Ints) -> tuple[Ints, Ints]:
    """Corners and lengths out of numbers in which a 0 leads every line."""
    marks = np.flatnonzero(numbers == 0)
    lengths = np.diff(marks, append=len(numbers)) - 1
    return numbers[numbers != 0], lengths


def _line_by_line(text: bytes) -> tuple[Ints, int]:
    """The same for those lines that hold nothing but whole numbers, and how many do not."""
    numbers: list[int] = []
    unread = 0
    for line in text.split(b"\n"):
        words = line.split()[1:]
        if words and all(re.fullmatch(rb"-?[1-9]\d{0,14}", word) for word in words):
            numbers += [0, *map(int, words)]
        elif line.strip():
            unread += 1
    return np.array(numbers, dtype=np.int64), unread
