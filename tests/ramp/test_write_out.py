"""Ramps by rule in scheme files: read, refused, and written out with all around them kept."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from preview.ramp.drop_changes import DropChange
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from preview.ramp.write import explicit_text, scheme_text

Load = Callable[[str], Scheme]
Faults = Callable[[str], list[tuple[str, str, str]]]

TOP = """# for the quay
title = "Quay"    # as it is called
rack = "quay"

[pots]
warm = "rust orange"
cold = "deep sea blue"
pale = "sailcloth"
brown = "tarred rope"
"""
AREAS = '\n[areas]\ncoat = "coat" # long\n'
RULE = "{ midtone = { warm = 2, pale = 1 }, steps = 5 }"
# The same ramp in the forms that TOML has for it
FORMS = {
    "a table": f'\n[ramps.coat] # red\n# why\nauto = {RULE} # five\n# on\nfinish = "satin"\n',
    "quoted": f"\n[ramps.coat]\n'auto' = {RULE}\nfinish = \"satin\"\n",
    "inline": f'\n[ramps]\ncoat = {{ edges = "layered", auto = {RULE}, finish = "satin" }}\n',
    "dotted": f'\n[ramps]\ncoat.auto = {RULE}\ncoat.finish = "satin"\n',
    "a table of its own": (
        '\n[ramps.coat]\nfinish = "satin"\n\n[ramps.coat.auto]\nsteps = 5\n'
        "midtone = { warm = 2, pale = 1 }\n"
    ),
    "dotted within": (
        "\n[ramps.coat]\nauto.steps = 5\nauto.midtone.warm = 2\nauto.midtone.pale = 1\n"
        'finish = "satin"\n'
    ),
}


def _drops(scheme: Scheme) -> dict[str, dict[str, dict[str, int]]]:
    """Ramp -> step -> drops."""
    return {n: {s.name: dict(s.drops) for s in r.steps} for n, r in scheme.ramps.items()}


@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS.keys())
def test_written_out_it_is_the_same_scheme(load: Load, tmp_path: Path, form: str) -> None:
    scheme = load(TOP + form + AREAS)
    text = explicit_text(scheme, tmp_path)
    assert "auto" not in tomllib.loads(text)["ramps"]["coat"]
    assert tomllib.loads(text)["ramps"]["coat"]["finish"] == "satin"
    (tmp_path / "written.toml").write_text(text, encoding="utf-8")
    again = load_scheme(tmp_path / "written.toml")
    assert _drops(again) == _drops(scheme)
    assert [s.begins for s in again.ramps["coat"].steps] == [
        s.begins for s in scheme.ramps["coat"].steps
    ]


def test_comments_and_order_stay(load: Load, tmp_path: Path) -> None:
    text = explicit_text(load(TOP + FORMS["a table"] + AREAS), tmp_path)
    assert text.startswith(TOP)
    assert text.endswith(AREAS)
    lines = text[len(TOP) : -len(AREAS)].strip().splitlines()
    assert lines[:2] == ["[ramps.coat] # red", "# why"]
    assert [line.split(" =")[0] for line in lines[2:6]] == [
        "deep", "shadow", "midtone", "highlight"
    ]  # fmt: skip
    assert lines[5].endswith("# five")
    assert lines[6:] == ["# on", 'finish = "satin"']


def test_a_scheme_without_rules_is_written_as_it_stands(
    load: Load, scheme_text: str, tmp_path: Path
) -> None:
    assert explicit_text(load(scheme_text), tmp_path) == scheme_text


def test_a_mend_of_a_ramp_by_rule_writes_its_steps_out(load: Load, tmp_path: Path) -> None:
    other = f"\n[ramps.boot]\nauto = {RULE}\n"
    scheme = load(TOP + FORMS["a table"] + other + AREAS)
    before = dict(scheme.ramps["coat"].steps[0].drops)
    after = {**before, "cold": before.get("cold", 0) + 1}
    text = scheme_text_of(scheme, DropChange("coat", "deep", before, after), tmp_path)
    table = tomllib.loads(text)["ramps"]
    assert table["coat"]["deep"] == after
    assert "auto" in table["boot"]


def scheme_text_of(scheme: Scheme, change: DropChange, folder: Path) -> str:
    """The mended text; a name of its own, since the fixture of the scheme's text has the other."""
    return scheme_text(scheme, [change], folder)


def test_begins_and_edges_go_with_a_rule(load: Load) -> None:
    own = "begins = [0.0, 0.2, 0.4, 0.7, 0.9]\nedges = 'layered'\n"
    ramp = load(TOP + f"\n[ramps.coat]\nauto = {RULE}\n{own}" + AREAS).ramps["coat"]
    assert [step.begins for step in ramp.steps] == [0.0, 0.2, 0.4, 0.7, 0.9]
    assert ramp.edges == "layered"


@pytest.mark.parametrize(
    ("rule", "what", "where"),
    [
        ("{ midtone = { warm = 1 }, steps = 1 }", "3 to 9 steps, got 1", "auto.steps"),
        ("{ midtone = { warm = 1 }, steps = 100 }", "3 to 9 steps, got 100", "auto.steps"),
        ("{ midtone = { warm = 1 }, steps = 4.5 }", "3 to 9 steps", "auto.steps"),
        ("{ steps = 5 }", "needs its midtone", "auto"),
        ("{ midtone = { warm = 0 } }", "whole number from 1 to 99", "auto.midtone.warm"),
        ("{ midtone = { warm = -2 } }", "whole number from 1 to 99", "auto.midtone.warm"),
        ("{ midtone = { warm = 100000 } }", "whole number from 1 to 99", "auto.midtone.warm"),
        ("{ midtone = {} }", "no paint in it", "auto.midtone"),
        ("{ midtone = { wram = 1 } }", 'unknown pot or step "wram"', "auto.midtone.wram"),
        ("{ midtone = { dark = 1 } }", "the scheme has no dark pot", "auto.midtone.dark"),
        ("{ midtone = { warm = 1, glaze = 1.0 } }", "opaque", "auto.midtone.glaze"),
        ("{ midtone = { shadow = 1 } }", "no step shadow", "auto.midtone.shadow"),
        ("{ midtone = { warm = 1 }, step = 4 }", 'unknown key "step"', "auto.step"),
        ("5", "must be a table", "auto"),
        ("{ midtone = { pale = 1 } }", "cannot be lightened with these pots", "auto"),
    ],
)
def test_what_is_wrong_with_a_rule_is_told_at_its_place(
    faults_of: Faults, rule: str, what: str, where: str
) -> None:
    faults = faults_of(TOP + f"\n[ramps.coat]\nauto = {rule}\n" + AREAS)
    assert any(what in said for said, _, _ in faults), faults
    assert faults[0][1] == f"storm-watch.toml, ramps.coat.{where}"


def test_a_rule_and_steps_together_are_refused(faults_of: Faults) -> None:
    text = TOP + f"\n[ramps.coat]\nauto = {RULE}\nmidtone = {{ warm = 1 }}\n" + AREAS
    [(what, where, fix)] = faults_of(text)
    assert "no steps of its own" in what
    assert where == "storm-watch.toml, ramps.coat.midtone"
    assert "--write-out" in fix
