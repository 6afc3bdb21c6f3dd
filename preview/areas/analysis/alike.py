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
# So many marked shells of a shape lend their marks to another one: of hundreds of scales the
# nearest say enough, and asking all of them would take time that grows as their square.
_LENDING = 8
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

    def echoes(self, face: NDArray[np.integer]) -> tuple[Ints, Ints, Floats]:
        """Where marks on marked shells of one shape would lie on each other.

        Parameters
        ----------
        face : (marks,) int, marked faces of the surface.

        Returns
        -------
        echo : (echoes,) int32, faces, each once and none that is marked; from the nearest eight
            other marked shells of a shape.
        mark : (echoes,) int32, index of the mark on the other shell.
        behind : (echoes,) float64, reference mm: the size of the shell (the root of its area) for
            the nearest other marked shell of its shape, twice that for the next, and so on. So a
            shell's own marks take what no crease parts from them.
        """
        from scipy.spatial import cKDTree

        surface, shell = self._surface, self._surface.shell[face]
        rows: list[tuple[int, float, int]] = []
        for one in np.unique(shell).tolist():
            same = np.unique(shell[self.leader[shell] == self.leader[one]])
            if len(same) == 1:
                continue
            others = self._nearest_first(one, same[same != one])[:_LENDING]
            tree = cKDTree(self._inner(one, self._faces[one]))
            for rank, other in enumerate(others.tolist(), 1):
                marks = np.flatnonzero(shell == other)
                near = np.asarray(tree.query(self._inner(other, face[marks]))[1])
                behind = rank * self._frame[one].size * surface.metric.scale
                places = self._faces[one][near].tolist()
                rows += [(f, behind, m) for f, m in zip(places, marks.tolist(), strict=True)]
        first: dict[int, tuple[int, float]] = {}
        for place, behind, mark in sorted(rows, key=lambda row: (row[1], face[row[2]])):
            first.setdefault(place, (mark, behind))
        free = sorted(set(first) - set(face.tolist()))
        return (
            np.array(free, np.int32),
            np.array([first[place][0] for place in free], np.int32),
            np.array([first[place][1] for place in free], np.float64),
        )

    def taken(self, labels: Ints) -> Ints:
        """Give shells without a label those of the nearest shell of their shape that has some.

        Parameters
        ----------
        labels : (faces,) int32, -1 on every face of a shell without a mark.
        """
        most = np.full(len(self._faces), -1, np.int32)
        np.maximum.at(most, self._surface.shell, labels)
        bare = most < 0
        labels = labels.copy()
        for shell in np.flatnonzero(bare).tolist():
            same = np.flatnonzero((self.leader == self.leader[shell]) & ~bare)
            if len(same):
                from_face = self._mapped(shell, int(self._nearest_first(shell, same)[0]))
                labels[self._faces[shell]] = labels[from_face]
        return labels

    def _nearest_first(self, shell: int, others: NDArray[np.integer]) -> NDArray[np.integer]:
        """Some shells, by how far their middles are from that of one."""
        here = self._frame[shell].middle
        away = [float(np.linalg.norm(self._frame[k].middle - here)) for k in others.tolist()]
        return others[np.argsort(away, kind="stable")]

    def _inner(self, shell: int, faces: NDArray[np.integer]) -> Floats:
        """Middles of faces in the frame of their shell."""
        return self._frame[shell].inner(self._surface.centre[faces])

    def _mapped(self, shell: int, other: int) -> Ints:
        """For each face of a shell the face at the same place of another of its shape."""
        from scipy.spatial import cKDTree

        theirs = self._faces[other]
        near = cKDTree(self._inner(other, theirs)).query(self._inner(shell, self._faces[shell]))[1]
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
