"""A figure of a small quote in one line, and the cells it reads by their headings, for tables a shop owner can check.

>>> said(figure("labour at MAIN", a_shop()))
'100.00 = product(hours.billed.MAIN 1, Rate per hour of MAIN 100), half up to cents'
>>> reads(figure("Pack quantity", a_shop()))
['SEAL: Pack quantity']
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from quotekit.model.explanation import Explanation, nodes
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.source import Source
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_priced
from tests.build import a_book, a_finding, a_job, a_part, a_remedy, a_step, a_tier, an_operation, found


class EveryHeading(dict[str, str]):
    """A sheet that has each column asked for; its letter is the heading."""

    def __contains__(self, heading: object) -> bool:
        return True

    def __getitem__(self, heading: str) -> str:
        return f"{heading} "

    def get(self, heading: str, default: Any = None) -> Any:
        """The heading itself."""
        return self[heading]


class EverySetting(dict[str, Source]):
    """A sheet of settings, or of a job's fields, on which each one is typed."""

    def __contains__(self, name: object) -> bool:
        return True

    def __getitem__(self, name: str) -> Source:
        return _source(name)

    def get(self, name: str, default: Any = None) -> Any:
        """A row for each name."""
        return self[name]


def _source(sheet: str) -> Source:
    return Source(file="book", sheet=sheet, row=1, columns=EveryHeading())


def typed(record: Any) -> Any:
    """The same book or job with a row for each record: the sheet is its code, the cell its heading."""
    if isinstance(record, Mapping):
        return {key: typed(value) for key, value in record.items()}
    if isinstance(record, tuple):
        return tuple(map(typed, record))
    if not is_dataclass(record) or isinstance(record, (type, Source)):
        return record
    changed = {each.name: typed(getattr(record, each.name)) for each in fields(record) if each.init}
    if "source" in changed:
        names = ("code", "supplier", "tax", "remedy", "cost_over", "used_by")
        changed["source"] = _source(str(next((changed[name] for name in names if changed.get(name) is not None), "")))
    if "sources" in changed:
        changed["sources"] = EverySetting()
    return replace(record, **changed)


def both_or_two(both: int = 1) -> dict[str, Any]:
    """BOTH puts two faults right in so many hours at 100.00; BELT does the one and SEAL the other, in 1.7 together."""
    return {
        "operations": [an_operation(code, hours) for code, hours in (("A", both), ("B", "0.8"), ("C", "0.9"))],
        "findings": [a_finding("WORN"), a_finding("LEAKS")],
        "remedies": [
            a_remedy("BOTH", ["WORN", "LEAKS"], ["A"]),
            a_remedy("BELT", ["WORN"], ["B"]),
            a_remedy("SEAL", ["LEAKS"], ["C"]),
        ],
        "parts": [],
    }


def a_shop(**values: Any) -> ShopBook:
    """One finding with one remedy: half an hour behind a cover of half an hour, a seal at 10; one tier."""
    named: dict[str, Any] = {
        "operations": [an_operation("FIT", "0.5", access=["COVER"], parts="SEAL")],
        "access": [a_step("COVER")],
        "parts": [a_part("SEAL", 10)],
        "findings": [a_finding("WORN")],
        "remedies": [a_remedy("NEW", ["WORN"], ["FIT"])],
        "tiers": [a_tier("good")],
    }
    return a_book(**(named | values))


def job_of(book: ShopBook, **values: Any) -> Job:
    """A job on which every finding of the book was found."""
    return a_job(*(found(book, code) for code in book.findings), **values)


def trees(book: ShopBook, job: Job | None = None, tier: str = "good") -> dict[str, Explanation]:
    """Every figure and every number on the way, by name."""
    quote = build_quote(typed(book), typed(job or job_of(book)))
    assert not any(problem.severity == "error" for problem in quote.problems), quote.problems
    priced = next(one for one in quote.tiers if one.code == tier)
    made = explain_priced(quote, priced)
    known = {tree.figure: tree for tree in made}
    for tree in made:
        for node in nodes(tree):
            if node.operation != "elsewhere":
                known.setdefault(node.figure, node)
    return known


def figure(name: str, book: ShopBook, job: Job | None = None, tier: str = "good") -> Explanation:
    """One figure of a tier, or a number on the way to one."""
    return trees(book, job, tier)[name]


def said(node: Explanation) -> str:
    """Value, operation, each input with its value, and the rounding."""
    inputs = ", ".join(f"{one.figure} {one.value}" for one in node.inputs)
    return f"{node.value} = {node.operation}({inputs})" + (f", {node.rounding}" if node.rounding else "")


def reads(node: Explanation) -> list[str]:
    """The cells read at this node, by sheet and heading."""
    return sorted(f"{place.sheet}: {place.cell.removesuffix(' 1')}" for place in node.cells)


def assert_said(expected: Mapping[str, str], book: ShopBook, job: Job | None = None, tier: str = "good") -> None:
    """Figures in one line each, as `said` writes them."""
    known = trees(book, job, tier)
    _same({name: said(known[name]) for name in expected}, expected)


def assert_rules(expected: Mapping[str, str], book: ShopBook, job: Job | None = None, tier: str = "good") -> None:
    """Words that the sentences of figures hold."""
    known = trees(book, job, tier)
    _same(
        {name: words if words in known[name].rule else known[name].rule for name, words in expected.items()}, expected
    )


def assert_reads(expected: Mapping[str, str], book: ShopBook, job: Job | None = None, tier: str = "good") -> None:
    """The cells that figures read by themselves, separated by `; `."""
    known = trees(book, job, tier)
    _same({name: "; ".join(reads(known[name])) for name in expected}, expected)


def _same(made: Mapping[str, str], expected: Mapping[str, str]) -> None:
    assert made == dict(expected), {name: line for name, line in made.items() if line != expected[name]}
