"""Whole drops of paint, and of mixes, to a mix."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction

import numpy as np

from preview.errors import Fault, UsageError
from preview.mix.kubelka_munk_1931 import ratio_from_reflectance
from preview.mix.mixture import Mix
from preview.mix.saunderson_1942 import inner_from_outer
from preview.mix.two_constant_duncan_1940 import mix_recipes
from preview.optics.spectrum import Floats
from preview.rack.paint import Certainty, Paint, Rack

MOST_DROPS = 10_000


def constants_of(paints: Sequence[Paint]) -> tuple[Floats, Floats, Floats]:
    """K, S and surface of paints, ready for `mix_recipes`.

    Parameters
    ----------
    paints : at least one.

    Returns
    -------
    absorption, scattering : (paints, 31).
    surface : (paints, 2), Saunderson's k1 and k2.
    """
    surface = np.array([[paint.surface_k1, paint.surface_k2] for paint in paints])
    outer = np.stack([paint.reflectance for paint in paints])
    scattering = np.stack([paint.scattering for paint in paints])
    inner = inner_from_outer(outer, surface[:, :1], surface[:, 1:])
    return ratio_from_reflectance(inner) * scattering, scattering, surface


def constants_of_mixes(mixes: Sequence[Mix]) -> tuple[Floats, Floats, Floats]:
    """K, S and surface of mixes, shaped as those of paints in `constants_of`; at least one."""
    return (
        np.stack([mix.absorption for mix in mixes]),
        np.stack([mix.scattering for mix in mixes]),
        np.array([[mix.surface_k1, mix.surface_k2] for mix in mixes]),
    )


def mix_paints(rack: Rack, drops: Mapping[str, float]) -> Mix:
    """The mix of whole drops of a rack's paints.

    Parameters
    ----------
    rack : where the paints stand.
    drops : paint name -> whole drops, at least 1 and at most 10,000.

    Returns
    -------
    Mix with its recipe in lowest terms, in the order of the rack.

    Raises
    ------
    UsageError : a paint is not in the rack, an amount is not a whole number of drops, or there
        is nothing to mix; all of it at once.

    Examples
    --------
    >>> from preview.rack.load import load_rack
    >>> load_rack("harbour").mix({"rust orange": 4, "deep sea blue": 2}).recipe
    {'rust orange': 2, 'deep sea blue': 1}
    """
    faults = _faults_of(rack, drops)
    if faults:
        raise UsageError.of(faults)
    whole = {name: int(drops[name]) for name in rack.paints if name in drops}
    paints = [rack.paints[name] for name in whole]
    recipe = in_lowest_terms(whole)
    calibrated = all(paint.calibrated for paint in paints)
    absorption, scattering, surface = mix_recipes(*constants_of(paints), list(recipe.values()))
    return Mix(
        absorption,
        scattering,
        float(surface[0]),
        float(surface[1]),
        recipe,
        paints[0].certainty if len(paints) == 1 else _predicted(calibrated),
        calibrated,
    )


def mix_mixes(parts: Sequence[tuple[Mix, int]]) -> Mix:
    """The mix of whole drops of mixes; one drop of a mix counts as one drop.

    Parameters
    ----------
    parts : each mix with its whole drops, at least 1.

    Returns
    -------
    Mix whose recipe is flattened to whole drops of paint in lowest terms; without a recipe
    when a part has none.

    Raises
    ------
    UsageError : no parts, or an amount that is not a whole number of drops.
    """
    faults = [fault for _, drops in parts for fault in _drop_faults("a mix", drops)]
    if faults or not parts:
        raise UsageError.of(faults or [Fault("nothing to mix", fix="give at least one drop")])
    mixes = [mix for mix, _ in parts]
    amounts = [int(drops) for _, drops in parts]
    return _combined(mixes, amounts, _flattened(mixes, amounts))


def blend(first: Mix, second: Mix, share: float) -> Mix:
    """Two mixes worked into one another while wet.

    Parameters
    ----------
    first, second : the mixes.
    share : of the second, in [0, 1]; at the ends the mix itself comes back.

    Returns
    -------
    Mix without a recipe, for it is no whole number of drops.

    Raises
    ------
    ValueError : the share is outside [0, 1].
    """
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"share must be in [0, 1], got {share}")
    if share in (0.0, 1.0):
        return second if share else first
    return _combined([first, second], [1.0 - share, share], {})


def in_lowest_terms(drops: Mapping[str, int]) -> dict[str, int]:
    """The same ratio in the fewest whole drops."""
    common = math.gcd(*drops.values())
    return {name: amount // common for name, amount in drops.items()}


def _predicted(calibrated: bool) -> Certainty:
    """How sure a mix of several paints is: a prediction, so never measured."""
    return "calibrated" if calibrated else "estimate"


def _combined(mixes: Sequence[Mix], amounts: Sequence[float], recipe: Mapping[str, int]) -> Mix:
    """Mixes by their amounts, with a recipe worked out beforehand."""
    absorption, scattering, surface = mix_recipes(*constants_of_mixes(mixes), amounts)
    calibrated = all(mix.calibrated for mix in mixes)
    pot_alone = len(recipe) == 1
    certainty = mixes[0].certainty if pot_alone else _predicted(calibrated)
    return Mix(
        absorption, scattering, float(surface[0]), float(surface[1]), recipe, certainty, calibrated
    )


def _flattened(mixes: Sequence[Mix], amounts: Sequence[int]) -> dict[str, int]:
    """Whole drops of paint in lowest terms; nothing when a part has no recipe."""
    if not all(mix.recipe for mix in mixes):
        return {}
    shares: dict[str, Fraction] = {}
    for mix, amount in zip(mixes, amounts, strict=True):
        total = sum(mix.recipe.values())
        for name, drops in mix.recipe.items():
            shares[name] = shares.get(name, Fraction(0)) + Fraction(amount * drops, total)
    scale = math.lcm(*(share.denominator for share in shares.values()))
    return in_lowest_terms({name: int(share * scale) for name, share in shares.items()})


def _faults_of(rack: Rack, drops: Mapping[str, float]) -> list[Fault]:
    """All that is wrong with a recipe."""
    if not drops:
        return [Fault("nothing to mix", rack.name, 'give at least one paint, such as "name=1"')]
    faults = []
    for name, amount in drops.items():
        if name not in rack.paints:
            faults.append(rack.lacks(name))
        faults += _drop_faults(f'"{name}"', amount)
    return faults


def _drop_faults(what: str, amount: object) -> list[Fault]:
    """What is wrong with one amount."""
    whole = (
        isinstance(amount, (int, float, np.integer, np.floating))
        and not isinstance(amount, bool)
        and 1 <= amount <= MOST_DROPS
        and amount == int(amount)
    )
    if whole:
        return []
    return [
        Fault(
            f"drops of {what} must be a whole number from 1 to {MOST_DROPS}, got {amount}",
            fix="count whole drops; for half a drop, double the whole recipe",
        )
    ]
