"""The tables of the README that come from the code: settings and problem codes.

`python tests/readme_tables.py` writes them between their markers; `test_docs.py` fails where they have drifted.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
CODE = re.compile(r"[a-z]+(-[a-z]+)*")


class Coded(NamedTuple):
    """A problem as the source spells it; what varies is `…`."""

    code: str
    severity: str
    message: str


def coded_problems() -> list[Coded]:
    """Every problem code with its severities and the longest wording found, in text order."""
    trees = [
        ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted((ROOT / "quotekit").rglob("*.py"))
        if path.name != "problems.py"
    ]
    makers = {"error": "error", "warning": "warning", "BadPackage": "error"} | {
        k: v for tree in trees for k, v in wrappers(tree).items()
    }
    found: dict[str, list[Coded]] = {}
    for tree in trees:
        for problem in problems_in(tree, makers):
            found.setdefault(problem.code, []).append(problem)
    return [merged(code, found[code]) for code in sorted(found)]


def wrappers(tree: ast.Module) -> dict[str, str]:
    """Functions that are given a code and make a problem of it, with the severity they give it."""
    found = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and any(argument.arg == "code" for argument in arguments_of(node)):
            calls = {ast.unparse(call.func) for call in ast.walk(node) if isinstance(call, ast.Call)}
            severity = next((kind for kind in ("error", "warning") if kind in calls), "")
            if severity or (node.returns is not None and "Problem" in ast.unparse(node.returns)):
                found[node.name] = severity
    return found


def arguments_of(node: ast.FunctionDef) -> list[ast.arg]:
    """Named arguments of a function."""
    return [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]


def merged(code: str, seen: list[Coded]) -> Coded:
    """One row for a code that several places raise."""
    severities = sorted({problem.severity for problem in seen} - {""}) or ["error"]
    messages = [problem.message for problem in seen if problem.message]
    return Coded(code, " or ".join(severities), max(messages, key=len, default=""))


def problems_in(tree: ast.Module, makers: dict[str, str]) -> Iterator[Coded]:
    """Calls that make a problem: `error(place, code, message, ...)`, `warning(...)` and their wrappers."""
    for scope in ast.walk(tree):
        if isinstance(scope, ast.FunctionDef):
            for call in calls_of(scope):
                name = ast.unparse(call.func).split(".")[-1]
                if name in makers:
                    yield from coded(call, makers[name], texts_before(scope, call.lineno))


def calls_of(scope: ast.FunctionDef) -> Iterator[ast.Call]:
    """Calls of a function, those of inner functions left to them."""
    waiting: list[ast.AST] = list(scope.body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.FunctionDef):
            continue
        if isinstance(node, ast.Call):
            yield node
        waiting += ast.iter_child_nodes(node)


def coded(call: ast.Call, severity: str, texts: dict[str, str]) -> Iterator[Coded]:
    """The code and the wording of one call."""
    arguments = [*call.args, *(keyword.value for keyword in call.keywords)]
    for place, argument in enumerate(arguments):
        if isinstance(argument, ast.Constant) and isinstance(argument.value, str) and CODE.fullmatch(argument.value):
            rest = [text for other in arguments[place + 1 :] if (text := template(other, texts))]
            yield Coded(argument.value, severity, rest[0] if rest else "")
            return


def texts_before(scope: ast.FunctionDef, line: int) -> dict[str, str]:
    """Texts that a function gives a name before a line, the nearest for each name."""
    named = [node for node in ast.walk(scope) if isinstance(node, ast.Assign) and node.lineno < line]
    return {
        target.id: text
        for node in sorted(named, key=lambda node: node.lineno)
        if (text := template(node.value, {}))
        for target in node.targets
        if isinstance(target, ast.Name)
    }


def template(node: ast.expr, texts: dict[str, str]) -> str:
    """A text as written, with `…` for what is filled in; empty for anything else."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else ""
    if isinstance(node, ast.JoinedStr):
        return "".join(template(part, texts) if isinstance(part, ast.Constant) else "…" for part in node.values)
    if isinstance(node, ast.BinOp):
        return template(node.left, texts) + template(node.right, texts)
    if isinstance(node, ast.Name):
        return texts.get(node.id, "")
    return ""


def catalogued() -> dict[str, Coded]:
    """The first line of each code's own case of the problem catalogue, where it has one."""
    found = {}
    for path in sorted((ROOT / "tests/problem_catalogue/cases").glob("*.txt")):
        for line in path.read_text(encoding="utf-8").splitlines():
            match = LINE.match(line)
            if match and match["code"] == path.stem:
                found[path.stem] = Coded(path.stem, (match["severity"] or "error: ").removesuffix(": "), match["says"])
                break
    return found


LINE = re.compile(r"\[(?P<code>[a-z-]+)\] [^:]+(?::\S[^:]*)?: (?P<severity>warning: )?(?P<says>.*)")
"""A printed problem: its code, its place, and what it says."""


def problem_table() -> str:
    """One row for each code: an example where the catalogue has one, else the wording with gaps."""
    cases = catalogued()
    found = {row.code: row for row in coded_problems()} | cases
    rows = [
        f"| `{code}` | {found[code].severity} | {found[code].message.replace('|', '/')} |" for code in sorted(found)
    ]
    return "\n".join(["| code | | says, for example |", "|---|---|---|", *rows])


def settings_table() -> str:
    """One row for each setting of the Shop sheet."""
    from quotekit.workbook.shop_settings import SHOP_SETTINGS

    rows = []
    for setting in SHOP_SETTINGS:
        blank = "required" if setting.required else setting.default
        rows.append(f"| {setting.name} | {blank} | {setting.help} |")
    return "\n".join(["| setting | if blank | |", "|---|---|---|", *rows])


def column_table() -> str:
    """One row for each sheet of both workbooks; a star marks what is required."""
    from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK

    rows = []
    for workbook, sheets in (("shop book", SHOP_BOOK), ("job", JOB_WORKBOOK)):
        for sheet in sheets:
            names = ", ".join(f"{column.header}{'*' if column.required else ''}" for column in sheet.columns)
            rows.append(f"| {workbook} | {sheet.name} | {names} |")
    return "\n".join(["| workbook | sheet | columns |", "|---|---|---|", *rows])


TABLES = {"settings": settings_table, "columns": column_table, "problems": problem_table}


def filled(text: str) -> str:
    """The README with every table as the code has it today."""
    for name, table in TABLES.items():
        start, end = f"<!-- {name} -->", f"<!-- end of {name} -->"
        before, _, rest = text.partition(start)
        _, _, after = rest.rpartition(end)
        text = f"{before}{start}\n\n{table()}\n\n{end}{after}"
    return text


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    README.write_text(filled(README.read_text(encoding="utf-8")), encoding="utf-8")
