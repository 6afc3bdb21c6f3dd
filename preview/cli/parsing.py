"""Slips on the command line itself, told as what, where and fix like every other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import typer
from typer.exceptions import TyperException

from preview.errors import UsageError, choices_fix

_QUOTED = re.compile(r"'([^']*)'")
_KINDS = (("integer", "a whole number"), ("number", "a number"))


def usage_error(error: TyperException, words: Sequence[str]) -> UsageError:
    """The slip that the parser found.

    Parameters
    ----------
    error : as the parser raised it.
    words : the command line, to show what was given.
    """
    context = getattr(error, "ctx", None)
    path = str(context.command_path) if context else " ".join(["fourpot", *words[:1]])
    see = f"{path} --help shows how"
    said = error.format_message().rstrip(".")
    if isinstance(error, typer.BadParameter) and error.param is not None:
        what, fix = _of_parameter(error, error.param, words)
    elif hasattr(error, "possibilities"):
        option = str(getattr(error, "option_name", ""))
        what, fix = f"no such option: {option}", choices_fix(option, _options(context))
    elif said.startswith("No such command"):
        word = "".join(_QUOTED.findall(said)[:1])
        what = f'no such command "{word}"'
        fix = choices_fix(word, context.command.commands if context else ())
    elif hasattr(error, "option_name"):
        what, fix = f"{error.option_name} needs a value", see
    else:
        what, fix = said, see
    return UsageError(what, "command line", fix or see)


def _of_parameter(
    error: typer.BadParameter, parameter: Any, words: Sequence[str]
) -> tuple[str, str]:
    """What is wrong with one option or argument, and what it takes."""
    is_option = parameter.param_type_name == "option"
    name = parameter.opts[-1] if is_option else parameter.metavar
    takes = str(getattr(parameter, "help", "") or "")
    if not error.message:
        return f"{name} is missing", takes
    kind = next((told for word, told in _KINDS if word in error.message), "")
    if not kind:
        return f"{name}: {error.message}", takes
    given = _given(parameter.opts, words)
    return f"{name} must be {kind}" + (f', got "{given}"' if given else ""), takes


def _given(options: Sequence[str], words: Sequence[str]) -> str:
    """What stands after an option on the command line, or ""."""
    for word, after in zip(words, [*words[1:], ""], strict=True):
        option, equals, value = word.partition("=")
        if option in options:
            return value if equals else after
    return ""


def _options(context: Any) -> list[str]:
    """Every option of the command that was asked for."""
    return [option for p in context.command.params for option in p.opts if option[0] == "-"]
