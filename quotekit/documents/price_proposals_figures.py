"""Two sheets to read: every figure of a proposal, old beside new, and where each part is used."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.costing_style import head, note
from quotekit.documents.price_proposals_style import NOT_KNOWN, gap, one, share, table_sheet, tall, units
from quotekit.documents.price_proposals_words import quote_names, short, some
from quotekit.documents.sheet import Cell, Row, Sheet, row, text
from quotekit.model.proposed_prices import PriceProposal, ProposedPrices, Terms

FIGURES, USES = "Figures", "Where used"

TITLES = (
    "Part", "List's number", "Pack now", "Pack new", "Pack cost now", "Pack cost new",
    "Cost of one now", "Cost of one new", "Change",
    "List now", "List new", "Price now", "Price new", "Change",
    "One leaves now", "One leaves new", "Margin now", "Margin new", "Lead days now", "Lead days new",
)  # fmt: skip
_FIGURE_WIDTHS = (17.0, 11.0, 5.5, 5.5, *(7.5,) * 4, 7.0, *(7.5,) * 4, 7.0, 7.0, 7.0, 7.0, 7.0, 5.0, 5.0)
_USE_TITLES = (
    "Part", "What it is", "Row in the book", "Row in the list", "Used in a year", "Open quotes",
    "Standing remedies and extras",
)  # fmt: skip
_USE_WIDTHS = (17.0, 27.0, 9.0, 8.0, 8.0, 18.0, 35.0)


def lay_out_figures(found: ProposedPrices) -> Sheet:
    """Every figure, old beside new."""
    columns = len(_FIGURE_WIDTHS)
    rows = [
        row(text("Figures, old and new", "title", columns)),
        note(
            f"In {found.currency}, before tax. A pack's cost is exact; the cost of one is shown to six decimals at "
            "most and used exactly. Price: what a quote asks for one. One leaves: price less cost.",
            columns,
        ),
        gap(columns),
    ]
    above = len(rows)
    rows.append(head(*TITLES, right=range(2, columns)))
    rows += [_figures(each, found) for each in found.proposals]
    return table_sheet(found, FIGURES, tall(rows, _FIGURE_WIDTHS), _FIGURE_WIDTHS, above)


def _figures(each: PriceProposal, found: ProposedPrices) -> Row:
    now, new = each.row.terms, each.new
    return row(
        text(short(each.row.code)),
        text(short(each.list_number)),
        units(now.pack_quantity),
        units(new.pack_quantity),
        one(now.pack_cost, found),
        one(new.pack_cost, found),
        one(now.cost_each, found),
        one(new.cost_each, found),
        share(each.cost_change),
        one(now.list_each, found),
        one(new.list_each, found),
        one(now.price, found),
        one(new.price, found),
        share(each.price_change),
        one(now.margin_each, found),
        one(new.margin_each, found),
        share(now.margin_share),
        share(new.margin_share),
        *_leads(now, new),
    )


def _leads(now: Terms, new: Terms) -> Iterator[Cell]:
    return (units(terms.lead_days) for terms in (now, new))


def lay_out_uses(found: ProposedPrices) -> Sheet:
    """Where each part is used."""
    columns = len(_USE_WIDTHS)
    rows = [
        row(text("Where the parts are used", "title", columns)),
        note(
            "Open quotes hold the part now, or would under the new prices; (extra) where only work that is offered "
            "beside an option would. Remedies and extras of the shop book use it by themselves, by their operations "
            "and access, or by another part's Replaced by or Also needs; a kit asks its own price alone.",
            columns,
        ),
        gap(columns),
    ]
    above = len(rows)
    rows.append(head(*_USE_TITLES, right=(3, 4)))
    rows += [_uses(each) for each in found.proposals if each.row.sheet == "Parts"]
    return table_sheet(found, USES, tall(rows, _USE_WIDTHS), _USE_WIDTHS, above)


_MOST_NAMED = 40
"""Remedies, or quotes, that are named; more are counted."""


def _uses(each: PriceProposal) -> Row:
    return row(
        text(short(each.row.code)),
        text(short(each.row.name)),
        text(f"{each.row.sheet} {each.row.source.row}", "small"),
        units(each.list_row or None),
        units(each.used or None),
        text(some(quote_names(each), _MOST_NAMED) or NOT_KNOWN, "beside"),
        text(some(each.remedies, _MOST_NAMED) or NOT_KNOWN),
    )
