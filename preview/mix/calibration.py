"""Which of two fits of a paint's scattering to take, and whether its tints can be believed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from preview.errors import CannotDo, Fault
from preview.mix.calibrate import (
    Curve,
    Dilution,
    Terms,
    fit_scattering_curve,
    predicted_tints,
    tint_errors,
    with_scattering,
)
from preview.mix.undertone import is_dark, shows_no_hue
from preview.optics.appearance import hex_from_reflectance, lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import hex_from_lab
from preview.rack.paint import Paint

# Three numbers are taken where they bring the tints nearer by this much, in CIEDE2000. On the oil
# tints of the tests they then foretell the other tint better in 32 of 36 fits (medians 2.4
# against 5.3 from hex, 2.0 against 5.2 from spectra).
WORTH_HAVING = 0.5
# A tint this near to one of its two paints says nothing of their strength.
TELLS_NOTHING = 3.0
# Two tints in the same parts that are further apart cannot both be right.
CONTRADICTS = 5.0
# The worst of the oil tints stays 5.3 from its own fit (Prussian blue): beyond the first bound
# one should look again, beyond the second it is no tint of these two paints.
DOUBTFUL, IMPOSSIBLE = 5.5, 10.0
# Scattering that differs this many times between two bands is no paint's, in a pot like black, in
# a dark one that shows a hue, and in others. Of the oil paints Prussian blue, black in the pot,
# comes to 1128, the others stay under 43; of acrylics PG7, like black, to 826, and dark PB15:4 to
# 435. A pink tint of a blue is beyond 1050, a yellow or red one of a black beyond 85,000.
BENT_BLACK, BENT_DARK, BENT = 1200.0, 700.0, 100.0
# How strong a paint commonly is, white being 1: fits of nine oil paints lie from 0.08 to 1.9, black
# Prussian blue at 3.8, of seven acrylics from 0.04 to 1.2.
USUAL_STRENGTH = (0.03, 2.0)
# Beyond these the parts were most likely swapped: 9:1 for 1:9 makes of a blue one of 0.002.
STRANGE_STRENGTH = (0.01, 6.0)


@dataclass(frozen=True)
class Doubt:
    """Why one wants to look at a tint again.

    tint : which one, from 0, in the order in which they were given.
    """

    tint: int
    words: str


@dataclass(frozen=True, eq=False)
class Calibration:
    """A paint calibrated on its tints.

    paint : with the scattering that was taken.
    curve : the same, as a rack file keeps it.
    terms : how many numbers were fitted, 1 or 3, and `why`.
    before, after_one, after_three : (tints,) CIEDE2000 of each tint from its prediction, before
        and after either fit.
    doubts : what makes one want to look again.
    """

    paint: Paint
    curve: Curve
    terms: Terms
    why: str
    before: Floats
    after_one: Floats
    after_three: Floats
    doubts: tuple[Doubt, ...]

    @property
    def strength(self) -> float:
        """How much the paint scatters, white being 1: the geometric mean over the bands."""
        return _strength(self.paint)

    @property
    def after(self) -> Floats:
        """(tints,) CIEDE2000 of each tint after the fit that was taken."""
        return self.after_one if self.terms == 1 else self.after_three


def calibrate(paint: Paint, dilutions: Sequence[Dilution], names: Sequence[str]) -> Calibration:
    """Fit one number and three to all tints of a paint, and take the better fit.

    Parameters
    ----------
    paint : the paint to calibrate.
    dilutions : its tints, at least one.
    names : what to call each tint in messages, such as `1:9 with "whitewash"`.

    Raises
    ------
    CannotDo : a tint is nearly one of its two paints, two tints contradict one another, or no
        mix of the two paints comes near a tint; all of it at once.
    """
    faults = [*_empty_tints(paint, dilutions, names), *_contradictions(dilutions, names)]
    if faults:
        raise CannotDo.of(faults)
    one, three = (fit_scattering_curve(paint, dilutions, terms) for terms in (1, 3))
    after_one = tint_errors(with_scattering(paint, one), dilutions)
    after_three = tint_errors(with_scattering(paint, three), dilutions)
    gain = float(np.mean(after_one) - np.mean(after_three))
    terms: Terms = 3 if gain >= WORTH_HAVING else 1
    curve, after = (three, after_three) if terms == 3 else (one, after_one)
    fitted = with_scattering(paint, curve)
    nearest = [hex_from_reflectance(tint) for tint in predicted_tints(fitted, dilutions)]
    _refuse_misfits(after, nearest, names)
    return Calibration(
        paint=fitted,
        curve=curve,
        terms=terms,
        why=_why(terms, gain),
        before=tint_errors(paint, dilutions),
        after_one=after_one,
        after_three=after_three,
        doubts=(*_loose_fits(after, nearest), *_other_hues(paint, curve, dilutions))
        or tuple(_strange_strength(_strength(fitted), len(dilutions))),
    )


def _loose_fits(after: Floats, nearest: Sequence[str]) -> Iterator[Doubt]:
    """A doubt for each tint that the fit does not meet."""
    for tint, (miss, srgb) in enumerate(zip(after, nearest, strict=True)):
        if miss > DOUBTFUL:
            yield Doubt(
                tint,
                f"{_at_best(srgb, miss, len(nearest))}; was it dry and hiding, are the parts "
                "right?",
            )


def _other_hues(paint: Paint, curve: Curve, dilutions: Sequence[Dilution]) -> Iterator[Doubt]:
    """A doubt for each tint that only a scattering bent as no paint's makes of the pot."""
    if not _is_bent(paint, curve):
        return
    alone = [
        tint
        for tint, dilution in enumerate(dilutions)
        if _is_bent(paint, fit_scattering_curve(paint, [dilution]))
    ]
    for tint in alone or range(len(dilutions)):
        yield Doubt(tint, _of_another_hue(paint, dilutions[tint]))


