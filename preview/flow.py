"""The whole way on one screen: sculpt and scheme in, paint, pictures and verdict out.

What is costly depends on the sculpt alone and is done once, in `Stand`; a scheme then costs
a table look-up per sample.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import is_
from threading import Lock

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.judge.compared import Compared
from preview.judge.conditions import Conditions
from preview.judge.eyes import Eyes
from preview.judge.judge import Judge, Meeting, measure_neighbours
from preview.judge.verdict import Verdict
from preview.judge.views import AROUND, Around
from preview.kept import cache_folder
from preview.light.cache import baked
from preview.light.lightmap import LightMap, Rig
from preview.light.tone import corner_tone, face_tone
from preview.paint.coverage import coverage
from preview.paint.lamp import Lamp
from preview.paint.look import Look, look_at
from preview.paint.painted import Painted
from preview.paint.sighted import keep_look, look_kept, name_of, sight_key
from preview.paint.surface import Surface, surface_of
from preview.paint.table import colour_travel, paint_table
from preview.progress import Progress, silent
from preview.ramp.match import match_areas
from preview.ramp.ramp import Ramp
from preview.ramp.scheme import Scheme
from preview.render.adaptive import Ways, see_adaptive, ways_of
from preview.render.choose import choose_renderer
from preview.render.framing import outline
from preview.render.view import View
from preview.shape.threads import at_once, once

_Ramps = Sequence[Ramp | None]


class Stand:
    """A sculpt put up to be painted: its rays, its renderer, its baked light.

    Parameters
    ----------
    sculpt : the figure.
    renderer : "auto", "scan", "rays" or "gl".
    progress : hears of long steps.
    """

    def __init__(self, sculpt: Sculpt, renderer: str = "auto", progress: Progress = silent) -> None:
        self.sculpt = sculpt
        self.renderer, self.renderer_why = choose_renderer(renderer, sculpt)
        self._progress = progress
        self._light: dict[Rig, LightMap] = {}
        self._rays = once(lambda: sculpt.rays)
        self._surface: Surface | None = None
        self._one_at_a_time = Lock()
        self._turn: _Turn | None = None
        self._toned: tuple[Rig, NDArray[np.float32], NDArray[np.float32]] | None = None

    @cached_property
    def outline(self) -> NDArray[np.float64]:
        """(points, 3) float64, mm: the vertices that can touch the frame of a picture."""
        return outline(self.sculpt.vertices)

    def light(self, rig: Rig) -> LightMap:
        """The raw painted light of a rig, from this run, the cache, or baked now."""
        raw = replace(rig, name="", spread=0.0)
        if raw not in self._light:
            self._light[raw] = baked(self.sculpt, raw, self._progress)
        return self._light[raw]

    def tones(self, rig: Rig) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
        """The painted light of a rig as tone per face, and at its corners; the last is kept."""
        known = self._toned
        if known is None or known[0] != rig:
            tone = face_tone(self.light(rig), rig, self.sculpt)
            known = self._toned = rig, tone, corner_tone(tone, self.sculpt)
        return known[1:]

    def surface(self, rig: Rig) -> Surface:
        """Smooth normals and openness, for the viewing lamp."""
        with self._one_at_a_time:
            if self._surface is None:
                self._surface = surface_of(self.sculpt, self.light(rig).sky)
            return self._surface

    def look(self, view: View, several: Sequence[Painted], lamp: Lamp | None) -> Look:
        """All that pictures of the schemes from `view` need; they share one painted light."""
        first = several[0]
        turn = self._turn_of(first.corner_tone, [painted.ramp_of_area for painted in several])
        folder, name = cache_folder(), name_of(turn.key, view, lamp)
        kept = look_kept(folder, name, view, len(self.sculpt.faces))
        if kept is None:
            seen = see_adaptive(self.renderer, view, self.sculpt, turn.ways())
            shaded = None
        else:
            seen, shaded = kept
        look = look_at(
            seen,
            self.sculpt.area,
            first.corner_tone,
            None if lamp is None else self.surface(first.rig),
            self._rays,
            lamp,
            shaded,
        )
        if kept is None:
            keep_look(folder, name, look)
        return look

    def _turn_of(self, tone: NDArray[np.float32], ramps: Sequence[_Ramps]) -> _Turn:
        """What all views of the painted sculpt have in common; found once for a turn of them."""
        with self._one_at_a_time:
            known = self._turn
            if known is None or not known.of(tone, ramps):
                travel = colour_travel(ramps)
                if known is None or known.tone is not tone or (known.travel != travel).any():
                    known = self._new_turn(tone, travel, ramps)
                self._turn = known = replace(known, ramps=tuple(ramps))
            return known

    def _new_turn(
        self, tone: NDArray[np.float32], travel: NDArray[np.float32], ramps: Sequence[_Ramps]
    ) -> _Turn:
        """Prepare for a turn of views."""
        drawn_by = f"{self.renderer.name} {self.renderer.driver}"
        key = sight_key(self.sculpt, tone, travel, drawn_by)
        return _Turn(
            tone, tuple(ramps), travel, key, once(lambda: ways_of(self.sculpt, tone, travel))
        )


@dataclass(frozen=True, eq=False)
class _Turn:
    """What the views of a painted sculpt have in common.

    tone, travel : as for `ways_of`.
    ramps : of each scheme one per area, from which `travel` comes.
    key : as from `sight_key`.
    ways : finds them when a view is first looked at.
    """

    tone: NDArray[np.float32]
    ramps: tuple[_Ramps, ...]
    travel: NDArray[np.float32]
    key: str
    ways: Callable[[], Ways]

    def of(self, tone: NDArray[np.float32], ramps: Sequence[_Ramps]) -> bool:
        """Whether it is that of these schemes in this painted light."""
        alike = len(ramps) == len(self.ramps) and all(map(is_, ramps, self.ramps))
        return alike and tone is self.tone


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
    tone, at_corners = stand.tones(used)
    return Painted(
        sculpt=sculpt,
        scheme=scheme,
        rig=used,
        tone=tone,
        corner_tone=at_corners,
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
    judge = judge_of(painted, (conditions,), around=around, progress=progress)
    return judge.grade(painted, conditions)


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
    return Judge.of(_meeting(painted.sculpt, conditions, around, progress), painted)


def _meeting(
    sculpt: Sculpt, conditions: Sequence[Conditions], around: Around, progress: Progress
) -> Meeting:
    """Where a sculpt's areas meet, finely enough for the nearest of the distances."""
    nearest = min(one.distance_m for one in conditions)
    return measure_neighbours(sculpt, nearest, around=around, progress=progress)


