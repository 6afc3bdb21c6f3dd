"""Output folders appear whole, and nothing of the user's is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from preview.errors import WriteFault
from preview.present.folder import check_folder, fill_folder, is_untouched


def _fill(out: Path, *names: str, overwrite: bool = False) -> None:
    """Write small files of those names."""
    with fill_folder(out, overwrite) as folder:
        for name in names:
            (folder / name).write_text(name)


def test_a_new_folder_holds_what_was_written(tmp_path: Path) -> None:
    _fill(tmp_path / "deep" / "out", "a.png", "b.png")
    assert (tmp_path / "deep" / "out" / "a.png").read_text() == "a.png"
    assert [p.name for p in tmp_path.iterdir()] == ["deep"]


def test_a_failure_leaves_nothing_behind(tmp_path: Path) -> None:
    def stop_half_way() -> None:
        with fill_folder(tmp_path / "out") as folder:
            (folder / "a.png").write_text("half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stop_half_way()
    assert list(tmp_path.iterdir()) == []


def test_a_failure_leaves_the_last_result_as_it_was(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _fill(out, "a.png")

    def fail() -> None:
        with fill_folder(out) as folder:
            (folder / "a.png").write_text("worse")
            raise ValueError("no picture")

    with pytest.raises(ValueError, match="no picture"):
        fail()
    assert (out / "a.png").read_text() == "a.png"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_our_own_folder_is_refreshed_and_foreign_files_stay(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _fill(out, "frame-000.png", "frame-001.png")
    (out / "notes.txt").write_text("mine")
    _fill(out, "frame-000.png")
    left = sorted(p.name for p in out.iterdir() if not p.name.startswith("."))
    assert left == ["frame-000.png", "notes.txt"]
    assert (out / "notes.txt").read_text() == "mine"


def test_a_folder_of_others_is_refused_unless_asked(tmp_path: Path) -> None:
    out = tmp_path / "holiday"
    out.mkdir()
    (out / "sheet.png").write_text("precious")
    with pytest.raises(WriteFault, match="did not write"):
        _fill(out, "sheet.png")
    assert (out / "sheet.png").read_text() == "precious"
    _fill(out, "sheet.png", overwrite=True)
    assert (out / "sheet.png").read_text() == "sheet.png"


def test_a_file_in_the_way_is_named(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(WriteFault, match="is a file"):
        _fill(tmp_path / "out", "a.png")
    assert (tmp_path / "out").read_text() == "a file"


def test_a_mark_that_lies_cannot_reach_outside(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _fill(out, "a.png")
    precious = tmp_path / "precious.txt"
    precious.write_text("keep")
    (out / ".fourpot.json").write_text('{"files": ["../precious.txt", "a.png"]}')
    _fill(out, "b.png")
    assert precious.read_text() == "keep"


def test_a_place_that_can_be_written_is_left_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "ours").mkdir()
    for out in (tmp_path / "new", tmp_path / "a" / "b", tmp_path / "ours"):
        check_folder(out)
    assert [p.name for p in tmp_path.iterdir()] == ["ours"]
    assert list((tmp_path / "ours").iterdir()) == []


def test_a_place_that_cannot_be_written_is_refused_beforehand(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.txt").write_text("mine")
    for out in ("file", "file/out", "full"):
        with pytest.raises(WriteFault):
            check_folder(tmp_path / out)
    check_folder(tmp_path / "full", overwrite=True)


def test_an_edited_file_is_neither_written_over_nor_dropped(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _fill(out, "marks.toml", "a.png")
    assert is_untouched(out, "marks.toml")
    (out / "marks.toml").write_text("skram.toml")
    (out / "a.png").write_text("other")
    assert not is_untouched(out, "marks.toml")
    with pytest.raises(WriteFault, match="was edited since"):
        _fill(out, "marks.toml", "b.png")
    assert sorted(p.name for p in out.iterdir()) == [".fourpot.json", "a.png", "marks.toml"]
    _fill(out, "b.png")
    assert sorted(p.name for p in out.iterdir()) == [".fourpot.json", "b.png", "marks.toml"]
    assert (out / "marks.toml").read_text() == "skram.toml"
    with pytest.raises(WriteFault, match="was edited since"):
        _fill(out, "marks.toml")


def test_a_toml_file_of_a_run_that_noted_no_sums_counts_as_edited(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _fill(out, "marks.toml", "a.png")
    (out / ".fourpot.json").write_text('{"files": ["marks.toml", "a.png"]}')
    with pytest.raises(WriteFault, match="was edited since"):
        _fill(out, "marks.toml")
    _fill(out, "b.png")
    assert sorted(p.name for p in out.iterdir()) == [".fourpot.json", "b.png", "marks.toml"]


def test_an_edited_file_is_written_over_when_asked(tmp_path: Path) -> None:
    out = tmp_path / "out"
    _fill(out, "marks.toml")
    (out / "marks.toml").write_text("mine")
    _fill(out, "marks.toml", overwrite=True)
    assert (out / "marks.toml").read_text() == "marks.toml"


@pytest.mark.parametrize(
    "listed",
    ["", "[" * 200_000, '{"files": [".."], "sums": []}', '{"files": ["a\\u0000b", "\\ud800"]}'],
    ids=["nothing", "deep", "the folder above", "no names"],
)
def test_a_mark_that_makes_no_sense_does_no_harm(listed: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    _fill(out, "marks.toml")
    (out / ".fourpot.json").write_text(listed)
    assert not is_untouched(out, "marks.toml")
    _fill(out, "b.png", overwrite=True)
    assert (out / "b.png").read_text() == "b.png"
    assert (out / "marks.toml").read_text() == "marks.toml"
