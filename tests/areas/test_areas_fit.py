"""One marks file on other exports of a figure, and the refusal of what does not fit."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from preview.areas.load import load_sculpt
from preview.areas.marks.apply import Marked, MarkedFigure
from preview.areas.marks.model import Marks
from preview.areas.marks.write import fingerprint_of
from preview.areas.sculpt import Sculpt
from preview.errors import MarksFault
from tests.areas.copies import as_kept, copies, same_share
from tests.areas.figures.beekeeper import beekeeper
from tests.areas.marked_bodies import snowman
from tests.areas.simulated_user import paint_by_marks
from tests.areas.small_meshes import ball, box, joined, write_stl
from tests.sculpts import sculpt_of

LEAST_SAME = 0.95


@pytest.fixture(scope="module")
def marked() -> tuple[MarkedFigure, Marks, Marked]:
    """The beekeeper with the marks of a simulated painter."""
    made = beekeeper(0.35)
    sculpt = sculpt_of(made.vertices, made.faces)
    session = paint_by_marks(sculpt, made.area, made.names, 16, 14, 0.9)
    return as_kept(sculpt, session.marks)


@pytest.mark.parametrize(
    "kind",
    ["same", "moved", "inch", "metre, y up", "turned 37°", "tilted 25°", "finer", "remeshed"],
)
def test_marks_fit_another_export(
    marked: tuple[MarkedFigure, Marks, Marked], kind: str, tmp_path: Path
) -> None:
    figure, marks, first = marked
    ((_, copy),) = copies(figure.sculpt, tmp_path, (kind,))
    other = MarkedFigure(copy, marks)
    assert other.fit.residual_mm < 0.1
    assert same_share(figure, first, other, other.apply(marks)) >= LEAST_SAME


def test_a_third_of_the_faces_is_fitted_and_keeps_its_areas(
    marked: tuple[MarkedFigure, Marks, Marked], tmp_path: Path
) -> None:
    figure, marks, first = marked
    ((_, copy),) = copies(figure.sculpt, tmp_path, ("third",))
    other = MarkedFigure(copy, marks)
    assert other.fit.residual_mm < 0.2
    assert same_share(figure, first, other, other.apply(marks)) >= LEAST_SAME


def test_a_mesh_of_large_triangles_lies_on_itself_as_it_is() -> None:
    plate = joined(box((-20, -20, 0), (40, 40, 3)), ball((0, 0, 12), 9, 24))
    sculpt = sculpt_of(*plate)
    bare = MarkedFigure(sculpt, Marks(Path("m.toml")))
    own = fingerprint_of("plate", len(sculpt.faces), bare.analysis.surface)
    assert not MarkedFigure(sculpt, Marks(Path("m.toml"), figure=own)).fit.moved


def test_another_figure_is_refused_with_the_figure_that_shows_it(
    marked: tuple[MarkedFigure, Marks, Marked],
) -> None:
    with pytest.raises(MarksFault, match=r"lies \d+\.\d\d mm and more off its surface"):
        MarkedFigure(snowman()[0], marked[1])


def _damaged(kind: str, sculpt: Sculpt, folder: Path) -> Sculpt:
    """The figure after a mishap in the file."""
    rng = np.random.default_rng(3)
    vertices, faces = sculpt.vertices.astype(np.float64), sculpt.faces.astype(np.int64)
    if kind == "flipped":
        some = rng.random(len(faces)) < 0.3
        faces = np.where(some[:, None], faces[:, ::-1], faces)
    corners = vertices[faces].reshape(-1, 3)
    if kind == "jitter":
        corners = corners * (1 + 1e-7 * rng.standard_normal(corners.shape))
    path = write_stl(folder / "damaged.stl", (corners, np.arange(len(corners)).reshape(-1, 3)))
    if kind == "truncated":
        data = path.read_bytes()
        path.write_bytes(data[: int(0.995 * len(data))])
    return load_sculpt(path)


@pytest.mark.parametrize("kind", ["flipped", "jitter", "truncated"])
def test_damage_changes_less_than_one_percent(
    marked: tuple[MarkedFigure, Marks, Marked], kind: str, tmp_path: Path
) -> None:
    figure, marks, first = marked
    other = MarkedFigure(_damaged(kind, figure.sculpt, tmp_path), marks)
    assert same_share(figure, first, other, other.apply(marks)) > 0.99
