"""The tint that a calibration is given on the command line, by its colour or in a photograph."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from preview.cli.given import Given
from preview.errors import Fault, RackFault, UsageError

if TYPE_CHECKING:
    from preview.photo.measure import Measured
    from preview.photo.spots import Quad
    from preview.rack.paint import Tint

_COLOURS = ("srgb", "lab", "reflectance", "from_photo")
_IN_PHOTO = ("swatch", "card", "card_percent", "chart")


@dataclass(frozen=True, kw_only=True)
class TintRequest(Given):
    """What the options say of a tint; fields as the options of `fourpot calibrate`."""

    partner: str | None
    parts: str | None
    srgb: str | None
    lab: str | None
    white: str | None
    observer: int | None
    reflectance: Path | None
    sample: str | None
    from_photo: Path | None
    swatch: str | None
    card: str | None
    card_percent: float | None
    chart: str | None

    def photographed(self) -> Measured | None:
        """The tint's colour by photograph; None where it is given otherwise.

        Raises
        ------
        UsageError, PhotoFault : the options do not fit together, or the photograph can't be
            measured.
        """
        self._check()
        if self.from_photo is None:
            return None
        from preview.photo.measure import GREY_CARD, measure_by_card, measure_by_chart
        from preview.photo.picture import read_photo
        from preview.photo.spots import spot_from

        photo = read_photo(self.from_photo)
        swatch = spot_from(self.swatch or "", "--swatch")
        if self.chart is not None:
            return measure_by_chart(photo, swatch, _corners(self.chart))
        card = spot_from(self.card or "", "--card")
        grey = GREY_CARD if self.card_percent is None else self.card_percent / 100.0
        return measure_by_card(photo, swatch, card, grey)

    def entry(self, photographed: Measured | None) -> dict[str, Any] | None:
        """The tint as a rack file keeps it; None where no option speaks of one."""
        if self.partner is None:
            return None
        entry: dict[str, Any] = {"with": self.partner, "parts": self.parts}
        if photographed is not None:
            entry["lab"] = [round(float(v), 2) for v in photographed.lab]
            return {**entry, "note": photographed.source}
        if self.lab is not None:
            entry["lab"] = _numbers(self.lab)
        plain = ("srgb", "white", "observer", "reflectance", "sample")
        values = {key: getattr(self, key) for key in plain}
        return entry | {
            key: str(value) if isinstance(value, Path) else value
            for key, value in values.items()
            if value is not None
        }

    def _check(self) -> None:
        """UsageError for options that do not fit together; all of it at once."""
        colours = [_option(name) for name in _COLOURS if getattr(self, name) is not None]
        faults = []
        if any(v is not None for v in (self.partner, self.parts)) or colours:
            if self.partner is None:
                faults.append(Fault("--with is missing", fix="name the white of the tint"))
            if self.parts is None:
                faults.append(Fault("--parts is missing", fix="as in --parts 1:9, paint first"))
            if len(colours) != 1:
                what = " and ".join(colours) + " are given" if colours else "the tint has no colour"
                faults.append(Fault(what, fix=f"give one of {', '.join(map(_option, _COLOURS))}"))
        in_photo = [_option(name) for name in _IN_PHOTO if getattr(self, name) is not None]
        if self.from_photo is None and in_photo:
            faults.append(Fault(f"{in_photo[0]} goes with --from-photo, which is not given"))
        if self.from_photo is not None:
            if self.swatch is None:
                faults.append(Fault("--swatch is missing", fix="X,Y,RADIUS of the tint, in pixels"))
            if (self.card is None) == (self.chart is None):
                faults.append(
                    Fault("the photograph needs --card or --chart, one of them", fix=_BESIDE)
                )
        if self.card_percent is not None and not 1.0 <= self.card_percent <= 100.0:
            faults.append(Fault(f"--card-percent must be from 1 to 100, got {self.card_percent:g}"))
        faults += self._slips()
        if faults:
            raise UsageError.of([Fault(f.what, "command line", f.fix) for f in faults])

    def _slips(self) -> list[Fault]:
        """What is wrong with numbers and places as they are written."""
        from preview.photo.spots import spot_from

        faults: list[Fault] = []
        for text, read in (
            (self.lab, _numbers),
            (self.swatch, lambda text: spot_from(text, "--swatch")),
            (self.card, lambda text: spot_from(text, "--card")),
            (self.chart, _corners),
        ):
            try:
                if text is not None:
                    read(text)
            except UsageError as error:
                faults.extend(error.faults)
        return faults


_BESIDE = "--card X,Y,RADIUS of a grey card, or --chart with the four corners of a 24-patch chart"


def tint_of(entry: Mapping[str, Any]) -> Tint:
    """The tint of an entry, checked as rack files are.

    Raises
    ------
    UsageError : no paint can have its colour, its parts are none, and so on.
    RackFault : its reflectance file is faulty.
    """
    from preview.rack.place import Place
    from preview.rack.tints import read_tint

    place = Place("command line")
    tint = read_tint(place, entry, Path())
    if tint is None:
        kind = RackFault if "reflectance" in entry else UsageError
        raise kind.of(place.faults)
    return tint


def _numbers(text: str) -> list[float]:
    """ "52,31,-24" as numbers."""
    try:
        numbers = [float(word) for word in text.split(",")]
    except ValueError:
        numbers = []
    if len(numbers) != 3:
        raise UsageError(
            f'--lab must be three numbers, got "{text}"', "command line", "as in --lab 52,31,-24"
        )
    return numbers


def _corners(text: str) -> Quad:
    """The corners of a chart."""
    from preview.photo.spots import Quad, spot_from

    spot = spot_from(text, "--chart")
    if not isinstance(spot, Quad):
        raise UsageError("--chart needs four corners", "command line", "X,Y,X,Y,X,Y,X,Y")
    return spot


def _option(name: str) -> str:
    """How a field is called on the command line."""
    return "--" + name.replace("_", "-")
