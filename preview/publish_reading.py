"""Does it read, as a folder: maps, strips, before and after, a page, words, figures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.files import refuse_to_replace, write_text_whole
from preview.flow import Stand
from preview.judge.eyes import Eyes
from preview.judge.flip_andersson_2020 import Flip, flip_between
from preview.judge.geometry import pixels_per_degree
from preview.judge.masses import Squint, squint_at
from preview.judge.mending import Mend
from preview.judge.squint import SQUINT_ARCMIN
from preview.judge.verdict import Pair, Verdict
from preview.paint.look import Look, paint_look, value_of_look
from preview.paint.painted import Painted
from preview.present.boundary_map import MapView, letters_of
from preview.present.boundary_sheet import boundary_sheet
from preview.present.eye_sheet import Strip, eye_sheet, strip_of
from preview.present.eye_view import at_distance, on_ground, shown_on_ground
from preview.present.flip_sheet import heat
from preview.present.folder import fill_folder, write_json
from preview.present.mend_pictures import close_up, mended_sheet, tile
from preview.present.reading_page import ReadingPage, ShownMend, reading_page
from preview.present.report import reading_in_words
from preview.present.words import figure_in_words
from preview.progress import Progress, silent
from preview.ramp.scheme import Scheme
from preview.ramp.write import scheme_text
from preview.reading import Reading
from preview.render.framing import around, framing
from preview.render.view import View
from preview.settings import DEFICIENCIES
from preview.shape.threads import in_threads

Array = NDArray[np.uint8]

SIDES = (("front", 20.0), ("back", 200.0))
_MAP_SIDE, _STRIP_SIDE = 940, 340
"""Pixels of a map, and of a picture in a strip."""

_NOTE = (
    "Paint alone, without lamp. Magnified: what is blurred away here is what the eye's optics blur "
    "away at that distance. Reading it takes more than resolving it."
)


def publish_reading(
    out: Path, reading: Reading, overwrite: bool = False, progress: Progress = silent
) -> dict[str, Any]:
    """Write maps, strips, report.html, report.json, readability.md; gives the report.

    With changes made, mended.png and the mended scheme as `<scheme>-mended.toml`, too.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        studio = _Studio(reading.stand, reading.painted, reading.around.elevation_deg)
        first, title = reading.verdicts[0], reading.painted.scheme.title
        squint = studio.squint(first.conditions.distance_m, first.luminance)

        # Draw a map for each distance to the first eyes.
        several = [
            (_map_name(number, verdict.conditions.distance_m), verdict)
            for number, verdict in enumerate(reading.verdicts)
            if verdict.conditions.eyes == first.conditions.eyes
        ]

        def map_of(name: str, verdict: Verdict) -> tuple[str, str, Image.Image]:
            seen = verdict.conditions.name
            picture = boundary_sheet(
                studio.maps,
                verdict,
                f"{title}: which borders read at {seen}",
                reading.around.azimuths_deg(),
            )
            picture.save(folder / name, compress_level=4)
            return f"Borders at {seen}", "Each border in its grade.", picture

        def eyes() -> tuple[str, str, Image.Image]:
            picture = eye_sheet(studio.strips(reading), f"{title}: what eyes make of it", _NOTE)
            picture.save(folder / "eyes.png", compress_level=4)
            return "What eyes make of it", "", picture

        progress("pictures", 1, 3)
        sheets: list[Callable[[], tuple[str, str, Image.Image]]] = [
            *(partial(map_of, *named) for named in several),
            eyes,
        ]
        shown = list(in_threads(lambda sheet: sheet(), sheets))
        progress("pictures", 2, 3)
        if reading.made:
            picture = studio.mended(reading)
            picture.save(folder / "mended.png", compress_level=4)
            shown.append(("Before and after all changes", "", picture))
            (folder / mended_name(reading.painted.scheme)).write_text(
                mended_text(reading, out), encoding="utf-8", newline="\n"
            )

        # Say it in a page, in words and in figures.
        page = ReadingPage(
            title=title,
            figure=figure_in_words(reading.painted),
            squint=squint.in_words(),
            verdicts=reading.verdicts,
            letters=letters_of(reading.painted.sculpt),
            pictures=shown,
            mends=[
                studio.shown(pair, mend, reading.around.azimuths_deg())
                for pair, mend in reading.advice
                if mend
            ],
            unmended=_unmended_together(reading),
            mended=_mended_words(reading),
        )
        (folder / "report.html").write_text(reading_page(page), encoding="utf-8", newline="\n")
        words = reading_in_words(title, reading.verdicts, squint.in_words(), drop_advice(reading))
        (folder / "readability.md").write_text(words, encoding="utf-8", newline="\n")
        report = {**reading.as_dict(), "squint": squint.as_dict()}
        report["files"] = sorted(path.name for path in folder.iterdir())
        write_json(folder / "report.json", report)
        progress("pictures", 3, 3)
        return report


