"""The ladder of imports, the libraries of each folder, and the core that opens nothing (DEVELOPERS.md)."""

from __future__ import annotations

import ast
import graphlib
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "quotekit"

MAY_IMPORT: dict[str, set[str]] = {
    "base": set(),
    "model": {"base"},
    "pricing": {"base", "model"},
    "documents": {"base", "model"},
    "workbook": {"base", "model", "documents"},
    "suppliers": {"base", "model", "workbook"},
    "ledger": {"base", "model"},
    "batch": {"base", "model", "pricing", "documents", "workbook"},
    "addin": {"base", "model", "pricing", "workbook"},
    "cli": {"base", "model", "pricing", "documents", "workbook", "suppliers", "ledger", "batch"},
}
LIBRARIES: dict[str, set[str]] = {
    "openpyxl": {"workbook"},
    "xlsxwriter": {"workbook"},
    "python_calamine": {"workbook"},
    "pydantic": {"workbook"},
    "PIL": {"workbook"},
    "babel": {"documents"},
    "rich": {"cli"},
    "watchfiles": {"cli"},
    "sqlalchemy": {"ledger"},
    "psycopg": {"ledger"},
    "filelock": {"ledger"},
    "highspy": {"pricing"},
    "numpy": {"pricing", "suppliers"},
    "polars": {"suppliers"},
    "distributed": {"cli"},
}
LAZY_IN = {
    "cli": {
        "quotekit.pricing",
        "quotekit.documents",
        "quotekit.workbook",
        "quotekit.suppliers",
        "quotekit.ledger",
        "quotekit.batch",
        "rich",
        "distributed",
    }
}
"""Imported inside the function that needs it, so that `--help` stays quick."""

PURE = {"base", "model", "pricing", "documents", "batch"}
FORBIDDEN_MODULES = {
    "datetime.datetime", "io", "os", "pathlib", "random", "secrets", "shutil", "socket", "subprocess", "sys",
    "tempfile", "time", "urllib", "uuid", "zipfile", "sqlite3", "logging",
}  # fmt: skip
FORBIDDEN_NAMES = {"open", "print", "input", "eval", "exec", "__import__"}
NO_FLOAT = {"base", "model", "pricing"}
"""Money and hours; `documents/` may measure text in floats."""

FORBIDDEN_ATTRIBUTES = {"now", "today", "utcnow", "environ", "getenv", "read_text", "write_text", "urandom"}
NETWORK = {
    "asyncio",
    "ftplib",
    "http",
    "httpx",
    "requests",
    "smtplib",
    "socket",
    "ssl",
    "urllib",
    "urllib3",
    "webbrowser",
}
VAGUE = {"utils", "util", "helpers", "helper", "manager", "base", "common", "misc"}


def folder_of(path: Path, root: Path) -> str:
    """The rung a module stands on: its folder, or base for a module beside the folders."""
    parts = path.relative_to(root).parts
    if parts == ("__main__.py",):
        return "cli"
    return parts[0] if len(parts) > 1 else "base"


def module_name(path: Path, root: Path) -> str:
    """The dotted name of a file."""
    return ".".join((root.name, *path.relative_to(root).with_suffix("").parts)).removesuffix(".__init__")


def imported(node: ast.AST, module: str, is_package: bool) -> Iterator[str]:
    """Full names one statement imports; `from a import b` gives both a and a.b, relative ones are resolved."""
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            above = module.split(".")[: None if is_package and node.level == 1 else -(node.level - is_package)]
            base = ".".join((*above, *filter(None, [node.module])))
        yield base
        yield from (f"{base}.{alias.name}" for alias in node.names)


def at_load(body: Iterable[ast.stmt]) -> Iterator[ast.stmt]:
    """Statements that run when a module is imported, those under if, try and with too, TYPE_CHECKING left out."""
    for node in body:
        yield node
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            yield from at_load(node.orelse)
        elif isinstance(node, (ast.If, ast.Try, ast.With)):
            for part in ("body", "orelse", "finalbody"):
                yield from at_load(getattr(node, part, []))
            for handler in getattr(node, "handlers", []):
                yield from at_load(handler.body)


class Module:
    """One source file as the test sees it."""

    def __init__(self, path: Path, root: Path) -> None:
        self.name, self.folder, self.root = module_name(path, root), folder_of(path, root), root
        self.tree = ast.parse(path.read_text(encoding="utf-8"))
        package = path.name == "__init__.py"
        self.all = {name for node in ast.walk(self.tree) for name in imported(node, self.name, package)}
        self.statements = [tuple(imported(node, self.name, package)) for node in at_load(self.tree.body)]
        self.loaded = {name for names in self.statements for name in names}

    def needs(self, names: set[str]) -> set[str]:
        """Modules that must be ready before this one: `from package import module` waits for the module alone."""
        found: set[str] = set()
        for base, *members in filter(None, self.statements):
            modules = {member for member in members if member in names}
            whole = len(modules) < len(members) or not members
            found |= modules | ({base} if whole and base in names else set())
        return found - {self.name}


@cache
def modules(root: Path) -> list[Module]:
    """Every module of a package, in order."""
    return [Module(path, root) for path in sorted(root.rglob("*.py"))]


