"""What the areas of a sculpt want of a set of pots: their colours, and values that differ."""

from __future__ import annotations

import numpy as np

from preview.areas.sculpt import Sculpt
from preview.judge.meeting import Meeting
from preview.optics.spectrum import Floats
from preview.palette.targets import Group, Targets, by_rule
from preview.rack.paint import Rack
from preview.ramp.aims import look_of
from preview.ramp.guess import CLOTH, group_areas
from preview.ramp.start import metal_of

# The mid-tone that a name tells, with a shadow and a highlight, counts for reach; the lightnesses
# between and beyond tell which values an area can take. L*; common practice, no source.
STEPS = (-24.0, -18.0, -12.0, -6.0, 0.0, 6.0, 12.0, 18.0, 24.0)
WANTED = (-12.0, 0.0, 12.0)
LIGHTNESS = (10.0, 95.0)


def targets_of(sculpt: Sculpt, meeting: Meeting, rack: Rack) -> Targets:
    """The colours that the names of a sculpt's areas tell, and the borders between such areas.

    Areas whose names tell nothing are cloth, which takes what there is; those of a metal that the
    rack has a metallic paint for need no mix. Where no name tells anything it is the list by rule.

    Parameters
    ----------
    sculpt : the figure.
    meeting : where its areas meet; borders count by the length that is seen.
    rack : the paints.
    """
    groups = group_areas(sculpt.area_names)
    metal, _ = metal_of(groups, rack) or (None, "")
    told = [group for group in groups if group.material not in (CLOTH, metal)]
    if not told:
        return by_rule()
    of_area = {area: number for number, group in enumerate(told) for area in group.areas}
    seen_mm = (meeting.visible_mm * meeting.view_weight).mean(axis=2).sum(axis=1)
    borders: dict[tuple[int, int], float] = {}
    for pair, length in zip(meeting.pairs, seen_mm, strict=True):
        both = sorted({of_area.get(meeting.area_names[area], -1) for area in pair} - {-1})
        if len(both) == 2 and length > 0.0:
            key = (both[0], both[1])
            borders[key] = borders.get(key, 0.0) + float(length)
    made = tuple(_group(", ".join(group.areas), look_of(group)) for group in told)
    wanted = sum(int(group.wanted.sum()) for group in made)
    return Targets(
        np.empty((0, 3)),
        f"{wanted} colours of {len(made)} kinds of areas, from their names",
        made,
        tuple((one, other, length) for (one, other), length in borders.items()),
    )


def _group(name: str, lab: Floats) -> Group:
    """A look at several lightnesses."""
    light = lab[0] + np.array(STEPS)
    kept = (light >= LIGHTNESS[0]) & (light <= LIGHTNESS[1])
    colours = np.stack([light, np.full(len(STEPS), lab[1]), np.full(len(STEPS), lab[2])], axis=1)
    return Group(name, colours[kept], np.isin(STEPS, WANTED)[kept])
