"""Everything that was decided and measured, as JSON for programs and Markdown for people."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from preview import __version__
from preview.areas.sculpt import Sculpt
from preview.judge.caveats import caveats_on
from preview.judge.verdict import Verdict
from preview.mix.certainty import MEDIAN_ERROR
from preview.paint.lamp import Lamp
from preview.paint.painted import Painted
from preview.present.palette import drops_as_written
from preview.present.words import (
    CAUTIONS,
    certainty_in_words,
    placement_in_words,
)
from preview.ramp.advice import advise
from preview.ramp.ramp import Ramp
from preview.ramp.scheme import Scheme
from preview.ramp.words import step_in_words
from preview.render.view import View


def report_of(
    painted: Painted, verdict: Verdict, lamp: Lamp | None, renderer: tuple[str, str]
) -> dict[str, Any]:
    """The report of one painted sculpt, ready for JSON.

    Parameters
    ----------
    lamp : None when the paint alone is shown.
    renderer : its name, and why it was taken.
    """
    scheme = painted.scheme
    return {
        **heading_report(painted),
        "painted_light": asdict(painted.rig),
        "lamp": None if lamp is None else asdict(lamp),
        "renderer": {"name": renderer[0], "why": renderer[1]},
        "pots": [
            {
                "role": role,
                "paint": name,
                "pigments": list(scheme.paint(role).pigments),
                "srgb": scheme.pot(role).srgb,
                "lab": _rounded(scheme.pot(role).lab),
                "origin": scheme.paint(role).origin,
                "certainty": scheme.pot(role).certainty,
            }
            for role, name in scheme.pots.items()
        ],
        "median_error_of_mixes": dict(MEDIAN_ERROR),
        "ramps": [_ramp_report(ramp) for ramp in scheme.ramps.values()],
        "areas": [
            {
                "area": row.area,
                "ramp": None if ramp is None else ramp.name,
                "mm2": round(row.mm2, 3),
                "share": round(row.share, 5),
                "groups": {k: round(v, 4) for k, v in row.groups.items()},
                "steps": {k: round(v, 4) for k, v in row.steps.items()},
            }
            for row, ramp in zip(painted.coverage, painted.ramp_of_area, strict=True)
        ],
        "advice": [asdict(advice) for advice in advise(scheme)],
        "notes": list(painted.notes),
        "readability": verdict.as_dict(),
        "cautions": list(CAUTIONS),
    }


def heading_report(painted: Painted) -> dict[str, Any]:
    """What a report begins with: who made it, and from which scheme, rack, primer and mesh."""
    scheme = painted.scheme
    return {
        "made_by": f"fourpot {__version__}",
        "title": scheme.title,
        "scheme": scheme.path.name,
        "rack": scheme.rack.name,
        "primer": scheme.primer.name,
        "mesh": mesh_report(painted.sculpt),
    }


def mesh_report(sculpt: Sculpt) -> dict[str, Any]:
    """What was read and how it was placed."""
    return {
        "name": sculpt.name,
        "faces": len(sculpt.faces),
        "areas_from": sculpt.areas_from,
        "height_mm": round(sculpt.placement.height_mm, 4),
        "unit": sculpt.placement.unit,
        "mm_per_unit": sculpt.placement.mm_per_unit,
        "up": sculpt.placement.up,
        "placement": sculpt.placement.why,
        "repaired": list(sculpt.repairs),
    }


def camera_report(views: Mapping[str, View]) -> list[dict[str, Any]]:
    """The camera of each picture, by the picture's file name, enough to find any pixel again."""
    return [{"picture": picture, **asdict(view)} for picture, view in views.items()]


