"""Mesh files in, one sculpt out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.cache import sculpt_kept
from preview.areas.exposed import exposed_faces
from preview.areas.facing import area_vectors, lengths
from preview.areas.formats import can_begin, read_soup
from preview.areas.gathering import gathered
from preview.areas.mending import Mended, mended, ordered, welded, without_flat
from preview.areas.naming import chosen, cleaned, from_shells, with_rest
from preview.areas.placing import Wish, checked_wish, place
from preview.areas.repairs import told
from preview.areas.sculpt import Sculpt
from preview.areas.soup import Labels, Soup
from preview.areas.winding import shells_inside_out
from preview.errors import Fault, MeshFault
from preview.progress import Progress, silent
from preview.shape.compiled import get_ready
from preview.shape.curve import along_curve
from preview.shape.neighbours import Neighbours, shells_of
from preview.shape.rays import RayScene
from preview.shape.threads import at_once

_STEPS = 4


def load_sculpt(
    paths: Path | str | Sequence[Path | str],
    *,
    unit: str | None = None,
    up: str | None = None,
    figure_mm: float | None = None,
    turn_deg: float = 0.0,
    progress: Progress = silent,
) -> Sculpt:
    """Read a figure from one or several mesh files, mend it, and find its areas.

    Areas come from materials, else groups, objects, named solids, distinct colours, files,
    separate shells; the first of these that tells two parts apart decides. A height of 15 to 150
    is taken as mm, anything else is scaled to 32 mm. What was found out about a mesh is kept in the
    cache folder, under a hash of all that the files hold.

    Parameters
    ----------
    paths : one file or several that make one figure: STL, OBJ, 3MF, GLB, glTF or PLY.
    unit : "mm", "cm", "inch", "metre" ...; the file's numbers are then taken in it as they are.
    up : the file's axis that is up: "z", "y", "x", or one of these with a minus.
    figure_mm : mm, 1 to 2000; scale the figure to this height instead.
    turn_deg : degrees, -360 to 360; turn the figure about the vertical, counter-clockwise seen
        from above.
    progress : told of each step.

    Returns
    -------
    Sculpt : in mm, Z up, with what was mended and the way back to the faces of the files.

    Raises
    ------
    MeshFault : a file is missing, a folder, empty, cut off, of no supported kind, or holds no
        usable face; the message points at the file.
    UsageError : unit, up, figure_mm or turn_deg is no valid value.

    Notes
    -----
    Holds exactly: the order of the faces changes no area. Moving the figure, or turning it about
    Z, changes areas by rounding only.
    Leaves out: holes stay open; shells that cut each other stay apart, what lies inside is hidden.

    Examples
    --------
    >>> from preview.shipped import shipped
    >>> keeper = load_sculpt(shipped("meshes", "keeper.glb"))
    >>> keeper.placement.unit, len(keeper.area_names) >= 10
    ('metre', True)
    """
    wish = checked_wish(unit, up, figure_mm, turn_deg)
    files = [Path(p) for p in ([paths] if isinstance(paths, str | Path) else paths)]
    if not files:
        raise MeshFault("no mesh file was given", "", "name at least one")
    progress("read mesh", 0, _STEPS)
    # Files that are refused outright need not wait for Numba.
    beside = [get_ready] if all(map(can_begin, files)) else []
    sculpt: Sculpt = at_once(lambda: _load(files, wish, progress), *beside)[0]
    return sculpt


def _load(files: Sequence[Path], wish: Wish, progress: Progress) -> Sculpt:
    """The sculpt of some files, from the cache when it holds it."""
    soup = gathered(files, _read_all(files))
    try:
        name = files[0].stem
        sculpt = sculpt_kept(name, soup, wish, lambda: sculpt_from_soup(name, soup, wish, progress))
        progress("find areas", _STEPS, _STEPS)
        return sculpt
    except MeshFault as error:
        where = ", ".join(map(str, files))
        raise MeshFault.of(
            [Fault(f.what, f.where or where, f.fix) for f in error.faults]
        ) from error


def _read_all(files: Sequence[Path]) -> list[Soup]:
    """Every file's triangles; one MeshFault for all files that are wrong."""
    soups: list[Soup] = []
    faults: list[Fault] = []
    for path in files:
        try:
            soups.append(read_soup(path))
        except MeshFault as error:
            faults += error.faults
    if faults:
        raise MeshFault.of(faults)
    return soups


