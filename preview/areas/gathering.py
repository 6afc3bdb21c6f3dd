"""The soups of several files as one: kits come in parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.placing import SPELLINGS, turned
from preview.areas.soup import Labels, Soup, labels_from_parts
from preview.settings import MM_PER_UNIT


def gathered(paths: Sequence[Path], soups: Sequence[Soup]) -> Soup:
    """One soup of all files, in their order, with the files' names as labels of kind "files".

    Files that state different units or axes are brought to mm and Z up first; what states nothing
    counts as mm and Z up then.

    Parameters
    ----------
    paths, soups : one each a file, at least one.
    """
    if len(soups) == 1:
        return soups[0]
    notes = [f"{p.name}: {note}" for p, s in zip(paths, soups, strict=True) for note in s.notes]
    warned = [f"{p.name}: {told}" for p, s in zip(paths, soups, strict=True) for told in s.warnings]
    if len({(SPELLINGS.get(s.unit, s.unit), s.up) for s in soups}) > 1:
        soups = [_in_mm(soup) for soup in soups]
        notes.append("files in different units or axes were brought to mm and Z up")
    sizes = [len(soup.faces) for soup in soups]
    shifts = np.cumsum([0, *(len(soup.vertices) for soup in soups)])
    sources = np.cumsum([0, *(soup.source_count for soup in soups)])
    files = labels_from_parts("files", _names(paths), sizes)
    return Soup(
        vertices=np.concatenate([soup.vertices for soup in soups]),
        faces=np.concatenate(
            [s.faces + np.int32(k) for s, k in zip(soups, shifts[:-1], strict=True)]
        ),
        source_face=np.concatenate(
            [s.source_face + k for s, k in zip(soups, sources[:-1], strict=True)]
        ),
        source_count=int(sources[-1]),
        labels=(*_joined(soups, sizes), files),
        unit=soups[0].unit,
        up=soups[0].up,
        notes=tuple(notes),
        warnings=tuple(warned),
    )


def _names(paths: Sequence[Path]) -> list[str | None]:
    """The files' names without suffix; with it, or numbered, where two would be equal."""
    names = [path.stem for path in paths]
    if len(set(names)) < len(names):
        names = [path.name for path in paths]
    if len(set(names)) < len(names):
        names = [f"{name} {k + 1}" for k, name in enumerate(names)]
    return list(names)


def _in_mm(soup: Soup) -> Soup:
    """The soup in mm, Z up."""
    unit = SPELLINGS.get(soup.unit, soup.unit) or "mm"
    vertices = turned(soup.vertices.astype(np.float64) * MM_PER_UNIT[unit], soup.up or "z")
    return replace(soup, vertices=vertices, unit="mm", up="z")


def _joined(soups: Sequence[Soup], sizes: Sequence[int]) -> list[Labels]:
    """The labels of all files, kind by kind; -1 where a file lacks the kind."""
    joined = []
    for kind in dict.fromkeys(label.kind for soup in soups for label in soup.labels):
        names: list[str] = []
        parts: list[NDArray[np.int32]] = []
        for soup, size in zip(soups, sizes, strict=True):
            of_face = np.full(size, -1, np.int32)
            for label in soup.labels:
                if label.kind == kind:
                    shift = np.int32(len(names))
                    of_face = np.where(label.of_face >= 0, label.of_face + shift, -1)
                    names += label.names
            parts.append(of_face.astype(np.int32))
        joined.append(Labels(kind, tuple(names), np.concatenate(parts)))
    return joined
