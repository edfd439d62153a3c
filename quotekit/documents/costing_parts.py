"""Parts of a tier as bought: packs, supplier, left over, how far from free freight; and freight by supplier."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.costing_sources import part_of, supplier_of, where
from quotekit.documents.costing_style import amount, each, head, in_words, note, quantity, section
from quotekit.documents.quote_json import plain
from quotekit.documents.sheet import Row, blank, row, text
from quotekit.model.quote import PartLine, PricedTier, Quote
from quotekit.model.shop_book import Part, Supplier

COLUMNS = 10
ZERO = Decimal(0)


def lay_out_parts(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    """Each part with its packs, then each supplier's order of this job alone."""
    yield from section("Parts and packs", COLUMNS)
    if not tier.part_lines:
        yield note("No parts.", COLUMNS)
        return
    titles = (
        ("Part", 2),
        "Used",
        "Packs",
        "In a pack",
        "Pack cost",
        "Cash",
        "Left over",
        "Cost each",
        "Bought from",
    )
    yield head(*titles, right=range(1, 8))
    for line in tier.part_lines:
        yield _part(quote, line)
        yield row(text(_about(quote, line), "aside", COLUMNS))
    yield from _suppliers(quote, tier)


def _part(quote: Quote, line: PartLine) -> Row:
    return row(
        text(f"{line.name} ({line.part})", across=2),
        quantity(line.quantity),
        quantity(line.packs),
        quantity(line.pack_quantity),
        amount(line.pack_cost) if line.pack_cost is not None else blank(),
        amount(_cash(line)),
        quantity(line.left_over),
        each(line.unit_cost, quote) if line.unit_cost is not None else blank(),
        text(_bought_from(quote, line), "beside"),
        keep=True,
    )


def _bought_from(quote: Quote, line: PartLine) -> str:
    if line.own:
        return "the customer brings it"
    name = line.supplier or "the shelf"
    return f"{name}, number {line.suppliers_number}" if line.suppliers_number else name


def _about(quote: Quote, line: PartLine) -> str:
    """What else there is to say of a part, in one sentence after another."""
    part = part_of(quote, line.part)
    said = [
        line.new_or_used,
        f"for {', '.join(line.sides)}" if line.sides else "",
        line.why_price and f"price: {line.why_price}",
        f"replaces {', '.join(line.replaces)}" if line.replaces else "",
        f"{plain(line.taken_from_kits)} more come in a kit" if line.taken_from_kits else "",
        _lead(line),
        "can't go back" if not line.returnable else "",
        _cells(quote, part),
    ]
    return "; ".join(words for words in said if words)


def _lead(line: PartLine) -> str:
    if not line.ordered:
        return "" if line.own else "from the shelf"
    return "lead days not known" if line.lead_days is None else f"{line.lead_days} days to arrive"


def _cells(quote: Quote, part: Part | None) -> str:
    if part is None:
        return ""
    columns = ["Pack quantity", "Pack cost"]
    columns += ["List price each"] if part.list_price_each is not None else []
    columns += ["Fixed price each"] if part.fixed_price_each is not None else []
    cells = dict.fromkeys(where(part.source, column, quote) for column in columns)
    return ", ".join(cell for cell in cells if cell)


def _suppliers(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    orders: dict[str, list[PartLine]] = {}
    for line in tier.part_lines:
        if line.ordered:
            orders.setdefault(line.supplier, []).append(line)
    if not orders:
        yield note("Nothing is ordered: all of it is on the shelf or the customer's own.", COLUMNS)
        return
    titles = (("This job alone, by supplier", 2), "Packs cost", "Freight", "Free from", ("What that means", 4), "Cells")
    yield head(*titles, right=range(1, 4))
    freight = {line.name: line.cost for line in tier.freight_lines}
    for name, lines in orders.items():
        yield _supplier(quote, name, lines, freight.get(name))


def _supplier(quote: Quote, name: str, lines: list[PartLine], freight: Decimal | None) -> Row:
    """One order: what the packs come to, what bringing them costs, how far it is from free."""
    value = sum(map(_cash, lines), ZERO)
    terms = supplier_of(quote, lines[0])
    return row(
        text(name or "not named", across=2),
        amount(value),
        amount(freight) if freight is not None else blank(),
        amount(terms.free_freight_from) if terms and terms.free_freight_from else blank(),
        text(_gaps(quote, terms, value), "beside", 4),
        text(where(terms.source, "Free freight from", quote) if terms else "", "cell"),
    )


def _gaps(quote: Quote, supplier: Supplier | None, value: Decimal) -> str:
    """How far an order is from free freight and from the supplier's minimum."""
    if supplier is None:
        return "no freight or minimum is known"
    said: list[str] = []
    if supplier.free_freight_from:
        short = supplier.free_freight_from - value
        said.append(
            f"{in_words(short, quote)} {quote.currency} short of free freight" if short > 0 else "freight is free"
        )
    if supplier.minimum_order and value < supplier.minimum_order:
        fee = f", small order fee {in_words(supplier.small_order_fee, quote)}" if supplier.small_order_fee else ""
        said.append(f"{in_words(supplier.minimum_order - value, quote)} {quote.currency} below the minimum order{fee}")
    return "; ".join(said) or "no free freight and no minimum is set"


def _cash(line: PartLine) -> Decimal:
    return ZERO if line.own or line.pack_cost is None else line.packs * line.pack_cost