def _strange_strength(strength: float, tints: int) -> Iterator[Doubt]:
    """A doubt for each of so many tints when they make of the paint what hardly any is."""
    low, high = STRANGE_STRENGTH
    if not low <= strength <= high:
        usual = f"{USUAL_STRENGTH[0]:g} to {USUAL_STRENGTH[1]:g}"
        words = (
            f"the paint would be {strength:.2g} times as strong as white, where {usual} is usual; "
            "are the parts swapped? (1:9 is one drop of the paint to nine of the white)"
        )
        yield from (Doubt(tint, words) for tint in range(tints))


def _strength(paint: Paint) -> float:
    """How much a paint scatters, white being 1: the geometric mean over the bands."""
    return float(np.exp(np.log(paint.scattering).mean()))


def _at_best(srgb: str, miss: float, tints: int) -> str:
    """How near the fit comes to one of so many tints."""
    ground = "with all tints taken together" if tints > 1 else "however strong the paint is taken"
    return f"{ground}, this tint would be {srgb} at best, {miss:.1f} ΔE00 off"


def _is_bent(paint: Paint, curve: Curve) -> bool:
    """Whether a fitted scattering differs more between bands than a paint's does."""
    scattering = with_scattering(paint, curve).scattering
    most = BENT_BLACK if shows_no_hue(paint) else BENT_DARK if is_dark(paint) else BENT
    return bool(scattering.max() > most * scattering.min())


def _of_another_hue(paint: Paint, dilution: Dilution) -> str:
    """What to say of such a tint: what one would expect of the pot, strong or weak."""
    plain = with_scattering(paint, fit_scattering_curve(paint, [dilution], 1))
    likely = hex_from_reflectance(predicted_tints(plain, [dilution])[0])
    doubt = (
        "but so dark a pot hides its undertone, so both may be right"
        if is_dark(paint)
        else "is it the right paint?"
    )
    return (
        f'"{paint.name}" in "{dilution.partner.name}" would look more like {likely} than '
        f"{hex_from_lab(dilution.lab)}; {doubt}"
    )


def _why(terms: Terms, gain: float) -> str:
    """Why that many numbers were taken."""
    if terms == 3:
        return f"a curve of three numbers comes {gain:.1f} ΔE00 nearer than one number alone"
    return f"one number does: a curve of three would come only {max(gain, 0.0):.1f} ΔE00 nearer"


def _empty_tints(paint: Paint, dilutions: Sequence[Dilution], names: Sequence[str]) -> list[Fault]:
    """A fault for each tint that can hardly be told from one of its two paints."""
    faults = []
    for dilution, name in zip(dilutions, names, strict=True):
        for own, fix in (
            (dilution.partner, "mix it again with more of the paint"),
            (paint, "mix it again with less of the paint"),
        ):
            apart = float(ciede2000(lab_from_reflectance(own.reflectance), dilution.lab))
            if apart < TELLS_NOTHING:
                what = (
                    f'the tint looks like "{own.name}" itself ({apart:.1f} ΔE00 off), so it does '
                    "not tell how strong the paint is"
                )
                fix = f"{fix}; a tint neither pale nor dark, L* 50 to 75, tells most"
                faults.append(Fault(what, name, fix))
    return faults


def _contradictions(dilutions: Sequence[Dilution], names: Sequence[str]) -> list[Fault]:
    """A fault for each two tints in the same parts that look different."""
    faults = []
    for (first, name), (second, _) in combinations(zip(dilutions, names, strict=True), 2):
        apart = float(ciede2000(first.lab, second.lab))
        same = first.partner is second.partner and first.share == second.share
        if same and apart > CONTRADICTS:
            faults.append(
                Fault(
                    f"two tints in the same parts look different ({hex_from_lab(first.lab)} and "
                    f"{hex_from_lab(second.lab)}, {apart:.1f} ΔE00 apart): one is wrong",
                    name,
                    "mix the new one again, for it was not written; or take the older one out of "
                    "the rack file, or begin with --afresh",
                )
            )
    return faults


def _refuse_misfits(after: Floats, nearest: Sequence[str], names: Sequence[str]) -> None:
    """CannotDo when no mix of its two paints comes near a tint."""
    faults = [
        Fault(
            _at_best(srgb, miss, len(names)),
            name,
            "check the colours of tint, paint and partner, the parts, and that all were dry; "
            "with several tints, whether they contradict one another",
        )
        for name, srgb, miss in zip(names, nearest, after, strict=True)
        if miss > IMPOSSIBLE
    ]
    if faults:
        raise CannotDo.of(faults)
