"""A marks file laid onto another export of the same figure: moved, turned, scaled, remeshed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.facing import area_vectors, lengths
from preview.areas.marks.model import Fingerprint
from preview.areas.points import points_on
from preview.errors import MarksFault
from preview.shape.nearest import nearest_on_triangles
from preview.shape.triangles import middles

Floats = NDArray[np.float64]

WORST_MM = 0.3
_SHARE = 95.0
_AS_IS_MM = 0.02
_NEAR = 24
# Points on the mesh by which triangles are found, besides one on each.
_KNOWN_POINTS = 40_000
_YAWS = 72
_BEST = 10
_ROUNDS = 30
_PATIENT = 150
_KNOWN = (1.0, 25.4, 1 / 25.4, 10.0, 0.1, 1000.0, 0.001)
_SNAP = 0.004
_POINTS = 2000
_SIDE_MM = 3.0


@dataclass(frozen=True, eq=False)
class Fit:
    """How places in the frame of a marks file become places of a mesh: scale * turn @ p + shift.

    residual_mm : mm in the marks file's frame; 95 of 100 of its places lie nearer to the mesh.
    """

    scale: float
    turn: Floats
    shift: Floats
    residual_mm: float

    @property
    def moved(self) -> bool:
        """Whether the mesh lies otherwise than the one that the file was made for."""
        return not (
            abs(self.scale - 1) < 1e-6
            and np.allclose(self.turn, np.eye(3), atol=1e-6)
            and np.allclose(self.shift, 0.0, atol=1e-4)
        )

    def back(self, vertices: NDArray[np.float32]) -> NDArray[np.float32]:
        """The mesh's vertices in the frame of the marks file."""
        if not self.moved:
            return vertices
        return np.asarray(
            ((vertices.astype(np.float64) - self.shift) @ self.turn) / self.scale, dtype=np.float32
        )

    def there(self, points: Floats) -> Floats:
        """Places of the marks file on the mesh."""
        return self.scale * points @ self.turn.T + self.shift

    def in_words(self) -> str:
        """What was done, for people."""
        if not self.moved:
            return f"the marks lie on the mesh as they are (95 % within {self.residual_mm:.2f} mm)"
        angle = np.degrees(np.arccos(np.clip((np.trace(self.turn) - 1) / 2, -1.0, 1.0)))
        return (
            f"the marks were laid onto another export: scaled by {self.scale:.4g}, turned by "
            f"{angle:.0f}° (95 % within {self.residual_mm:.2f} mm)"
        )


UNMOVED = Fit(1.0, np.eye(3), np.zeros(3), 0.0)


def fitted(
    figure: Fingerprint, vertices: NDArray[np.float32], faces: NDArray[np.int32], where: str
) -> Fit:
    """Find how the figure of a marks file lies in a mesh.

    Tried are: as it is; scaled by the areas' ratio and turned to any of 24 axes, about the
    vertical, and by principal axes; each improved by matching places to the nearest surface.

    Parameters
    ----------
    figure : as the marks file keeps it.
    vertices, faces : the mesh, mm.
    where : for the message.

    Raises
    ------
    MarksFault : 95 of 100 places come no nearer than 0.3 mm: another figure, or one with
        supports, or without its base.

    References
    ----------
    Besl and McKay (1992), "A method for registration of 3-D shapes", IEEE Transactions on Pattern
    Analysis and Machine Intelligence 14; Umeyama (1991), "Least-squares estimation of
    transformation parameters between two point patterns", same journal 13. Both from memory.
    """
    mesh = _Mesh(vertices, faces)
    points = np.array([at for at, _ in figure.shape])
    normals = np.array([normal for _, normal in figure.shape])
    as_is = mesh.scored(Fit(1.0, np.eye(3), np.zeros(3), np.inf), points, normals)
    if as_is.residual_mm <= _AS_IS_MM:
        return as_is
    best = mesh.improved(as_is, points, normals, False)
    if best.residual_mm > _AS_IS_MM * 2:
        scale = float(np.sqrt(mesh.mm2 / figure.mm2))
        starts = _starts(points, normals, mesh, scale)
        starts.sort(key=lambda fit: mesh.rough(fit, points, normals))
        for start in starts[:_BEST]:
            found = mesh.improved(start, points, normals, True)
            if found.residual_mm < best.residual_mm:
                best = found
        # The best start is worth more patience: surfaces slide slowly into place.
        best = mesh.improved(best, points, normals, False, _PATIENT)
    if best.residual_mm > WORST_MM:
        raise MarksFault(
            f"the marks do not fit this mesh: even at best, one place in twenty of the figure they "
            f"were made for lies {best.residual_mm:.2f} mm and more off its surface "
            f"(at most {WORST_MM:g} mm)",
            where,
            "give the mesh of the same figure; remove supports, or keep the base as it was",
        )
    return best


