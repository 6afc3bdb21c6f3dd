"""A ramp out of its table: begins, edges and finish read, and the steps mixed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, cast, get_args

from preview.errors import CannotDo
from preview.mix.mixture import Mix
from preview.mix.recipes import mix_mixes, mix_paints
from preview.rack.paint import Finish, Rack
from preview.ramp.ramp import Ramp, Step
from preview.ramp.reading import Place, check_keys, read_choice, read_number, read_text, shown
from preview.ramp.rule import ramp_by_rule, step_names, steps_below_and_above
from preview.ramp.steps import RuleDraft, StepDraft, read_rule, read_steps
from preview.ramp.tray import Tray
from preview.ramp.words import AUTO, STEP_KEYS, Role

Edges = Literal["layered", "blended"]
DEFAULT_BLEND_WIDTH = 0.12
RAMP_KEYS = (*STEP_KEYS, AUTO, "begins", "edges", "blend_width", "finish", "note")


@dataclass(frozen=True)
class RampDraft:
    """One ramp before it is mixed.

    finish : None where the file leaves it to the paint.
    rule : for a ramp by rule; its steps have no drops until `by_rule` finds them.
    """

    name: str
    steps: tuple[StepDraft, ...]
    begins: tuple[float, ...]
    edges: Edges
    blend_width: float
    finish: Finish | None
    rule: RuleDraft | None = None


def read_ramp(
    place: Place, name: str, table: Mapping[str, object], pots: frozenset[str]
) -> RampDraft:
    """One ramp's table; faults are kept at their places."""
    check_keys(place, table, RAMP_KEYS)
    rule = _read_rule(place, table, pots) if AUTO in table else None
    steps = _empty_steps(rule) if rule else read_steps(place, table, pots)
    edges, width = _read_edges(place, table)
    finish = None
    if "finish" in table:
        finish = read_choice(place.at("finish"), table["finish"], get_args(Finish), "finish")
    if "note" in table:
        read_text(place.at("note"), table["note"])
    begins = _read_begins(place, table, steps)
    return RampDraft(name, steps, begins, edges, width, cast("Finish | None", finish), rule)


def by_rule(draft: RampDraft, rack: Rack, pots: Mapping[Role, str]) -> RampDraft:
    """The draft with the drops that the rule finds; a ramp with steps of its own stays as it is.

    Where the pots do not give so many steps, that is a fault kept at its place.
    """
    if draft.rule is None:
        return draft
    midtone = cast("Mapping[Role, int]", draft.rule.midtone.drops)
    try:
        found = ramp_by_rule(Tray(rack, pots), midtone, draft.rule.steps)
    except CannotDo as error:
        for fault in error.faults:
            draft.rule.place.fault(fault.what, fault.fix)
        return draft
    steps = tuple(replace(step, drops=found[step.name]) for step in draft.steps)
    return replace(draft, steps=steps)


def ramp_around(
    name: str, rack: Rack, pots: Mapping[Role, str], midtone: Mapping[Role, int], steps: int
) -> Ramp:
    """A ramp by rule that stands in no file; parameters and errors as in `ramp_by_rule`."""
    found = ramp_by_rule(Tray(rack, pots), midtone, steps)
    drafts = tuple(StepDraft(step, Place(name), drops) for step, drops in found.items())
    begins = default_begins(tuple(found))
    return build_ramp(
        RampDraft(name, drafts, begins, "blended", DEFAULT_BLEND_WIDTH, None), rack, pots
    )


def _read_rule(place: Place, table: Mapping[str, object], pots: frozenset[str]) -> RuleDraft:
    """The rule of a ramp, which then has no steps of its own."""
    for key in STEP_KEYS:
        if key in table:
            place.at(key).fault(
                "a ramp by rule has no steps of its own",
                "leave out auto or the steps; fourpot scheme --write-out turns one into the other",
            )
    return read_rule(place.at(AUTO), table[AUTO], pots)


def _empty_steps(rule: RuleDraft) -> tuple[StepDraft, ...]:
    """The steps that a rule will give, by name alone."""
    names = step_names(*steps_below_and_above(rule.steps))
    return tuple(StepDraft(name, rule.place, {}) for name in names)


