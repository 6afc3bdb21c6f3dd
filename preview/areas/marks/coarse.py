"""Marks on triangles too wide for them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.marks.layers import Cover
from preview.areas.marks.seeds import Seed

# What is drawn comes out well on triangles half as wide as it is; a choice of ours.
_WIDE = 0.5
_DIVIDED = "a mesh with its triangles divided has it finer"


def coarse_in_words(covers: Sequence[Cover], mm2: NDArray[np.floating]) -> list[str]:
    """One sentence for each shape that lies on triangles too wide for it.

    Parameters
    ----------
    covers : of all shapes; images follow their marks.
    mm2 : (faces,) mm².
    """
    said = dict[str, str]()
    for cover in covers:
        mark, faces = cover.mark, cover.faces
        if mark.where in said or not cover.wide or not faces.any():
            continue
        leg = _leg(mm2[faces])
        if leg > _WIDE * cover.wide:
            said[mark.where] = (
                f"{_told(mark.where, leg)}the {mark.kind} of {cover.wide:.2g} mm follows their "
                f"edges and covers {int(faces.sum())} of them, {float(mm2[faces].sum()):.2f} mm²; "
                f"{_DIVIDED}"
            )
    return list(said.values())


def short_on_coarse_in_words(
    seeds: Sequence[Seed], analysis: Analysis, mm2: NDArray[np.floating]
) -> list[str]:
    """One sentence for each growing mark with a reach shorter than the triangles are wide.

    Parameters
    ----------
    seeds : from which areas grow.
    analysis : of the figure.
    mm2 : (faces,) mm², of the figure.
    """
    said = dict[str, str]()
    for seed in seeds:
        if seed.where in said or seed.between or math.isinf(seed.reach):
            continue
        faces = analysis.figure_faces(seed.face)
        leg = _leg(mm2[faces]) if len(faces) else 0.0
        if leg > _WIDE * 2.0 * seed.reach:
            said[seed.where] = (
                f"{_told(seed.where, leg)}what grows {seed.reach:.2g} mm follows their "
                "edges, or comes to nothing; "
                f"{_DIVIDED}"
            )
    return list(said.values())


def _leg(mm2: NDArray[np.floating]) -> float:
    """How wide triangles are: in mm, the leg of a right-angled one with two legs alike."""
    return float(np.sqrt(2.0 * np.median(mm2)))


def _told(where: str, leg: float) -> str:
    """How a sentence on triangles begins."""
    return f"{where}: the triangles here are about {leg:.1f} mm wide, so "
