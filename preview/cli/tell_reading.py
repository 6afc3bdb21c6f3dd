"""What `fourpot readability` says: grades per pair and conditions, drops that would help."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from preview.cli.terminal import say, tell, tell_json, tell_table
from preview.judge.caveats import extrapolated
from preview.judge.verdict import Pair, Verdict
from preview.publish_reading import drop_advice, mended_name
from preview.reading import Reading

_KEY = (
    "× threshold: times the contrast that is just seen. ΔL*: between the tones that meet. mm wide: "
    "the thinner of the two."
)


def tell_reading(reading: Reading, out: Path | None, as_json: bool, quiet: bool) -> None:
    """The pairs, the weakest first, with what would help, and where the files are."""
    first = reading.verdicts[0]
    if as_json:
        tell_json(reading.as_dict())
        if not first.counted:
            say(first.summary)
        return
    if not quiet or not first.counted:
        say(first.summary)
    if not first.counted:
        _say_all(first.notes)
    else:
        _tell_pairs(first.counted)
    if first.counted and len(reading.verdicts) > 1:
        tell("")
        _tell_conditions(reading.verdicts)
    if quiet:
        return
    if first.counted:
        say(_KEY)
    if reading.advice:
        say()
        say("What a few drops would do, each change alone, lowering no other pair:")
        for sentence in drop_advice(reading):
            say(f"  {sentence}")
    if first.counted:
        _say_all(first.notes)
        _say_all(extrapolated(*(verdict.conditions for verdict in reading.verdicts)))
    _say_mended(reading, out)
    if out is not None:
        say(f"page       {out / 'report.html'}")
        say(f"map        {out / 'map.png'}")
        say(f"eyes       {out / 'eyes.png'}")
        say(f"report     {out / 'readability.md'}")


def _say_all(sentences: Sequence[str]) -> None:
    """A line each."""
    for sentence in sentences:
        say(sentence)


def _tell_pairs(counted: Sequence[Pair]) -> None:
    """A line per pair under the first of the conditions."""
    tell_table(
        ("pair", "grade", "× threshold", "ΔL*", "mm wide", "what would help"),
        [_pair_row(pair) for pair in counted],
        "llrrr",
    )


def _pair_row(pair: Pair) -> tuple[str, ...]:
    """One pair as a row of the table."""
    return (
        pair.name,
        pair.grade.word,
        f"{pair.visibility:.1f}",
        f"{pair.meeting.lightness_step:.0f}",
        f"{pair.width_mm:.2f}",
        " ".join(words for words in (pair.hue_note, pair.advice) if words) or "–",
    )


def _tell_conditions(verdicts: Sequence[Verdict]) -> None:
    """A line per pair with its grade under each of the conditions."""
    rows = []
    for pair in verdicts[0].counted:
        here = [verdict.pair_of(pair.part, pair.ground) for verdict in verdicts]
        rows.append([pair.name, *("–" if one is None else one.grade.word for one in here)])
    shares = [verdict.readable_share for verdict in verdicts]
    told = ("–" if share is None else f"{100 * share:.0f} %" for share in shares)
    names = (verdict.conditions.name for verdict in verdicts)
    tell_table(("pair", *names), [*rows, ["border that reads", *told]])


def _say_mended(reading: Reading, out: Path | None) -> None:
    """What was mended, and where it stands."""
    if not reading.made:
        return
    say()
    say(f"mended with {len(reading.made)} change{'' if len(reading.made) == 1 else 's'}:")
    for mend in reading.made:
        say(f"  {mend.pair}: {mend.change}")
    say(f"  {reading.mended[0].summary}")
    say(f"scheme     {(out or Path()) / mended_name(reading.painted.scheme)}")
