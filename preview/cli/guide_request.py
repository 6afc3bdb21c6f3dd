"""What `fourpot guide` is asked for, checked, then done."""

from __future__ import annotations

from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from preview.cli.request import Request, check_choice
from preview.flow import Stand, paint_sculpt
from preview.guide.amounts import amounts_of
from preview.guide.batches import Habits
from preview.guide.guide import guide_of
from preview.present.folder import check_folder
from preview.publish_guide import publish_guide
from preview.settings import COATS, DROP, FIGURES, FILM, PAPER, PAPERS, SOLIDS, WASTE


@dataclass(frozen=True, kw_only=True)
class GuideRequest(Request):
    """Options as given; building one checks them, before any long work begins."""

    paper: str = PAPER
    figures: int = Habits.figures
    coats: int | None = Habits.coats
    film_um: float = Habits.film_um
    solids: float = Habits.solids
    drop_ml: float = Habits.drop_ml
    waste: float = Habits.waste

    def __post_init__(self) -> None:
        super().__post_init__()
        check_choice("--paper", self.paper, PAPERS)
        FIGURES.check(self.figures)
        if self.coats is not None:
            COATS.check(self.coats)
        FILM.check(self.film_um)
        SOLIDS.check(self.solids)
        DROP.check(self.drop_ml)
        WASTE.check(self.waste)

    @property
    def habits(self) -> Habits:
        """What the amounts rest on."""
        return Habits(**{field.name: getattr(self, field.name) for field in fields(Habits)})

    def guide(self, scheme: Path, out: Path) -> dict[str, Any]:
        """Count the paint of one scheme and publish its guide; gives the report."""
        check_folder(out, self.overwrite)
        planned = self.scheme(scheme)
        stand = Stand(self.told_sculpt(planned), self.renderer, self.progress)
        painted = paint_sculpt(stand, planned, rig=self.light_of(planned))
        guide = guide_of(stand, amounts_of(stand, painted, self.habits), self.progress)
        return publish_guide(out, guide, self.paper, self.overwrite)
