"""Docs that cannot rot: commands, sheets, columns, settings and problem codes are in the README; files named exist."""

from __future__ import annotations

import argparse
import contextlib
import io
import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from quotekit.cli.main import _parser, main
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from tests import readme_tables

ROOT = readme_tables.ROOT
README = readme_tables.README.read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def commands() -> dict[str, argparse.ArgumentParser]:
    """Every verb with its own parser."""
    actions = _parser()._actions
    (verbs,) = [action for action in actions if isinstance(action, argparse._SubParsersAction)]
    return dict(verbs.choices)


def code_lines(text: str) -> Iterator[str]:
    """Lines inside fenced blocks."""
    for block in re.findall(r"^```\w*\n(.*?)^```", text, re.DOTALL | re.MULTILINE):
        yield from block.splitlines()


def shown_commands() -> list[str]:
    """What follows `quotekit` in the README, in blocks and in running text."""
    spans = [*code_lines(README), *re.findall(r"`([^`\n]+)`", README)]
    return [match for span in spans for match in re.findall(r"(?:^|/|&& |\s)quotekit ((?!=)[^&#]+)", span)]


def options_of(parser: argparse.ArgumentParser) -> set[str]:
    """Long options of a verb, with those of what it can do."""
    found: set[str] = set()
    for action in parser._actions:
        found |= {name for name in action.option_strings if name.startswith("--")}
        if isinstance(action, argparse._SubParsersAction):
            found |= set().union(*(options_of(part) for part in action.choices.values()))
    return found - {"--help"}


@pytest.mark.parametrize("verb", commands())
def test_every_command_and_option_is_in_the_readme(verb: str) -> None:
    """What all commands with a ledger take is told once, in the line above them."""
    shown = " ".join(line for line in shown_commands() if line.startswith(verb))
    assert shown, f"the README never shows quotekit {verb}"
    options = options_of(commands()[verb])
    if "--ledger" in options:
        told = next(line for line in README.splitlines() if line.startswith("After the quote, with the ledger"))
        shown += told
    assert {name for name in options if name not in shown} == set()


def test_every_command_of_the_readme_exists() -> None:
    """And takes the options it is shown with."""
    verbs = commands()
    for line in shown_commands():
        verb, *rest = shlex.split(line.split("   ")[0])
        assert verb in verbs, line
        options = {word.strip("[]") for word in rest if word.strip("[]").startswith("--")}
        assert options <= options_of(verbs[verb]) | {"--help"}, line


@pytest.mark.parametrize("verb", commands())
def test_every_help_shows_an_example_that_parses(verb: str) -> None:
    examples = re.findall(rf"^\s+quotekit ({verb}\b.*)$", commands()[verb].epilog or "", re.MULTILINE)
    assert examples
    for example in examples:
        assert parses(shlex.split(example)), example


def parses(words: list[str]) -> bool:
    """True where some beginning of a line, at least a verb and what it works on, is a command; the rest explains it."""
    for end in range(len(words), 1, -1):
        with contextlib.suppress(SystemExit), contextlib.redirect_stderr(io.StringIO()):
            return bool(_parser().parse_args(words[:end]).run)
    return words in (["demo"], ["answer"]) or (words[0] == "shelf" and not any(word.startswith("--") for word in words))


def test_the_main_help_shows_every_command() -> None:
    text = _parser().format_help()
    assert [verb for verb in commands() if f"quotekit {verb}" not in text] == []


def test_generated_tables_are_up_to_date() -> None:
    """Where this fails: `python tests/readme_tables.py` writes them again."""
    assert [name for name in readme_tables.TABLES if README.count(f"<!-- end of {name} -->") != 1] == []
    assert readme_tables.filled(README) == README


@pytest.mark.parametrize("sheet", [*SHOP_BOOK, *JOB_WORKBOOK], ids=lambda sheet: sheet.name)
def test_every_sheet_is_explained(sheet: object) -> None:
    name = getattr(sheet, "name", "")
    assert re.search(rf"^\| {re.escape(name)} \|", README, re.MULTILINE), name


def test_every_exit_code_is_explained() -> None:
    assert all(f"{code} " in README.split("Exit codes:")[1].split("\n")[0] for code in range(4))


def test_the_readme_has_its_two_commands() -> None:
    """Each is one line that starts from a fresh machine."""
    lines = [line for line in code_lines(README) if line.startswith("python3 -m venv")]
    assert any("pip install . &&" in line and line.endswith("quotekit demo") for line in lines)
    assert any("pip install '.[test]'" in line and "-m pytest" in line for line in lines)


def test_ci_runs_the_test_command_of_the_readme() -> None:
    (line,) = [line for line in code_lines(README) if "-m pytest" in line]
    command = line.split("venv/bin/")[-1]
    assert command in (ROOT / ".ci/run").read_text(encoding="utf-8")


def walked_commands() -> list[str]:
    """What the README tells a new owner to type, in order."""
    typed = re.findall(r"venv/bin/(quotekit [^`\n]+)", README)
    return [span for span in typed if span not in ("quotekit demo", "quotekit addin install")]


def test_the_first_quote_of_the_readme(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Typed one after the other in an empty folder; only the last stops, as nobody has filled the blank job in."""
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    commands_typed = walked_commands()
    assert len(commands_typed) == 5
    codes = [main(shlex.split(command)[1:]) for command in commands_typed]
    assert codes == [0, 0, 0, 0, 1]
    assert sorted(path.name for path in (tmp_path / "first").iterdir()) == ["1-1 costing.xlsx", "1-1 quote.xlsx"]
    said = capsys.readouterr().err
    assert re.findall(r"^(Put right.*): (\S+) USD$", said, re.MULTILINE) == table_of_the_first_quote()


def table_of_the_first_quote() -> list[tuple[str, str]]:
    """Option and total as the README's table states them."""
    return re.findall(r"^\| (Put right[^|]*) \|.*\| ([\d.]+) \|$", README, re.MULTILINE)


def named_paths(text: str) -> set[str]:
    """Files and folders that a page names between backticks."""
    spans = re.findall(r"`([\w./*-]+(?:/|\.py|\.md|\.toml|\.json))`", text)
    return {span for span in spans if "/" in span or span.endswith((".md", ".toml"))}


@pytest.mark.parametrize("name", sorted(named_paths(DEVELOPERS) | named_paths(README)))
def test_files_that_the_docs_name_exist(name: str) -> None:
    inside = [ROOT, ROOT / "quotekit", ROOT / "tests"]
    assert any(list(folder.glob(name.rstrip("/"))) for folder in inside), name


def test_links_of_the_docs_lead_somewhere() -> None:
    targets = re.findall(r"\]\(([^)#]+)\)", README + DEVELOPERS)
    assert [target for target in targets if "://" not in target and not (ROOT / target).exists()] == []


def test_every_layer_is_in_developers_md() -> None:
    from tests.test_layers import LIBRARIES, MAY_IMPORT

    folders = set(MAY_IMPORT) - {"base"}
    assert [folder for folder in sorted(folders) if f"`{folder}/`" not in DEVELOPERS] == []
    names = {"xlsxwriter": "XlsxWriter", "python_calamine": "python-calamine", "PIL": "Pillow", "babel": "Babel"}
    names["sqlalchemy"] = "SQLAlchemy"
    assert [library for library in LIBRARIES if names.get(library, library) not in DEVELOPERS] == []
