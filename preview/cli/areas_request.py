"""What `fourpot areas` is asked for, checked, then done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from preview.areas.listing import listing
from preview.areas.sculpt import Sculpt
from preview.cli.given import Given
from preview.cli.request import Request
from preview.errors import UsageError
from preview.files import refuse_to_replace, typed
from preview.present.folder import check_folder
from preview.settings import PROPOSE


@dataclass(frozen=True, kw_only=True)
class AreasRequest(Given):
    """Options as given; building one checks them."""

    request: Request
    marks: Sequence[Path] = ()
    propose: int | None = None
    mirror: bool | None = None
    update: bool = False
    export: Path | None = None
    out: Path | None = None
    overwrite: bool = False

    def __post_init__(self) -> None:
        where = "command line"
        if self.marks and not self.request.mesh:
            name = self.marks[0]
            raise UsageError(
                f"{name.name} is a scheme or a marks file, and no mesh was named",
                where,
                f"name the mesh before a marks file: fourpot areas MESH {typed(name)}; "
                f"run a scheme with: fourpot paint {typed(name)}",
            )
        if self.propose is not None:
            PROPOSE.check(self.propose)
        if len(self.marks) > 1:
            names = ", ".join(path.name for path in self.marks)
            raise UsageError(
                f"{len(self.marks)} marks files were named: {names}", where, "name one"
            )
        if self.marks and self.propose is not None:
            raise UsageError(
                "--propose begins a new marks file, but one was named",
                where,
                "leave out one of the two; split = { 7 = 4 } in the file gives finer regions",
            )
        if self.propose is not None and self.out is None:
            raise UsageError("--propose needs a folder", where, "add --out DIR")
        if self.mirror is not None and self.propose is None:
            raise UsageError(
                "--mirror and --no-mirror belong to a proposal",
                where,
                "add --propose N, or write mirror = true or false at the top of the marks file",
            )
        if self.update and not self.marks:
            raise UsageError("--update needs a marks file", where, "name it after the mesh")
        if self.export is not None:
            _check_export(self.export, self.overwrite)
        if self.out is not None:
            check_folder(self.out, self.overwrite)

    @property
    def next_command(self) -> str:
        """What begins a scheme for the areas of a marks file, placed as here; "" without one."""
        if not self.marks:
            return ""
        asked = self.request
        words = [*map(typed, asked.mesh or ()), "--marks", typed(self.marks[0])]
        for option, word in (("--unit", asked.unit), ("--up", asked.up)):
            words += [option, word] if word else []
        for option, number in (("--figure-mm", asked.figure_mm), ("--turn", asked.turn)):
            words += [option, f"{number:g}"] if number is not None else []
        return f"fourpot start {' '.join(words)} --rack RACK"

    def done(self) -> dict[str, Any]:
        """Do what was asked; gives the report."""
        sculpt = self.request.sculpt()
        if self.propose is not None:
            report = self._proposed(sculpt, self.propose)
        elif self.marks:
            sculpt, report = self._marked(sculpt)
        else:
            report = self._listed(sculpt)
        if self.export is not None:
            from preview.publish_marks import publish_export

            publish_export(self.export, sculpt)
            report["export"] = self.export.name
        return report

    def _listed(self, sculpt: Sculpt) -> dict[str, Any]:
        """The areas that the mesh has of itself."""
        report = listing(sculpt)
        if self.out is not None:
            from preview.publish import publish_areas

            publish_areas(self.out, sculpt, self.request.renderer, report, self.overwrite)
            report = {**report, "pictures": ["areas.png"]}
        return report

    def _proposed(self, sculpt: Sculpt, count: int) -> dict[str, Any]:
        """A proposal, with a sheet and a marks file."""
        from preview.publish_marks import Asked, publish_proposal

        asked = Asked(self.out, self.request.renderer, self.overwrite)
        mesh = tuple(self.request.mesh or ())
        progress = self.request.progress
        return publish_proposal(sculpt, mesh, count, asked, progress, self.mirror)

    def _marked(self, sculpt: Sculpt) -> tuple[Sculpt, dict[str, Any]]:
        """The areas of a marks file."""
        from preview.areas.marks.apply import MarkedFigure
        from preview.areas.marks.read import read_marks
        from preview.publish_marks import Asked, publish_marked

        marks = read_marks(self.marks[0])
        figure = MarkedFigure(sculpt, marks, self.request.progress)
        asked = Asked(self.out, self.request.renderer, self.overwrite)
        marked, report = publish_marked(figure, marks, asked, self.update, self.request.progress)
        return marked.sculpt, report


def _check_export(path: Path, overwrite: bool) -> None:
    """Refuse a kind of file that cannot be written, and one that is there."""
    from preview.areas.export.formats import EXPORTS

    if path.suffix.lower() not in EXPORTS:
        raise UsageError(
            f'"{path.name}" has no suffix that can be exported',
            "--export",
            "valid: " + ", ".join(EXPORTS),
        )
    refuse_to_replace(path, overwrite)
