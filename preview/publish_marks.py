"""Proposals and marked areas into a folder: the sheet, its pictures, the marks file, the report."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import Proposal, proposed
from preview.areas.export.formats import EXPORTS
from preview.areas.export.grouped import Grouped, apart
from preview.areas.listing import areas_of, listing
from preview.areas.marks.apply import UNMARKED, Marked, MarkedFigure
from preview.areas.marks.hints import hints_of
from preview.areas.marks.model import Marks
from preview.areas.marks.overrun import overrun_in_words
from preview.areas.marks.read import load_marks, read_marks
from preview.areas.marks.review import Review, borders_mm, reviewed
from preview.areas.marks.settled import digest_of, settled_on
from preview.areas.marks.write import fingerprint_of, new_marks_text, updated_text
from preview.areas.sculpt import Sculpt
from preview.errors import FourpotError, WriteFault
from preview.files import typed, write_text_whole
from preview.optics.srgb_iec61966 import srgb8_from_linear
from preview.present.folder import fill_folder, is_untouched, write_json
from preview.present.part_sheet import Dot, PartSheet, Row, part_sheet
from preview.present.tints import lightness_steps, tints_of
from preview.present.vantage import Scout
from preview.present.words import placement_in_words
from preview.progress import Progress, silent
from preview.render.choose import choose_renderer
from preview.render.pick import camera_of, with_places
from preview.render.scan import ScanRenderer
from preview.render.seen import Renderer
from preview.shape.threads import at_once, in_threads

MARKS_FILE = "marks.toml"
# Half the time of the usual 6, for a few more bytes.
_PACKED = 3


@dataclass(frozen=True)
class Asked:
    """How results are written.

    out : the folder; None writes none.
    renderer : "auto", "rays" or "gl".
    overwrite : into a folder of others, and over a marks file that was edited there or holds names.
    """

    out: Path | None
    renderer: str = "auto"
    overwrite: bool = False


def publish_proposal(
    sculpt: Sculpt,
    mesh: Sequence[Path],
    count: int,
    asked: Asked,
    progress: Progress = silent,
    mirror: bool | None = None,
) -> dict[str, Any]:
    """Propose regions: sheet.png, a picture a view, marks.toml, report.json; gives the report.

    Parameters
    ----------
    sculpt : the figure.
    mesh : its files, for hints.
    count : how many regions.
    mirror : both sides of the plane x = 0 go by one number; None does so for a figure of which
        at least three quarters are alike left and right.

    Raises
    ------
    WriteFault : the folder cannot be written, or a marks file there was edited or holds names.
    """
    assert asked.out is not None
    _check_no_marks(asked)
    with fill_folder(asked.out, asked.overwrite) as folder:
        analysis = Analysis(sculpt.vertices, sculpt.faces, progress=progress)
        analysis = analysis.with_both_sides(0.0, mirror)
        proposal = proposed(analysis, count, exposed=sculpt.exposed)
        progress("propose regions", 1, 1)
        sheet, hints = at_once(
            lambda: _proposal_sheet(sculpt, analysis, proposal, asked.renderer),
            lambda: hints_of(sculpt),
        )
        progress("draw sheet", 1, 1)
        _save(folder, sheet)
        text = new_marks_text(
            typed(asked.out / MARKS_FILE),
            " ".join(map(typed, mesh)),
            fingerprint_of(sculpt.name, len(sculpt.faces), analysis.surface),
            analysis.metric,
            len(proposal.regions),
            proposal.regions,
            {view.name: camera_of(view) for view in sheet.views},
            analysis.both_sides,
        )
        (folder / MARKS_FILE).write_text(text, encoding="utf-8", newline="\n")
        report = {
            **listing(sculpt),
            "regions": [
                {**asdict(region), "face": int(np.argmax(analysis.standing_in == region.face))}
                for region in proposal.regions
            ],
            "notes": [*_own_areas(sculpt), *_both_sides(analysis, mirror), *hints],
            "unseen": [proposal.regions[k].name for k in sheet.unseen],
            "pictures": _pictures(sheet),
            "marks": MARKS_FILE,
        }
        write_json(folder / "report.json", report)
        return report


def _both_sides(analysis: Analysis, asked: bool | None) -> list[str]:
    """That numbers count on both sides, where nobody asked for it."""
    if asked is not None or not analysis.both_sides:
        return []
    return [
        "the figure is alike left and right, so numbers and marks count on both sides; where they "
        "should not, give a mark mirror = false, or propose again with --no-mirror"
    ]


def publish_marked(
    figure: MarkedFigure,
    marks: Marks,
    asked: Asked,
    update: bool = False,
    progress: Progress = silent,
) -> tuple[Marked, dict[str, Any]]:
    """Show what marks make of a figure: sheet.png, pictures, marks.toml, report.json.

    Parameters
    ----------
    figure : the mesh with the marks file laid on it.
    marks : as read.
    update : write places for pixels into the marks file itself.

    Raises
    ------
    MarksFault, CannotDo : as MarkedFigure.apply.
    WriteFault : the folder or the marks file cannot be written.
    """
    if asked.out is not None:
        _check_no_marks(asked, marks.path)
    placed = with_places(marks, figure.framed)
    marked = figure.apply(placed)
    progress("grow areas", 1, 1)
    centres = figure.framed.corners.mean(axis=1)
    review = reviewed(marked.sculpt, _seeded(figure, marked), UNMARKED, centres)
    report = _marked_report(marked, review, overrun_in_words(figure, placed, marked))
    text = marks.path.read_text(encoding="utf-8-sig")
    views = marks.views
    if asked.out is not None:
        with fill_folder(asked.out, asked.overwrite) as folder:
            sheet = _marked_sheet(figure, marked, report, asked.renderer)
            progress("draw sheet", 1, 1)
            _save(folder, sheet)
            views = {**views, **{view.name: camera_of(view) for view in sheet.views}}
            report["pictures"] = _pictures(sheet)
            fresh = _updated(text, figure, placed, marked, views)
            (folder / MARKS_FILE).write_text(fresh, encoding="utf-8", newline="\n")
            write_json(folder / "report.json", report)
    if update:
        write_text_whole(marks.path, _updated(text, figure, placed, marked, views))
    return marked, report


def marked_sculpt(sculpt: Sculpt, path: Path, progress: Progress = silent) -> Sculpt:
    """The sculpt with the areas of a marks file.

    Raises
    ------
    MarksFault, CannotDo : as MarkedFigure.apply, or the file cannot be read.
    """
    marks = read_marks(path)
    figure = MarkedFigure(sculpt, marks, progress)
    return figure.apply(with_places(marks, figure.framed)).sculpt


def publish_export(path: Path, sculpt: Sculpt) -> None:
    """Write the mesh with its areas as groups with names and colours: 3MF, OBJ, GLB or PLY.

    Parameters
    ----------
    path : its suffix, one of preview.areas.export.formats.EXPORTS, says how.

    Raises
    ------
    WriteFault : it cannot be written.
    """
    beside = borders_mm(sculpt)
    colours = srgb8_from_linear(tints_of(lightness_steps(beside), beside))
    mesh = Grouped(
        name=sculpt.name,
        vertices=sculpt.vertices,
        faces=sculpt.faces,
        group=sculpt.area,
        names=sculpt.area_names,
        srgb8=apart(np.asarray(colours)),
    )
    EXPORTS[path.suffix.lower()](path, mesh)


def _own_areas(sculpt: Sculpt) -> list[str]:
    """That a mesh has areas of its own, which need no proposal."""
    count = len(sculpt.area_names)
    if count < 2:
        return []
    return [
        f"the mesh has {count} areas of its own ({sculpt.areas_from}), exact to the face, and a "
        "scheme can paint them without a marks file; this proposal goes by the shape alone"
    ]


def _updated(
    text: str, figure: MarkedFigure, marks: Marks, marked: Marked, views: Mapping[str, Any]
) -> str:
    """The marks file with places for pixels, its figure, the parts of split regions, and what
    came of it on the export for which it was made; what came of other marks is dropped.
    """
    own = marks.figure
    if own is None:
        faces = len(figure.sculpt.faces)
        own = fingerprint_of(figure.sculpt.name, faces, figure.analysis.surface)
    regions = figure.regions(marks) if marks.areas or marks.regions or marks.count else {}
    kept = replace(marks, count=marks.count or len(regions), regions=regions)
    surface, settled = figure.analysis.surface, marks.settled
    if settled is None or settled.digest != digest_of(kept, surface.metric):
        first = own.faces == len(figure.sculpt.faces)
        labels = marked.carried.thin
        settled = settled_on(figure.analysis, labels, marked.names, kept) if first else None
    return updated_text(text, kept, own, surface.metric, regions, views, settled)


def _check_no_marks(asked: Asked, own: Path | None = None) -> None:
    """Refuse to write over a marks file that may hold a painter's work.

    That is one that was edited and, for a proposal, one that holds names; what came of another
    marks file is refreshed, since the names stand there.

    own : the marks file that is shown; None for a proposal.
    """
    assert asked.out is not None
    there = asked.out / MARKS_FILE
    if not there.exists() or asked.overwrite:
        return
    is_own = own is not None and own.exists() and there.resolve() == own.resolve()
    if not is_own and is_untouched(asked.out, MARKS_FILE) and (own or not _has_names(there)):
        return
    if is_own:
        fix = "name another folder with --out, or write into the file itself with --update alone"
    else:
        fix = "name another folder with --out, or add --overwrite if nothing in it is needed"
    raise WriteFault(f"{there} is there already and may hold your names", str(there), fix)


def _has_names(path: Path) -> bool:
    """Whether a marks file names an area, or cannot be read."""
    try:
        return bool(load_marks(path).names)
    except FourpotError:
        return True


def _proposal_sheet(
    sculpt: Sculpt, analysis: Analysis, proposal: Proposal, renderer: str
) -> PartSheet:
    """The numbered regions on paper."""
    parts = analysis.on_figure(proposal.of_face).full
    seer, _ = choose_renderer(renderer, sculpt)
    rows = [Row(r.name, f"{r.mm2:.1f} mm², {r.width_mm:.1f} mm wide") for r in proposal.regions]
    places = np.array([region.at for region in proposal.regions])
    said = [
        placement_in_words(sculpt),
        f"{len(rows)} regions. Write names over their numbers in {MARKS_FILE}; what no number "
        "bounds gets a mark: the view's name, and column and row by its rulers.",
    ]
    scout = _scout(analysis, parts, len(rows), seer)
    return part_sheet(sculpt, scout, parts, rows, places, seer, f"{sculpt.name}: proposal", said)


def _scout(analysis: Analysis, parts: NDArray[np.int32], count: int, seer: Renderer) -> Scout:
    """What to look for views with: the figure itself when it is light, else its stand-in."""
    surface, standing = analysis.surface, analysis.standing_in
    if len(parts) == len(surface.faces):
        return Scout(surface.vertices, parts, count, seer)
    thin = np.zeros(len(surface.faces), np.int32)
    thin[standing] = parts
    return Scout(surface.vertices, thin, count, ScanRenderer(surface.vertices, surface.faces))


def _marked_sheet(
    figure: MarkedFigure, marked: Marked, report: Mapping[str, Any], renderer: str
) -> PartSheet:
    """The areas on paper, with every place from which they grow."""
    framed = replace(figure.framed, area=marked.sculpt.area, area_names=marked.sculpt.area_names)
    seer, _ = choose_renderer(renderer, framed)
    rows = [Row(a.name, f"{a.mm2:.1f} mm², {100 * a.share:.1f} %") for a in areas_of(marked.sculpt)]
    index = {name: k for k, name in enumerate(framed.area_names)}
    centres = framed.corners.mean(axis=1)
    places = np.array([_place(centres, framed.area == k) for k in range(len(rows))])
    dots = [Dot(seed.at, index[seed.area], seed.between) for seed in marked.seeds]
    said = [placement_in_words(figure.sculpt), *_in_words(report)]
    title = f"{figure.sculpt.name}: areas"
    scout = _scout(figure.analysis, framed.area, len(rows), seer)
    # A name of their own: pixels of these are not to be taken for those of the proposal's.
    return part_sheet(framed, scout, framed.area, rows, places, seer, title, said, dots, "detail")


def _place(centres: Any, mask: Any) -> Any:
    """The face's middle nearest to the middle of an area."""
    if not mask.any():
        return np.zeros(3)
    own = centres[mask].astype(np.float64)
    return own[int(np.argmin(np.linalg.norm(own - own.mean(axis=0), axis=1)))]