def sculpt_from_soup(
    name: str, soup: Soup, wish: Wish | None = None, progress: Progress = silent
) -> Sculpt:
    """Mend a soup of triangles, place it, and find its areas.

    Parameters
    ----------
    name : the figure's name.
    soup : as read from files.
    wish : what the user says about unit, axis and height.
    progress : told of each step.

    Raises
    ------
    MeshFault : nothing usable is left.
    """
    progress("mend mesh", 1, _STEPS)
    label = chosen(soup.labels)
    joined = welded(soup.vertices, soup.faces)
    order, (placed, placement) = at_once(
        lambda: along_curve(joined.vertices, joined.faces),
        lambda: place(joined.vertices, joined.faces, wish or Wish(), soup.unit, soup.up),
    )
    raw = without_flat(ordered(_in_mm(joined, placed), order))
    hint = label.of_face if label else np.zeros(len(soup.faces), np.int32)
    # Mostly there is nothing to mend, so the scene for rays is made at once.
    scene, (mesh, pairs) = at_once(
        lambda: RayScene(raw.vertices, raw.faces), lambda: mended(raw, hint)
    )
    progress("find hidden faces", 2, _STEPS)
    body = _body(mesh, pairs, scene)
    progress("find areas", 3, _STEPS)
    labels, said = _areas(name, soup, label, mesh, body)
    sculpt = Sculpt(
        name=name,
        vertices=body.scene.vertices,
        faces=body.scene.faces,
        area=labels.of_face,
        area_names=labels.names,
        source_face=soup.source_face[mesh.kept],
        exposed=body.exposed,
        placement=placement,
        areas_from=said,
        repairs=(*soup.notes, *told(mesh.repairs), *_told_of_turned(body)),
        warnings=soup.warnings,
    )
    # The scene was made for the hidden faces already; a cached property keeps its value here.
    sculpt.__dict__["rays"] = body.scene
    return sculpt


def _in_mm(mesh: Mended, placed: NDArray[np.float64]) -> Mended:
    """The mesh with its placed vertices as float32, and those joined that became equal by it."""
    vertices = placed.astype(np.float32)
    if mesh.vertices.dtype == np.float64:
        again = welded(vertices, mesh.faces)
        return Mended(again.vertices, again.faces, mesh.kept, mesh.repairs)
    return Mended(vertices, mesh.faces, mesh.kept, mesh.repairs)


@dataclass(frozen=True, eq=False)
class _Body:
    """The mended mesh with the outside of every shell outside.

    scene : the mesh, ready for rays.
    shells, shell : how many shells there are; (faces,) which of them a face belongs to.
    turned : (faces,) the face was turned with its shell.
    exposed : (faces,) the face can be seen.
    """

    scene: RayScene
    shells: int
    shell: NDArray[np.int32]
    turned: NDArray[np.bool_]
    exposed: NDArray[np.bool_]


def _body(mesh: Mended, pairs: Neighbours, scene: RayScene) -> _Body:
    """Turn shells that are inside out, and find the faces that can be seen.

    scene : of the mesh, or of what it was before it was mended.
    """
    count, shell = shells_of(len(mesh.faces), pairs)
    turned = shells_inside_out(mesh.vertices, mesh.faces, shell, count)[shell]
    # Mending that found nothing to do gives back the very array that the scene was made of.
    if scene.faces is not mesh.faces:
        scene = RayScene(mesh.vertices, mesh.faces)
    if turned.any():
        scene = scene.turned(turned)
    exposed = exposed_faces(scene, _closed(pairs, shell, count))
    return _Body(scene, count, shell, turned, exposed)


def _closed(pairs: Neighbours, shell: NDArray[np.int32], count: int) -> NDArray[np.bool_]:
    """Which faces belong to a shell that has no open edge and is wound alike throughout."""
    closed = np.ones(count, np.bool_)
    closed[shell[pairs.open_face]] = False
    closed[shell[pairs.left[pairs.same_way & ~pairs.crowded]]] = False
    return closed[shell]


def _told_of_turned(body: _Body) -> tuple[str, ...]:
    """A sentence for the shells that showed their inside.

    Shells that nobody sees are left out: the inner wall of a hollow figure rightly faces inward.
    """
    number = len(np.unique(body.shell[body.turned & body.exposed]))
    if not number:
        return ()
    what = "1 shell that was" if number == 1 else f"{number:,} shells that were"
    return (f"turned {what} inside out",)


def _areas(
    name: str, soup: Soup, label: Labels | None, mesh: Mended, body: _Body
) -> tuple[Labels, str]:
    """The area of each face that is left, and where the areas come from."""
    if label is not None:
        files = next((x for x in soup.labels if x.kind == "files"), None)
        whole = with_rest(label, files)
        kept = cleaned(Labels(whole.kind, whole.names, whole.of_face[mesh.kept]))
        return kept, f"the {len(kept.names)} {kept.kind} of the mesh"
    why = _why_no_colours(soup)
    mm2 = lengths(area_vectors(mesh.vertices, mesh.faces))
    found = from_shells(body.shell, body.shells, mm2, body.exposed)
    if found is not None:
        return found[0], found[1] + why
    only = Labels("one", (name or "figure",), np.zeros(len(mesh.faces), np.int32))
    return only, "the whole figure, which has no parts that a file or a gap tells apart" + why


def _why_no_colours(soup: Soup) -> str:
    """Why the colours of a file, if it has any, name no areas."""
    blended = any(label.kind == "colours" and not label.names for label in soup.labels)
    return "; its colours are too many to name areas" if blended else ""
