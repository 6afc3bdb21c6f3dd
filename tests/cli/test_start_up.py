"""The command line starts fast because it loads nothing heavy."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("numpy", "scipy", "colour", "trimesh", "pyrender", "embreex", "PIL", "rich")


def test_help_loads_none_of_the_heavy_packages() -> None:
    code = (
        "import sys; sys.argv = ['fourpot', '--help']\n"
        "from preview.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stderr.strip() == "[]"
    assert "readability" in done.stdout