def report_in_words(painted: Painted, verdict: Verdict) -> str:
    """The report as a short Markdown text."""
    scheme = painted.scheme
    lines = [f"# {scheme.title}", "", verdict.summary, ""]
    lines += _section("Figure", [placement_in_words(painted.sculpt), *painted.sculpt.repairs])
    lines += ["## Pots", "", "| role | paint | pigments | L* a* b* | colour |"]
    lines += ["| --- | --- | --- | --- | --- |"]
    for role, name in scheme.pots.items():
        mix, paint = scheme.pot(role), scheme.paint(role)
        lab = " ".join(f"{v:.0f}" for v in mix.lab)
        lines.append(f"| {role} | {name} | {' + '.join(paint.pigments)} | {lab} | {mix.srgb} |")
    lines += ["", "## Mixes", "", "| ramp | step | drops | L* | colour | certainty |"]
    lines += ["| --- | --- | --- | --- | --- | --- |"]
    for ramp in scheme.ramps.values():
        for step in ramp.steps:
            glaze = f", glaze of {step.glaze_coats:g} coats" if step.glaze_coats else ""
            drops = drops_as_written(step, scheme.pots)
            lines.append(
                f"| {ramp.name} | {step_in_words(step.name)}{glaze} | {drops} "
                f"| {step.mix.lab[0]:.0f} | {step.mix.srgb} | {step.mix.certainty} |"
            )
    lines += ["", certainty_in_words(painted), ""]
    lines += ["## Areas", "", "| area | ramp | mm² | shadow | mid-tone | highlight |"]
    lines += ["| --- | --- | --- | --- | --- | --- |"]
    for row, used in zip(painted.coverage, painted.ramp_of_area, strict=True):
        shares = [f"{100 * v:.0f} %" for v in row.groups.values()] or ["–"] * 3
        name = used.name if used else "bare primer"
        lines.append(f"| {row.area} | {name} | {row.mm2:.1f} | {' | '.join(shares)} |")
    lines += [
        "",
        *_section("Notes", painted.notes),
        *_section("The trade's rules", _rules_in_words(scheme)),
    ]
    lines += ["## Does it read?", "", *verdict_table(verdict), ""]
    lines += _section("How far to trust the grades", verdict.caveats)
    lines += _section("Cautions", CAUTIONS)
    return "\n".join(lines).rstrip() + "\n"


def reading_in_words(
    title: str, verdicts: Sequence[Verdict], squint: str, advice: Sequence[str]
) -> str:
    """Verdicts under several conditions, with the advice in drops, as a Markdown text."""
    first = verdicts[0]
    lines = [f"# {title}: does it read?", "", first.summary, squint, ""]
    if len(verdicts) > 1:
        lines += [*conditions_table(verdicts), ""]
    lines += [*verdict_table(first), ""]
    lines += _section("What a few drops would do", advice)
    lines += _section("Notes", first.notes)
    caveats = caveats_on(*(verdict.conditions for verdict in verdicts))
    lines += _section("How far to trust the grades", caveats)
    return "\n".join(lines).rstrip() + "\n"


def conditions_table(verdicts: Sequence[Verdict]) -> list[str]:
    """Each pair's grade under each of the conditions, and how much border reads."""
    counted = verdicts[0].counted
    names = " | ".join(verdict.conditions.name for verdict in verdicts)
    lines = [f"| pair | {names} |", "| --- |" + " --- |" * len(verdicts)]
    for pair in counted:
        here = [verdict.pair_of(pair.part, pair.ground) for verdict in verdicts]
        grades = " | ".join("–" if one is None else one.grade.word for one in here)
        lines.append(f"| {pair.name} | {grades} |")
    shares = [verdict.readable_share for verdict in verdicts]
    told = " | ".join("–" if s is None else f"{100 * s:.0f} %" for s in shares)
    return [*lines, f"| border that reads | {told} |"]


def verdict_table(verdict: Verdict) -> list[str]:
    """The pairs that count as a Markdown table, the weakest first."""
    lines = ["| pair | grade | ΔL* where they meet | width | what would help |"]
    lines += ["| --- | --- | --- | --- | --- |"]
    counted = verdict.counted
    for pair in counted:
        lines.append(
            f"| {pair.name} | {pair.grade.word} "
            f"| {pair.meeting.lightness_step:.0f} | {pair.width_mm:.1f} mm | {pair.advice or '–'} |"
        )
    return lines if counted else [verdict.summary, *verdict.notes]


def _rules_in_words(scheme: Scheme) -> list[str]:
    """What the trade's rules say, what could be better first."""
    found = sorted(advise(scheme), key=lambda advice: advice.fine)
    return [f"{'fine' if a.fine else '**look at this**'}: {a.sentence}" for a in found]


def _section(title: str, sentences: Sequence[str]) -> list[str]:
    """A headed list, or nothing when there is nothing to say."""
    return [f"## {title}", "", *(f"- {s}" for s in sentences), ""] if sentences else []


def _ramp_report(ramp: Ramp) -> dict[str, Any]:
    """One ramp and its steps."""
    return {
        "ramp": ramp.name,
        "edges": ramp.edges,
        "finish": ramp.finish,
        "steps": [
            {
                "step": step.name,
                "begins": step.begins,
                "glaze_coats": step.glaze_coats,
                "drops": dict(step.mix.recipe),
                "as_written": dict(step.drops),
                "lab": _rounded(step.mix.lab),
                "srgb": step.mix.srgb,
                "certainty": step.mix.certainty,
            }
            for step in ramp.steps
        ],
    }


def _rounded(values: Sequence[float] | Any) -> list[float]:
    """Numbers to three decimals, as plain floats."""
    return [round(float(v), 3) for v in values]
