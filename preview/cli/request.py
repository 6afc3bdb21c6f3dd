"""What the options of a command ask for, checked, then done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.cli.given import Given
from preview.cli.terminal import listener, say
from preview.errors import Fault, MeshFault, UsageError, choices_fix
from preview.files import typed
from preview.flow import Stand, compare_schemes
from preview.judge.compared import Compared
from preview.judge.conditions import Conditions, every_condition
from preview.judge.eyes import Eyes, read_eyes
from preview.judge.grades import Grade
from preview.judge.views import Around
from preview.light.lightmap import Rig
from preview.light.rigs import RIGS
from preview.paint.lamp import Lamp
from preview.present.folder import check_folder
from preview.progress import Progress
from preview.publish import Shoot, publish_comparison, publish_painting
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from preview.settings import (
    BACKDROP,
    BACKDROPS,
    DISTANCE,
    ELEVATION,
    FIGURE_MM,
    FRAMES,
    FRONT,
    GRADES,
    LAMP,
    LAMPS,
    LUX,
    LUX_PRESETS,
    RENDERER,
    RENDERERS,
    SIGHT_ELEVATION,
    SIZE,
    SPREAD,
    TURN,
)

if TYPE_CHECKING:
    from preview.reading import Reading


@dataclass(frozen=True, kw_only=True)
class Request(Given):
    """Options as given; building one checks them, before any long work begins."""

    mesh: Sequence[Path] | None = None
    marks: Path | None = None
    racks: Sequence[Path] | None = None
    unit: str | None = None
    up: str | None = None
    figure_mm: float | None = None
    turn: float | None = None
    rig: str | None = None
    spread: float | None = None
    lamp: str = LAMP
    paint_only: bool = False
    backdrop: str = BACKDROP
    frames: int = int(FRAMES.default)
    size: int = int(SIZE.default)
    elevation: float = ELEVATION.default
    distance: Sequence[float] | None = None
    lux: str = f"{LUX.default:g}"
    eyes: Sequence[str] | None = None
    sight_elevation: float = SIGHT_ELEVATION.default
    front: float = FRONT.default
    renderer: str = RENDERER
    out: Path | None = None
    overwrite: bool = False
    as_json: bool = False
    quiet: bool = False

    def __post_init__(self) -> None:
        FRAMES.check(self.frames)
        SIZE.check(self.size)
        ELEVATION.check(self.elevation)
        if self.spread is not None:
            SPREAD.check(self.spread)
        if self.figure_mm is not None:
            FIGURE_MM.check(self.figure_mm)
        if self.turn is not None:
            TURN.check(self.turn)
        check_choice("--lamp", self.lamp, LAMPS)
        check_choice("--renderer", self.renderer, RENDERERS)
        check_choice("--backdrop", self.backdrop, BACKDROPS)
        if self.rig is not None:
            check_choice("--rig", self.rig, list(RIGS))
        _ = self.conditions, self.around

    @property
    def conditions(self) -> tuple[Conditions, ...]:
        """Under which to judge: every distance for all eyes."""
        distances = list(self.distance or ()) or [DISTANCE.default]
        faults: list[Fault] = []
        eyes: list[Eyes] = []
        lux = LUX.default
        for text in self.eyes or ():
            try:
                eyes.append(read_eyes(text))
            except UsageError as error:
                faults.extend(error.faults)
        try:
            lux = lux_of(self.lux)
        except UsageError as error:
            faults.extend(error.faults)
        try:
            found = every_condition(distances, eyes or [Eyes()], lux, self.lamp)
        except UsageError as error:
            raise UsageError.of([*error.faults, *faults]) from error
        if faults:
            raise UsageError.of(faults)
        return found

    @property
    def around(self) -> Around:
        """From where the figure is seen when it is judged."""
        return Around(self.sight_elevation, self.front)

    @property
    def progress(self) -> Progress:
        """Who hears of long steps."""
        return listener(self._silent)

    @property
    def _silent(self) -> bool:
        """Whether only results and warnings are told; programs that read JSON want no more."""
        return self.quiet or self.as_json

    def scheme(self, path: Path) -> Scheme:
        """The scheme at a path."""
        return load_scheme(path, tuple(self.racks or ()))

    def sculpt(self, scheme: Scheme | None = None) -> Sculpt:
        """The mesh that was named, else the one that the scheme was made for, and its marks.

        What of it is lost for good is said first.
        """
        paths = tuple(self.mesh or ()) or (scheme.meshes if scheme else ())
        if not paths:
            raise UsageError(
                "no mesh was named",
                "command line",
                'add --mesh FILE, or to the scheme mesh = "FILE"',
            )
        try:
            sculpt = load_sculpt(
                paths,
                unit=self.unit,
                up=self.up,
                figure_mm=self.figure_mm,
                turn_deg=self._turn_deg(scheme),
                progress=self.progress,
            )
        except MeshFault as error:
            if scheme is None or self.mesh:
                raise
            named = f"{scheme.path.name}, mesh"
            told = [Fault(f.what, f"{named}: {f.where}", f.fix) for f in error.faults]
            raise MeshFault.of(told) from error
        for sentence in sculpt.warnings:
            say(f"warning: {sentence}")
        marks = self.marks or (scheme.marks if scheme else None)
        if marks is None:
            return sculpt
        from preview.publish_marks import marked_sculpt

        return marked_sculpt(sculpt, marks, self.progress)

    def _turn_deg(self, scheme: Scheme | None) -> float:
        """How far the figure is turned: as asked, else as the scheme says."""
        if self.turn is not None:
            return self.turn
        return TURN.default if scheme is None else scheme.turn_deg

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
        stand = Stand(self.told_sculpt(schemes[0]), self.renderer, self.progress)
        several = compare_schemes(
            stand,
            schemes,
            rig=self.light_of(schemes[0]),
            illuminant=self.lamp,
            conditions=self.conditions,
            around=self.around,
            progress=self.progress,
        )
        return stand, several

    def told_sculpt(self, scheme: Scheme) -> Sculpt:
        """The sculpt, having said what was mended in it."""
        sculpt = self.sculpt(scheme)
        if not self._silent:
            for sentence in sculpt.repairs:
                say(f"mended: {sentence}")
        return sculpt

    def paint(self, scheme: Path, out: Path) -> dict[str, Any]:
        """Paint and publish one scheme; gives the report."""
        check_folder(out, self.overwrite)
        stand, several = self.judged([self.scheme(scheme)])
        return publish_painting(out, stand, several[0], self.shoot(), self.overwrite, self.progress)

    def read(self, scheme: Path, advice: bool, mend: bool) -> Reading:
        """Judge one scheme, publish it into `out` if there is one, write what was mended."""
        from preview.publish_reading import publish_reading, refuse_to_overwrite, write_mended
        from preview.reading import read_scheme

        out = self.out
        if out is not None:
            check_folder(out, self.overwrite)
        planned = self.scheme(scheme)
        if mend and out is None:
            refuse_to_overwrite(planned, Path(), self.overwrite)
        reading = read_scheme(
            Stand(self.told_sculpt(planned), self.renderer, self.progress),
            planned,
            self.conditions,
            rig=self.light_of(planned),
            around=self.around,
            advice=advice,
            mend=mend,
            progress=self.progress,
        )
        if out is not None:
            publish_reading(out, reading, self.overwrite, self.progress)
        elif reading.made:
            write_mended(reading, Path(), self.overwrite)
        return reading

    def compare(self, schemes: Sequence[Path], out: Path) -> dict[str, Any]:
        """Paint and publish several schemes side by side; gives the report."""
        if len(schemes) < 2:
            raise UsageError(
                "one scheme alone cannot be compared",
                "command line",
                f"name a second one, or run: fourpot paint {typed(schemes[0])}",
            )
        check_folder(out, self.overwrite)
        stand, several = self.judged([self.scheme(path) for path in schemes])
        return publish_comparison(out, stand, several, self.shoot(), self.overwrite, self.progress)


def lux_of(word: str) -> float:
    """The light that a number or the name of a preset stands for; raises UsageError."""
    if word in LUX_PRESETS:
        return LUX_PRESETS[word]
    try:
        return LUX.check(float(word))
    except ValueError as error:
        fix = f"a number of lx, or {choices_fix(word, LUX_PRESETS)}"
        raise UsageError(f'--lux "{word}" is unknown', "command line", fix) from error


def grade_named(word: str | None) -> Grade | None:
    """The grade of that name, or None for None; raises UsageError for an unknown word."""
    if word is None:
        return None
    check_choice("--fail-below", word, GRADES)
    return Grade(GRADES.index(word))


def check_choice(option: str, word: str, choices: Sequence[str]) -> None:
    """Raise UsageError unless the word is one of the choices."""
    if word not in choices:
        raise UsageError(
            f'{option} "{word}" is unknown', "command line", choices_fix(word, choices)
        )
