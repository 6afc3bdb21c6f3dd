"""What a `Stand` remembers from one scheme to the next is only ever that of the same paint."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import permutations

import pytest

from preview.areas.sculpt import Sculpt
from preview.flow import Stand, paint_sculpt
from preview.light.lightmap import Rig
from preview.paint.lamp import DAYLIGHT
from preview.ramp.scheme import Scheme
from preview.render.view import View

VIEW = View((0.0, 0.0, 0.0), 20.0, 30.0, math.inf, 0.25, 100, 100, "front")
RIGS = (Rig("sky", sky=1.0), Rig("low", sky=0.3, key=1.0, key_elevation_deg=20.0))


@pytest.fixture
def schemes(layered: Scheme) -> tuple[Scheme, Scheme]:
    """Two with hard borders between their steps, at other tones."""
    ramp = layered.ramps["plain"]
    later = tuple(replace(step, begins=0.9 * step.begins + 0.05) for step in ramp.steps[1:])
    moved = replace(ramp, steps=(ramp.steps[0], *later))
    return layered, replace(layered, ramps={"plain": moved})


def _shown(stand: Stand, rig: Rig, *schemes: Scheme) -> tuple[bytes, ...]:
    """Tone and corner tone of the schemes under a rig, and a look at them, as bytes."""
    painted = [paint_sculpt(stand, scheme, rig=rig) for scheme in schemes]
    look = stand.look(VIEW, painted, DAYLIGHT)
    assert look.lit is not None
    seen = look.seen
    arrays = (
        *(array for one in painted for array in (one.tone, one.corner_tone)),
        *(seen.pixel, seen.weight, seen.face, seen.bary, seen.depth),
        *(look.row, look.area, look.lit.diffuse, look.lit.shaded),
    )
    return tuple(array.tobytes() for array in arrays)


def test_a_stand_that_has_shown_other_paint_shows_what_a_fresh_one_shows(
    ball: Sculpt, schemes: tuple[Scheme, Scheme], monkeypatch: pytest.MonkeyPatch
) -> None:
    # No look comes from the cache; raw light may.
    monkeypatch.setattr("preview.paint.sighted.MOST_SAMPLES", 0)
    one, other = schemes
    cases = [(RIGS[0], (one,)), (RIGS[0], (other,)), (RIGS[1], (other,)), (RIGS[1], (one, other))]
    fresh = [_shown(Stand(ball, "scan"), rig, *chosen) for rig, chosen in cases]
    assert len(set(fresh)) == len(cases)
    for pair in permutations(zip(cases, fresh, strict=True), 2):
        stand = Stand(ball, "scan")
        for (rig, chosen), shown in pair:
            assert _shown(stand, rig, *chosen) == shown
