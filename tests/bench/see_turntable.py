"""How long 36 views of 1000 x 1000 pixels of a large mesh take; prints seconds and peak memory.

    python tests/bench/see_turntable.py [MESH]

Views are shared out over the cores, as the turntable does it.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np
from bake_light import load

from preview.light.cache import baked
from preview.light.rigs import DEFAULT_RIG, RIGS
from preview.light.tone import corner_tone, face_tone
from preview.render.adaptive import see_adaptive, ways_of
from preview.render.choose import choose_renderer
from preview.render.framing import framing, turntable_views
from preview.render.seen import Seen
from preview.render.view import View
from preview.shape.threads import in_threads


def main() -> None:
    """One sample a pixel, then four in effect."""
    sculpt = load(sys.argv[1] if len(sys.argv) > 1 else None)
    rig = RIGS[DEFAULT_RIG]
    tone = corner_tone(face_tone(baked(sculpt, rig), rig, sculpt), sculpt)
    ways = ways_of(sculpt, tone)
    renderer, _ = choose_renderer("scan", sculpt)
    views = turntable_views(framing(sculpt.vertices), 36)

    def single(view: View) -> Seen:
        return renderer.see(view)

    def adaptive(view: View) -> Seen:
        return see_adaptive(renderer, view, sculpt, ways)

    for name, see in (("one sample", single), ("adaptive", adaptive)):
        wall, work = time.perf_counter(), time.process_time()
        counts = [len(seen.pixel) for seen in in_threads(see, views)]
        wall, work = time.perf_counter() - wall, time.process_time() - work
        each = f"{np.mean(counts):.0f} samples a view"
        sys.stdout.write(f"{name:11} {wall:6.2f} s, {work:6.2f} s of work, {each}\n")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    sys.stdout.write(f"peak memory {peak:.2f} GB, loading included\n")


if __name__ == "__main__":
    main()
