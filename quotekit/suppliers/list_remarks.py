"""What is to be known of a list's rows, each with how many and the first few: it judges and drops nothing.

Counts are over the rows of the table that have a number, whatever their fate, so that each can be checked by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from quotekit.model.price_list import Example, Remark
from quotekit.record import record
from quotekit.suppliers.fixed_width import THROUGH
from quotekit.suppliers.list_columns import ListColumns, value_of
from quotekit.suppliers.list_texts import ListTexts
from quotekit.suppliers.mapping import PriceMapping, units_of
from quotekit.suppliers.near_numbers import LETTERS_AND_DIGITS, made_of
from quotekit.suppliers.number_column import MILLION
from quotekit.suppliers.price_basis import units_of_several
from quotekit.suppliers.replacement_words import SAID
from quotekit.suppliers.row_fates import CODES, FATE

if TYPE_CHECKING:
    import polars

MOST_EXAMPLES = 3
_PASSES = 3
"""After which what is left of a list's replacements is followed one by one."""

_NOT_OF_THE_TABLE = ("blank", "heading", "total", "note")
_SPOILED = (
    r"^(?:[0-9]{1,2}[-. ][A-Za-zäéû]{3,4}\.?|[A-Za-zäéû]{3,4}[-. ][0-9]{2}|[0-9]{1,2}/[0-9]{1,2}/[0-9]{4}"
    r"|[0-9]{4}-[0-9]{2}-[0-9]{2}(?: 00:00:00)?)$"
)
_EXPONENT = r"^[0-9](?:[.,][0-9]+)?[eE]\+[0-9]+$"


@record
class _Case:
    """What a remark is about: the rows, and the column whose text shows it."""

    code: str
    says: str
    mask: Any
    shown: str


def remarks_of(
    frame: polars.DataFrame, texts: ListTexts, columns: ListColumns, mapping: PriceMapping
) -> tuple[Remark, ...]:
    """Every remark on a list's rows."""
    import polars as pl

    codes = [CODES[fate] for fate in _NOT_OF_THE_TABLE]  # type: ignore[index]
    table = frame.filter(~pl.col(FATE).is_in(codes)) if frame[FATE].is_in(codes).any() else frame
    cases = [
        *_of_costs(table, mapping),
        *_of_numbers(table),
        *_of_rows(table),
        *_of_terms(table),
        *_of_circles(table),
        *_of_packs(table, mapping.cost_is_for),
    ]
    masks = table.select(case.mask.fill_null(False).alias(str(at)) for at, case in enumerate(cases))
    found = []
    for at, case in enumerate(cases):
        mask = masks[str(at)]
        count = int(mask.sum())
        if count:
            found.append(
                Remark(code=case.code, says=case.says, rows=count, examples=_examples(table, mask, case.shown))
            )
    return (*found, *_of_file(texts, columns))


def _examples(table: polars.DataFrame, mask: polars.Series, shown: str) -> tuple[Example, ...]:
    rows = table[mask.arg_true().head(MOST_EXAMPLES)]
    return tuple(
        Example(row=row["row"], number=row["number"], text=str(row[shown])) for row in rows.iter_rows(named=True)
    )


def _of_costs(table: polars.DataFrame, mapping: PriceMapping) -> Iterator[_Case]:
    import polars as pl

    for field, name in (("cost", "cost"), ("list_price", "list price")):
        if field not in table.columns:
            continue
        text, value, code = pl.col(field), pl.col(value_of(field)), name.replace(" ", "-")
        yield _Case(code=f"missing-{code}", says=f"have no {name}", mask=text == "", shown="number")
        unread = value.is_null() & (text != "")
        yield _Case(code=f"unreadable-{code}", says=f"have a {name} that is no number", mask=unread, shown=field)
        yield _Case(code=f"zero-{code}", says=f"have a {name} of zero", mask=value == 0, shown=field)
        yield _Case(code=f"negative-{code}", says=f"have a {name} below zero", mask=value < 0, shown=field)
    if {"cost", "list_price"} <= set(table.columns):
        above = _above_list(table.columns, mapping)
        yield _Case(code="cost-above-list", says="cost more than their list price", mask=above, shown="cost")


