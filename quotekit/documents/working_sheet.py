"""The hidden sheet behind a quote: what the quote is, and the whole numbers its figures are worked out from.

It holds selling figures and hours only. Every step stands below the ones it needs, so the sheet reads from top to
bottom; money is in the currency's smallest unit, hours and quantities in a power of ten.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from quotekit.documents.customer_chart import chart_rows
from quotekit.documents.fingerprint import CHOSEN_TIER, WORKING
from quotekit.documents.formula_text import formula_of
from quotekit.documents.sheet import Cell, NamedRange, Row, Sheet, day, number, row, text
from quotekit.model.expression import Expression, Step, evaluate, spans, weighted
from quotekit.model.live import LiveExtra, LiveOption, LivePricing
from quotekit.model.quote import Quote
from quotekit.record import record

_WIDTHS = (30.0, 26.0, 12.0, 12.0, 12.0, 12.0, 12.0, 12.0)
_ABOUT = "What the figures of this quote are worked out from: money in the smallest unit, whole numbers only."
_LETTERS = {"offered": "o", "included": "i", "none": "n"}


@record
class Place:
    """A cell of the hidden sheet, as other sheets write it, with what it holds as the quote is sent."""

    reference: str
    sent: int


@record
class ExtraPlaces:
    """What the hidden sheet says of something to tick, for the option chosen."""

    ticked: Place
    price: Place
    offered: Place
    included: Place
    unclear: Place
    """1 where what was typed is neither a yes nor a no."""


@record
class Working:
    """The hidden sheet with its named ranges, and where the visible sheet finds its figures."""

    sheet: Sheet
    names: tuple[NamedRange, ...]
    labels: str
    """The range of the options' labels, for the drop-down."""
    known: Place | None = None
    """1 where exactly one option is chosen."""
    chosen: tuple[Place, ...] = ()
    extras: Mapping[str, ExtraPlaces] | None = None
    unclear: str = ""
    """The range that counts the answers which are neither a yes nor a no; empty where there is nothing to tick."""
    figures: Mapping[str, Place] | None = None
    taxes: tuple[tuple[str, Place], ...] = ()
    chart_row: int | None = None
    possible: frozenset[str] = frozenset()
    """Figures that some choice makes other than zero."""


def lay_out_working(quote: Quote) -> Working:
    """The hidden sheet of a quote: facts and options, and with live pricing every step of it."""
    return _Layout(quote).working()


