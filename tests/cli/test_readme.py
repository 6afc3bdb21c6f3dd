"""README and command line say the same."""

from __future__ import annotations

import re
import shutil
import tomllib
from pathlib import Path

import pytest
import typer.main

from preview import load_sculpt, paint_sculpt
from preview.cli import app
from preview.light.rigs import RIGS
from preview.present.words import CAUTIONS
from preview.ramp.build import RAMP_KEYS
from preview.ramp.lamps import RANGES
from preview.ramp.load import KEYS, load_scheme
from preview.ramp.words import GLAZE, OVER
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
    given = [o for p in COMMANDS[name].params for o in (*p.opts, *p.secondary_opts)]
    options = {o for o in given if o.startswith("--")} - {"--help"}
    told = set(re.findall(r"--[a-z][a-z-]*", _section(name)))
    assert told == options


def test_names_of_rigs_and_lamps_stand_in_the_readme() -> None:
    for name in (*RIGS, *LAMPS):
        assert name in README


def test_the_scheme_in_the_readme_runs_and_is_free_of_notes(tmp_path: Path) -> None:
    block = next(b for b in re.findall(r"```toml\n(.*?)```", README, re.DOTALL) if "[pots]" in b)
    path = tmp_path / "boat.toml"
    path.write_text(block, encoding="utf-8")
    shutil.copy(TOP / "meshes" / "keeper.glb", tmp_path)
    scheme = load_scheme(path)
    assert scheme.title == "Boat"
    painted = paint_sculpt(load_sculpt(scheme.meshes), scheme)
    assert None not in painted.ramp_of_area
    assert painted.notes == ()


@pytest.mark.parametrize("key", [*KEYS, *RAMP_KEYS, GLAZE, OVER, *RANGES])
def test_every_key_of_a_scheme_stands_in_the_readme(key: str) -> None:
    about = README[README.index("## Schemes and racks") : README.index("## Commands")]
    # Free text and the deep shadow explain themselves; all else is shown.
    assert key in about or key in ("note", "deep")


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
