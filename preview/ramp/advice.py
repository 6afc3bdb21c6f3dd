"""The trade's rules, held against a scheme: advice with its numbers, never a refusal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from preview.mix.circle import CirclePlace, place_on_circle, warmth
from preview.mix.neutral import Neutral, most_neutral_mix
from preview.mix.undertone import ask_for_tint, hides_undertone
from preview.optics.appearance import lab_from_reflectance
from preview.ramp.levels import step_reflectance
from preview.ramp.ramp import Ramp
from preview.ramp.scheme import Scheme
from preview.ramp.tray import Tray
from preview.ramp.words import MAIN_ROLES, Role

Rule = Literal[
    "warm and cold", "brown", "off-white", "rising lightness", "dark", "undertone", "unused"
]

# Common practice, no source: lighter and greyer than this is a white, not an off-white.
WHITE_LIGHTNESS, WHITE_CHROMA = 92.0, 4.0
# A pale pot darker than this leaves no room for highlights; common practice, no source.
DIM_LIGHTNESS = 75.0
# Steps less apart than this, in L*, look the same side by side; common practice, no source.
JUST_LIGHTER = 1.0
# A mixed shadow this near to the dark pot, in L*, makes the pot needless.
DARK_ENOUGH = 3.0


@dataclass(frozen=True)
class Advice:
    """One finding about a scheme.

    rule : which rule of the trade it speaks of.
    fine : True where the scheme keeps the rule; False where something could be better.
    sentence : what was found, with its numbers.
    where : key path in the scheme file.
    """

    rule: Rule
    fine: bool
    sentence: str
    where: str

    def __str__(self) -> str:
        return self.sentence


def advise(scheme: Scheme) -> tuple[Advice, ...]:
    """What the trade's rules say of a scheme.

    One warm and one cold pot on the painters' circle; brown left out only when the two mix to a
    neutral, and not bought when they do; an off-white rather than pure white; lightness that
    rises from shadow to highlight; a dark pot only where mixed shadows are not dark enough; a
    tint of each dark chromatic pot; no pot and no ramp that nothing uses. All of it is common
    practice, no source; the numbers are computed from the paints.

    Parameters
    ----------
    scheme : as loaded.

    Returns
    -------
    Findings in the order above; those with `fine` False are the ones to act on.
    """
    return (
        *_sides(scheme),
        *_brown(scheme),
        *_pale(scheme),
        *(found for ramp in scheme.ramps.values() for found in _rising(scheme, ramp)),
        *_dark(scheme),
        *_undertones(scheme),
        *_unused(scheme),
    )


def _sides(scheme: Scheme) -> Iterator[Advice]:
    """One warm and one cold pot on the painters' circle."""
    places: dict[str, CirclePlace] = {}
    for role in ("warm", "cold"):
        if role in scheme.pots:
            places[role] = place_on_circle(scheme.pot(role).lab)
            yield _side(role, scheme.pots[role], places[role])
        else:
            yield Advice("warm and cold", False, f"The scheme has no {role} pot.", "pots")
    if len(places) == 2:
        gap = float(warmth(scheme.pot("warm").lab) - warmth(scheme.pot("cold").lab))
        if gap <= 0:
            sentence = (
                f'"{scheme.pots["cold"]}" in the cold pot is warmer than '
                f'"{scheme.pots["warm"]}" in the warm one, by {-gap:.2f} on the warm-cool scale; '
                "have they changed places?"
            )
            yield Advice("warm and cold", False, sentence, "pots")


def _side(role: Role, name: str, place: CirclePlace) -> Advice:
    """Whether one pot stands on the side of the circle that its role says."""
    stands = f'"{name}" stands at {place.wheel_deg:.0f}° on the painters\' circle, {place.hue}'
    measured = f"(hue {place.hue_deg:.0f}°, chroma {place.chroma:.0f})"
    fine = place.side == role and not place.borderline
    if place.side == "neutral":
        says = f'"{name}" in the {role} pot is a neutral {measured}: neither warm nor cold.'
    elif place.side != role:
        says = f"{stands} {measured}: on the {place.side} side, though it is the {role} pot."
    elif place.borderline:
        says = f"{stands} {measured}: {role}, but borderline, within 15° of the other side."
    else:
        says = f"{stands} {measured}: {role}."
    return Advice("warm and cold", fine, says, f"pots.{role}")


def _brown(scheme: Scheme) -> Iterator[Advice]:
    """Whether warm and cold mix to a neutral, and so whether brown is needed."""
    if "warm" not in scheme.pots or "cold" not in scheme.pots:
        return
    warm, cold = scheme.pot("warm"), scheme.pot("cold")
    neutral = most_neutral_mix(warm, cold)
    kept = "brown" in scheme.pots
    says, fine = _brown_words(neutral, kept)
    if kept and neutral.verdict == "complementary":
        says += _brown_again(scheme)
    yield Advice("brown", fine, says, "pots.brown" if kept else "pots")


