"""Each area alone: its paint, ghosts around it, letters where shadow and highlight sit."""

from __future__ import annotations

import numpy as np

from preview.guide.guide import Guide


def test_an_area_alone_shows_its_paint_and_ghosts(guide: Guide) -> None:
    assert set(guide.alone) == set(guide.letters)
    view = guide.alone["post"]
    colourful = np.ptp(view.picture.astype(int), axis=2) > 12
    assert 0.02 < colourful.mean() < 0.9
    groups = {mark.group for mark in view.marks}
    assert groups == {"shadow", "highlight"}
    at = {mark.group: mark.y for mark in view.marks}
    # Light falls from above.
    assert at["highlight"] < at["shadow"]
    assert guide.alone["ground left bare"].marks == ()