def _above_list(columns: list[str], mapping: PriceMapping) -> polars.Expr:
    """Where the cost of one is above the list price of one; not told where a pack is no number above zero."""
    import polars as pl

    cost, listed = pl.col(value_of("cost")), pl.col(value_of("list_price"))
    by_pack = mapping.cost_is_for == "pack" and "pack" in columns
    if not by_pack and units_of(mapping.cost_is_for) == units_of(mapping.list_is_for):
        return cost > listed
    held: list[polars.Expr] = [pl.lit(MILLION * units_of(each)) for each in (mapping.cost_is_for, mapping.list_is_for)]
    if by_pack:
        pack = pl.col(value_of("pack"))
        held[0] = pl.when(pl.col("pack") == "").then(MILLION).when(pack > 0).then(pack)
    if "price_for" in columns:  # then both are for as many
        of_both = pl.col(value_of("price_for")).fill_null(0) > 0
        held = [pl.when(of_both).then(MILLION).otherwise(each) for each in held]
    for_cost, for_list = (each.cast(pl.Int128) for each in held)
    above: polars.Expr = cost.cast(pl.Int128) * for_list > listed.cast(pl.Int128) * for_cost
    return above


def _of_numbers(table: polars.DataFrame) -> Iterator[_Case]:
    import polars as pl

    number = pl.col("number")
    yield _Case(code="missing-number", says="have no number", mask=number == "", shown="number")
    if made_of(table["number"], LETTERS_AND_DIGITS):
        return  # without a mark none looks like a day or has an exponent
    says = "have a number that looks like a day: a spreadsheet may have changed it"
    yield _Case(code="number-like-a-date", says=says, mask=number.str.contains(_SPOILED), shown="number")
    says = "have a number such as 1.2E+05: a spreadsheet has changed it, and its digits are lost"
    like = pl.when(number.str.contains("+", literal=True)).then(number.str.contains(_EXPONENT)).otherwise(False)
    yield _Case(code="number-with-exponent", says=says, mask=like, shown="number")


def _of_rows(table: polars.DataFrame) -> Iterator[_Case]:
    import polars as pl

    says = "have more fields than columns, so that what follows may be shifted; they count nowhere"
    yield _Case(code="row-too-long", says=says, mask=pl.col("shape") == 2, shown="number")
    says = "have fewer fields than columns; the last ones count as blank"
    yield _Case(code="row-too-short", says=says, mask=pl.col("shape") == 1, shown="number")
    if THROUGH in table.columns:
        says = "have text across the edge of two columns: it may be wider than its column"
        yield _Case(code="across-columns", says=says, mask=pl.col(THROUGH), shown="number")
    for fate, code, says in (
        ("earlier", "earlier-row", "are older: a later dated row of the number counts"),
        ("to come", "to-come", "are dated after the day and do not count yet"),
        ("ended", "ended", "ended before the day"),
        ("repeated", "repeated-row", "say the same of a number as a row before"),
        ("contradicted", "contradicted", "say something else of a number than another row; none of them counts"),
        ("unreadable date", "unreadable-date", "have a day that cannot be read one way only"),
    ):
        shown = "until" if fate == "ended" else "dated" if "dated" in table.columns else "number"
        mask = pl.col(FATE) == CODES[fate]  # type: ignore[index]
        yield _Case(code=code, says=says, mask=mask, shown=shown)


