"""Whole-drop neighbours of a step, and what they make of a ramp."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from preview.errors import SchemeFault
from preview.ramp.drop_changes import DropChange, RampChanges
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from preview.ramp.write import scheme_text
from preview.shipped import shipped


@pytest.fixture(scope="module")
def watch() -> Scheme:
    """A shipped scheme."""
    return load_scheme(shipped("schemes", "storm-watch.toml"))


@pytest.mark.parametrize("drops", [1, 2, 3])
def test_every_neighbour_once_and_no_other(watch: Scheme, drops: int) -> None:
    ramp = watch.ramps["oilskin"]
    found = list(RampChanges(watch, ramp).changes(drops))
    keys = [(c.step, tuple(sorted(c.after.items()))) for c in found]
    assert len(set(keys)) == len(keys)
    for change in found:
        assert change.changed == drops
        assert change.before == ramp.step(change.step).drops
        assert all(count >= 1 for count in change.after.values())

    # Counted another way, for the step whose words are four pots alone.
    step = ramp.steps[0]
    words = list(watch.pots)
    assert set(step.drops) <= set(words)
    now = [step.drops.get(word, 0) for word in words]
    expected = 0
    for index in range(7 ** len(words)):
        moves = [index // 7**k % 7 - 3 for k in range(len(words))]
        after = [a + b for a, b in zip(now, moves, strict=True)]
        if sum(map(abs, moves)) != drops or min(after) < 0 or not 0 < sum(after) <= 12:
            continue
        scale = math.gcd(*after)
        expected += [v // scale for v in after] != [v // math.gcd(*now) for v in now]
    assert sum(change.step == step.name for change in found) == expected


def test_steps_that_build_on_the_changed_one_change_with_it(watch: Scheme) -> None:
    changes = RampChanges(watch, watch.ramps["wool"])
    change = DropChange("wool", "midtone", {"cold": 1, "pale": 3}, {"cold": 2, "pale": 3})
    ramp = changes.apply(change)
    for name in ("shadow", "midtone", "highlight1"):
        assert ramp.step(name).mix.lab[0] < watch.ramps["wool"].step(name).mix.lab[0]
    assert ramp.step("midtone").drops == {"cold": 2, "pale": 3}
    assert changes.rises(watch.ramps["wool"])
    darker = DropChange("wool", "midtone", {"cold": 1, "pale": 3}, {"cold": 4})
    assert not changes.rises(changes.apply(darker)) or darker.changed > 3


@pytest.mark.parametrize(
    "name", ["storm-watch", "dog-watch", "low-tide", "sea-thrift", "last-light"]
)
def test_any_change_of_a_shipped_scheme_is_written_so_that_it_loads(
    name: str, tmp_path: Path
) -> None:
    path = shipped("schemes", f"{name}.toml")
    scheme = load_scheme(path)
    for ramp in scheme.ramps.values():
        changes = RampChanges(scheme, ramp)
        for change in list(changes.changes(1))[::11]:
            text = scheme_text(scheme, [change], tmp_path)
            file = tmp_path / "changed.toml"
            file.write_text(text, encoding="utf-8")
            again = load_scheme(file)
            assert again.ramps[ramp.name].step(change.step).drops == change.after
            assert again.ramps[ramp.name].step(change.step).glaze_coats == (
                ramp.step(change.step).glaze_coats
            )
            expected = changes.apply(change).step(change.step).mix.recipe
            assert again.ramps[ramp.name].step(change.step).mix.recipe == expected
            for mesh in again.meshes:
                assert mesh.resolve() == scheme.meshes[0].resolve()


def test_a_rack_beside_the_scheme_is_pointed_at(tmp_path: Path) -> None:
    home, away = tmp_path / "home", tmp_path / "away"
    home.mkdir(), away.mkdir()
    rack = shipped("shared", "racks") / "harbour.toml"
    (home / "mine.toml").write_text(rack.read_text(encoding="utf-8"), encoding="utf-8")
    text = shipped("schemes", "low-tide.toml").read_text(encoding="utf-8")
    (home / "boat.toml").write_text(text.replace('"harbour"', '"mine"'), encoding="utf-8")
    scheme = load_scheme(home / "boat.toml")
    ramp = next(iter(scheme.ramps.values()))
    change = next(RampChanges(scheme, ramp).changes(1))
    moved = away / "boat.toml"
    moved.write_text(scheme_text(scheme, [change], away), encoding="utf-8")
    assert load_scheme(moved).rack.name == scheme.rack.name


def test_a_step_that_is_not_there_is_told(watch: Scheme, tmp_path: Path) -> None:
    change = DropChange("oilskin", "deep", {"cold": 1}, {"cold": 2})
    with pytest.raises(SchemeFault, match="no such step"):
        scheme_text(watch, [change], tmp_path)
