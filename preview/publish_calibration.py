"""A paint calibrated on a tint, and the rack file brought up to date with it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from preview.errors import CannotDo, Fault, UsageError, WriteFault
from preview.files import refuse_to_replace, write_whole
from preview.mix.calibrate import Dilution, predicted_tints
from preview.mix.calibration import USUAL_STRENGTH, Calibration, calibrate
from preview.mix.certainty import MEDIAN_ERROR
from preview.optics.appearance import hex_from_reflectance
from preview.optics.srgb_iec61966 import hex_from_lab
from preview.photo.measure import Measured
from preview.present.calibration_card import calibration_card, spots_picture
from preview.present.folder import fill_folder, write_json
from preview.rack.defaults import is_off_white
from preview.rack.load import load_rack
from preview.rack.paint import Paint, Rack, Tint
from preview.rack.rewrite import calibrated_text, moved_text, path_from
from preview.rack.text_file import read_text_file
from preview.shipped import shipped


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A paint's calibration and what it rests on.

    tints : all of them, the new one first; `calibration` holds an error for each.
    reference : the white that becomes the one that all scattering is relative to, or "".
    """

    rack: Rack
    paint: Paint
    tints: tuple[Tint, ...]
    calibration: Calibration
    reference: str


def calibrate_paint(
    rack: Rack, name: str, tint: Tint | None, afresh: bool = False, sure: bool = False
) -> Calibrated:
    """Calibrate a rack's paint on the tints that its file keeps and a new one.

    Parameters
    ----------
    rack : where the paint stands.
    name : of the paint.
    tint : the new one; None to fit the kept ones again.
    afresh : leave out those that are kept.
    sure : take what makes one want to look again, too. A tint that the file keeps is not asked
        about again, unless the new one made it doubtful.

    Raises
    ------
    UsageError : a paint is not in the rack.
    CannotDo : there is no tint, the partner's scattering is unknown, the tints cannot be believed,
        or they are to be doubted and one is not sure.
    """
    named = dict.fromkeys((name, tint.partner if tint else name))
    if missing := [rack.lacks(one) for one in named if one not in rack.paints]:
        raise UsageError.of(missing)
    paint = rack.paints[name]
    tints = (*((tint,) if tint else ()), *(() if afresh else paint.tints))
    if not tints:
        raise CannotDo(
            f'"{name}" has no tint to be calibrated on',
            rack.name,
            "give one: --with WHITE --parts 1:9 --srgb #rrggbb (or --lab, --reflectance, "
            "--from-photo)",
        )
    if _reference(rack) == name:
        raise CannotDo(
            f'"{name}" is the white that all scattering of this rack is relative to',
            rack.name,
            "calibrate the other paints against it",
        )
    reference = _reference_of(rack, paint, tints)
    dilutions = [Dilution(rack.paints[t.partner], t.share, t.lab) for t in tints]
    names = [f'{rack.name}, "{name}", {t.ratio} with "{t.partner}"' for t in tints]
    made = calibrate(paint, dilutions, names)
    if tint is not None and not sure:
        _ask_again(made, paint, dilutions, names)
    return Calibrated(rack, paint, tints, made, reference)


def _ask_again(
    made: Calibration, paint: Paint, dilutions: Sequence[Dilution], names: Sequence[str]
) -> None:
    """CannotDo where a new tint, the first, is in doubt or brings a kept one into doubt."""
    kept = set()
    if any(doubt.tint > 0 for doubt in made.doubts):
        before = calibrate(paint, dilutions[1:], names[1:])
        kept = {doubt.tint + 1 for doubt in before.doubts}
    fix = "check colour, paint, --with and --parts; if all is as you gave it, add --sure"
    faults = [
        Fault(doubt.words, names[doubt.tint], fix)
        for doubt in made.doubts
        if doubt.tint not in kept
    ]
    if faults:
        raise CannotDo.of(faults)


