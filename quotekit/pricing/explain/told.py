"""A set of charges being explained, and the makers of its nodes.

Every node takes its value from what the engine worked out; no price is worked out a second time here. The operation
of a node says how its number follows from its inputs, and a test works each one out again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property
from typing import Literal, NamedTuple

from quotekit.model.explanation import Explanation, Form, Operation, Value, by_value, in_order, number_text
from quotekit.model.source import Source
from quotekit.money import Exact, minor_digits, round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.charges import Charges
from quotekit.pricing.setup import Setup
from quotekit.pricing.shares import Users, users_of
from quotekit.problems import Place


class Use(NamedTuple):
    """A part with how many one user brings, and how that comes about."""

    part: str
    quantity: Decimal
    told: Explanation
    kind: Literal["operation", "step", "item"]
    by: str


_ROUNDED = {0: "to whole units", 2: "to cents"}


@dataclass(kw_only=True, eq=False)
class Told:
    """Charges laid open: a tier's own, a tier with an extra, or one remedy by itself; each node is made once."""

    setup: Setup
    charges: Charges
    alone: bool = False
    beside: Told | None = None
    """The tier that something is added to, for its freight."""
    suffix: str = ""
    """After the name of a figure that is not the tier's own: ` (with BELT)`."""
    own_names: Mapping[str, str] = field(default_factory=dict)
    """Names of those that are figures of the JSON all the same: `work` is `extras.BELT.work`."""
    uses: dict[str, list[Use]] = field(default_factory=dict)
    """Who brings each part, once it was looked up."""
    _made: dict[str, Explanation] = field(default_factory=dict)

    @property
    def basis(self) -> Basis:
        """What it is priced on."""
        return self.setup.basis

    @cached_property
    def users(self) -> Users:
        """Which items need each operation and step."""
        return users_of(self.basis, self.charges.work)

    @cached_property
    def money(self) -> Money:
        """The currency's digits and words."""
        return Money(self.basis.book.settings.currency)

    def name(self, figure: str) -> str:
        """The name of a figure, said to be another's where it is not the tier's own."""
        return self.own_names.get(figure) or f"{figure}{self.suffix}"

    def once(self, figure: str, make: Callable[[], Explanation]) -> Explanation:
        """The node of a figure, made when it is first asked for."""
        found = self._made.get(figure)
        if found is None:
            found = self._made[figure] = make()
        return found

    def setting(self, name: str, attribute: str, form: Form = "number") -> Explanation:
        """A setting of the shop, with its cell or as the default."""
        settings = self.basis.book.settings
        source = settings.sources.get(name)
        value = getattr(settings, attribute)
        return leaf(name, value, cells=() if source is None else cell(source, "Value"), form=form)

    def setting_cells(self, name: str) -> tuple[Place, ...]:
        """The cell of a setting; none where it is the default."""
        source = self.basis.book.settings.sources.get(name)
        return () if source is None else cell(source, "Value")

    def job_field(self, name: str, value: Exact | None, form: Form = "number") -> Explanation:
        """A number on the sheet Job, zero where nothing is said."""
        return leaf(name, ZERO if value is None else value, cells=self.job_cells(name), form=form)

    def job_cells(self, *names: str) -> tuple[Place, ...]:
        """Cells of fields of the job; those that are not there are left out."""
        sources = self.basis.job.sources
        return tuple(place for name in names if name in sources for place in cell(sources[name], "Value"))


class Money:
    """How amounts of one currency are made into nodes."""

    def __init__(self, currency: str) -> None:
        self.digits = minor_digits(currency)
        unit = _ROUNDED.get(self.digits, f"to {self.digits} decimals")
        self.half_up, self.up, self.unit_words = f"half up {unit}", f"up {unit}", unit

    def text(self, amount: Decimal) -> str:
        """An amount with the currency's digits."""
        return f"{round_to(amount, self.digits):f}"

    def node(
        self,
        figure: str,
        amount: Exact,
        operation: Operation,
        inputs: Iterable[Explanation],
        rule: str,
        *,
        rounding: str = "",
        cells: Iterable[Place] = (),
    ) -> Explanation:
        """An amount; exact ones that the currency's digits can't hold are written as they are."""
        rounded = round_to(amount, self.digits)
        exact = rounded == amount
        return Explanation(
            figure=figure,
            value=(f"{rounded:f}" if rounded else f"{abs(rounded):f}") if exact else number_text(amount),
            rule=rule,
            operation=operation,
            number=amount,
            form="money",
            rounding=rounding,
            inputs=tuple(inputs),
            cells=tuple(cells),
        )

    def rounded(
        self,
        figure: str,
        amount: Decimal,
        operation: Operation,
        inputs: Iterable[Explanation],
        rule: str,
        cells: Iterable[Place] = (),
    ) -> Explanation:
        """An amount that was rounded half up."""
        return self.node(figure, amount, operation, inputs, rule, rounding=self.half_up, cells=cells)

    def sum_of(self, figure: str, amount: Decimal, inputs: Iterable[Explanation], rule: str) -> Explanation:
        """Amounts together."""
        return self.node(figure, amount, "sum", inputs, rule)

    def settled(self, figure: str, amount: Decimal, rule: str, cells: Iterable[Place] = ()) -> Explanation:
        """An amount that a rule settles without arithmetic, most often zero."""
        return self.node(figure, amount, "decided", (), rule, cells=cells)


