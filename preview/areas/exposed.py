"""Faces that can be seen from some direction; those inside a figure cannot.

A face is seen when a ray from one of a few points on it escapes. Where none does, most faces lie
inside another shell, and two rays prove it: they meet that shell from behind. Only what neither
escapes nor is inside, the depth of folds, is searched: first towards where a ray got furthest, then
in many directions.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.facing import area_vectors, lengths
from preview.shape.bounds import bounds, longest_side
from preview.shape.compiled import compiled
from preview.shape.ordering import order_of
from preview.shape.rays import RayScene
from preview.shape.threads import chunks, in_threads

Floats = NDArray[np.float32]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_PART = 1 << 16
_FEW, _SOME, _MANY = 16, 32, 1024
_MOST_RAYS = 2_000_000
_GRAZING = 0.01
_STEP = 2e-5
_CELL = 0.005
_LARGE = 400_000
_TINY = 0.125
_CELL_BITS = 9
_KEY_BITS = 3 * _CELL_BITS + 3
_FINEST = 8
_MOST_WALLS = 40
_CONES = (0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1, 0.08, 0.06, 0.04)
_NARROW = (0.5, 0.25, 0.1)
_AROUND = np.array([[1, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]], np.float32)
_LEANS = np.array([[0.13, 0.29, -0.07], [-0.23, 0.11, 0.17]], np.float32)


def exposed_faces(scene: RayScene, closed: Bools) -> Bools:
    """Which faces at least one direction sees.

    Parameters
    ----------
    scene : the mesh, in mm, its closed shells wound outward.
    closed : (faces,) bool, the face belongs to a shell without open edges; such a face is seen
        from its outside only, others from both sides.

    Returns
    -------
    exposed : (faces,) bool.

    Notes
    -----
    Holds exactly: a face inside a closed shell is not exposed; on a convex body every face is.
    Leaves out: a face of which only a spot between the points tried (a two-hundredth of the
    figure's size apart, at most eight rows a face) can be seen, or only through a gap that up to
    1,024 directions miss, counts as hidden; so does one of the tiny faces of a large mesh in the
    depth of a fold that sees out along none of the ways that lead out for those beside it.
    """
    search = _Search(scene, closed)
    speaker = search.speakers()
    every = np.arange(len(scene.faces))
    first, others = np.flatnonzero(speaker == every), np.flatnonzero(speaker != every)
    for _ in in_threads(lambda part: _look(search, first[part]), chunks(len(first), _PART)):
        pass
    for _ in in_threads(
        lambda part: _follow(search, others[part], speaker), chunks(len(others), _PART)
    ):
        pass
    return search.exposed


def _follow(search: _Search, some: Ints, speaker: Ints) -> None:
    """Mark those of some faces that can be seen; their speakers have been looked at."""
    # What a face sees out through, its neighbour in the same cell most likely does, too.
    search.follow(some, speaker[some])
    left = some[~search.exposed[some]]
    centres = search.undecided(search.points(left, 1))
    search.sweep(centres, even_directions(_FEW))
    left = np.unique(centres.face[~search.exposed[centres.face]])
    for cone in _NARROW:
        for offset in _AROUND:
            search.follow(left, speaker[left], np.float32(cone / np.sqrt(3)) * offset)


def _look(search: _Search, some: Ints) -> None:
    """Mark those of some faces that can be seen, with all means."""
    centres = search.undecided(search.points(some, 1))
    search.sweep(centres, even_directions(_FEW))
    large = search.rows_of(some) > 1
    hidden = some[large & ~search.exposed[some]]
    rows = search.rows_of(hidden)
    finer = [
        search.undecided(search.points(hidden[rows == n], n)) for n in np.unique(rows).tolist()
    ]
    left = _Points.joined([centres.only(search.rows_of(centres.face) == 1), *finer])
    left = search.climb(search.outside(left.only(~search.exposed[left.face])))
    if len(left.face):
        share = len(some) / len(search.exposed)
        most = int(np.clip(share * _MOST_RAYS / len(left.face), _SOME, _MANY))
        search.sweep(left, even_directions(most))


def even_directions(count: int) -> Floats:
    """(count, 3) float32 unit vectors spread evenly over the sphere, along a spiral.

    References
    ----------
    Vogel (1979), "A better way to construct the sunflower head", Mathematical Biosciences 44
    (3-4), carried from the disc to the sphere; from memory.
    """
    k = np.arange(count) + 0.5
    height = 1 - 2 * k / count
    turn = np.pi * (1 + np.sqrt(5)) * k
    across = np.sqrt(1 - height**2)
    spread = np.stack((across * np.cos(turn), across * np.sin(turn), height), axis=1)
    return np.asarray(spread, dtype=np.float32)


@dataclass(frozen=True, eq=False)
class _Points:
    """Points just off the surface: where, of which face, and which way is away from it."""

    place: Floats
    face: Ints
    away: Floats

    def only(self, rows: Bools | Ints) -> _Points:
        """Some of the points."""
        if rows.dtype == np.bool_:
            rows = np.flatnonzero(rows)
        return _Points(
            np.take(self.place, rows, axis=0), self.face[rows], np.take(self.away, rows, axis=0)
        )

    @staticmethod
    def joined(parts: list[_Points]) -> _Points:
        """All points of several sets."""
        return _Points(
            np.concatenate([part.place for part in parts]),
            np.concatenate([part.face for part in parts]),
            np.concatenate([part.away for part in parts]),
        )


class _Search:
    """A mesh, and what is known so far of the faces that can be seen."""

    def __init__(self, scene: RayScene, closed: Bools) -> None:
        vertices, faces = scene.vertices, scene.faces
        self.scene = scene
        self.exposed = np.zeros(len(faces), np.bool_)
        self._vertices, self._faces, self._closed = vertices, faces, closed
        reach = longest_side(vertices)
        self._step, self._cell_mm2 = np.float32(_STEP * reach), (_CELL * reach) ** 2
        vectors = area_vectors(vertices, faces)
        self._mm2 = lengths(vectors)
        upright = vectors / np.where(self._mm2 > 0, self._mm2, 1.0)[:, None]
        self._normal: Floats = upright.astype(np.float32)
        self._way_out = np.zeros((len(faces), 3), np.float32)

    def speakers(self) -> Ints:
        """For each tiny face, the first that shares its cell and about its facing; (faces,) int64.

        Every other face speaks for itself.
        """
        low, step = bounds(self._vertices)[0], float(np.sqrt(self._cell_mm2))
        # Up to some size every face can be asked: exactness first.
        large = len(self._faces) > _LARGE
        tiny = np.flatnonzero(self._mm2 < _TINY * self._cell_mm2 if large else np.zeros(0))
        key = np.empty(len(tiny), np.uint64)
        _cell_keys(self._vertices, self._faces, self._normal, tiny, low, step, key)
        order = order_of(key, _KEY_BITS)
        new = np.ones(len(key), np.bool_)
        new[1:] = key[order[1:]] != key[order[:-1]]
        speaker = np.arange(len(self._faces))
        speaker[tiny[order]] = tiny[order[new]][np.cumsum(new) - 1]
        return speaker

    def follow(self, some: Ints, leader: Ints, aside: Floats | None = None) -> None:
        """Mark those of some faces that see out the way that their leaders do, or beside it."""
        place = np.empty((2 * len(some), 3), np.float32)
        way, face = np.empty_like(place), np.empty(len(place), np.int64)
        aside = np.zeros(3, np.float32) if aside is None else aside
        mesh = self._vertices, self._faces, self._normal, self._closed
        known = self.exposed, self._way_out
        count = _led(*mesh, *known, some, leader, aside, self._step, place, way, face)
        free = np.flatnonzero(~self.scene.blocked(place[:count], way[:count]))
        self._mark(face[free], np.take(way, free, axis=0))

    def _mark(self, faces: Ints, direction: Floats) -> None:
        """Note that these faces see out in these directions."""
        self.exposed[faces] = True
        self._way_out[faces] = direction

    def rows_of(self, some: Ints) -> Ints:
        """In how many rows to cut some faces for the points tried; large faces in more."""
        rows = np.ceil(np.sqrt(self._mm2[some] / self._cell_mm2))
        return np.asarray(np.clip(rows, 1, _FINEST), dtype=np.int64)

    def points(self, some: Ints, rows: int) -> _Points:
        """The middles of rows² equal parts of each of some faces, of open shells on both sides."""
        corners = np.take(self._faces, some, axis=0)
        a, b, c = (np.take(self._vertices, corners[:, k], axis=0) for k in range(3))
        place = np.concatenate([a * u + b * v + c * w for u, v, w in _middles(rows)])
        face = np.tile(some, rows * rows)
        away = np.take(self._normal, face, axis=0)
        thin = np.flatnonzero(~self._closed[face])
        place = np.concatenate((place, place[thin]))
        away = np.concatenate((away, -away[thin]))
        return _Points(place + away * self._step, np.concatenate((face, face[thin])), away)

    def undecided(self, points: _Points) -> _Points:
        """Mark the faces whose points see out along their normals; leave the points inside shells.

        What is left neither escapes that way nor lies inside a closed shell.
        """
        inside = np.ones(len(points.face), np.bool_)
        rows = np.arange(len(points.face))
        for lean in (np.zeros(3, np.float32), *_LEANS):
            direction = np.take(points.away, rows, axis=0) + lean
            hit, _, _ = self.scene.first_hit(np.take(points.place, rows, axis=0), direction)
            self._mark(points.face[rows[hit < 0]], direction[hit < 0])
            behind = np.einsum("ij,ij->i", np.take(self._normal, hit, axis=0), direction) > 0
            inside[rows] = (hit >= 0) & behind & self._closed[hit]
            rows = rows[inside[rows]]
        return points.only(~inside & ~self.exposed[points.face])

    def outside(self, points: _Points) -> _Points:
        """Leave out points inside closed shells that cut each other, so that one ray tells little.

        A ray to infinity leaves one shell more than it enters for every shell that it began in.
        """
        inside = np.ones(len(points.face), np.bool_)
        for lean in _LEANS:
            rows = np.flatnonzero(inside)
            inside[rows] = self._left_more(points.place[rows], points.away[rows] + lean)
        return points.only(~inside)

    def _left_more(self, origin: Floats, direction: Floats) -> Bools:
        """Whether rays leave more closed shells than they enter on their whole way."""
        left = np.zeros(len(origin), np.int64)
        rows = np.arange(len(origin))
        origin = origin.copy()
        for _ in range(_MOST_WALLS):
            hit, distance, _ = self.scene.first_hit(origin[rows], direction[rows])
            rows, hit, distance = rows[hit >= 0], hit[hit >= 0], distance[hit >= 0]
            if not len(rows):
                break
            behind = np.einsum("ij,ij->i", self._normal[hit], direction[rows]) > 0
            left[rows] += np.where(behind, 1, -1) * self._closed[hit]
            origin[rows] += direction[rows] * (distance + self._step)[:, None]
        left[rows] = 0
        return left > 0

    def climb(self, points: _Points) -> _Points:
        """Mark the faces of points from which a way out is found by following the longest ray.

        From each point rays go in some directions, then, closer and closer, around the one that
        got furthest before it met the figure. What is left found no way out.
        """
        best = points.away.copy()
        far = np.full(len(best), -1, np.float32)
        self._try(points, points.away, best, far)
        for direction in even_directions(_SOME):
            self._try(points, direction[None], best, far)
        for k, cone in enumerate(_CONES):
            for offset in _AROUND if k % 2 else -_AROUND:
                self._try(points, best + np.float32(cone / np.sqrt(3)) * offset, best, far)
        return points.only(~self.exposed[points.face])

    def _try(self, points: _Points, directions: Floats, best: Floats, far: Floats) -> None:
        """Cast a ray from each point whose face is not yet seen; note the longest in place."""
        rows, place, way = self._rays(points, directions)
        hit, distance, _ = self.scene.first_hit(place, way)
        self._mark(points.face[rows[hit < 0]], way[hit < 0])
        further = distance > far[rows]
        best[rows[further]], far[rows[further]] = way[further], distance[further]

    def sweep(self, points: _Points, directions: Floats) -> None:
        """Mark the faces of those points from which one of the directions leads out."""
        for k, direction in enumerate(directions):
            if k % 8 == 0:
                points = points.only(~self.exposed[points.face])
            rows, place, way = self._rays(points, direction[None])
            free = np.flatnonzero(~self.scene.blocked(place, way))
            self._mark(points.face[rows[free]], direction)

    def _rays(self, points: _Points, directions: Floats) -> tuple[Ints, Floats, Floats]:
        """The rays that lead away from points whose face is not yet seen.

        directions : (points, 3) or (1, 3) float32.

        Returns the points' rows, the rays' beginnings and their ways, unit vectors.
        """
        row = np.empty(len(points.face), np.int64)
        place, way = np.empty((len(row), 3), np.float32), np.empty((len(row), 3), np.float32)
        of_points = points.place, points.face, points.away
        count = _aimed(*of_points, self.exposed, directions, row, place, way)
        return row[:count], place[:count], way[:count]


@compiled
def _aimed(
    places: Floats,
    faces: Ints,
    away: Floats,
    exposed: Bools,
    directions: Floats,
    row: Ints,
    place: Floats,
    way: Floats,
) -> int:
    """Fill in the rays away from points whose face is not yet seen; gives their number."""
    count = 0
    for i in range(len(places)):
        j = i if len(directions) > 1 else 0
        x, y, z = directions[j, 0], directions[j, 1], directions[j, 2]
        facing = away[i, 0] * x + away[i, 1] * y + away[i, 2] * z
        if exposed[faces[i]] or facing <= _GRAZING:
            continue
        length = np.sqrt(x * x + y * y + z * z)
        row[count] = i
        for k in range(3):
            place[count, k], way[count, k] = places[i, k], directions[j, k] / length
        count += 1
    return count


@compiled
def _led(
    vertices: Floats,
    faces: NDArray[np.int32],
    normal: Floats,
    closed: Bools,
    exposed: Bools,
    way_out: Floats,
    some: Ints,
    leader: Ints,
    aside: Floats,
    step: np.float32,
    place: Floats,
    way: Floats,
    face: Ints,
) -> int:
    """Fill in the rays of some hidden faces the way that their leaders see out; gives their number.

    place, way, face : (2 * some,), room for both sides of faces of open shells.
    """
    count, third = 0, np.float32(1 / 3)
    for i in range(len(some)):
        f, first = some[i], leader[i]
        if exposed[f] or not exposed[first]:
            continue
        a, b, c = faces[f, 0], faces[f, 1], faces[f, 2]
        for side in range(1 if closed[f] else 2):
            turn, facing = np.float32(1 - 2 * side), np.float32(0)
            for k in range(3):
                away = turn * normal[f, k]
                middle = vertices[a, k] * third + vertices[b, k] * third + vertices[c, k] * third
                place[count, k] = middle + away * step
                way[count, k] = way_out[first, k] + aside[k]
                facing += away * way[count, k]
            face[count] = f
            if facing > _GRAZING:
                count += 1
    return count


@compiled
def _cell_keys(
    vertices: Floats,
    faces: NDArray[np.int32],
    normal: Floats,
    some: Ints,
    low: Floats,
    step: float,
    key: NDArray[np.uint64],
) -> None:
    """Fill in a number for the cell of the middle of some faces and the axis they face most."""
    for i in range(len(some)):
        f = some[i]
        number = steepest = 0
        for k in range(3):
            total = vertices[faces[f, 0], k] + vertices[faces[f, 1], k] + vertices[faces[f, 2], k]
            number = (number << _CELL_BITS) + int((total / 3.0 - low[k]) / step)
            if abs(normal[f, k]) > abs(normal[f, steepest]):
                steepest = k
        key[i] = number * 6 + steepest * 2 + (normal[f, steepest] > 0)


def _middles(rows: int) -> Floats:
    """(rows², 3) float32: barycentric middles of the equal parts of a triangle cut in rows."""
    third = 1 / (3 * rows)
    upright = [
        ((3 * i + 1) * third, (3 * j + 1) * third) for i in range(rows) for j in range(rows - i)
    ]
    hanging = [
        ((3 * i + 2) * third, (3 * j + 2) * third)
        for i in range(rows - 1)
        for j in range(rows - 1 - i)
    ]
    return np.array([(u, v, 1 - u - v) for u, v in upright + hanging], dtype=np.float32)
