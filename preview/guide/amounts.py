"""How much paint a painted sculpt takes: what lies where, every mix, every pot, in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from preview.flow import Stand
from preview.guide.batches import Batch, Habits, Key, PotUse, batches_of, key_of, pot_uses
from preview.guide.laid import Laid, laid_steps
from preview.guide.order import painting_order
from preview.paint.painted import Painted
from preview.present.report import heading_report
from preview.present.words import CAUTIONS
from preview.ramp.ramp import Ramp, Step
from preview.ramp.words import PRIMER, step_in_words


@dataclass(frozen=True, eq=False)
class Amounts:
    """How much paint a painted sculpt takes.

    laid : what lies where on one figure.
    batches : every mix, in the order of mixing.
    pots : what every pot gives.
    order : indices of the areas, in the order of painting.
    """

    painted: Painted
    habits: Habits
    laid: tuple[Laid, ...]
    batches: tuple[Batch, ...]
    pots: tuple[PotUse, ...]
    order: tuple[int, ...]

    @cached_property
    def ramps(self) -> tuple[Ramp, ...]:
        """The ramps in use, in the order in which they are painted."""
        return _ramps_in_order(self.painted, self.order)

    def batch_of(self, step: Step) -> Batch | None:
        """The batch that a step's paint comes from; None when none is needed."""
        return self._by_key.get(key_of(step.mix.recipe))

    @cached_property
    def _by_key(self) -> dict[Key, Batch]:
        return {key_of(batch.recipe): batch for batch in self.batches}

    def as_dict(self) -> dict[str, Any]:
        """The amounts for JSON."""
        scheme, names = self.painted.scheme, self.painted.sculpt.area_names
        return {
            **heading_report(self.painted),
            "assumed": {
                "figures": self.habits.figures,
                "coats": self.habits.coats,
                "film_um": self.habits.film_um,
                "solids": self.habits.solids,
                "drop_ml": self.habits.drop_ml,
                "waste": self.habits.waste,
                "source": "common practice, no source",
            },
            "painting_order": [names[k] for k in self.order],
            "areas": [
                {
                    "area": row.area,
                    "ramp": row.ramp,
                    "step": row.step,
                    "shown_mm2": round(row.shown_mm2, 4),
                    "under_mm2": round(row.under_mm2, 4),
                    "coats": row.coats,
                    "over": row.over,
                    "hides": row.hides,
                    "first": row.first,
                }
                for row in self.laid
            ],
            "mixes": [_batch_report(batch, scheme.pots, self.habits) for batch in self.batches],
            "pots": [
                {
                    "role": pot.role,
                    "paint": pot.paint,
                    "drops": round(pot.drops, 4),
                    "ml": round(pot.ml, 4),
                    "stock_ml": pot.stock_ml,
                    "left_ml": None if pot.left_ml is None else round(pot.left_ml, 4),
                }
                for pot in self.pots
            ],
            "notes": list(self.notes),
            "cautions": list(CAUTIONS),
        }

    @property
    def notes(self) -> tuple[str, ...]:
        """Plain sentences on what to look out for."""
        short = tuple(
            f"{pot.paint}: the pot holds {pot.stock_ml:g} ml and {pot.ml:.1f} ml are needed"
            for pot in self.pots
            if pot.left_ml is not None and pot.left_ml < 0
        )
        thin = dict.fromkeys(
            f"{row.ramp}, {step_in_words(row.step)}: {row.coats:g} coats leave the "
            f"{self.painted.scheme.primer.name} primer showing; lay it over an opaque colour"
            for row in self.laid
            if row.over == PRIMER and not row.hides
        )
        return (*self.painted.notes, *short, *thin)


def amounts_of(stand: Stand, painted: Painted, habits: Habits) -> Amounts:
    """How much of every mix a painted sculpt takes, and in which order.

    Parameters
    ----------
    stand : the sculpt with its light.
    habits : thickness, drops, waste, figures.
    """
    order = painting_order(painted.sculpt, stand.light(painted.rig).sky, stand.outline)
    laid = laid_steps(painted, habits.coats)
    batches = batches_of(laid, _ramps_in_order(painted, order), painted.scheme, habits)
    pots = pot_uses(batches, painted.scheme, habits)
    return Amounts(painted, habits, laid, batches, pots, order)


def _ramps_in_order(painted: Painted, order: Sequence[int]) -> tuple[Ramp, ...]:
    """The ramps in use, each where the first of its areas is painted."""
    used = (painted.ramp_of_area[k] for k in order)
    return tuple({ramp.name: ramp for ramp in used if ramp is not None}.values())


def _batch_report(batch: Batch, pots: Mapping[Any, str], habits: Habits) -> dict[str, Any]:
    """One mix for JSON."""
    return {
        "number": batch.number,
        "uses": [{"ramp": ramp, "step": step} for ramp, step in batch.uses],
        "parts": {pots.get(word, word): count for word, count in batch.written.items()},
        "from_pots": dict(batch.recipe),
        "recipes": round(batch.times, 4),
        "drops": round(batch.drops, 4),
        "ml": round(batch.drops * habits.drop_ml, 4),
        "needed_drops": round(batch.needed, 4),
        "dabs": batch.dabs,
        "for_other_mixes_drops": round(batch.taken, 4),
        "left_drops": round(batch.left, 4),
    }
