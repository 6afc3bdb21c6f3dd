"""The painting guide into a folder: guide.pdf, guide.html, report.json."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from preview.guide.guide import Guide
from preview.guide.page import guide_page
from preview.guide.paper import guide_pdf
from preview.present.folder import fill_folder, write_json


def publish_guide(out: Path, guide: Guide, paper: str, overwrite: bool = False) -> dict[str, Any]:
    """Write guide.pdf, guide.html and report.json; gives the report.

    Parameters
    ----------
    paper : one of preview.settings.PAPERS.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        (folder / "guide.pdf").write_bytes(guide_pdf(guide, paper))
        (folder / "guide.html").write_text(guide_page(guide), encoding="utf-8", newline="\n")
        report = {**guide.amounts.as_dict(), "paper": paper, "files": ["guide.pdf", "guide.html"]}
        write_json(folder / "report.json", report)
        return report
