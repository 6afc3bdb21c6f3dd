"""What a view saw is found again, never wrongly, and gives the same picture."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import preview.flow as flow
from preview.areas.sculpt import Sculpt
from preview.flow import Stand, paint_sculpt
from preview.kept import SWITCH
from preview.paint.lamp import DAYLIGHT, Lamp
from preview.paint.look import paint_look
from preview.paint.painted import Painted
from preview.paint.sighted import look_kept, name_of, sight_key
from preview.paint.table import colour_travel
from preview.ramp.scheme import Scheme
from preview.render.view import View

VIEW = View((0.0, 0.0, 0.0), 20.0, 30.0, math.inf, 0.2, 120, 120, "front")


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(SWITCH, str(tmp_path))
    return tmp_path


@pytest.fixture
def painted(ball: Sculpt, layered: Scheme, kept: Path) -> Painted:
    return paint_sculpt(Stand(ball), layered)


@pytest.fixture
def looks(monkeypatch: pytest.MonkeyPatch) -> list[View]:
    """Every view that was really looked at."""
    seen: list[View] = []
    real = flow.see_adaptive

    def counting(renderer, view, *rest, **more):
        seen.append(view)
        return real(renderer, view, *rest, **more)

    monkeypatch.setattr(flow, "see_adaptive", counting)
    return seen


def picture(painted: Painted, lamp: Lamp | None = DAYLIGHT, view: View = VIEW) -> bytes:
    look = Stand(painted.sculpt).look(view, [painted], lamp)
    return paint_look(look, painted.table, lamp).premultiplied.tobytes()


@pytest.mark.parametrize("lamp", [DAYLIGHT, None])
def test_the_second_picture_is_the_same_without_a_new_look(
    painted: Painted, looks: list[View], lamp: Lamp | None
) -> None:
    assert picture(painted, lamp) == picture(painted, lamp)
    assert len(looks) == 1


def test_new_colours_need_no_new_look(painted: Painted, looks: list[View]) -> None:
    before = picture(painted)
    dim = replace(painted.table, linear=painted.table.linear * np.float32(0.5))
    after = picture(replace(painted, table=dim))
    assert len(looks) == 1
    assert before != after


def test_another_lamp_spectrum_needs_no_new_look_but_another_direction_does(
    painted: Painted, looks: list[View]
) -> None:
    for lamp in (DAYLIGHT, replace(DAYLIGHT, illuminant="A"), replace(DAYLIGHT, right_deg=20.0)):
        picture(painted, lamp)
    assert len(looks) == 2


def test_all_that_reaches_what_is_seen_changes_the_key(painted: Painted) -> None:
    sculpt, tone = painted.sculpt, painted.corner_tone
    travel = colour_travel([painted.ramp_of_area])
    moved = sculpt.vertices.copy()
    moved[3, 1] = np.nextafter(moved[3, 1], np.float32(99))
    brighter = tone.copy()
    brighter[5, 2] = np.nextafter(brighter[5, 2], np.float32(2))
    keys = {
        sight_key(sculpt, tone, travel, "scan"),
        sight_key(replace(sculpt, vertices=moved), tone, travel, "scan"),
        sight_key(replace(sculpt, area=1 - sculpt.area), tone, travel, "scan"),
        sight_key(sculpt, brighter, travel, "scan"),
        sight_key(sculpt, tone, travel + np.float32(1), "scan"),
        sight_key(sculpt, tone, travel, "rays"),
    }
    assert len(keys) == 6
    names = {name_of("k", view, None) for view in (VIEW, replace(VIEW, azimuth_deg=21.0))}
    assert len(names | {name_of("k", VIEW, DAYLIGHT)}) == 3


@pytest.mark.parametrize("harm", ["cut short", "of another mesh", "of another view", "not numbers"])
def test_a_broken_entry_is_looked_at_anew(
    painted: Painted, looks: list[View], kept: Path, harm: str
) -> None:
    good = picture(painted)
    (entry,) = kept.glob("look-*.npz")
    with np.load(entry) as held:
        arrays = {key: held[key] for key in held.files}
    change = {
        "of another mesh": {"face": arrays["face"] + len(painted.sculpt.faces)},
        "of another view": {"pixel": arrays["pixel"] + 120 * 120},
        "not numbers": {"bary": arrays["bary"] * np.float32(np.nan)},
    }
    if harm == "cut short":
        entry.write_bytes(entry.read_bytes()[:3000])
    else:
        with entry.open("wb") as file:
            np.savez(file, **{**arrays, **change[harm]})
    assert look_kept(kept, entry.stem, VIEW, len(painted.sculpt.faces)) is None
    assert picture(painted) == good
    assert len(looks) == 2


def test_a_very_large_view_is_not_kept(
    painted: Painted, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("preview.paint.sighted.MOST_SAMPLES", 100)
    picture(painted)
    assert list(kept.glob("look-*.npz")) == []
