"""Every option of a rack scored by itself: all its 407 mixes, nothing shared, nothing left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from preview.mix.circle import place_on_circle, warmth, wheel_from_hue
from preview.mix.neutral import most_neutral_mix
from preview.mix.ratios import distinct_ratios
from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.palette.targets import brown_colours, by_rule, grey_colours
from preview.rack.paint import Rack

Figured = tuple[tuple[str, ...], dict[str, float]]
Scored = tuple[float, tuple[str, ...], dict[str, float]]


def ranked(
    options: Sequence[Figured], weights: Mapping[str, float], missing: Sequence[str] = ()
) -> list[Scored]:
    """(score, pots, figures) of every option, the best first; ties by name."""
    found = []
    whole = sum(weight for name, weight in weights.items() if name != "dark")
    for pots, figures in options:
        owned = 1.0 - sum(name in missing for name in pots) / len(pots)
        kept = {name: {**figures, "owned": owned}[name] for name in weights}
        score = sum(w * kept[name] for name, w in weights.items() if name != "dark")
        score -= weights["dark"] * kept["dark"]
        found.append((round(score / whole, 9), pots, kept))
    return sorted(found, key=lambda one: (-one[0], one[1]))


def every_option(rack: Rack, most_pots: int = 4) -> list[Figured]:
    """(pots, figures) of every option, from mixes of at most so many of its pots."""
    looks = {name: rack.mix({name: 1}).lab for name in rack.paints}
    role = {name: _role(lab) for name, lab in looks.items() if rack.paints[name].finish == "matt"}

    def of(*roles: str) -> list[str]:
        return [name for name, one in role.items() if one in roles]

    pale = of("pale") or of("white")
    found = []
    for warm in of("warm"):
        for cold in of("cold"):
            pair = most_neutral_mix(rack.mix({warm: 1}), rack.mix({cold: 1}))
            fourths: list[str | None] = [*of("dark")]
            sure = rack.paints[warm].calibrated and rack.paints[cold].calibrated
            free = pair.chroma <= (8.0 if sure else 18.0)
            if free:
                less = {"warm": _chroma(looks[warm]), "cold": _chroma(looks[cold])}
                fourths += [None]
                fourths += [n for n in of("warm", "cold") if _chroma(looks[n]) < less[role[n]]]
            if not (free and sure):
                fourths += of("brown")
            if not free and not of("brown"):
                fourths += [None]
            for white in pale:
                for fourth in fourths:
                    pots = tuple(n for n in (warm, cold, white, fourth) if n is not None)
                    figures = _figures(rack, pots, looks, most_pots)
                    figures["dark"] = float(fourth is not None and role[fourth] == "dark")
                    found.append((pots, figures))
    return found


def _role(lab: np.ndarray) -> str:
    """The role of a colour, by the definitions in words."""
    place = place_on_circle(lab)
    if lab[0] >= 80.0 and place.chroma <= 20.0:
        return "pale" if place.chroma >= 3.0 else "white"
    if 40 <= place.hue_deg <= 85 and 8 <= place.chroma <= 30 and 20 <= lab[0] <= 50:
        return "brown"
    if lab[0] <= 25.0 and place.chroma <= 8.0:
        return "dark"
    if place.side == "warm":
        return "warm" if place.chroma >= 25.0 else ""
    return "cold" if place.side == "cold" and place.chroma >= 12.0 else ""


def _figures(
    rack: Rack, pots: tuple[str, ...], looks: Mapping[str, np.ndarray], most_pots: int
) -> dict[str, float]:
    """The figures of one option, from all its mixes."""
    ratios = distinct_ratios(len(pots), 8)
    ratios = ratios[(ratios > 0).sum(axis=1) <= most_pots]
    constants = constants_of([rack.paints[name] for name in pots])
    lab = lab_from_reflectance(reflectance_of_mixes(*mix_recipes(*constants, ratios)))
    wanted = _near(lab, by_rule().lab)
    reached = wanted.any(axis=0)
    tied = wanted[(ratios[:, 0] > 0) & (ratios[:, 1] > 0)].any(axis=0)
    colourful = lab[np.hypot(lab[:, 1], lab[:, 2]) >= 20.0]
    wheel = wheel_from_hue(np.degrees(np.arctan2(colourful[:, 2], colourful[:, 1])))
    return {
        "reach": float(reached.mean()),
        "span": float(np.ptp(lab[:, 0])) / 100.0,
        "hues": len(set(np.round(wheel / 30.0) % 12)) / 12.0,
        "harmony": float(tied.sum() / max(reached.sum(), 1)),
        "contrast": float(np.clip((warmth(looks[pots[0]]) - warmth(looks[pots[1]])) / 2.5, 0, 1)),
        "browns": float(_near(lab, brown_colours()).any(axis=0).mean()),
        "greys": float(_near(lab, grey_colours()).any(axis=0).mean()),
    }


def _near(lab: np.ndarray, colours: np.ndarray) -> np.ndarray:
    """(mixes, colours) whether CIEDE2000 is at most 3; S_L is below 1.75, so 5.25 in L* is far."""
    near = np.abs(lab[:, None, 0] - colours[None, :, 0]) <= 5.25
    rows, columns = np.nonzero(near)
    near[rows, columns] = ciede2000(lab[rows], colours[columns]) <= 3.0
    return near


def _chroma(lab: np.ndarray) -> float:
    """C*ab."""
    return float(np.hypot(lab[1], lab[2]))