def number(
    figure: str,
    value: Exact,
    operation: Operation,
    inputs: Iterable[Explanation],
    rule: str,
    *,
    rounding: str = "",
    cells: Iterable[Place] = (),
    form: Form = "number",
) -> Explanation:
    """Hours, a quantity, a factor."""
    return Explanation(
        figure=figure,
        value=number_text(value),
        rule=rule,
        operation=operation,
        number=value,
        form=form,
        rounding=rounding,
        inputs=tuple(inputs),
        cells=tuple(cells),
    )


def count(
    figure: str,
    value: int,
    operation: Operation,
    inputs: Iterable[Explanation],
    rule: str,
    *,
    rounding: str = "",
    cells: Iterable[Place] = (),
) -> Explanation:
    """A whole number that the JSON writes without quotes: packs, days."""
    found = number(figure, value, operation, inputs, rule, rounding=rounding, cells=cells)
    return replace(found, value=value)


def words(
    figure: str,
    value: Value,
    rule: str,
    *,
    cells: Iterable[Place] = (),
    inputs: Iterable[Explanation] = (),
    given: bool = False,
) -> Explanation:
    """What is no number: a text, a yes or no, a list, or nothing."""
    operation: Operation = "given" if given else "decided"
    return Explanation(
        figure=figure, value=value, rule=rule, operation=operation, inputs=tuple(inputs), cells=in_order(cells)
    )


def leaf(
    figure: str, value: Exact | str | None, *, cells: Sequence[Place], form: Form = "number", rule: str = ""
) -> Explanation:
    """What stands in a cell, or holds where nothing is said."""
    rule = rule or ("As typed." if cells else "The value that holds where nothing is said (rules 3).")
    if isinstance(value, str) or value is None:
        return Explanation(figure=figure, value=value, rule=rule, operation="given", cells=tuple(cells))
    return Explanation(
        figure=figure,
        value=number_text(value),
        rule=rule,
        operation="given",
        number=value,
        form=form,
        cells=tuple(cells),
    )


def of_row(
    figure: str,
    value: Exact | None,
    source: Source,
    column: str,
    *more: str,
    form: Form = "number",
    rule: str = "",
) -> Explanation:
    """The number in a row's column, zero where it is blank; `more` are columns of the row that choose it."""
    cells = (*cell(source, column), *(place for other in more for place in cell(source, other)))
    rule = rule or ("" if value is not None else "Blank: none.")
    return leaf(figure, ZERO if value is None else value, cells=cells, form=form, rule=rule)


def cell(source: Source, column: str) -> tuple[Place, ...]:
    """The cell of a column of a row; none where the sheet has no such column or nothing was read."""
    return (source.place(column),) if column in source.columns else ()


def cells_in(source: Source, *columns: str) -> tuple[Place, ...]:
    """Cells of several columns of a row."""
    return tuple(place for column in columns for place in cell(source, column))


def elsewhere(told: Told, tree: Explanation) -> Explanation:
    """A figure by its value alone: its tree stands under its own name."""
    return told.once(f"elsewhere {tree.figure}", lambda: by_value(tree))


def listed(keys: Iterable[str], none: str = "nothing") -> str:
    """Keys in a sentence.

    >>> listed(["A", "B", "C"]), listed([])
    ('A, B and C', 'nothing')
    """
    known = list(keys)
    if len(known) < 2:
        return known[0] if known else none
    return f"{', '.join(known[:-1])} and {known[-1]}"
