"""The workbook of price proposals, for the shop only: rows to tick, their effect, open quotes, figures, what is left.

It is sealed like a quote: a cell that does not say what was proposed is named when the ticks are read back, and only
the cells to tick are left out of that.
"""

from __future__ import annotations

from quotekit.documents.fingerprint import sealed
from quotekit.documents.price_proposals_about import lay_out_about
from quotekit.documents.price_proposals_cells import lay_out_cells
from quotekit.documents.price_proposals_effect import lay_out_effect
from quotekit.documents.price_proposals_figures import lay_out_figures, lay_out_uses
from quotekit.documents.price_proposals_left import lay_out_left
from quotekit.documents.price_proposals_quotes import lay_out_open_quotes
from quotekit.documents.price_proposals_style import LOOKS, formats
from quotekit.documents.price_proposals_ticks import lay_out_ticks, tick_area
from quotekit.documents.sheet import Properties, WorkbookValue
from quotekit.model.proposed_prices import ProposedPrices


def lay_out_price_proposals(found: ProposedPrices) -> WorkbookValue:
    """The whole workbook."""
    ticks, places = lay_out_ticks(found)
    cells, areas = lay_out_cells(found, places)
    about, facts = lay_out_about(found)
    sheets = (
        ticks,
        lay_out_effect(found),
        lay_out_open_quotes(found),
        lay_out_figures(found),
        lay_out_uses(found),
        lay_out_left(found),
        cells,
        about,
    )
    properties = Properties(
        title="Price proposals", subject="For the shop only", author=found.shop_name, created=found.day
    )
    value = WorkbookValue(
        sheets=sheets,
        properties=properties,
        formats=formats(found),
        looks=LOOKS,
        names=(*tick_area(ticks, places), *areas, *facts),
    )
    return sealed(value)
