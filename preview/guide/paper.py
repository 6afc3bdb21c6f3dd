"""The guide as a PDF: set by Typst, fonts embedded, the same bytes every time."""

from __future__ import annotations

import json
import shutil
import tempfile
from pathlib import Path

from PIL import Image

from preview.guide.guide import Guide
from preview.guide.words import guide_in_words
from preview.present.canvas import FONTS

_HERE = Path(__file__).resolve().parent


def guide_pdf(guide: Guide, paper: str) -> bytes:
    """The guide as a PDF.

    Parameters
    ----------
    paper : one of preview.settings.PAPERS.
    """
    import typst

    with tempfile.TemporaryDirectory(prefix="fourpot-") as name:
        root = Path(name)
        words = json.dumps(guide_in_words(guide), ensure_ascii=False)
        (root / "data.json").write_text(words, encoding="utf-8")
        shutil.copy(_HERE / "guide.typ", root)
        for number, side in enumerate(guide.sides):
            Image.fromarray(side.picture).save(root / f"side-{number}.png")
        for number, area in enumerate(guide.amounts.painted.sculpt.area_names):
            if area in guide.alone:
                Image.fromarray(guide.alone[area].picture).save(root / f"area-{number}.png")
        pdf: bytes = typst.compile(
            root / "guide.typ",
            root=root,
            font_paths=[FONTS],
            ignore_system_fonts=True,
            sys_inputs={"paper": paper},
        )
    return pdf
