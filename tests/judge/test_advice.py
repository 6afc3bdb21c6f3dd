"""Advice, followed, does what it says; where nothing helps, it says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.judge.advice import Border, Change, is_seen, reads, smallest_changes
from preview.judge.colours import Colours
from preview.judge.conditions import Conditions
from preview.judge.eye import ClosedFormEye
from preview.judge.grades import Grade
from preview.judge.judge import grade, measure_neighbours
from preview.judge.meeting import Meeting
from preview.judge.moved import Moved
from preview.judge.sight import sight_of
from preview.judge.verdict import Pair
from preview.judge.woven import weave
from preview.optics.cie1976_lab import lightness_from_y, y_from_lightness

Flat = Callable[..., Colours]


@pytest.fixture(scope="module")
def belted_meeting(belted: Sculpt) -> Meeting:
    """The strap around the coat, measured once."""
    return measure_neighbours(belted)


@pytest.fixture(scope="module")
def tower(bodies: SimpleNamespace) -> Sculpt:
    """Boots under a strap under a coat, all wide."""
    bands = [("boots", 0.0, 5.0), ("strap", 5.0, 9.0), ("coat", 9.0, 20.0)]
    return bodies.as_sculpt(bodies.column(4.0, bands))


def _followed(colours: Colours, sculpt: Sculpt, change: Change, by: float) -> Colours:
    """The same colours with all tones of the change's areas moved."""
    areas = [sculpt.area_names.index(name) for name in (change.name, *change.others)]
    moves = np.isin(sculpt.area, areas)
    moved = np.where(moves, lightness_from_y(colours.luminance) + by, colours.lab[:, 0])
    lab = colours.lab.copy()
    lab[:, 0] = np.clip(moved, 0.0, 100.0)
    y = np.where(moves, y_from_lightness(lab[:, 0]), colours.luminance)
    return replace(colours, luminance=y, lab=lab)


def _asked(meeting: Meeting, colours: Colours, pair: Pair, distance_m: float = 1.0) -> list[Change]:
    """The smallest changes for a pair."""
    woven = weave(meeting, colours.row, len(colours.luminance))
    sight = sight_of(meeting, colours, Conditions(distance_m), ClosedFormEye(), woven)
    names = meeting.area_names
    part, ground = names.index(pair.part), names.index(pair.ground)
    index = [sorted(both) for both in meeting.pairs.tolist()].index(sorted((part, ground)))
    size = pair.width_mm, pair.width_arcmin
    border = Border(index, part, ground, *size, pair.size < 2.0, pair.accent)
    return smallest_changes(Moved(sight, woven), border, is_seen if border.thin else reads)


def _uneven(sculpt: Sculpt, flat: Flat, **lightness: float) -> Colours:
    """Paint that turns lighter around the body, the strap's the other way than the coat's."""
    even = flat(sculpt, **lightness)
    middle = sculpt.vertices[sculpt.faces].mean(axis=1)
    turn = np.cos(np.arctan2(middle[:, 1], middle[:, 0]))
    strap = sculpt.area == sculpt.area_names.index("strap")
    lab = even.lab.copy()
    lab[:, 0] += np.where(strap, 4.0, -6.0) * turn
    return replace(even, luminance=y_from_lightness(lab[:, 0]), lab=lab)


@pytest.mark.parametrize(("strap", "coat"), [(40, 40), (45, 40), (38, 44), (30, 33), (97, 93)])
@pytest.mark.parametrize("paint", ["even", "uneven"])
def test_followed_advice_makes_it_readable_and_less_does_not(
    belted: Sculpt, belted_meeting: Meeting, flat: Flat, strap: float, coat: float, paint: str
) -> None:
    if paint == "even":
        colours = flat(belted, strap=strap, coat=coat)
    else:
        colours = _uneven(belted, flat, strap=min(strap, 85), coat=min(coat, 84))
    (pair,) = grade(belted_meeting, colours).pairs
    assert pair.grade < Grade.READABLE
    changes = _asked(belted_meeting, colours, pair)
    assert changes
    assert pair.advice.lower().startswith(str(changes[0]).lower())
    for change in changes:
        assert 0.0 <= change.to <= 100.0
        for by, enough in ((change.by, True), (change.by - np.sign(change.by), False)):
            after = grade(belted_meeting, _followed(colours, belted, change, by)).pairs[0]
            assert (after.grade >= Grade.READABLE) is enough
    assert abs(changes[0].by) == min(abs(change.by) for change in changes)