def _in_words(report: Mapping[str, Any]) -> list[str]:
    """The heading's lines on what to look at."""
    islands, bare = len(report["islands"]), report["unmarked_mm2"]
    apart = "1 small piece stands apart" if islands == 1 else f"{islands} small pieces stand apart"
    found = apart if islands else "no piece looks like a mistake"
    left = f"; {bare:.1f} mm² are unmarked" if bare else "; nothing is unmarked"
    rings = "Rings are the places from which areas grow, lines run between those of one mark."
    return [f"{found}{left}. {rings}"]


def _marked_report(marked: Marked, review: Review, overrun: list[str]) -> dict[str, Any]:
    """What there is to say, ready for JSON."""
    return {
        **listing(marked.sculpt),
        "notes": [*hints_of(marked.sculpt), *marked.notes, *overrun],
        "islands": [asdict(island) for island in review.islands],
        "touching": [asdict(touch) for touch in review.touching],
        "unmarked_mm2": round(review.unmarked_mm2, 4),
    }


def _seeded(figure: MarkedFigure, marked: Marked) -> Any:
    """(faces,) bool: faces of the figure on which areas grow from a mark, or a shape lies."""
    thin = np.zeros(len(figure.analysis.surface.faces), np.bool_)
    thin[[seed.face for seed in marked.seeds]] = True
    seeded = thin[figure.analysis.standing_in]
    return seeded | (marked.sculpt.area != np.maximum(marked.carried.full, -1))


def _save(folder: Path, sheet: PartSheet) -> None:
    """The sheet and each of its pictures."""
    files = {"sheet.png": sheet.image, **{_file_name(k): p for k, p in sheet.pictures.items()}}
    for _ in in_threads(
        lambda file: files[file].save(folder / file, compress_level=_PACKED), list(files)
    ):
        pass


def _file_name(view: str) -> str:
    """The picture file of a view."""
    return view.replace(" ", "-") + ".png"


def _pictures(sheet: PartSheet) -> list[str]:
    """Every picture file."""
    return ["sheet.png", *(_file_name(name) for name in sheet.pictures)]
