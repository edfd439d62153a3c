"""The basis of a job with nothing looked up ahead: what a rule does not ask for, it does not read.

`Basis` makes an operation with all that belongs to it at once, which is quick and reads every cell of its row. Here
hours, parts, access and labour are looked up when a rule asks, each time, so that what was read tells what was needed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import Any, cast

from quotekit.model.job import OneOff
from quotekit.model.shop_book import AccessStep, Condition, LabourRate, Operation, Quantity
from quotekit.model.watched_reads import Seen, kept
from quotekit.money import minor_digits
from quotekit.pricing.basis import ZERO, Basis, Op, PartUse, Step
from quotekit.pricing.part_price import UnitPrice, unit_price


class LateUses:
    """Parts that something brings, looked up when they are gone through."""

    def __init__(self, seen: Seen, look_up: Callable[[], tuple[PartUse, ...]]) -> None:
        self.seen, self._look_up = seen, look_up

    @kept("parts used")
    def _uses(self) -> tuple[PartUse, ...]:
        return self._look_up()

    def __iter__(self) -> Iterator[PartUse]:
        return iter(self._uses)

    def __len__(self) -> int:
        return len(self._uses)


class LateOp:
    """An operation on one side whose cells are read when they are asked for."""

    def __init__(self, basis: LateBasis, operation: Operation, side: str | None, key: str) -> None:
        self._basis, self.seen, self.operation, self.side, self.key = basis, basis.seen, operation, side, key

    @property
    def code(self) -> str:
        """The operation's code."""
        return self.operation.code

    @property
    def net_hours(self) -> Decimal:
        """Hours once access is open."""
        return self.operation.net_hours

    @property
    def second_side_hours(self) -> Decimal | None:
        """Hours of each further position."""
        return self.operation.second_side_hours if self.side is not None else None

    @property
    def rate(self) -> str:
        """The labour rate that bills it."""
        return self.operation.labour or self._basis.default_rate

    @property
    def slowed(self) -> bool:
        """True where rust slows it."""
        return self.operation.slowed_by_rust

    @kept("which work is present")
    def steps(self) -> frozenset[str]:
        """Access steps it needs."""
        return self._basis.steps_from(self.operation.access, self.side)

    @kept("parts used")
    def parts(self) -> tuple[PartUse, ...]:
        """Parts it uses."""
        return self._basis.uses(self.operation.code, self.operation.parts, self.side)

    @kept("which work is present")
    def includes(self) -> frozenset[str]:
        """Operations it makes unnecessary."""
        return self._basis.included(self.operation, self.side)


class LateStep:
    """An access step on one side whose cells are read when they are asked for."""

    def __init__(self, basis: LateBasis, step: AccessStep, side: str | None, key: str) -> None:
        self._basis, self.seen, self.step, self.side, self.key = basis, basis.seen, step, side, key

    @property
    def code(self) -> str:
        """The step's code."""
        return self.step.code

    @property
    def hours(self) -> Decimal:
        """To open and to close it."""
        return self.step.hours_to_open + self.step.hours_to_close

    @property
    def rate(self) -> str:
        """The labour rate that bills it."""
        return self.step.labour or self._basis.default_rate

    @kept("parts used")
    def parts(self) -> tuple[PartUse, ...]:
        """Parts it uses."""
        return self._basis.uses(self.step.code, self.step.parts, self.side)


class LateLineOp:
    """The work of a one-off line, read when it is asked for."""

    code: str
    side = None
    second_side_hours = None
    operation = None
    includes: frozenset[str] = frozenset()
    parts: tuple[PartUse, ...] = ()

    def __init__(self, basis: LateBasis, line: OneOff) -> None:
        self._basis, self.seen, self._line = basis, basis.seen, line
        self.key = self.code = line.code

    @property
    def net_hours(self) -> Decimal:
        """Hours of a line of labour."""
        return self._line.quantity if self._line.kind == "labour" else ZERO

    @property
    def rate(self) -> str:
        """The labour rate that bills it."""
        return self._line.labour or self._basis.default_rate

    @property
    def slowed(self) -> bool:
        """True where rust slows it."""
        return self._line.slowed_by_rust

    @kept("which work is present")
    def steps(self) -> frozenset[str]:
        """Access steps it needs."""
        return self._basis.steps_from(self._line.access, None)


class LateBasis(Basis):
    """A basis over a watched book and job that keeps nothing without what was read for it."""

    def __init__(self, seen: Seen, **values: Any) -> None:
        super().__init__(**values)
        self.seen = seen

    @kept("labour")
    def digits(self) -> int:
        """Decimals of the shop's currency."""
        return minor_digits(self.book.settings.currency)

    @kept("labour rates in force")
    def rates(self) -> dict[str, LabourRate]:
        """The row in force of each labour code."""
        return cast("dict[str, LabourRate]", _looked_up(self, "rates"))

    @kept("labour rates in force")
    def default_rate(self) -> str:
        """The job's labour rate, else the first code of the sheet."""
        return cast("str", _looked_up(self, "default_rate"))

    @kept("condition")
    def condition(self) -> Condition | None:
        """The machine's condition."""
        return cast("Condition | None", _looked_up(self, "condition"))

    @kept("which work is present")
    def always(self) -> tuple[str, ...]:
        """Operation codes done once on every job of this class."""
        return cast("tuple[str, ...]", _looked_up(self, "always"))

    @kept("parts used")
    def own_parts(self) -> frozenset[str]:
        """Final codes of the customer's own parts."""
        return cast("frozenset[str]", _looked_up(self, "own_parts"))

    def price(self, code: str) -> UnitPrice:
        """Rounded selling price of a final part."""
        return unit_price(self.part(code), self.book.markup, self.digits)

    def uses(self, code: str, parts: Iterable[Quantity], side: str | None) -> tuple[PartUse, ...]:
        """Final parts with companions that a code brings on one side, when they are gone through."""
        return cast(tuple[PartUse, ...], LateUses(self.seen, lambda: super(LateBasis, self).uses(code, parts, side)))

    def included(self, record: Operation, side: str | None) -> frozenset[str]:
        """Keys an operation makes unnecessary."""
        return self._included(record, side)

    def keep_op(self, op: Op) -> Op:
        """Remember the work of a one-off line, to be read when it is asked for."""
        line = next(line for line in self.job.one_off if line.code == op.key)
        return super().keep_op(cast(Op, LateLineOp(self, line)))

    def _make_op(self, record: Operation, side: str | None, key: str) -> Op:
        return cast(Op, LateOp(self, record, side, key))

    def _keep_step(self, record: AccessStep, side: str | None, key: str) -> None:
        if key not in self._steps:
            self._steps[key] = cast(Step, LateStep(self, record, side, key))


def _looked_up(basis: Basis, name: str) -> Any:
    """What the engine's basis looks up once, looked up again."""
    return vars(Basis)[name].func(basis)
