"""Bodies whose borders are known, and flat colours for them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.areas.sculpt import Placement, Sculpt
from preview.judge.colours import Colours
from preview.optics.cie1976_lab import y_from_lightness

Part = tuple[NDArray[np.float64], NDArray[np.int64], str]


def as_sculpt(
    parts: Sequence[Part], names: Sequence[str] = (), hidden: Sequence[str] = ()
) -> Sculpt:
    """Parts as one sculpt; parts of one name are one area; hidden ones are not exposed."""
    order = list(names) or list(dict.fromkeys(name for _, _, name in parts))
    offsets = np.cumsum([0, *(len(vertices) for vertices, _, _ in parts)])
    faces = np.concatenate([f + start for (_, f, _), start in zip(parts, offsets, strict=False)])
    area = np.concatenate([np.full(len(f), order.index(name)) for _, f, name in parts])
    exposed = ~np.isin(area, [order.index(name) for name in hidden])
    vertices = np.concatenate([v for v, _, _ in parts]).astype(np.float32)
    return Sculpt(
        name="body",
        vertices=vertices,
        faces=faces.astype(np.int32),
        area=area.astype(np.int32),
        area_names=tuple(order),
        source_face=np.arange(len(faces), dtype=np.int64),
        exposed=exposed,
        placement=Placement(1.0, "mm", "z", "made for a test", float(np.ptp(vertices[:, 2]))),
        areas_from="parts",
    )


def revolved(
    profile: Sequence[tuple[float, float]],
    name: str,
    centre: Sequence[float] = (0.0, 0.0, 0.0),
    around: int = 180,
) -> Part:
    """The surface that a profile of (radius, z), from bottom to top, sweeps around the z axis."""
    turn = 2.0 * np.pi * np.arange(around) / around
    r, z = np.array(profile, float).T
    grid = np.stack(
        [np.outer(r, np.cos(turn)), np.outer(r, np.sin(turn)), np.repeat(z[:, None], around, 1)], 2
    )
    here = np.arange(len(r) * around).reshape(len(r), around)
    beside = np.roll(here, -1, axis=1)
    low = np.stack([here[:-1], beside[:-1], beside[1:]], 2).reshape(-1, 3)
    high = np.stack([here[:-1], beside[1:], here[1:]], 2).reshape(-1, 3)
    at_pole = np.repeat(r == 0.0, around)
    faces = np.concatenate([low[~at_pole[low[:, 0]]], high[~at_pole[high[:, 2]]]])
    return grid.reshape(-1, 3) + np.asarray(centre), faces, name


def arc(radius: float, low_deg: float, high_deg: float, steps: int) -> list[tuple[float, float]]:
    """The profile of a sphere between two latitudes; exact poles."""
    latitude = np.radians(np.linspace(low_deg, high_deg, steps + 1))
    r = np.where(np.abs(np.cos(latitude)) < 1e-9, 0.0, radius * np.cos(latitude))
    return list(zip(r.tolist(), (radius * np.sin(latitude)).tolist(), strict=True))


def sphere(
    radius: float, name: str, centre: Sequence[float] = (0.0, 0.0, 0.0), steps: int = 90
) -> Part:
    """A whole sphere."""
    return revolved(arc(radius, -90.0, 90.0, steps), name, centre)


def column(
    radius: float, bands: Sequence[tuple[str, float, float]], tops: bool = True
) -> list[Part]:
    """A closed cylinder in bands of (name, from z, to z), lowest first."""
    parts = [revolved([(radius, low), (radius, high)], name) for name, low, high in bands]
    if tops:
        first, last = bands[0], bands[-1]
        parts.append(revolved([(0.0, first[1]), (radius, first[1])], first[0]))
        parts.append(revolved([(radius, last[2]), (0.0, last[2])], last[0]))
    return parts


@pytest.fixture(scope="session")
def bodies() -> SimpleNamespace:
    """The builders above, for tests that need a body of their own."""
    return SimpleNamespace(as_sculpt=as_sculpt, sphere=sphere, column=column, revolved=revolved)


@pytest.fixture(scope="session")
def globe() -> Sculpt:
    """A sphere of radius 10 mm, its two halves meeting at the equator."""
    south = revolved(arc(10.0, -90.0, 0.0, 45), "south")
    north = revolved(arc(10.0, 0.0, 90.0, 45), "north")
    return as_sculpt([south, north])


@pytest.fixture(scope="session")
def belted() -> Sculpt:
    """A coat 20 mm tall and 8 mm wide, with a strap 0.9 mm wide painted around it."""
    return as_sculpt(column(4.0, [("coat", 0.0, 12.0), ("strap", 12.0, 12.9), ("coat", 12.9, 20)]))


@pytest.fixture(scope="session")
def flat() -> Callable[..., Colours]:
    """Even grey paint, by name of area: flat(sculpt, coat=40, strap=60)."""

    def paint(sculpt: Sculpt, **lightness: float) -> Colours:
        L = np.array([lightness[name] for name in sculpt.area_names], float)
        lab = np.stack([L, 0.0 * L, 0.0 * L], axis=1)
        return Colours(y_from_lightness(L)[sculpt.area], lab[sculpt.area], lab)

    return paint
