"""The plan of the bill's template: what was done, what it comes to, what was paid and what is left to pay."""

from __future__ import annotations

from quotekit.workbook.template_builder import GAP, SUM, Drawn, Line, PlannedSheet, Table, headings, letterhead

_WIDTHS = (17.0, 29.0, 15.0, 15.0, 10.0, 12.5, 14.0)


def _fact(label: str, mark: str, look: str = "fact", block: str = "") -> Line:
    return Line(cells=(Drawn("A", label, "label"), Drawn("B:G", mark, look)), block=block)


def _sum(label: str, mark: str, block: str = "", look: str = "sum") -> Line:
    cells = (Drawn("A:F", label, f"{look} label"), Drawn("G", mark, look))
    return Line(cells=cells, block=block, height=SUM if look == "total" else None)


_FACTS = (
    Line(
        cells=(
            Drawn("A", "Bill", "label"),
            Drawn("B:C", "qk_bill_number", "strong"),
            Drawn("D", "Date", "label"),
            Drawn("E:G", "qk_bill_date", "fact"),
        )
    ),
    Line(
        cells=(
            Drawn("A", "Job", "label"),
            Drawn("B:C", "qk_job_number", "fact"),
            Drawn("D", "qk_due_label", "label"),
            Drawn("E:G", "qk_due", "strong"),
        )
    ),
    _fact("Customer", "qk_customer"),
    _fact("Machine", "qk_machine"),
    _fact("Your words", "qk_customers_words", "quoted", block="customers_words"),
    _fact("Agreed", "qk_agreed", block="agreed"),
    _fact("You agreed to", "qk_within", block="within"),
)

_DONE = Table(
    mark="done",
    title=Drawn("A:E", "What was done", "section"),
    headers=headings({"F:G": "warranty"}),
    columns=(Drawn("A:E", "qk_text", "text"), Drawn("F:G", "qk_warranty", "number")),
)

_NOT_DONE = Table(
    mark="not_done",
    title=Drawn("A:G", "Agreed, not done and not charged", "section"),
    headers=(),
    columns=(Drawn("A:G", "qk_text", "text"),),
)

_LABOUR = Table(
    mark="labour",
    title=Drawn("A:E", "Work", "section"),
    headers=headings({"F": "hours", "G": "amount"}),
    columns=(Drawn("A:E", "qk_text", "text"), Drawn("F", "qk_hours", "number"), Drawn("G", "qk_amount", "number")),
    after=(_sum("Work together", "qk_labour_total"),),
)

_PARTS = Table(
    mark="parts",
    title=Drawn("A:B", "Parts", "section"),
    headers=headings({"C": "condition"}, "section left")
    + headings({"D": "part number"}, "section in")
    + headings({"E": "quantity", "F": "each", "G": "amount"}),
    columns=(
        Drawn("A:B", "qk_text", "text"),
        Drawn("C", "qk_condition", "quiet"),
        Drawn("D", "qk_number", "code"),
        Drawn("E", "qk_quantity", "number"),
        Drawn("F", "qk_unit_price", "number"),
        Drawn("G", "qk_amount", "number"),
    ),
    after=(_sum("Parts together", "qk_parts_total"),),
)

_OTHER = Table(
    mark="other",
    title=Drawn("A:F", "Other charges", "section"),
    headers=headings({"G": "amount"}),
    columns=(Drawn("A:C", "qk_text", "text"), Drawn("D:F", "qk_detail", "quiet"), Drawn("G", "qk_amount", "number")),
    after=(_sum("Other charges together", "qk_other_total"),),
)

_TAXES = Table(
    mark="taxes",
    title=Drawn("A:F", "Subtotal", "total label"),
    headers=(Drawn("G", "qk_subtotal", "total"),),
    columns=(
        Drawn("A:D", "qk_text", "text"),
        Drawn("E:F", "qk_base", "number quiet"),
        Drawn("G", "qk_amount", "number"),
    ),
    goes=False,
)

_PAYMENTS = Table(
    mark="payments",
    title=Drawn("A:F", "Paid so far", "section"),
    headers=headings({"G": "amount"}),
    columns=(Drawn("A", "qk_date", "quiet"), Drawn("B:F", "qk_text", "text"), Drawn("G", "qk_amount", "number")),
)


def _list(mark: str, title: str) -> Table:
    return Table(
        mark=mark,
        title=Drawn("A:G", title, "section"),
        headers=(),
        columns=(Drawn("A:G", "qk_text", "plain"),),
        height=15.0,
    )


BILL = (
    PlannedSheet(
        title="Bill",
        role="bill",
        widths=_WIDTHS,
        lines=(
            *letterhead("Bill", "A:E", "F:G", "A:G"),
            *_FACTS,
            _DONE,
            _NOT_DONE,
            _LABOUR,
            _PARTS,
            _OTHER,
            _TAXES,
            _sum("Total", "qk_total", look="total"),
            _sum("Earlier bills of this job", "qk_billed_before", block="billed_before"),
            _PAYMENTS,
            _sum("Paid so far, together", "qk_paid", block="paid"),
            GAP,
            Line(cells=(Drawn("A:F", "qk_due_label", "total label"), Drawn("G", "qk_due", "total")), height=20),
            Line(cells=(Drawn("A:G", "qk_price_note", "plain quiet"),), block="price_note"),
            _list("left", "Left undone, though it touches safety"),
            _list("cautions", "Please mind"),
            GAP,
            _fact("Old parts", "qk_old_parts", block="old_parts"),
            _fact("Note", "qk_note", block="note"),
            Line(cells=(Drawn("A:G", "qk_terms", "plain quiet"),), block="terms"),
        ),
        footer="qk_shop_name · Bill qk_bill_number, job qk_job_number",
    ),
)
