"""A sculpt found out once is found again, never wrongly, and its loss costs time only."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from preview.areas.cache import sculpt_kept, sculpt_key
from preview.areas.load import load_sculpt, sculpt_from_soup
from preview.areas.placing import Wish
from preview.areas.sculpt import Sculpt
from preview.areas.soup import Labels, Soup
from preview.kept import SWITCH
from preview.shipped import shipped
from tests.sculpts import sphere_mesh


@pytest.fixture
def soup() -> Soup:
    vertices, faces = sphere_mesh(16.0, 2)
    half = (np.asarray(vertices)[faces].mean(axis=1)[:, 2] > 0).astype(np.int32)
    label = Labels("groups", ("keel", "deck"), half)
    count = len(faces)
    return Soup(np.asarray(vertices, np.float32), faces, np.arange(count), count, (label,), "mm")


class Maker:
    """Makes the sculpt, and counts how often."""

    def __init__(self, soup: Soup, wish: Wish) -> None:
        self.count, self._soup, self._wish = 0, soup, wish

    def __call__(self) -> Sculpt:
        self.count += 1
        return sculpt_from_soup("buoy", self._soup, self._wish)


def same(one: Sculpt, other: Sculpt) -> bool:
    for field in fields(Sculpt):
        a, b = getattr(one, field.name), getattr(other, field.name)
        if isinstance(a, np.ndarray):
            if a.dtype != b.dtype or not np.array_equal(a, b):
                return False
        elif a != b:
            return False
    return True


def test_the_second_time_comes_from_the_cache_and_is_the_same(soup: Soup, tmp_path: Path) -> None:
    make = Maker(soup, Wish())
    first = sculpt_kept("buoy", soup, Wish(), make, tmp_path)
    second = sculpt_kept("buoy", soup, Wish(), make, tmp_path)
    assert make.count == 1
    assert same(first, second)


def test_all_that_a_sculpt_is_made_of_changes_the_entry(soup: Soup) -> None:
    moved = soup.vertices.copy()
    moved[3, 1] = np.nextafter(moved[3, 1], np.float32(99))
    (label,) = soup.labels
    others = [
        replace(soup, vertices=moved),
        replace(soup, faces=soup.faces[::-1].copy()),
        replace(soup, labels=(replace(label, names=("keel", "mast")),)),
        replace(soup, labels=(replace(label, of_face=1 - label.of_face),)),
        replace(soup, unit="inch"),
        replace(soup, up="y"),
        replace(soup, notes=("left out a face",)),
        replace(soup, warnings=("cut off",)),
    ]
    keys = {sculpt_key("buoy", one, Wish()) for one in (soup, *others)}
    keys |= {
        sculpt_key("buoy", soup, wish)
        for wish in (Wish("cm"), Wish("", "y"), Wish("", "", 40), Wish(turn_deg=90))
    }
    keys.add(sculpt_key("other", soup, Wish()))
    assert len(keys) == len(others) + 6


@pytest.mark.parametrize("harm", ["cut short", "nonsense", "no faces", "wrong area", "not said"])
def test_a_broken_entry_is_made_anew(soup: Soup, tmp_path: Path, harm: str) -> None:
    make = Maker(soup, Wish())
    good = sculpt_kept("buoy", soup, Wish(), make, tmp_path)
    (entry,) = tmp_path.glob("sculpt-*.npz")
    with np.load(entry) as held:
        arrays = {key: held[key] for key in held.files}
    if harm == "cut short":
        entry.write_bytes(entry.read_bytes()[:2000])
    elif harm == "nonsense":
        entry.write_bytes(b"not an archive at all")
    else:
        change = {
            "no faces": {"faces": arrays["faces"][:0]},
            "wrong area": {"area": arrays["area"] + 7},
            "not said": {"said": np.array("not JSON")},
        }
        with entry.open("wb") as file:
            np.savez(file, **{**arrays, **change[harm]})
    assert same(sculpt_kept("buoy", soup, Wish(), make, tmp_path), good)
    assert make.count == 2


def test_loading_twice_is_the_same_with_and_without_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mesh = shipped("meshes", "keeper-single.stl")
    monkeypatch.setenv(SWITCH, str(tmp_path))
    first, second = load_sculpt(mesh), load_sculpt(mesh)
    assert len(list(tmp_path.glob("sculpt-*.npz"))) == 1
    monkeypatch.setenv(SWITCH, "off")
    assert same(first, second)
    assert same(first, load_sculpt(mesh))
