"""What the areas of a figure want of a set of pots."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from preview import load_sculpt
from preview.area_targets import targets_of
from preview.areas.sculpt import Sculpt
from preview.judge.neighbours import measure_neighbours
from preview.palette.targets import by_rule
from preview.rack.load import load_rack
from preview.ramp.materials import LOOKS
from preview.shipped import shipped


def test_the_keeper_wants_what_its_areas_are_called(ball: Sculpt) -> None:
    sculpt = load_sculpt([shipped("meshes", "keeper.glb")])
    targets = targets_of(sculpt, measure_neighbours(sculpt), load_rack("harbour"))
    assert not len(targets.lab)
    by_name = {group.name: group for group in targets.groups}
    # The lantern is brass, and the rack has a brass of its own; the oilskin is cloth.
    assert {"skin", "beard", "boots", "rope"} <= set(by_name)
    assert {"lantern", "oilskin"}.isdisjoint(by_name)
    skin = by_name["skin"]
    assert any(np.allclose(lab, LOOKS["skin"][0]) for lab in skin.lab[skin.wanted])
    assert skin.wanted.sum() == 3 < len(skin.lab)
    names = list(by_name)
    touching = {frozenset((names[one], names[other])) for one, other, _ in targets.borders}
    assert frozenset(("skin", "beard")) in touching
    assert all(length > 0.0 for _, _, length in targets.borders)


def test_areas_whose_names_tell_nothing_want_the_list_by_rule(ball: Sculpt) -> None:
    told = targets_of(
        replace(ball, area_names=("part 1",)), measure_neighbours(ball), load_rack("harbour")
    )
    assert told is by_rule()
