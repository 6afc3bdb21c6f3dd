"""fourpot demo: the main job on the figure that ships."""

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

    out = out or Path("fourpot-demo")
    request = Request.of(locals(), mesh=[shipped("meshes", "keeper.glb")])
    report = request.paint(shipped("schemes", _SCHEME), out)
    tell_painting(report, out, as_json, quiet)
