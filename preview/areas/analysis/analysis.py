"""A figure prepared for marks and proposals: what is costly, done once."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.alike import Alike
from preview.areas.analysis.carry import Carried, Carrier
from preview.areas.analysis.contacts import (
    TOUCH,
    Contacts,
    bridges_of,
    contacts_of,
    hosts_of,
)
from preview.areas.analysis.flood import flooded
from preview.areas.analysis.lines import Lines
from preview.areas.analysis.metric import Metric
from preview.areas.analysis.mirror import on_both_sides, other_side, partners, share_alike
from preview.areas.analysis.patches import patches_of
from preview.areas.analysis.places import Places
from preview.areas.analysis.seams import smoothed
from preview.areas.analysis.standin import HEAVY, LIGHT, thickened, thinned
from preview.areas.analysis.surface import Surface, surface_of
from preview.areas.analysis.tree import MergeTree, merge_tree
from preview.areas.points import points_on
from preview.progress import Progress, silent
from preview.shape.neighbours import neighbours_of
from preview.shape.threads import at_once

Ints = NDArray[np.int32]

PATCHES = 500
_STEPS = 3
_SPACING = 0.4
# Reference mm: a button under the line of a coat is a button still. A choice of ours.
_LATE = 2.0
# A figure counts as alike left and right from this share of its surface: then one number or mark
# for both sides mostly saves one. Posed figures that we tried have 0.24 to 0.73. A choice of ours.
_ALIKE = 0.75


class Analysis:
    """The net, patches and merge tree of a figure.

    Parameters
    ----------
    vertices : (vertices, 3) float32, mm, each place once.
    faces : (faces, 3) int32, wound alike, outward.
    metric : the metric's numbers; None takes the usual ones for this figure.
    mirror_x : mm, where a plane of symmetry lies whose two sides go by one number; None has none.
    progress : hears of the steps.

    Notes
    -----
    Above 200,000 faces a stand-in of about 150,000 is analysed, and labels are carried over. Below
    37,500 the faces are parted in four for the analysis, once or more.
    """

    def __init__(
        self,
        vertices: NDArray[np.float32],
        faces: Ints,
        metric: Metric | None = None,
        mirror_x: float | None = None,
        progress: Progress = silent,
    ) -> None:
        self.metric = metric or Metric.of(vertices)
        self._mirror_x = mirror_x
        self._progress = progress
        progress("look for creases", 0, _STEPS)
        self._carrier: Carrier | None = None
        if len(faces) > HEAVY:
            # Not beside the thinning: both need much memory.
            points, triples = thinned(vertices, faces, LIGHT)
            thin, pairs = at_once(lambda: self._net(points, triples), lambda: neighbours_of(faces))
            self.surface: Surface = thin
            self._carrier = Carrier(thin, vertices, faces, pairs)
        else:
            points, triples, self._middle = thickened(vertices, faces)
            self.surface = self._net(points, triples)
        progress("look for creases", _STEPS, _STEPS)

    def _net(self, points: NDArray[np.float32], triples: Ints) -> Surface:
        """The net of what is analysed."""
        self._progress("look for creases", 1, _STEPS)
        surface = surface_of(points, triples, self.metric)
        self._progress("look for creases", 2, _STEPS)
        return surface

    @property
    def shell(self) -> Ints:
        """(faces,) int32: to which shell each face of the figure belongs."""
        if self._carrier is None:
            return self.surface.shell[self._middle]
        return self._carrier.shell

    def share_alike(self, mirror_x: float) -> float:
        """How much of the surface has its image beyond the plane x = mirror_x in mm, [0, 1]."""
        return share_alike(self.surface, mirror_x, TOUCH / self.metric.scale)

    def with_both_sides(self, mirror_x: float, asked: bool | None = None) -> Analysis:
        """The same figure, its two sides going by one number; not prepared anew.

        Parameters
        ----------
        mirror_x : mm, where the plane lies.
        asked : None does so when at least three quarters of the surface are alike on both sides.
        """
        if asked is None:
            asked = self.share_alike(mirror_x) >= _ALIKE
        both = copy(self)
        both._mirror_x = mirror_x if asked else None
        for made in ("patches", "tree", "partner"):
            both.__dict__.pop(made, None)
        return both

    @property
    def both_sides(self) -> bool:
        """Whether the two sides go by one number."""
        return self._mirror_x is not None

    @cached_property
    def partner(self) -> Ints:
        """(shells,) int32: the shell that is each one's mirror image; -1 where none is."""
        surface = self.surface
        if self._mirror_x is None:
            return np.full(surface.shells, -1, np.int32)
        if surface.shells == 1:
            return np.zeros(1, np.int32)
        return partners(surface, self._mirror_x, TOUCH / self.metric.scale)

    @property
    def standing_in(self) -> Ints:
        """(faces,) int32: for each face of the figure, the face of the surface for it."""
        return self._middle if self._carrier is None else self._carrier.near

    def figure_faces(self, face: int) -> NDArray[np.int64]:
        """The faces of the figure for which a face of the surface stands; there may be none."""
        if self._carrier is None:
            # Faces that were parted come in rounds, each in the order of the figure's own.
            return np.array([face % len(self._middle)])
        return np.flatnonzero(self._carrier.near == face)

    def standing_for(self, some: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """(surface faces,) bool: those that stand for any of some faces, (faces,) bool."""
        count = len(self.surface.faces)
        if self._carrier is None:
            # Faces that were parted come in rounds, each in the order of the figure's own.
            return some[np.arange(count) % len(some)]
        return np.bincount(self._carrier.near[some], minlength=count) > 0

    @cached_property
    def contacts(self) -> Contacts:
        """Where shells touch."""
        return contacts_of(self.surface)

    @cached_property
    def alike(self) -> Alike:
        """Which shells have the same shape."""
        return Alike(self.surface)

    @cached_property
    def places(self) -> Places:
        """Points spread over the surface, to find the face at a place."""
        surface = self.surface
        spacing = _SPACING / self.metric.scale
        return Places(surface, *points_on(surface.vertices, surface.faces, spacing))

    @cached_property
    def lines(self) -> Lines:
        """Lines over the surface."""
        return Lines(self.surface, self.places)

    @cached_property
    def patches(self) -> tuple[int, Ints]:
        """How many patches there are, and (surface faces,) int32 which one a face is in."""
        if self._mirror_x is None:
            return patches_of(self.surface, PATCHES)
        _, patch = patches_of(self.surface, 2 * PATCHES)
        other = other_side(self.surface, self._mirror_x, TOUCH / self.metric.scale)
        return on_both_sides(self.surface, patch, other, self._mirror_x)

    @cached_property
    def tree(self) -> MergeTree:
        """The patches merged down to one."""
        count, patch = self.patches
        surface = self.surface
        meet = patch[surface.left] != patch[surface.right]
        hollow = np.maximum(surface.bend[meet], 0.0)
        left, right = patch[surface.left[meet]], patch[surface.right[meet]]
        length, crease = surface.edge[meet], hollow / (hollow + 1.0)
        if surface.shells > 1:
            bridges = bridges_of(surface, self.contacts)
            size = np.bincount(surface.shell, surface.mm2, surface.shells)
            one, other = bridges.one, bridges.other
            small = np.minimum(size[surface.shell[one]], size[surface.shell[other]])
            left = np.concatenate((left, patch[one]))
            right = np.concatenate((right, patch[other]))
            length = np.concatenate((length, np.sqrt(small)))
            crease = np.concatenate((crease, np.ones(len(one))))
            # Shells of one shape go by one number.
            for ours, theirs in self.alike.twins():
                pairs = np.unique(np.stack((patch[ours], patch[theirs]), axis=1), axis=0)
                small = np.bincount(patch, surface.mm2)[pairs].min(axis=1)
                left = np.concatenate((left, pairs[:, 0]))
                right = np.concatenate((right, pairs[:, 1]))
                length = np.concatenate((length, np.sqrt(small)))
                crease = np.concatenate((crease, np.zeros(len(pairs))))
        sized = length > 0
        area = np.maximum(np.bincount(patch, surface.mm2, count), 1e-12)
        return merge_tree(area, left[sized], right[sized], length[sized], crease[sized])

    def labelled(
        self,
        face: NDArray[np.integer],
        label: NDArray[np.integer],
        whole: Mapping[int, int] | None = None,
        late: NDArray[np.bool_] | None = None,
        reach: NDArray[np.float64] | None = None,
    ) -> Ints:
        """Labels that grow from marked faces; see `flooded`.

        A marked shell takes from marked shells of its shape what a crease parts from its own
        marks. Shells without a mark take the labels of a marked shell of the same shape; those
        without one, and what lies beyond the reach of all marks on a shell, in a last pass the
        label of what they touch most.

        Parameters
        ----------
        face : (marks,) int, faces of the surface, each once.
        label : (marks,) int, >= 0.
        whole : shell of the surface -> label that takes all of it.
        late : (marks,) bool, which give way to the others where these come within a short way.
        reach : (marks,) float64, mm, how far a mark may grow; see `flooded`.

        Returns
        -------
        labels : (surface faces,) int32; -1 on shells that have no mark and touch none.
        """
        surface = self.surface
        behind = np.zeros(len(face)) if late is None else np.where(late, _LATE, 0.0)
        begins, given = face, label
        limit = np.full(len(face), np.inf) if reach is None else reach
        if surface.shells > 1:
            echo, mark, later = self.alike.echoes(face)
            begins, given = np.concatenate((face, echo)), np.concatenate((label, label[mark]))
            behind = np.concatenate((behind, behind[mark] + later))
            limit = np.concatenate((limit, limit[mark]))
        labels = flooded(surface, begins, given, behind, limit)
        fixed = np.zeros(len(labels), np.bool_)
        fixed[face if late is None else face[~late]] = True
        cut = surface.edge / (1.0 + np.maximum(surface.bend, 0.0))
        labels = smoothed(labels, surface.left, surface.right, np.maximum(cut, 1e-9), fixed)
        for shell, one in (whole or {}).items():
            labels[surface.shell == shell] = one
        if (labels < 0).any() and (labels >= 0).any():
            labels = self.alike.taken(labels)
            labels = hosts_of(surface, self.contacts, labels)
        return labels

    def on_figure(self, labels: Ints, before: Carried | None = None) -> Carried:
        """Labels of the surface on the figure's own faces.

        Parameters
        ----------
        labels : (surface faces,) int32.
        before : an earlier result; then only what changed since costs time.
        """
        if self._carrier is None:
            return Carried(labels, labels[self._middle])
        return self._carrier.carry(labels, before)
