"""The rigs that ship, by name: painted light of a coast with a lighthouse."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from preview.light.lightmap import Rig

_ALL = (
    Rig("overcast quay", sky=1.0, spread=0.8),
    Rig(
        "breakwater morning",
        sky=1.0,
        key=0.6,
        key_azimuth_deg=35.0,
        key_elevation_deg=50.0,
        recess=0.35,
        edge=0.25,
        spread=0.85,
    ),
    Rig(
        "low sun",
        sky=0.35,
        key=1.0,
        key_azimuth_deg=65.0,
        key_elevation_deg=22.0,
        recess=0.25,
        edge=0.2,
        spread=0.7,
    ),
    Rig(
        "lamp room",
        sky=0.5,
        key=1.0,
        key_azimuth_deg=0.0,
        key_elevation_deg=70.0,
        recess=0.45,
        edge=0.3,
        spread=0.85,
    ),
    Rig(
        "spray and glint",
        sky=1.0,
        key=0.2,
        key_azimuth_deg=20.0,
        key_elevation_deg=60.0,
        recess=0.6,
        edge=0.5,
        spread=0.9,
    ),
)

RIGS: Mapping[str, Rig] = MappingProxyType({rig.name: rig for rig in _ALL})
DEFAULT_RIG = "breakwater morning"
