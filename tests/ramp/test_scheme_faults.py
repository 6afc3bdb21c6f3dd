"""Every fault of a scheme file: what is said, where it is said to stand, and the remedy."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from preview.errors import SchemeFault
from preview.ramp.load import load_scheme

Faults = Callable[[str], list[tuple[str, str, str]]]

# One slip each: what is replaced, by what, the key path, words of the message, of the remedy.
SLIPS = [
    ("unknown pot", "midtone = 2, pale = 1", "midtone = 2, pal = 1",
     "ramps.oilskin.highlight[1].pal", 'unknown pot or step "pal"', 'did you mean "pale"?'),
    ("unknown key at the top", 'primer = "grey"', 'prima = "grey"',
     "prima", 'unknown key "prima"', 'did you mean "primer"?'),
    ("unknown key in a ramp", 'edges = "blended"', 'edge = "blended"',
     "ramps.oilskin.edge", 'unknown key "edge"', 'did you mean "edges"?'),
    ("unknown kind of edges", 'edges = "blended"', 'edges = "layerd"',
     "ramps.oilskin.edges", "unknown kind of edges", 'did you mean "layered"?'),
    ("unknown finish", 'finish = "satin"', 'finish = "sattin"',
     "ramps.oilskin.finish", "unknown finish", 'did you mean "satin"?'),
    ("unknown role", 'brown = "tarred', 'browm = "tarred',
     "pots.browm", 'unknown key "browm"', 'did you mean "brown"?'),
    ("unknown paint", '"rust orange"', '"rust ornage"',
     "pots.warm", 'the rack "', 'did you mean "rust orange"?'),
    ("paint that is no text", '"rust orange"', "3", "pots.warm", "must be a text", ""),
    ("one paint twice", '"sailcloth"', '"rust orange"',
     "pots.pale", '"rust orange" is the warm pot already', "leave one"),
    ("accent without a free place", "[ramps.oilskin]", 'accent = "buoy green"\n[ramps.oilskin]',
     "pots.accent", "none of the 4 is free", "leave out accent"),
    ("role that has no pot", "warm = 3, cold = 1", "warm = 3, dark = 1",
     "ramps.oilskin.midtone.dark", "the scheme has no dark pot", "add dark to [pots]"),
    ("step that the ramp has not", "{ brown = 1 }", "{ shadow = 1 }",
     "ramps.plain.midtone.shadow", "the ramp has no step shadow", "valid:"),
    ("no drops", "warm = 3", "warm = 0", "ramps.oilskin.midtone.warm", "got 0", "leave the pot"),
    ("negative drops", "warm = 3", "warm = -2", "ramps.oilskin.midtone.warm", "got -2", "leave"),
    ("half drops", "warm = 3", "warm = 1.5", "ramps.oilskin.midtone.warm", "got 1.5", "double"),
    ("true for drops", "warm = 3", "warm = true", "ramps.oilskin.midtone.warm", "got true", ""),
    ("too many drops", "warm = 3", "warm = 100", "ramps.oilskin.midtone.warm", "1 to 99", ""),
    ("empty step", "{ brown = 1 }", "{}", "ramps.plain.midtone", "no paint in it", "{ warm = 1 }"),
    ("step that is no table", "{ brown = 1 }", '"brown"', "ramps.plain.midtone", "a table", "{"),
    ("no midtone", "midtone = { brown = 1 }", "shadow = { brown = 1 }",
     "ramps.plain", "no midtone", "add midtone"),
    ("no highlights in the list", "highlight = [ { midtone = 2, pale = 1 }, "
     "{ midtone = 1, pale = 2 } ]\nbegins = [0.0, 0.35, 0.7, 0.9]", "highlight = []",
     "ramps.oilskin.highlight", "1 to 8 steps, got 0", "leave highlight out"),
    ("step that builds on itself", "{ brown = 1 }", "{ brown = 1, midtone = 1 }",
     "ramps.plain.midtone.midtone", "midtone -> midtone", "from pots alone"),
    ("circle of steps", "warm = 3, cold = 1", "warm = 3, highlight2 = 1",
     "ramps.oilskin.midtone.highlight2", "in a circle", "from pots alone"),
    ("too few tones", "[0.0, 0.35, 0.7, 0.9]", "[0.0, 0.35, 0.7]",
     "ramps.oilskin.begins", "4 steps, but begins has 3 tones", "highlight2"),
    ("falling tones", "[0.0, 0.35, 0.7, 0.9]", "[0.0, 0.7, 0.35, 0.9]",
     "ramps.oilskin.begins[3]", "must rise", "darkest"),
    ("equal tones", "[0.0, 0.35, 0.7, 0.9]", "[0.0, 0.35, 0.35, 0.9]",
     "ramps.oilskin.begins[3]", "must rise", "darkest"),
    ("tone above 1", "0.7, 0.9]", "0.7, 1.9]", "ramps.oilskin.begins[4]", "at most 1", ""),
    ("tone that is no number", "0.7, 0.9]", "0.7, nan]", "ramps.oilskin.begins[4]", "nan", ""),
    ("tones that are no list", "[0.0, 0.35, 0.7, 0.9]", "0.5", "ramps.oilskin.begins",
     "must be a list of tones", "such as [0.0, 0.35, 0.7, 0.9]"),
    ("blend width of layered edges", 'edges = "blended"', 'edges = "layered"\nblend_width = 0.1',
     "ramps.oilskin.blend_width", "hard", "leave blend_width out"),
    ("blend width of 0", 'edges = "blended"', "blend_width = 0",
     "ramps.oilskin.blend_width", "above 0", ""),
    ("glaze of 0 coats", "{ brown = 1 }", "{ brown = 1, glaze = 0 }",
     "ramps.plain.midtone.glaze", "above 0", ""),
    ("ground without a glaze", "{ cold = 2, brown = 1 }", '{ cold = 2, over = "midtone" }',
     "ramps.oilskin.shadow.over", "only a glaze", "glaze = 0.5"),
    ("unknown ground", "cold = 2, brown = 1", 'cold = 2, glaze = 1, over = "mitdone"',
     "ramps.oilskin.shadow.over", "unknown ground", 'did you mean "midtone"?'),
    ("glaze alone", "{ brown = 1 }", "{ glaze = 1 }", "ramps.plain.midtone", "no paint in it", ""),
    ("unknown ramp", '"plain"', '"plane"', "areas.boots", "unknown ramp", 'did you mean "plain"?'),
    ("ramp that is no text", '"plain"', "[1]", "areas.boots", "a list of 1", '"oilskin", "plain"'),
    ("reserved ramp name", "[ramps.plain]", "[ramps.metal]",
     "ramps.metal", "reserved word", "metal ramp"),
    ("unknown rack", '"quay"', '"quai"', "rack", "quai", "quay"),
    ("unknown primer", 'primer = "grey"', 'primer = "gray"',
     "primer", "unknown primer", 'did you mean "grey"?'),
    ("unknown rig", 'primer = "grey"', 'rig = "moon"', "rig", "unknown rig", "valid:"),
    ("unknown number of a rig", "[areas]", "[rig]\nski = 1\n[areas]",
     "rig.ski", "unknown key", 'did you mean "sky"?'),
    ("rig without light", "[areas]", "[rig]\nsky = 0\nkey = 0\n[areas]", "rig", "no light", "set"),
    ("number of a rig out of range", "[areas]", "[rig]\nspread = 2\n[areas]",
     "rig.spread", "at most 1", ""),
    ("empty title", '"Storm watch"', '" "', "title", "must be a text", ""),
]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "path", "what", "fix"), [s[1:] for s in SLIPS], ids=[s[0] for s in SLIPS]
)
def test_a_slip_is_told_at_its_key_path(
    faults_of: Faults, scheme_text: str, old: str, new: str, path: str, what: str, fix: str
) -> None:
    assert scheme_text.count(old) >= 1
    faults = faults_of(scheme_text.replace(old, new, 1))
    at_path = [f for f in faults if f[1].startswith(f"storm-watch.toml, {path}")]
    assert at_path, faults
    assert what in at_path[0][0]
    assert fix in at_path[0][2]


@pytest.mark.parametrize("key", ["rack", "pots", "ramps", "areas"])
def test_what_is_missing_is_told(faults_of: Faults, key: str) -> None:
    keep = {
        "rack": 'rack = "quay"',
        "pots": "[pots]\nwarm = 'rust orange'",
        "ramps": "[ramps.a]\nmidtone = { warm = 1 }",
        "areas": "[areas]\nall = 'a'",
    }
    faults = faults_of("\n".join(text for name, text in keep.items() if name != key))
    assert any(what == f"{key} is missing" and fix for what, _, fix in faults)


def test_no_pots_at_all_is_a_fault(faults_of: Faults) -> None:
    text = "rack='quay'\n[pots]\nmetal='tin'\n[ramps.a]\nmidtone={metal=1}\n[areas]\nx='a'"
    assert any("has no pots" in what for what, _, _ in faults_of(text))


def test_many_slips_are_told_in_one_go(faults_of: Faults, scheme_text: str) -> None:
    text = scheme_text
    for old, new in [
        ("pale = 1 }, ", "pal = 1 }, "), ("warm = 3", "warm = 0"), ('"tarred rope"', '"tar rope"'),
        ('edges = "blended"', 'edges = "wet"'), ('boots = "plain"', 'boots = "plan"'),
        ("title =", "titel ="), ("0.35, 0.7", "0.7, 0.35"),
    ]:  # fmt: skip
        text = text.replace(old, new, 1)
    places = [where.removeprefix("storm-watch.toml, ") for _, where, _ in faults_of(text)]
    assert sorted(places) == sorted([
        "titel", "pots.brown", "ramps.oilskin.midtone.warm", "ramps.oilskin.highlight[1].pal",
        "ramps.oilskin.edges", "ramps.oilskin.begins[3]", "areas.boots",
    ])  # fmt: skip


def test_a_paint_that_is_wrong_makes_no_second_fault_where_it_is_used(
    faults_of: Faults, scheme_text: str
) -> None:
    assert len(faults_of(scheme_text.replace('"tarred rope"', '"tar rope"'))) == 1


@pytest.mark.parametrize("key", ["Warm", "wram"])
def test_a_misspelt_pot_is_told_once_and_not_where_it_is_used(
    faults_of: Faults, scheme_text: str, key: str
) -> None:
    [(what, where, fix)] = faults_of(scheme_text.replace("warm = ", f"{key} = ", 1))
    assert what == f'unknown key "{key}"'
    assert where == f"storm-watch.toml, pots.{key}"
    assert 'did you mean "warm"?' in fix


def test_a_pot_that_is_missing_is_told_once(faults_of: Faults, scheme_text: str) -> None:
    text = scheme_text.replace('pale = "sailcloth"\n', "")
    assert text.count("pale = ") == 2
    [(what, where, _)] = faults_of(text)
    assert what == "the scheme has no pale pot"
    assert where == "storm-watch.toml, ramps.oilskin.highlight[1].pale"
    bare = scheme_text[: text.index("[pots]")] + scheme_text[scheme_text.index("[ramps") :]
    assert [what for what, _, _ in faults_of(bare)] == ["pots is missing"]


@pytest.mark.parametrize("turn", ["361", "nan", '"left"', "true"])
def test_a_turn_that_is_none_is_a_fault(faults_of: Faults, scheme_text: str, turn: str) -> None:
    [(what, where, _)] = faults_of(f"turn = {turn}\n{scheme_text}")
    assert "at least -360 and at most 360" in what
    assert where == "storm-watch.toml, turn"


def test_a_circle_is_told_once(faults_of: Faults, scheme_text: str) -> None:
    text = scheme_text.replace("cold = 2, brown = 1", "cold = 2, midtone = 1")
    text = text.replace("warm = 3, cold = 1", "warm = 3, shadow = 1")
    circles = [what for what, _, _ in faults_of(text) if "circle" in what]
    assert circles == ["the steps build on each other in a circle: shadow -> midtone -> shadow"]


def test_glazes_that_lie_over_each_other_are_a_fault(faults_of: Faults, scheme_text: str) -> None:
    text = scheme_text.replace("cold = 2, brown = 1", 'cold = 2, glaze = 0.5, over = "midtone"')
    text = text.replace("warm = 3, cold = 1", "warm = 3, glaze = 1")
    [(what, where, _)] = faults_of(text)
    assert "shadow -> midtone -> shadow" in what
    assert where == "storm-watch.toml, ramps.oilskin.shadow.over"


def test_faults_of_the_rack_are_told_with_those_of_the_scheme(
    faults_of: Faults, scheme_text: str, tmp_path: Path
) -> None:
    text = scheme_text.replace("warm = 3", "warm = 0")
    (tmp_path / "leaky.toml").write_text('[[paint]]\nname = "a"\nsrgb = "#12"\n', encoding="utf-8")
    places = [where for _, where, _ in faults_of(text.replace('"quay"', '"leaky"'))]
    assert any("leaky.toml" in where for where in places)
    assert "storm-watch.toml, ramps.oilskin.midtone.warm" in places


def test_keys_with_blanks_are_quoted_in_their_path(faults_of: Faults, scheme_text: str) -> None:
    faults = faults_of(scheme_text.replace('boots = "plain"', '"left boot" = "plan"'))
    assert [where for _, where, _ in faults] == ['storm-watch.toml, areas."left boot"']


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"\xff\xfe\x00t", "not UTF-8 text (byte 1)"),
        (b"title = Storm", "not valid TOML"),
        (b"a = " + b"[" * 100_000, "not valid TOML"),
        (b"title = 1\ntitle = 2", "not valid TOML"),
        (b"solid keeper\x00\x01\x02", "not valid TOML"),
        (b"# long\n" * 200_000, "at most 1000 kB"),
    ],
    ids=["utf-16", "no quotes", "deep", "twice", "a mesh", "huge"],
)
def test_a_file_that_is_no_scheme_is_told(tmp_path: Path, data: bytes, what: str) -> None:
    path = tmp_path / "odd.toml"
    path.write_bytes(data)
    with pytest.raises(SchemeFault, match=what.split(" (")[0]) as raised:
        load_scheme(path)
    [fault] = raised.value.faults
    assert what in fault.what
    assert fault.where == str(path)
    assert fault.fix


def test_an_empty_file_lacks_everything(tmp_path: Path) -> None:
    path = tmp_path / "empty.toml"
    path.write_bytes(b"")
    with pytest.raises(SchemeFault) as raised:
        load_scheme(path)
    assert [f.what.split()[0] for f in raised.value.faults] == ["rack", "pots", "ramps", "areas"]


def test_a_missing_file_names_its_neighbour(tmp_path: Path, scheme_text: str) -> None:
    (tmp_path / "storm-watch.toml").write_text(scheme_text, encoding="utf-8")
    with pytest.raises(SchemeFault) as raised:
        load_scheme(tmp_path / "strom-watch.toml")
    [fault] = raised.value.faults
    assert "no such scheme file" in fault.what
    assert 'did you mean "storm-watch.toml"?' in fault.fix


def test_a_folder_is_no_scheme(tmp_path: Path) -> None:
    with pytest.raises(SchemeFault, match="a folder is not a scheme file"):
        load_scheme(tmp_path)


def test_a_name_that_no_file_can_have_is_told() -> None:
    with pytest.raises(SchemeFault):
        load_scheme("storm\0watch.toml")
