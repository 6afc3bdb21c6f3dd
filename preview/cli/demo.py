"""fourpot demo: the main job on the figure that ships."""

from __future__ import annotations

from pathlib import Path

from preview.cli import options as o
from preview.settings import FRAMES, SIZE

_SCHEME = "storm-watch.toml"


def demo(
    out: o.Out = None,
    frames: o.Frames = int(FRAMES.default),
    size: o.Size = int(SIZE.default),
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """Paint the keeper that ships."""
    from preview.cli.request import Request
    from preview.cli.summary import tell_painting
    from preview.shipped import shipped

    target = out or Path("fourpot-demo")
    request = Request(mesh=[shipped("meshes", "keeper.glb")], frames=frames, size=size, quiet=quiet)
    report = request.paint(shipped("schemes", _SCHEME), target, overwrite)
    tell_painting(report, target, as_json, quiet)
