"""Marks on triangles too long for them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.marks.layers import Cover
from preview.areas.marks.model import HEIGHTS
from preview.areas.marks.seeds import Seed

Floats = NDArray[np.floating]

# What is drawn comes out well on triangles no longer than this much of its width, such as halves of
# squares half as wide; a choice of ours.
_LONG = 0.71
_DIVIDED = "a mesh with its triangles divided has it finer"


def coarse_in_words(covers: Sequence[Cover], mm2: Floats, longest: Floats) -> list[str]:
    """One sentence for each shape that lies on triangles too long for it.

    Parameters
    ----------
    covers : of all shapes; images follow their marks.
    mm2, longest : (faces,) mm², and mm, the longest edge of each.
    """
    said = dict[str, str]()
    for cover in covers:
        mark, faces = cover.mark, cover.faces
        wide = mark.high - mark.low if mark.kind == HEIGHTS else cover.wide
        if mark.where in said or not wide or not faces.any():
            continue
        long = float(np.median(longest[faces]))
        if long > _LONG * wide:
            said[mark.where] = (
                f"{_told(mark.where, long)} so the {mark.kind} of {wide:.2g} mm follows their "
                f"edges and covers {int(faces.sum())} of them, {float(mm2[faces].sum()):.2f} mm²; "
                f"{_DIVIDED}"
            )
    return list(said.values())


def short_on_coarse_in_words(
    seeds: Sequence[Seed],
    analysis: Analysis,
    longest: Floats,
    labels: NDArray[np.int32],
    order: Mapping[str, int],
) -> list[str]:
    """One sentence for each growing mark whose reach is short beside the triangles at its places.

    Parameters
    ----------
    seeds : from which areas grow.
    analysis : of the figure.
    longest : (faces,) mm, the longest edge of each face of the figure.
    labels : (faces,) int32, what grew, index into names.
    order : name -> its index.
    """
    short = dict[str, list[Seed]]()
    for seed in seeds:
        if not seed.between and not math.isinf(seed.reach):
            short.setdefault(seed.where, []).append(seed)
    said = []
    for where, places in short.items():
        reach = places[0].reach
        faces = np.concatenate([analysis.figure_faces(seed.face) for seed in places])
        long = float(np.median(longest[faces])) if len(faces) else 0.0
        if long <= _LONG * 2.0 * reach:
            continue
        if (labels[faces] == order[places[0].area]).any():
            said.append(
                f"{_told(where, long)} so what grows {reach:.2g} mm follows their edges; {_DIVIDED}"
            )
        else:
            said.append(
                f"{_told(where, long)} and its reach of {reach:.2g} mm ends within the one that it "
                "stands on, so nothing comes of it; a longer reach, or a disc, takes that one"
            )
    return said


def _told(where: str, long: float) -> str:
    """How a sentence on triangles begins."""
    return f"{where}: the triangles here are about {long:.1f} mm long,"
