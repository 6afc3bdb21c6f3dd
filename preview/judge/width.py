"""How wide the parts of a picture are: twice the distance to the border, along the middle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.grouping import weighted_medians

# On the middle line no neighbour is much farther from the border; off it one is a step farther.
_RIDGE_STEP = 0.5


@dataclass(frozen=True, eq=False)
class Parts:
    """The connected parts of a label picture; lengths in samples.

    component : (rows, columns) int32, number of the part; -1 where there is none.
    label : (parts,) int32, the label that the part bears.
    samples : (parts,) int64, how many samples it fills.
    width : (parts,) float64, local width: median over the part's middle line, by area.
    length : (parts,) float64, of the bar of that width and the part's area.
    """

    component: NDArray[np.int32]
    label: NDArray[np.int32]
    samples: NDArray[np.int64]
    width: NDArray[np.float64]
    length: NDArray[np.float64]


def measure_parts(label: NDArray[np.int32]) -> Parts:
    """The connected parts of each label >= 0, with their local width and length.

    The width is twice the distance to the part's border, taken where no neighbour is farther
    from it. It comes out within about half a sample. A compact part, whose bar would be shorter
    than wide, counts as the square of its area.

    Parameters
    ----------
    label : (rows, columns) int32; below 0 is no part.
    """
    component, of_label = _components(label)
    count = len(of_label)
    distance = _distance_to_border(label)
    ridge = (component >= 0) & (_farthest_beside(distance, label) - distance < _RIDGE_STEP)
    at_ridge = distance[ridge]
    width = 0.5 + 2.0 * weighted_medians(at_ridge, at_ridge, component[ridge], count)
    samples = np.bincount(component[component >= 0], minlength=count)
    square = np.sqrt(samples)
    width = np.minimum(width, square)
    return Parts(component, of_label, samples, width, samples / np.maximum(width, 1e-9))


def _components(label: NDArray[np.int32]) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Number the connected parts over all labels; the label of each."""
    from scipy import ndimage

    component = np.full(label.shape, -1, np.int32)
    of_label: list[int] = []
    boxes = ndimage.find_objects(np.maximum(label + 1, 0))
    for value, box in enumerate(boxes):
        if box is None:
            continue
        mask = label[box] == value
        numbered, found = ndimage.label(mask, structure=np.ones((3, 3), bool))
        component[box][mask] = numbered[mask] + (len(of_label) - 1)
        of_label.extend([value] * found)
    return component, np.array(of_label, np.int32)


def _distance_to_border(label: NDArray[np.int32]) -> NDArray[np.float32]:
    """Samples from each sample's middle to the nearest border between labels."""
    from scipy import ndimage

    inside = np.ones(label.shape, bool)
    inside[[0, -1], :] = inside[:, [0, -1]] = False
    across, down = label[:, 1:] != label[:, :-1], label[1:] != label[:-1]
    inside[:, 1:] &= ~across
    inside[:, :-1] &= ~across
    inside[1:] &= ~down
    inside[:-1] &= ~down
    return np.asarray(ndimage.distance_transform_edt(inside) + 0.5, np.float32)


def _farthest_beside(
    distance: NDArray[np.float32], label: NDArray[np.int32]
) -> NDArray[np.float32]:
    """The largest distance among the eight neighbours of the same label."""
    best = np.zeros_like(distance)
    rows, columns = label.shape
    for down in (-1, 0, 1):
        for across in (-1, 0, 1):
            here = _shifted(rows, columns, down, across)
            there = _shifted(rows, columns, -down, -across)
            beside = np.where(label[here] == label[there], distance[there], 0.0)
            np.maximum(best[here], beside, out=best[here])
    return best


def _shifted(rows: int, columns: int, down: int, across: int) -> tuple[slice, slice]:
    """The part of a picture that stays inside when moved by (down, across)."""
    return (
        slice(max(0, down), rows + min(0, down)),
        slice(max(0, across), columns + min(0, across)),
    )
