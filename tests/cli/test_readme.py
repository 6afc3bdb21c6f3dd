"""README and command line say the same."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
import typer.main

from preview.cli import app
from preview.light.rigs import RIGS
from preview.present.words import CAUTIONS
from preview.ramp.load import load_scheme
from preview.settings import LAMPS

TOP = Path(__file__).resolve().parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")
GROUP = typer.main.get_command(app)
COMMANDS = dict(vars(GROUP)["commands"])


def _section(command: str) -> str:
    """What the README says of a command."""
    found = re.search(rf"^### fourpot {command}\b.*?(?=^###? )", README, re.DOTALL | re.MULTILINE)
    assert found, f"the README has no section on {command}"
    return found.group(0)


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_option_stands_in_the_readme_and_the_other_way_round(name: str) -> None:
    options = {o for p in COMMANDS[name].params for o in p.opts if o.startswith("--")} - {"--help"}
    told = set(re.findall(r"--[a-z][a-z-]*", _section(name)))
    assert told == options


def test_names_of_rigs_and_lamps_stand_in_the_readme() -> None:
    for name in (*RIGS, *LAMPS):
        assert name in README


def test_the_scheme_in_the_readme_loads(tmp_path: Path) -> None:
    block = next(b for b in re.findall(r"```toml\n(.*?)```", README, re.DOTALL) if "[pots]" in b)
    path = tmp_path / "boat.toml"
    path.write_text(block, encoding="utf-8")
    assert load_scheme(path).title == "Boat"


def test_the_rack_in_the_readme_is_toml() -> None:
    block = next(b for b in re.findall(r"```toml\n(.*?)```", README, re.DOTALL) if "[[paint]]" in b)
    assert len(tomllib.loads(block)["paint"]) == 3


def test_pictures_in_the_readme_exist() -> None:
    pictures = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README)
    assert pictures
    for picture in pictures:
        assert (TOP / picture).stat().st_size > 0


def test_ci_runs_exactly_the_test_command_of_the_readme() -> None:
    blocks = re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
    tests = [b.strip() for b in blocks if b.strip().endswith("pytest")]
    assert len(tests) == 1
    assert tests[0].startswith("python3 -m venv .venv && ")
    assert "README.md" in (TOP / ".ci" / "run").read_text(encoding="utf-8")


def test_cautions_are_in_readme_and_reports_alike() -> None:
    for words in ("mask", "ventilation", "bare-handed", "PR108", "out of your mouth", "label"):
        assert words in README
        assert any(words in sentence for sentence in CAUTIONS)