def _brown_words(neutral: Neutral, kept: bool) -> tuple[str, bool]:
    """The sentence on brown, and whether all is fine."""
    drops = f"{neutral.drops[0]} to {neutral.drops[1]}"
    greyest = (
        f"their greyest mix, {drops} drops, has chroma {neutral.chroma:.1f} at "
        f"L* {neutral.lightness:.0f}"
    )
    if neutral.verdict == "complementary":
        if kept:
            return f"Brown may be left out: warm and cold mix to a neutral; {greyest}.", False
        return f"Brown is rightly left out: warm and cold mix to a neutral; {greyest}.", True
    if neutral.verdict == "can't tell":
        if kept:
            return f"Brown is kept: from swatches alone one can't tell; {greyest}.", True
        return (
            f"Brown is left out, and from swatches alone one can't tell whether that will do: "
            f"{greyest}, which may be 10 too high. Mix {drops} drops and look, or calibrate both.",
            False,
        )
    if kept:
        return f"Brown is needed: warm and cold do not mix to a neutral; {greyest}.", True
    tint = "only nearly" if neutral.verdict == "near" else "not"
    return (
        f"Brown is left out, but warm and cold do {tint} mix to a neutral: {greyest}.",
        False,
    )


def _brown_again(scheme: Scheme) -> str:
    """The mix of the other pots that comes nearest to the brown pot."""
    from preview.optics.ciede2000 import ciede2000

    tray = _tray(scheme, without="brown")
    apart = ciede2000(tray.recipe_lab, scheme.pot("brown").lab)
    best = int(np.argmin(apart + 0.1 * tray.recipes.sum(axis=1)))
    return f" The pot itself comes within ΔE00 {apart[best]:.1f} as {_recipe(tray, best)}."


def _pale(scheme: Scheme) -> Iterator[Advice]:
    """An off-white rather than pure white."""
    if "pale" not in scheme.pots:
        sentence = "The scheme has no pale pot; highlights come from the other pots alone."
        yield Advice("off-white", False, sentence, "pots")
        return
    name = scheme.pots["pale"]
    lightness, a, b = scheme.pot("pale").lab
    chroma = float(np.hypot(a, b))
    numbers = f"(L* {lightness:.0f}, chroma {chroma:.0f})"
    if lightness >= WHITE_LIGHTNESS and chroma < WHITE_CHROMA:
        says = f'"{name}" is a pure white {numbers}; an off-white looks less chalky.'
    elif lightness < DIM_LIGHTNESS:
        says = f'"{name}" is dark for a pale pot {numbers}; no highlight can be lighter.'
    else:
        yield Advice("off-white", True, f'"{name}" is an off-white {numbers}.', "pots.pale")
        return
    yield Advice("off-white", False, says, "pots.pale")


def _rising(scheme: Scheme, ramp: Ramp) -> Iterator[Advice]:
    """Lightness that rises from step to step."""
    looks = lab_from_reflectance(step_reflectance(ramp, scheme.primer.reflectance))[:, 0]
    for (low, dark), (high, light) in pairwise(zip(ramp.steps, looks, strict=True)):
        if light - dark > JUST_LIGHTER:
            continue
        how = "hardly lighter" if light > dark else "not lighter"
        sentence = (
            f"{ramp.name}: {high.name} (L* {light:.1f}) is {how} than {low.name} (L* {dark:.1f})."
        )
        yield Advice("rising lightness", False, sentence, f"ramps.{ramp.name}.{high.name}")


def _dark(scheme: Scheme) -> Iterator[Advice]:
    """A dark pot only where mixed shadows are not dark enough."""
    if "dark" not in scheme.pots or not any(role in scheme.pots for role in MAIN_ROLES):
        return
    name = scheme.pots["dark"]
    own = float(scheme.pot("dark").lab[0])
    tray = _tray(scheme, without="dark")
    lightness = tray.recipe_lab[:, 0]
    near = np.flatnonzero(lightness <= own + DARK_ENOUGH)
    if len(near):
        best = int(near[np.argmin(tray.recipes[near].sum(axis=1) + 0.01 * lightness[near])])
        sentence = (
            f'"{name}" (L* {own:.1f}) is needless: {_recipe(tray, best)} mixes to '
            f"L* {lightness[best]:.1f}."
        )
        yield Advice("dark", False, sentence, "pots.dark")
        return
    best = int(np.argmin(lightness))
    sentence = (
        f'"{name}" (L* {own:.1f}) earns its place: the darkest mix of the other pots, '
        f"{_recipe(tray, best)}, has L* {lightness[best]:.1f}."
    )
    yield Advice("dark", True, sentence, "pots.dark")


def _undertones(scheme: Scheme) -> Iterator[Advice]:
    """Dark chromatic pots that no tint tells more of."""
    for role in scheme.pots:
        paint = scheme.paint(role)
        if hides_undertone(paint):
            yield Advice("undertone", False, ask_for_tint(paint, scheme.rack), f"pots.{role}")


def _unused(scheme: Scheme) -> Iterator[Advice]:
    """Pots and ramps that nothing uses."""
    recipes = [step.mix.recipe for ramp in scheme.ramps.values() for step in ramp.steps]
    for role, name in scheme.pots.items():
        if not any(name in recipe for recipe in recipes):
            sentence = f'No ramp uses the {role} pot, "{name}".'
            yield Advice("unused", False, sentence, f"pots.{role}")
    used = {*scheme.areas.values(), scheme.elsewhere}
    for ramp in scheme.ramps:
        if ramp not in used:
            yield Advice("unused", False, f"No area uses the ramp {ramp}.", f"ramps.{ramp}")


def _tray(scheme: Scheme, without: Role) -> Tray:
    """The main pots of a scheme but one."""
    pots = {role: n for role, n in scheme.pots.items() if role in MAIN_ROLES and role != without}
    return Tray(scheme.rack, pots)


def _recipe(tray: Tray, index: int) -> str:
    """A recipe in words, such as "2 cold + 1 brown"."""
    drops = zip(tray.recipes[index], tray.roles, strict=True)
    return " + ".join(f"{count} {role}" for count, role in drops if count)
