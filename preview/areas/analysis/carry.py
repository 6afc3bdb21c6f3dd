"""Labels of a stand-in carried over to the mesh it stands for, seams on that mesh's own creases."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.metric import Metric
from preview.areas.analysis.seams import smoothed
from preview.areas.analysis.standin import face_for_each
from preview.areas.analysis.surface import Surface
from preview.areas.facing import area_vectors, lengths
from preview.shape.neighbours import Neighbours, shells_of
from preview.shape.net import Net, Ways
from preview.shape.triangles import middles

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_RINGS = 2
_MOST_SPREADS = 6


@dataclass(frozen=True, eq=False)
class Carried:
    """Labels on the stand-in, and the same on the mesh it stands for."""

    thin: Ints
    full: Ints


class Carrier:
    """A heavy mesh tied to its stand-in.

    Parameters
    ----------
    surface : the stand-in.
    vertices, faces : the heavy mesh, (vertices, 3) float32 mm, (faces, 3) int32.
    pairs : its neighbours.
    """

    def __init__(
        self, surface: Surface, vertices: NDArray[np.float32], faces: Ints, pairs: Neighbours
    ) -> None:
        self._surface = surface
        self._vertices, self._faces = vertices, faces
        self._left, self._right, self._ends = pairs.left, pairs.right, pairs.ends
        _, self.shell = shells_of(len(faces), pairs)
        self.near = face_for_each(surface, vertices, faces, self.shell)

    def carry(self, labels: Ints, before: Carried | None = None) -> Carried:
        """The labels of the stand-in on the heavy mesh.

        Parameters
        ----------
        labels : (stand-in faces,) int32.
        before : an earlier result; then only what changed since is looked at.
        """
        strip = _grown(self._surface, self._at_seams(labels), _RINGS)
        full = labels[self.near]
        if before is not None:
            changed = _grown(self._surface, labels != before.thin, 2 * _RINGS)
            full = np.where(changed[self.near], full, before.full)
            strip &= changed
        return Carried(labels, self._on_creases(full, strip))

    def _at_seams(self, labels: Ints) -> Bools:
        """(stand-in faces,) faces beside another label."""
        surface, found = self._surface, np.zeros(len(labels), np.bool_)
        meet = labels[surface.left] != labels[surface.right]
        found[surface.left[meet]] = True
        found[surface.right[meet]] = True
        return found

    def _on_creases(self, full: Ints, strip: Bools) -> Ints:
        """Flood a strip along the seams anew, from its banks, in the heavy mesh's own metric."""
        inside = strip[self.near]
        steps = np.flatnonzero(inside[self._left] & inside[self._right])
        if not len(steps):
            return full
        which = np.flatnonzero(inside)
        place = np.cumsum(inside, dtype=np.int32) - np.int32(1)
        left, right = place[self._left[steps]], place[self._right[steps]]
        edge = self._vertices[self._ends[steps, 1]] - self._vertices[self._ends[steps, 0]]
        banks = self._banks(inside)[which]
        part = _Strip(
            self._surface.metric, self._vertices, self._faces[which], left, right,
            lengths(edge.astype(np.float64)),
        )  # fmt: skip
        labels = part.flooded(full[which], banks)
        full = full.copy()
        full[which] = smoothed(labels, left, right, part.cut, banks)
        return full

    def _banks(self, inside: Bools) -> Bools:
        """(faces,) faces of the strip with a neighbour outside it."""
        banks = np.zeros(len(inside), np.bool_)
        over = inside[self._left] != inside[self._right]
        banks[self._left[over]] = True
        banks[self._right[over]] = True
        return banks & inside


class _Strip:
    """Some faces of the heavy mesh and what steps between them cost."""

    def __init__(
        self,
        metric: Metric,
        vertices: NDArray[np.float32],
        faces: Ints,
        left: Ints,
        right: Ints,
        edge: Floats,
    ) -> None:
        self._left, self._right = left, right
        self._count = len(faces)
        vector = area_vectors(vertices, faces)
        centre = middles(vertices, faces).astype(np.float64)
        apart = centre[right] - centre[left]
        step = np.maximum(lengths(apart), 1e-9)
        a, b = self._spread(vector, step, metric)
        difference = b - a
        angle = 2.0 * np.arcsin(np.minimum(0.5 * lengths(difference), 1.0))
        concave = np.einsum("ij,ij->i", difference, apart) < 0
        reference = step * metric.scale
        bend = np.where(concave, angle, -angle) / metric.width(reference)
        self._cost = metric.cost(reference, bend)
        self.cut = edge / (1.0 + np.maximum(bend, 0.0))

    def flooded(self, labels: Ints, banks: Bools) -> Ints:
        """Labels flooded from the banks; islands without a bank keep theirs."""
        ways = Ways(Net.of(self._count, self._left, self._right), self._cost)
        ways.add(np.flatnonzero(banks))
        near = ways.nearest
        return np.where(near >= 0, labels[np.maximum(near, 0)], labels).astype(np.int32)

    def _spread(self, vector: Floats, step: Floats, metric: Metric) -> tuple[Floats, Floats]:
        """Normals at both ends of each step, spread about as far as the metric says."""
        from scipy.sparse import coo_array

        reach = metric.smooth / metric.scale / max(float(np.median(step)), 1e-9)
        rounds = int(np.clip(round(reach**2), 1, _MOST_SPREADS))
        one, other = self._left, self._right
        ends = (np.concatenate((one, other)), np.concatenate((other, one)))
        share = np.full(len(ends[0]), 1 / 6)
        net = coo_array((share, ends), shape=(self._count, self._count)).tocsr()
        for _ in range(rounds):
            vector = 0.5 * vector + np.asarray(net @ vector)
        unit = vector / np.maximum(lengths(vector), 1e-30)[:, None]
        return unit[self._left], unit[self._right]


def _grown(surface: Surface, mask: Bools, rings: int) -> Bools:
    """The faces of a mask and those within so many steps of them."""
    mask = mask.copy()
    for _ in range(rings):
        one, other = mask[surface.left], mask[surface.right]
        mask[surface.left[other]] = True
        mask[surface.right[one]] = True
    return mask
