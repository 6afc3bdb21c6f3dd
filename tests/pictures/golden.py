"""How a picture is held to a golden one: small differences pass, real ones do not."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

GOLDEN = Path(__file__).parent / "golden"
# Rounding may move a byte by one; another processor may see another face in a few edge pixels.
EACH_BYTE, FEW_PIXELS, MEAN = 2, 0.004, 0.25


def difference(made: NDArray[np.uint8], golden: NDArray[np.uint8]) -> str:
    """What is wrong with a picture, or "" when it passes."""
    if made.shape != golden.shape:
        return f"shape {made.shape} instead of {golden.shape}"
    apart = np.abs(made.astype(int) - golden.astype(int)).max(axis=-1)
    share, mean = float((apart > EACH_BYTE).mean()), float(apart.mean())
    if share <= FEW_PIXELS and mean <= MEAN:
        return ""
    return f"{100 * share:.2f} % of pixels differ, by {mean:.2f} of 255 in the mean"


def hold_to_golden(name: str, made: NDArray[np.uint8], regenerate: bool, failures: Path) -> None:
    """Compare with the golden picture of that name; on failure leave a difference picture."""
    path = GOLDEN / f"{name}.png"
    if regenerate:
        GOLDEN.mkdir(exist_ok=True)
        Image.fromarray(made).save(path, optimize=True)
    with Image.open(path) as picture:
        golden = np.asarray(picture.convert("RGB"))
    wrong = difference(made, golden)
    if wrong and made.shape == golden.shape:
        apart = np.clip(np.abs(made.astype(int) - golden.astype(int)) * 8, 0, 255)
        strip = np.concatenate([golden, made, apart.astype(np.uint8)], axis=1)
        Image.fromarray(strip).save(failures / f"{name}-golden-made-difference.png")
    assert not wrong, f"{name}: {wrong}; golden, made and difference are in {failures}"
