"""The face on the other side of a figure's plane of symmetry."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface
from preview.shape.closest import closest_of

Ints = NDArray[np.int32]

_ACROSS = np.array([-1.0, 1.0, 1.0])
# Cosine of 60°: a face and its image on a coarse or sculpted surface may lean apart by that much,
# while the two walls of a thin part face 180° apart and those of an edge 90°. A choice of ours.
_FACING = 0.5
_SOME = 4000
# Of a pair's either shell so much lies alike on the other; a shield and a hand have some per cent.
_PAIRED = 0.1


def other_side(surface: Surface, mirror_x: float, reach_mm: float) -> Ints:
    """(faces,) int32: the face nearest to each one's mirror image; -1 where there is none.

    Parameters
    ----------
    surface : the net of faces.
    mirror_x : mm, where the plane lies.
    reach_mm : how far off a face's mirror image may lie; the two must face alike, too.
    """
    near, alike = _images(surface, mirror_x, reach_mm)
    alike &= _partners(surface, near, alike)[surface.shell] == surface.shell[near]
    return np.where(alike, near, -1).astype(np.int32)


def partners(surface: Surface, mirror_x: float, reach_mm: float) -> Ints:
    """(shells,) int32: the shell that is a shell's mirror image, itself in the middle; -1 for none.

    Two shells are each other's when more of the image of either lies on the other than on any
    third, and a tenth of it at least; a lock of hair whose image lies on a cheek has none.

    Parameters
    ----------
    surface, mirror_x, reach_mm : as `other_side`.
    """
    near, alike = _images(surface, mirror_x, reach_mm)
    partner, own = _partners(surface, near, alike), np.arange(surface.shells)
    on_it = alike & (surface.shell[near] == partner[surface.shell])
    share = np.bincount(surface.shell[on_it], surface.mm2[on_it], surface.shells)
    enough = share >= _PAIRED * np.bincount(surface.shell, surface.mm2, surface.shells)
    enough = enough & enough[partner] | (partner == own)
    mutual = (partner >= 0) & (partner[partner] == own)
    return np.where(mutual & enough, partner, -1).astype(np.int32)


def share_alike(surface: Surface, mirror_x: float, reach_mm: float) -> float:
    """How much of a surface has its mirror image on the other side, [0, 1]; by some 4,000 faces.

    Parameters
    ----------
    surface, mirror_x, reach_mm : as `other_side`.
    """
    from scipy.spatial import cKDTree

    some = np.arange(0, len(surface.faces), max(1, len(surface.faces) // _SOME))
    image = surface.centre[some] * _ACROSS + (2.0 * mirror_x, 0.0, 0.0)
    near = np.asarray(cKDTree(surface.centre).query(image)[1])
    alike = _lie_alike(surface, some, near, image, reach_mm)
    size = surface.mm2[some]
    return float(size[alike].sum() / size.sum())


def _images(surface: Surface, mirror_x: float, reach_mm: float) -> tuple[Ints, NDArray[np.bool_]]:
    """For each face the one nearest to its mirror image, and whether that lies alike."""
    image = surface.centre * _ACROSS + (2.0 * mirror_x, 0.0, 0.0)
    near = closest_of(
        surface.centre.astype(np.float32), image.astype(np.float32),
        float(np.sqrt(surface.mm2.mean())),
    )  # fmt: skip
    return near, _lie_alike(surface, np.arange(len(near)), near, image, reach_mm)


def _lie_alike(
    surface: Surface,
    faces: NDArray[np.integer],
    near: NDArray[np.integer],
    image: NDArray[np.float64],
    reach_mm: float,
) -> NDArray[np.bool_]:
    """Whether the faces near the images of some faces are within reach and face alike."""
    away = np.linalg.norm(surface.centre[near] - image, axis=1)
    # Large faces need not lie alike to be of one surface.
    reach = np.maximum(reach_mm, np.sqrt(surface.mm2[near]))
    turned = surface.normal[faces] * _ACROSS
    facing = np.einsum("ij,ij->i", surface.normal[near], turned) > _FACING
    return np.asarray(facing & (away <= reach), dtype=np.bool_)


def _partners(surface: Surface, near: Ints, alike: NDArray[np.bool_]) -> Ints:
    """(shells,) int32: the shell on which most of a shell's mirror image lies; -1 where none."""
    key = surface.shell[alike].astype(np.int64) * surface.shells + surface.shell[near[alike]]
    pairs, index = np.unique(key, return_inverse=True)
    own, other = np.divmod(pairs, surface.shells)
    weight = np.bincount(index, surface.mm2[alike], len(pairs))
    partner = np.full(surface.shells, -1, np.int32)
    order = np.lexsort((-other, weight))
    partner[own[order]] = other[order]
    return partner


def on_both_sides(surface: Surface, patch: Ints, other: Ints, mirror_x: float) -> tuple[int, Ints]:
    """Patches that hold what lies on one side and its mirror image.

    Parameters
    ----------
    patch : (faces,) int32.
    other : (faces,) int32, from `other_side`.

    Returns
    -------
    patches : how many there are.
    patch : (faces,) int32, in [0, patches).
    """
    takes = (surface.centre[:, 0] < mirror_x) & (other >= 0)
    taken = np.where(takes, patch[np.maximum(other, 0)], patch)
    names, index = np.unique(taken, return_inverse=True)
    return len(names), index.astype(np.int32)
