"""A pixel of a stored camera is the place on the figure that it shows."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from preview.areas.marks.model import POINT, UNSURE, Mark, Marks, Spot
from preview.render.framing import around, framing
from preview.render.pick import camera_of, view_of, with_places
from tests.sculpts import sculpt_of, sphere_mesh


def test_picked_places_project_back_onto_their_pixels() -> None:
    sculpt = sculpt_of(*sphere_mesh())
    views = around(framing(sculpt.vertices, 300, 300), (("front", 0.0), ("left", 90.0)))
    cameras = {view.name: camera_of(view) for view in views}
    pixels = ((150.0, 150.0), (100.0, 190.0))
    marks = tuple(
        Mark("a", POINT, "m", (Spot(view=view.name, pixel=pixel),))
        for view in views
        for pixel in pixels
    )
    placed = with_places(Marks(Path("m.toml"), marks=marks, views=cameras), sculpt).marks
    middle = np.array([0.0, 0.0, 15.0])
    for mark, before in zip(placed, marks, strict=True):
        spot = mark.spots[0]
        assert spot.at is not None
        assert spot.normal is not None
        xy, _ = view_of("", cameras[before.spots[0].view]).project(np.array([spot.at]))
        assert xy[0] == pytest.approx(np.array(before.spots[0].pixel) + 0.5, abs=0.02)
        outward = (np.array(spot.at) - middle) / 15.0
        assert float(np.array(spot.normal) @ outward) > 0.99


def test_each_pixel_beside_the_figure_is_a_fault_and_leaves_its_mark_unsure() -> None:
    sculpt = sculpt_of(*sphere_mesh())
    view = framing(sculpt.vertices, 300, 300)
    spots = [Spot(view="front", pixel=(1.0, 1.0)), Spot(view="front", pixel=(298.0, 2.0))]
    marks = tuple(Mark("a", POINT, f"m{k}", (spot,)) for k, spot in enumerate(spots))
    read = Marks(Path("m"), marks=marks, views={"front": camera_of(view)})
    placed = with_places(read, sculpt)
    assert [fault.where for fault in placed.faults] == ["m0", "m1"]
    assert {mark.kind for mark in placed.marks} == {UNSURE}
