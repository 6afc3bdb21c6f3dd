"""The whole judgement on bodies in flat colours."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.errors import UsageError
from preview.judge.colours import Colours
from preview.judge.grades import Grade
from preview.judge.judge import grade
from preview.judge.meeting import Meeting
from preview.judge.neighbours import measure_neighbours
from preview.judge.verdict import Verdict

Flat = Callable[..., Colours]


@pytest.fixture(scope="module")
def belted_meeting(belted: Sculpt) -> Meeting:
    """The strap on its coat, measured."""
    return measure_neighbours(belted)


def test_every_figure_of_a_simple_pair(belted: Sculpt, belted_meeting: Meeting, flat: Flat) -> None:
    verdict = grade(belted_meeting, flat(belted, coat=40.0, strap=46.0))
    (pair,) = verdict.pairs
    assert (pair.part, pair.ground) == ("strap", "coat")
    assert pair.lengths.kind == "edge"
    assert pair.lengths.edge_mm == pytest.approx(2 * 2.0 * np.pi * 4.0, rel=1e-3)
    # 0.9 mm, foreshortened by an elevation of 27 degrees, and narrower where it turns away.
    assert pair.width_mm == pytest.approx(0.9 * np.cos(np.radians(27.0)), abs=0.06)
    assert pair.width_arcmin == pytest.approx(3.438 * pair.width_mm, rel=1e-3)
    for contrast in (pair.midtones, pair.meeting):
        assert contrast.lightness_step == pytest.approx(6.0, abs=1e-6)
    assert pair.size == pytest.approx(pair.width_arcmin)
    assert pair.step < 6.0
    assert pair.grade is Grade.VISIBLE
    assert pair.readable_share == 0.0
    assert "mid-tone by about" in pair.advice
    assert verdict.readable_share == 0.0
    assert verdict.worst is Grade.VISIBLE
    assert verdict.below(Grade.READABLE) == (pair,)
    assert not verdict.below(Grade.VISIBLE)


def test_followed_advice_changes_the_verdict(
    belted: Sculpt, belted_meeting: Meeting, flat: Flat
) -> None:
    (pair,) = grade(belted_meeting, flat(belted, coat=40.0, strap=46.0)).pairs
    by = float(pair.advice.split(" by about ")[1].split(" L*")[0])
    moved = {"coat": 40.0, "strap": 46.0}
    owner = "strap" if pair.advice.startswith(("Raise the strap", "Lower the strap")) else "coat"
    moved[owner] += by if pair.advice.startswith("Raise") else -by
    (better,) = grade(belted_meeting, flat(belted, **moved)).pairs
    assert better.grade >= Grade.READABLE
    assert better.readable_share > 0.5
    assert better.advice == ""


def test_more_contrast_never_reads_worse(
    belted: Sculpt, belted_meeting: Meeting, flat: Flat
) -> None:
    verdicts = [
        grade(belted_meeting, flat(belted, coat=30.0, strap=30.0 + step))
        for step in (0.0, 1.0, 4.0, 8.0, 16.0, 32.0, 64.0)
    ]
    grades = [verdict.pairs[0].grade for verdict in verdicts]
    shares = [verdict.readable_share or 0.0 for verdict in verdicts]
    assert grades == sorted(grades)
    assert shares == sorted(shares)
    assert grades[0] is Grade.LOST
    assert shares[-1] > 0.9


def test_farther_never_reads_better(belted: Sculpt, belted_meeting: Meeting, flat: Flat) -> None:
    colours = flat(belted, coat=30.0, strap=70.0)
    verdicts = [
        grade(belted_meeting, colours, distance_m=d) for d in (0.3, 0.5, 1.0, 2.0, 4.0, 9.0, 20.0)
    ]
    grades = [verdict.pairs[0].grade for verdict in verdicts]
    assert grades == sorted(grades, reverse=True)
    assert grades[0] is Grade.STRONG
    assert grades[-1] is Grade.LOST
    assert "no change of value helps" in verdicts[3].pairs[0].advice
    assert any("thinner than half an arc minute" in note for note in verdicts[-1].notes)


def test_less_light_never_reads_better(belted: Sculpt, belted_meeting: Meeting, flat: Flat) -> None:
    colours = flat(belted, coat=20.0, strap=32.0)
    levels = [
        grade(belted_meeting, colours, lux=lux).pairs[0].visibility for lux in (20, 150, 500, 1500)
    ]
    assert levels == sorted(levels)
    dim = grade(belted_meeting, colours, lux=5.0)
    assert any("cd/m2" in note for note in dim.notes)


def _told(verdict: Verdict) -> list[tuple[object, ...]]:
    return [
        (p.part, p.ground, p.grade, p.minor, p.lengths.kind, p.advice, p.lengths.edge_mm)
        for p in verdict.pairs
    ]


@pytest.fixture(scope="module")
def statue(bodies: SimpleNamespace) -> Sculpt:
    """A lopsided figure of five areas: bands, a head in contact, an arm that stands off."""
    trunk = bodies.column(4.0, [("boots", 0.0, 4.0), ("coat", 4.0, 9.0), ("collar", 9.0, 10.0)])
    head = bodies.sphere(3.0, "head", (0.5, 0.0, 12.0), steps=40)
    arm = bodies.sphere(1.5, "hand", (5.0, -5.0, 8.0), steps=40)
    return bodies.as_sculpt([*trunk, head, arm])


COLOURS = {"boots": 22.0, "coat": 31.0, "collar": 36.0, "head": 62.0, "hand": 60.0}


@pytest.fixture(scope="module")
def statue_verdict(statue: Sculpt, flat: Flat) -> Verdict:
    return grade(measure_neighbours(statue), flat(statue, **COLOURS))


def test_kinds_of_neighbours_are_kept_apart(statue_verdict: Verdict) -> None:
    kinds = {frozenset((p.part, p.ground)): p.lengths.kind for p in statue_verdict.pairs}
    assert kinds[frozenset(("boots", "coat"))] == "edge"
    assert kinds[frozenset(("coat", "collar"))] == "edge"
    assert kinds[frozenset(("collar", "head"))] == "contact"
    assert kinds[frozenset(("hand", "coat"))] == "silhouette"


def test_worst_first(statue_verdict: Verdict) -> None:
    counted = [pair.grade for pair in statue_verdict.pairs if not pair.minor]
    assert counted == sorted(counted)
    assert counted[0] < counted[-1]
    flags = [pair.minor for pair in statue_verdict.pairs]
    assert flags == sorted(flags)
    assert statue_verdict.pairs[0].part in statue_verdict.summary


def test_order_of_areas_does_not_matter(
    statue: Sculpt, statue_verdict: Verdict, flat: Flat
) -> None:
    order = [3, 0, 4, 2, 1]
    renumbered = replace(
        statue,
        area=np.argsort(order).astype(np.int32)[statue.area],
        area_names=tuple(statue.area_names[k] for k in order),
    )
    again = grade(measure_neighbours(renumbered), flat(renumbered, **COLOURS))
    assert _told(again) == _told(statue_verdict)
    assert again.readable_share == pytest.approx(statue_verdict.readable_share)


def test_a_mirrored_figure_gets_the_same_verdict(
    statue: Sculpt, statue_verdict: Verdict, flat: Flat
) -> None:
    mirrored = replace(
        statue,
        vertices=statue.vertices * np.array([-1, 1, 1], np.float32),
        faces=np.ascontiguousarray(statue.faces[:, ::-1]),
    )
    again = grade(measure_neighbours(mirrored), flat(mirrored, **COLOURS))
    assert [t[:5] for t in _told(again)] == [t[:5] for t in _told(statue_verdict)]
    for one, other in zip(again.pairs, statue_verdict.pairs, strict=True):
        assert one.lengths.visible_mm == pytest.approx(other.lengths.visible_mm, rel=0.01, abs=0.05)
        assert one.visibility == pytest.approx(other.visibility, rel=0.03)
    assert again.readable_share == pytest.approx(statue_verdict.readable_share, abs=0.01)


def test_tones_that_meet_decide_not_mid_tones(
    belted: Sculpt, belted_meeting: Meeting, flat: Flat
) -> None:
    plain = flat(belted, coat=40.0, strap=60.0)
    # The strap's faces are as dark as the coat's, whatever its mid-tone says.
    alike = Colours(
        np.full_like(plain.luminance, plain.luminance.min()),
        np.broadcast_to(plain.lab[belted.area == 0][0], plain.lab.shape).copy(),
        plain.midtone_lab,
    )
    (pair,) = grade(belted_meeting, alike).pairs
    assert pair.midtones.lightness_step == pytest.approx(20.0)
    assert pair.meeting.lightness_step == pytest.approx(0.0, abs=1e-6)
    assert pair.grade is Grade.LOST


def test_contrast_that_changes_sign_along_the_border_is_not_averaged_away(
    belted: Sculpt, belted_meeting: Meeting, flat: Flat
) -> None:
    light, dark = flat(belted, coat=40.0, strap=60.0), flat(belted, coat=60.0, strap=40.0)
    on_left = belted.corners.mean(axis=1)[:, 0] < 0.0
    turning = Colours(
        np.where(on_left, light.luminance, dark.luminance),
        np.where(on_left[:, None], light.lab, dark.lab),
        light.midtone_lab,
    )
    (pair,) = grade(belted_meeting, turning).pairs
    assert pair.meeting.lightness_step == pytest.approx(20.0, abs=0.5)
    assert pair.grade >= Grade.READABLE


def test_a_single_area_is_said_plainly(bodies: SimpleNamespace, flat: Flat) -> None:
    alone = bodies.as_sculpt([bodies.sphere(8.0, "statue", steps=20)])
    verdict = grade(measure_neighbours(alone), flat(alone, statue=50.0))
    assert verdict.pairs == ()
    assert verdict.readable_share is None
    assert verdict.worst is None
    assert "no border to judge" in verdict.summary
    assert any("single area (statue)" in note for note in verdict.notes)
    json.dumps(verdict.as_dict(), allow_nan=False)


def test_what_no_view_shows_is_said(bodies: SimpleNamespace, flat: Flat) -> None:
    below = [
        bodies.revolved([(0.0, 0.0), (2.0, 0.0)], "trim"),
        bodies.revolved([(2.0, 0.0), (3.5, 0.0)], "coat"),
        bodies.revolved([(3.5, 0.0), (4.0, 0.0)], "sole"),
    ]
    side = bodies.revolved([(4.0, 0.0), (4.0, 8.0), (0.0, 8.0)], "coat")
    knob = bodies.sphere(2.0, "trim", (0.0, 0.0, 40.0), steps=20)
    figure = bodies.as_sculpt([*below, side, knob])
    verdict = grade(measure_neighbours(figure), flat(figure, trim=70.0, coat=40.0, sole=20.0))
    assert verdict.pairs == ()
    said = [note for note in verdict.notes if note.startswith("sole: in none of the 8 views")]
    assert len(said) == 1
    assert "hidden or smaller than their samples of" in said[0]
    shared = 2.0 * np.pi * 2.0
    assert f"trim and coat share {shared:.1f} mm of edge that no view shows; not judged." in (
        verdict.notes
    )


def test_the_verdict_as_json(statue_verdict: Verdict) -> None:
    told = json.loads(json.dumps(statue_verdict.as_dict(), allow_nan=False))
    assert told["conditions"]["distance_m"] == 1.0
    assert told["conditions"]["lux"] == 500.0
    assert told["conditions"]["light"] == "paint only, matt"
    assert len(told["pairs"]) == len(statue_verdict.pairs)
    assert told["pairs"][0]["grade"] == statue_verdict.pairs[0].grade.word
    assert any("no study" in caveat for caveat in told["caveats"])


@pytest.mark.parametrize("distance_m", [0.0, -2.0, float("nan"), float("inf"), 1e9])
@pytest.mark.parametrize("lux", [0.0, -5.0, float("nan"), 1e12])
def test_impossible_conditions_are_told_together(
    belted: Sculpt, belted_meeting: Meeting, flat: Flat, distance_m: float, lux: float
) -> None:
    with pytest.raises(UsageError) as caught:
        grade(belted_meeting, flat(belted, coat=40.0, strap=60.0), distance_m=distance_m, lux=lux)
    assert len(caught.value.faults) == 2


def test_colours_that_do_not_fit_are_refused(belted: Sculpt, flat: Flat) -> None:
    good = flat(belted, coat=40.0, strap=60.0)
    with pytest.raises(ValueError, match="do not fit"):
        Colours(good.luminance[:-1], good.lab, good.midtone_lab)
    with pytest.raises(ValueError, match=r"\[0, 1\]"):
        Colours(good.luminance * 100.0, good.lab, good.midtone_lab)


def test_the_same_pairs_count_at_every_distance(bodies: SimpleNamespace, flat: Flat) -> None:
    # The knob is 4 mm wide: 5 arc minutes at 2.75 m.
    body = bodies.as_sculpt(
        [*bodies.column(6.0, [("coat", 0.0, 20.0)]), bodies.sphere(2.0, "knob", (0.0, 0.0, 21.0))]
    )
    meeting = measure_neighbours(body, 0.8)
    colours = flat(body, coat=30.0, knob=90.0)
    near, far = (grade(meeting, colours, distance_m=d) for d in (0.8, 12.0))
    assert [p.minor for p in near.pairs] == [p.minor for p in far.pairs] == [False]
    assert far.readable_share == 0.0
    alone = grade(measure_neighbours(body, 12.0), colours)
    assert [p.minor for p in alone.pairs] == [True]
    assert alone.readable_share == 0.0
    assert alone.falls_short_of(Grade.TRACE)
    assert not alone.falls_short_of(Grade.LOST)
    assert "nothing reads" in alone.summary
