"""Keep one closed surface, and part sheets that thinning has glued along an edge."""

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

Points = NDArray[np.float64]
Faces = NDArray[np.int64]
Labels = NDArray[np.int64]


def largest_piece(v: Points, f: Faces) -> tuple[Points, Faces]:
    """Keep the one connected surface with most faces, and drop what floats or is enclosed."""
    ends = np.concatenate([f[:, [0, 1]], f[:, [1, 2]]])
    ones = np.ones(len(ends), dtype=np.int8)
    graph = coo_matrix((ones, (ends[:, 0], ends[:, 1])), shape=(len(v), len(v)))
    _, label = connected_components(graph, directed=False)
    keep = label[f[:, 0]] == np.bincount(label[f[:, 0]]).argmax()
    f = f[keep]
    used, inverse = np.unique(f, return_inverse=True)
    return v[used], inverse.reshape(-1, 3).astype(np.int64)


def crowded_edges(f: Faces) -> Faces:
    """Edges that do not have exactly two faces."""
    edges = np.sort(np.concatenate([f[:, [0, 1]], f[:, [1, 2]], f[:, [2, 0]]]), axis=1)
    pairs, count = np.unique(edges, axis=0, return_counts=True)
    return np.asarray(pairs[count != 2].astype(np.int64))


def _fans(corner: int, faces: Faces, bad: set[tuple[int, int]]) -> list[list[int]]:
    """Group the faces round a corner into fans joined by sound edges."""
    by_end: dict[int, list[int]] = {}
    for row, face in enumerate(faces):
        for end in face:
            pair = (min(int(end), corner), max(int(end), corner))
            if end != corner and pair not in bad:
                by_end.setdefault(int(end), []).append(row)
    group = list(range(len(faces)))
    for rows in by_end.values():
        low = min(group[r] for r in rows)
        merge = {group[r] for r in rows}
        group = [low if g in merge else g for g in group]
    return [[r for r, g in enumerate(group) if g == name] for name in sorted(set(group))]


def _closed(corner: int, faces: Faces, fans: list[list[int]], bad: set[tuple[int, int]]) -> bool:
    """Tell whether every fan would close by itself, with two faces on each crowded edge."""
    for fan in fans:
        ends, count = np.unique(faces[fan], return_counts=True)
        for end, times in zip(ends, count, strict=True):
            pair = (min(int(end), corner), max(int(end), corner))
            if pair in bad and times != 2:
                return False
    return True


def weld(v: Points, f: Faces) -> tuple[Points, Faces]:
    """Join vertices that single precision cannot tell apart; drop flat and doubled faces."""
    single = v.astype(np.float32) + np.float32(0.0)
    places, inverse = np.unique(single, axis=0, return_inverse=True)
    f = inverse.reshape(-1)[f].astype(np.int64)
    flat = (f[:, 0] == f[:, 1]) | (f[:, 1] == f[:, 2]) | (f[:, 2] == f[:, 0])
    f = f[~flat]
    _, inverse, count = np.unique(
        np.sort(f, axis=1), axis=0, return_inverse=True, return_counts=True
    )
    return places.astype(np.float64), f[count[inverse.reshape(-1)] == 1]


def part_sheets(v: Points, f: Faces, nudge: float = 2e-3) -> tuple[Points, Faces]:
    """Give each sheet that meets others along one edge its own copy of a corner."""
    for _ in range(12):
        v, f = weld(v, f)
        edges = crowded_edges(f)
        if not len(edges):
            return v, f
        bad = {(int(a), int(b)) for a, b in edges}
        done: set[int] = set()
        for pair in sorted(bad):
            if done & set(pair):
                continue
            for corner in pair:
                rows = np.flatnonzero((f == corner).any(axis=1))
                fans = _fans(corner, f[rows], bad)
                if len(fans) < 2 or not _closed(corner, f[rows], fans, bad):
                    continue
                at = v[corner].copy()
                for n, fan in enumerate(fans):
                    mine = rows[fan]
                    way = v[f[mine]].mean(axis=(0, 1)) - at
                    moved = at + way * (nudge / max(float(np.linalg.norm(way)), 1e-9))
                    name = corner if n == 0 else len(v)
                    if n:
                        v = np.vstack([v, moved])
                        f[mine] = np.where(f[mine] == corner, name, f[mine])
                    else:
                        v[corner] = moved
                done.update(pair)
                break
    raise RuntimeError("the mesh is not closed; ask for another voxel or number of faces")


def absorb_specks(f: Faces, area: Labels, least: int = 8) -> Labels:
    """Give patches of fewer than ``least`` faces to the area they share most edges with."""
    sides = np.concatenate([f[:, [0, 1]], f[:, [1, 2]], f[:, [2, 0]]])
    owner = np.tile(np.arange(len(f)), 3)
    order = np.lexsort(np.sort(sides, axis=1).T[::-1])
    one, two = owner[order[0::2]], owner[order[1::2]]
    area = area.copy()
    for _ in range(4):
        same = area[one] == area[two]
        ones = np.ones(int(same.sum()), dtype=np.int8)
        graph = coo_matrix((ones, (one[same], two[same])), shape=(len(f), len(f)))
        _, patch = connected_components(graph, directed=False)
        small = np.bincount(patch)[patch] < least
        if not small.any():
            break
        inner = np.concatenate([one[~same], two[~same]])
        outer = np.concatenate([two[~same], one[~same]])
        use = small[inner] & ~small[outer]
        votes = np.zeros((int(patch.max()) + 1, int(area.max()) + 1), dtype=np.int32)
        np.add.at(votes, (patch[inner[use]], area[outer[use]]), 1)
        won = small & (votes[patch].max(axis=1) > 0)
        area[won] = votes[patch[won]].argmax(axis=1)
    return area
