"""Recipes in words: as the scheme writes them, and only as many drops as one counts."""

from __future__ import annotations

from pathlib import Path

import pytest

from preview.present.palette import drops_as_written, mark_of_step
from preview.present.words import counted_areas
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from preview.ramp.words import step_in_words

SCHEME = """
rack = "harbour"
[pots]
warm = "buoy red"
cold = "deep sea blue"
pale = "sailcloth"
[ramps.coat]
shadow = { midtone = 5, cold = 3 }
midtone = { warm = 1, cold = 1, pale = 1 }
highlight = [{ midtone = 2, pale = 1 }, { highlight1 = 9, midtone = 2 }]
[areas]
coat = "coat"
"""


@pytest.fixture
def scheme(tmp_path: Path) -> Scheme:
    path = tmp_path / "coat.toml"
    path.write_text(SCHEME, encoding="utf-8")
    return load_scheme(path)


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("midtone", "1 buoy red + 1 deep sea blue + 1 sailcloth"),
        ("highlight1", "2 midtone + 1 sailcloth "
         "(all from pots: 2 buoy red + 2 deep sea blue + 5 sailcloth)"),
        ("shadow", "5 midtone + 3 deep sea blue"),
        ("highlight2", "9 highlight 1 + 2 midtone"),
    ],
)  # fmt: skip
def test_a_recipe_is_told_as_written(scheme: Scheme, step: str, words: str) -> None:
    assert drops_as_written(scheme.ramps["coat"].step(step), scheme.pots) == words


def test_every_step_has_its_own_mark_and_pots_have_none() -> None:
    words = ["deep", "shadow", "midtone", "highlight1", "highlight2"]
    assert [mark_of_step(word, 2) for word in words] == ["D", "S", "M", "H1", "H2"]
    assert [mark_of_step(word, 1) for word in ("highlight", "highlight1")] == ["H", "H"]
    assert [mark_of_step(word, 2) for word in ("warm", "dark", "metal")] == ["", "", ""]


def test_counts_and_steps_read_as_people_write_them() -> None:
    assert [counted_areas(count) for count in (1, 2)] == ["1 area", "2 areas"]
    assert [step_in_words(name) for name in ("highlight1", "shadow")] == ["highlight 1", "shadow"]
