"""The lamp over the table: how finished paint looks when light falls on it.

Diffuse light from a lamp with shadow, and from the room with the sculpt's own occlusion;
finish as a plain micro-facet highlight. Paper white facing the lamp under open sky is 1,
whatever the lamp, so pictures compare.

Leaves out: light bounced from part to part, light inside glazes, the spectrum of the room.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from preview.paint.surface import Surface
from preview.paint.table import PaintTable
from preview.rack.paint import Finish
from preview.render.seen import Seen
from preview.render.view import View
from preview.shape.rays import RayScene
from preview.shape.threads import chunks

Array = NDArray[np.float32]


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
_TABLE_BOUNCE = 0.35
_LIFT_MM = 2e-3
_BLOCK = 1 << 14


@dataclass(frozen=True, eq=False)
class Lit:
    """Light on each sample, whatever paint is there.

    diffuse : (samples,) float32, irradiance with paper white's at 1.
    direct : (samples,) float32, the lamp's part of it, cosine and shadow included.
    normal_half, eye_normal, normal_lamp : (samples,) float32 cosines for highlights.
    reflected_up : (samples,) float32, how far above the horizon the mirrored view points.
    eye_half : (1,) float32 cosine between eye and the half vector, one for all.
    """

    diffuse: Array
    direct: Array
    normal_half: Array
    eye_normal: Array
    normal_lamp: Array
    reflected_up: Array
    eye_half: Array


def light_samples(seen: Seen, surface: Surface, scene: RayScene, lamp: Lamp) -> Lit:
    """What light reaches each sample of a picture; independent of the scheme."""
    # Blocks that fit the processor's cache take half the time of all samples at once.
    blocks = [
        _light_block(seen, part, surface, scene, lamp)
        for part in chunks(len(seen.face), _BLOCK) or [slice(0, 0)]
    ]
    whole = {f.name: np.concatenate([getattr(b, f.name) for b in blocks]) for f in fields(Lit)}
    return Lit(**{**whole, "eye_half": blocks[0].eye_half})


def _light_block(seen: Seen, part: slice, surface: Surface, scene: RayScene, lamp: Lamp) -> Lit:
    """The light on one block of samples."""
    face, bary = seen.face[part], seen.bary[part]
    w1, w2 = bary[:, 0:1], bary[:, 1:2]
    w0 = 1.0 - w1 - w2

    # Interpolate normal, openness and place across each face.
    corner_normal = surface.normal[face]
    normal = w0 * corner_normal[:, 0] + w1 * corner_normal[:, 1] + w2 * corner_normal[:, 2]
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-9)
    open3 = surface.openness[face]
    openness = (w0[:, 0] * open3[:, 0] + w1[:, 0] * open3[:, 1]) + w2[:, 0] * open3[:, 2]
    corners = surface.vertices[surface.faces[face]]
    place = w0 * corners[:, 0] + w1 * corners[:, 1] + w2 * corners[:, 2]

    # Follow the lamp.
    towards = lamp.direction(seen.view)
    normal_lamp = np.maximum(normal @ towards, 0.0)
    lit = np.flatnonzero(normal_lamp > 0.0)
    origins = place[lit] + normal[lit] * _LIFT_MM
    blocked = scene.blocked(origins, np.broadcast_to(towards, origins.shape))
    visible = np.ones(len(normal), dtype=np.float32)
    visible[lit[blocked]] = 1.0 - lamp.shadow
    direct = np.float32(1.0 - lamp.room) * normal_lamp * visible

    # Add the room: sky above, the table below.
    up = normal[:, 2]
    room = openness * ((1.0 + up) + _TABLE_BOUNCE * (1.0 - up)) * np.float32(0.5 * lamp.room)

    back = np.asarray(seen.view.axes()[2], dtype=np.float32)
    half = (back + towards) / np.linalg.norm(back + towards)
    eye_normal = np.clip(normal @ back, 1e-3, 1.0)
    return Lit(
        diffuse=direct + room,
        direct=direct,
        normal_half=np.clip(normal @ half.astype(np.float32), 0.0, 1.0),
        eye_normal=eye_normal,
        eye_half=np.full(1, float(half @ back), dtype=np.float32),
        normal_lamp=normal_lamp,
        reflected_up=openness * (2.0 * eye_normal * up - back[2]),
    )


def under_lamp(
    body: Array, area: NDArray[np.int32], lit: Lit, table: PaintTable, lamp: Lamp
) -> Array:
    """Linear light that leaves each sample towards the eye.

    Parameters
    ----------
    body : (samples, 3) float32, linear sRGB of the paint alone.
    area : (samples,) int32, the area of each sample, for its finish.
    """
    out = body * lit.diffuse[:, None]
    roughness = np.array([_ROUGHNESS[f] for f in table.finish], dtype=np.float32)[area]
    metal = np.array([f == "metallic" for f in table.finish])[area]

    # Micro-facet highlight of the lamp (GGX distribution, Smith shadowing, Schlick Fresnel).
    alpha2 = roughness * roughness
    spread = lit.normal_half * lit.normal_half * (alpha2 - 1.0) + 1.0
    facets = alpha2 / (np.pi * spread * spread)
    k = roughness * 0.5
    shadowing = 1.0 / (
        4.0 * (lit.eye_normal * (1.0 - k) + k) * (np.maximum(lit.normal_lamp, 1e-3) * (1 - k) + k)
    )
    fresnel = (1.0 - lit.eye_half) ** 5
    highlight = np.pi * facets * shadowing * lit.direct

    film = (_FILM_F0 + (1.0 - _FILM_F0) * fresnel) * highlight
    plain = np.flatnonzero(~metal)
    out[plain] += film[plain, None]

    # Metallic paint mirrors the lamp and the room in its own colour.
    shiny = np.flatnonzero(metal)
    if len(shiny):
        sky = lamp.room * (0.35 + 0.65 * np.clip(0.5 + 0.9 * lit.reflected_up[shiny], 0.0, 1.2))
        mirror = 0.7 * highlight[shiny] + sky
        out[shiny] = out[shiny] * _METAL_DIFFUSE + body[shiny] * mirror[:, None]
    return out