def _starts(points: Floats, normals: Floats, mesh: _Mesh, scale: float) -> list[Fit]:
    """Turns that are worth a try, each with the middles laid on each other."""
    turns = [*_axis_turns(), *_yaws(), *_principal_turns(points, mesh)]
    middle = points.mean(axis=0)
    return [Fit(scale, t, mesh.middle - scale * t @ middle, np.inf) for t in turns]


def _axis_turns() -> list[Floats]:
    """The 24 turns that swap axes."""
    found = []
    for order in ((0, 1, 2), (0, 2, 1), (1, 0, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0)):
        for signs in range(8):
            turn = np.zeros((3, 3))
            for row, column in enumerate(order):
                turn[row, column] = -1.0 if signs >> row & 1 else 1.0
            if np.linalg.det(turn) > 0:
                found.append(turn)
    return found


def _yaws() -> list[Floats]:
    """Turns about the vertical, all the way round."""
    found = []
    for angle in np.arange(1, _YAWS) * 2 * np.pi / _YAWS:
        c, s = np.cos(angle), np.sin(angle)
        found.append(np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]))
    return found


def _principal_turns(points: Floats, mesh: _Mesh) -> list[Floats]:
    """Turns that lay the long, middle and short axes of both on each other."""
    ours = np.linalg.eigh(np.cov((points - points.mean(axis=0)).T))[1]
    theirs = np.linalg.eigh(np.cov((mesh.points - mesh.middle).T))[1]
    found = []
    for signs in range(8):
        flips = np.array([-1.0 if signs >> k & 1 else 1.0 for k in range(3)])
        turn = (theirs * flips) @ ours.T
        if np.linalg.det(turn) > 0:
            found.append(turn)
    return found


