"""The guide's contents as plain words, numbers and colours, the same for paper and page."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from itertools import combinations
from typing import Any

from preview.guide.alone import AreaView
from preview.guide.batches import Batch
from preview.guide.colour_words import colour_in_words
from preview.guide.guide import Guide
from preview.guide.laid import BASE_COATS, Laid
from preview.optics.appearance import hex_from_reflectance, lab_from_reflectance
from preview.optics.spectrum import Floats
from preview.present.canvas import colour_from_hex, ink_on
from preview.present.palette import mark_of_step, one_place
from preview.present.words import CAUTIONS, certainty_in_words, figure_in_words
from preview.rack.defaults import covering_known_from
from preview.ramp.levels import step_reflectance
from preview.ramp.ramp import Ramp, Step
from preview.ramp.scheme import Scheme
from preview.ramp.words import group_of, step_in_words

Words = dict[str, Any]

# Of every two pots these whole drops stand on the mixing chart.
CHART_RATIOS = ((3, 1), (1, 1), (1, 3))

PRINT = (
    "Colours on paper and screen are only indicative: try a drop on primed card before you trust "
    "a swatch."
)
MIXING = (
    "as the areas are painted; each mix after those it is made from, else from dark to light, so "
    "that what is wet on the palette is carried on (common practice, no source)."
)
PAINTING = (
    "From the inside out and from deep to raised: what lies deep within the figure and sees little "
    "sky comes first, so that a slip is painted over later (common practice, no source)."
)
DABS = (
    "Where it says dabs, less than a quarter of the recipe is needed: take the same parts with the "
    "tip of a brush."
)
# Between a count and what it counts no line may break.
_HELD = "\u00a0"
CARDS = "In the order of painting; the lightest step stands on top, as light falls."
CHART = "Parts by drops, the left pot first."


def guide_in_words(guide: Guide) -> Words:
    """All that stands in the guide but its pictures, ready for JSON."""
    amounts = guide.amounts
    painted = amounts.painted
    sculpt, scheme = painted.sculpt, painted.scheme
    named = [{"letter": guide.letters[n], "name": n} for n in sculpt.area_names]
    order = [named[k] for k in amounts.order]
    return {
        "title": scheme.title,
        "figure": figure_in_words(painted),
        "areas": sorted(named, key=lambda a: (len(a["letter"]), a["letter"])),
        "sides": [
            {
                "name": side.name,
                "size": [side.picture.shape[1], side.picture.shape[0]],
                "letters": [
                    {"letter": letter.letter, "spot": letter.spot, "at": letter.at}
                    for letter in side.letters
                ],
            }
            for side in guide.sides
        ],
        "pots": [_pot(guide, number) for number in range(len(amounts.pots))],
        "order": order,
        "painting": PAINTING,
        "mixes": [_mix(guide, batch) for batch in amounts.batches],
        "mixing": f"{_for_whom(guide)}, ramp by ramp {MIXING} {_lost(guide)} {DABS}",
        "cards": [
            _card(guide, area, place, len(order)) for place, area in enumerate(amounts.order, 1)
        ],
        "cards_note": CARDS,
        "chart": _chart(scheme),
        "chart_note": _chart_note(scheme),
        "assumed": _assumed(guide),
        "print": PRINT,
        "certainty": certainty_in_words(painted),
        "notes": list(amounts.notes),
        "cautions": list(CAUTIONS),
    }


def _swatch(reflectance: Floats) -> Words:
    """A colour with the ink that reads on it, its name and its lightness."""
    colour = hex_from_reflectance(reflectance)
    lab = lab_from_reflectance(reflectance)
    return {
        "colour": colour,
        "ink": "#{:02x}{:02x}{:02x}".format(*ink_on(colour_from_hex(colour))),
        "words": f"{colour_in_words(lab)}, L*{_HELD}{float(lab[0]):.0f}",
    }


def _pot(guide: Guide, number: int) -> Words:
    """One pot: its sign, its colour, what it gives and keeps."""
    use = guide.amounts.pots[number]
    scheme = guide.amounts.painted.scheme
    paint = scheme.rack.paints[use.paint]
    gives = (
        f"needs {one_place(use.drops)} drop{'' if use.drops == 1 else 's'}, {one_place(use.ml)} ml"
    )
    needed = sum(
        batch.needed * batch.recipe.get(use.paint, 0) / sum(batch.recipe.values())
        for batch in guide.amounts.batches
    )
    habits = guide.amounts.habits
    lost = habits.waste * needed
    figures = "figure" if habits.figures == 1 else "figures"
    spent = (
        f"{one_place(needed - lost)} on the {figures}, {one_place(lost)} on brush and palette, "
        f"{one_place(max(0.0, use.drops - needed))} left over"
    )
    keeps = ""
    if use.left_ml is not None:
        short = use.left_ml < 0
        keeps = (
            "too little in the pot" if short else f"leaves {use.left_ml:.1f} of {use.stock_ml:g} ml"
        )
    hiding = {"semi": "half opaque", "unknown": ""}.get(paint.hiding, paint.hiding)
    swatch = _swatch(scheme.rack.mix({use.paint: 1}).reflectance)
    swatch["words"] = ", ".join(filter(None, (swatch["words"], hiding)))
    metal = "metallic: the swatch cannot show its glint" if paint.finish == "metallic" else ""
    return {
        **swatch,
        "sign": sign_of_pot(use.role),
        "role": use.role,
        "name": use.paint,
        "facts": [fact for fact in (" + ".join(paint.pigments), metal) if fact],
        "gives": gives,
        "spent": spent if use.drops else "",
        "keeps": keeps,
    }


def sign_of_pot(role: str) -> str:
    """The letter on a pot's drops."""
    return role[0].upper()


