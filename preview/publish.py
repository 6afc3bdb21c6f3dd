"""Results into a folder: frames, sheets, reports; all there, or nothing."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.errors import RackFault, WriteFault
from preview.files import refuse_to_replace, write_text_whole
from preview.flow import Stand
from preview.judge.compared import Compared, ranked
from preview.judge.flip_andersson_2020 import Flip, flip_between
from preview.judge.grades import Grade
from preview.judge.verdict import Verdict
from preview.paint.lamp import DAYLIGHT, Lamp
from preview.paint.look import Look, paint_look, value_of_look
from preview.paint.painted import Painted
from preview.paint.picture import on_backdrop, with_alpha
from preview.present.area_tints import area_sheet
from preview.present.backdrop import Backdrop
from preview.present.compare_sheet import COLUMN, compare_sheet
from preview.present.eye_view import at_distance, shown_on_ground
from preview.present.flip_sheet import flip_sheet
from preview.present.folder import check_folder, fill_folder, write_json
from preview.present.report import camera_report, report_in_words, report_of
from preview.present.sheet import scheme_sheet, view_pixels
from preview.present.turntable import frame_name, write_animations, write_frames
from preview.present.value import value_sheet
from preview.progress import Progress, silent
from preview.rack.find import find_rack
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from preview.ramp.start import begin_scheme
from preview.render.choose import choose_renderer
from preview.render.framing import around, framing, turntable_views
from preview.render.view import View
from preview.shape.threads import at_once, in_threads

Array = NDArray[np.uint8]

SHEET_AZIMUTHS = (("front", 0.0), ("left", 75.0), ("back", 180.0), ("right", 285.0))
COMPARE_AZIMUTHS = (("front", 15.0), ("back", 195.0))


@dataclass(frozen=True)
class Shoot:
    """How pictures are taken.

    frames : in one turn.
    size : pixels, each frame's width and height.
    elevation_deg : of the eye above the figure.
    lamp : None shows the paint alone.
    transparent : frames without backdrop.
    """

    frames: int = 36
    size: int = 1000
    elevation_deg: float = 18.0
    lamp: Lamp | None = DAYLIGHT
    transparent: bool = False


def publish_painting(
    out: Path,
    stand: Stand,
    one: Compared,
    shoot: Shoot,
    overwrite: bool = False,
    progress: Progress = silent,
) -> dict[str, Any]:
    """Write the turntable, sheet.png, value.png, report.json and report.md; gives the report.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        painted = one.painted
        taken, front, sheet_front = at_once(
            lambda: _Camera(stand, [painted], shoot.lamp),
            lambda: _front(stand, shoot, shoot.size),
            lambda: _front(stand, shoot, view_pixels()),
        )
        views = turntable_views(front, shoot.frames)
        cameras = {frame_name(k): view for k, view in enumerate(views)}
        four = around(sheet_front, SHEET_AZIMUTHS)
        names = [view.name for view in four]

        def sheets() -> None:
            shown = list(in_threads(taken.picture_and_value, four))
            colour = list(zip(names, (s[0] for s in shown), strict=True))
            grey = list(zip(names, (s[1] for s in shown), strict=True))
            scheme_sheet(painted, colour, one.verdict.summary).save(folder / "sheet.png")
            value_sheet(painted, grey).save(folder / "value.png")
            progress("sheets", 2, 2)

        small = write_frames(
            folder, views, lambda view: taken.frame(view, shoot.transparent), progress
        )
        # Each animation keeps one core busy, the shorter one not for long.
        moving, _ = at_once(lambda: write_animations(folder, small), sheets)

        # Say it in figures and words.
        report = report_of(
            painted, one.verdict, shoot.lamp, (stand.renderer.name, stand.renderer_why)
        )
        report["pictures"] = [*cameras, *moving, "sheet.png", "value.png"]
        report["cameras"] = camera_report(cameras)
        report["sheet_cameras"] = camera_report({view.name: view for view in four})
        write_json(folder / "report.json", report)
        words = report_in_words(painted, one.verdict)
        (folder / "report.md").write_text(words, encoding="utf-8", newline="\n")
        return report