class _Mesh:
    """A mesh to lay places on: nearest surface, size, middle."""

    def __init__(self, vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> None:
        from scipy.spatial import cKDTree

        vector = area_vectors(vertices, faces)
        size = lengths(vector)
        self.mm2 = float(size.sum())
        self._corners = vertices[faces]
        self._normal = vector / np.maximum(size, 1e-30)[:, None]
        centre = middles(vertices, faces).astype(np.float64)
        known, self._face = points_on(vertices, faces, float(np.sqrt(self.mm2 / _KNOWN_POINTS)))
        self._tree = cKDTree(known)
        self.middle = size @ centre / max(self.mm2, 1e-30)
        self.points = spread_points(vertices, faces, _POINTS)[0]

    def scored(self, fit: Fit, points: Floats, normals: Floats) -> Fit:
        """The fit with its residual."""
        _, away = self._feet(fit, points, normals)
        return Fit(fit.scale, fit.turn, fit.shift, float(np.percentile(away, _SHARE)) / fit.scale)

    def rough(self, fit: Fit, points: Floats, normals: Floats) -> float:
        """A quick measure of how badly a fit lies: points of faces, wrong sides count as far."""
        there = fit.there(points)
        away, found = self._tree.query(there)
        near = self._face[found]
        wrong = np.einsum("ij,ij->i", self._normal[near], normals @ fit.turn.T) < 0
        return float((np.minimum(away / fit.scale, 3 * _SIDE_MM) + _SIDE_MM * wrong).mean())

    def improved(
        self, fit: Fit, points: Floats, normals: Floats, free: bool, rounds: int = _ROUNDS
    ) -> Fit:
        """Match places to the nearest surface and move, again and again; known scales snap."""
        for _ in range(rounds):
            feet, away = self._feet(fit, points, normals)
            near = away <= max(float(np.percentile(away, 85)), 1e-6)
            after = _laid(points[near], feet[near], None if free else fit.scale)
            step = float(np.abs(after.there(points) - fit.there(points)).max())
            fit = after
            if step < 1e-4 * fit.scale:
                break
        if free:
            for known in _KNOWN:
                if abs(fit.scale / known - 1) < _SNAP:
                    snapped = self.improved(
                        Fit(known, fit.turn, fit.shift, np.inf), points, normals, False
                    )
                    loose = self.scored(fit, points, normals)
                    good = snapped.residual_mm <= loose.residual_mm + _AS_IS_MM
                    return snapped if good else loose
        return self.scored(fit, points, normals)

    def _feet(self, fit: Fit, points: Floats, normals: Floats) -> tuple[Floats, Floats]:
        """For each place the nearest point of the surface that faces its way, and how far."""
        there, facing = fit.there(points), normals @ fit.turn.T
        count = min(_NEAR, len(self._face))
        _, found = self._tree.query(there, k=count)
        tried = self._face[found].reshape(len(points), count)
        flat = tried.ravel()
        at = np.repeat(there, count, axis=0)
        feet = nearest_on_triangles(at, self._corners[flat])
        away = np.linalg.norm(feet - at, axis=1)
        against = np.einsum("ij,ij->i", self._normal[flat], np.repeat(facing, count, axis=0)) < 0
        away = np.where(against, away + _SIDE_MM * fit.scale, away).reshape(tried.shape)
        best = np.argmin(away, axis=1)
        rows = np.arange(len(points))
        return feet.reshape(*tried.shape, 3)[rows, best], away[rows, best]


def _laid(source: Floats, target: Floats, scale: float | None) -> Fit:
    """The turn, shift and scale that lay points on others with least squares."""
    a, b = source.mean(axis=0), target.mean(axis=0)
    x, y = source - a, target - b
    u, sizes, vt = np.linalg.svd(y.T @ x)
    sign = np.array([1.0, 1.0, np.sign(np.linalg.det(u @ vt))])
    turn = (u * sign) @ vt
    grown = float((sizes * sign).sum() / max((x**2).sum(), 1e-30)) if scale is None else scale
    return Fit(grown, turn, b - grown * turn @ a, np.inf)


def spread_points(
    vertices: NDArray[np.float32], faces: NDArray[np.int32], count: int
) -> tuple[Floats, Floats]:
    """Places spread evenly over a surface by size, with their normals; the same each time.

    Returns
    -------
    points, normals : (count, 3) float64 each.
    """
    vector = area_vectors(vertices, faces)
    size = lengths(vector)
    centre = middles(vertices, faces)
    order = np.lexsort((centre[:, 0], centre[:, 1], centre[:, 2]))
    which = spread_faces(size, order, count)
    normal = vector[which] / np.maximum(size[which], 1e-30)[:, None]
    return centre[which].astype(np.float64), normal


def spread_faces(size: Floats, order: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    """(count,) faces spread evenly by size along an order; large ones may come more than once.

    Parameters
    ----------
    size : (faces,) float64, mm².
    order : (faces,) int, every face once.
    """
    along = np.cumsum(size[order])
    marks = (np.arange(count) + 0.5) / count * along[-1]
    return np.asarray(order[np.minimum(np.searchsorted(along, marks), len(order) - 1)])
