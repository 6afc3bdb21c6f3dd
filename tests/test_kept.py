"""Entries damaged in any way are as good as none."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from preview.kept import found, keep, key_of

ARRAYS = {"tone": np.linspace(0, 1, 500, dtype=np.float32), "face": np.arange(90).reshape(30, 3)}


@pytest.fixture
def entry(tmp_path: Path) -> Path:
    keep(tmp_path, "look-" + "a" * 32, ARRAYS)
    return tmp_path / ("look-" + "a" * 32 + ".npz")


def test_what_was_kept_is_found(entry: Path) -> None:
    held = found(entry.parent, entry.stem)
    assert held is not None
    assert set(held) == set(ARRAYS)
    assert all(np.array_equal(held[name], ARRAYS[name]) for name in ARRAYS)


def test_damage_anywhere_is_survived(entry: Path) -> None:
    whole = entry.read_bytes()
    random = np.random.default_rng(11)
    lost = 0
    for _ in range(400):
        harmed = np.frombuffer(whole, np.uint8).copy()
        at = random.integers(len(harmed), size=3)
        harmed[at] = random.integers(256, size=3)
        entry.write_bytes(harmed.tobytes()[: random.choice([len(whole), at[0]])])
        lost += found(entry.parent, entry.stem) is None
    assert lost > 200


def test_an_array_instead_of_an_archive_is_no_entry(entry: Path) -> None:
    with entry.open("wb") as file:
        np.save(file, ARRAYS["tone"])
    assert found(entry.parent, entry.stem) is None


def test_a_key_tells_settings_shapes_and_kinds_apart() -> None:
    array = np.arange(6, dtype=np.int32)
    keys = {
        key_of(1, array),
        key_of(2, array),
        key_of(1, array.reshape(2, 3)),
        key_of(1, array.view(np.float32)),
        key_of(1, array, array),
    }
    assert len(keys) == 5