def _of_terms(table: polars.DataFrame) -> Iterator[_Case]:
    import polars as pl

    if "superseded_by" in table.columns:
        new = pl.col("superseded_by")
        yield _Case(code="superseded", says="are replaced by another number", mask=new != "", shown="superseded_by")
        if SAID in table.columns:
            says = "name their replacement among words; the one number of the list that is among them is taken"
            yield _Case(code="replacement-in-words", says=says, mask=pl.col(SAID).is_not_null(), shown=SAID)
        says = "are replaced by a number that the list does not have"
        absent = (new != "") & ~new.is_in(table["number"].implode())
        yield _Case(code="replacement-not-listed", says=says, mask=absent, shown="superseded_by")
    for field, says in (("pack", "are sold in packs of several"), ("price_for", "have a price for several")):
        if field in table.columns:
            value = pl.col(value_of(field))
            unread = (pl.col(field) != "") & (value.is_null() | (value <= 0))
            yield _Case(code=field.replace("_", "-"), says=says, mask=value > 1_000_000, shown=field)
            told = f"have a {field.replace('_', ' ')} quantity that is no number above zero"
            yield _Case(code=f"unreadable-{field.replace('_', '-')}", says=told, mask=unread, shown=field)
    if "unit" in table.columns and "price_for" not in table.columns:
        several = units_of_several(table["unit"].unique().to_list())
        says = "have a unit that stands for several, and no column says how many a price is for: taken for one"
        yield _Case(code="unit-of-several", says=says, mask=pl.col("unit").is_in(several), shown="unit")
    if "lead_days" in table.columns:
        unread = (pl.col("lead_days") != "") & pl.col(value_of("lead_days")).is_null()
        yield _Case(code="unreadable-lead-days", says="have lead days that are no days", mask=unread, shown="lead_days")
    other = pl.col(FATE).is_in([CODES["other currency"], CODES["unreadable currency"]])
    says = "are in another currency than the shop's; nothing is converted"
    yield _Case(code="other-currency", says=says, mask=other, shown=value_of("currency"))


def _of_circles(table: polars.DataFrame) -> Iterator[_Case]:
    """Rows whose replacements lead back to them."""
    import polars as pl

    if "superseded_by" not in table.columns:
        return
    old, new = pl.col("number"), pl.col("superseded_by")
    left = table.select("row", "number", "superseded_by").filter((new != "") & (old != ""))
    for _ in range(_PASSES):  # nearly all lead to a number that nothing replaces, in a step or two
        left = left.filter(new.is_in(left["number"].implode()))
        left = left.filter(old.is_in(left["superseded_by"].implode()))
    rows = _in_circles(left.rows())
    if rows:
        says = "are replaced in a circle: what takes their place is replaced by them again"
        mask = pl.col("row").is_in(rows)
        yield _Case(code="replaced-in-a-circle", says=says, mask=mask, shown="superseded_by")


def _in_circles(replaced: list[tuple[int, str, str]]) -> list[int]:
    """The rows (row, number, its replacement) that lead neither to an end nor from a beginning: these are taken off."""
    left = {row: (old, new) for row, old, new in replaced}
    for end in (0, 1):
        at: dict[str, list[int]] = {}
        for row, pair in left.items():
            at.setdefault(pair[1 - end], []).append(row)
        goes_on = Counter(pair[end] for pair in left.values())
        loose = [name for name in at if not goes_on[name]]
        while loose:
            for row in at.get(loose.pop(), ()):
                name = left.pop(row)[end]
                goes_on[name] -= 1
                if not goes_on[name]:
                    loose.append(name)
    return list(left)


def _of_packs(table: polars.DataFrame, cost_is_for: str) -> Iterator[_Case]:
    import polars as pl

    if cost_is_for == "pack" and "pack" in table.columns:
        says = "name no pack, though costs are for a pack: the cost is taken to be for one"
        yield _Case(code="missing-pack", says=says, mask=pl.col("pack") == "", shown="number")


def _of_file(texts: ListTexts, columns: ListColumns) -> Iterator[Remark]:
    """What concerns the file more than a row."""
    if columns.spaced and THROUGH not in texts.frame.columns:  # columns of fixed width are filled up with spaces
        first = Example(row=columns.spaced_row, number="", text="")
        says = "had spaces around their number, which were taken off"
        yield Remark(code="spaces-around-number", says=says, rows=columns.spaced, examples=(first,))
    if texts.stored_numbers:
        says = "have a number that the workbook stores as a number: zeros before it are lost, if it had any"
        yield Remark(code="number-stored-as-number", says=says, rows=texts.stored_numbers)
    if texts.other_sheets:
        says = f"other sheets of the workbook have the same columns and are not read: {', '.join(texts.other_sheets)}"
        yield Remark(code="other-sheets", says=says, rows=len(texts.other_sheets))
    if texts.several_lines:
        yield Remark(code="text-over-lines", says="line ends stand within a text", rows=texts.several_lines)
    if not texts.quotes_sound:
        says = "quotes stand where they open no text (inches?): look whether texts are whole"
        yield Remark(code="stray-quotes", says=says, rows=1)
