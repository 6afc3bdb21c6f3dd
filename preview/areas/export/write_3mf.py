"""3MF with one base material for each area.

Reference: 3D Manufacturing Format, Core Specification 1.3, sections 4 and 5.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.sax.saxutils import quoteattr

from preview.areas.export.grouped import Grouped

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" '
    'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" '
    'ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
)
_RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
)
_EPOCH = (1980, 1, 1, 0, 0, 0)
_BATCH = 50_000


def write_3mf(path: Path, mesh: Grouped) -> None:
    """Write a 3MF package in mm; the same mesh gives the same bytes."""
    with zipfile.ZipFile(path, "w") as package:
        for name, parts in (
            ("[Content_Types].xml", [_TYPES]),
            ("_rels/.rels", [_RELATIONS]),
            ("3D/3dmodel.model", _model(mesh)),
        ):
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            with package.open(entry, "w", force_zip64=True) as stream:
                for part in parts:
                    stream.write(part.encode("utf-8"))


def _model(mesh: Grouped) -> Iterator[str]:
    """The model part, piece by piece."""
    yield '<?xml version="1.0" encoding="UTF-8"?>\n'
    yield f'<model unit="millimeter" xml:lang="en-US" xmlns="{_CORE}"><resources>'
    yield '<basematerials id="1">'
    for number, name in enumerate(mesh.names):
        yield f'<base name={quoteattr(name)} displaycolor="{mesh.hex(number)}"/>'
    yield f'</basematerials><object id="2" type="model" name={quoteattr(mesh.name)} '
    yield 'pid="1" pindex="0"><mesh><vertices>'
    for start in range(0, len(mesh.vertices), _BATCH):
        rows = mesh.vertices[start : start + _BATCH].tolist()
        yield "".join(f'<vertex x="{x:.9g}" y="{y:.9g}" z="{z:.9g}"/>' for x, y, z in rows)
    yield "</vertices><triangles>"
    for start in range(0, len(mesh.faces), _BATCH):
        corners = mesh.faces[start : start + _BATCH].tolist()
        groups = mesh.group[start : start + _BATCH].tolist()
        yield "".join(
            f'<triangle v1="{a}" v2="{b}" v3="{c}" pid="1" p1="{g}"/>'
            for (a, b, c), g in zip(corners, groups, strict=True)
        )
    yield '</triangles></mesh></object></resources><build><item objectid="2"/></build></model>'