def _mix(guide: Guide, batch: Batch) -> Words:
    """One mix as it is made."""
    painted = guide.amounts.painted
    scheme = painted.scheme
    ramp = scheme.ramps[batch.ramp]
    # Dabs are counted in parts, whatever they come to.
    times = 1 if batch.dabs else int(batch.times)
    parts = _parts(guide, ramp, batch.written, times)
    return {
        **_swatch(ramp.step(batch.step).mix.reflectance),
        "number": batch.number,
        "uses": [f"{name} {step_in_words(step)}" for name, step in batch.uses],
        "parts": parts,
        "ratio": "" if batch.alone else " : ".join(str(n) for n in batch.written.values()),
        "drops": "dabs" if batch.dabs else one_place(batch.drops),
        "needed": "–" if batch.dabs else one_place(batch.needed),
        "taken": "–" if batch.dabs or not batch.taken else one_place(batch.taken),
        "left": "–" if batch.dabs else one_place(batch.left),
    }


def _parts(guide: Guide, ramp: Ramp, drops: Mapping[str, int], times: int) -> list[Words]:
    """What goes into a mix: for each pot or mix its sign, colour, name and count."""
    scheme = guide.amounts.painted.scheme
    lights = sum(group_of(step.name) == "highlight" for step in ramp.steps)
    roles = {str(role): name for role, name in scheme.pots.items()}
    parts = []
    for word, count in drops.items():
        pot = word in roles
        mix = scheme.rack.mix({roles[word]: 1}) if pot else ramp.step(word).mix
        swatch = _swatch(mix.reflectance)
        parts.append(
            {
                "sign": sign_of_pot(word) if pot else mark_of_step(word, lights),
                "mix": not pot,
                "colour": swatch["colour"],
                "ink": swatch["ink"],
                "name": roles[word] if pot else _mix_in_words(guide, ramp.step(word)),
                "count": count * times,
            }
        )
    return parts


def _mix_in_words(guide: Guide, step: Step) -> str:
    """A step's name with the number of its mix: "midtone (mix 7)"."""
    batch = guide.amounts.batch_of(step)
    name = step_in_words(step.name)
    return name if batch is None else f"{name} (mix{_HELD}{batch.number})"