def _read_edges(place: Place, table: Mapping[str, object]) -> tuple[Edges, float]:
    """How the borders between steps look, and how wide a wet blend is."""
    edges: str | None = "blended"
    if "edges" in table:
        edges = read_choice(place.at("edges"), table["edges"], get_args(Edges), "kind of edges")
    if "blend_width" not in table:
        return cast(Edges, edges or "blended"), DEFAULT_BLEND_WIDTH
    at = place.at("blend_width")
    if edges == "layered":
        at.fault("layered edges are hard and have no blend width", "leave blend_width out")
    width = read_number(at, table["blend_width"], 0.0, 1.0, above_low=True)
    return cast(Edges, edges or "blended"), width or DEFAULT_BLEND_WIDTH


def _read_begins(
    place: Place, table: Mapping[str, object], steps: tuple[StepDraft, ...]
) -> tuple[float, ...]:
    """The tone at which each step begins, from the file or by default."""
    default = default_begins(tuple(step.name for step in steps))
    if "begins" not in table:
        return default
    at, value = place.at("begins"), table["begins"]
    if not isinstance(value, list):
        at.fault(f"must be a list of tones, got {shown(value)}", f"such as {list(default)}")
        return default
    if len(value) != len(steps):
        at.fault(
            f"the ramp has {len(steps)} steps, but begins has {len(value)} tones",
            f"one tone for each of: {', '.join(step.name for step in steps)}",
        )
    read = [read_number(at.entry(n), tone, 0.0, 1.0) for n, tone in enumerate(value, start=1)]
    tones = tuple(tone for tone in read if tone is not None)
    for n in range(1, len(tones)):
        if len(tones) == len(read) and tones[n] <= tones[n - 1]:
            at.entry(n + 1).fault(
                f"tones must rise from step to step, got {tones[n]:g} after {tones[n - 1]:g}",
                "list the darkest step's tone first",
            )
    return tones if len(tones) == len(steps) else default


def default_begins(names: tuple[str, ...]) -> tuple[float, ...]:
    """Where steps begin unless the file says so: the mid-tone keeps the widest share.

    Common practice, no source: about a third in shadow, highlights on the lightest third and
    each smaller than the one before.
    """
    dark = {0: (), 1: (0.0,), 2: (0.0, 0.18)}[sum(n in ("deep", "shadow") for n in names)]
    middle = (0.35 if dark else 0.0,) if "midtone" in names else ()
    lights = len(names) - len(dark) - len(middle)
    if lights == 1:
        return (*dark, *middle, 0.75)
    room = 0.3 if lights == 2 else 0.38
    light = tuple(round(1.0 - room * 3.0 ** (-2.0 * k / lights), 3) for k in range(lights))
    return (*dark, *middle, *light)


def build_ramp(draft: RampDraft, rack: Rack, pots: Mapping[Role, str]) -> Ramp:
    """The ramp of a draft without faults: one drop of a mix counts one drop.

    Parameters
    ----------
    draft : read by `read_ramp` without faults.
    rack, pots : where the paint of each role comes from.
    """
    pure: dict[str, Mix] = {role: mix_paints(rack, {name: 1}) for role, name in pots.items()}
    mixes = mix_steps({step.name: step.drops for step in draft.steps}, pure)
    steps = tuple(
        Step(step.name, mixes[step.name], begins, step.coats, step.over, step.drops)
        for step, begins in zip(draft.steps, draft.begins, strict=True)
    )
    finish = draft.finish or _main_finish(mixes["midtone"], rack)
    return Ramp(draft.name, steps, draft.edges, draft.blend_width, finish)


def mix_steps(drops: Mapping[str, Mapping[str, int]], ready: Mapping[str, Mix]) -> dict[str, Mix]:
    """Each step's mix, those that others build on first.

    Parameters
    ----------
    drops : step -> pot role or step -> whole drops, without circles.
    ready : role -> the pot as it stands; step -> its mix, where it is mixed already.
    """
    known = dict(ready)
    waiting = list(drops)
    while waiting:
        next_up = [step for step in waiting if all(word in known for word in drops[step])]
        for step in next_up:
            known[step] = mix_mixes([(known[w], count) for w, count in drops[step].items()])
        waiting = [step for step in waiting if step not in next_up]
    return {step: known[step] for step in drops}


def _main_finish(mix: Mix, rack: Rack) -> Finish:
    """The finish of the paint that the mix holds most of."""
    most = max(mix.recipe, key=lambda name: mix.recipe[name])
    return rack.paints[most].finish