def publish_comparison(
    out: Path,
    stand: Stand,
    several: Sequence[Compared],
    shoot: Shoot,
    overwrite: bool = False,
    progress: Progress = silent,
) -> dict[str, Any]:
    """Write the schemes side by side: turntable, sheet.png, report.json; gives the report.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        taken = _Camera(stand, [one.painted for one in several], shoot.lamp)
        views = turntable_views(_front(stand, shoot, shoot.size), shoot.frames)
        cameras = {frame_name(k): view for k, view in enumerate(views)}

        def sheets() -> list[dict[str, Any]]:
            _save_columns(folder / "sheet.png", taken, several, shoot)
            flips = _write_flip(folder / "flip.png", taken, several, shoot)
            progress("sheet", 1, 1)
            return flips

        small = write_frames(folder, views, taken.side_by_side, progress)
        moving, flips = at_once(lambda: write_animations(folder, small), sheets)
        renderer = (stand.renderer.name, stand.renderer_why)
        report = {
            "schemes": [
                {
                    **report_of(one.painted, one.verdict, shoot.lamp, renderer),
                    "reads": [_reads(verdict) for verdict in one.every_verdict],
                }
                for one in several
            ],
            "ranking": [
                {
                    "place": place,
                    "title": several[index].painted.scheme.title,
                    "lowest_share": several[index].lowest_share,
                }
                for place, index in enumerate(ranked(several), start=1)
            ],
            "flip": flips,
            "pictures": [*cameras, *moving, "sheet.png", "flip.png"],
            "cameras": camera_report(cameras),
        }
        write_json(folder / "report.json", report)
        return report


def save_compare_sheet(path: Path, stand: Stand, several: Sequence[Compared], shoot: Shoot) -> None:
    """Draw the schemes side by side into one picture."""
    _save_columns(
        path, _Camera(stand, [one.painted for one in several], shoot.lamp), several, shoot
    )


def publish_areas(
    out: Path,
    sculpt: Sculpt,
    renderer: str,
    report: Mapping[str, Any],
    overwrite: bool = False,
) -> None:
    """Write areas.png and report.json; raises WriteFault."""
    with fill_folder(out, overwrite) as folder:
        seer, _ = choose_renderer(renderer, sculpt)
        area_sheet(sculpt, seer).save(folder / "areas.png")
        write_json(folder / "report.json", report)


def path_to_start(mesh: Path, out: Path | None, overwrite: bool = False) -> Path:
    """Where a scheme to begin from will stand: DIR/<mesh>.toml.

    Raises
    ------
    WriteFault : the file is there already, or cannot be written.
    """
    folder = out or Path()
    path = folder / f"{mesh.stem}.toml"
    refuse_to_replace(path, overwrite, "name another folder with --out, or --overwrite")
    check_folder(folder, overwrite=True)
    return path


def publish_start(
    path: Path,
    sculpt: Sculpt,
    meshes: Sequence[Path],
    rack: str,
    racks: Sequence[Path],
    marks: Path | None = None,
) -> None:
    """Write a scheme to begin from.

    Parameters
    ----------
    path : as `path_to_start` gives it.
    marks : the marks file that gave the sculpt its areas; the scheme names it.

    Raises
    ------
    WriteFault : the file cannot be written.
    CannotDo : the rack lacks a role.
    """
    folder = path.parent
    loaded = load_rack(rack, folders=racks)
    text = begin_scheme(
        sculpt.area_names,
        loaded,
        rack_word=rack_seen_from(folder, loaded, rack, racks),
        title=meshes[0].stem.replace("_", " ").replace("-", " ").capitalize(),
        meshes=[seen_from(folder, mesh) for mesh in meshes],
        turn_deg=sculpt.placement.turn_deg,
        marks=seen_from(folder, marks) if marks else "",
    )
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteFault(
            f"cannot make the folder {folder}: {error.strerror}", str(folder), "use another --out"
        ) from error
    write_text_whole(path, text)


def seen_from(folder: Path, file: Path) -> str:
    """A file's path relative to a folder, with forward slashes."""
    return Path(os.path.relpath(file.resolve(), folder.resolve())).as_posix()


def rack_seen_from(folder: Path, rack: Rack, word: str, racks: Sequence[Path] = ()) -> str:
    """How a scheme in a folder names its rack: by the word given if that finds it from there.

    Parameters
    ----------
    folder : of the scheme.
    rack : as read from its file.
    word : how the command line named it.
    racks : more folders in which it is looked for.
    """
    if rack.path is None:
        return word
    try:
        found = find_rack(word, folder, racks) if word == rack.name else None
    except RackFault:
        found = None
    if found is not None and found.samefile(rack.path):
        return word
    return seen_from(folder, rack.path)


