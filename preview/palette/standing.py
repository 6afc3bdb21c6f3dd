"""Every paint of a rack where it stands on the painters' circle, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from preview.mix.circle import CirclePlace, place_on_circle, warmth
from preview.mix.kubelka_munk_1931 import ratio_from_reflectance
from preview.mix.mixture import Mix
from preview.mix.recipes import mix_mixes
from preview.mix.saunderson_1942 import inner_from_outer
from preview.mix.undertone import hides_undertone
from preview.optics.cie1976_lab import chroma_from_lab, hue_deg_from_lab
from preview.optics.spectrum import BANDS, Floats
from preview.palette.kinds import Kind, kind_of
from preview.rack.defaults import SCATTERING_OF_WHITE, surface_of
from preview.rack.paint import Certainty, Paint, Rack

# A brown or a dark paint is thinned with white until it is this light, or up to so many drops of
# white: the hue of a tint tells most at L* 50 to 75 (suggestion, no source).
TINT_LIGHTNESS, MOST_WHITE = 55.0, 12
# A white without hue, so that no paint's place depends on which white stands beside it.
_WHITE_REFLECTANCE = 0.92


@dataclass(frozen=True, eq=False)
class HueTint:
    """A dark paint thinned with a neutral white, for its hue.

    white_drops : of a white without hue, to one drop of the paint.
    """

    white_drops: int
    mix: Mix


@dataclass(frozen=True, eq=False)
class Standing:
    """One paint on the painters' circle.

    mix : the pot alone.
    kind : colour, brown, pale or neutral, by its looks.
    place : on the circle; a brown's by the hue of its tint, with its own chroma.
    tint : of a brown; None for all others.
    warmth : see `preview.mix.circle.warmth`; only differences mean anything.
    certainty : of the place: the paint's own, a brown's that of its tint.
    undertone_unknown : a dark colour without test swatch, in whose mixes another hue may come out.
    """

    paint: Paint
    mix: Mix
    kind: Kind
    place: CirclePlace
    tint: HueTint | None
    warmth: float
    certainty: Certainty
    undertone_unknown: bool

    @property
    def name(self) -> str:
        """The paint's name in the rack."""
        return self.paint.name

    @property
    def hue_deg(self) -> float:
        """CIELAB hue angle of the pot itself, [0, 360)."""
        return float(hue_deg_from_lab(self.mix.lab))

    @property
    def mixes_as_pigments(self) -> bool:
        """Whether mixing is predicted at all well: not for metallic paints, whose flakes shine."""
        return self.paint.finish != "metallic"


def stand_on_circle(rack: Rack) -> list[Standing]:
    """Every paint of a rack on the painters' circle, in the order of the rack.

    References
    ----------
    The circle: `preview.mix.circle`. The hue of a brown is that of its tint with white, for a
    brown is an orange too dark to show it (common practice, no source).
    """
    return [_standing(rack, paint) for paint in rack.paints.values()]


def round_the_circle(standings: Sequence[Standing]) -> list[Standing]:
    """From red-violet over yellow and blue to violet, warm before cold; then neutrals by L*."""

    def order(one: Standing) -> tuple[bool, float]:
        if one.place.side == "neutral":
            return True, -float(one.mix.lab[0])
        return False, (one.place.wheel_deg + 45.0) % 360.0

    return sorted(standings, key=order)


def hue_tint_of(mix: Mix) -> HueTint:
    """The mix thinned with the fewest drops of a neutral white that make it light."""
    white = _neutral_white()
    tints = (
        HueTint(drops, mix_mixes([(mix, 1), (white, drops)])) for drops in range(1, MOST_WHITE + 1)
    )
    tint = next(tints)
    while tint.mix.lab[0] < TINT_LIGHTNESS and tint.white_drops < MOST_WHITE:
        tint = next(tints)
    return tint


def _standing(rack: Rack, paint: Paint) -> Standing:
    """One paint."""
    mix = rack.mix({paint.name: 1})
    kind = kind_of(mix.lab)
    tint = hue_tint_of(mix) if kind == "brown" else None
    place = place_on_circle(mix.lab if tint is None else _with_hue_of(mix.lab, tint.mix.lab))
    return Standing(
        paint,
        mix,
        kind,
        place,
        tint,
        float(warmth(mix.lab)),
        mix.certainty if tint is None else tint.mix.certainty,
        hides_undertone(paint),
    )


def _with_hue_of(lab: Floats, other: Floats) -> Floats:
    """(3,) CIELAB with its own lightness and chroma and another's hue."""
    scale = chroma_from_lab(lab) / chroma_from_lab(other)
    return np.array([lab[0], *(scale * other[1:])])


def _neutral_white() -> Mix:
    """A white paint without any hue, known exactly."""
    reflectance = np.full(BANDS, _WHITE_REFLECTANCE)
    k1, k2 = surface_of(reflectance, "swatch")
    scattering = np.full(BANDS, SCATTERING_OF_WHITE)
    ratio = ratio_from_reflectance(inner_from_outer(reflectance, k1, k2))
    return Mix(ratio * scattering, scattering, k1, k2, {}, "calibrated", True)
