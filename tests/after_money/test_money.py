"""The money of a few random jobs over their lives, through the command line; `many` is the door for more.

A shop whose book or job a reader refuses, or that can offer nothing, ends at once; the seeds here are of others.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tests.after_money.life import Money, Version, Yes
from tests.after_money.many import lived
from tests.after_money.shops import QUOTED, draw_shop

STEPS = 7
SEEDS = (4, 7)
"""A quote refused and then agreed to, changes, closings with parts used otherwise, bills after one another."""


@pytest.mark.parametrize("seed", SEEDS)
def test_every_amount_is_the_onlookers(seed: int) -> None:
    life, differs = lived(seed, STEPS, "", f"R-{seed}")
    assert differs == "", "\n".join(life.told)
    assert life.versions and life.seen["accept 0"]


def test_a_wrong_bill_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program that forgets what was paid shows a difference at its first bill."""
    from quotekit.cli import bill_facts

    monkeypatch.setattr(bill_facts, "_paid", lambda story: iter(()))
    _, differs = lived(SEEDS[0], STEPS, "", "R-4")
    assert differs.startswith("paid of the bill: program 0, onlooker")


@pytest.fixture(scope="module")
def life(tmp_path_factory: pytest.TempPathFactory) -> Money:
    return Money(4, tmp_path_factory.mktemp("life"), "nowhere.db", "R-4")


def test_a_drawn_shop_is_the_same_each_time(life: Money, tmp_path: Path) -> None:
    again = draw_shop(4, tmp_path / "shop", "R-4")
    assert again is not None and life.shop is not None
    assert (again.book, again.job) == (life.shop.book, life.shop.job)


def a_yes(version: int, at: int) -> Yes:
    return Yes(version, "good", (), at, Decimal(100), Decimal(107), None)


def a_version(number: int, at: int, **changed: Any) -> Version:
    return Version(number, Path(), at, Decimal(0), QUOTED, **changed)


CHANGE = {"change": ("good", ()), "needs": True}


@pytest.mark.parametrize(
    ("versions", "yeses", "nos", "holds", "waits"),
    [
        ([a_version(1, 1)], [], [], None, None),
        ([a_version(1, 1)], [a_yes(1, 2)], [], 1, None),
        ([a_version(1, 1)], [a_yes(1, 2)], [(None, 3)], None, None),
        ([a_version(1, 1), a_version(2, 3, **CHANGE)], [a_yes(1, 2)], [], 1, 2),
        ([a_version(1, 1), a_version(2, 3, **CHANGE)], [a_yes(1, 2)], [(2, 4)], 1, None),
        ([a_version(1, 1), a_version(2, 3, **CHANGE)], [a_yes(1, 2), a_yes(2, 4)], [], 2, None),
    ],
)
def test_the_onlooker_knows_what_holds(
    life: Money, versions: list[Version], yeses: list[Yes], nos: list[Any], holds: int | None, waits: int | None
) -> None:
    """From what was said alone, in its order."""
    life.versions, life.yeses, life.nos = versions, yeses, nos
    yes, waiting = life.last_yes(), life.pending()
    assert (yes and yes.version, waiting and waiting.number) == (holds, waits)


def test_the_onlookers_threshold_is_exact(life: Money) -> None:
    assert life.shop is not None
    settings = life.shop.book.settings
    share = Fraction(settings.call_when_over_percent) * Fraction("123.45")
    assert life.threshold(Decimal("123.45")) in (share, Fraction(settings.call_when_over_amount))