def _card(guide: Guide, area: int, place: int, of: int) -> Words:
    """One area's recipe card, the lightest step on top as light falls."""
    painted = guide.amounts.painted
    name, ramp = painted.sculpt.area_names[area], painted.ramp_of_area[area]
    alone = guide.alone.get(name)
    primer = painted.scheme.primer
    card: Words = {
        "letter": guide.letters[name],
        "name": name,
        "place": f"{place} of {of}",
        "facts": [f"{painted.coverage[area].mm2:.0f} mm²"],
        "picture": None if alone is None else f"area-{area}",
        "seen": "" if alone is None else _seen_in_words(alone),
        "marks": []
        if alone is None
        else [{"letter": m.group[0].upper(), "x": m.x, "y": m.y, "at": m.at} for m in alone.marks],
        "steps": [],
        "bare": "",
        "covered": "",
    }
    if ramp is None:
        card["bare"] = f"stays in bare {primer.name} primer"
        card["steps"] = [{**_swatch(primer.reflectance), "name": "primer", "mix": "", "parts": [],
                          "said": "", "facts": ["no paint"]}]  # fmt: skip
        return card
    shared = "" if ramp.name == name else f"ramp {ramp.name}, "
    card["facts"].append(f"{shared}{ramp.finish}, {ramp.edges}")
    looks = step_reflectance(ramp, primer.reflectance)
    rows = {row.step: row for row in guide.amounts.laid if row.area == name}
    mm2 = sum(row.shown_mm2 for row in rows.values())
    made_with = {step.name: _made_with(guide, area, step) for step in ramp.steps}
    mixes = {made_with[step.name] for step in ramp.steps if _is_mixed(guide, step)}
    if len(mixes) == 1 and "" not in mixes:
        # One sentence for the whole card.
        card["covered"] = f"mixes {mixes.pop()}: keep them covered"
        made_with = dict.fromkeys(made_with, "")
    card["steps"] = [
        _step(guide, ramp, index, looks[index], rows[ramp.steps[index].name], mm2, made_with)
        for index in reversed(range(len(ramp.steps)))
    ]
    return card


def _seen_in_words(alone: AreaView) -> str:
    """From where an area's picture is taken, and whether it shows one piece of several."""
    return f"{'' if alone.whole else 'its largest piece, '}seen from the {alone.side}"


def _is_mixed(guide: Guide, step: Step) -> bool:
    """Whether a step's paint is mixed, and not one pot as it stands."""
    batch = guide.amounts.batch_of(step)
    return batch is not None and not batch.alone


def _made_with(guide: Guide, area: int, step: Step) -> str:
    """With which area's card a step's mix is made when that is painted earlier; "" if not."""
    amounts = guide.amounts
    batch = amounts.batch_of(step)
    if batch is None or batch.alone:
        return ""
    ramps = {ramp for ramp, _ in batch.uses}
    painted = amounts.painted
    first = next(
        k
        for k in amounts.order
        if (ramp := painted.ramp_of_area[k]) is not None and ramp.name in ramps
    )
    name = painted.sculpt.area_names[first]
    return "" if first == area else f"made with {guide.letters[name]}{_HELD}{name}"


def _step(
    guide: Guide,
    ramp: Ramp,
    index: int,
    look: Floats,
    laid: Laid,
    mm2: float,
    made_with: Mapping[str, str],
) -> Words:
    """One step of a card."""
    step = ramp.steps[index]
    batch = guide.amounts.batch_of(step)
    parts = _parts(guide, ramp, step.drops, 1)
    swatch = _swatch(look)
    if step.mix.certainty == "estimate":
        swatch["words"] = f"≈ {swatch['words']}"
    share = f"{100 * laid.shown_mm2 / max(mm2, 1e-12):.0f}{_HELD}%"
    facts = [_coats_in_words(laid), f"{share} of the area"]
    if laid.first:
        # Glazes on bare primer keep the base coat from where they lie.
        everywhere = laid.shown_mm2 + laid.under_mm2 > mm2 * (1 - 1e-9)
        facts = [
            "first, over all of it" if everywhere else "first",
            _coats_in_words(laid),
            f"{share} of it shows",
        ]
    if made_with[step.name]:
        facts.append(f"{made_with[step.name]}: keep it covered")
    return {
        **swatch,
        "name": step_in_words(step.name),
        "mix": "" if batch is None else ("pot" if batch.alone else f"mix {batch.number}"),
        "parts": parts,
        "said": " + ".join(f"{part['count']}{_HELD}{part['name']}" for part in parts),
        "facts": facts,
    }


