"""What `fourpot choose` is asked for, checked, then done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from pathlib import Path
from typing import Any, TypeVar

from preview.area_targets import targets_of
from preview.areas.sculpt import Sculpt
from preview.cli.request import Request
from preview.errors import Fault, FileFault, FourpotError, UsageError
from preview.flow import Stand
from preview.judge.neighbours import measure_neighbours
from preview.palette.choose import Ask, choose
from preview.palette.figures import read_weights
from preview.palette.options import Pins
from preview.palette.roles import looks_with
from preview.palette.targets import Targets, read_targets
from preview.present.folder import check_folder
from preview.publish_choice import Figure, choice_report, publish_choice
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from preview.settings import COUNT, DIFFER, SECONDS
from preview.shipped import shipped

Read = TypeVar("Read")


@dataclass(frozen=True, kw_only=True)
class ChooseRequest(Request):
    """Options as given; building one checks them, before any long work begins."""

    rack: str
    wanted: Sequence[str] | None = None
    unwanted: Sequence[str] | None = None
    missing: Sequence[str] | None = None
    want: Sequence[str] | None = None
    weight: Sequence[str] | None = None
    define: Sequence[str] | None = None
    count: int = int(COUNT.default)
    differ: int = int(DIFFER.default)
    seconds: float = SECONDS.default

    def __post_init__(self) -> None:
        super().__post_init__()
        _ = self.ask

    @cached_property
    def ask(self) -> Ask:
        """What is asked for; raises UsageError with all that is wrong at once."""
        faults: list[Fault] = []

        def read(reader: Callable[[], Read]) -> Read | None:
            try:
                return reader()
            except FileFault:
                raise
            except FourpotError as error:
                faults.extend(error.faults)
                return None

        weights = read(lambda: read_weights(self.weight or ()))
        looks = read(lambda: looks_with(self.define or ()))
        targets = read(lambda: read_targets(self.want) if self.want else Ask().targets)
        for setting, value in ((COUNT, self.count), (DIFFER, self.differ), (SECONDS, self.seconds)):
            read(partial(setting.check, value))
        if self.marks is not None and not self.mesh:
            what = "--marks gives areas to a mesh, and no mesh was named"
            faults.append(Fault(what, "command line", "add --mesh FILE"))
        if faults or weights is None or looks is None or targets is None:
            raise UsageError.of(faults)
        pins = Pins(*(tuple(names or ()) for names in (self.wanted, self.unwanted, self.missing)))
        return Ask(pins, looks, weights, targets, self.count, self.differ, self.seconds)

    def choose(self) -> dict[str, Any]:
        """Rank the options, write them if asked to; gives the report."""
        if self.out is not None:
            check_folder(self.out, self.overwrite)
        folders = tuple(self.racks or ())
        rack = load_rack(self.rack, folders=folders)
        ask, stand = self.ask, self._stand()
        if stand is not None and self.mesh:
            ask = replace(ask, targets=self._wanted(stand.sculpt, rack, ask.targets))
        choice = choose(rack, ask, self.progress)
        if self.out is None or stand is None:
            return choice_report(choice, rack)
        return publish_choice(
            self.out,
            choice,
            rack,
            Figure(stand, tuple(self.mesh or (shipped_mesh(),)), self.marks),
            rack_word=self.rack,
            racks=folders,
            overwrite=self.overwrite,
            progress=self.progress,
        )

    def _stand(self) -> Stand | None:
        """The mesh, or the keeper that ships where pictures are asked for and there is no mesh."""
        if not self.mesh and self.out is None:
            return None
        request = self if self.mesh else replace(self, mesh=(shipped_mesh(),), marks=None)
        return Stand(request.sculpt(), self.renderer, self.progress)

    def _wanted(self, sculpt: Sculpt, rack: Rack, own: Targets) -> Targets:
        """What the areas of the mesh want, with one's own colours in their place if there are."""
        wanted = targets_of(sculpt, measure_neighbours(sculpt, progress=self.progress), rack)
        return replace(wanted, lab=own.lab, source=own.source) if self.want else wanted


def shipped_mesh() -> Path:
    """The keeper."""
    return shipped("meshes", "keeper.glb")
