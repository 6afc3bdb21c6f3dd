"""A small figure with a scheme that has what guides must cope with."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from preview.areas.sculpt import Sculpt
from preview.flow import Stand, paint_sculpt
from preview.guide.amounts import Amounts, amounts_of
from preview.guide.batches import Habits
from preview.guide.guide import Guide, guide_of
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from tests.sculpts import sculpt_of, sphere_mesh

# Nine steps, a glaze, a mix that two ramps share, a pot alone, a metal pot, a bare area.
SCHEME = """
title = "Signal post"
rack = "harbour"
primer = "grey"
rig = { sky = 1.0, key = 0.0, recess = 0.0, edge = 0.0, spread = 1.0 }

[pots]
warm = "rust orange"
cold = "deep sea blue"
pale = "sailcloth"
brown = "tarred rope"
metal = "old brass"

[ramps.tall]
deep = { cold = 5, brown = 1 }
shadow = { cold = 2, brown = 1 }
midtone = { warm = 3, cold = 1 }
highlight = [
  { midtone = 8, pale = 1 }, { midtone = 6, pale = 1 }, { midtone = 4, pale = 1 },
  { midtone = 3, pale = 1 }, { midtone = 2, pale = 1 }, { pale = 1 },
]

[ramps.glazed]
shadow = { cold = 1, glaze = 0.5, over = "midtone" }
midtone = { warm = 6, cold = 2 }
highlight = { warm = 1, pale = 1 }

[ramps.one]
midtone = { warm = 1, cold = 14, pale = 33 }

[ramps.fittings]
shadow = { metal = 2, brown = 1 }
midtone = { metal = 1 }
finish = "metallic"

[areas]
"lamp_housing_with_a_name_that_is_longer_than_any_line" = "tall"
post = "glazed"
step = "one"
ring = "fittings"
"""

NAMES = (
    "lamp_housing_with_a_name_that_is_longer_than_any_line",
    "post",
    "step",
    "ring",
    "ground left bare",
)


def post_sculpt() -> Sculpt:
    """Five balls on a string, 34 mm tall, each an area."""
    vertices, faces, area = [], [], []
    for number, (radius, z) in enumerate(((5, 29), (4, 21), (4, 14), (2, 9), (4, 4))):
        ball = trimesh.creation.icosphere(subdivisions=3, radius=radius)
        faces.append(np.asarray(ball.faces) + sum(map(len, vertices)))
        vertices.append(np.asarray(ball.vertices) + np.array([0.0, 0.0, z]))
        area.append(np.full(len(ball.faces), number))
    return sculpt_of(np.concatenate(vertices), np.concatenate(faces), np.concatenate(area), NAMES)


@pytest.fixture(scope="session")
def scheme(tmp_path_factory: pytest.TempPathFactory) -> Scheme:
    """The scheme for the five balls."""
    path = tmp_path_factory.mktemp("guide") / "post.toml"
    path.write_text(SCHEME, encoding="utf-8")
    return load_scheme(path)


@pytest.fixture(scope="session")
def stand() -> Stand:
    """The five balls."""
    return Stand(post_sculpt(), "scan")


@pytest.fixture(scope="session")
def globe() -> Stand:
    """A sphere of 15 mm in one area called plain; its light is baked once."""
    return Stand(sculpt_of(*sphere_mesh(subdivisions=4)), "scan")


@pytest.fixture(scope="session")
def amounts(stand: Stand, scheme: Scheme) -> Amounts:
    """What they take by default."""
    return amounts_of(stand, paint_sculpt(stand, scheme), Habits())


@pytest.fixture(scope="session")
def guide(stand: Stand, amounts: Amounts) -> Guide:
    """Their guide."""
    return guide_of(stand, amounts)


@pytest.fixture
def scheme_of(tmp_path: Path):
    """Write a scheme of one ramp on an area called plain and load it."""

    def load(ramp: str, warm: str = "rust orange") -> Scheme:
        path = tmp_path / "plain.toml"
        pots = SCHEME[SCHEME.index("[pots]") : SCHEME.index("[ramps.tall]")]
        pots = pots.replace("rust orange", warm)
        rig = "rig = { sky = 1.0, key = 0.0, recess = 0.0, edge = 0.0, spread = 0.0 }"
        head = f'title = "Plain"\nrack = "harbour"\nprimer = "grey"\n{rig}\n'
        text = f'{head}{pots}[ramps.plain]\n{ramp}\n[areas]\nplain = "plain"\n'
        path.write_text(text, encoding="utf-8")
        return load_scheme(path)

    return load
