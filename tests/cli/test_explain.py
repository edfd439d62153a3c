"""`quotekit explain`: any figure from real workbooks, as text and as JSON; and what it refuses."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.explain import names_meant
from quotekit.cli.main import main
from quotekit.documents.explanation_figures import NamedFigure
from tests.cli.small_shop import job, shop_book, write_book

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs the command on the small shop; gives exit code, stdout and stderr."""
    shop = write_book(tmp_path / "book.xlsx", shop_book()), write_book(tmp_path / "job.xlsx", job())

    def explain(*options: str) -> tuple[int, str, str]:
        code = main(["explain", *map(str, shop), *options])
        said = capsys.readouterr()
        return code, said.out, said.err

    return explain


def walk(node: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """A node and all below it."""
    yield node
    for one in node["inputs"]:
        yield from walk(one)


def test_the_total_goes_down_to_the_cells(run: Run) -> None:
    """0.6 h and the minimum at 90.00, a bushing at 22.00 / 4 with half on top, 7 % on parts."""
    code, out, _ = run("--tier", "good", "--figure", "total")
    assert code == 0
    assert out.startswith("Put right [good], job 117 version 1, in USD\n")
    for line in (
        "total: 98.83",
        "= Press in a bushing (BUSH@left): 0.6 [Operations!C2]",
        "x Rate per hour of MAIN: 90 [Labour rates!C2]",
        "= Pack cost: 22 [Parts!D2]",
        "/ Pack quantity: 4 [Parts!C2]",
        "x Rate of State: 7 % [Taxes!B2:C2]",
    ):
        assert line in out, out
    assert "What else decides it:" in out
    (taken,) = re.findall(r"- which remedies are taken: (.*?)(?:\n  - |$)", out, re.DOTALL)
    assert " ".join(taken.split()).endswith("; job Findings!A2:C3")


def test_json_of_all_figures_answers_for_each_leaf_of_the_quote(run: Run, tmp_path: Path) -> None:
    """The values are those of `quote --json`, and each figure names its cells singly."""
    code, out, _ = run("--tier", "good", "--json")
    told = json.loads(out)
    assert code == 0
    assert (told["job"], told["version"], told["tier"]) == ("117", 1, "good")
    figures = {figure["figure"]: figure for figure in told["figures"]}
    assert figures["total"]["value"] == "98.83"
    assert figures["parts.BUSHING.packs"]["value"] == 1
    assert figures["offered"]["value"] is True
    assert figures["items"]["value"] == ["NEWBUSH@left"]
    assert figures["declined.total"]["value"] == "0.00"
    assert "book.xlsx:Parts!D2" in figures["parts.BUSHING.unit_price"]["cells"]
    assert "job.xlsx:Findings!C3" in {cell for one in figures["items"]["conditions"] for cell in one["cells"]}
    assert not any(name.startswith("why.") for name in figures)
    assert figures["parts.BUSHING.unit_price"]["rounding"] == "half up to cents"


def test_a_figure_names_the_cells_of_its_whole_tree_and_its_conditions(run: Run) -> None:
    _, out, _ = run("--tier", "good", "--figure", "total", "--json")
    (total,) = json.loads(out)["figures"]
    below = {cell for node in walk(total) for cell in node["cells"]}
    decided = {cell for one in total["conditions"] for cell in one["cells"]}
    assert set(total["cells"]) == below | decided
    assert len(total["cells"]) == len(set(total["cells"]))
    assert all("!" in cell and ":" in cell for cell in total["cells"])


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("TOTAL", ["total"]),
        ("taxes[0].base", ["taxes.State.base"]),
        ("taxes", ["taxes.State.tax", "taxes.State.base", "taxes.State.amount"]),
        ("parts.bushing.unit_price", ["parts.BUSHING.unit_price"]),
        ("declined", ["declined.inspection", "declined.reassembly", "declined.tax", "declined.total"]),
        ("shares.NEWBUSH@left.labour", ["shares.NEWBUSH@left.labour"]),
        ("valid_until", ["valid_until"]),
        ("cost.total", ["cost.total"]),
        ("proof.method", ["proof.method"]),
    ],
)
def test_a_figure_is_named_by_its_path_its_place_or_its_group(run: Run, asked: str, told: list[str]) -> None:
    code, out, _ = run("--tier", "Put right", "--figure", asked, "--json")
    assert code == 0
    assert [figure["figure"] for figure in json.loads(out)["figures"]] == told


def test_without_a_figure_the_main_ones_are_told_in_short(run: Run) -> None:
    """And then why the remedies were taken."""
    code, out, _ = run("--tier", "good")
    assert code == 0
    assert out.index("\ntotal: ") < out.index("\nsubtotal: ") < out.index("\namounts.labour: ")
    assert "What else decides it" not in out
    assert "--figure NAME" in out
    assert "Put right (good). It goes for the lowest price." in out or "New bushing (NEWBUSH@left)" in out


def test_why_the_tier_is_what_it_is_stands_beside_the_figures(run: Run) -> None:
    _, out, _ = run("--tier", "good", "--figure", "total", "--json")
    assert json.loads(out)["why"]["aim"] == "lowest price"