def write_mended(reading: Reading, folder: Path, overwrite: bool = False) -> Path:
    """Write the mended scheme alone into a folder; gives its path.

    Raises
    ------
    WriteFault : the file is there already, or cannot be written.
    """
    path = refuse_to_overwrite(reading.painted.scheme, folder, overwrite)
    write_text_whole(path, mended_text(reading, folder))
    return path


def refuse_to_overwrite(scheme: Scheme, folder: Path, overwrite: bool) -> Path:
    """Where the mended scheme is to stand; WriteFault when something does already."""
    path = folder / mended_name(scheme)
    refuse_to_replace(path, overwrite, "name another folder with --out, or --overwrite")
    return path


def mended_name(scheme: Scheme) -> str:
    """The name of the mended scheme's file."""
    return f"{scheme.path.stem}-mended.toml"


def mended_text(reading: Reading, folder: Path) -> str:
    """The mended scheme's text as it is to stand in a folder."""
    changes = [mend.change for mend in reading.made]
    return scheme_text(reading.painted.scheme, changes, folder)


def drop_advice(reading: Reading) -> list[str]:
    """The advice in drops, a sentence for each weak pair."""
    return [
        _unmended(pair) if mend is None else f"{pair.name}: {mend.change}. {_outcome(mend)}"
        for pair, mend in reading.advice
    ]


def _map_name(number: int, distance_m: float) -> str:
    """map.png for the first, the others by their distance."""
    return "map.png" if number == 0 else f"map-{distance_m:g}m.png"


def _reached(mend: Mend) -> str:
    """What a change makes of its pair, in a word."""
    return "accent" if mend.accent else mend.after.word


def _outcome(mend: Mend) -> str:
    """What a change does to its pair."""
    if mend.accent:
        return "It becomes an accent: surely seen, though too thin for its shape to read."
    how = ", by hue alone: it goes in a squint" if mend.by_hue else ""
    short = "" if mend.enough else "; no change of up to three drops makes it readable"
    return f"From {mend.before.word} to {mend.after.word}{how}{short}."


def _unmended(pair: Pair) -> str:
    """Why a pair has no change."""
    if pair.accent:
        return f"{pair.name}: seen as an accent already; no value makes its shape read."
    return (
        f"{pair.name}: no change of up to three drops in one step lifts it "
        "without lowering another pair."
    )


def _unmended_together(reading: Reading) -> list[str]:
    """The pairs without a change, a sentence for each reason."""
    left = [pair for pair, mend in reading.advice if mend is None]
    kinds = (
        ("No change of up to three drops in one step lifts these without lowering another", False),
        ("Seen as accents already; no value makes their shapes read", True),
    )
    found = ((words, [pair.name for pair in left if pair.accent is kind]) for words, kind in kinds)
    return [f"{words}: {', '.join(names)}." for words, names in found if names]


def _others(mend: Mend) -> str:
    """What else a change does, under the first of the conditions."""
    if not mend.effects:
        return ""
    here = mend.effects[0].conditions
    other = [e for e in mend.effects if e.conditions == here and e.pair != mend.pair]
    if not other:
        return ""
    listed = "; ".join(f"{e.pair} from {e.before.word} to {e.after.word}" for e in other)
    return f"It also lifts {listed}."


def _mended_words(reading: Reading) -> str:
    """What was mended, and what that makes of the whole."""
    if not reading.made:
        return ""
    listed = "; ".join(str(mend.change) for mend in reading.made)
    return (
        f"Written as {mended_name(reading.painted.scheme)}: {listed}. {reading.mended[0].summary}"
    )


