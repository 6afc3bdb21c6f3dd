"""CPU seconds of `fourpot --help`, against the budget of 0.25 s: python tests/bench/start_up.py"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys

RUNS = 7


def cpu_seconds() -> float:
    """User and system time of one run."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-m", "preview", "--help"], capture_output=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


if __name__ == "__main__":
    times = [cpu_seconds() for _ in range(RUNS)]
    sys.stdout.write(f"fourpot --help: median {statistics.median(times):.3f} s of CPU\n")
