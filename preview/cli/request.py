"""What the options of a command ask for, checked, then done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.cli.terminal import listener, say
from preview.errors import UsageError, choices_fix
from preview.flow import Stand, compare_schemes
from preview.judge.compared import Compared
from preview.judge.grades import Grade
from preview.light.lightmap import Rig
from preview.light.rigs import RIGS
from preview.paint.lamp import Lamp
from preview.progress import Progress
from preview.publish import Shoot, publish_comparison, publish_painting
from preview.publish_marks import marked_sculpt
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from preview.settings import (
    BACKDROPS,
    DISTANCE,
    ELEVATION,
    FIGURE_MM,
    FRAMES,
    LAMPS,
    LUX,
    RENDERERS,
    SIZE,
    SPREAD,
)


@dataclass(frozen=True, kw_only=True)
class Request:
    """Options as given; building one checks them, before any long work begins."""

    mesh: Sequence[Path] | None = None
    marks: Path | None = None
    racks: Sequence[Path] | None = None
    unit: str | None = None
    up: str | None = None
    figure_mm: float | None = None
    rig: str | None = None
    spread: float | None = None
    lamp: str = "D65"
    paint_only: bool = False
    backdrop: str = "plain"
    frames: int = int(FRAMES.default)
    size: int = int(SIZE.default)
    elevation: float = ELEVATION.default
    distance: float = DISTANCE.default
    lux: float = LUX.default
    renderer: str = "auto"
    quiet: bool = False

    def __post_init__(self) -> None:
        FRAMES.check(self.frames)
        SIZE.check(self.size)
        ELEVATION.check(self.elevation)
        DISTANCE.check(self.distance)
        LUX.check(self.lux)
        if self.spread is not None:
            SPREAD.check(self.spread)
        if self.figure_mm is not None:
            FIGURE_MM.check(self.figure_mm)
        _check_choice("--lamp", self.lamp, LAMPS)
        _check_choice("--renderer", self.renderer, RENDERERS)
        _check_choice("--backdrop", self.backdrop, BACKDROPS)
        if self.rig is not None:
            _check_choice("--rig", self.rig, list(RIGS))

    @property
    def progress(self) -> Progress:
        """Who hears of long steps."""
        return listener(self.quiet)

    def scheme(self, path: Path) -> Scheme:
        """The scheme at a path."""
        return load_scheme(path, tuple(self.racks or ()))

    def sculpt(self, scheme: Scheme | None = None) -> Sculpt:
        """The mesh that was named, else the one that the scheme was made for, and its marks."""
        paths = tuple(self.mesh or ()) or (scheme.meshes if scheme else ())
        if not paths:
            raise UsageError("no mesh was named", "command line", "add --mesh FILE")
        sculpt = load_sculpt(
            paths,
            unit=self.unit,
            up=self.up,
            figure_mm=self.figure_mm,
            progress=self.progress,
        )
        marks = self.marks or (scheme.marks if scheme else None)
        return sculpt if marks is None else marked_sculpt(sculpt, marks, self.progress)

    def shoot(self) -> Shoot:
        """How pictures are taken."""
        return Shoot(
            frames=self.frames,
            size=self.size,
            elevation_deg=self.elevation,
            lamp=None if self.paint_only else Lamp(illuminant=self.lamp),
            transparent=self.backdrop == "transparent",
        )

    def light_of(self, scheme: Scheme) -> Rig:
        """The painted light: the option's rig, else the scheme's, with the spread asked for."""
        rig = scheme.rig if self.rig is None else RIGS[self.rig]
        return rig if self.spread is None else replace(rig, spread=self.spread)

    def judged(self, schemes: Sequence[Scheme]) -> tuple[Stand, list[Compared]]:
        """The schemes on the mesh, painted and graded."""
        sculpt = self.sculpt(schemes[0])
        if not self.quiet:
            for sentence in sculpt.repairs:
                say(f"mended: {sentence}")
        stand = Stand(sculpt, self.renderer, self.progress)
        several = compare_schemes(
            stand,
            schemes,
            rig=self.light_of(schemes[0]),
            illuminant=self.lamp,
            distance_m=self.distance,
            lux=self.lux,
            progress=self.progress,
        )
        return stand, several

    def paint(self, scheme: Path, out: Path, overwrite: bool) -> dict[str, Any]:
        """Paint and publish one scheme; gives the report."""
        stand, several = self.judged([self.scheme(scheme)])
        return publish_painting(out, stand, several[0], self.shoot(), overwrite, self.progress)

    def compare(self, schemes: Sequence[Path], out: Path, overwrite: bool) -> dict[str, Any]:
        """Paint and publish several schemes side by side; gives the report."""
        stand, several = self.judged([self.scheme(path) for path in schemes])
        return publish_comparison(out, stand, several, self.shoot(), overwrite, self.progress)


def grade_named(word: str | None) -> Grade | None:
    """The grade of that name, or None for None; raises UsageError for an unknown word."""
    if word is None:
        return None
    _check_choice("--fail-below", word, [grade.word for grade in Grade])
    return Grade[word.upper()]


def _check_choice(option: str, word: str, choices: Sequence[str]) -> None:
    """Raise UsageError unless the word is one of the choices."""
    if word not in choices:
        raise UsageError(
            f'{option} "{word}" is unknown', "command line", choices_fix(word, choices)
        )
