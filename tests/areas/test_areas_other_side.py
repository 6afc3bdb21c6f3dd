"""The face on the other side of a plane of symmetry: where there is one, and where not."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.contacts import TOUCH, Contacts, contacts_of, hosts_of
from preview.areas.analysis.metric import Metric
from preview.areas.analysis.mirror import other_side
from preview.areas.analysis.surface import Surface, surface_of
from tests.areas.copies import finer
from tests.areas.marked_bodies import Point
from tests.areas.small_meshes import Mesh, ball, box, joined

Ints = NDArray[np.int32]


def _surface(*parts: Mesh) -> tuple[Surface, Ints]:
    """The net of some bodies, and on which of them each face is."""
    places, faces = joined(*parts)
    vertices, triples = places.astype(np.float32), faces.astype(np.int32)
    body = np.repeat(np.arange(len(parts), dtype=np.int32), [len(f) for _, f in parts])
    return surface_of(vertices, triples, Metric.of(vertices)), body


def _box(low: Point, size: Point, times: int = 0) -> Mesh:
    """A box of twelve faces, or each of them in four so many times."""
    mesh = box(low, size)
    for _ in range(times):
        mesh = finer(*mesh)
    return mesh


def _mirrored(mesh: Mesh, shift: float) -> Mesh:
    """The mirror image in x = 0, moved along x."""
    return mesh[0] * (-1, 1, 1) + (shift, 0, 0), mesh[1][:, ::-1]


def test_the_far_wall_of_a_thin_part_is_no_image() -> None:
    left = _box((-5.1, -4, 0), (0.1, 8, 8), 3)
    surface, body = _surface(left, _mirrored(left, 0.2))
    other = other_side(surface, 0.0, TOUCH)
    along_x = surface.normal[:, 0]
    outer, inner = ((body == 0) & (sign * along_x > 0.9) for sign in (-1, 1))
    # The image of the outer wall lies nearer to the inner wall over there than to the outer one.
    assert (other[outer] < 0).all()
    assert (along_x[other[inner]] < -0.9).all()
    assert (other[inner] >= 0).all()


def test_what_lies_farther_off_than_the_reach_is_no_image() -> None:
    left = _box((-6, -4, 0), (1, 8, 8), 4)
    surface, body = _surface(left, _mirrored(left, 2.0))
    inner = (body == 0) & (surface.normal[:, 0] > 0.9)
    assert (other_side(surface, 0.0, TOUCH)[inner] < 0).all()
    assert (other_side(surface, 0.0, 2.5)[inner] >= 0).all()


def test_large_faces_cut_otherwise_are_images_all_the_same() -> None:
    places, faces = _box((-6, -4, 0), (12, 8, 8))
    surface, _ = _surface((places, faces))
    apart = surface.centre[:, None] * (-1, 1, 1) - surface.centre
    assert (np.linalg.norm(apart, axis=2).min(axis=1) > TOUCH).any()
    other = other_side(surface, 0.0, TOUCH)
    np.testing.assert_allclose(surface.normal[other] * (-1, 1, 1), surface.normal, atol=1e-6)


def test_a_loose_part_near_the_surface_takes_no_image_of_the_body() -> None:
    body, badge = _box((-6, -4, 0), (12, 8, 8), 3), _box((2, -4.05, 3), (2, 1, 2), 3)
    surface, part = _surface(body, badge)
    other = other_side(surface, 0.0, TOUCH)
    image = other[part == 0]
    assert (image >= 0).mean() > 0.9
    assert (part[image[image >= 0]] == 0).all()


def test_a_strand_goes_with_a_strand_though_more_of_it_lies_on_the_head() -> None:
    head = ball((0, 0, 0), 8.0, 32)
    places, faces = ball((0, 0, 0), 1.0, 16)
    # Two long strands side by side on top of the head, the second sunk deeper into it.
    strands = [(places * (5.0, 0.6, 0.6) + (0, y, z), faces) for y, z in ((0, 8.3), (1.2, 8.0))]
    surface, part = _surface(head, *strands)
    contacts = contacts_of(surface)
    touch = np.stack((part[contacts.one], part[contacts.other]), axis=1)
    with_head = (touch == (0, 2)).all(axis=1).sum()
    with_strand = (touch == (1, 2)).all(axis=1).sum()
    assert with_head > with_strand > 0
    labels = hosts_of(surface, contacts, np.array([0, 1, -1], np.int32)[part])
    assert (labels[part == 2] == 1).all()


def test_a_shell_between_two_alike_goes_by_the_figure_and_not_by_the_order_of_names() -> None:
    size = (10, 10, 10)
    surface, part = _surface(*(_box((x, 0, 0), size) for x in (-10, 0, 10)))
    first = np.array([int(np.flatnonzero(part == k)[0]) for k in range(3)], np.int32)
    contacts = Contacts(first[[1, 1]], first[[0, 2]])
    one = hosts_of(surface, contacts, np.array([0, -1, 1], np.int32)[part])[part == 1]
    other = hosts_of(surface, contacts, np.array([1, -1, 0], np.int32)[part])[part == 1]
    assert (one == 1 - other).all()
