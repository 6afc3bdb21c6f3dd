"""Marks put on a mesh: every face its area, and what there is to say about it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.carry import Carried
from preview.areas.analysis.regions import Proposal, is_part_of, proposed
from preview.areas.marks.coarse import coarse_in_words, short_on_coarse_in_words
from preview.areas.marks.draw import Drawn, drawn
from preview.areas.marks.fit import UNMOVED, Fit, fitted
from preview.areas.marks.model import SHELL, Mark, Marks, Settled, Spot
from preview.areas.marks.notes import notes_on
from preview.areas.marks.seeds import Seed, seeds_of, settled_seeds, undisputed
from preview.areas.marks.settled import bare_as_before, digest_of
from preview.areas.marks.shapes import Shapes
from preview.areas.sculpt import Sculpt
from preview.errors import CannotDo, Fault, MarksFault
from preview.progress import Progress, silent
from preview.shape.triangles import longest_edge

Ints = NDArray[np.int32]

UNMARKED = "unmarked"


@dataclass(frozen=True, eq=False)
class Grown:
    """What grew from marks, before shapes.

    begun : faces with labels and how far they reach, shells, settled faces; from the same ones the
        same grows.
    carried : labels on surface and figure.
    notes : what a painter should know of it.
    """

    begun: tuple[object, ...]
    carried: Carried
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Marked:
    """Marks on a figure; give it back to speed up an edit.

    sculpt : with the areas of the marks.
    grown : labels before shapes.
    drawn : the shapes.
    names : the areas, in the order of the labels.
    seeds : where areas grow from.
    notes : what a painter should know, one sentence each.
    """

    sculpt: Sculpt
    grown: Grown
    drawn: Drawn
    names: tuple[str, ...]
    seeds: tuple[Seed, ...]
    notes: tuple[str, ...]

    @property
    def carried(self) -> Carried:
        """Labels on surface and figure before shapes."""
        return self.grown.carried


class MarkedFigure:
    """A mesh with a marks file laid on it; prepared once, then marks may change.

    Parameters
    ----------
    sculpt : the mesh.
    marks : its figure and metric decide frame and analysis.
    progress : hears of the steps.

    Raises
    ------
    MarksFault : the marks file was made for another figure; its own slips are told with that.
    """

    def __init__(self, sculpt: Sculpt, marks: Marks, progress: Progress = silent) -> None:
        self.sculpt = sculpt
        self._held: tuple[Settled, list[Seed]] | None = None
        self.fit: Fit = UNMOVED
        if marks.figure is not None:
            try:
                self.fit = fitted(marks.figure, sculpt.vertices, sculpt.faces, str(marks.path))
            except MarksFault as error:
                raise MarksFault.of([*marks.faults, *error.faults]) from error
        self.vertices = self.fit.back(sculpt.vertices)
        # Pictures and pixels belong to the frame of the marks.
        self.framed = replace(sculpt, vertices=self.vertices) if self.fit.moved else sculpt
        plane = marks.mirror_x if marks.mirror else None
        self.analysis = Analysis(self.vertices, sculpt.faces, marks.metric, plane, progress)

    @cached_property
    def _longest_edge(self) -> NDArray[np.float32]:
        """(faces,) float32, mm, in the frame of the marks."""
        return longest_edge(self.vertices, self.sculpt.faces)

    @cached_property
    def shapes(self) -> Shapes:
        """Faces by place, facing, height and shell."""
        return Shapes(self.analysis, self.vertices, self.sculpt.faces)

    def proposal(self, marks: Marks) -> Proposal:
        """The regions of the marks file's proposal, split as it says; KeyError as `proposed`."""
        return proposed(self.analysis, _count(marks), marks.split, self.sculpt.exposed)

    def regions(self, marks: Marks) -> dict[str, Spot]:
        """Number -> middle: as the file keeps it, else from the proposal.

        Numbers of split regions are left out, since their parts stand for them.
        """
        stored = dict(marks.regions)
        parts_known = all(any(is_part_of(n, s) for n in stored) for s in marks.split)
        if not stored or not parts_known:
            for region in self.proposal(marks).regions:
                stored.setdefault(region.name, Spot(region.at, region.normal))
        return {name: spot for name, spot in stored.items() if name not in marks.split}

    def apply(self, marks: Marks, before: Marked | None = None) -> Marked:
        """Give every face its area.

        Parameters
        ----------
        marks : without pixels; see preview.render.pick.
        before : an earlier result on this figure; what did not change since costs little.

        Raises
        ------
        MarksFault : the faults that the marks have already, marks off the mesh, two areas at one
            place, unknown numbers or shells; all at once.
        CannotDo : there is neither a named number nor a mark.

        Notes
        -----
        Holds exactly: the order of marks and names changes no area.
        """
        faults = list(marks.faults)
        names = marks.names
        if not names and not faults:
            raise CannotDo(
                "the marks file names no area yet",
                str(marks.path),
                "write such as  coat = [3, 7]  under [areas], or add a [[mark]]",
            )
        marks, regions = self._numbered(marks, faults)
        seeds = seeds_of(self.analysis, marks, regions, faults)
        whole = [mark for mark in marks.marks if mark.kind == SHELL]
        order = {name: k for k, name in enumerate(names)}
        shell_label = self._shell_labels(whole, order, seeds, faults)
        shapes = drawn(
            self.analysis,
            # Finding faces by place takes a while to prepare, and is done for shapes alone.
            lambda *shape: self.shapes.cover(*shape),
            marks,
            len(self.sculpt.faces),
            before.drawn if before else None,
            faults,
        )
        if faults:
            raise MarksFault.of(list(dict.fromkeys(faults)))
        settled = self._settled(marks, seeds)
        grown = self._grown(seeds, settled, order, shell_label, before)
        on_top, full = shapes.layers.labels, grown.carried.full
        labels, all_names = np.where(on_top < 0, full, on_top), names
        faces_of = np.bincount(labels + 1, minlength=len(names) + 1)[1:]
        longest = self._longest_edge
        notes = [
            *([self.fit.in_words()] if marks.figure is not None else []),
            *self._moved_in_words(marks),
            *notes_on(self.analysis, marks, regions, seeds),
            *grown.notes,
            *shapes.layers.notes,
            *coarse_in_words(shapes.covers, self.sculpt.mm2, longest),
            *short_on_coarse_in_words(seeds, self.analysis, longest, full, order),
            *(f'nothing of "{names[k]}" is left' for k in np.flatnonzero(faces_of == 0).tolist()),
        ]
        if (labels < 0).any():
            all_names = tuple(dict.fromkeys((*names, UNMARKED)))
            labels = np.where(labels < 0, np.int32(all_names.index(UNMARKED)), labels)
        sculpt = with_areas(self.sculpt, labels, all_names, f"the marks of {marks.path.name}")
        return Marked(sculpt, grown, shapes, names, tuple(seeds), tuple(notes))

    def _numbered(self, marks: Marks, faults: list[Fault]) -> tuple[Marks, dict[str, Spot]]:
        """The marks without splits of what the proposal lacks and their parts, and the regions."""
        try:
            return marks, self.regions(marks)
        except KeyError as error:
            unknown: tuple[str, ...] = error.args
        where = f"{marks.path.name}, split"
        fix = f"it has 1 to {_count(marks)}, and the parts of what is split"
        for name in unknown:
            if not any(is_part_of(name, other) for other in unknown):
                faults.append(Fault(f"the proposal has no region {name} to split", where, fix))
        marks = replace(
            marks,
            split={name: n for name, n in marks.split.items() if name not in unknown},
            areas={
                area: tuple(n for n in numbers if not any(is_part_of(n, u) for u in unknown))
                for area, numbers in marks.areas.items()
            },
        )
        return marks, self.regions(marks)

    def _settled(self, marks: Marks, seeds: list[Seed]) -> list[Seed]:
        """A seed for each settled place, as long as the marks are those that settled it."""
        if marks.settled is None or not self._is_settled(marks):
            return []
        if self._held is None or self._held[0] is not marks.settled:
            # An edit of shapes leaves them where they are; finding them takes longer than the edit.
            self._held = marks.settled, settled_seeds(self.analysis, marks.settled)
        return undisputed([s for s in self._held[1] if s.area in marks.names], seeds)

    def _is_settled(self, marks: Marks) -> bool:
        """Whether the file keeps what came of these very marks."""
        settled = marks.settled
        return settled is not None and settled.digest == digest_of(marks, self.analysis.metric)

    def _moved_in_words(self, marks: Marks) -> list[str]:
        """Whether borders may lie elsewhere than on the export for which the marks were made."""
        faces = len(self.sculpt.faces)
        if marks.figure is None or marks.figure.faces == faces or self._is_settled(marks):
            return []
        return [
            f"the marks were made on an export of {marks.figure.faces:,} faces, this one has "
            f"{faces:,}: look whether borders moved. Once fourpot areas with --update has run "
            f"on the first export, {marks.path.name} remembers its areas"
        ]

    def _grown(
        self,
        seeds: list[Seed],
        settled: list[Seed],
        order: Mapping[str, int],
        shell_label: Mapping[int, int],
        before: Marked | None,
    ) -> Grown:
        """What grows from the seeds, and whole shells; whether settled places had to hold it."""
        begun = (
            tuple(
                (seed.face, order[seed.area], seed.between, seed.reach)
                for seed in (*seeds, *settled)
            ),
            len(settled),
            tuple(sorted(shell_label.items())),
        )
        if before is not None and before.grown.begun == begun:
            return before.grown

        def grow(seeds: list[Seed], apart: Collection[int] = ()) -> Ints:
            # What grows from faces to be told apart has labels after all others.
            # Of places of one area on one face the one that grows farthest counts.
            last = sorted(seeds, key=lambda seed: (not seed.between, seed.reach))
            seed_at = {seed.face: seed for seed in last}
            face = np.array(sorted(seed_at), np.int64)
            sown = [seed_at[f] for f in face.tolist()]
            given = [order[seed.area] + len(order) * (seed.face in apart) for seed in sown]
            label = np.array(given, np.int32)
            late = np.array([seed.between for seed in sown], np.bool_)
            reach = np.array([seed.reach for seed in sown])
            return self.analysis.labelled(face, label, shell_label, late, reach)

        labels, notes = grow(seeds), []
        strayed = {seed.face for seed in settled if labels[seed.face] != order[seed.area]}
        if strayed:
            # On the export that settled them none strays, and marks alone make its areas. Elsewhere
            # what is nearest to a place that strayed takes its area, what else the marks do not
            # reach that of the nearest place, and all else stays.
            bare = bare_as_before(self.analysis.surface, labels, seeds, settled)
            held = grow([*seeds, *settled], strayed)
            taken = ((held >= len(order)) | ((labels < 0) & (held >= 0))) & ~bare
            labels = np.where(taken, held % len(order), labels).astype(np.int32)
            notes.append(
                f"{len(strayed)} of {len(settled)} remembered places would have changed area on "
                "this export; they were kept as before"
            )
        usable = before is not None and before.names == tuple(order)
        carried = before.carried if before and usable else None
        return Grown(begun, self.analysis.on_figure(labels, carried), tuple(notes))

    def _shell_labels(
        self, whole: list[Mark], order: Mapping[str, int], seeds: list[Seed], faults: list[Fault]
    ) -> Mapping[int, int]:
        """Shell of the surface -> label, for marks that take whole shells."""
        surface, given = self.analysis.surface, dict[int, int]()
        owner: dict[int, Mark] = {}
        if not whole:
            return given
        ranks = self.shapes.shell_order
        for mark in whole:
            for number in mark.shells:
                if number > len(ranks):
                    faults.append(
                        Fault(
                            f"there is no shell {number}",
                            mark.where,
                            f"the figure has {len(ranks):,}; 1 is the largest",
                        )
                    )
                    continue
                figure_shell = int(ranks[number - 1])
                if owner.setdefault(number, mark).area != mark.area:
                    faults.append(_twice(f"shell {number}", owner[number].area, mark))
                inside = self.analysis.standing_in[self.analysis.shell == figure_shell]
                for shell in np.unique(surface.shell[inside]).tolist():
                    given[shell] = order[mark.area]
        for seed in seeds:
            label = given.get(int(surface.shell[seed.face]))
            if not seed.between and label is not None and label != order[seed.area]:
                faults.append(
                    Fault(
                        f'"{seed.area}" is marked on a shell that another mark takes whole',
                        seed.where,
                        "leave one of them out, or use a disc or stroke, which lie on top",
                    )
                )
        return given


def with_areas(sculpt: Sculpt, area: Ints, names: tuple[str, ...], said: str) -> Sculpt:
    """The sculpt with other areas; its rays are kept, since they are costly."""
    fresh = replace(sculpt, area=area.astype(np.int32), area_names=names, areas_from=said)
    for costly in ("rays", "normal", "mm2", "corners"):
        if costly in sculpt.__dict__:
            fresh.__dict__[costly] = sculpt.__dict__[costly]
    return fresh


def _count(marks: Marks) -> int:
    """How many regions the proposal of a marks file has."""
    return max(1, marks.count or len([name for name in marks.regions if name.isdigit()]))


def _twice(what: str, area: str, mark: Mark) -> Fault:
    """Something that two areas claim."""
    return Fault(f'{what} is given to "{area}" and "{mark.area}"', mark.where, "leave one out")
