"""The value at which a choice turns, as a tree: what the other choice is behind at it, and one step nearer (5.7).

Behind is told in the first figure in which the two differ, in the order of the aim: zero or below where the other
choice wins, zero or above where what is taken does; at zero the rules for ties decide.

Worked example: at 49.99 the other choice comes to 99.99 and what is taken to 100.00, so it is 0.01 ahead; at 50.00
both come to 100.00, and the codes decide for what is taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from functools import partial

from quotekit.model.explanation import Explanation, number_text
from quotekit.model.why import BreakEven
from quotekit.pricing.aims import Value, value_of
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain.choice_told import ChoiceTold, lay_open
from quotekit.pricing.explain.supposed import FIXED, PACK, column_of, marked, supposed
from quotekit.pricing.explain.told import Money, number
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup

Sets = Sequence[tuple[frozenset[str], frozenset[str]]]
"""Complete choices: the keys of the remedies, and the findings covered."""

_PLACES = {
    "lowest price": ("work",),
    "least to own": ("over_years", "work"),
    "longest life": ("shortest_life", "lives_together", "work"),
}


class Turning:
    """One break-even of one remedy, and the choices it was sought among."""

    def __init__(self, setup: Setup, tier: str, aim: str, remedy: str, choices: Sets) -> None:
        self.setup, self.tier, self.aim, self.remedy, self.choices = setup, tier, aim, remedy, choices

    def wins_at(self, name: str, found: BreakEven) -> Explanation:
        """The break-even itself."""
        assert found.wins_at is not None
        return self._turns(name, found, column_of(found), found.wins_at, found.present)

    def pack_cost(self, name: str, found: BreakEven) -> Explanation:
        """The pack cost that goes with a price."""
        assert found.pack_cost is not None and found.pack_cost_now is not None
        return self._turns(name, found, PACK, found.pack_cost, found.pack_cost_now)

    def tried(self, name: str, found: BreakEven) -> Explanation:
        """The most favourable value that is tried, with what the other choice is behind there."""
        behind = self._behind(found, column_of(found), found.tried)
        text = _text(self._money(), found, found.tried)
        rule = "The most favourable value that is tried; below is what the other choice is behind there (rules 5.7)."
        return Explanation(figure=name, value=text, rule=rule, inputs=(behind,))

    def _turns(self, name: str, found: BreakEven, column: str, value: Decimal, now: Decimal) -> Explanation:
        nearer = value + (found.step if value < now else -found.step)
        rule = (
            f"The value nearest to the present one at which {self.remedy} is no longer taken; a step of "
            f"{number_text(found.step)} nearer it still is (rules 5.7)."
        )
        inputs = (self._behind(found, column, value), self._behind(found, column, nearer))
        node = partial(self._money().node, name, value) if "price" in found.figure else partial(number, name, value)
        cells = (found.source.place(column),) if column in found.source.columns else ()
        return node("turns at", inputs, rule, rounding=f"to a step of {number_text(found.step)}", cells=cells)

    def _behind(self, found: BreakEven, column: str, value: Decimal) -> Explanation:
        """What the best choice without the remedy is behind the best one with it, the cell holding a value."""
        setup = supposed(self.setup, found, column, value)
        at = f"{found.of.key} {_COLUMN_WORDS.get(column, column.lower())} {_text(self._money(), found, value)}"
        every = [(self._value(setup, keys, covered), keys, covered) for keys, covered in self.choices]
        with_it = min(one for one in every if self.remedy in one[1])
        without = min(one for one in every if self.remedy not in one[1])
        mine, other = (
            lay_open(setup, self.tier, _items(setup, keys), covered, f" ({words}, {at})")
            for (_, keys, covered), words in ((with_it, f"with {self.remedy}"), (without, f"without {self.remedy}"))
        )
        node = self._difference(f"behind at {at}", (with_it[0], without[0]), mine, other)
        return marked(node, found, column, value)

    def _difference(self, name: str, values: tuple[Value, Value], mine: ChoiceTold, other: ChoiceTold) -> Explanation:
        money, places = self._money(), _PLACES[self.aim]
        place = next((one for one, a, b in zip(places, *values, strict=False) if a != b), None)
        if place is None:
            rule = "In a tie fewer operations are taken, then the earlier codes (rules 5.7)."
            inputs = (other.work(), mine.work())
            return money.node(name, ZERO, "difference", inputs, f"Both come to the same. {rule}")
        first, second = getattr(other, place)(), getattr(mine, place)()
        if place in ("shortest_life", "lives_together"):
            first, second = second, first
            rule = (
                f"{place.replace('_', ' ').capitalize()} of what is taken, less that of the other choice (rules 5.7)."
            )
            return number(name, second_less(first, second), "difference", (first, second), rule)
        words = "Cost over the years" if place == "over_years" else "Work"
        rule = f"{words} of the other choice, less that of what is taken (rules 5.7)."
        return money.node(name, second_less(first, second), "difference", (first, second), rule)

    def _value(self, setup: Setup, keys: frozenset[str], covered: frozenset[str]) -> Value:
        remedies = tuple(sorted(_items(setup, keys), key=lambda item: item.key))
        charges = setup.priced((*remedies, *setup.in_every(self.tier)))
        return value_of(setup, self.aim, remedies, covered, charges)  # type: ignore[arg-type]

    def _money(self) -> Money:
        return Money(self.setup.basis.book.settings.currency)


_COLUMN_WORDS = {FIXED: "at", PACK: "at a pack cost of", "Net hours": "in", "Life years": "lasting"}


def second_less(first: Explanation, second: Explanation) -> Decimal:
    """The number of a node less that of another."""
    assert isinstance(first.number, Decimal) and isinstance(second.number, Decimal)
    return first.number - second.number


def _items(setup: Setup, keys: Iterable[str]) -> list[Item]:
    return [setup.candidates.items[key] for key in keys]


def _text(money: Money, found: BreakEven, value: Decimal) -> str:
    return money.text(value) if "price" in found.figure else number_text(value)
