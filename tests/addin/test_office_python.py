"""What runs inside the office: its own Python, from 3.8 on, the standard library and the office's modules alone."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from quotekit.addin import in_profile
from quotekit.addin.build import IN_OFFICE, extension_files

OLDEST = (3, 8)
"""The Python of the oldest LibreOffice that is still about (7.x)."""

OF_OFFICE = {"uno", "unohelper", "com", "org", "pyuno"}
NEWER = {"tomllib", "zoneinfo", "graphlib", "asyncio", "socket", "ssl", "http", "urllib", "sqlite3"}
"""Of the standard library, but too new, not in each office's Python, or for the network."""

FILES = {name: data.decode() for name, data in extension_files("1").items() if name.endswith(".py")}
FILES["in_profile.py"] = (Path(in_profile.__file__)).read_text(encoding="utf-8")
"""Run by the office's Python too, when the extension is put in."""

OWN = Path(IN_OFFICE).name


def modules(tree: ast.Module) -> list[str]:
    """What a module imports, siblings by their leading dot."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            found.append("." * node.level + (node.module or ""))
    return found


@pytest.mark.parametrize("name", FILES)
def test_its_grammar_is_that_of_an_old_python(name: str) -> None:
    ast.parse(FILES[name], feature_version=OLDEST)


@pytest.mark.parametrize("name", FILES)
def test_it_imports_what_is_there(name: str) -> None:
    """The office's Python has no other libraries, and quotekit itself is not in it."""
    for module in modules(ast.parse(FILES[name])):
        first = module.split(".")[0]
        if module.startswith("."):
            assert f"{IN_OFFICE}/{module.lstrip('.') or '__init__'}.py" in FILES, f"{name} imports {module}"
        else:
            assert first in OF_OFFICE | {OWN} or first in sys.stdlib_module_names - NEWER, f"{name} imports {module}"


@pytest.mark.parametrize("name", FILES)
def test_annotations_are_not_evaluated(name: str) -> None:
    """`X | None` and `list[str]` may stand in annotations only where these stay text."""
    tree = ast.parse(FILES[name])
    annotated = any(isinstance(node, ast.AnnAssign) for node in ast.walk(tree)) or any(
        node.returns is not None for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)
    )
    late = any(isinstance(node, ast.ImportFrom) and node.module == "__future__" for node in tree.body)
    assert late or not annotated


BUILT_IN = {"list", "dict", "tuple", "set", "frozenset", "type"}


@pytest.mark.parametrize("name", FILES)
def test_types_worked_out_when_it_runs_are_old_ones(name: str) -> None:
    """Outside annotations: no `list[str]`, no `str | None`, no field of a NamedTuple that would be evaluated."""
    for node in evaluated(ast.parse(FILES[name])):
        if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name):
            assert node.value.id not in BUILT_IN, f"{name}:{node.lineno}"
        if isinstance(node, ast.Attribute):
            assert node.attr not in {"removeprefix", "removesuffix", "bit_count", "pairwise"}, f"{name}:{node.lineno}"
        if isinstance(node, ast.Call):
            words = {word.arg for word in node.keywords}
            assert not (isinstance(node.func, ast.Name) and node.func.id == "zip" and "strict" in words), name
            assert not (
                isinstance(node.func, ast.Name) and node.func.id == "dataclass" and words & {"kw_only", "slots"}
            )


def evaluated(node: ast.AST):  # type: ignore[no-untyped-def]
    """Every node but those of annotations and of what is for the type checker alone."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns"):
            continue
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, ast.If) and isinstance(one.test, ast.Name) and one.test.id == "TYPE_CHECKING":
                continue
            if isinstance(one, ast.AST):
                yield one
                yield from evaluated(one)


def old_python() -> str | None:
    """A Python of the oldest kinds on this machine, also one that pyenv keeps."""
    kept = Path(os.environ.get("PYENV_ROOT", Path.home() / ".pyenv")) / "versions"
    for minor in range(OLDEST[1], 11):
        for one in [shutil.which(f"python3.{minor}"), *map(str, kept.glob(f"3.{minor}.*/bin/python"))]:
            if one and subprocess.run([one, "-c", ""], capture_output=True, check=False).returncode == 0:
                return one
    return None


TRIES = """
import os, sys
sys.path.insert(0, sys.argv[1])
from quotekit_office.environment import engine_environment
from quotekit_office.pipe import Engine, EngineFault
engine = Engine([sys.argv[2], "-S", sys.argv[3]], "1", engine_environment(os.environ))
print(engine.ask({"do": "same", "word": 5}, 20)["done"]["same"]["word"])
try:
    engine.ask_quickly({"do": "die"}, 20)
except EngineFault as fault:
    print(fault.message)
engine.stop()
for name in sys.argv[4:]:
    __import__("quotekit_office." + name)
"""


def test_it_runs_with_an_old_python(tmp_path: Path) -> None:
    """All modules that need no office are imported, and the pipe is used."""
    python = old_python()
    if python is None:
        pytest.skip("no Python 3.8, 3.9 or 3.10 on this machine")
    package = tmp_path / OWN
    package.mkdir()
    pure = []
    for name, text in FILES.items():
        if name.startswith(IN_OFFICE):
            (package / Path(name).name).write_text(text)
            pure += [Path(name).stem] if needs_no_office(Path(name).stem, set()) else []
    assert {"pipe", "environment", "menu_words", "left_folders", "shared_engine"} <= set(pure)
    words = [str(tmp_path), sys.executable, str(Path(__file__).with_name("fake_engine.py")), *pure]
    done = subprocess.run([python, "-c", TRIES, *words], capture_output=True, text=True, check=False, timeout=60)
    assert done.stdout.split("\n")[:2] == ["5", "quotekit ended before it answered (a belt broke)."], done.stderr
    assert done.returncode == 0, done.stderr


def needs_no_office(name: str, seen: set[str]) -> bool:
    """Whether a module can be imported without the office's, by what stands at its head and its siblings' heads."""
    tree = ast.parse(FILES[f"{IN_OFFICE}/{name}.py"])
    head = modules(ast.Module([node for node in tree.body if isinstance(node, ast.Import | ast.ImportFrom)], []))
    if any(module.split(".")[0] in OF_OFFICE for module in head):
        return False
    near = {module.lstrip(".") for module in head if module.startswith(".")} - {"", *seen}
    return all(needs_no_office(one, seen | near) for one in near)
