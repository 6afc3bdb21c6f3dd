"""Shells of one shape: boots, buttons, rivets, the left and the right of a pair."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_LARGER = 1.25
_SPREAD = 0.02
_OFF = 0.02
_SAMPLES = 60
_FLIPS = np.array([[x, y, z] for x in (1, -1) for y in (1, -1) for z in (1, -1)], np.float64)


@dataclass(frozen=True, eq=False)
class _Frame:
    """How a shell lies: p = middle + size * axes @ q, with q the same for shells alike."""

    middle: Floats
    axes: Floats
    size: float

    def inner(self, points: Floats) -> Floats:
        """Places of the figure in the shell's own frame."""
        return ((points - self.middle) @ self.axes) / self.size


class Alike:
    """Which shells of a surface have the same shape, moved, turned, mirrored or a little scaled.

    Parameters
    ----------
    surface : the net of faces.

    Notes
    -----
    Shells are laid on each other by their middles and principal axes. They are alike when their
    sizes differ by at most a quarter, and places of one then lie on the other within 2 % of its
    size (the root of its area), on average.
    Leaves out: shells that bend alike parts differently, such as strands of hair.
    """

    def __init__(self, surface: Surface) -> None:
        self._surface = surface
        order = np.argsort(surface.shell, kind="stable")
        ends = np.cumsum(np.bincount(surface.shell, minlength=surface.shells))
        self._faces = np.split(order, ends[:-1])
        self.leader = np.arange(surface.shells, dtype=np.int32)
        self._frame: list[_Frame] = []
        self._find(*self._measured())

    def twins(self) -> list[tuple[Ints, Ints]]:
        """For each shell that is like one before it: its faces, and the one's face for each."""
        return [
            (self._faces[shell].astype(np.int32), self._mapped(shell, int(leader)))
            for shell, leader in enumerate(self.leader)
            if leader != shell
        ]

    def taken(self, labels: Ints) -> Ints:
        """Give shells without a label those of the nearest shell of their shape that has some.

        Parameters
        ----------
        labels : (faces,) int32, -1 on every face of a shell without a mark.
        """
        bare = labels[[faces[0] for faces in self._faces]] < 0
        labels = labels.copy()
        for shell in np.flatnonzero(bare).tolist():
            same = np.flatnonzero((self.leader == self.leader[shell]) & ~bare)
            if len(same):
                away = [
                    np.linalg.norm(self._frame[k].middle - self._frame[shell].middle) for k in same
                ]
                from_face = self._mapped(shell, int(same[int(np.argmin(away))]))
                labels[self._faces[shell]] = labels[from_face]
        return labels

    def _mapped(self, shell: int, other: int) -> Ints:
        """For each face of a shell the face at the same place of another of its shape."""
        from scipy.spatial import cKDTree

        theirs, centre = self._faces[other], self._surface.centre
        tree = cKDTree(self._frame[other].inner(centre[theirs]))
        near = tree.query(self._frame[shell].inner(centre[self._faces[shell]]))[1]
        return theirs[np.asarray(near)].astype(np.int32)

    def _measured(self) -> tuple[Floats, Floats]:
        """Lay a frame into each shell; gives (shells,) sizes in mm and (shells, 3) spreads."""
        surface = self._surface
        corners = surface.vertices[surface.faces].astype(np.float64)
        area = np.bincount(surface.shell, surface.mm2, surface.shells)
        size = np.sqrt(np.maximum(area, 1e-12))
        middle = self._summed(surface.mm2[:, None] * surface.centre) / size[:, None] ** 2
        corners -= middle[surface.shell][:, None]
        sums = corners.sum(axis=1)
        # The second moment of a triangle, exact: area / 12 of its corners' and their sum's.
        second = np.einsum("fci,fcj->fij", corners, corners) + np.einsum("fi,fj->fij", sums, sums)
        second *= surface.mm2[:, None, None] / 12
        spread, axes = np.linalg.eigh(
            self._summed(second.reshape(-1, 9)).reshape(-1, 3, 3) / size[:, None, None] ** 4
        )
        self._frame = [_Frame(m, a, float(s)) for m, a, s in zip(middle, axes, size, strict=True)]
        return size, np.sqrt(np.maximum(spread, 0.0))

    def _summed(self, of_face: Floats) -> Floats:
        """(shells, columns) sums over the faces of each shell."""
        surface = self._surface
        columns = [np.bincount(surface.shell, column, surface.shells) for column in of_face.T]
        return np.stack(columns, axis=1)

    def _find(self, size: Floats, spread: Floats) -> None:
        """Find each shell's leader, the first of its shape, and turn its frame to the leader's."""
        from scipy.spatial import cKDTree

        trees: dict[int, cKDTree] = {}
        for shell in range(self._surface.shells):
            leaders = np.array(list(trees), np.int64)
            ratio = size[leaders] / size[shell]
            near = np.abs(spread[leaders] - spread[shell]).max(axis=1, initial=0.0) < _SPREAD
            near &= (ratio < _LARGER) & (ratio > 1 / _LARGER)
            places = self._places(shell)
            few = places[:: max(1, len(places) // _SAMPLES)]
            for leader in leaders[near].tolist():
                turned = (few[None] * _FLIPS[:, None]).reshape(-1, 3)
                away = np.asarray(trees[leader].query(turned)[0])
                off = away.reshape(len(_FLIPS), -1).mean(axis=1)
                best = int(np.argmin(off))
                if off[best] < _OFF:
                    frame = self._frame[shell]
                    self._frame[shell] = _Frame(frame.middle, frame.axes * _FLIPS[best], frame.size)
                    self.leader[shell] = leader
                    break
            else:
                trees[shell] = cKDTree(places)

    def _places(self, shell: int) -> Floats:
        """Corners and middles of a shell's faces in its own frame."""
        surface, faces = self._surface, self._faces[shell]
        corners = surface.vertices[np.unique(surface.faces[faces])].astype(np.float64)
        return self._frame[shell].inner(np.concatenate((corners, surface.centre[faces])))
