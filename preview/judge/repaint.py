"""A painted sculpt with one of its ramps in another form; light and tones stay."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from preview.paint.painted import Painted
from preview.paint.table import PaintTable, paint_table
from preview.ramp.drop_changes import with_ramp
from preview.ramp.ramp import Ramp


def repainted(painted: Painted, ramp: Ramp, illuminant: str) -> Painted:
    """The same sculpt in the scheme with that ramp in place of its namesake.

    Parameters
    ----------
    illuminant : the lamp under which the sculpt's table was made.
    """
    wearing = areas_in(painted, ramp.name)
    primer = painted.scheme.primer.reflectance
    one = paint_table([ramp], primer, illuminant)
    table = painted.table
    return replace(
        painted,
        scheme=with_ramp(painted.scheme, ramp),
        ramp_of_area=tuple(
            ramp if used is not None and used.name == ramp.name else used
            for used in painted.ramp_of_area
        ),
        table=PaintTable(
            linear=_with_rows(table.linear, wearing, one.linear),
            luminance=_with_rows(table.luminance, wearing, one.luminance),
            lab=_with_rows(table.lab, wearing, one.lab),
            finish=table.finish,
        ),
    )


def areas_in(painted: Painted, ramp: str) -> NDArray[np.int64]:
    """Indices of the areas that wear a ramp."""
    return np.flatnonzero([used is not None and used.name == ramp for used in painted.ramp_of_area])


def _with_rows(
    table: NDArray[np.float32], areas: NDArray[np.int64], rows: NDArray[np.float32]
) -> NDArray[np.float32]:
    """A table with other rows for some areas."""
    changed = table.copy()
    changed[areas] = rows
    return changed
