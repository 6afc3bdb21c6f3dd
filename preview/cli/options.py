"""Options that several commands share; numbers come from the one table of settings."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from preview.settings import (
    AGE,
    BACKDROPS,
    COATS,
    COUNT,
    DEFICIENCIES,
    DIFFER,
    DISTANCE,
    DROP,
    DROPS,
    ELEVATION,
    FIGURE_MM,
    FIGURES,
    FILM,
    FRAMES,
    FRONT,
    GRADES,
    LAMPS,
    LUX,
    LUX_PRESETS,
    MM_PER_UNIT,
    PAPERS,
    PROPOSE,
    RENDERERS,
    SECONDS,
    SIGHT_ELEVATION,
    SIZE,
    SOLIDS,
    SPREAD,
    STEPS,
    TOP,
    TURN,
    UP_AXES,
    WASTE,
    Setting,
)


def _help(setting: Setting) -> str:
    """What an option of that setting says of itself."""
    unit = f" {setting.unit}" if setting.unit else ""
    return f"{setting.help} ({setting.low:g} to {setting.high:g}{unit})"


def _number(setting: Setting, metavar: str) -> object:
    """A command-line option for one setting."""
    return typer.Option(f"--{setting.name}", help=_help(setting), metavar=metavar)


def repeated(flag: str, words: str, metavar: str) -> object:
    """A command-line option that may be given several times."""
    return typer.Option(flag, help=f"{words}; may be repeated", metavar=metavar)


Out = Annotated[Path | None, typer.Option("--out", help="folder for the results", metavar="DIR")]
Overwrite = Annotated[
    bool, typer.Option("--overwrite", help="write into a folder that holds other files")
]
Json = Annotated[bool, typer.Option("--json", help="print the report as JSON on standard output")]
Quiet = Annotated[bool, typer.Option("--quiet", help="no progress, no summary")]
Meshes = Annotated[
    list[Path] | None,
    typer.Option(
        "--mesh", help="STL, OBJ, 3MF, GLB or PLY; once per file of a kit", metavar="FILE"
    ),
]
MarksFile = Annotated[
    Path | None,
    typer.Option("--marks", help="marks file that gives the mesh its areas (TOML)", metavar="FILE"),
]
Racks = Annotated[list[Path] | None, repeated("--racks", "a folder with racks of your own", "DIR")]
Unit = Annotated[
    str | None,
    typer.Option("--unit", help="the mesh's unit: " + ", ".join(MM_PER_UNIT), metavar="UNIT"),
]
Up = Annotated[
    str | None,
    typer.Option("--up", help="the mesh's up axis: " + ", ".join(UP_AXES), metavar="AXIS"),
]
FigureMm = Annotated[float | None, typer.Option("--figure-mm", help=_help(FIGURE_MM), metavar="MM")]
Turn = Annotated[float | None, typer.Option(f"--{TURN.name}", help=_help(TURN), metavar="DEGREES")]
Propose = Annotated[int | None, typer.Option(f"--{PROPOSE.name}", help=_help(PROPOSE), metavar="N")]
Top = Annotated[int, _number(TOP, "N")]
Drops = Annotated[int, _number(DROPS, "N")]
Steps = Annotated[int, _number(STEPS, "N")]
With = Annotated[list[str] | None, repeated("--with", "a paint that must be in", "PAINT")]
Without = Annotated[list[str] | None, repeated("--without", "a paint to leave out", "PAINT")]
Missing = Annotated[
    list[str] | None,
    repeated(
        "--missing", "a paint that you would have to buy, as those with stock_ml = 0", "PAINT"
    ),
]
Want = Annotated[
    list[str] | None,
    typer.Option(
        "--want",
        help='colours to reach, such as "#8a4b2f,#3c5a70", or a text file with one per line',
        metavar="COLOURS",
    ),
]
Weight = Annotated[
    list[str] | None,
    repeated("--weight", "such as reach=2; 0 leaves a figure out", "FIGURE=W"),
]
Define = Annotated[
    list[str] | None,
    repeated("--define", "what a role looks like, such as brown.hue=40:85", "ROLE.AXIS=LOW:HIGH"),
]
Count = Annotated[int, _number(COUNT, "N")]
Differ = Annotated[int, _number(DIFFER, "POTS")]
Seconds = Annotated[float, _number(SECONDS, "S")]
Frames = Annotated[int, _number(FRAMES, "N")]
Size = Annotated[int, _number(SIZE, "PIXELS")]
Elevation = Annotated[float, _number(ELEVATION, "DEGREES")]
Distance = Annotated[float, _number(DISTANCE, "METRES")]
Distances = Annotated[list[float] | None, repeated("--distance", _help(DISTANCE), "METRES")]
Lux = Annotated[
    str, typer.Option("--lux", help=f"{_help(LUX)}, or {', '.join(LUX_PRESETS)}", metavar="LUX")
]
EyesOf = Annotated[
    list[str] | None,
    repeated(
        "--eyes",
        f"whose: an age ({AGE.low:g} to {AGE.high:g}), {', '.join(DEFICIENCIES)} with a severity, "
        "as in deutan:0.6,age:60",
        "EYES",
    ),
]
SightElevation = Annotated[float, _number(SIGHT_ELEVATION, "DEGREES")]
Front = Annotated[float, _number(FRONT, "TIMES")]
SpreadLight = Annotated[float | None, typer.Option("--spread", help=_help(SPREAD), metavar="SHARE")]
RigName = Annotated[
    str | None, typer.Option("--rig", help="painted light: a rig's name", metavar="NAME")
]
LampName = Annotated[
    str, typer.Option("--lamp", help="lamp over the table: " + ", ".join(LAMPS), metavar="NAME")
]
PaintOnly = Annotated[bool, typer.Option("--paint-only", help="the paint itself, without lamp")]
RendererName = Annotated[str, typer.Option("--renderer", help=", ".join(RENDERERS), metavar="NAME")]
BackdropName = Annotated[
    str, typer.Option("--backdrop", help="of the frames: " + ", ".join(BACKDROPS), metavar="NAME")
]
NoAdvice = Annotated[
    bool, typer.Option("--no-advice", help="grades alone, without looking for drops that help")
]
MendIt = Annotated[
    bool, typer.Option("--mend", help="write the scheme with all drops that help as a new file")
]
Grade = Annotated[
    str | None,
    typer.Option(
        "--fail-below",
        help="exit code 1 when a pair is below this grade: " + ", ".join(GRADES[1:]),
        metavar="GRADE",
    ),
]
Figures = Annotated[int, _number(FIGURES, "N")]
Coats = Annotated[int | None, typer.Option(f"--{COATS.name}", help=_help(COATS), metavar="N")]
Film = Annotated[float, _number(FILM, "MICRONS")]
Solids = Annotated[float, _number(SOLIDS, "SHARE")]
Drop = Annotated[float, _number(DROP, "ML")]
Waste = Annotated[float, _number(WASTE, "SHARE")]
Paper = Annotated[
    str, typer.Option("--paper", help="of the PDF: " + ", ".join(PAPERS), metavar="NAME")
]
