"""The areas that a scheme names against the areas that a mesh has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from preview.errors import Fault, SchemeFault, choices_fix, nearest
from preview.ramp.ramp import Ramp
from preview.ramp.reading import Place
from preview.ramp.scheme import Scheme

MOST_LISTED = 24


@dataclass(frozen=True, eq=False)
class Matched:
    """Which ramp each area of a mesh takes.

    ramp_of_area : one per area of the mesh, in its order; None stays in bare primer.
    notes : one plain sentence per thing worth saying, such as areas left in bare primer.
    """

    ramp_of_area: tuple[Ramp | None, ...]
    notes: tuple[str, ...] = ()


def match_areas(scheme: Scheme, area_names: Sequence[str]) -> Matched:
    """One ramp, or None for bare primer, per area of a mesh.

    Parameters
    ----------
    scheme : its areas and its `elsewhere` choose the ramps.
    area_names : of the mesh, in the mesh's order.

    Raises
    ------
    SchemeFault : the scheme names areas that the mesh does not have; all of them at once, each
        with the nearest area of the mesh.
    """
    faults = [
        Fault(
            f'the mesh has no area "{area}"',
            Place(scheme.path.name).at("areas").at(area).where,
            _near(area, area_names),
        )
        for area in scheme.areas
        if area not in area_names
    ]
    if faults:
        raise SchemeFault.of(faults)
    names = [scheme.areas.get(area, scheme.elsewhere) for area in area_names]
    bare = [area for area, ramp in zip(area_names, names, strict=True) if ramp is None]
    return Matched(
        tuple(None if name is None else scheme.ramps[name] for name in names),
        (_bare_note(bare, scheme.primer.name),) if bare else (),
    )


def _near(area: str, area_names: Sequence[str]) -> str:
    """The nearest area of the mesh; all of them only where they are few."""
    if len(area_names) <= MOST_LISTED:
        return choices_fix(area, area_names)
    like = nearest(area, area_names)
    listed = "fourpot areas lists them all"
    return f'did you mean "{like}"? {listed}' if like else listed


def _bare_note(bare: Sequence[str], primer: str) -> str:
    """The areas that no ramp covers, in one sentence."""
    stay = "stays" if len(bare) == 1 else "stay"
    return f"{', '.join(bare)} {stay} in bare {primer} primer: the scheme names no ramp for it"
