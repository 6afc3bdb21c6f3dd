"""A lighter mesh that stands in for a heavy one, and which of its faces stands for which."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface
from preview.areas.facing import area_vectors, lengths
from preview.shape.closest import closest_of
from preview.shape.triangles import middles
from preview.shape.weld import weld_exact

Ints = NDArray[np.int32]
Floats = NDArray[np.float32]

HEAVY = 200_000
LIGHT = 150_000
_BRISK = 7
_PIECE = 400_000
_SPARE = 3
_FACING = 0.2
_MORE = 24


def thinned(vertices: Floats, faces: Ints, target: int = LIGHT) -> tuple[Floats, Ints]:
    """The mesh with about `target` faces, its shape kept as well as that allows.

    Thinning needs some 300 bytes a face; so a mesh of more than 400,000 faces is thinned in pieces
    to three times the target first, the rims of the pieces as they are.

    References
    ----------
    Garland and Heckbert (1997), "Surface simplification using quadric error metrics", SIGGRAPH 97.
    """
    low = vertices.min(axis=0)
    points, triples = vertices - low, faces
    if len(faces) > max(_PIECE, _SPARE * target):
        points, triples = _thinned_in_pieces(points, triples, _SPARE * target)
    points, triples = _simplified(points, triples, target, rims=False)
    return points + low, triples


def _thinned_in_pieces(points: Floats, faces: Ints, target: int) -> tuple[Floats, Ints]:
    """Each run of faces thinned alone but for its rim, all to about `target` faces."""
    some: list[tuple[Floats, Ints]] = []
    for run in np.array_split(faces, -(-len(faces) // _PIECE)):
        used, index = np.unique(run, return_inverse=True)
        own = index.reshape(-1, 3).astype(np.int32)
        some.append(_simplified(points[used], own, len(run) * target // len(faces), rims=True))
    start = np.cumsum([0, *(len(p) for p, _ in some)])
    triples = np.concatenate([f + s for (_, f), s in zip(some, start[:-1], strict=True)])
    places, place_of = weld_exact(np.concatenate([p for p, _ in some]))
    return places, place_of[triples]


def _simplified(points: Floats, faces: Ints, target: int, rims: bool) -> tuple[Floats, Ints]:
    """Edges drawn together until about `target` faces are left; open rims may be kept."""
    import fast_simplification

    thin, triples = fast_simplification.simplify(
        points, faces, target_count=target, agg=_BRISK, preserve_border=rims
    )
    places, place_of = weld_exact(np.asarray(thin, dtype=np.float32))
    triples = place_of[np.asarray(triples)]
    triples = triples[(triples != np.roll(triples, 1, axis=1)).all(axis=1)]
    return places, triples[lengths(area_vectors(places, triples)) > 0].astype(np.int32)


def parted(vertices: Floats, faces: Ints) -> tuple[Floats, Ints]:
    """Every face in four, at the middles of its edges; the last of the four lies in its middle.

    Face f becomes the faces f, f + n, f + 2n and f + 3n of 4n.
    """
    edges = np.sort(faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1).astype(np.int64)
    key, index = np.unique(edges[:, 0] * len(vertices) + edges[:, 1], return_inverse=True)
    first, second = np.divmod(key, len(vertices))
    middle = (vertices[first] + vertices[second]) * np.float32(0.5)
    ab, bc, ca = (index.reshape(-1, 3) + len(vertices)).T
    a, b, c = faces.T
    parts = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    triples = np.concatenate([np.stack(part, axis=1) for part in parts]).astype(np.int32)
    return np.concatenate((vertices, middle)), triples


def thickened(vertices: Floats, faces: Ints) -> tuple[Floats, Ints, Ints]:
    """A coarse mesh with its faces parted, and for each of its own faces the one in its middle.

    Marks can lie within large faces then, and ways over them are not bent by their corners.
    """
    middle = np.arange(len(faces), dtype=np.int32)
    while 4 * len(faces) <= LIGHT:
        middle = middle + np.int32(3 * len(faces))
        vertices, faces = parted(vertices, faces)
    return vertices, faces, middle


def face_for_each(surface: Surface, vertices: Floats, faces: Ints, shell: Ints) -> Ints:
    """Which face of a stand-in stands for each face of the mesh it stands for.

    The nearest one that faces the same way: a thin cloak has two sides. A shell maps to one
    shell of the stand-in only, so that no label leaks to what touches it.

    Parameters
    ----------
    surface : the stand-in.
    vertices, faces : the heavy mesh, mm.
    shell : (faces,) int32, the heavy mesh's own shells.
    """
    from scipy.spatial import cKDTree

    centre = middles(vertices, faces)
    vector = area_vectors(vertices, faces)
    points = surface.centre.astype(np.float32)
    near = closest_of(points, centre, float(np.sqrt(surface.mm2.mean())))
    owner = _owners(surface, near, shell)
    wrong = ~_fits(surface, near, vector, shell, owner)
    again = np.flatnonzero(wrong)
    if len(again):
        most = min(_MORE, len(surface.faces))
        found = cKDTree(points).query(centre[again], k=most, workers=-1)[1]
        several = np.asarray(found, dtype=np.int32).reshape(len(again), -1)
        fits = np.stack(
            [
                _fits(surface, several[:, k], vector[again], shell[again], owner)
                for k in range(several.shape[1])
            ],
            axis=1,
        )
        best = several[np.arange(len(again)), np.argmax(fits, axis=1)]
        near[again] = np.where(fits.any(axis=1), best, near[again])
    return near


def _owners(surface: Surface, near: Ints, shell: Ints) -> Ints:
    """For each shell of the stand-in, the shell of the heavy mesh that most of it came from."""
    key = surface.shell[near].astype(np.int64) * (int(shell.max()) + 1) + shell
    pairs, count = np.unique(key, return_counts=True)
    owner = np.full(surface.shells, -1, np.int32)
    for place in np.argsort(count, kind="stable").tolist():
        thin, heavy = divmod(int(pairs[place]), int(shell.max()) + 1)
        owner[thin] = heavy
    return owner


def _fits(
    surface: Surface, near: Ints, vector: NDArray[np.float64], shell: Ints, owner: Ints
) -> NDArray[np.bool_]:
    """Whether faces look the same way and belong to the same shell."""
    along = np.einsum("ij,ij->i", surface.normal[near], vector)
    same_way = along > _FACING * lengths(vector)
    return np.asarray(same_way & (owner[surface.shell[near]] == shell), dtype=np.bool_)
