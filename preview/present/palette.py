"""The scheme on paper: its pots, and each ramp as swatches with the drops that make them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from preview.optics.appearance import hex_from_reflectance, lab_from_reflectance
from preview.optics.spectrum import Floats
from preview.present.canvas import INK, QUIET, Colour, Sheet, colour_from_hex
from preview.ramp.levels import step_reflectance
from preview.ramp.ramp import Ramp, Step
from preview.ramp.scheme import Scheme
from preview.ramp.words import HIGHLIGHT_NAMES, STEP_KEYS, Role, group_of, step_in_words

if TYPE_CHECKING:
    from preview.paint.coverage import Coverage
    from preview.paint.painted import Painted

POT_WIDTH, POT_HEIGHT = 330, 120
RAMP_HEIGHT = 168
# More drops than this nobody counts out.
MOST_FLAT = 12
_ESTIMATE_SIGN = "≈"


def pot_colours(scheme: Scheme) -> dict[str, Colour]:
    """Paint name -> the colour of its pot."""
    return {name: colour_from_hex(scheme.pot(role).srgb) for role, name in scheme.pots.items()}


def draw_pots(sheet: Sheet, painted: Painted, at: tuple[int, int], width: int) -> int:
    """Draw the pots as lids in a row, with role, name and pigments; gives the height used."""
    scheme = painted.scheme
    across = max(1, min(len(scheme.pots), width // POT_WIDTH))
    each = width / across
    for number, (role, name) in enumerate(scheme.pots.items()):
        x = at[0] + (number % across) * each
        y = at[1] + (number // across) * POT_HEIGHT
        mix, paint = scheme.pot(role), scheme.paint(role)
        radius = 42
        box = (x, y + 8, x + 2 * radius, y + 8 + 2 * radius)
        sheet.draw.ellipse(box, fill=colour_from_hex(mix.srgb), outline=QUIET, width=2)
        left = x + 2 * radius + 16
        room = each - 2 * radius - 28
        sheet.text((left, y + 6), role, 17, ink=QUIET)
        sheet.text((left, y + 28), name, 23, strong=True, fit=room)
        lightness, chroma = mix.lab[0], float((mix.lab[1] ** 2 + mix.lab[2] ** 2) ** 0.5)
        sheet.text((left, y + 58), f"L* {lightness:.0f}  C* {chroma:.0f}", 17, ink=QUIET)
        what = " + ".join(paint.pigments) or paint.hiding
        sheet.text((left, y + 80), f"{what}, {mix.certainty}", 17, ink=QUIET, fit=room)
    return -(-len(scheme.pots) // across) * POT_HEIGHT


def draw_ramps(sheet: Sheet, painted: Painted, at: tuple[int, int], width: int) -> int:
    """Draw every ramp in use as a band of swatches over its drops; gives the height used."""
    columns = 2 if width >= 1400 else 1
    gap = 60
    each = (width - gap * (columns - 1)) // columns
    used = ramps_in_use(painted)
    for number, (ramp, areas) in enumerate(used):
        x = at[0] + (number % columns) * (each + gap)
        y = at[1] + (number // columns) * RAMP_HEIGHT
        _draw_ramp(sheet, painted.scheme, ramp, areas, (x, y), each)
    return -(-len(used) // columns) * RAMP_HEIGHT


def ramps_in_use(painted: Painted) -> list[tuple[Ramp, list[Coverage]]]:
    """Each ramp with the areas that take it, in the order of the scheme file."""
    by_name: dict[str, list[Coverage]] = {}
    for ramp, row in zip(painted.ramp_of_area, painted.coverage, strict=True):
        if ramp is not None:
            by_name.setdefault(ramp.name, []).append(row)
    ramps = painted.scheme.ramps
    return [(ramp, by_name[name]) for name, ramp in ramps.items() if name in by_name]


def drops_in_words(recipe: Mapping[str, int]) -> str:
    """A recipe as a painter says it: "3 rust orange + 1 deep sea blue"."""
    return " + ".join(f"{count} {name}" for name, count in recipe.items())


def one_place(amount: float) -> str:
    """Drops or ml as people read them: to a tenth, whole without a point, "< 0.1" for a trace."""
    if 0 < amount < 0.05:
        return "< 0.1"
    return f"{amount:.0f}" if amount == round(amount) else f"{amount:.1f}"


def drops_as_written(step: Step, by_role: Mapping[Role, str]) -> str:
    """A step's drops as the scheme file writes them, pots by name: "2 midtone + 1 sailcloth".

    Where it builds on another step and all its drops of pots can be counted, those follow.
    """
    pots: dict[str, str] = {str(role): name for role, name in by_role.items()}
    written = {pots.get(word) or step_in_words(word): n for word, n in step.drops.items()}
    words = drops_in_words(written)
    built = any(word not in pots for word in step.drops)
    if built and sum(step.mix.recipe.values()) <= MOST_FLAT:
        words += f" (all from pots: {drops_in_words(step.mix.recipe)})"
    return words


def mark_of_step(word: str, lights: int) -> str:
    """What stands on a dab of a step's mix: D, S, M, H, or H1 and so on; "" for a pot."""
    if word in HIGHLIGHT_NAMES:
        return "H" if lights == 1 else f"H{HIGHLIGHT_NAMES.index(word) + 1}"
    return word[0].upper() if word in STEP_KEYS else ""