def import_violations(module: Module) -> Iterator[str]:
    """Imports that point up, or that bring a library where it does not belong."""
    for name in sorted(module.all):
        top, *rest = name.split(".")
        if top == module.root.name and rest:
            there = rest[0] if rest[0] in MAY_IMPORT else "base"
            if there != module.folder and module.name.count(".") and there not in MAY_IMPORT[module.folder]:
                yield f"{module.name}: {module.folder} must not import {there} ({name})"
        elif top in LIBRARIES and module.folder not in LIBRARIES[top]:
            yield f"{module.name}: {top} belongs in {sorted(LIBRARIES[top])}"
        if top == "importlib" and module.folder in PURE and module.name.count("."):  # the package's own door may
            yield f"{module.name}: the core imports nothing by name"


def lazy_violations(module: Module) -> Iterator[str]:
    """Slow imports at the top of a module that must start quickly."""
    for name in sorted(module.loaded):
        for slow in LAZY_IN.get(module.folder, ()):
            if name == slow or name.startswith(slow + "."):
                yield f"{module.name}: import {name} inside the function that needs it"


def purity_violations(module: Module) -> Iterator[str]:
    """Files, clocks, environments, random numbers and floats in the core."""
    if module.folder not in PURE:
        return
    no_float = module.folder in NO_FLOAT
    for name in sorted(module.all):
        if name in FORBIDDEN_MODULES or name.split(".")[0] in FORBIDDEN_MODULES:
            yield f"{module.name}: the core does not import {name}"
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in FORBIDDEN_NAMES:
            yield f"{module.name}:{node.lineno}: the core does not call {node.func.id}()"
        elif isinstance(node, ast.Attribute) and node.attr in FORBIDDEN_ATTRIBUTES:
            yield f"{module.name}:{node.lineno}: the core does not use .{node.attr}"
        elif no_float and isinstance(node, ast.Constant) and isinstance(node.value, float):
            yield f"{module.name}:{node.lineno}: the core holds no float ({node.value})"
        elif no_float and isinstance(node, ast.Call) and ast.unparse(node.func) == "float":
            yield f"{module.name}:{node.lineno}: the core makes no float"


def cycle(found: list[Module]) -> list[str]:
    """The first cycle between modules at load, or nothing."""
    names = {module.name for module in found}
    graph = {module.name: module.needs(names) for module in found}
    try:
        graphlib.TopologicalSorter(graph).prepare()
    except graphlib.CycleError as fault:
        return list(fault.args[1])
    return []


def test_imports_point_down_and_libraries_stay_in_their_folder() -> None:
    assert [line for module in modules(PACKAGE) for line in import_violations(module)] == []


def test_commands_import_slow_things_only_when_they_run() -> None:
    assert [line for module in modules(PACKAGE) for line in lazy_violations(module)] == []


def test_the_core_opens_nothing() -> None:
    """Same inputs, same bytes: today's date is an argument, and no float enters money or hours."""
    assert [line for module in modules(PACKAGE) for line in purity_violations(module)] == []


def test_no_cycle_between_modules() -> None:
    assert cycle(modules(PACKAGE)) == []


def test_every_folder_has_its_rung() -> None:
    """A new folder must be put on the ladder before it is used."""
    assert {module.folder for module in modules(PACKAGE)} - set(MAY_IMPORT) == set()


def test_nothing_opens_the_network() -> None:
    """No module, not even a command, imports what could: a quote is worked out on the owner's own machine."""
    found = {name.split(".")[0] for module in modules(PACKAGE) for name in module.all}
    assert found & NETWORK == set()


def test_no_vague_module_name() -> None:
    assert [module.name for module in modules(PACKAGE) if module.name.split(".")[-1] in VAGUE] == []


@pytest.mark.parametrize(
    ("file", "text", "expected"),
    [
        ("pricing/labour.py", "from quotekit.workbook.tables import rows\n", "pricing must not import workbook"),
        ("pricing/labour.py", "from ..workbook import tables\n", "pricing must not import workbook"),
        ("pricing/labour.py", "def f():\n    import openpyxl\n", "openpyxl belongs in"),
        ("model/job.py", "def f():\n    return open('x')\n", "does not call open()"),
        ("model/job.py", "import datetime\nX = datetime.date.today()\n", "does not use .today"),
        ("documents/a.py", "import os\n", "does not import os"),
        ("pricing/a.py", "import random\n", "does not import random"),
        ("pricing/a.py", "RATE = 0.5\n", "holds no float"),
        ("pricing/a.py", "RATE = float('1')\n", "makes no float"),
        ("cli/quote.py", "if True:\n    from quotekit.workbook import guard\n", "inside the function"),
    ],
)
def test_the_checks_see_what_they_must(tmp_path: Path, file: str, text: str, expected: str) -> None:
    """A check that can't fail proves nothing, so each is shown a module that breaks it."""
    root = tmp_path / "quotekit"
    (root / file).parent.mkdir(parents=True)
    (root / file).write_text(text, encoding="utf-8")
    seen = [
        line
        for module in modules(root)
        for check in (import_violations, lazy_violations, purity_violations)
        for line in check(module)
    ]
    assert any(expected in line for line in seen), seen


def test_a_cycle_is_seen(tmp_path: Path) -> None:
    root = tmp_path / "quotekit"
    (root / "model").mkdir(parents=True)
    (root / "model/quote.py").write_text("from quotekit.model import job\n", encoding="utf-8")
    (root / "model/job.py").write_text(
        "try:\n    from quotekit.model.quote import Q\nfinally:\n    pass\n", encoding="utf-8"
    )
    assert set(cycle(modules(root))) == {"quotekit.model.quote", "quotekit.model.job"}
