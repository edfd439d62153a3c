"""Which workbooks are gone for good: a save that deletes first is no such thing."""

from __future__ import annotations

from quotekit.cli.gone_files import GONE_AFTER, GoneFiles


def looks(files: GoneFiles, *shown: tuple[float, str]) -> list[tuple[float, list[str]]]:
    """What is told at which moment; names of one letter."""
    return [(now, gone) for now, names in shown if (gone := files.look(set(names), now))]


def test_gone_for_a_moment_is_not_gone() -> None:
    files = GoneFiles(())
    assert looks(files, (0, "a"), (1, ""), (GONE_AFTER, ""), (GONE_AFTER + 0.5, "a"), (GONE_AFTER + 7, "a")) == []
    assert not files.is_gone("a")


def test_gone_for_good_is_told_once() -> None:
    files = GoneFiles(())
    assert looks(files, (0, "ab"), (1, "b"), (1 + GONE_AFTER, "b"), (20, "b")) == [(1 + GONE_AFTER, ["a"])]
    assert files.is_gone("a") and not files.is_gone("b")


def test_back_again_it_is_as_new() -> None:
    files = GoneFiles(())
    looks(files, (0, "a"), (1, ""), (10, ""))
    assert looks(files, (11, "a"), (12, ""), (13, "")) == []
    assert not files.is_gone("a")
    assert looks(files, (12 + GONE_AFTER, "")) == [(12 + GONE_AFTER, ["a"])]


def test_those_of_an_earlier_run_too() -> None:
    files = GoneFiles(["a", "b"])
    assert looks(files, (0, "b"), (GONE_AFTER, "b"), (30, "b")) == [(GONE_AFTER, ["a"])]
