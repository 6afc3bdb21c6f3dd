"""Which areas a figure has: the best that its files say about its parts, in clean names."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from preview.areas.soup import Labels

_ORDER = ("materials", "groups", "objects", "solids", "colours", "files")
_LONGEST = 60
_COPY = re.compile(r"\.\d{3}$")
_MOST_SHELLS = 64
# A shell with less of what can be seen is a crumb: nobody paints 0.1 % as an area of its own.
_CRUMB_SHARE = 0.001
REST = "unnamed"


def chosen(labels: Sequence[Labels]) -> Labels | None:
    """The first kind, in the order of the above, that tells at least two parts from each other.

    Returns None when none does: then shells have to.
    """
    by_kind = {label.kind: label for label in labels}
    for kind in _ORDER:
        label = by_kind.get(kind)
        if label is not None and len(np.unique(cleaned(label).of_face)) > 1:
            return cleaned(label)
    return None


def cleaned(label: Labels) -> Labels:
    """The labels with clean names, equal names joined, in natural order, unused ones left out.

    Names lose white space at the ends and doubled inside, and characters that cannot be printed;
    a trailing ".001" goes too, when no other name then reads the same.
    """
    names = [_printable(name) for name in label.names]
    bare = [_COPY.sub("", name) or name for name in names]
    distinct = Counter(bare[k] for k in {names.index(name) for name in names})
    names = [b if distinct[b] == 1 else n for n, b in zip(names, bare, strict=True)]
    present = np.unique(label.of_face[label.of_face >= 0])
    ordered = sorted({names[k] for k in present.tolist()}, key=_natural)
    place = {name: k for k, name in enumerate(ordered)}
    new = np.array([place.get(name, -1) for name in names] + [-1], dtype=np.int32)
    return Labels(label.kind, tuple(ordered), new[label.of_face])


def with_rest(label: Labels, parts: Labels | None = None) -> Labels:
    """The labels with a name for every face: what says nothing takes its file's, or "unnamed".

    Parameters
    ----------
    label : of_face may hold -1.
    parts : the files' names, when there are several files.
    """
    bare = label.of_face < 0
    if not bare.any():
        return label
    names, of_face = list(label.names), label.of_face.copy()
    for k, file_name in enumerate(parts.names if parts else (REST,)):
        here = bare & (parts.of_face == k) if parts else bare
        if here.any():
            if file_name not in names:
                names.append(file_name)
            of_face[here] = names.index(file_name)
    return cleaned(Labels(label.kind, tuple(names), of_face))


def from_shells(
    shell: NDArray[np.int32],
    shell_count: int,
    mm2: NDArray[np.floating],
    exposed: NDArray[np.bool_],
) -> tuple[Labels, str] | None:
    """Shells as areas, the largest first; crumbs, and the smallest of very many, share one area.

    A crumb has less than 0.1 % of the surface that can be seen.

    A shell that nobody sees, such as a bubble inside, is no area: its faces go to the largest.

    Parameters
    ----------
    shell : (faces,) int32, in [0, shell_count).
    mm2 : (faces,) float, mm².
    exposed : (faces,) bool, the face can be seen.

    Returns
    -------
    labels : "shell 1" is the largest.
    said : the sentence for Sculpt.areas_from.

    None when fewer than two shells can be seen.
    """
    size = np.bincount(shell, np.where(exposed, mm2, 0.0), shell_count)
    seen = np.flatnonzero(np.bincount(shell[exposed], minlength=shell_count))
    if len(seen) < 2:
        return None
    rank = np.zeros(shell_count, np.int32)
    rank[seen[np.argsort(-size[seen], kind="stable")]] = np.arange(len(seen), dtype=np.int32)
    said = f"the {len(seen):,} separate shells that can be seen"
    alone = max(1, int((size[seen] >= _CRUMB_SHARE * size.sum()).sum()))
    if len(seen) > _MOST_SHELLS:
        alone = min(alone, _MOST_SHELLS - 1)
    gathered = len(seen) - alone
    if gathered < 2:
        alone, gathered = len(seen), 0
    names = [f"shell {k + 1}" for k in range(alone)]
    if gathered:
        names.append("small shells")
        said += f", of which the smallest {gathered:,} share one area"
    of_face = np.minimum(rank, len(names) - 1)[shell]
    return Labels("shells", tuple(names), of_face.astype(np.int32)), said


def _printable(name: str) -> str:
    """The name on one line, without what cannot be printed, not too long."""
    text = " ".join("".join(c if c.isprintable() else " " for c in name).split())
    return text[:_LONGEST].strip() or REST


def _natural(name: str) -> tuple[list[tuple[int, int, str]], str]:
    """Sorts "part 2" before "part 10", capitals with small letters."""
    pieces = re.findall(r"\d{1,18}|\D+|\d+", name.casefold())
    key = [(0, int(p), "") if p.isdecimal() and len(p) <= 18 else (1, 0, p) for p in pieces]
    return key, name
