"""The whole figure at a squint: how many masses of value it falls into, where it draws the eye."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.judge.squint import blurred
from preview.optics.cie1976_lab import lightness_from_y

Floats = NDArray[np.float64]

MUNSELL_STEP = 10.0
"""L* of one step of Munsell value (ASTM D1535)."""

MOST_GROUPS = 5

SMALLEST_GROUP, SMALLEST_MASS = 0.05, 0.03
"""Share of the figure in sight below which a group or a mass is not counted. Our convention."""

FOCUS_ARCMIN = 8.0
"""Contrast is gathered over about so much of the sight when the focal point is looked for."""

# L* per pixel below which nothing contrasts but rounding.
_LEAST_SLOPE = 1e-6
_BINS = 100


@dataclass(frozen=True)
class ValueGroup:
    """Parts of the figure of like value.

    lightness : mean L*; share : of the figure in sight, in (0, 1]; masses : connected patches of it
    that are large enough to count.
    """

    lightness: float
    share: float
    masses: int


@dataclass(frozen=True)
class Focus:
    """Where the strongest contrast sits.

    row, column : pixel of the picture. area : the area there; pair : the two areas that meet there,
    "" where an area's own shading is what contrasts.
    """

    row: int
    column: int
    area: str
    pair: str


@dataclass(frozen=True)
class Squint:
    """A figure seen through narrowed eyes, from the front.

    groups : of value, the darkest first. focus : None where nothing contrasts.
    """

    groups: tuple[ValueGroup, ...]
    focus: Focus | None

    @property
    def masses(self) -> int:
        """Distinct masses of value."""
        return sum(group.masses for group in self.groups)

    def in_words(self) -> str:
        """One or two sentences."""
        listed = ", ".join(f"L* {g.lightness:.0f} ({100 * g.share:.0f} %)" for g in self.groups)
        plural = "" if len(self.groups) == 1 else "s"
        words = (
            f"At a squint the front falls into {len(self.groups)} group{plural} of value: "
            f"{listed}, in {self.masses} distinct mass{'' if self.masses == 1 else 'es'}."
        )
        if self.focus is None:
            return words
        where = self.focus.pair or f"inside {self.focus.area}"
        return f"{words} The strongest contrast sits at {where}."

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "groups": [
                {"lightness": g.lightness, "share": g.share, "masses": g.masses}
                for g in self.groups
            ],
            "masses": self.masses,
            "focus": None
            if self.focus is None
            else {"area": self.focus.area, "pair": self.focus.pair},
        }


def value_groups(y: Floats, inside: NDArray[np.bool_]) -> tuple[ValueGroup, ...]:
    """Groups of like value in a blurred picture, the darkest first.

    The fewest groups, five at most, within which L* strays no more than half a step of Munsell
    value (standard deviation), cut so that it strays as little as it can (Jenks's natural breaks).

    Parameters
    ----------
    y : (rows, columns) luminance factor after the squint's blur.
    inside : (rows, columns) which pixels are the figure's; at least one.
    """
    from scipy import ndimage

    lightness = np.clip(lightness_from_y(y), 0.0, 100.0)
    group = np.digitize(lightness, _breaks(lightness[inside]))
    found = []
    for number in range(int(group[inside].max()) + 1):
        mask = inside & (group == number)
        share = float(mask.sum() / inside.sum())
        if share < SMALLEST_GROUP:
            continue
        numbered, patches = ndimage.label(mask, structure=np.ones((3, 3)))
        sizes = np.bincount(numbered.ravel(), minlength=patches + 1)[1:]
        masses = int((sizes >= SMALLEST_MASS * inside.sum()).sum())
        found.append(ValueGroup(float(lightness[mask].mean()), share, masses))
    return tuple(found)


def _breaks(lightness: Floats) -> Floats:
    """L* between the groups."""
    count, edges = np.histogram(lightness, bins=_BINS, range=(0.0, 100.0))
    at = 0.5 * (edges[1:] + edges[:-1])
    stray = _stray_within(count.astype(float), at)
    best, cuts = stray[0], [list[int]() for _ in range(_BINS)]
    for _ in range(MOST_GROUPS - 1):
        if best[-1] <= (0.5 * MUNSELL_STEP) ** 2 * count.sum():
            break
        # One group more: the last one begins at the bin that strays least in all.
        total = best[:-1, None] + stray[1:]
        last = total.argmin(axis=0)
        cuts = [[*cuts[start], int(start) + 1] for start in last]
        best = total.min(axis=0)
    return edges[cuts[-1]]


def _stray_within(count: Floats, at: Floats) -> Floats:
    """(bins, bins): squared distance from their mean of all values from one bin to another."""
    zero = np.zeros(1)
    weight, first, second = (
        np.concatenate([zero, np.cumsum(v)]) for v in (count, count * at, count * at**2)
    )
    start, end = np.arange(_BINS)[:, None], np.arange(_BINS)[None, :] + 1
    many = np.maximum(weight[end] - weight[start], 1e-12)
    spread = second[end] - second[start] - (first[end] - first[start]) ** 2 / many
    return np.where(end > start, np.maximum(spread, 0.0), np.inf)


def find_focus(
    y: Floats,
    inside: NDArray[np.bool_],
    label: NDArray[np.int32],
    names: tuple[str, ...],
    pixels_per_degree: float,
) -> Focus | None:
    """Where the strongest contrast sits inside a figure.

    Parameters
    ----------
    y : (rows, columns) luminance factor after the eye's optics, the figure's own beside it too.
    inside : (rows, columns) which pixels are the figure's.
    label : (rows, columns) int32 area of each pixel; below 0 is none.
    """
    from scipy import ndimage

    lightness = lightness_from_y(y)
    steep = np.hypot(*np.gradient(lightness)) * inside
    spread = FOCUS_ARCMIN / 60.0 * pixels_per_degree / 2.0
    gathered = ndimage.gaussian_filter(steep, spread) * inside
    if not gathered.max(initial=0.0) > _LEAST_SLOPE:
        return None
    row, column = (int(v) for v in np.unravel_index(int(gathered.argmax()), gathered.shape))
    area = int(label[row, column])
    return Focus(row, column, names[area], _pair_at(steep, label, names, row, column, spread))


def _pair_at(
    steep: Floats,
    label: NDArray[np.int32],
    names: tuple[str, ...],
    row: int,
    column: int,
    reach: float,
) -> str:
    """The two areas between which most of the contrast near a place lies."""
    half = max(2, int(reach))
    top, left = max(0, row - half), max(0, column - half)
    box = (slice(top, row + half + 1), slice(left, column + half + 1))
    near, slope = label[box], steep[box]
    weight: dict[tuple[int, int], float] = {}
    for a, b, s in (
        (near[:, 1:], near[:, :-1], slope[:, 1:]),
        (near[1:], near[:-1], slope[1:]),
    ):
        meet = (a != b) & (a >= 0) & (b >= 0)
        for one, other, much in zip(a[meet], b[meet], s[meet], strict=True):
            key = (min(int(one), int(other)), max(int(one), int(other)))
            weight[key] = weight.get(key, 0.0) + float(much)
    if not weight:
        return ""
    first, second = max(weight, key=lambda key: weight[key])
    return f"{names[first]} and {names[second]}"


def squint_at(
    y: Floats,
    coverage: Floats,
    label: NDArray[np.int32],
    names: tuple[str, ...],
    pixels_per_degree: float,
    optics_arcmin: float,
    squint_arcmin: float,
) -> Squint:
    """Value groups and focal point of a picture of a figure.

    Parameters
    ----------
    y : (rows, columns) luminance factor times coverage. coverage : (rows, columns) in [0, 1].
    label : (rows, columns) int32, area of each pixel.
    optics_arcmin, squint_arcmin : standard deviation of either blur.
    """
    inside = coverage > 0.5
    if not inside.any():
        return Squint((), None)
    soft = blurred(y, coverage, squint_arcmin / 60.0 * pixels_per_degree)
    sharp = blurred(y, coverage, optics_arcmin / 60.0 * pixels_per_degree)
    return Squint(
        value_groups(soft, inside),
        find_focus(sharp, inside & (label >= 0), label, names, pixels_per_degree),
    )
