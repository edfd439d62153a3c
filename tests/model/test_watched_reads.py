"""What is read lands in the open frame, and a value that is kept takes along what was read for it."""

from __future__ import annotations

import pytest

from quotekit.model.watched_reads import Seen, keep, kept
from quotekit.problems import Place

A, B, C = (Place("book.xlsx", "Parts", cell) for cell in ("A1", "B1", "C1"))


class Price:
    """A rule that reads two cells, one by way of another rule."""

    def __init__(self, seen: Seen) -> None:
        self.seen, self.times = seen, 0

    @kept("cost")
    def cost(self) -> int:
        """Reads A."""
        self.seen.read([A])
        self.times += 1
        return 3

    @kept("price")
    def price(self) -> int:
        """Reads B, and the cost."""
        self.seen.read([B])
        return self.cost * 2


def test_what_is_read_lands_in_the_innermost_frame_only() -> None:
    seen = Seen()
    with seen.frame("outer") as outer:
        seen.read([A])
        with seen.frame("inner") as inner:
            seen.read([B])
        seen.read([C])
    assert (outer, inner) == ({"outer": {A, C}}, {"inner": {B}})


def test_a_kept_value_is_worked_out_once_and_its_cells_are_read_each_time() -> None:
    """Without that, whoever asks second would seem to hang on nothing."""
    seen = Seen()
    price = Price(seen)
    for _ in range(2):
        with seen.frame("figure") as reads:
            assert price.price == 6
        assert reads == {"figure": set(), "price": {B}, "cost": {A}}
    assert price.times == 1


def test_a_kept_value_within_another_is_read_with_it_also_where_it_was_kept_before() -> None:
    seen = Seen()
    price = Price(seen)
    with seen.frame("before"):
        assert price.cost == 3
    with seen.frame("figure") as reads:
        assert price.price == 6
    assert reads["cost"] == {A}


def test_a_frame_closes_also_when_a_rule_fails() -> None:
    seen = Seen()

    def fail() -> int:
        seen.read([B])
        raise KeyError("no such part")

    with seen.frame("figure") as reads:
        with pytest.raises(KeyError):
            keep(seen, "price", fail)
        seen.read([A])
    assert reads == {"figure": {A}}


def test_taking_reads_twice_changes_nothing() -> None:
    seen = Seen()
    with seen.frame("figure") as reads:
        seen.take({"price": {A}})
        seen.take({"price": {A, B}})
    assert reads == {"figure": set(), "price": {A, B}}


def test_a_kept_rule_is_looked_at_through_its_class() -> None:
    assert Price.price.stage == "price" and Price.price.__doc__ == "Reads B, and the cost."
