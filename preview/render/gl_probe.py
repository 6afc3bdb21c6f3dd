"""Whether OpenGL works on this machine without a screen, found out in a process of its own.

pyrender binds to one way of drawing when it is first imported, for the life of the process, and a
broken driver may take the process down with it. So each way is tried in a child process.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

WAYS = ("egl", "osmesa", "pyglet")
_SECONDS = 60
_DEVICES = Path("/dev")
_CARDS = ("dri/renderD*", "dri/card*", "nvidia[0-9]*", "dxg")
_SOFTWARE = ("llvmpipe", "softpipe", "swrast", "swr", "software")
_TRY = """
import json, sys
from preview.render.gl import driver_here
print(json.dumps(driver_here(sys.argv[1])))
"""


@dataclass(frozen=True)
class Probe:
    """What the machine can do.

    way : "egl", "osmesa", "pyglet" (a window system), or "" when none works.
    driver : the name that the driver gives itself.
    tried : each way that failed, with the last line of its complaint.
    """

    way: str
    driver: str
    tried: tuple[tuple[str, str], ...] = ()

    @property
    def works(self) -> bool:
        """Whether there is a way to draw."""
        return bool(self.way)

    @property
    def software(self) -> bool:
        """Whether the processor draws, not a graphics card."""
        return any(word in self.driver.lower() for word in _SOFTWARE)


@lru_cache(maxsize=1)
def probe() -> Probe:
    """The first way that works, tried once per process; a second or two when it must be tried."""
    tried: list[tuple[str, str]] = []
    for way in _ways_to_try():
        driver, complaint = _try_way(way)
        if driver:
            return Probe(way, driver, tuple(tried))
        tried.append((way, complaint))
    return Probe("", "", tuple(tried))


def card_in_sight() -> bool:
    """Whether there may be a graphics card: False only where Linux shows no device of one.

    Saves the second or two of a probe whose answer could only be a software driver.
    """
    if sys.platform != "linux":
        return True
    return any(any(_DEVICES.glob(pattern)) for pattern in _CARDS)


def _ways_to_try() -> tuple[str, ...]:
    """What the user set for pyrender comes first; a window system only where there is one."""
    asked = os.environ.get("PYOPENGL_PLATFORM", "")
    ways = [asked] if asked in WAYS else []
    screen = sys.platform in ("win32", "darwin") or bool(os.environ.get("DISPLAY"))
    ways += [way for way in WAYS if way not in ways and (way != "pyglet" or screen)]
    return tuple(ways)


def _try_way(way: str) -> tuple[str, str]:
    """The driver's name, or "" and why not."""
    try:
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-c", _TRY, way],
            capture_output=True,
            text=True,
            timeout=_SECONDS,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
            check=False,
        )
    except subprocess.TimeoutExpired:
        return "", f"no answer within {_SECONDS} s"
    if done.returncode == 0 and done.stdout.strip():
        return str(json.loads(done.stdout.splitlines()[-1])), ""
    complaint = done.stderr.strip().splitlines()
    return "", complaint[-1] if complaint else f"it ended with code {done.returncode}"
