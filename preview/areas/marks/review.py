"""What a painter should look at in areas made from marks: islands, what touches, what is bare."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.shape.neighbours import joined, neighbours_of

_SMALL_SHARE = 0.04
_SMALL_MM2 = 12.0
_LEAST_MM2 = 0.05
_MOST_ISLANDS = 40


@dataclass(frozen=True)
class Island:
    """A small piece of an area away from the rest of it and from every mark.

    at : mm, a place on it, as marks take it.
    inside : the area around it.
    """

    area: str
    mm2: float
    at: tuple[float, float, float]
    inside: str


@dataclass(frozen=True)
class Touch:
    """Two areas side by side, and along how many mm."""

    one: str
    other: str
    mm: float


@dataclass(frozen=True)
class Review:
    """What is worth a look, the largest first."""

    islands: tuple[Island, ...]
    touching: tuple[Touch, ...]
    unmarked_mm2: float


def reviewed(
    sculpt: Sculpt, seeded: NDArray[np.bool_], unmarked: str, centres: NDArray[np.floating]
) -> Review:
    """Look an area by area division over.

    Parameters
    ----------
    sculpt : with its areas.
    seeded : (faces,) bool, faces on which a mark stands; a piece with one is meant.
    unmarked : the name of what has no area.
    centres : (faces, 3) mm, the middle of each face in the frame of the marks.
    """
    pairs = neighbours_of(sculpt.faces)
    same = sculpt.area[pairs.left] == sculpt.area[pairs.right]
    count, piece = joined(len(sculpt.faces), pairs.left[same], pairs.right[same])
    mm2 = sculpt.mm2.astype(np.float64)
    long = _lengths(sculpt, pairs.ends)
    size = np.asarray(np.bincount(piece, mm2, count), dtype=np.float64)
    bare = sculpt.area_names.index(unmarked) if unmarked in sculpt.area_names else -1
    meant = np.bincount(piece[seeded], minlength=count) > 0
    return Review(
        islands=_islands(sculpt, piece, size, meant, pairs.left, pairs.right, long, centres),
        touching=_touching(sculpt, pairs.left[~same], pairs.right[~same], long[~same]),
        unmarked_mm2=float(mm2[sculpt.area == bare].sum()) if bare >= 0 else 0.0,
    )


def borders_mm(sculpt: Sculpt) -> NDArray[np.float64]:
    """(areas, areas) float64, mm: how long two areas run side by side."""
    pairs = neighbours_of(sculpt.faces)
    a, b = sculpt.area[pairs.left], sculpt.area[pairs.right]
    meet = a != b
    beside = np.zeros((len(sculpt.area_names),) * 2)
    np.add.at(beside, (a[meet], b[meet]), _lengths(sculpt, pairs.ends)[meet])
    return beside + beside.T


def _lengths(sculpt: Sculpt, ends: NDArray[np.int32]) -> NDArray[np.float64]:
    """mm, of each edge."""
    across = sculpt.vertices[ends[:, 1]] - sculpt.vertices[ends[:, 0]]
    return np.asarray(np.linalg.norm(across.astype(np.float64), axis=1))


def _islands(
    sculpt: Sculpt,
    piece: NDArray[np.int32],
    size: NDArray[np.float64],
    meant: NDArray[np.bool_],
    left: NDArray[np.int32],
    right: NDArray[np.int32],
    long: NDArray[np.float64],
    centres: NDArray[np.floating],
) -> tuple[Island, ...]:
    """Small pieces without a mark that lie within other areas."""
    area_of = np.zeros(len(size), np.int32)
    area_of[piece] = sculpt.area
    area_mm2 = np.bincount(sculpt.area, sculpt.mm2, len(sculpt.area_names))
    seen = np.bincount(piece[sculpt.exposed], minlength=len(size)) > 0
    small = (size < np.minimum(_SMALL_SHARE * area_mm2[area_of], _SMALL_MM2)) & ~meant & seen
    small &= size > _LEAST_MM2
    found = []
    for one in np.flatnonzero(small)[np.argsort(-size[small], kind="stable")][:_MOST_ISLANDS]:
        a, b = piece[left] == one, piece[right] == one
        rim = a != b
        if not rim.any():
            continue
        beyond = np.where(a[rim], sculpt.area[right[rim]], sculpt.area[left[rim]])
        around = int(np.argmax(np.bincount(beyond, long[rim])))
        face = int(np.flatnonzero(piece == one)[0])
        x, y, z = (round(float(v), 3) for v in centres[face])
        names = sculpt.area_names
        found.append(
            Island(names[area_of[one]], round(float(size[one]), 3), (x, y, z), names[around])
        )
    return tuple(found)


def _touching(
    sculpt: Sculpt,
    left: NDArray[np.int32],
    right: NDArray[np.int32],
    long: NDArray[np.float64],
) -> tuple[Touch, ...]:
    """Each two areas that share a border, the longest first."""
    count = len(sculpt.area_names)
    low = np.minimum(sculpt.area[left], sculpt.area[right]).astype(np.int64)
    high = np.maximum(sculpt.area[left], sculpt.area[right])
    total = np.bincount(low * count + high, long, count * count)
    order = np.argsort(-total, kind="stable")
    return tuple(
        Touch(
            sculpt.area_names[k // count], sculpt.area_names[k % count], round(float(total[k]), 3)
        )
        for k in order.tolist()
        if total[k] > 0
    )
