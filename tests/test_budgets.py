"""The hard limits: no function above 60 lines, no module above 300, every public name documented and annotated."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests import budgets

SOURCES = budgets.sources("quotekit")


def test_no_function_is_longer_than_its_budget() -> None:
    found = [function for path in SOURCES for function in budgets.functions(path)]
    assert [function for function in found if function.lines > budgets.LONGEST_FUNCTION] == []


def test_no_module_is_longer_than_its_budget() -> None:
    lengths = {path: budgets.line_count(path) for path in SOURCES}
    assert {str(path): length for path, length in lengths.items() if length > longest(path)} == {}


def longest(path: Path) -> int:
    """Lines a module may have."""
    return budgets.LONGEST_RECORDS if path.parent.name == "model" else budgets.LONGEST_MODULE


def public(path: Path) -> list[ast.FunctionDef | ast.ClassDef]:
    """Public functions and classes at the top of a module."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [n for n in tree.body if isinstance(n, (ast.FunctionDef, ast.ClassDef)) and not n.name.startswith("_")]


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(budgets.ROOT)))
def test_every_public_name_says_what_it_is(path: Path) -> None:
    undocumented = [node.name for node in public(path) if ast.get_docstring(node) is None]
    assert undocumented == []
    if path.name not in {"__init__.py", "__main__.py"}:
        assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))), "the module has no docstring"


def test_the_counter_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A docstring is not counted, and self is no argument."""
    monkeypatch.setattr(budgets, "ROOT", tmp_path)
    path = tmp_path / "sample.py"
    path.write_text(
        'class A:\n    def f(self, a):\n        """Two\n        lines."""\n        return a\n', encoding="utf-8"
    )
    (function,) = budgets.functions(path)
    assert (function.lines, function.arguments) == (2, 1)