def publish_calibration(
    made: Calibrated,
    entry: Mapping[str, Any] | None,
    afresh: bool,
    to: Path | None = None,
    overwrite: bool = False,
    photographed: Measured | None = None,
    out: Path | None = None,
) -> dict[str, Any]:
    """Write a calibration into the rack file, or a copy of it, and report on it.

    What stood in a file before is kept beside it in the first free `FILE.backup-1`, `-2` and so on.

    Parameters
    ----------
    made : the calibration.
    entry : the new tint as the file shall keep it, reflectance named from the current folder.
    to : the copy; None for the rack file itself.
    overwrite : replace a copy that is there already, write into a folder that holds files.
    photographed : where the tint was measured, if it was in a photograph.
    out : folder for a card, the report, and the photograph with what was read in it.

    Raises
    ------
    WriteFault : the rack ships with fourpot, may not be written, or the copy is there already.
    """
    source, target = path_to_calibrate(made.rack, to, overwrite)
    text = read_text_file(source, "rack file")
    kept = None if entry is None else dict(entry)
    if kept and "reflectance" in kept:
        kept["reflectance"] = path_from(target.parent, Path(kept["reflectance"]).resolve())
    if target.parent.resolve() != source.resolve().parent:
        text = moved_text(text, source.resolve().parent, target.parent.resolve())
    curve = made.calibration.curve
    fresh = calibrated_text(text, made.paint.name, curve, kept, afresh, made.reference)
    report = _report(made) | {"photograph": _photo_report(photographed)}
    if out is None:
        return report | _write(target, fresh)
    with fill_folder(out, overwrite) as folder:
        calibration_card(made.rack, report).save(folder / "card.png")
        if photographed is not None:
            spots_picture(photographed.photo, photographed.spots).save(folder / "photograph.png")
        write_json(folder / "report.json", report)
        return report | _write(target, fresh)


def path_to_calibrate(rack: Rack, to: Path | None, overwrite: bool) -> tuple[Path, Path]:
    """The rack's file and where it goes; refuses at once what could not be written at the end.

    Raises
    ------
    WriteFault : as in `publish_calibration`.
    """
    source = rack.path
    if source is None:
        raise CannotDo("this rack was not read from a file", rack.name, "load it from one")
    if to is None:
        target = source.resolve()
        if target.parent == shipped("shared", "racks").resolve():
            raise WriteFault(
                "a rack that ships with fourpot is not written to",
                source.name,
                f"calibrate a copy of your own: add --to my-{source.name}",
            )
    else:
        target = to.absolute()
        if target.suffix != ".toml" or target.is_dir():
            raise WriteFault("--to must name a file that ends in .toml", str(to))
        refuse_to_replace(to, overwrite)
    if target.exists() and not target.stat().st_mode & 0o222:
        raise WriteFault(
            "the rack file is read-only", str(target), "allow writing, or name a copy with --to"
        )
    if not target.parent.is_dir():
        raise WriteFault("there is no such folder", str(target.parent), "make it first")
    if not os.access(target.parent, os.W_OK):
        raise WriteFault(
            "the folder may not be written to", str(target.parent), "name a copy with --to"
        )
    return source, target


def _reference(rack: Rack) -> str:
    """The white that a rack's scattering is relative to, or "" where none is calibrated yet."""
    for paint in rack.paints.values():
        if paint.calibrated and not paint.tints and is_off_white(paint.reflectance):
            return paint.name
    return ""


def _reference_of(rack: Rack, paint: Paint, tints: Sequence[Tint]) -> str:
    """The white that the tints make the rack's reference, or "" where they need none."""
    whites = {_check_partner(rack, paint, tint.partner) for tint in tints} - {""}
    if len(whites) > 1:
        raise CannotDo(
            "the tints were mixed with several whites that are not calibrated",
            f'{rack.name}, "{paint.name}": {", ".join(sorted(whites))}',
            "keep to one white, or begin with --afresh",
        )
    return "".join(whites)