def drops_to_draw(
    step: Step, colours: Mapping[str, Colour], lights: int
) -> tuple[list[tuple[Colour, int]], list[str]]:
    """A step's drops as its recipe is drawn: colour and count of each, and what stands on them.

    Parameters
    ----------
    colours : of every pot's role and every step's name.
    lights : how many highlights the ramp may have.
    """
    counts = [(colours[word], count) for word, count in step.drops.items()]
    return counts, [mark_of_step(word, lights) for word in step.drops]


def _draw_ramp(
    sheet: Sheet,
    scheme: Scheme,
    ramp: Ramp,
    areas: list[Coverage],
    at: tuple[float, float],
    width: float,
) -> None:
    """One ramp: its name, where it goes, and a swatch per step with drops and share."""
    x, y = at
    name_width = sheet.text((x, y), ramp.name, 22, strong=True, fit=width * 0.4)
    where = ", ".join(a.area for a in areas)
    if where == ramp.name:
        where = ""
    how = f"{where}   {ramp.finish}, {ramp.edges}".strip()
    sheet.text((x + name_width + 14, y + 4), how, 17, ink=QUIET, fit=width - name_width - 14)
    each = width / len(ramp.steps)
    lights = sum(group_of(s.name) == "highlight" for s in ramp.steps)
    mm2 = sum(a.mm2 for a in areas)
    looks = step_reflectance(ramp, scheme.primer.reflectance)
    colours = {s.name: colour_from_hex(s.mix.srgb) for s in ramp.steps}
    colours |= {role: colour_from_hex(scheme.pot(role).srgb) for role in scheme.pots}
    for number, step in enumerate(ramp.steps):
        left = x + number * each
        share = sum(a.mm2 * a.steps[step.name] for a in areas) / max(mm2, 1e-12)
        _draw_step(sheet, step, looks[number], share, colours, (left, y + 34), each - 10, lights)


def _draw_step(
    sheet: Sheet,
    step: Step,
    look: Floats,
    share: float,
    colours: Mapping[str, Colour],
    at: tuple[float, float],
    width: float,
    lights: int,
) -> None:
    """A swatch, its name and share of the area, and its drops."""
    x, y = at
    sheet.swatch((x, y, x + width, y + 52), colour_from_hex(hex_from_reflectance(look)))
    sign = _ESTIMATE_SIGN if step.mix.certainty == "estimate" else ""
    light = float(lab_from_reflectance(look)[0])
    on_swatch: Colour = INK if light > 55 else (250, 250, 248)
    sheet.text((x + 8, y + 7), f"{sign}L* {light:.0f}", 16, ink=on_swatch)
    if step.glaze_coats is not None:
        sheet.text((x + 8, y + 27), "glaze", 16, ink=on_swatch)
    label = f"{step_in_words(step.name)}  {100 * share:.0f} %"
    sheet.text((x, y + 58), label, 16, ink=QUIET, fit=width)
    counts, marks = drops_to_draw(step, colours, lights)
    sheet.drops((x, y + 82), counts, width, marks=marks)