class _Studio:
    """Takes the pictures of one reading; what views see is found once."""

    def __init__(self, stand: Stand, painted: Painted, elevation_deg: float) -> None:
        self._stand, self._painted = stand, painted
        large = framing(stand.outline, _MAP_SIDE, _MAP_SIDE, elevation_deg, margin=0.01)
        self._views = around(large, SIDES)
        coarse = large.mm_per_pixel * _MAP_SIDE / _STRIP_SIDE
        self._small = replace(
            self._views[0], mm_per_pixel=coarse, width=_STRIP_SIDE, height=_STRIP_SIDE
        )
        self.maps = list(in_threads(self._map, self._views))
        self._looks: dict[View, Look] = {}
        self._before: dict[View, Array] = {}

    def squint(self, distance_m: float, luminance: float) -> Squint:
        """Groups of value and the focal point, from the front."""
        from preview.judge.eye.csf_barten_1999 import blur_arcmin, pupil_mm

        view = self._small
        picture = value_of_look(self._look(view), self._painted.table)
        seen = self._map(view)
        return squint_at(
            picture.premultiplied[..., 0].astype(np.float64),
            picture.coverage.astype(np.float64),
            seen.label,
            self._painted.sculpt.area_names,
            pixels_per_degree(view.mm_per_pixel, distance_m),
            blur_arcmin(pupil_mm(luminance)),
            SQUINT_ARCMIN,
        )

    def strips(self, reading: Reading) -> list[Strip]:
        """A row for normal eyes, for those asked for, and for each kind of deficiency."""
        linear = on_ground(paint_look(self._look(self._small), self._painted.table, None))
        distances = list(dict.fromkeys(v.conditions.distance_m for v in reading.verdicts))
        asked = [v.conditions.eyes for v in reading.verdicts]
        blind = (Eyes(deficiency=kind) for kind in DEFICIENCIES)
        every = dict.fromkeys([Eyes(), *asked, *blind])
        # Age changes what contrast is needed, not the picture.
        rows = dict.fromkeys(replace(eyes, age_years=Eyes().age_years) for eyes in every)
        light = reading.verdicts[0].luminance
        return [strip_of(eyes, linear, self._small.mm_per_pixel, distances, light) for eyes in rows]

    def shown(self, pair: Pair, mend: Mend, azimuths_deg: Sequence[float]) -> ShownMend:
        """A change with close-ups before and after, from a side that shows the border."""
        views, maps = self._views, self.maps
        where = close_up(maps, pair.part, pair.ground)
        if where is None:
            # Neither map shows it: go where the judge saw most of it.
            views = around(
                views[0], [("side", azimuths_deg[int(np.argmax(pair.lengths.by_view_mm))])]
            )
            maps = [self._map(views[0])]
            where = close_up(maps, pair.part, pair.ground)
        pictures: list[Image.Image | None] = [None, None]
        if where is not None:
            view = views[where.view]
            if view not in self._before:
                self._before[view] = self._picture(view, self._painted)
            after = self._picture(view, mend.painted)
            pictures = [tile(self._before[view], where.box), tile(after, where.box)]
        return ShownMend(
            pair.name, f"{mend.change}.", _outcome(mend), _others(mend), pictures[0], pictures[1]
        )

    def mended(self, reading: Reading) -> Image.Image:
        """The whole figure before and after, and what the eye notices at the first distance."""
        distance_m = reading.verdicts[0].conditions.distance_m
        after = reading.made[-1].painted
        rows = []
        flips = []
        for view in self._views:
            flip, within = self.flip(view, self._painted, after, distance_m)
            flips.append(flip.mean)
            noticed = Image.fromarray(heat(flip, within)).resize((_MAP_SIDE // 2,) * 2)
            pair = [self._half(view, painted) for painted in (self._painted, after)]
            rows.append(
                [
                    (f"{view.name}, before", pair[0]),
                    ("after", pair[1]),
                    (f"noticed at {distance_m:g} m: FLIP {flip.mean:.3f}", np.asarray(noticed)),
                ]
            )
        sentences = [
            f"{mend.pair}, {mend.before.word} → {_reached(mend)}; drops of {mend.change}"
            for mend in reading.made
        ]
        title = f"{self._painted.scheme.title}: before and after"
        return mended_sheet(title, [*sentences, reading.mended[0].summary], rows)

    def flip(
        self, view: View, before: Painted, after: Painted, distance_m: float
    ) -> tuple[Flip, NDArray[np.bool_]]:
        """The difference that is noticed between two schemes, and where the figure is."""
        shot, ppd = at_distance(view, distance_m)
        look = self._look(shot)
        both = [paint_look(look, painted.table, None) for painted in (before, after)]
        pictures = [shown_on_ground(one) / 255.0 for one in both]
        within = both[0].coverage > 0.5
        return flip_between(pictures[0], pictures[1], ppd, within), within

    def _half(self, view: View, painted: Painted) -> Array:
        """A view at half the size of a map."""
        picture = Image.fromarray(self._picture(view, painted))
        return np.asarray(picture.resize((_MAP_SIDE // 2,) * 2, Image.Resampling.LANCZOS))

    def _picture(self, view: View, painted: Painted) -> Array:
        """A scheme from one view, paint alone."""
        return shown_on_ground(paint_look(self._look(view), painted.table, None))

    def _map(self, view: View) -> MapView:
        """Which area each pixel of a view shows."""
        return MapView(self._painted.sculpt, self._stand.renderer.see(view, 1))

    def _look(self, view: View) -> Look:
        """What a view sees."""
        if view not in self._looks:
            self._looks[view] = self._stand.look(view, [self._painted], None)
        return self._looks[view]
