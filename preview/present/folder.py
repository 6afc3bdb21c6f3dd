"""An output folder that appears whole: filled beside its place, then moved in."""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from preview.errors import WriteFault

_MARK = ".fourpot.json"
_EDITABLE, _EDITED = ".toml", "edited"


@contextmanager
def fill_folder(out: Path, overwrite: bool = False) -> Iterator[Path]:
    """Give a staging folder to fill; when the block ends well its files move into `out`.

    A folder that an earlier run made is refreshed: its old files go, and whatever the user put
    beside them stays, as do files for editing (TOML) that were edited since. Any other folder that
    holds something is refused, unless `overwrite`, and so is one in which an edited file would be
    written over. When the block fails, nothing is left behind and `out` is as it was.

    Raises
    ------
    WriteFault : `out` is a file, is not ours, holds an edited file, or cannot be written.
    """
    ours = _files_of_last_run(out)
    _refuse_unfit(out, ours is not None, overwrite)
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        staging = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    except OSError as error:
        raise _not_writable(out, error) from error
    try:
        yield staging
        _move_in(staging, out, ours or (), overwrite)
    except OSError as error:
        raise WriteFault(
            f"cannot write to {out}: {error.strerror}", str(out), "free some space or use --out"
        ) from error
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def write_json(path: Path, report: Mapping[str, Any]) -> None:
    """Write a report as UTF-8 JSON that people can read, too."""
    text = json.dumps(report, indent=2, ensure_ascii=False)
    path.write_text(text + "\n", encoding="utf-8", newline="\n")


def check_folder(out: Path, overwrite: bool = False) -> None:
    """Refuse at once what `fill_folder` would refuse after the work; leaves nothing behind.

    Raises
    ------
    WriteFault : `out` is a file, is not ours, or cannot be written.
    """
    _refuse_unfit(out, _files_of_last_run(out) is not None, overwrite)
    there = next((p for p in (out.absolute(), *out.absolute().parents) if p.exists()), Path())
    for folder in {there, out.absolute().parent} if there == out.absolute() else {there}:
        try:
            Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=folder)).rmdir()
        except OSError as error:
            raise _not_writable(out, error) from error


def is_untouched(out: Path, name: str) -> bool:
    """Whether a TOML file of a folder is there just as the last run left it."""
    sums = _listed(out).get("sums")
    path = out / name
    return isinstance(sums, dict) and path.is_file() and sums.get(name) == _sum_of(path)


def _refuse_unfit(out: Path, ours: bool, overwrite: bool) -> None:
    """WriteFault when `out` is a file, or a folder that holds files of others."""
    if out.exists() and not out.is_dir():
        raise WriteFault(f"{out} is a file", str(out), "name a folder with --out")
    if not overwrite and not ours and out.is_dir() and any(out.iterdir()):
        raise WriteFault(
            f"{out} holds files that fourpot did not write",
            str(out),
            "name another folder with --out, or add --overwrite to write among them",
        )


def _not_writable(out: Path, error: OSError) -> WriteFault:
    """The refusal of a place that the system lets nobody write to."""
    return WriteFault(
        f"cannot write beside {out}: {error.strerror}",
        str(out.parent),
        "name a folder that you may write to with --out",
    )


def _files_of_last_run(out: Path) -> tuple[str, ...] | None:
    """The files that the last run wrote into a folder; None when the folder is not ours."""
    names = _listed(out).get("files")
    if not isinstance(names, list):
        return None
    return tuple(n for n in names if isinstance(n, str) and n.isprintable() and _is_plain(n))


def _listed(out: Path) -> dict[str, Any]:
    """What the last run noted of a folder; nothing when it is not ours."""
    try:
        listed = json.loads((out / _MARK).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return listed if isinstance(listed, dict) else {}


def _is_plain(name: str) -> bool:
    """Whether a name is that of something inside of a folder, and not the one above."""
    return name not in ("", ".", "..") and Path(name).name == name


def _sum_of(path: Path) -> str:
    """The first 64 bits of the file's SHA-256, as hexadecimal digits."""
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16]


def _move_in(staging: Path, out: Path, old: tuple[str, ...], overwrite: bool) -> None:
    """Rename every finished file into its place, then drop what the last run left."""
    names = sorted(p.name for p in staging.iterdir())
    edited = _edited(out)
    clash = sorted(edited & set(names))
    if clash and not overwrite:
        raise WriteFault(
            f"{out / clash[0]} was edited since fourpot wrote it",
            str(out / clash[0]),
            "name another folder with --out, or add --overwrite if nothing in it is needed",
        )
    sums = {name: _sum_of(staging / name) for name in names if name.endswith(_EDITABLE)}
    # An edited file that stays is known as edited ever after.
    sums |= dict.fromkeys(edited - set(names), _EDITED)
    mark = json.dumps({"made_by": "fourpot", "files": names, "sums": sums}, indent=1)
    (staging / _MARK).write_text(mark + "\n", encoding="utf-8")
    staging.chmod(0o755)
    if not out.exists():
        staging.rename(out)
        return
    (staging / _MARK).replace(out / _MARK)
    for name in names:
        (staging / name).replace(out / name)
    for name in set(old) - set(names) - edited:
        (out / name).unlink(missing_ok=True)


def _edited(out: Path) -> set[str]:
    """The TOML files of a folder that are no longer as the last run left them, or may not be."""
    sums = _listed(out).get("sums")
    noted = {n for n in sums if _is_plain(n)} if isinstance(sums, dict) else set[str]()
    listed = {n for n in _files_of_last_run(out) or () if n.endswith(_EDITABLE)}
    there = {name for name in noted | listed if (out / name).is_file()}
    return {name for name in there if not is_untouched(out, name)}
