"""All that the guide shows before it is set on paper or page: amounts, letters, pictures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from preview.flow import Stand
from preview.guide.alone import AreaView, area_views
from preview.guide.amounts import Amounts
from preview.guide.sides import SideView, side_views
from preview.present.boundary_map import letters_of
from preview.progress import Progress, silent


@dataclass(frozen=True, eq=False)
class Guide:
    """The guide before it is set.

    letters : area -> its letter, as on the maps of readability.
    sides : the figure from four sides.
    alone : area -> its picture with all else as ghosts.
    """

    amounts: Amounts
    letters: Mapping[str, str]
    sides: tuple[SideView, ...]
    alone: Mapping[str, AreaView]


def guide_of(stand: Stand, amounts: Amounts, progress: Progress = silent) -> Guide:
    """Take the pictures of the guide."""
    painted = amounts.painted
    letters = letters_of(painted.sculpt)
    sides = side_views(stand, painted, [letters[name] for name in painted.sculpt.area_names])
    progress("pictures", 1, 2)
    alone = area_views(stand, painted)
    progress("pictures", 2, 2)
    return Guide(amounts, letters, tuple(sides), alone)
