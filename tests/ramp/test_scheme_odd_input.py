"""Whatever stands in a scheme file, it loads or says what is wrong; nothing else happens."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from preview.errors import Fault, SchemeFault
from preview.rack.load import load_rack
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme

ODD = (
    "true", "-1", "0", "1.5", "nan", "inf", "1" + "0" * 400, '""', '"x"', "[]", "{}", "[[]]",
    "[{}]", "{ warm = 1 }", "{ warm = {} }", "{ glaze = 1 }", "[1, 2]", "1979-05-27",
    '"\\u0000"', "{ highlight = 1 }", "{ midtone = 1 }", '{ warm = 1, over = "primer" }',
)  # fmt: skip
QUICK = settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def loads_or_says_why(path: Path) -> None:
    """Load a scheme; a SchemeFault with a message, a place and nothing else may come of it."""
    faults: tuple[Fault, ...] = ()
    scheme = None
    try:
        scheme = load_scheme(path)
    except SchemeFault as error:
        faults = error.faults
    assert isinstance(scheme, Scheme) or faults
    assert all(fault.what and fault.where for fault in faults)


@QUICK
@given(data=st.data())
def test_an_odd_value_anywhere_is_taken_or_told(
    data: st.DataObject, scheme_text: str, write: object, tmp_path: Path
) -> None:
    lines = scheme_text.splitlines()
    with_values = [n for n, line in enumerate(lines) if " = " in line]
    for number in data.draw(st.lists(st.sampled_from(with_values), min_size=1, max_size=4)):
        key = lines[number].split(" = ")[0]
        lines[number] = f"{key} = {data.draw(st.sampled_from(ODD))}"
    path = tmp_path / "storm-watch.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    loads_or_says_why(path)


@QUICK
@given(cut=st.integers(0, 800), noise=st.binary(max_size=12))
def test_a_cut_or_noisy_file_is_taken_or_told(
    cut: int, noise: bytes, scheme_text: str, write: object, tmp_path: Path
) -> None:
    path = tmp_path / "storm-watch.toml"
    data = scheme_text.encode()
    path.write_bytes(data[:cut] + noise + data[cut + len(noise) :][: len(data) - cut])
    loads_or_says_why(path)


@pytest.mark.parametrize("value", ODD)
@pytest.mark.parametrize("key", ["pots", "ramps", "areas", "rig", "mesh", "marks", "primer"])
def test_an_odd_value_of_a_whole_table_is_taken_or_told(
    key: str, value: str, write: object, tmp_path: Path
) -> None:
    rest = {
        "pots": '{ warm = "rust orange" }',
        "ramps": "{ a = { midtone = { warm = 1 } } }",
        "areas": '{ x = "a" }',
    }
    lines = [f"{k} = {v}" for k, v in {**rest, key: value}.items()]
    path = tmp_path / "odd.toml"
    path.write_text('rack = "quay"\n' + "\n".join(lines), encoding="utf-8")
    loads_or_says_why(path)


@QUICK
@given(
    drops=st.lists(st.integers(1, 9), min_size=3, max_size=3),
    on=st.tuples(st.integers(1, 9), st.integers(1, 9)),
    scale=st.integers(1, 9),
)
def test_drops_on_drops_flatten_to_the_same_paint(
    drops: list[int], on: tuple[int, int], scale: int, write: object, tmp_path: Path
) -> None:
    warm, cold, brown = drops
    path = tmp_path / "law.toml"
    path.write_text(
        'rack = "quay"\n[pots]\nwarm = "rust orange"\ncold = "deep sea blue"\n'
        'pale = "sailcloth"\nbrown = "tarred rope"\n[ramps.a]\n'
        f"midtone = {{ warm = {warm}, cold = {cold}, brown = {brown} }}\n"
        f"highlight = {{ pale = {scale * on[1]}, midtone = {scale * on[0]} }}\n[areas]\nx = 'a'\n",
        encoding="utf-8",
    )
    light = load_scheme(path).ramps["a"].step("highlight")
    total = warm + cold + brown
    expected = {
        "rust orange": on[0] * warm,
        "deep sea blue": on[0] * cold,
        "tarred rope": on[0] * brown,
        "sailcloth": on[1] * total,
    }
    common = int(np.gcd.reduce(list(expected.values())))
    assert dict(light.mix.recipe) == {name: count // common for name, count in expected.items()}
    flat = load_rack(tmp_path / "quay.toml").mix(light.mix.recipe)
    np.testing.assert_allclose(light.mix.reflectance, flat.reflectance, rtol=1e-9)
