"""Imports point one way, so that each stage can be read without those after it."""

from __future__ import annotations

import re
from pathlib import Path

import preview

PACKAGE = Path(preview.__file__).parent
GROUND = ("errors", "progress", "files", "kept", "shipped", "settings")
# Earlier may not import later. Rack and mix share a row: Rack.mix is the door to mixing.
ROWS: tuple[tuple[str, ...], ...] = (
    GROUND,
    ("optics", "shape"),
    ("rack", "mix"),
    ("photo",),
    ("palette",),
    ("areas",),
    ("light",),
    ("ramp",),
    ("render",),
    ("paint",),
    ("judge",),
    ("present",),
    ("flow",),
    ("area_targets", "palette_reports", "reading"),
    ("guide",),
    ("publish",),
    (
        "publish_calibration",
        "publish_choice",
        "publish_guide",
        "publish_marks",
        "publish_palette",
        "publish_reading",
    ),
    ("cli",),
    ("__init__", "__main__"),
)
RANK = {name: rank for rank, row in enumerate(ROWS) for name in row}
IMPORT = re.compile(r"^\s*(?:from|import) preview(?:\.(\w+))?", re.MULTILINE)


def test_every_module_has_a_row() -> None:
    found = {p.stem for p in PACKAGE.glob("*.py")}
    found |= {p.parent.name for p in PACKAGE.glob("*/__init__.py")}
    assert found == set(RANK)


def test_imports_point_one_way() -> None:
    wrong = []
    for path in sorted(PACKAGE.rglob("*.py")):
        home = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
        for match in IMPORT.finditer(path.read_text(encoding="utf-8")):
            target = match.group(1)
            if target in RANK and RANK[target] > RANK[home] and home != "__init__":
                wrong.append(f"{path.relative_to(PACKAGE)} imports {target}")
    assert wrong == []
