"""Counts lines and function lengths and prints them beside the budgets of DEVELOPERS.md.

`python tests/budgets.py` prints the table; `test_budgets.py` holds the hard limits.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from statistics import median, quantiles
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
LONGEST_FUNCTION = 60
LONGEST_MODULE = 300
LONGEST_RECORDS = 450
"""Modules of `model/` hold records and no rule: splitting the shop book's sheets over files would hide the whole."""


class Function(NamedTuple):
    """A function and its length from first to last line, docstring left out."""

    name: str
    lines: int
    arguments: int


def sources(folder: str) -> list[Path]:
    """Every Python file under a folder of the project."""
    return sorted((ROOT / folder).rglob("*.py"))


def data_of_tests() -> list[Path]:
    """Inputs and expected texts that tests read."""
    return [path for ending in ("toml", "txt", "json") for path in sorted((ROOT / "tests").rglob(f"*.{ending}"))]


def line_count(path: Path) -> int:
    """Lines of a file."""
    return len(path.read_text(encoding="utf-8").splitlines())


def functions(path: Path) -> Iterator[Function]:
    """Functions and methods of a file."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            yield Function(f"{path.relative_to(ROOT)}:{node.name}", _length(node), _arguments(node))


def _length(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    assert node.end_lineno is not None
    whole = node.end_lineno - node.lineno + 1
    first = node.body[0]
    if ast.get_docstring(node) is None or first.end_lineno is None:
        return whole
    return whole - (first.end_lineno - first.lineno + 1)


def _arguments(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    named = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    return sum(argument.arg not in {"self", "cls"} for argument in named)


def written_tests(path: Path) -> int:
    """Test functions written in a file, before their cases are multiplied."""
    return sum(function.name.rpartition(":")[2].startswith("test_") for function in functions(path))


def ninth_decile(values: list[int]) -> int:
    """The value that nine in ten do not exceed."""
    return round(quantiles(values, n=10)[-1]) if len(values) > 1 else values[0]


def table() -> list[tuple[str, str, str]]:
    """What is measured, its value, its budget."""
    code, tests = sources("quotekit"), sources("tests")
    all_functions = [function for path in code for function in functions(path)]
    lengths = [function.lines for function in all_functions]
    arguments = [function.arguments for function in all_functions]
    source_lines, test_lines = sum(map(line_count, code)), sum(map(line_count, tests))
    longest = max(all_functions, key=lambda function: function.lines)
    commands = sum(map(line_count, sources("quotekit/cli")))
    return [
        ("modules", str(len(code)), ""),
        ("longest module", str(max(map(line_count, code))), f"{LONGEST_MODULE}"),
        ("functions", str(len(all_functions)), ""),
        (
            "function length, median / p90 / max",
            f"{median(lengths):g} / {ninth_decile(lengths)} / {max(lengths)}",
            "8 / 25 / 60",
        ),
        ("longest function", longest.name, ""),
        ("arguments, p90", str(ninth_decile(arguments)), "4"),
        ("lines of source", str(source_lines), ""),
        ("lines of test", str(test_lines), ""),
        ("lines of test data", str(sum(map(line_count, data_of_tests()))), ""),
        ("test lines / source lines", f"{test_lines / source_lines:.2f}", "at least 1.5"),
        ("command line's share of the code", f"{commands / source_lines:.0%}", "about 10 %"),
        ("test functions", str(sum(map(written_tests, tests))), ""),
    ]


if __name__ == "__main__":
    for what, value, budget in table():
        print(f"{what:38} {value:24} {budget}")
