"""One model part of a 3MF package, read element by element as text that may be hostile."""

from __future__ import annotations

import itertools
from array import array
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.bulk_3mf import Bulk, bulk_of
from preview.errors import MeshFault

_PRODUCTION = "{http://schemas.microsoft.com/3dmanufacturing/production/2015/06}path"

Matrix = NDArray[np.float64]


@dataclass
class Component:
    """An object placed inside another, or on the build plate."""

    object_id: str
    part: str
    matrix: Matrix


@dataclass
class Object:
    """A mesh or a set of components, with what the file says about its material.

    properties : for each triangle, index into Model.properties; -1 where it says nothing itself.
    """

    name: str
    kind: str
    pid: str
    pindex: str
    vertices: array[float] = field(default_factory=lambda: array("d"))
    corners: array[int] = field(default_factory=lambda: array("i"))
    properties: array[int] = field(default_factory=lambda: array("i"))
    components: list[Component] = field(default_factory=list)


@dataclass
class Model:
    """All that a model part holds.

    groups : resource id -> (kind, names), kind being "materials" or "colours".
    properties : (resource id, index in it), each distinct pair that triangles name.
    """

    unit: str = "millimeter"
    objects: dict[str, Object] = field(default_factory=dict)
    groups: dict[str, tuple[str, list[str]]] = field(default_factory=dict)
    properties: dict[tuple[str, str], int] = field(default_factory=dict)
    build: list[Component] = field(default_factory=list)


def read_model(path: Path, data: bytes) -> Model:
    """Read a model part; raises MeshFault. No outside entity is fetched, none is expanded."""
    from lxml import etree

    bulk = bulk_of(data)
    reader = _Reader(bulk)
    try:
        for _, element in etree.iterparse(
            BytesIO(data if bulk is None else bulk.rest), events=("start",), huge_tree=True,
            resolve_entities=False, no_network=True, load_dtd=False, remove_comments=True,
            remove_pis=True,
        ):  # fmt: skip
            reader.take(element.tag, element.attrib)
            _forget_before(element)
    except (etree.XMLSyntaxError, ValueError, KeyError, OverflowError, IndexError) as error:
        raise MeshFault(
            f"the model inside the 3MF file cannot be read ({error!r})",
            str(path),
            "copy or export the file again",
        ) from error
    return reader.model


def _forget_before(element: Any) -> None:
    """Drop what was read already, so that memory does not grow with the file."""
    parent = element.getparent()
    if parent is not None:
        before = element.getprevious()
        if before is not None:
            parent.remove(before)


class _Reader:
    """Takes elements in the order of the file and fills a model."""

    def __init__(self, bulk: Bulk | None) -> None:
        self.model = Model()
        self._vertex_lists = iter(bulk.vertices if bulk else ())
        self._triangle_lists = iter(bulk.triangles if bulk else ())
        self._object = Object("", "", "", "")
        self._names: list[str] = []
        self._take: dict[str, Callable[[Mapping[str, str]], None]] = {
            "vertices": self._vertices,
            "triangles": self._triangles,
            "vertex": self._vertex,
            "triangle": self._triangle,
            "model": self._model,
            "object": self._new_object,
            "component": self._component,
            "basematerials": self._materials,
            "base": self._base,
            "colorgroup": self._colours,
            "color": self._colour,
            "item": self._item,
        }

    def take(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Take one element by its name without its namespace; unknown ones are passed over."""
        taker = self._take.get(tag.rpartition("}")[2])
        if taker is not None:
            taker(attributes)

    def _vertices(self, at: Mapping[str, str]) -> None:
        for places in itertools.islice(self._vertex_lists, 1):
            self._object.vertices.frombytes(places.tobytes())

    def _triangles(self, at: Mapping[str, str]) -> None:
        for some in itertools.islice(self._triangle_lists, 1):
            self._object.corners.frombytes(some.corners.astype(np.intc).tobytes())
            pairs, pair_of = np.unique((some.pid + 1) << 32 | (some.p1 + 1), return_inverse=True)
            numbers = [self._property((v >> 32) - 1, (v & 0xFFFFFFFF) - 1) for v in pairs.tolist()]
            self._object.properties.frombytes(np.array(numbers, np.intc)[pair_of].tobytes())

    def _property(self, pid: int, p1: int) -> int:
        if pid < 0 and p1 < 0:
            return -1
        item, known = self._object, self.model.properties
        pair = (str(pid) if pid >= 0 else item.pid, str(p1) if p1 >= 0 else item.pindex)
        return known.setdefault(pair, len(known))

    def _vertex(self, at: Mapping[str, str]) -> None:
        self._object.vertices.extend((float(at["x"]), float(at["y"]), float(at["z"])))

    def _triangle(self, at: Mapping[str, str]) -> None:
        item = self._object
        item.corners.extend((int(at["v1"]), int(at["v2"]), int(at["v3"])))
        item.properties.append(self._property(int(at.get("pid", -1)), int(at.get("p1", -1))))

    def _model(self, at: Mapping[str, str]) -> None:
        self.model.unit = at.get("unit", "millimeter")

    def _new_object(self, at: Mapping[str, str]) -> None:
        self._object = Object(
            at.get("name", ""), at.get("type", "model"), at.get("pid", ""), at.get("pindex", "0")
        )
        self.model.objects[at["id"]] = self._object

    def _component(self, at: Mapping[str, str]) -> None:
        self._object.components.append(_placed(at))

    def _materials(self, at: Mapping[str, str]) -> None:
        self._names = []
        self.model.groups[at["id"]] = ("materials", self._names)

    def _base(self, at: Mapping[str, str]) -> None:
        self._names.append(at.get("name", "") or at.get("displaycolor", "")[:7].lower())

    def _colours(self, at: Mapping[str, str]) -> None:
        self._names = []
        self.model.groups[at["id"]] = ("colours", self._names)

    def _colour(self, at: Mapping[str, str]) -> None:
        self._names.append(at["color"][:7].lower())

    def _item(self, at: Mapping[str, str]) -> None:
        self.model.build.append(_placed(at))


def _placed(at: Mapping[str, str]) -> Component:
    """A component or build item; its transform has four rows of three numbers."""
    matrix = np.eye(4)
    if "transform" in at:
        matrix[:, :3] = np.array([float(word) for word in at["transform"].split()]).reshape(4, 3)
    return Component(at["objectid"], at.get(_PRODUCTION, ""), matrix)
