"""The lamp over the table: how finished paint looks when light falls on it.

Diffuse light from a lamp with shadow, and from the room with the sculpt's own occlusion;
finish as a plain micro-facet highlight. Paper white facing the lamp under open sky is about 1,
whatever the lamp, so pictures compare.

Leaves out: light bounced from part to part, light inside glazes, the spectrum of the room, the few
per cent that a highlight takes from the diffuse light; the view direction is one for the picture.

References
----------
Walter, Marschner, Li, Torrance (2007), "Microfacet models for refraction through rough surfaces",
Eurographics Symposium on Rendering: the GGX distribution. Schlick (1994), "An inexpensive BRDF
model for physically-based rendering", Computer Graphics Forum 13 (3). Both from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.paint.surface import Surface
from preview.paint.table import PaintTable
from preview.rack.paint import Finish
from preview.render.seen import Seen
from preview.render.view import View
from preview.shape.compiled import compiled
from preview.shape.rays import RayScene

Array = NDArray[np.float32]
Ints = NDArray[np.int32]


@dataclass(frozen=True)
class Lamp:
    """Where the lamp stands, seen from the viewer, and how strong the room is.

    illuminant : the name of its spectrum, D65 for daylight.
    right_deg, above_deg : the lamp's direction from the viewer's own.
    room : share of the light on open, upward surface that comes from the room, in [0, 1].
    shadow : how much of the lamp's light its shadow takes away, in [0, 1].
    """

    illuminant: str = "D65"
    right_deg: float = -38.0
    above_deg: float = 42.0
    room: float = 0.42
    shadow: float = 0.75

    def direction(self, view: View) -> Array:
        """(3,) unit vector from the sculpt to the lamp."""
        right, up, back = view.axes()
        yaw, pitch = np.radians(self.right_deg), np.radians(self.above_deg)
        towards = (
            np.sin(yaw) * np.cos(pitch) * right
            + np.sin(pitch) * up
            + np.cos(yaw) * np.cos(pitch) * back
        )
        return np.asarray(towards, dtype=np.float32)


DAYLIGHT = Lamp()

# Perpendicular reflectance of a dry acrylic film, index 1.5: ((1.5 - 1) / (1.5 + 1))².
_FILM_F0 = 0.04
# Roughness (alpha of the GGX distribution) of each finish: chosen by eye.
_ROUGHNESS: dict[Finish, float] = {"matt": 0.9, "satin": 0.42, "gloss": 0.16, "metallic": 0.34}
_METAL_DIFFUSE = 0.35
# What metallic paint mirrors of the room below the horizon, and how much more above it: chosen by
# eye, so that a ball in the open is on the whole no brighter than matt paint of its colour.
_DIM, _BRIGHT = 0.2, 0.5
_TABLE_BOUNCE = 0.35
_LIFT_MM = 2e-3


@dataclass(frozen=True, eq=False)
class Lit:
    """Light on each sample, whatever paint is there.

    diffuse : (samples,) float32, irradiance with paper white's at 1.
    direct : (samples,) float32, the lamp's part of it, cosine and shadow included.
    normal_half, eye_normal, normal_lamp : (samples,) float32 cosines for highlights.
    openness : (samples,) float32 in [0, 1], share of its own sky that each sample sees.
    reflected_up : (samples,) float32 in [-1, 1], how far above the horizon the mirrored view
        points.
    eye_half : (1,) float32 cosine between eye and the half vector, one for all.
    shaded : (samples,) bool, the sculpt stands between the sample and the lamp.
    """

    diffuse: Array
    direct: Array
    normal_half: Array
    eye_normal: Array
    normal_lamp: Array
    openness: Array
    reflected_up: Array
    eye_half: Array
    shaded: NDArray[np.bool_]


def light_samples(
    seen: Seen,
    surface: Surface,
    scene: Callable[[], RayScene],
    lamp: Lamp,
    shaded: NDArray[np.bool_] | None = None,
) -> Lit:
    """What light reaches each sample of a picture; independent of the scheme.

    Parameters
    ----------
    seen, surface : of one sculpt.
    scene : gives the sculpt prepared for rays; not asked when `shaded` is known.
    shaded : (samples,) bool, of this view and lamp; None finds out.
    """
    count = len(seen.face)
    normal, openness = np.empty((count, 3), np.float32), np.empty(count, np.float32)
    lit, origins = np.empty(count, np.int32), np.empty((count, 3), np.float32)
    towards = lamp.direction(seen.view)
    facing = _face_the_lamp(
        seen.face,
        seen.bary,
        surface.faces,
        surface.vertices,
        surface.normal,
        surface.openness,
        towards,
        normal,
        openness,
        lit,
        origins,
    )
    if shaded is None:
        shaded = np.zeros(count, np.bool_)
        lit, origins = lit[:facing], origins[:facing]
        shaded[lit] = scene().blocked(origins, towards[None])
    visible = np.where(shaded, np.float32(1.0 - lamp.shadow), np.float32(1.0))

    back = np.asarray(seen.view.axes()[2], dtype=np.float32)
    # A lamp right behind the sculpt has no half vector, and no highlight.
    between = back + towards
    half = between / np.maximum(np.linalg.norm(between), np.float32(1e-6))
    diffuse, direct, normal_half, eye_normal, normal_lamp, reflected_up = (
        np.empty(count, np.float32) for _ in range(6)
    )
    _shine(
        normal,
        openness,
        visible,
        towards,
        back,
        half.astype(np.float32),
        np.float32(lamp.room),
        diffuse,
        direct,
        normal_half,
        eye_normal,
        normal_lamp,
        reflected_up,
    )
    return Lit(
        diffuse=diffuse,
        direct=direct,
        normal_half=normal_half,
        eye_normal=eye_normal,
        normal_lamp=normal_lamp,
        openness=openness,
        reflected_up=reflected_up,
        eye_half=np.full(1, float(half @ back), dtype=np.float32),
        shaded=shaded,
    )


@compiled
def _face_the_lamp(
    face: Ints,
    bary: Array,
    faces: Ints,
    vertices: Array,
    corner_normal: Array,
    corner_openness: Array,
    towards: Array,
    normal: Array,
    openness: Array,
    lit: Ints,
    origins: Array,
) -> int:
    """Fill in normal and openness of each sample; list those that face the lamp, and from where."""
    lift = np.float32(_LIFT_MM)
    facing = 0
    for i in range(len(face)):
        f = np.uint32(face[i])
        w1, w2 = bary[i, 0], bary[i, 1]
        w0 = np.float32(1.0) - w1 - w2
        x = w0 * corner_normal[f, 0, 0] + w1 * corner_normal[f, 1, 0] + w2 * corner_normal[f, 2, 0]
        y = w0 * corner_normal[f, 0, 1] + w1 * corner_normal[f, 1, 1] + w2 * corner_normal[f, 2, 1]
        z = w0 * corner_normal[f, 0, 2] + w1 * corner_normal[f, 1, 2] + w2 * corner_normal[f, 2, 2]
        scale = np.float32(1.0) / max(np.sqrt(x * x + y * y + z * z), np.float32(1e-9))
        x, y, z = x * scale, y * scale, z * scale
        normal[i, 0], normal[i, 1], normal[i, 2] = x, y, z
        openness[i] = (
            w0 * corner_openness[f, 0] + w1 * corner_openness[f, 1] + w2 * corner_openness[f, 2]
        )
        if x * towards[0] + y * towards[1] + z * towards[2] > 0:
            a, b, c = np.uint32(faces[f, 0]), np.uint32(faces[f, 1]), np.uint32(faces[f, 2])
            for k in range(3):
                place = w0 * vertices[a, k] + w1 * vertices[b, k] + w2 * vertices[c, k]
                origins[facing, k] = place + normal[i, k] * lift
            lit[facing] = i
            facing += 1
    return facing


@compiled
def _shine(
    normal: Array,
    openness: Array,
    visible: Array,
    towards: Array,
    back: Array,
    half: Array,
    room: np.float32,
    diffuse: Array,
    direct: Array,
    normal_half: Array,
    eye_normal: Array,
    normal_lamp: Array,
    reflected_up: Array,
) -> None:
    """Fill in the light of lamp and room on each sample, and the cosines for highlights."""
    one, bounce = np.float32(1.0), np.float32(_TABLE_BOUNCE)
    for i in range(len(normal)):
        x, y, z = normal[i, 0], normal[i, 1], normal[i, 2]
        cosine = max(x * towards[0] + y * towards[1] + z * towards[2], np.float32(0.0))
        from_lamp = (one - room) * cosine * visible[i]
        from_sky, from_table = one + z, bounce * (one - z)
        from_room = openness[i] * (from_sky + from_table) * (np.float32(0.5) * room)
        towards_eye = x * back[0] + y * back[1] + z * back[2]
        towards_eye = min(max(towards_eye, np.float32(1e-3)), one)
        middle = x * half[0] + y * half[1] + z * half[2]
        normal_lamp[i], direct[i], diffuse[i] = cosine, from_lamp, from_lamp + from_room
        eye_normal[i] = towards_eye
        normal_half[i] = min(max(middle, np.float32(0.0)), one)
        reflected_up[i] = np.float32(2.0) * towards_eye * z - back[2]


def under_lamp(row: Ints, area: Ints, lit: Lit, table: PaintTable, lamp: Lamp) -> Array:
    """(samples, 3) float32: linear sRGB of the light that leaves each sample towards the eye.

    Parameters
    ----------
    row : (samples,) int32, area * levels + level, where the paint of each sample stands in `table`.
    area : (samples,) int32, the area of each sample, for its finish.
    """
    out = np.empty((len(row), 3), np.float32)
    _leave(
        table.linear.reshape(-1, 3),
        row,
        area,
        np.array([_ROUGHNESS[finish] for finish in table.finish], np.float32),
        np.array([finish == "metallic" for finish in table.finish], np.bool_),
        lit.diffuse,
        lit.direct,
        lit.normal_half,
        lit.eye_normal,
        lit.normal_lamp,
        lit.openness,
        lit.reflected_up,
        lit.eye_half[0],
        np.float32(lamp.room),
        out,
    )
    return out


@compiled
def _leave(
    paint: Array,
    row: Ints,
    area: Ints,
    roughness: Array,
    metallic: NDArray[np.bool_],
    diffuse: Array,
    direct: Array,
    normal_half: Array,
    eye_normal: Array,
    normal_lamp: Array,
    openness: Array,
    reflected_up: Array,
    eye_half: np.float32,
    room: np.float32,
    out: Array,
) -> None:
    """Fill in what leaves each sample: diffuse light and a micro-facet highlight.

    Facets by the GGX distribution, with Smith's shadowing and Schlick's Fresnel term.

    paint : (rows, 3) linear sRGB of the paint alone.
    """
    one = np.float32(1.0)
    fresnel = (one - eye_half) ** 5
    film = np.float32(_FILM_F0) + np.float32(1.0 - _FILM_F0) * fresnel
    for i in range(len(row)):
        body = paint[row[i]]
        rough = roughness[area[i]]
        alpha2 = rough * rough
        spread = normal_half[i] * normal_half[i] * (alpha2 - one) + one
        k = rough * np.float32(0.5)
        to_eye = eye_normal[i] * (one - k) + k
        to_lamp = max(normal_lamp[i], np.float32(1e-3)) * (one - k) + k
        highlight = alpha2 * direct[i] / (spread * spread * np.float32(4.0) * to_eye * to_lamp)
        if metallic[area[i]]:
            # Metallic paint mirrors the lamp and the room in its own colour.
            open_sky = np.float32(0.5) + np.float32(0.9) * reflected_up[i]
            open_sky = min(max(open_sky, np.float32(0.0)), np.float32(1.2))
            mirror = np.float32(0.7) * highlight
            mirror += room * openness[i] * (np.float32(_DIM) + np.float32(_BRIGHT) * open_sky)
            share = diffuse[i] * np.float32(_METAL_DIFFUSE) + mirror
            for channel in range(3):
                out[i, channel] = body[channel] * share
        else:
            for channel in range(3):
                out[i, channel] = body[channel] * diffuse[i] + film * highlight