def _coats_in_words(laid: Laid) -> str:
    """How thick a step lies."""
    over = step_in_words(laid.over)
    if laid.glaze:
        return f"glaze of {laid.coats:g} coats over {over}"
    counted = f"{laid.coats:g}{_HELD}{'coat' if laid.coats == 1 else 'thin coats'}"
    return counted if laid.hides else f"{counted}, {over} still shows"


def _chart(scheme: Scheme) -> list[Words]:
    """Every two pots with the mixes between them, but for metallic ones."""
    rows = []
    plain = [(role, name) for role, name in scheme.pots.items() if not _metallic(scheme, name)]
    for (one, first), (two, second) in combinations(plain, 2):
        ratios = ((1, 0), *CHART_RATIOS, (0, 1))
        rows.append(
            {
                "first": {"sign": sign_of_pot(one), "name": first},
                "second": {"sign": sign_of_pot(two), "name": second},
                "swatches": [
                    {
                        **_swatch(
                            scheme.rack.mix(
                                {n: c for n, c in ((first, a), (second, b)) if c}
                            ).reflectance
                        ),
                        "ratio": f"{a} : {b}" if a and b else "",
                    }
                    for a, b in ratios
                ],
            }
        )
    return rows


def _metallic(scheme: Scheme, name: str) -> bool:
    """Whether a paint has flakes, so that nobody can predict its mixes from colour alone."""
    return scheme.rack.paints[name].finish == "metallic"


def _chart_note(scheme: Scheme) -> str:
    """How to read the chart, and what it leaves out."""
    left_out = [name for name in scheme.pots.values() if _metallic(scheme, name)]
    if not left_out:
        return CHART
    return f"{CHART} Left out, since metallic flakes mix otherwise: {', '.join(left_out)}."


def _for_whom(guide: Guide) -> str:
    """How many figures the amounts are for."""
    figures = guide.amounts.habits.figures
    return "For one figure" if figures == 1 else f"For {figures} figures"


def _lost(guide: Guide) -> str:
    """What the drops for a figure hold beside what dries on it."""
    share = f"{100 * guide.amounts.habits.waste:g}{_HELD}%"
    return f"Drops for the figure count the {share} that stay on brush and palette."


def _assumed(guide: Guide) -> str:
    """What the amounts rest on."""
    habits = guide.amounts.habits
    coats = (
        f"the base coat over all of each area, {BASE_COATS} coats or as many as hide the primer, "
        "the other steps as many as hide the base coat"
        if habits.coats is None
        else f"{habits.coats} coat{'' if habits.coats == 1 else 's'} of every opaque mix, the base "
        "coat over all of each area"
    )
    return (
        f"{_for_whom(guide)}: {coats}, {habits.film_um:g} µm dry a coat, {100 * habits.solids:g} % "
        f"of a drop stays once dry, {habits.drop_ml:g} ml a drop, {100 * habits.waste:g} % stays "
        "on brush and palette (common practice, no source; measure yours). Thinner is not counted. "
        f"{_covering(guide)}"
    ).rstrip()


def _covering(guide: Guide) -> str:
    """How far the coats rest on assumptions about the pots' hiding; "" where tints tell of all."""
    paints = guide.amounts.painted.scheme.rack.paints
    named: defaultdict[str, list[str]] = defaultdict(list)
    for use in guide.amounts.pots:
        if use.drops:
            named[covering_known_from(paints[use.paint])].append(f'"{use.paint}"')
    ways = {
        "stated": "by the rack's word (opaque, semi or transparent) for",
        "white": "like a white's for",
        "unstated": "middling, since the rack says nothing, for",
    }
    said = [f"{how} {', '.join(named[of])}" for of, how in ways.items() if named[of]]
    if not said:
        return ""
    return (
        f"How well the pots hide, and so how many coats it takes, is assumed: {'; '.join(said)}. "
        "Try a coat on a test piece first."
    )
