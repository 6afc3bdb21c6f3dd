"""The whole way on one screen: sculpt and scheme in, paint, pictures and verdict out.

What is costly depends on the sculpt alone and is done once, in `Stand`; a scheme then costs
a table look-up per sample.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.judge.compared import Compared
from preview.judge.conditions import Conditions
from preview.judge.eyes import Eyes
from preview.judge.judge import Judge, measure_neighbours
from preview.judge.verdict import Verdict
from preview.judge.views import AROUND, Around
from preview.light.cache import baked
from preview.light.lightmap import LightMap, Rig
from preview.light.tone import corner_tone, face_tone
from preview.paint.coverage import coverage
from preview.paint.lamp import Lamp
from preview.paint.look import Look, look_at
from preview.paint.painted import Painted
from preview.paint.surface import Surface, surface_of
from preview.paint.table import paint_table
from preview.progress import Progress, silent
from preview.ramp.match import match_areas
from preview.ramp.scheme import Scheme
from preview.render.adaptive import see_adaptive
from preview.render.choose import choose_renderer
from preview.render.framing import outline
from preview.render.view import View
from preview.shape.rays import RayScene
from preview.shape.threads import begun


class Stand:
    """A sculpt put up to be painted: its rays, its renderer, its baked light.

    Parameters
    ----------
    sculpt : the figure.
    renderer : "auto", "rays" or "gl".
    progress : hears of long steps.
    """

    def __init__(self, sculpt: Sculpt, renderer: str = "auto", progress: Progress = silent) -> None:
        self.sculpt = sculpt
        # Shadows need it, but not before the first picture is taken.
        self._rays = begun(lambda: sculpt.rays)
        self.renderer, self.renderer_why = choose_renderer(renderer, sculpt)
        self._progress = progress
        self._light: dict[Rig, LightMap] = {}
        self._surface: Surface | None = None

    @property
    def scene(self) -> RayScene:
        """The sculpt prepared for rays."""
        return self._rays()

    @cached_property
    def outline(self) -> NDArray[np.float64]:
        """(points, 3) float64, mm: the vertices that can touch the frame of a picture."""
        return outline(self.sculpt.vertices)

    def light(self, rig: Rig) -> LightMap:
        """The raw painted light of a rig, from this run, the cache, or baked now."""
        raw = replace(rig, name="", spread=0.0)
        if raw not in self._light:
            self._light[raw] = baked(self.sculpt, raw, self._rays, self._progress)
        return self._light[raw]

    def surface(self, rig: Rig) -> Surface:
        """Smooth normals and openness, for the viewing lamp."""
        if self._surface is None:
            self._surface = surface_of(self.sculpt, self.light(rig).sky)
        return self._surface

    def look(self, view: View, several: Sequence[Painted], lamp: Lamp | None) -> Look:
        """All that pictures of the schemes from `view` need; they share one painted light."""
        first = several[0]
        seen = see_adaptive(
            self.renderer, view, self.sculpt, first.corner_tone, jumps=hard_edges(several)
        )
        return look_at(
            seen,
            self.sculpt.area,
            first.corner_tone,
            None if lamp is None else self.surface(first.rig),
            None if lamp is None else self.scene,
            lamp,
        )


def hard_edges(several: Sequence[Painted]) -> tuple[float, ...]:
    """The tones at which any layered ramp of the schemes changes its step, ascending."""
    ramps = [r for painted in several for r in painted.ramp_of_area if r is not None]
    return tuple(
        sorted({s.begins for r in ramps if r.edges == "layered" for s in r.steps if s.begins > 0})
    )


def paint_sculpt(
    stand: Stand | Sculpt,
    scheme: Scheme,
    *,
    rig: Rig | None = None,
    illuminant: str = "D65",
) -> Painted:
    """Put a scheme on a sculpt: tone per face, ramp colours, coverage.

    Parameters
    ----------
    stand : the sculpt, prepared or not.
    scheme : what goes where.
    rig : painted light; None takes the scheme's own.
    illuminant : the lamp over the table, one of preview.settings.LAMPS.

    Raises
    ------
    SchemeFault : the scheme names areas that the sculpt lacks.
    """
    if isinstance(stand, Sculpt):
        stand = Stand(stand)
    sculpt = stand.sculpt
    matched = match_areas(scheme, sculpt.area_names)
    used = rig or scheme.rig
    tone = face_tone(stand.light(used), used, sculpt)
    return Painted(
        sculpt=sculpt,
        scheme=scheme,
        rig=used,
        tone=tone,
        corner_tone=corner_tone(tone, sculpt),
        ramp_of_area=matched.ramp_of_area,
        table=paint_table(matched.ramp_of_area, scheme.primer.reflectance, illuminant),
        coverage=coverage(sculpt, matched.ramp_of_area, tone),
        notes=matched.notes,
    )


def judge_sculpt(
    painted: Painted,
    *,
    distance_m: float = 1.0,
    lux: float = 500.0,
    eyes: Eyes | None = None,
    around: Around = AROUND,
    progress: Progress = silent,
) -> Verdict:
    """Grade every pair of neighbouring areas as seen at the table, by the paint alone.

    Parameters
    ----------
    distance_m : from the eye to the figure, m.
    lux : light on the table, lx.
    eyes : whose; normal young ones when left out.
    around : from where the figure is seen.
    """
    conditions = Conditions(distance_m, lux, eyes=eyes or Eyes())
    several = judge_all([painted], (conditions,), around=around, progress=progress)
    return several[0][0]


def judge_of(
    painted: Painted,
    conditions: Sequence[Conditions],
    *,
    around: Around = AROUND,
    progress: Progress = silent,
) -> Judge:
    """Measure where a sculpt's areas meet, finely enough for the nearest of the distances.

    The judge serves every scheme on the sculpt under the painted light that is on it now.
    """
    sculpt = painted.sculpt
    nearest = min(one.distance_m for one in conditions)
    meeting = measure_neighbours(sculpt, nearest, around=around, progress=progress)
    return Judge.of(meeting, painted)


def judge_all(
    several: Sequence[Painted],
    conditions: Sequence[Conditions],
    *,
    around: Around = AROUND,
    progress: Progress = silent,
) -> list[list[Verdict]]:
    """A verdict per painted sculpt and conditions; all must be of one sculpt under one light.

    Where areas meet is measured once, finely enough for the nearest of the distances.
    """
    judge = judge_of(several[0], conditions, around=around, progress=progress)
    return [judge.grade_all(painted, conditions) for painted in several]


def compare_schemes(
    stand: Stand | Sculpt,
    schemes: Sequence[Scheme],
    *,
    rig: Rig | None = None,
    illuminant: str = "D65",
    distance_m: float = 1.0,
    lux: float = 500.0,
    conditions: Sequence[Conditions] = (),
    around: Around = AROUND,
    progress: Progress = silent,
) -> list[Compared]:
    """Paint and judge several schemes on one sculpt under one light.

    The light is that of `rig`, else of the first scheme, so that only the paint differs.

    Parameters
    ----------
    conditions : under which to judge, in place of distance and light; each verdict is kept, and
        the first is the one that sheets show.
    """
    if isinstance(stand, Sculpt):
        stand = Stand(stand, progress=progress)
    shared = rig or schemes[0].rig
    painted = [paint_sculpt(stand, s, rig=shared, illuminant=illuminant) for s in schemes]
    chosen = tuple(conditions) or (Conditions(distance_m, lux),)
    verdicts = judge_all(painted, chosen, around=around, progress=progress)
    return [Compared(p, v[0], tuple(v)) for p, v in zip(painted, verdicts, strict=True)]
