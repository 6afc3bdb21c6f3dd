"""A scheme to begin from, as text: the mesh's areas, four pots of a rack, a ramp each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from preview.errors import RackFault
from preview.rack.find import find_rack
from preview.rack.paint import Rack
from preview.ramp.aims import aims_of, family_of, room_below, shortfall_in_words, wished
from preview.ramp.choose import Chosen, choose_pots, given_pots, metal_for
from preview.ramp.guess import CLOTH, Group, group_areas
from preview.ramp.materials import LOOKS, METALS, TONE_WORDS
from preview.ramp.metal import plan_metal
from preview.ramp.plan import Plan, plan_ramp, shadowless_in_words
from preview.ramp.toml_text import key_text, quoted, step_lines
from preview.ramp.tray import Tray
from preview.ramp.words import RESERVED, Role
from preview.shipped import shipped


def begin_scheme(
    area_names: Sequence[str],
    rack: Rack,
    *,
    rack_word: str = "",
    title: str = "First coat",
    meshes: Sequence[str] = (),
    turn_deg: float = 0.0,
    marks: str = "",
    pots: Mapping[Role, str] | None = None,
) -> str:
    """The text of a scheme file to begin from; it loads without faults.

    Areas whose names tell a material or a plain colour ("left boot", "Skin.001", "DarkBlue")
    get a ramp of that colour; all others are taken for cloth and take turns in hue and value.
    Names that differ by sides and copies only share a ramp. Every ramp rises in L* from shadow
    to highlight.

    Parameters
    ----------
    area_names : of the mesh, each once.
    rack : the paints one owns.
    rack_word : how the scheme names its rack; "" takes the rack's name where that finds it, else
        its path.
    title : of the scheme.
    meshes : mesh files that the scheme is for, as seen from its folder.
    turn_deg : how far the mesh is turned about the vertical.
    marks : a marks file that gives the mesh its areas, as seen from the scheme's folder.
    pots : role -> paint of the rack; None chooses them. A metal pot is added where the areas and
        the rack have a metal that look alike.

    Raises
    ------
    CannotDo : the rack has no paint for the warm, the cold or the pale pot.
    """
    groups = group_areas(area_names)
    metal, paint = metal_of(groups, rack) or (None, None)
    if pots is None:
        chosen = choose_pots(rack, wished(groups, [metal] if metal else []), paint)
    else:
        chosen = given_pots(rack, pots, paint)
    named = _names_of(groups)
    plans = _plans(groups, rack, chosen, metal)
    lines = [
        "# A scheme to begin from. Change anything: pots, drops, which area takes which ramp.",
        "# Drops are whole; a step may be mixed from other steps of its ramp.",
        f"title = {quoted(title)}",
        f"rack = {quoted(rack_word or _word_for(rack))}",
        'primer = "grey"',
        *_mesh_lines(meshes),
        *([f"marks = {quoted(marks)}"] if marks else []),
        *([f"turn = {turn_deg:g}"] if turn_deg else []),
        "",
        *_pot_lines(chosen),
        *(line for ramp, group in named.items() for line in _ramp_lines(ramp, group, plans[group])),
        "# Which ramp each area of the mesh takes.",
        "[areas]",
        *(f"{key_text(area)} = {quoted(ramp)}" for ramp, g in named.items() for area in g.areas),
    ]
    return "\n".join(lines) + "\n"


def metal_of(groups: Sequence[Group], rack: Rack) -> tuple[str, str] | None:
    """The metal of a figure that gets a pot of its own, and the paint; None without such a one."""
    metals = {g.material: np.array(LOOKS[g.material][0]) for g in groups if g.material in METALS}
    return metal_for(rack, metals)


def _mesh_lines(meshes: Sequence[str]) -> list[str]:
    """The mesh or meshes of the scheme, or no line."""
    if len(meshes) == 1:
        return [f"mesh = {quoted(meshes[0])}"]
    return [f"mesh = [{', '.join(map(quoted, meshes))}]"] if meshes else []


def _word_for(rack: Rack) -> str:
    """The rack's name if that finds it from anywhere, else its path."""
    if rack.path is None:
        return rack.name
    try:
        found = find_rack(rack.name, shipped("shared", "racks"))
    except RackFault:
        return str(rack.path.resolve())
    return rack.name if found.samefile(rack.path) else str(rack.path.resolve())


def _names_of(groups: Sequence[Group]) -> dict[str, Group]:
    """Ramp name -> its group: the material where that tells, else what the area is called."""
    named: dict[str, Group] = {}
    for group in groups:
        cloth = group.material == CLOTH
        name = group.areas[0] if cloth else _name_of(group)
        if name in RESERVED or (cloth and name in LOOKS):
            name = f"{name} cloth" if cloth else f"plain {name}"
        while name in named:
            name += " cloth" if cloth else " also"
        named[name] = group
    return named


def _name_of(group: Group) -> str:
    """What the ramp of a material or a colour is called."""
    if group.alone:
        return f"{TONE_WORDS[group.tone]}{group.material}"
    return group.material if group.stem in RESERVED else group.stem


def _plans(
    groups: Sequence[Group], rack: Rack, chosen: Chosen, metal: str | None
) -> dict[Group, tuple[Plan, str]]:
    """A plan for every ramp, each kept apart from those before it, and what it falls short of."""
    plain: dict[Role, str] = {r: name for r, name in chosen.pots.items() if r != "metal"}
    tray = Tray(rack, plain)
    metal_tray = Tray(rack, chosen.pots) if metal else tray
    aims = aims_of(groups, tray)
    plans: dict[Group, Plan] = {}
    said: dict[Group, str] = {}
    # Colours that areas are named by come first, then skin: those after them have to keep away.
    order = sorted(aims, key=lambda group: (not group.is_colour, group.material != "skin"))
    for group, aim in ((group, aims[group]) for group in order):
        others, family = list(plans.values()), family_of(group, plans)
        if group.material == metal:
            lighter = sum(other[0] > aim[0] for g, other in aims.items() if g.material == metal)
            plan, bare = plan_metal(metal_tray, lighter), ""
        else:
            plan = plan_ramp(tray, aim, others, family, room=room_below(group))
            bare = shadowless_in_words(tray, plan)
        plans[group] = plan
        lacks = (shortfall_in_words(group, tray, plan), bare)
        said[group] = " ".join(filter(None, lacks))
    return {group: (plan, said[group]) for group, plan in plans.items()}


def _pot_lines(chosen: Chosen) -> Iterator[str]:
    """The table of pots, each with what it is; a brown that is left out is explained."""
    yield "[pots]"
    for role, why in chosen.why.items():
        pot = f"{role} = {quoted(chosen.pots[role])}  " if role in chosen.pots else f"# {role}: "
        yield f"{pot}# {why}" if role in chosen.pots else f"{pot}{why}"
    yield ""


def _ramp_lines(ramp: str, group: Group, planned: tuple[Plan, str]) -> Iterator[str]:
    """One ramp's table, commented with the areas that take it and what the pots cannot reach."""
    plan, said = planned
    what = "taken for cloth" if group.material == CLOTH else group.material
    yield f"# {_comment(', '.join(group.areas))}: {TONE_WORDS[group.tone]}{what}"
    if said:
        yield f"# {said}"
    yield f"[ramps.{key_text(ramp)}]"
    yield from step_lines(plan.steps)
    yield ""


def _comment(text: str) -> str:
    """A text that may stand in a comment."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)
