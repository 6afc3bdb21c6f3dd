"""Pieces of a scheme file as TOML: keys, texts, drops, the steps of a ramp."""

from __future__ import annotations

from collections.abc import Mapping

from preview.ramp.words import HIGHLIGHT_NAMES


def step_lines(steps: Mapping[str, Mapping[str, int | float | str]]) -> list[str]:
    """A line per key of a ramp's steps, highlights as one list."""
    lights = [drops_table(drops) for name, drops in steps.items() if name in HIGHLIGHT_NAMES]
    lines = [f"{n} = {drops_table(d)}" for n, d in steps.items() if n not in HIGHLIGHT_NAMES]
    return [*lines, f"highlight = [{', '.join(lights)}]"] if lights else lines


def drops_table(drops: Mapping[str, int | float | str]) -> str:
    """Drops as an inline table, with what a glaze lies over as a text."""
    entries = (f"{k} = {quoted(v) if isinstance(v, str) else v}" for k, v in drops.items())
    return "{ " + ", ".join(entries) + " }"


def key_text(word: str) -> str:
    """A TOML key, in quotes unless it is plain."""
    plain = word.isascii() and word.replace("-", "a").replace("_", "a").isalnum()
    return word if plain else quoted(word)


def quoted(text: str) -> str:
    """A TOML basic string."""
    escaped = "".join(_escaped(letter) for letter in text)
    return f'"{escaped}"'


def _escaped(letter: str) -> str:
    """One character of a TOML basic string."""
    if letter in '"\\':
        return "\\" + letter
    return f"\\u{ord(letter):04x}" if ord(letter) < 32 or ord(letter) == 127 else letter
