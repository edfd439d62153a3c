"""Operations and access steps present, as flags (DESIGN.md 5.2), the same rules as `pricing/work`.

wanted = any item that wants it; present = wanted, not included by wanted work, and either an item's own
or required by work that is present. A step is open where any operation present needs it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from quotekit.model.expression import Expression, all_of, any_of, none_of
from quotekit.pricing.basis import Op
from quotekit.pricing.items import Item
from quotekit.pricing.live.taken import Taken
from quotekit.pricing.live.working import Working
from quotekit.pricing.work import in_order_of_sides


class LiveWork:
    """The work of any choice; each flag is worked out when it is first asked for."""

    def __init__(self, working: Working, taken: Sequence[Taken], always: Item) -> None:
        self.working, self.taken, self.always = working, taken, always
        self.basis = working.basis
        self._all = [*taken, Taken(item=always, flag=1)]
        self._present: dict[str, Expression] = {}
        self._brought: dict[tuple[str, str, str], Expression] = {}

    @cached_property
    def operations(self) -> list[Op]:
        """Every operation any choice may want, sides in the machine's order."""
        keys = frozenset().union(*(one.item.wanted for one in self._all))
        return in_order_of_sides(self.basis, keys)

    @cached_property
    def wanted(self) -> Mapping[str, Expression]:
        """Operations that an item taken wants."""
        return {
            op.key: self.working.step(
                "operation wanted", any_of(one.flag for one in self._all if op.key in one.item.wanted)
            )
            for op in self.operations
        }

    @cached_property
    def _included(self) -> Mapping[str, Expression]:
        return {
            op.key: self.working.step(
                "operation included in another",
                any_of(self.wanted[by.key] for by in self.operations if op.key in by.includes and by.key != op.key),
            )
            for op in self.operations
        }

    @cached_property
    def nothing_dropped(self) -> bool:
        """True where no choice makes any operation unnecessary."""
        return all(flag == 0 for flag in self._included.values())

    def present(self, key: str) -> Expression:
        """Work that is done."""
        if self.nothing_dropped:
            return self.wanted[key]
        if key not in self._present:
            needed = [self._edge(by, key) for by in self._requirers(key)]
            own = any_of(one.flag for one in self._all if key in one.item.direct)
            formula = all_of(self.wanted[key], none_of(self._included[key]), any_of([own, *needed]))
            self._present[key] = self.working.step("operation done", formula)
        return self._present[key]

    @cached_property
    def steps(self) -> Mapping[str, Expression]:
        """Access steps that are opened."""
        keys = sorted(frozenset().union(*(op.steps for op in self.operations)))
        return {
            key: self.working.step(
                "access opened", any_of(self.present(op.key) for op in self.operations if key in op.steps)
            )
            for key in keys
        }

    def effective(self, one: Taken) -> Expression:
        """An item taken that is not done by larger work: only then it brings parts of its own."""
        if self.nothing_dropped or not one.item.direct:
            return one.flag
        done = any_of(self.present(key) for key in sorted(one.item.direct))
        return self.working.step("item does its own work", all_of(one.flag, done))

    def brought(self, one: Taken, key: str) -> Expression:
        """An operation that an item really brings: its own that is done, or required by such."""
        name = (one.item.key, one.item.kind, key)
        if name not in self._brought:
            self._brought[name] = 0
            if key in one.item.direct:
                formula: Expression = all_of(one.flag, self.present(key))
            else:
                by = any_of(self.brought(one, by) for by, needed in one.item.edges if needed == key)
                formula = all_of(by, self.present(key))
            self._brought[name] = self.working.step("operation brought", formula)
        return self._brought[name]

    def always_brings(self, key: str) -> Expression:
        """An operation that the Always work brings."""
        always = Taken(item=self.always, flag=1)
        return self.brought(always, key) if key in self.always.wanted else 0

    def _requirers(self, key: str) -> list[str]:
        return list(dict.fromkeys(by for one in self._all for by, needed in one.item.edges if needed == key))

    def _edge(self, by: str, key: str) -> Expression:
        """1 where `by` is done and an item taken makes it require `key`."""
        with_edge = [one for one in self._all if (by, key) in one.item.edges]
        wanting = [one for one in self._all if by in one.item.wanted]
        if len(with_edge) == len(wanting):
            return self.present(by)
        return all_of(self.present(by), any_of(one.flag for one in with_edge))