def paint_to_judge(
    stand: Stand,
    schemes: Sequence[Scheme],
    conditions: Sequence[Conditions],
    *,
    rig: Rig,
    illuminant: str,
    around: Around = AROUND,
    progress: Progress = silent,
) -> tuple[list[Painted], Judge]:
    """Put schemes on one sculpt under one painted light, with the judge that serves them all.

    The light is baked while it is measured where areas meet, and the outline found for pictures.
    """
    painted, meeting, _ = at_once(
        lambda: [paint_sculpt(stand, s, rig=rig, illuminant=illuminant) for s in schemes],
        lambda: _meeting(stand.sculpt, conditions, around, progress),
        lambda: stand.outline,
    )
    return painted, Judge.of(meeting, painted[0])


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

    The light is that of `rig`, else of the first scheme, so that only the paint differs. Only a
    scheme alone gets advice: several are set against each other, and advice takes longer than that.

    Parameters
    ----------
    conditions : under which to judge, in place of distance and light; each verdict is kept, and
        the first is the one that sheets show.
    """
    if isinstance(stand, Sculpt):
        stand = Stand(stand, progress=progress)
    chosen = tuple(conditions) or (Conditions(distance_m, lux),)
    painted, judge = paint_to_judge(
        stand,
        schemes,
        chosen,
        rig=rig or schemes[0].rig,
        illuminant=illuminant,
        around=around,
        progress=progress,
    )
    alone = len(painted) == 1
    verdicts = [tuple(judge.grade_all(one, chosen, alone)) for one in painted]
    return [Compared(p, v[0], v) for p, v in zip(painted, verdicts, strict=True)]
