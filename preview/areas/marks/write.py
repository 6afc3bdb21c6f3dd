"""Marks files written: a new one from a proposal, and an old one brought up to date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from preview.areas.analysis.metric import Metric
from preview.areas.analysis.regions import Region
from preview.areas.analysis.surface import Surface
from preview.areas.marks.fit import spread_points
from preview.areas.marks.model import Camera, Fingerprint, Marks, Settled, Spot, rounded

_PLACES = 96
_MIRROR = """\
mirror = true                 # numbers and marks count on both sides; a mark may say false
"""
_HEAD = """\
# Areas of {name}. Look at sheet.png, write names over the numbers below, then run
#   fourpot areas {mesh} {file} --out DIR
# A name grows from the dots of its numbers until it meets another name; a mark puts it right
# where it went wrong. The order does not matter.

format = 1
{mirror}
[areas]
# coat = [3, 7]

[split]
# 7 = 4                       # region 7 falls into 7a, 7b, 7c, 7d

# [[mark]]
# area = "sash"
# view = "front"              # a picture of the sheet, and a pixel in it: column, row
# at = [412, 288]             # or a line along the part: [[412, 288], [430, 340], [425, 390]]
# reach = 3.0                 # mm, how far it may grow; left out, until it meets another area
#
# Instead of a view: at = [x, y, z] in mm, z is height. mirror = true marks the other side, too.
# Shapes that no crease bounds: disc = 0.4, stroke = 0.3, belt = 1.2 (through three places),
# outline = true (places are the corners of a patch), heights = [17.0, 18.5], looks_up = 40 with
# below = 3.0, shell = 5.
"""


def fingerprint_of(name: str, faces: int, surface: Surface) -> Fingerprint:
    """What a marks file keeps of its figure, so that it can be found again in another export.

    Parameters
    ----------
    name : of the figure.
    faces : how many it has itself.
    surface : the figure or its stand-in.
    """
    points, normals = spread_points(surface.vertices, surface.faces, _PLACES)
    shape = tuple(
        (rounded(at, 3), rounded(normal, 2)) for at, normal in zip(points, normals, strict=True)
    )
    return Fingerprint(
        name=name,
        faces=faces,
        mm2=round(float(surface.mm2.sum()), 3),
        height_mm=round(float(np.ptp(surface.vertices[:, 2])), 4),
        shape=shape,
    )


def new_marks_text(
    file: str,
    mesh: str,
    figure: Fingerprint,
    metric: Metric,
    count: int,
    regions: Sequence[Region],
    views: Mapping[str, Camera],
    mirror: bool = False,
) -> str:
    """A marks file for a fresh proposal, ready for names.

    Parameters
    ----------
    file, mesh : the marks file and the mesh files as one types them, for the hint at its top.
    mirror : both sides of the figure go by one number.
    """
    both = _MIRROR if mirror else ""
    head = _HEAD.format(name=figure.name, mesh=mesh, file=file, mirror=both)
    spots = {region.name: Spot(region.at, region.normal) for region in regions}
    return (
        head
        + "\n# What follows was written by fourpot; leave it as it is.\n\n"
        + _kept(figure, metric, count, spots, views)
    )


def updated_text(
    text: str,
    marks: Marks,
    figure: Fingerprint,
    metric: Metric,
    regions: Mapping[str, Spot],
    views: Mapping[str, Camera],
    settled: Settled | None = None,
) -> str:
    """A marks file's own text with pixels turned into places and its figure brought up to date.

    Comments and order stay as they are.

    Parameters
    ----------
    text : of the file that `marks` was read from.
    marks : the same, without pixels.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    for entry, mark in zip(document.get("mark", []), marks.marks, strict=True):
        if "view" in entry:
            del entry["view"]
            several = isinstance(entry["at"][0], list)
            entry["at"] = _rows([s.at for s in mark.spots if s.at], 3, several)
            entry["normal"] = _rows([s.normal for s in mark.spots if s.normal], 2, several)
    for key in ("figure", "metric", "regions", "views", "settled"):
        if key in document:
            del document[key]
    body = tomlkit.dumps(document).rstrip("\n")
    note = "# What follows was written by fourpot; leave it as it is."
    body = body.replace(note, "").rstrip("\n")
    return f"{body}\n\n{note}\n\n" + _kept(figure, metric, marks.count, regions, views, settled)


def _kept(
    figure: Fingerprint,
    metric: Metric,
    count: int,
    regions: Mapping[str, Spot],
    views: Mapping[str, Camera],
    settled: Settled | None = None,
) -> str:
    """The tables that fourpot writes itself."""
    lines = ["[metric]", f"scale = {metric.scale:.9g}"]
    for key in ("smooth", "bend", "power", "convex"):
        lines.append(f"{key} = {getattr(metric, key):.9g}")
    lines += ["", "[regions]", f"count = {count}"]
    for name, spot in regions.items():
        if spot.at is not None and spot.normal is not None:
            lines.append(f"{name} = {_row((*rounded(spot.at, 3), *rounded(spot.normal, 2)))}")
    for name, camera in views.items():
        lines += ["", f'[views."{name}"]', f"target = {_row(rounded(camera.target, 4))}"]
        lines.append(f"azimuth = {camera.azimuth:.6g}")
        lines.append(f"elevation = {camera.elevation:.6g}")
        lines.append(f"distance = {camera.distance:.9g}")
        lines.append(f"mm_per_pixel = {camera.mm_per_pixel:.9g}")
        lines.append(f"size = [{camera.size[0]}, {camera.size[1]}]")
    lines += ["", "[figure]", f"name = {_quoted(figure.name)}", f"faces = {figure.faces}"]
    lines += [f"mm2 = {figure.mm2:.9g}", f"height_mm = {figure.height_mm:.9g}", "shape = ["]
    lines += [f"  {_row((*at, *normal))}," for at, normal in figure.shape]
    lines.append("]")
    if settled is not None:
        lines += ["", "[settled]", f"digest = {_quoted(settled.digest)}", "", "[settled.areas]"]
    for name, places in (settled.areas if settled else {}).items():
        lines += [f"{_quoted(name)} = ["]
        lines += [f"  {_row((*s.at, *s.normal))}," for s in places if s.at and s.normal]
        lines.append("]")
    return "\n".join([*lines, ""])


def _quoted(text: str) -> str:
    """A TOML string."""
    import tomlkit

    return str(tomlkit.string(text).as_string())


def _rows(points: Sequence[tuple[float, float, float]], digits: int, several: bool) -> list[Any]:
    """Places as a mark has them: one row, or a list of rows."""
    rows = [list(rounded(p, digits)) for p in points]
    return rows if several else rows[0]


def _row(values: tuple[float, ...]) -> str:
    """Numbers as a TOML list."""
    return "[" + ", ".join(f"{v:g}" if v == 0 else repr(float(v)) for v in values) + "]"