def test_says_which_way_is_shorter(belted: Sculpt, belted_meeting: Meeting, flat: Flat) -> None:
    for strap, coat, sign in ((46, 40, 1.0), (40, 46, -1.0)):
        colours = flat(belted, strap=strap, coat=coat)
        (pair,) = grade(belted_meeting, colours).pairs
        found = {c.name: np.sign(c.by) for c in _asked(belted_meeting, colours, pair)}
        assert found == {"strap": sign, "coat": -sign}


def test_never_spoils_a_pair_that_reads(tower: Sculpt, flat: Flat) -> None:
    meeting = measure_neighbours(tower)
    # Up by about 10 would lift the strap off the coat and bring it down on the boots.
    colours = flat(tower, boots=54, strap=43, coat=42)
    verdict = grade(meeting, colours)
    pair = verdict.pair_of("strap", "coat")
    assert pair is not None
    assert [p.name for p in verdict.below(Grade.READABLE)] == [pair.name]
    changes = _asked(meeting, colours, pair)
    assert changes
    for change in changes:
        assert not change.spoils
        after = grade(meeting, _followed(colours, tower, change, change.by))
        assert after.below(Grade.READABLE) == ()


def test_a_shared_ramp_is_named_and_moves_as_one(tower: Sculpt, flat: Flat) -> None:
    meeting = measure_neighbours(tower)
    even = flat(tower, boots=20, strap=43, coat=42)
    shared = replace(even, worn=("tar", "tar", "wool"))
    pair = grade(meeting, shared).pair_of("strap", "coat")
    assert pair is not None
    assert 'ramp "tar", also on boots' in pair.advice
    alike = replace(flat(tower, boots=20, strap=42, coat=42), worn=("tar", "wool", "wool"))
    pair = grade(meeting, alike).pair_of("strap", "coat")
    assert pair is not None
    assert pair.advice.startswith('Both wear the ramp "wool"')
    bare = replace(even, worn=("tar", "tar", None))
    pair = grade(meeting, bare).pair_of("strap", "coat")
    assert pair is not None
    assert "coat's" not in pair.advice


def test_words_and_numbers() -> None:
    assert str(Change("glass", 4.0, 35.0)) == "raise the glass's mid-tone by about 4 L* (to 35)"
    assert str(Change("boots", -4.0, 31.0)) == "lower the boots' mid-tone by about 4 L* (to 31)"
    spoiling = Change("boots", -4.0, 31.0, "tar", ("belt", "hat", "eyes"), ("rope on boots",))
    assert str(spoiling).endswith(
        '(to 31; ramp "tar", also on belt, hat and eyes), though rope on boots would no longer read'
    )


def test_too_thin_is_said_and_what_makes_an_accent(belted: Sculpt, flat: Flat) -> None:
    meeting = measure_neighbours(belted, 2.0)
    colours = flat(belted, strap=43, coat=40)
    (pair,) = grade(meeting, colours).pairs
    assert "Too thin at 2 m for its shape to read: " in pair.advice
    assert "takes 1.16 mm; no change of value helps" in pair.advice
    assert not pair.accent
    assert "To make it an accent, " in pair.advice
    change = _asked(meeting, colours, pair, 2.0)[0]
    (after,) = grade(meeting, _followed(colours, belted, change, change.by)).pairs
    assert after.accent
    assert after.advice.endswith("It is seen as an accent.")


@pytest.mark.parametrize("strap", range(42, 96, 6))
def test_the_flag_and_the_words_agree(belted: Sculpt, flat: Flat, strap: float) -> None:
    meeting = measure_neighbours(belted, 2.0)
    (pair,) = grade(meeting, _uneven(belted, flat, strap=min(strap, 85), coat=40)).pairs
    assert pair.accent is pair.advice.endswith("It is seen as an accent.")
