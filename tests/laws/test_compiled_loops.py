"""Compiled loops stand on their own file: what is kept on disk goes stale with it and no other."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import preview

PACKAGE = Path(preview.__file__).parent


def compiled_loops() -> Iterator[tuple[Path, ast.FunctionDef, set[str]]]:
    """Every compiled loop, with the names that its file imports from the package."""
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        imported = {
            alias.asname or alias.name
            for node in tree.body
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("preview")
            for alias in node.names
        }
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and any(
                isinstance(mark, ast.Name) and mark.id == "compiled" for mark in node.decorator_list
            ):
                yield path, node, imported


def test_there_are_some() -> None:
    assert len(list(compiled_loops())) > 10


def test_they_use_nothing_that_another_module_may_change() -> None:
    wrong = []
    for path, loop, imported in compiled_loops():
        body = [node for part in loop.body for node in ast.walk(part)]
        used = {node.id for node in body if isinstance(node, ast.Name)}
        wrong += [f"{path.name}: {loop.name} uses {name}" for name in sorted(used & imported)]
    assert wrong == []