def _front(stand: Stand, shoot: Shoot, size: int) -> View:
    """The front view that frames the figure for the whole turn."""
    return framing(stand.outline, size, size, elevation_deg=shoot.elevation_deg)


def _reads(verdict: Verdict) -> dict[str, Any]:
    """How much reads under some conditions."""
    return {
        "conditions": verdict.conditions.name,
        "readable_share": verdict.readable_share,
        "below_readable": len(verdict.below(Grade.READABLE)),
    }


def _save_columns(path: Path, taken: _Camera, several: Sequence[Compared], shoot: Shoot) -> None:
    """Draw a column of pictures per scheme, from two sides and in values."""
    two = around(_front(taken.stand, shoot, COLUMN), COMPARE_AZIMUTHS)
    columns = [list[Array]() for _ in several]
    for view in two:
        for column, picture in zip(columns, taken.each(view), strict=True):
            column.append(picture)
    for column, grey in zip(columns, taken.each_value(two[0]), strict=True):
        column.append(grey)
    compare_sheet(several, columns).save(path)


def _write_flip(
    path: Path, taken: _Camera, several: Sequence[Compared], shoot: Shoot
) -> list[dict[str, Any]]:
    """Draw what the eye notices between the first scheme and each other; gives the figures."""
    distance_m = several[0].verdict.conditions.distance_m
    view = around(_front(taken.stand, shoot, COLUMN), COMPARE_AZIMUTHS)[0]
    found = taken.flips(view, distance_m)
    titles = [one.painted.scheme.title for one in several]
    flip_sheet(titles, found, distance_m, COLUMN).save(path)
    return [
        {"from": titles[0], "to": title, "distance_m": distance_m, "mean": flip.mean}
        for title, (flip, _) in zip(titles[1:], found, strict=True)
    ]


class _Camera:
    """Takes pictures of one sculpt under one light in one or more schemes."""

    def __init__(self, stand: Stand, several: Sequence[Painted], lamp: Lamp | None) -> None:
        self.stand = self._stand = stand
        self._several, self._lamp = several, lamp
        self._backdrop = Backdrop(stand.sculpt)

    def frame(self, view: View, transparent: bool) -> Array:
        """The first scheme from one view."""
        look = self._look(view)
        picture = paint_look(look, self._several[0].table, self._lamp)
        return with_alpha(picture) if transparent else on_backdrop(picture, self._behind(view))

    def picture_and_value(self, view: View) -> tuple[Array, Array]:
        """The first scheme from one view, in colour and in the values of its paint."""
        look, behind = self._look(view), self._behind(view)
        table = self._several[0].table
        picture = on_backdrop(paint_look(look, table, self._lamp), behind)
        return picture, on_backdrop(value_of_look(look, table), behind)

    def each(self, view: View) -> list[Array]:
        """Every scheme from one view; what the view sees is found once."""
        look, behind = self._look(view), self._behind(view)
        return [on_backdrop(paint_look(look, p.table, self._lamp), behind) for p in self._several]

    def each_value(self, view: View) -> list[Array]:
        """The values of every scheme's paint from one view."""
        look, behind = self._look(view), self._behind(view)
        return [on_backdrop(value_of_look(look, p.table), behind) for p in self._several]

    def flips(self, view: View, distance_m: float) -> list[tuple[Flip, NDArray[np.bool_]]]:
        """FLIP between the first scheme and each other, paint alone, and where the figure is."""
        shot, ppd = at_distance(view, distance_m)
        look = self._stand.look(shot, self._several, None)
        pictures = [paint_look(look, painted.table, None) for painted in self._several]
        within = pictures[0].coverage > 0.5
        shown = [shown_on_ground(picture) / 255.0 for picture in pictures]
        found = in_threads(lambda other: flip_between(shown[0], other, ppd, within), shown[1:])
        return [(flip, within) for flip in found]

    def side_by_side(self, view: View) -> Array:
        """Every scheme from one view, left to right in one picture."""
        return np.concatenate(self.each(view), axis=1)

    def _look(self, view: View) -> Look:
        return self._stand.look(view, self._several, self._lamp)

    def _behind(self, view: View) -> NDArray[np.float32]:
        return self._backdrop.linear(view)
