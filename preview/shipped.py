"""Where the files that come with fourpot stand: demo mesh, schemes, racks, tables."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shipped(*parts: str) -> Path:
    """The path of a shipped file or folder, in an installed wheel or in a source checkout.

    Parameters
    ----------
    parts : path below the project's top level, such as ("shared", "racks").
    """
    inside = _PACKAGE / "shipped"
    top = inside if inside.is_dir() else _PACKAGE.parent
    return top.joinpath(*parts)
