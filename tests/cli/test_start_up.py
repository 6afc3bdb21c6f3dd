"""The command line starts fast because it loads nothing heavy."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence

from preview.cli import app

HEAVY = (
    "numpy",
    "scipy",
    "colour",
    "trimesh",
    "pyrender",
    "embreex",
    "numba",
    "llvmlite",
    "PIL",
    "rich",
)
# What a command needs that mixes and tells, but draws nothing: arrays, and the words of sheets.
FOR_WORDS = {"numpy", "PIL"}


def _loaded(arguments: Sequence[str]) -> tuple[set[str], str]:
    """Which heavy packages a command loads, and what it says."""
    code = (
        f"import sys; sys.argv = {['fourpot', *arguments]!r}\n"
        "from preview.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        f"print(*[name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stderr.splitlines()[-1].split()), done.stdout


def test_help_loads_none_of_the_heavy_packages() -> None:
    heavy, said = _loaded(["--help"])
    assert heavy == set()
    assert "readability" in said


def test_what_draws_nothing_loads_no_drawers() -> None:
    heavy, said = _loaded(["mix", "harbour", "rust orange=2", "sailcloth=1"])
    assert heavy <= FOR_WORDS
    assert "2 rust orange" in said
    heavy, said = _loaded(["circle", "harbour", "--json"])
    assert heavy <= FOR_WORDS
    assert "wheel_deg" in said


def test_no_command_has_annotations_that_are_text() -> None:
    # Typer evaluates them all whenever it starts, also for --help.
    for command in app.registered_commands:
        assert command.callback is not None
        assert not any(isinstance(a, str) for a in command.callback.__annotations__.values())
    assert len(app.registered_commands) >= 15
