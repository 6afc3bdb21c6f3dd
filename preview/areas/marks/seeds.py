"""Where areas begin to grow: named numbers, growing marks, lines between places, images."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import is_part_of
from preview.areas.marks.model import POINT, Mark, Marks, Settled, Spot
from preview.areas.marks.spots import (
    OFF_MIRRORED_MM,
    OFF_MM,
    mirrored,
    placed,
    told_apart,
    with_image,
)
from preview.errors import Fault, choices_fix


@dataclass(frozen=True)
class Seed:
    """A place from which an area grows: its face on the surface, and what put it there.

    between : nobody gave it; it lies on the line from one place of a mark to the next.
    reach : mm, how far its area may grow from it.
    """

    area: str
    face: int
    at: tuple[float, float, float]
    where: str
    between: bool = False
    reach: float = math.inf


def seeds_of(
    analysis: Analysis, marks: Marks, regions: Mapping[str, Spot], faults: list[Fault]
) -> list[Seed]:
    """Seeds for each number that is named and each growing mark, each face once an area.

    Images, and lines between places, give way to places that somebody gave.

    Parameters
    ----------
    analysis : of the figure, in the frame of the marks.
    marks : without pixels.
    regions : number -> middle.
    faults : what is wrong is added: unknown numbers, places off the figure, two areas on one face.
    """
    planted = _Planted(analysis, marks, regions, faults)
    for area, numbers in marks.areas.items():
        for number in numbers:
            planted.add_number(area, number)
    for mark in marks.marks:
        if mark.kind == POINT:
            planted.add_mark(mark)
    _check_shared_faces(planted.given, faults)
    return [*planted.given, *undisputed(planted.yielding, planted.given)]


def settled_seeds(analysis: Analysis, settled: Settled) -> list[Seed]:
    """A seed for each settled place that lies on the figure."""
    found = [
        _seed(analysis, area, spot, "", OFF_MM, [])
        for area, spots in settled.areas.items()
        for spot in spots
    ]
    return _there(found)


def undisputed(yielding: list[Seed], seeds: list[Seed]) -> list[Seed]:
    """Of seeds that give way to marks those on whose face none lies, nor one of another area."""
    marked = {seed.face for seed in seeds}
    areas: dict[int, set[str]] = {}
    for one in yielding:
        areas.setdefault(one.face, set()).add(one.area)
    return [i for i in yielding if i.face not in marked and len(areas[i.face]) == 1]


class _Planted:
    """Seeds so far: those that somebody gave, and those that yield to them."""

    def __init__(
        self,
        analysis: Analysis,
        marks: Marks,
        regions: Mapping[str, Spot],
        faults: list[Fault],
    ) -> None:
        self.given: list[Seed] = []
        self.yielding: list[Seed] = []
        self._analysis, self._marks, self._regions = analysis, marks, regions
        self._faults = faults

    def add_number(self, area: str, number: str) -> None:
        """A number with a name over it."""
        where = f'{self._marks.path.name}, areas."{area}", {number}'
        spot = self._regions.get(number)
        if spot is None:
            self._faults.append(_no_number(number, where, self._marks, self._regions))
            return
        seed = _seed(self._analysis, area, spot, where, OFF_MM, self._faults)
        self.given += _there([seed])
        self.yielding += _there([self._image(seed, spot)])

    def add_mark(self, mark: Mark) -> None:
        """A growing mark."""
        for copy in with_image(mark, self._marks.mirror_x) if mark.mirror else [mark]:
            off = OFF_MM if copy is mark else OFF_MIRRORED_MM
            own, images = list[Seed | None](), list[Seed | None]()
            for spot, told in told_apart(copy):
                seed = _seed(self._analysis, mark.area, spot, mark.where, off, self._faults, told)
                if seed is not None and mark.size:
                    seed = replace(seed, reach=mark.size)
                own.append(seed)
                images.append(self._image(seed, spot) if mark.mirror is None else None)
            self.given += _there(own)
            self.yielding += [*_there(images), *self._between(own), *self._between(images)]
            if None in own:
                # Of the image of what does not lie on the figure nobody needs to hear.
                break

    def _between(self, places: Sequence[Seed | None]) -> list[Seed]:
        """Seeds all along the line through places, but at the places themselves."""
        found = []
        for one, other in pairwise(places):
            if one is None or other is None:
                continue
            line = self._analysis.lines.between(one.face, other.face)
            inner = zip(line.faces[1:-1].tolist(), line.at[1:-1].tolist(), strict=True)
            for face, (x, y, z) in inner:
                found.append(replace(one, face=face, at=(x, y, z), between=True))
        return found

    def _image(self, seed: Seed | None, spot: Spot) -> Seed | None:
        """The seed on the other side, where there is surface of the shell that is alike there."""
        if seed is None or not self._marks.mirror:
            return None
        over = mirrored(spot, self._marks.mirror_x)
        image = _seed(self._analysis, seed.area, over, seed.where, OFF_MIRRORED_MM, [])
        shell, partner = self._analysis.surface.shell, self._analysis.partner
        if image is None or shell[image.face] != partner[shell[seed.face]]:
            # A lock of hair on one side alone must not name the cheek on the other.
            return None
        return replace(image, reach=seed.reach)


def _seed(
    analysis: Analysis,
    area: str,
    spot: Spot,
    where: str,
    off: float,
    faults: list[Fault],
    told: str = "",
) -> Seed | None:
    """A seed at a spot; None, and a fault, when it lies too far off.

    where : what put it there.
    told : where the fault stands, if not there.
    """
    found = placed(analysis, spot, told or where, off, faults)
    if found is None or spot.at is None:
        return None
    return Seed(area, found.face, spot.at, where)


def _there(seeds: Sequence[Seed | None]) -> list[Seed]:
    """Those that have a face."""
    return [seed for seed in seeds if seed is not None]


def _check_shared_faces(seeds: list[Seed], faults: list[Fault]) -> None:
    """Fault seeds of different areas on one face."""
    first: dict[int, Seed] = {}
    for seed in seeds:
        other = first.setdefault(seed.face, seed)
        if other.area != seed.area:
            faults.append(
                Fault(
                    f'"{seed.area}" and "{other.area}" are marked on one face',
                    f"{seed.where}; {other.where}",
                    "move one of the marks, or leave it out",
                )
            )


def _no_number(number: str, place: str, marks: Marks, regions: Mapping[str, Spot]) -> Fault:
    """A number that the proposal lacks."""
    if number in marks.split:
        parts = ", ".join(n for n in regions if is_part_of(n, number))
        return Fault(f"region {number} is split", place, f"name its parts: {parts}")
    whole = next((name for name in regions if is_part_of(number, name)), None)
    fix = f"split {whole} first: split.{whole} = 4" if whole else choices_fix(number, regions)
    return Fault(f"the proposal has no region {number}", place, fix)
