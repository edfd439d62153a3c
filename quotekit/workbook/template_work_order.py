"""The plan of the work order's template: what a technician needs on one or two pages, with cells to fill in."""

from __future__ import annotations

from quotekit.workbook.template_builder import GAP, Drawn, Line, PlannedSheet, Table, headings, letterhead

_WIDTHS = (4.0, 7.0, 15.0, 24.0, 10.0, 9.5, 11.0, 8.5, 10.0, 17.0)
_TO_FILL = 17.0
"""Points of a row that is filled in by hand."""


def _fact(label: str, mark: str, look: str = "fact", block: str = "") -> Line:
    return Line(cells=(Drawn("A:B", label, "label"), Drawn("C:J", mark, look)), block=block)


_FACTS = (
    Line(
        cells=(
            Drawn("A:B", "Job", "label"),
            Drawn("C", "qk_job_number", "strong"),
            Drawn("D", "qk_version", "version"),
            Drawn("E:F", "Date of this sheet", "label"),
            Drawn("G:I", "qk_written_on", "fact"),
            Drawn("J", "qk_agreement", "agreement"),
        )
    ),
    _fact("Customer", "qk_customer"),
    _fact("Agreed", "qk_agreed"),
    _fact("Machine", "qk_machine", "strong"),
    _fact("Complaint", "qk_customers_words", "quoted"),
    _fact("Condition", "qk_condition", block="condition"),
    _fact("Old parts", "qk_old_parts", "strong", block="old_parts"),
    GAP,
    Line(cells=(Drawn("A:J", "qk_ask_first", "warned"),), height=27),
)

_CAUTIONS = Table(
    mark="cautions",
    title=Drawn("A:H", "Before you start", "section"),
    headers=headings({"I:J": "from"}, "section in"),
    columns=(Drawn("A:H", "qk_text", "text"), Drawn("I:J", "qk_source", "code")),
)

_ITEMS = Table(
    mark="items",
    title=Drawn("A:F", "What was agreed", "section"),
    headers=headings({"G:H": "not done: Yes"}) + headings({"I:J": "code"}, "section in"),
    columns=(
        Drawn("A:D", "qk_text", "text strong"),
        Drawn("E:F", "qk_side", "text"),
        Drawn("G:H", "qk_not_done", "entry"),
        Drawn("I:J", "qk_key", "code"),
    ),
)

_STEPS = Table(
    mark="steps",
    height=_TO_FILL,
    title=Drawn("A:D", "Steps", "section"),
    headers=headings({"E": "side"}, "section left")
    + headings({"F": "standard h", "G": "done", "H": "hours"})
    + headings({"I": "by", "J": "code"}, "section in"),
    columns=(
        Drawn("A", "qk_number", "number quiet"),
        Drawn("B", "qk_kind", "quiet in"),
        Drawn("C:D", "qk_text", "text"),
        Drawn("E", "qk_side", "text"),
        Drawn("F", "qk_standard", "number"),
        Drawn("G", "qk_box", "centred"),
        Drawn("H", "qk_hours", "entry hours"),
        Drawn("I", "qk_person", "entry"),
        Drawn("J", "qk_key", "code"),
    ),
    after=(
        Line(
            cells=(
                Drawn("A:E", "Standard hours, with the allowance for the condition", "sum label"),
                Drawn("F", "qk_standard_hours", "sum"),
                Drawn("G:J", "", "sum label"),
            )
        ),
    ),
)

_MEASUREMENTS = Table(
    mark="measurements",
    height=_TO_FILL,
    title=Drawn("A:D", "Measure again", "section"),
    headers=headings({"E": "side"}, "section left")
    + headings({"F": "found", "G": "limit", "H": "now", "I": "as new"})
    + headings({"J": "code"}, "section in"),
    columns=(
        Drawn("A:D", "qk_text", "text"),
        Drawn("E", "qk_side", "text"),
        Drawn("F", "qk_found", "number"),
        Drawn("G", "qk_limit", "number"),
        Drawn("H", "qk_now", "entry number"),
        Drawn("I", "qk_as_new", "number"),
        Drawn("J", "qk_key", "code"),
    ),
)

_PARTS = Table(
    mark="parts",
    height=_TO_FILL,
    title=Drawn("A:D", "Parts to hand", "section"),
    headers=headings({"E:F": "side"}, "section left")
    + headings({"G": "quantity", "H": "used", "I": "core back"})
    + headings({"J": "part"}, "section in"),
    columns=(
        Drawn("A:D", "qk_text", "text"),
        Drawn("E:F", "qk_side", "text"),
        Drawn("G", "qk_quantity", "number"),
        Drawn("H", "qk_used", "entry number"),
        Drawn("I", "qk_core", "entry number"),
        Drawn("J", "qk_part", "code"),
    ),
)

_MORE = Table(
    mark="more",
    height=_TO_FILL,
    title=Drawn("A:G", "Other parts used", "section"),
    headers=headings({"H": "used"}) + headings({"I:J": "part code"}, "section in"),
    columns=(
        Drawn("A:G", "qk_note", "entry"),
        Drawn("H", "qk_used", "entry number"),
        Drawn("I:J", "qk_part", "entry"),
    ),
)

_WHOLE = Table(
    mark="whole",
    height=_TO_FILL,
    title=Drawn("A:G", "Hours of the whole job, where they were not written beside a step", "section"),
    headers=headings({"H": "hours"}) + headings({"I:J": "by"}, "section in"),
    columns=(
        Drawn("A:G", "qk_note", "entry"),
        Drawn("H", "qk_hours", "entry hours"),
        Drawn("I:J", "qk_person", "entry"),
    ),
)

_END = (
    GAP,
    Line(
        cells=(
            Drawn("A:C", "Technician", "label"),
            Drawn("D:E", "qk_technician", "entry"),
            Drawn("F:G", "Finished on", "label"),
            Drawn("H:J", "qk_finished_on", "entry"),
        ),
        height=18,
    ),
    GAP,
    Line(cells=(Drawn("A:J", "What was noticed, and what was done otherwise", "section"),)),
    Line(cells=(Drawn("A:J", "qk_notes", "entry notes"),), height=54),
)

WORK_ORDER = (
    PlannedSheet(
        title="Work order",
        role="work_order",
        widths=_WIDTHS,
        lines=(
            *letterhead("Work order", "A:G", "H:J", "A:J"),
            *_FACTS,
            _CAUTIONS,
            Line(cells=(Drawn("A:J", "qk_manual", "plain quiet"),)),
            _ITEMS,
            _STEPS,
            _MEASUREMENTS,
            _PARTS,
            _MORE,
            _WHOLE,
            *_END,
        ),
        footer="qk_shop_name · Work order of job qk_job_number",
    ),
)
