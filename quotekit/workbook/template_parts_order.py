"""The plan of the parts order's template: a sheet for each supplier, and one that tells the shop what was chosen."""

from __future__ import annotations

from quotekit.workbook.template_builder import GAP, SUM, Drawn, Line, PlannedSheet, Table, headings, letterhead

_WIDTHS = (5.0, 18.0, 40.0, 16.0, 9.0, 14.0, 17.0, 14.0, 24.0)
_SUMMARY_WIDTHS = (24.0, 40.0, 15.0, 15.0, 15.0, 16.0)


def _sum(label: str, mark: str, look: str = "sum") -> Line:
    cells = (Drawn("A:G", label, f"{look} label"), Drawn("H", mark, look), Drawn("I", "", f"{look} label"))
    return Line(cells=cells, height=SUM if look == "total" else None)


_ORDER = PlannedSheet(
    title="Order",
    role="order",
    widths=_WIDTHS,
    lines=(
        *letterhead("Parts order", "A:F", "G:I", "A:I"),
        Line(
            cells=(
                Drawn("A:B", "To", "label"),
                Drawn("C:D", "qk_supplier", "strong"),
                Drawn("E:F", "Order", "label"),
                Drawn("G:I", "qk_order_number", "strong"),
            )
        ),
        Line(
            cells=(
                Drawn("A:B", "Needed by", "label"),
                Drawn("C:D", "qk_needed_by", "fact"),
                Drawn("E:F", "Date", "label"),
                Drawn("G:I", "qk_order_date", "fact"),
            )
        ),
        Table(
            mark="lines",
            title=Drawn("A:B", "Your number", "section"),
            headers=headings({"C": "part", "D": "condition"}, "section left")
            + headings({"E": "packs", "F": "a pack", "G": "cost a pack", "H": "amount"})
            + headings({"I": "note"}, "section in"),
            columns=(
                Drawn("A", "qk_number", "centred"),
                Drawn("B", "qk_suppliers_number", "text strong"),
                Drawn("C", "qk_name", "text"),
                Drawn("D", "qk_new_or_used", "quiet"),
                Drawn("E", "qk_packs", "number"),
                Drawn("F", "qk_pack", "number"),
                Drawn("G", "qk_pack_cost", "number"),
                Drawn("H", "qk_amount", "number"),
                Drawn("I", "qk_note", "code"),
            ),
            goes=False,
            after=(
                _sum("Goods", "qk_goods"),
                _sum("Freight", "qk_freight"),
                _sum("Small order fee", "qk_fee"),
                _sum("Together", "qk_total", "total"),
            ),
        ),
        Line(cells=(Drawn("A:I", "qk_note", "plain"),), block="note"),
        Line(cells=(Drawn("A:I", "For the shop: fold or cut here before the order is sent.", "fold"),), height=26),
        GAP,
        Line(cells=(Drawn("A:B", "For jobs", "label"), Drawn("C:I", "qk_our_jobs", "fact"))),
        Table(
            mark="shop_lines",
            title=Drawn("A:B", "Part", "section"),
            headers=headings({"C": "name", "D": "for job"}, "section left")
            + headings({"E": "needed", "F": "left over"})
            + headings({"G": "arrives"}, "section in")
            + headings({"H": "received"}),
            columns=(
                Drawn("A:B", "qk_part", "text"),
                Drawn("C", "qk_name", "text"),
                Drawn("D", "qk_jobs", "text"),
                Drawn("E", "qk_needed", "number"),
                Drawn("F", "qk_left_over", "number"),
                Drawn("G", "qk_arrives", "text in"),
                Drawn("H", "qk_received", "entry number"),
            ),
        ),
    ),
    footer="qk_shop_name · Parts order qk_order_number",
    landscape=True,
)

_SUMMARY = PlannedSheet(
    title="Summary",
    role="summary",
    widths=_SUMMARY_WIDTHS,
    lines=(
        *letterhead("Parts order, for the shop", "A:B", "C:F", "A:F"),
        Line(cells=(Drawn("A", "Order", "label"), Drawn("B", "qk_order_number", "strong"))),
        Line(cells=(Drawn("A", "Date", "label"), Drawn("B", "qk_order_date", "fact"))),
        Line(cells=(Drawn("A", "For jobs", "label"), Drawn("B:F", "qk_our_jobs", "fact"))),
        Table(
            mark="suppliers",
            title=Drawn("A:B", "Supplier", "section"),
            headers=headings({"C": "goods", "D": "freight", "E": "small order fee", "F": "together"}),
            columns=(
                Drawn("A:B", "qk_supplier", "text"),
                Drawn("C", "qk_goods", "number"),
                Drawn("D", "qk_freight", "number"),
                Drawn("E", "qk_fee", "number"),
                Drawn("F", "qk_total", "number"),
            ),
            goes=False,
            after=(
                Line(
                    cells=(Drawn("A:E", "Landed cost of all parts", "total label"), Drawn("F", "qk_landed", "total")),
                    height=SUM,
                ),
            ),
        ),
        Line(
            cells=(Drawn("A:E", "Each part at its usual supplier", "sum label"), Drawn("F", "qk_usual", "sum")),
            block="usual",
        ),
        Line(cells=(Drawn("A:E", "Saved", "sum label"), Drawn("F", "qk_saved", "sum")), block="saved"),
        Line(
            cells=(
                Drawn("A:E", "No order of these parts lands for less than", "text"),
                Drawn("F", "qk_bound", "number"),
            )
        ),
        Line(cells=(Drawn("A:F", "qk_proof", "plain quiet"),), block="proof"),
        Line(cells=(Drawn("A:F", "qk_note", "plain"),), block="note"),
        Table(
            mark="shelf",
            title=Drawn("A", "Take from the shelf", "section"),
            headers=headings({"B": "part"}, "section left") + headings({"C:D": "for job", "E:F": "quantity"}),
            columns=(
                Drawn("A", "qk_part", "text"),
                Drawn("B", "qk_name", "text"),
                Drawn("C:D", "qk_job", "number"),
                Drawn("E:F", "qk_quantity", "number"),
            ),
        ),
        Table(
            mark="left_over",
            title=Drawn("A", "Left over, to the shelf", "section"),
            headers=headings({"B": "part", "C:D": "note"}, "section left") + headings({"E:F": "quantity"}),
            columns=(
                Drawn("A", "qk_part", "text"),
                Drawn("B", "qk_name", "text"),
                Drawn("C:D", "qk_note", "quiet"),
                Drawn("E:F", "qk_quantity", "number"),
            ),
        ),
        Table(
            mark="final",
            title=Drawn("A", "Cannot be returned", "section"),
            headers=headings({"B": "part", "C:F": "supplier"}, "section left"),
            columns=(
                Drawn("A", "qk_part", "text"),
                Drawn("B", "qk_name", "text"),
                Drawn("C:F", "qk_supplier", "quiet"),
            ),
        ),
    ),
    footer="qk_shop_name · Parts order qk_order_number",
)

PARTS_ORDER = (_SUMMARY, _ORDER)