def test_an_unknown_figure_names_the_nearest_and_all_groups(run: Run) -> None:
    code, out, err = run("--tier", "good", "--figure", "amounts.labor", "--json")
    assert code == 1
    (problem,) = [one for one in json.loads(out)["problems"] if one["severity"] == "error"]
    assert problem["code"] == "unknown-figure"
    assert problem["remedy"].startswith("Did you mean amounts.labour? Figures and groups: code, name, offered")
    assert "amounts.labor is no figure of this option." in err


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("parts.SEALS.amount", "parts.SEAL.amount"),
        ("parts.SEALS.amont", "parts.SEAL.amount"),
        ("part.seal.amount", "parts.SEAL.amount"),
        ("parts.SHAFT.amount", ""),
        ("parts.SEAL.packs", ""),
        ("parts.SEAL.amount.more", ""),
        ("amonts", "amounts"),
        ("weather", ""),
        ("", ""),
    ],
)
def test_a_figure_is_near_in_each_part_of_its_name(typed: str, near: str) -> None:
    """Likeness of the whole would show END-CAP's amount to somebody who asked for SEALS', as the rest is the same."""
    names = ["amounts.parts", "parts.END-CAP.amount", "parts.SEAL.amount", "parts.BELT.amount"]
    known = [NamedFigure(name=name, place=name, value="1.00") for name in names]
    found, (problem,) = names_meant(typed, known)
    said, _, _ = problem.remedy.rpartition("Figures and groups: ")
    assert (found, said.strip()) == ([], f"Did you mean {near}?" if near else "")


def test_an_unknown_tier_names_those_there_are(run: Run) -> None:
    code, out, err = run("--tier", "god")
    assert (code, out) == (1, "")
    assert "Did you mean good?" in err


def test_a_name_that_two_options_share_is_no_guess(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = shop_book()
    book["Tiers"] = [
        ["Code", "Tier", "Covers", "Aim"],
        ["good", "Put right", "safety; needed", "lowest price"],
        ["better", "put  right", "safety; needed; advised", "least to own"],
    ]
    paths = write_book(tmp_path / "book.xlsx", book), write_book(tmp_path / "job.xlsx", job())
    assert main(["explain", *map(str, paths), "--tier", "Put right", "--figure", "total"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert "Type good or better." in told.err


def test_a_book_with_errors_is_refused_with_its_problems(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing can be explained where nothing could be priced."""
    book = shop_book()
    book["Operations"][1][2] = "x"
    paths = write_book(tmp_path / "book.xlsx", book), write_book(tmp_path / "job.xlsx", job())
    assert main(["explain", *map(str, paths), "--tier", "good", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["figures"] == []
    assert told["problems"]


def test_a_tier_that_is_not_offered_is_explained_all_the_same(run: Run) -> None:
    """`best` is the same work as `better` here: it is priced, and the text says why it is not offered."""
    code, out, _ = run("--tier", "best", "--figure", "reason")
    assert code == 0
    assert "not offered to the customer: it is the same work as" in out
    assert "reason: it is the same work as" in out


def test_a_tier_that_could_not_be_worked_out_says_why(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two remedies for one finding, one without a life: an aim over years cannot choose, and no figure is made up."""
    book = shop_book()
    book["Remedies"].append(["PATCH", "Patch the belt", "repair", "FRAYED", "SEALING", None])
    paths = write_book(tmp_path / "book.xlsx", book), write_book(tmp_path / "job.xlsx", job())
    assert main(["explain", *map(str, paths), "--tier", "better", "--figure", "total"]) == 0
    out = capsys.readouterr().out
    assert "It could not be worked out: it has to choose over years" in out
    assert "total: nothing" in out


def test_all_together_each_tree_stands_once_under_its_own_name(run: Run) -> None:
    """A program that reads all figures finds what goes into one by name, with the same value; nothing else is short."""
    _, out, _ = run("--tier", "good", "--json")
    figures = {one["figure"]: one for one in json.loads(out)["figures"]}
    for figure in figures.values():
        assert figure["rule"] and set(figure) >= {"value", "rounding", "inputs", "cells", "conditions"}
        named = {cell for one in figure["conditions"] for cell in one["cells"]}
        assert named <= set(figure["cells"])
    every = [node for one in figures.values() for node in walk(one)]
    short = [node for node in every if node["operation"] == "elsewhere"]
    whole = {(node["figure"], str(node["value"])) for node in every if node["operation"] != "elsewhere"}
    assert {"work", "subtotal", "tax"} <= {node["figure"] for node in short}
    assert {(node["figure"], str(node["value"])) for node in short} <= whole
    assert all(node["inputs"] == [] for node in short)


def test_a_figure_by_itself_is_whole(run: Run) -> None:
    """Nothing of it has to be looked up under another name."""
    _, out, _ = run("--tier", "good", "--figure", "total", "--json")
    (figure,) = json.loads(out)["figures"]
    assert all(node["operation"] != "elsewhere" for node in walk(figure))
    assert [node["figure"] for node in figure["inputs"]] == ["subtotal", "tax"]


@pytest.mark.parametrize("figure", ["proof", "why", "sensitivity", "offered", "reason"])
def test_every_figure_told_in_words_has_a_rule_of_its_own(run: Run, figure: str) -> None:
    _, out, _ = run("--tier", "good", "--figure", figure, "--json")
    told = json.loads(out)["figures"]
    assert told
    assert [one["figure"] for one in told if one["rule"].startswith("Worked out from the figures")] == []
    assert all(one["cells"] for one in told)
