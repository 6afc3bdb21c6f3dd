"""A scheme to begin from, as text: the mesh's areas, four pots of a rack, a ramp each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from preview.errors import RackFault
from preview.optics.spectrum import Floats
from preview.rack.find import find_rack
from preview.rack.paint import Rack
from preview.ramp.choose import Chosen, choose_pots
from preview.ramp.guess import CLOTH, CLOTHS, MATERIALS, Guess, guess_areas
from preview.ramp.plan import Drops, Plan, plan_ramp
from preview.ramp.tray import Tray
from preview.ramp.words import MAIN_ROLES, RESERVED

METALS, METALWORK = ("iron", "brass"), "metalwork"


def begin_scheme(
    area_names: Sequence[str],
    rack: Rack,
    *,
    rack_word: str = "",
    title: str = "First coat",
    meshes: Sequence[str] = (),
    turn_deg: float = 0.0,
) -> str:
    """The text of a scheme file to begin from; it loads without faults.

    Areas whose names tell the material ("left boot", "Skin.001") share a ramp of a likely
    colour; all others are taken for cloth and take turns in hue and value. Every ramp rises in
    L* from shadow to highlight.

    Parameters
    ----------
    area_names : of the mesh, each once.
    rack : the paints one owns.
    rack_word : how the scheme names its rack; "" takes the rack's name where that finds it, else
        its path.
    title : of the scheme.
    meshes : mesh files that the scheme is for, as seen from its folder.
    turn_deg : how far the mesh is turned about the vertical.

    Raises
    ------
    CannotDo : the rack has no paint for the warm, the cold or the pale pot.
    """
    guesses = guess_areas(area_names)
    chosen = choose_pots(rack, _needed(guesses), any(g.material in METALS for g in guesses))
    named = _ramps_of(guesses, "metal" in chosen.pots)
    plans = _plans(named, rack, chosen)
    lines = [
        "# A scheme to begin from. Change anything: pots, drops, which area takes which ramp.",
        "# Drops are whole; a step may be mixed from other steps of its ramp.",
        f"title = {_quoted(title)}",
        f"rack = {_quoted(rack_word or _word_for(rack))}",
        'primer = "grey"',
        *_mesh_lines(meshes),
        *([f"turn = {turn_deg:g}"] if turn_deg else []),
        "",
        *_pot_lines(chosen),
        *(line for ramp in named for line in _ramp_lines(ramp, named[ramp], plans[ramp])),
        "# Which ramp each area of the mesh takes.",
        "[areas]",
        *(f"{_key(g.area)} = {_quoted(r)}" for r, members in named.items() for g in members),
    ]
    return "\n".join(lines) + "\n"


def _mesh_lines(meshes: Sequence[str]) -> list[str]:
    """The mesh or meshes of the scheme, or no line."""
    if len(meshes) == 1:
        return [f"mesh = {_quoted(meshes[0])}"]
    return [f"mesh = [{', '.join(map(_quoted, meshes))}]"] if meshes else []


def _word_for(rack: Rack) -> str:
    """The rack's name if that finds it from anywhere, else its path."""
    if rack.path is None:
        return rack.name
    try:
        found = find_rack(rack.name)
    except RackFault:
        return str(rack.path.resolve())
    return rack.name if found.samefile(rack.path) else str(rack.path.resolve())


def _needed(guesses: Sequence[Guess]) -> list[Floats]:
    """(3,) CIELAB of each material of the figure; of skin, leather and rock when it names none."""
    materials = [g.material for g in guesses if g.material not in (CLOTH, *METALS)]
    return [np.array(MATERIALS[m][0]) for m in materials or ("skin", "leather", "rock")]


def _ramps_of(guesses: Sequence[Guess], metal: bool) -> dict[str, list[Guess]]:
    """Ramp name -> its areas: one per material, one per area of cloth, one for a metal pot."""
    named: dict[str, list[Guess]] = {}
    for guess in guesses:
        name = guess.area if guess.material == CLOTH else guess.material
        if metal and guess.material in METALS:
            name = METALWORK
        if name in RESERVED or (guess.material == CLOTH and name in (*MATERIALS, METALWORK)):
            name = f"{name} cloth"
        while guess.material == CLOTH and name in named:
            name += " cloth"
        named.setdefault(name, []).append(guess)
    return named


def _plans(named: Mapping[str, list[Guess]], rack: Rack, chosen: Chosen) -> dict[str, Plan]:
    """A plan for every ramp, each kept apart from those before it."""
    plain = {role: name for role, name in chosen.pots.items() if role in MAIN_ROLES}
    tray = Tray(rack, plain)
    plans: dict[str, Plan] = {}
    for ramp, members in named.items():
        if ramp == METALWORK:
            metal = Tray(rack, {**plain, "metal": chosen.pots["metal"]})
            plans[ramp] = plan_ramp(metal, metal.lab(metal.unit("metal")), base="metal")
        else:
            plans[ramp] = plan_ramp(tray, _aim(members[0], tray), list(plans.values()))
    return plans


def _aim(guess: Guess, tray: Tray) -> Floats:
    """(3,) CIELAB of the mid-tone that an area should have."""
    if guess.material != CLOTH:
        return np.array(MATERIALS[guess.material][0])
    role, share, lightness = CLOTHS[guess.turn]
    own = tray.lab(tray.unit(role))
    return np.array([lightness, share * own[1], share * own[2]])


def _pot_lines(chosen: Chosen) -> Iterator[str]:
    """The table of pots, each with what it is; a brown that is left out is explained."""
    yield "[pots]"
    for role, why in chosen.why.items():
        pot = f"{role} = {_quoted(chosen.pots[role])}  " if role in chosen.pots else f"# {role}: "
        yield f"{pot}# {why}" if role in chosen.pots else f"{pot}{why}"
    yield ""


def _ramp_lines(ramp: str, members: Sequence[Guess], plan: Plan) -> Iterator[str]:
    """One ramp's table, commented with the areas that take it."""
    what = "taken for cloth" if members[0].material == CLOTH else members[0].material
    yield f"# {_comment(', '.join(guess.area for guess in members))}: {what}"
    yield f"[ramps.{_key(ramp)}]"
    if plan.shadow:
        yield f"shadow = {_drops(plan.shadow)}"
    yield f"midtone = {_drops(plan.midtone)}"
    if plan.highlights:
        yield f"highlight = [{', '.join(_drops(drops) for drops in plan.highlights)}]"
    yield ""


def _drops(drops: Drops) -> str:
    """Drops as an inline table."""
    return "{ " + ", ".join(f"{word} = {count}" for word, count in drops.items()) + " }"


def _key(word: str) -> str:
    """A TOML key, in quotes unless it is plain."""
    plain = word.isascii() and word.replace("-", "a").replace("_", "a").isalnum()
    return word if plain else _quoted(word)


def _quoted(text: str) -> str:
    """A TOML basic string."""
    escaped = "".join(_escaped(letter) for letter in text)
    return f'"{escaped}"'


def _escaped(letter: str) -> str:
    """One character of a TOML basic string."""
    if letter in '"\\':
        return "\\" + letter
    return f"\\u{ord(letter):04x}" if ord(letter) < 32 or ord(letter) == 127 else letter


def _comment(text: str) -> str:
    """A text that may stand in a comment."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)
