"""Which renderer is chosen, what is said about it, and what happens where OpenGL is missing."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import trimesh

from preview.areas.sculpt import Sculpt
from preview.errors import MachineFault, UsageError
from preview.render import choose, gl_probe
from preview.render.choose import choose_renderer
from preview.render.gl_context import need
from preview.render.gl_probe import Probe

NOTHING = Probe("", "", (("egl", "no display"), ("osmesa", "not found")))
SOFTWARE = Probe("egl", "llvmpipe (LLVM 15)")


@pytest.fixture(autouse=True)
def card(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a machine with some card, so that the probe is asked."""
    monkeypatch.setattr(choose, "card_in_sight", lambda: True)


@pytest.fixture
def box(sculpt_of_body: Callable[..., Sculpt]) -> Sculpt:
    return sculpt_of_body(trimesh.creation.box(extents=(3.0, 2.0, 5.0)))


def test_auto_takes_scan_where_the_processor_would_draw(
    box: Sculpt, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(choose, "probe", lambda: SOFTWARE)
    renderer, why = choose_renderer("auto", box)
    assert renderer.name == "scan"
    assert "llvmpipe" in why


def test_auto_takes_scan_where_nothing_draws(box: Sculpt, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(choose, "probe", lambda: NOTHING)
    renderer, why = choose_renderer("auto", box)
    assert renderer.name == "scan"
    assert "no OpenGL" in why


def test_auto_takes_gl_where_a_graphics_card_draws(
    box: Sculpt, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Card:
        name = "gl"

    monkeypatch.setattr(choose, "probe", lambda: Probe("egl", "Some Card 3000"))
    monkeypatch.setattr(choose, "_gl", lambda sculpt: Card())
    renderer, why = choose_renderer("auto", box)
    assert renderer.name == "gl"
    assert "Some Card 3000" in why


def test_auto_asks_no_driver_where_there_is_no_card(
    box: Sculpt, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail() -> Probe:
        raise AssertionError("probed")

    monkeypatch.setattr(choose, "probe", fail)
    monkeypatch.setattr(choose, "card_in_sight", lambda: False)
    renderer, why = choose_renderer("auto", box)
    assert renderer.name == "scan"
    assert "no graphics card" in why


@pytest.mark.parametrize(
    ("device", "seen"), [("dri/renderD128", True), ("nvidia0", True), ("null", False)]
)
def test_a_card_is_known_by_its_device(
    device: str, seen: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(gl_probe, "_DEVICES", tmp_path)
    (tmp_path / device).parent.mkdir(exist_ok=True)
    (tmp_path / device).touch()
    assert gl_probe.card_in_sight() is seen
    monkeypatch.setattr(sys, "platform", "darwin")
    assert gl_probe.card_in_sight()


def test_rays_and_scan_never_touch_opengl(box: Sculpt, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail() -> Probe:
        raise AssertionError("probed")

    monkeypatch.setattr(choose, "probe", fail)
    for name in ("rays", "scan"):
        assert choose_renderer(name, box)[0].name == name


def test_an_unknown_renderer_lists_the_known_ones(box: Sculpt) -> None:
    with pytest.raises(UsageError) as caught:
        choose_renderer("ray", box)
    assert 'did you mean "rays"' in caught.value.faults[0].fix
    assert '"auto", "scan", "rays", "gl"' in caught.value.faults[0].fix


@pytest.mark.gl
def test_gl_as_asked_names_its_driver(box: Sculpt, gl_here: Probe) -> None:
    renderer, why = choose_renderer("gl", box)
    assert renderer.name == "gl"
    assert gl_here.driver in why


def test_a_machine_without_opengl_is_told_what_was_tried() -> None:
    with pytest.raises(MachineFault) as caught:
        need(NOTHING)
    fault = caught.value.faults[0]
    assert "egl: no display" in fault.where
    assert "osmesa: not found" in fault.where
    assert "--renderer scan" in fault.fix
    assert caught.value.exit_code == 6


def test_a_way_that_crashes_or_hangs_is_only_one_that_failed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(gl_probe, "_TRY", "import os; os.abort()")
    driver, complaint = gl_probe._try_way("egl")
    assert driver == ""
    assert complaint
    monkeypatch.setattr(gl_probe, "_TRY", "import time; time.sleep(60)")
    monkeypatch.setattr(gl_probe, "_SECONDS", 1)
    assert gl_probe._try_way("egl") == ("", "no answer within 1 s")
    monkeypatch.setattr(gl_probe, "_TRY", "raise RuntimeError('no card')")
    monkeypatch.setattr(gl_probe, "_SECONDS", 60)
    assert gl_probe._try_way("egl") == ("", "RuntimeError: no card")


def test_a_window_system_is_tried_only_where_there_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("PYOPENGL_PLATFORM", raising=False)
    assert gl_probe._ways_to_try() == ("egl", "osmesa")
    monkeypatch.setenv("DISPLAY", ":0")
    assert gl_probe._ways_to_try() == ("egl", "osmesa", "pyglet")
    monkeypatch.setenv("PYOPENGL_PLATFORM", "osmesa")
    assert gl_probe._ways_to_try() == ("osmesa", "egl", "pyglet")


@pytest.mark.parametrize(
    ("driver", "software"),
    [("llvmpipe (LLVM 15.0.6, 256 bits)", True), ("softpipe", True), ("Some Card 3000", False)],
)
def test_software_drivers_are_known_by_name(driver: str, software: bool) -> None:
    assert Probe("egl", driver).software is software
