"""Marks that cover a shape of their own: discs, strokes, belts, outlines, bands, ground."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.facing import area_vectors, lengths
from preview.areas.marks.layers import Cover
from preview.areas.marks.model import BELT, DISC, HEIGHTS, OUTLINE, STROKE, Mark
from preview.areas.marks.outline import Stencil
from preview.areas.marks.spots import Placed
from preview.shape.neighbours import joined, neighbours_of
from preview.shape.triangles import middles

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

_FACING = 0.2
_STROKE_STEPS = 0.25
# Twice the area of the triangle of three places, in squares of its longest side: clicks on a third
# of a round part's girth still make a plane.
_IN_LINE = 0.1


def in_line(first: Floats, second: Floats, third: Floats) -> bool:
    """Whether three places lie so near one line that no plane through them can be trusted."""
    legs = second - first, third - first, third - second
    longest = max(float(leg @ leg) for leg in legs)
    return float(np.linalg.norm(np.cross(legs[0], legs[1]))) <= _IN_LINE * longest


def slip_of(kind: str, placed: Sequence[Placed]) -> tuple[str, str]:
    """What is wrong with where the places of a shape lie, and what mends it; empty for nothing."""
    if kind == BELT and in_line(*(spot.at for spot in placed)):
        return (
            "the three places lie almost in one line, and a belt runs all around",
            "put one of them on the far side of the part",
        )
    return Stencil(placed).slip if kind == OUTLINE else ("", "")


class Shapes:
    """A figure's faces by place, facing, height and shell.

    Parameters
    ----------
    analysis : of the figure.
    vertices, faces : the figure itself, mm, in the frame of the marks.
    """

    def __init__(
        self, analysis: Analysis, vertices: NDArray[np.float32], faces: NDArray[np.int32]
    ) -> None:
        from scipy.spatial import cKDTree

        self._analysis = analysis
        self._faces = faces
        self._centre = middles(vertices, faces).astype(np.float64)
        vector = area_vectors(vertices, faces)
        self.mm2 = lengths(vector)
        self._normal = vector / np.maximum(self.mm2, 1e-30)[:, None]
        self._tree = cKDTree(self._centre)
        self._floor = float(vertices[:, 2].min())

    def cover(self, mark: Mark, placed: Sequence[Placed], image: bool = False) -> Cover:
        """What a mark with a shape covers, its places found on the surface.

        image : the shape lies on the other side, and nobody asked for it there by name.
        """
        if mark.kind == OUTLINE:
            stencil = Stencil(placed)
            faces = self.outline(stencil, placed)
            return Cover(mark, faces, stencil.mm2**0.5, stencil.wide, image)
        return Cover(mark, self._covered(mark, placed), mark.size, mark.size, image)

    def _covered(self, mark: Mark, placed: Sequence[Placed]) -> Bools:
        """(faces,) bool: what a shape other than an outline covers."""
        if mark.kind == DISC:
            found = self._empty()
            for spot in placed:
                found |= self.disc(spot, mark.size)
            return found
        if mark.kind == STROKE:
            return self.stroke(placed, mark.size)
        if mark.kind == BELT:
            return self.belt(placed, mark.size)
        if mark.kind == HEIGHTS:
            return self.heights(mark.low, mark.high, placed[0] if placed else None)
        return self.looks_up(mark.degrees, mark.below)

    def disc(self, spot: Placed, diameter: float) -> Bools:
        """Faces whose middles lie within a disc around a place, on its side of thin parts."""
        found = self._empty()
        found[self._near(spot, diameter / 2)] = True
        return self._pieces_at(found, [spot])

    def stroke(self, spots: Sequence[Placed], width: float) -> Bools:
        """Faces within a line of some width through places on the surface."""
        found = self._empty()
        for start, end in pairwise(spots):
            found[self._leg(start, end, width)] = True
        return found

    def belt(self, spots: Sequence[Placed], width: float) -> Bools:
        """Faces within half a width of the plane through three places, in the pieces they are on.

        spots : three; see `in_line`.
        """
        first, second, third = (spot.at for spot in spots)
        across = np.cross(second - first, third - first)
        long = float(np.linalg.norm(across))
        near = np.abs((self._centre - first) @ across) <= long * width / 2
        return self._pieces_at(near, spots)

    def outline(self, stencil: Stencil, corners: Sequence[Placed]) -> Bools:
        """Faces that a stencil leaves free, in the pieces that its corners are on."""
        return self._pieces_at(stencil.leaves_free(self._centre, self._normal), corners)

    def heights(self, low: float, high: float, spot: Placed | None) -> Bools:
        """Faces between two heights above the figure's lowest point; with a place, its piece."""
        height = self._centre[:, 2] - self._floor
        found = (height >= low) & (height <= high)
        return found if spot is None else self._pieces_at(found, [spot])

    def looks_up(self, degrees: float, below: float) -> Bools:
        """Faces up to a height that look up by more than an angle above the horizon."""
        up = self._normal[:, 2] > np.sin(np.radians(degrees))
        return np.asarray(up & (self._centre[:, 2] - self._floor <= below), dtype=np.bool_)

    @property
    def shell_order(self) -> NDArray[np.int64]:
        """Shells by size, the largest first."""
        size = np.bincount(self._analysis.shell, self.mm2)
        return np.argsort(-size, kind="stable")

    def _empty(self) -> Bools:
        return np.zeros(len(self._faces), np.bool_)

    def _near(self, spot: Placed, radius: float) -> NDArray[np.int64]:
        """Faces with their middle within a distance that face the same way; at least one."""
        near = np.array(self._tree.query_ball_point(spot.at, radius), dtype=np.int64)
        near = near[self._normal[near] @ spot.normal > _FACING]
        return near if len(near) else np.array([self._face_at(spot)])

    def _face_at(self, spot: Placed) -> int:
        """The face that a place is on; its middle may be far from the place."""
        several = self._analysis.figure_faces(spot.face)
        if not len(several):
            several = np.atleast_1d(self._tree.query(spot.at, k=min(48, len(self._faces)))[1])
        away = np.linalg.norm(self._centre[several] - spot.at, axis=1)
        away = np.where(self._normal[several] @ spot.normal > _FACING, away, away + 1e6)
        return int(several[np.argmin(away)])

    def _leg(self, start: Placed, end: Placed, width: float) -> NDArray[np.int64]:
        """Faces along the line from one place to the next, laid onto the surface."""
        long = float(np.linalg.norm(end.at - start.at))
        steps = max(2, int(np.ceil(long / (_STROKE_STEPS * width))) + 1)
        found = []
        for share in np.linspace(0.0, 1.0, steps):
            normal = (1 - share) * start.normal + share * end.normal
            hit = self._analysis.places.nearest((1 - share) * start.at + share * end.at, normal)
            placed = Placed(hit.face, hit.at, self._analysis.surface.normal[hit.face])
            found.append(self._near(placed, width / 2))
        return np.unique(np.concatenate(found))

    def _pieces_at(self, found: Bools, spots: Sequence[Placed]) -> Bools:
        """Of the faces found, those that hang together with the face at a place, or one beside it.

        None where those are not among them: what lies farther off may be another part.
        """
        which, only = np.flatnonzero(found), self._empty()
        if not len(which):
            return only
        triples = self._faces[which]
        pairs = neighbours_of(triples)
        count, piece = joined(len(which), pairs.left, pairs.right)
        kept = np.zeros(count, np.bool_)
        for spot in spots:
            beside = np.isin(triples, self._faces[self._face_at(spot)]).any(axis=1)
            kept[piece[beside & (self._normal[which] @ spot.normal > _FACING)]] = True
        only[which[kept[piece]]] = True
        return only
