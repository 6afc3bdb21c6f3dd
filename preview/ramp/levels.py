"""A ramp as a table of spectra: what each tone looks like, borders and glazes worked out."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.mix.mixture import Mix
from preview.mix.recipes import constants_of_mixes
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.spectrum import Floats
from preview.ramp.ramp import Ramp, Step
from preview.ramp.words import PRIMER


def ramp_reflectance(ramp: Ramp, levels: int, primer: Floats) -> Floats:
    """Reflectance of a ramp at evenly spaced tones from 0 to 1.

    Opaque steps hide what lies under them. Layered borders are hard. A wet blend mixes K and S
    of the two steps with a smooth share; next to a glaze that lies over the other step, the
    film thins out instead. A border between a glaze and a step that it does not lie over is
    stippled: a smooth share of the two reflectances.

    Parameters
    ----------
    ramp : its steps are in the order of their tones.
    levels : how many tones, at least 2.
    primer : (31,) unitless in (0, 1], what lies under a lowest step that is a glaze.

    Returns
    -------
    (levels, 31) unitless in (0, 1].

    Notes
    -----
    Holds exactly: outside the blends every row is the look of its step; a ramp of one step is
    the same at all tones. Leaves out: primer that shows through opaque steps.
    """
    tones = np.linspace(0.0, 1.0, levels)
    looks = step_reflectance(ramp, primer)
    table = looks[step_of_tone(ramp, tones)]
    if ramp.edges == "layered":
        return table
    for upper, (low, high) in enumerate(_blends(ramp), start=1):
        rows = np.flatnonzero((tones > low) & (tones < high))
        table[rows] = _between(ramp, upper, _smooth((tones[rows] - low) / (high - low)), looks)
    return table


def step_reflectance(ramp: Ramp, primer: Floats) -> Floats:
    """How each step of a ramp looks by itself: (steps, 31), glazes as films over their ground."""
    known: dict[str, Floats] = {}
    for _ in ramp.steps:
        for index, step in enumerate(ramp.steps):
            ground = ground_name(ramp, index)
            if step.glaze_coats is None:
                known[step.name] = step.mix.reflectance
            elif ground is None or ground in known:
                below = primer if ground is None else known[ground]
                known[step.name] = step.mix.over(below, step.glaze_coats)
    return np.stack([known[step.name] for step in ramp.steps])


def step_of_tone(ramp: Ramp, tone: ArrayLike) -> NDArray[np.intp]:
    """Index of the step that covers each tone in [0, 1]; the first also covers what is below it."""
    begins = np.array([step.begins for step in ramp.steps])
    return np.maximum(np.searchsorted(begins, np.asarray(tone), side="right") - 1, 0)


def step_position(ramp: Ramp, levels: int) -> Floats:
    """How far along its steps a ramp is at evenly spaced tones from 0 to 1.

    Parameters
    ----------
    levels : how many tones, at least 2.

    Returns
    -------
    (levels,) in [0, steps - 1], never falling: a whole number inside a step, between two inside
    the blend that leads from one to the next.
    """
    tones = np.linspace(0.0, 1.0, levels)
    position = step_of_tone(ramp, tones).astype(np.float64)
    if ramp.edges == "layered":
        return position
    for upper, (low, high) in enumerate(_blends(ramp), start=1):
        rows = np.flatnonzero((tones > low) & (tones < high))
        position[rows] = upper - 1 + _smooth((tones[rows] - low) / (high - low))
    return position


def ground_name(ramp: Ramp, index: int) -> str | None:
    """The step that a glaze at `index` lies over; None for the primer."""
    over = ramp.steps[index].glaze_over
    if over is not None:
        return None if over == PRIMER else over
    return ramp.steps[index - 1].name if index else None


def _lies_over(ramp: Ramp, index: int, other: int) -> bool:
    """Whether the step at `index` is a glaze over the step at `other`."""
    step = ramp.steps[index]
    return step.glaze_coats is not None and ground_name(ramp, index) == ramp.steps[other].name


def _blends(ramp: Ramp) -> list[tuple[float, float]]:
    """Tones between which each border is blended; narrower where borders stand close."""
    borders = [step.begins for step in ramp.steps[1:]]
    ends = [0.0, *borders, 1.0]
    found = []
    for index, border in enumerate(borders, start=1):
        room = min(border - ends[index - 1], ends[index + 1] - border)
        # Blends next to each other share the room between their borders in halves.
        half = min(0.5 * ramp.blend_width, 0.5 * room)
        found.append((border - half, border + half))
    return found


def _between(ramp: Ramp, upper: int, share: Floats, looks: Floats) -> Floats:
    """(rows, 31): a border, (rows,) share of the way from the step below it to step `upper`."""
    low, high = ramp.steps[upper - 1], ramp.steps[upper]
    if low.glaze_coats is None and high.glaze_coats is None:
        return _wet(low.mix, high.mix, share)
    if _lies_over(ramp, upper, upper - 1):
        return _thinned(high, looks[upper - 1], share)
    if _lies_over(ramp, upper - 1, upper):
        return _thinned(low, looks[upper], 1.0 - share)
    return np.asarray(looks[upper - 1] + share[:, None] * (looks[upper] - looks[upper - 1]))


def _wet(low: Mix, high: Mix, share: Floats) -> Floats:
    """Two mixes worked into one another: K and S by their shares."""
    drops = np.stack([1.0 - share, share], axis=-1)
    return reflectance_of_mixes(*mix_recipes(*constants_of_mixes([low, high]), drops))


def _thinned(glaze: Step, ground: Floats, share: Floats) -> Floats:
    """A glaze with only a share of its thickness."""
    return glaze.mix.over(ground, (glaze.glaze_coats or 0.0) * share[:, None])


def _smooth(share: Floats) -> Floats:
    """A smooth rise from 0 to 1 with level ends."""
    return share * share * (3.0 - 2.0 * share)
