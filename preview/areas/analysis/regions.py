"""A proposal: the figure in numbered regions, each with its middle, width and neighbours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.surface import Surface

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]
Point = tuple[float, float, float]


@dataclass(frozen=True)
class Region:
    """One region of a proposal.

    name : "3", or "3b" for a part of region 3.
    face : the face of the surface deepest inside, of those in sight if there are any.
    at, normal : mm, that face's middle; its outward unit normal.
    mm2 : mm².
    width_mm : mm, of the widest disc around it that fits inside, measured along the surface.
    neighbours : name of each region beside it -> mm of common border.
    """

    name: str
    face: int
    at: Point
    normal: Point
    mm2: float
    width_mm: float
    neighbours: Mapping[str, float]


@dataclass(frozen=True, eq=False)
class Proposal:
    """A figure's regions.

    regions : in the order of their numbers.
    of_face : (surface faces,) int32, index into regions.
    """

    regions: tuple[Region, ...]
    of_face: Ints


def proposed(
    analysis: Analysis,
    count: int,
    split: Mapping[str, int] | None = None,
    exposed: NDArray[np.bool_] | None = None,
) -> Proposal:
    """Cut the merge tree into `count` regions, and some of those further.

    Parameters
    ----------
    analysis : of the figure.
    count : at least 1; a figure with fewer patches gives fewer regions.
    split : name of a region -> into how many parts; a part such as "7b" may be split again.
    exposed : (faces of the figure,) which can be seen, so that middles are; None for all.

    Raises
    ------
    KeyError : with every name in `split` that no region has.

    Notes
    -----
    Holds exactly: a number of a coarser proposal names the union of that number's region and
    others in a finer one.
    """
    tree = analysis.tree
    named = {str(k + 1): node for k, node in enumerate(tree.nodes(count))}
    unknown = []
    for name, parts in sorted((split or {}).items(), key=lambda item: (len(item[0]), item[0])):
        if name not in named:
            unknown.append(name)
            continue
        pieces = tree.parts(named.pop(name), parts)
        named |= {part_name(name, k): node for k, node in enumerate(pieces)}
    if unknown:
        raise KeyError(*unknown)
    names = sorted(named, key=in_order)
    patches, patch = analysis.patches
    of_patch = np.zeros(patches, np.int32)
    for index, name in enumerate(names):
        of_patch[tree.leaves(named[name])] = index
    of_face = of_patch[patch]
    seen = None if exposed is None else analysis.standing_for(exposed)
    return Proposal(regions_of(analysis.surface, of_face, names, seen), of_face)


def part_name(name: str, index: int) -> str:
    """The name of a part: 7 falls into 7a, 7b; 7a into 7a1, 7a2; 7a1 into 7a1a."""
    return name + (chr(ord("a") + index) if name[-1].isdigit() else str(index + 1))


def is_part_of(name: str, whole: str) -> bool:
    """Whether a name is that of a part of another region, or of a part of a part."""
    rest = name.removeprefix(whole)
    return bool(rest) and rest != name and rest[0].isdigit() != whole[-1].isdigit()


def in_order(name: str) -> list[tuple[int, str]]:
    """Sorts "3" before "3a" before "12"."""
    found: list[tuple[int, str]] = []
    run = ""
    for sign in name:
        if sign.isdigit():
            run += sign
            continue
        if run:
            found.append((int(run), ""))
            run = ""
        found.append((0, sign))
    return [*found, (int(run), "")] if run else found


def regions_of(
    surface: Surface, of_face: Ints, names: list[str], seen: NDArray[np.bool_] | None = None
) -> tuple[Region, ...]:
    """Middle, size, width and neighbours of each region.

    seen : (faces of the surface,) which can be seen; a middle under a hat would name the hair.
    """
    depth = depth_mm(surface, of_face)
    unseen = np.zeros(len(of_face), np.bool_) if seen is None else ~seen
    count = len(names)
    mm2 = np.bincount(of_face, surface.mm2, count)
    order = np.lexsort((np.arange(len(of_face)), -depth, unseen, of_face))
    held, first = np.unique(of_face[order], return_index=True)
    deepest = dict(zip(held.tolist(), order[first].tolist(), strict=True))
    beside = _borders(surface, of_face, names)
    return tuple(
        Region(
            name=name,
            face=deepest[k],
            at=_point(surface.centre[deepest[k]]),
            normal=_point(surface.normal[deepest[k]]),
            mm2=float(mm2[k]),
            width_mm=2.0 * float(depth[deepest[k]]),
            neighbours=beside[k],
        )
        for k, name in enumerate(names)
        if k in deepest
    )


def depth_mm(surface: Surface, of_face: Ints) -> Floats:
    """(surface faces,) mm: how far each face is from the border of its region, along the surface.

    A region without a border, a whole shell, is measured from its lowest face.
    """
    meet = of_face[surface.left] != of_face[surface.right]
    rim = np.unique(np.concatenate((surface.left[meet], surface.right[meet])))
    lacking = np.setdiff1d(np.arange(surface.shells), surface.shell[rim])
    if len(lacking):
        order = np.lexsort((surface.centre[:, 2], surface.shell))
        first = np.searchsorted(surface.shell[order], lacking)
        rim = np.concatenate((rim, order[first]))
    ways = surface.plain_ways()
    ways.add(rim)
    return np.where(np.isfinite(ways.distance), ways.distance, 0.0)


def _borders(surface: Surface, of_face: Ints, names: list[str]) -> list[dict[str, float]]:
    """For each region its neighbours and how many mm they share."""
    a, b = of_face[surface.left], of_face[surface.right]
    meet = a != b
    low, high = np.minimum(a, b)[meet], np.maximum(a, b)[meet]
    pairs, which = np.unique(np.stack((low, high), axis=1), axis=0, return_inverse=True)
    long = np.bincount(which.ravel(), surface.edge[meet], len(pairs))
    beside: list[dict[str, float]] = [{} for _ in names]
    for (one, other), mm in zip(pairs.tolist(), long.tolist(), strict=True):
        beside[one][names[other]] = mm
        beside[other][names[one]] = mm
    return beside


def _point(row: Floats) -> Point:
    """Three plain numbers."""
    x, y, z = (float(v) for v in row)
    return x, y, z
