"""Baked light is found again, never wrongly, and its loss costs time only."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from preview import kept
from preview.areas.sculpt import Sculpt
from preview.kept import cache_folder
from preview.light import cache
from preview.light.bake import Part
from preview.light.cache import baked
from preview.light.lightmap import LightMap, Rig
from tests.sculpts import sculpt_of, sphere_mesh

RIG = Rig("r", sky=1.0, key=0.5, recess=0.3)


@pytest.fixture
def ball() -> Sculpt:
    return sculpt_of(*sphere_mesh(10.0, 2))


def made_up(sculpt: Sculpt, rig: Rig) -> LightMap:
    """Levels that stand for a bake, which would take longer."""
    rng = np.random.default_rng(round(rig.key_azimuth_deg))
    return LightMap(*rng.random((4, len(sculpt.faces)), dtype=np.float32))


@pytest.fixture
def bakes(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, ...]]:
    """The terms of every bake that really happens."""
    done: list[tuple[str, ...]] = []

    def counting(part: Part, sculpt: Sculpt, rig: Rig, *rest: object) -> dict[str, np.ndarray]:
        done.append(part.terms)
        return {term: getattr(made_up(sculpt, rig), term) for term in part.terms}

    monkeypatch.setattr(cache, "bake_part", counting)
    return done


def same(a: LightMap, b: LightMap) -> bool:
    return all(
        np.array_equal(getattr(a, n), getattr(b, n)) for n in ("sky", "key", "recess", "edge")
    )


def test_the_second_time_comes_from_the_cache(
    ball: Sculpt, bakes: list[tuple[str, ...]], tmp_path: Path
) -> None:
    first = baked(ball, RIG, folder=tmp_path / "new")
    second = baked(ball, RIG, folder=tmp_path / "new")
    assert len(bakes) == 3
    assert same(first, second)


def test_weights_name_and_spread_bake_nothing_anew(
    ball: Sculpt, bakes: list[tuple[str, ...]], tmp_path: Path
) -> None:
    baked(ball, RIG, folder=tmp_path)
    other = Rig("other", sky=0.1, key=2.0, recess=0.0, edge=1.0, spread=0.9)
    baked(ball, other, folder=tmp_path)
    assert len(bakes) == 3


@pytest.mark.parametrize(
    ("change", "terms"),
    [
        ({"key_azimuth_deg": 31.0}, ("key",)),
        ({"key_elevation_deg": 54.0}, ("key",)),
        ({"relief_mm": 0.36}, ("recess", "edge")),
    ],
)
def test_only_what_a_setting_reaches_is_baked_anew(
    ball: Sculpt,
    bakes: list[tuple[str, ...]],
    tmp_path: Path,
    change: dict[str, float],
    terms: tuple[str, ...],
) -> None:
    baked(ball, RIG, folder=tmp_path)
    baked(ball, replace(RIG, **change), folder=tmp_path)
    assert bakes[3:] == [terms]


def test_another_mesh_is_baked_anew(
    ball: Sculpt, bakes: list[tuple[str, ...]], tmp_path: Path
) -> None:
    moved = ball.vertices.copy()
    moved[3, 1] = np.nextafter(moved[3, 1], np.float32(99))
    turned = ball.faces[::-1].copy()
    hidden = ball.exposed.copy()
    hidden[5] = False
    for sculpt in (
        ball,
        replace(ball, vertices=moved),
        replace(ball, faces=turned),
        replace(ball, exposed=hidden),
    ):
        baked(sculpt, RIG, folder=tmp_path)
    assert len(bakes) == 4 * 3


def test_areas_do_not_matter_so_a_new_mark_bakes_nothing(
    ball: Sculpt, bakes: list[tuple[str, ...]], tmp_path: Path
) -> None:
    area = np.arange(len(ball.faces), dtype=np.int32) % 2
    for sculpt in (ball, replace(ball, area=area, area_names=("a", "b"))):
        baked(sculpt, RIG, folder=tmp_path)
    assert len(bakes) == 3


@pytest.mark.parametrize(
    "harm", ["cut short", "nonsense", "empty", "of another mesh", "not levels"]
)
def test_a_broken_entry_is_baked_anew(
    ball: Sculpt, bakes: list[tuple[str, ...]], tmp_path: Path, harm: str
) -> None:
    good = baked(ball, RIG, folder=tmp_path)
    entry = max(tmp_path.glob("light-*.npz"), key=lambda path: path.stat().st_size)
    whole = entry.read_bytes()
    if harm == "cut short":
        entry.write_bytes(whole[: len(whole) // 2])
    elif harm == "nonsense":
        entry.write_bytes(b"not an archive at all")
    elif harm == "empty":
        entry.write_bytes(b"")
    else:
        count = 7 if harm == "of another mesh" else len(ball.faces)
        wrong = np.full(count, 3.0, np.float32)
        with entry.open("wb") as file:
            np.savez(file, recess=wrong, edge=wrong)
    assert same(baked(ball, RIG, folder=tmp_path), good)
    assert len(bakes) == 4
    assert same(baked(ball, RIG, folder=tmp_path), good)
    assert len(bakes) == 4


def test_a_folder_that_cannot_be_made_is_done_without(
    ball: Sculpt, bakes: list[tuple[str, ...]], tmp_path: Path
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert same(baked(ball, RIG, folder=blocked / "below"), made_up(ball, RIG))
    assert len(bakes) == 3


def test_the_oldest_entries_of_a_kind_go_first_and_nothing_else_is_touched(tmp_path: Path) -> None:
    ours = {letter: f"light-{letter * 32}.npz" for letter in "abcd"}
    others = ["look-" + "e" * 32 + ".npz", "my-measurements.npz", f".{ours['a']}", "light-1.npz"]
    for age, name in enumerate([*ours.values(), *others]):
        (tmp_path / name).write_bytes(bytes(1000))
        os.utime(tmp_path / name, (1_000_000 - age, 1_000_000 - age))
    kept.bound(tmp_path, {"light": 2500, "look": 1500, "sculpt": 0})
    assert {p.name for p in tmp_path.iterdir()} == {ours["a"], ours["b"], *others}


def test_the_environment_moves_it_or_turns_it_off(
    ball: Sculpt, bakes: list[tuple[str, ...]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(kept.SWITCH, str(tmp_path))
    assert cache_folder() == tmp_path
    baked(ball, RIG)
    assert list(tmp_path.glob("light-*.npz"))
    monkeypatch.setenv(kept.SWITCH, "off")
    assert cache_folder() is None
    baked(ball, RIG)
    assert len(bakes) == 6
    monkeypatch.delenv(kept.SWITCH)
    assert "fourpot" in str(cache_folder())
