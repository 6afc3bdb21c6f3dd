"""The best sets of pots as scheme files that run, and side by side on a figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from preview.files import write_text_whole
from preview.flow import Stand, compare_schemes
from preview.palette.choose import ALIKE, Choice, Option
from preview.present.folder import fill_folder, write_json
from preview.progress import Progress, silent
from preview.publish import Shoot, rack_seen_from, save_compare_sheet, seen_from
from preview.rack.paint import Rack
from preview.ramp.load import load_scheme
from preview.ramp.start import begin_scheme
from preview.ramp.words import Role
from preview.settings import COMPARE_FRAMES, COMPARE_SIZE

# So many columns can be told apart at a glance.
MOST_SCHEMES = 4


@dataclass(frozen=True)
class Figure:
    """What the schemes are for.

    stand : the sculpt, put up.
    meshes : its files.
    marks : the marks file that gives it its areas, if any.
    """

    stand: Stand
    meshes: Sequence[Path]
    marks: Path | None = None


def publish_choice(
    out: Path,
    choice: Choice,
    rack: Rack,
    figure: Figure,
    *,
    rack_word: str,
    racks: Sequence[Path] = (),
    overwrite: bool = False,
    progress: Progress = silent,
) -> dict[str, Any]:
    """Write the best options as schemes, sheet.png and report.json; gives the report.

    Parameters
    ----------
    rack_word : how the rack was named, a name or a file.
    racks : folders in which it is looked for.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        word = rack_seen_from(folder, rack, rack_word, racks)
        paths = []
        shown = choice.best[:MOST_SCHEMES]
        titled = zip(shown, titles_of(shown), strict=True)
        for number, (option, title) in enumerate(titled, start=1):
            text = begin_scheme(
                figure.stand.sculpt.area_names,
                rack,
                rack_word=word,
                title=title,
                meshes=[seen_from(folder, mesh) for mesh in figure.meshes],
                turn_deg=figure.stand.sculpt.placement.turn_deg,
                marks=seen_from(folder, figure.marks) if figure.marks else "",
                pots=cast(Mapping[Role, str], option.pots),
            )
            paths.append(folder / f"option-{number}.toml")
            write_text_whole(paths[-1], text)
        schemes = [load_scheme(path, tuple(racks)) for path in paths]
        several = compare_schemes(figure.stand, schemes, progress=progress)
        shoot = Shoot(frames=COMPARE_FRAMES, size=COMPARE_SIZE)
        save_compare_sheet(folder / "sheet.png", figure.stand, several, shoot)
        report = choice_report(choice, rack)
        for row, path, one in zip(report["best"], paths, several, strict=False):
            row["scheme"] = path.name
            row["readable_share"] = one.verdict.readable_share
        write_json(folder / "report.json", report)
        return report


def titles_of(options: Sequence[Option]) -> list[str]:
    """What each option is called: its warm and cold pots, and what else tells it from the rest."""
    titles = []
    for option in options:
        alike = [set(other.pots.values()) for other in options if _pair(other) == _pair(option)]
        own = [name for name in option.pots.values() if name not in set.intersection(*alike)]
        titles.append(" and ".join(_pair(option)) + (f" with {' and '.join(own)}" if own else ""))
    return titles


def _pair(option: Option) -> tuple[str, str]:
    """An option's warm and cold pot."""
    return option.pots["warm"], option.pots["cold"]


def choice_report(choice: Choice, rack: Rack) -> dict[str, Any]:
    """The options for JSON."""
    return {
        "rack": rack.name,
        "reach_counts": choice.source,
        "wanted": choice.wanted,
        "weights": dict(choice.weights),
        "options": choice.options,
        "mixed_in_full": choice.tried,
        "left_out_at_most": choice.at_most,
        "alike_within": ALIKE if any(o.certainty == "estimate" for o in choice.best) else None,
        "best": [_row(place, option) for place, option in enumerate(choice.best, start=1)],
    }


def _row(place: int, option: Option) -> dict[str, Any]:
    """One option for JSON."""
    return {
        "place": place,
        "score": option.score,
        "pots": dict(option.pots),
        "figures": {name: round(value, 6) for name, value in option.figures.items()},
        "missing": list(option.missing),
        "notes": list(option.notes),
        "certainty": option.certainty,
    }
