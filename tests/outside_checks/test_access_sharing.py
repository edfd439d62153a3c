"""Outside checks 5.01 to 5.06: a shared step is split in equal parts among its users, which is the Shapley value.

Sources: 5.01 the airport problem (encyclopedia article, example table) citing Littlechild and Owen, Management Science
20(3), 1973, 370-372; 5.02 and 5.03 thoughtfulexaminations.com, Airport Problem and the Shapley Solution;
5.05 and 5.06 from memory (the general fact), inputs made up, proved here by averaging all orders.

Steps are charged through `build_quote`: one unit of cost is one hour. Printed shares have four decimals.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.money import round_to
from tests.outside_checks.small_shop import hours_shared, shared_access

Users = Mapping[str, Sequence[str]]


def airport(needs: Mapping[str, str]) -> tuple[dict[str, str], dict[str, list[str]]]:
    """A runway as access: one step for each further stretch, used by all who need at least that much."""
    lengths = ["0", *needs.values()]
    steps = {f"STEP-{n}": str(Decimal(b) - Decimal(a)) for n, (a, b) in enumerate(pairwise(lengths))}
    return steps, {code: list(steps)[: place + 1] for place, code in enumerate(needs)}


def shapley(steps: Mapping[str, str], users: Users) -> dict[str, Fraction]:
    """Average over all orders of what each user adds, in exact fractions."""
    added = dict.fromkeys(users, Fraction(0))
    orders = list(permutations(users))
    for order in orders:
        opened: set[str] = set()
        for user in order:
            new = set(users[user]) - opened
            added[user] += sum((Fraction(steps[step]) for step in new), Fraction(0))
            opened |= new
    return {user: total / len(orders) for user, total in added.items()}


def printed(shares: Mapping[str, Fraction | str]) -> dict[str, Decimal]:
    """Shares to four decimals, as the quote states them."""
    return {code: round_to(Fraction(share), 4) for code, share in shares.items()}


@pytest.mark.parametrize(
    ("needs", "shares"),
    [
        ({"A": "8", "B": "11", "C": "13", "D": "18"}, {"A": "2", "B": "3", "C": "4", "D": "9"}),
        ({"A": "1500", "B": "2200", "C": "3000"}, {"A": "500", "B": "850", "C": "1650"}),
        ({"A": "1500", "B": "2200", "C": "3500"}, {"A": "500", "B": "850", "C": "2150"}),
    ],
    ids=["5.01", "5.02", "5.03"],
)
def test_airport_games(needs: dict[str, str], shares: dict[str, str]) -> None:
    """5.01, 5.02, 5.03: between 5.02 and 5.03 only the longest runway's user pays for the change."""
    steps, users = airport(needs)
    tier = shared_access(steps, users)
    assert hours_shared(tier) == printed(shares)
    assert tier.hours.access == max(map(Decimal, needs.values()))


SMALL_ENGINE = (
    {"A": "0.5", "B": "0.3", "C": "0.9", "D": "0.4"},
    {"CARBURETTOR": ["A", "B"], "GASKET": ["A", "B", "C"], "BELT": ["D"]},
    {"CARBURETTOR": "2/5", "GASKET": "13/10", "BELT": "2/5"},
    ("2.1", "2.9"),
)
TRAILER = (
    {"JACK": "0.2", "WHEEL-L": "0.2", "HUB-L": "0.3", "WHEEL-R": "0.2", "HUB-R": "0.3"},
    {
        "BEARING-L": ["JACK", "WHEEL-L", "HUB-L"],
        "SEAL-L": ["JACK", "WHEEL-L", "HUB-L"],
        "BRAKE-L": ["JACK", "WHEEL-L"],
        "BEARING-R": ["JACK", "WHEEL-R", "HUB-R"],
    },
    {"BEARING-L": "4/15", "SEAL-L": "4/15", "BRAKE-L": "7/60", "BEARING-R": "11/20"},
    ("1.2", "2.5"),
)


@pytest.mark.parametrize(("steps", "users", "shares", "hours"), [SMALL_ENGINE, TRAILER], ids=["5.05", "5.06"])
def test_shared_steps(
    steps: dict[str, str], users: dict[str, list[str]], shares: dict[str, str], hours: tuple[str, str]
) -> None:
    """5.05, 5.06 (from memory): opened once, each step paid in equal parts by its users."""
    once, each_alone = hours
    tier = shared_access(steps, users)
    assert hours_shared(tier) == printed(shares)
    assert tier.hours.access == Decimal(once)
    alone = [shared_access(steps, {code: needed}).hours.access for code, needed in users.items()]
    assert sum(alone) == Decimal(each_alone)


@st.composite
def access_games(draw: st.DrawFn) -> tuple[dict[str, str], dict[str, list[str]]]:
    """Up to five steps of whole tenths and up to four users."""
    names = [f"S{n}" for n in range(draw(st.integers(1, 5)))]
    steps = {name: str(Decimal(draw(st.integers(1, 30))) / 10) for name in names}
    users = {f"U{n}": draw(st.lists(st.sampled_from(names), unique=True)) for n in range(draw(st.integers(1, 4)))}
    return steps, users


@given(access_games())
def test_shares_are_the_shapley_value(game: tuple[dict[str, str], dict[str, list[str]]]) -> None:
    """Properties named with 5.05 and 5.06: they sum to the union, none above alone, lone steps paid alone."""
    steps, users = game
    tier = shared_access(steps, users)
    shares = hours_shared(tier)
    assert shares == printed(shapley(steps, users))
    opened = {step for needed in users.values() for step in needed}
    assert tier.hours.access == sum((Decimal(steps[step]) for step in opened), Decimal(0))
    assert abs(sum(shares.values()) - tier.hours.access) <= Decimal("0.00005") * len(users)
    for code, needed in users.items():
        lone = [step for step in needed if sum(step in others for others in users.values()) == 1]
        alone = sum((Decimal(steps[step]) for step in needed), Decimal(0))
        assert sum((Decimal(steps[step]) for step in lone), Decimal(0)) <= shares[code] <= alone
        assert all(shares[code] == shares[other] for other in users if sorted(users[other]) == sorted(needed))