def _check_partner(rack: Rack, paint: Paint, name: str) -> str:
    """The partner if it becomes the rack's reference, "" if it is calibrated; else CannotDo."""
    partner, reference = rack.paints[name], _reference(rack)
    if partner is paint:
        raise CannotDo("a paint cannot be its own tint", f'"{name}"', "name the white with --with")
    if partner.calibrated:
        return ""
    if not is_off_white(partner.reflectance):
        raise CannotDo(
            f'how strongly "{name}" scatters is unknown, so it can calibrate no other paint',
            rack.name,
            f'mix the tint with a white, or calibrate "{name}" first',
        )
    if reference:
        raise CannotDo(
            f'"{name}" is not calibrated, and this rack is calibrated against "{reference}"',
            rack.name,
            f'mix the tint with "{reference}", or first calibrate "{name}" by a tint of it with '
            "a calibrated colour",
        )
    return name


def _photo_report(measured: Measured | None) -> dict[str, Any] | None:
    """What was measured in a photograph."""
    if measured is None:
        return None
    median, largest = measured.residual or (None, None)
    return {
        "source": measured.source,
        "lab": [round(float(v), 3) for v in measured.lab],
        "srgb": hex_from_lab(measured.lab),
        "patches_used": measured.patches,
        "residual_median": median,
        "residual_largest": largest,
        "notes": list(measured.notes),
    }


def _write(target: Path, text: str) -> dict[str, str | None]:
    """Write a rack file whole, after a copy of what stood there; gives the paths of both."""

    def write(beside: Path) -> None:
        beside.write_text(text, encoding="utf-8", newline="")
        load_rack(beside)

    backup = None
    with ExitStack() as undo:
        if target.exists():
            backup = _kept_beside(target)
            undo.callback(backup.unlink, missing_ok=True)
        write_whole(target, write)
        undo.pop_all()
    return {"file": str(target), "backup": None if backup is None else str(backup)}


def _kept_beside(target: Path) -> Path:
    """A copy of a file under the first free name beside it."""

    def copy(beside: Path) -> None:
        shutil.copy(target, beside)

    number = 1
    while (backup := target.with_name(f"{target.name}.backup-{number}")).exists():
        number += 1
    write_whole(backup, copy)
    return backup


def _report(made: Calibrated) -> dict[str, Any]:
    """A calibration for JSON."""
    fitted = made.calibration
    dilutions = [Dilution(made.rack.paints[t.partner], t.share, t.lab) for t in made.tints]
    before, after = (predicted_tints(p, dilutions) for p in (made.paint, fitted.paint))
    rests = [
        p.name
        for p in made.rack.paints.values()
        if any(tint.partner == made.paint.name for tint in p.tints)
    ]
    return {
        "rack": made.rack.name,
        "paint": made.paint.name,
        "scattering": [round(number, 4) for number in fitted.curve],
        "numbers_fitted": fitted.terms,
        "why": fitted.why,
        "tints": [
            {
                "with": tint.partner,
                "parts": tint.ratio,
                "lab": [round(float(v), 3) for v in tint.lab],
                "srgb": hex_from_lab(tint.lab),
                "predicted_before": hex_from_reflectance(before[row]),
                "predicted_after": hex_from_reflectance(after[row]),
                "before": round(float(fitted.before[row]), 3),
                "after": round(float(fitted.after[row]), 3),
                "after_one_number": round(float(fitted.after_one[row]), 3),
                "after_three_numbers": round(float(fitted.after_three[row]), 3),
            }
            for row, tint in enumerate(made.tints)
        ],
        "strength": round(fitted.strength, 4),
        "usual_strength": list(USUAL_STRENGTH),
        "reference_white": made.reference or _reference(made.rack),
        "doubts": [
            f'{made.tints[doubt.tint].ratio} with "{made.tints[doubt.tint].partner}": {doubt.words}'
            for doubt in fitted.doubts
        ],
        "calibrate_again": rests,
        "median_error_of_mixes": dict(MEDIAN_ERROR),
    }