class _Layout:
    """Rows so far; a row is added and its 0-based number given back."""

    def __init__(self, quote: Quote) -> None:
        self.quote = quote
        self.rows: list[Row] = []
        self.names: list[NamedRange] = []
        self.at: dict[Step, tuple[str, int]] = {}
        self.sent: dict[Step, int] = evaluate(quote.live.steps, {}) if quote.live else {}

    def working(self) -> Working:
        self.rows.append(row(text(_ABOUT, "quiet")))
        self._facts()
        first, last = self._options()
        labels = f"={WORKING}!$B${first + 1}:$B${last + 1}"
        live = self.quote.live
        chart = self._chart([option.label for option in live.options] if live else [])
        if live is None:
            return Working(sheet=self._sheet(), names=tuple(self.names), labels=labels, chart_row=chart)
        known = self._line("one option is chosen", f"=IF(SUM(C{first + 1}:C{last + 1})=1,1,0)", 0)
        top = len(self.rows) + 1
        extras = self._extras(live.extras)
        unclear = f"{WORKING}!$H${top}:$H${len(self.rows)}" if extras else ""
        for step in live.steps:
            self._step(step)
        return Working(
            sheet=self._sheet(),
            names=tuple(self.names),
            labels=labels,
            known=Place(reference=known, sent=0),
            chosen=tuple(self._place(option.chosen) for option in live.options),
            extras=extras,
            unclear=unclear,
            figures={name: self._place(step) for name, step in live.figures.items()},
            taxes=tuple((tax, self._place(step)) for tax, step in live.taxes),
            chart_row=chart,
            possible=_possible(live),
        )

    def _facts(self) -> None:
        job, settings = self.quote.job, self.quote.book.settings
        facts: Sequence[tuple[str, str, Cell]] = (
            ("quote number", "quote_number", text(job.job_number)),
            ("version", "quote_version", number(job.version, "body")),
            ("quote date", "quote_date", day(job.quote_date)),
            ("valid until", "quote_valid_until", day(self.quote.valid_until)),
            ("shop", "quote_shop", text(settings.shop_name)),
        )
        for label, name, cell in facts:
            line = self._add(text(label), cell)
            self._name(name, line, line, 1, 1)

    def _options(self) -> tuple[int, int]:
        """A row for each option: code, label and the flag that it is chosen."""
        live = self.quote.live
        first = len(self.rows)
        if live is None:
            for tier in self.quote.offered:
                self._add(text(tier.code), text(tier.name))
        else:
            for n, option in enumerate(live.options):
                self._option(n, option)
        last = len(self.rows) - 1
        self._name("offered_options", first, last, 0, 1)
        return first, last

    def _option(self, n: int, option: LiveOption) -> None:
        line, name = len(self.rows) + 1, self.quote.offered[n].name
        known = [f"B{line}", f"A{line}", f'"Option {n + 1}"', *([f"D{line}"] if name != option.label else [])]
        said = ",".join(f"EXACT({CHOSEN_TIER},{other})" for other in known)
        flag = f"=IF(ISERROR({CHOSEN_TIER}),0,IF(OR({said}),1,0))"
        owners = [text(name)] if name != option.label else []
        self._add(text(option.code), text(option.label), _counted(flag, 0), *owners)
        self.at[option.chosen] = ("C", line)

    def _chart(self, labels: Sequence[str]) -> int | None:
        found = chart_rows(self.quote, labels)
        first = len(self.rows)
        self.rows += found
        return first if found else None

    def _extras(self, extras: Sequence[LiveExtra]) -> dict[str, ExtraPlaces]:
        """A row for each thing to tick: key, name of its cell, where it is offered, and what was answered."""
        first = len(self.rows)
        found = {extra.key: self._extra(extra) for extra in extras}
        if extras:
            self._name("offered_extras", first, len(self.rows) - 1, 0, 2)
        return found

    def _extra(self, extra: LiveExtra) -> ExtraPlaces:
        line, name = len(self.rows) + 1, extra.defined_name
        yes = f'OR({name}="Yes",EXACT({name},"☑"),{name}=TRUE(),{name}=1)'
        no = f'OR({name}="",EXACT({name},"☐"),{name}="No",{name}=FALSE(),{name}=0)'
        letters = "".join(_LETTERS[place] for place in extra.place)
        digits = self.quote.live.digits if self.quote.live else 0
        prices = [0 if price is None else int(price.scaleb(digits)) for price in extra.price]
        self._add(
            text(extra.key),
            text(name),
            text(letters),
            _counted(f"=IF(ISERROR({name}),0,IF({yes},1,0))", 0),
            self._picked(prices),
            self._picked([int(place == "offered") for place in extra.place]),
            self._picked([int(place == "included") for place in extra.place]),
            _counted(f"=IF(ISERROR({name}),1,IF(OR(D{line}=1,{no}),0,1))", 0),
        )
        self.at[extra.ticked] = ("D", line)
        return ExtraPlaces(
            **{
                part: Place(reference=f"{WORKING}!${column}${line}", sent=0)
                for part, column in (
                    ("ticked", "D"), ("price", "E"), ("offered", "F"), ("included", "G"), ("unclear", "H"),
                )
            }
        )  # fmt: skip

    def _picked(self, values: Sequence[int]) -> Cell:
        """The value of the option chosen; zero until one is."""
        live = self.quote.live
        assert live is not None
        chosen = [option.chosen for option in live.options]
        formula: Expression = weighted(zip(values, chosen, strict=True))
        return number(0, "body") if isinstance(formula, int) else _counted(formula_of(formula, self.at), 0)

    def _step(self, step: Step) -> None:
        if step.formula is None:
            return
        line = len(self.rows) + 1
        value = self.sent[step]
        if isinstance(step.formula, int):
            self._add(text(step.name), number(value, "body"))
        else:
            self._add(text(step.name), _counted(formula_of(step.formula, self.at), value))
        self.at[step] = ("B", line)

    def _line(self, label: str, formula: str, sent: int) -> str:
        line = self._add(text(label), _counted(formula, sent))
        return f"{WORKING}!$B${line + 1}"

    def _place(self, step: Step) -> Place:
        column, line = self.at[step]
        return Place(reference=f"{WORKING}!${column}${line}", sent=self.sent[step])

    def _add(self, *cells: Cell) -> int:
        self.rows.append(row(*cells))
        return len(self.rows) - 1

    def _name(self, name: str, first: int, last: int, left: int, right: int) -> None:
        area = NamedRange(
            name=name, sheet=WORKING, first_row=first, last_row=last, first_column=left, last_column=right
        )
        self.names.append(area)

    def _sheet(self) -> Sheet:
        return Sheet(name=WORKING, rows=tuple(self.rows), widths=_WIDTHS, hidden=True, protected=True)


def _possible(live: LivePricing) -> frozenset[str]:
    known, _ = spans(live.steps)
    return frozenset(name for name, step in live.figures.items() if known[step] != (0, 0))


def _counted(formula: str, sent: int) -> Cell:
    return Cell(content=Decimal(sent), kind="number", style="body", formula=formula)
