"""Random shop books and lists against a second implementation, and against quotes priced with the changed book."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

from hypothesis import given, settings

from quotekit.model.price_list import FoundPrice
from quotekit.model.proposed_prices import PriceProposal, ProposedPrices
from quotekit.model.shop_book import ShopBook
from quotekit.money import minor_digits, round_to
from quotekit.pricing import build_quote
from quotekit.pricing.proposals.propose import Ledger, propose_prices
from quotekit.problems import has_errors
from tests.pricing.proposals.plain_prices import numbered, plain, random_answers, selling, told_by
from tests.pricing.proposals.rows import DAY, compared
from tests.random_jobs import a_random_case, seeds

Answers = dict[str, dict[str, FoundPrice]]


def a_case(seed: int) -> tuple[ShopBook, Answers, ProposedPrices]:
    """A book, a list for each of its suppliers, and everything proposed."""
    random = Random(seed)
    book = numbered(a_random_case(seed)[0])
    suppliers = dict.fromkeys(part.supplier for part in book.parts.values())
    answers = {supplier: random_answers(book, supplier, random) for supplier in suppliers}
    lists = [compared(found, supplier) for supplier, found in answers.items()]
    units = {code.casefold(): Fraction(random.randint(0, 40), random.choice([1, 2])) for code in book.parts}
    found = propose_prices(book, lists, DAY, Decimal("0.2"), ledger=Ledger(used_from=DAY, units=units))
    return book, answers, found


def prices(found: ProposedPrices) -> dict[str, PriceProposal]:
    return {one.row.code: one for one in found.proposals}


@settings(max_examples=30)
@given(seeds())
def test_terms_prices_and_margins(seed: int) -> None:
    """Every part: proposed exactly where something differs, at the price that plain fractions give."""
    book, answers, found = a_case(seed)
    digits, proposed = minor_digits(book.settings.currency), prices(found)
    left = {one.row.code for one in found.left}
    for part in book.parts.values():
        answer = answers[part.supplier][part.suppliers_number]
        if answer.price is None:
            assert part.code in left
            continue
        now, new = plain(part), told_by(part, answer.price)
        terms = (book.suppliers or {}).get(part.supplier)
        lead = part.lead_days if part.lead_days is not None else terms and terms.lead_days
        said = answer.price.lead_days
        if now == new and said in (None, lead):
            assert part.code not in proposed
            continue
        one = proposed[part.code]
        assert Fraction(one.new.pack_quantity) == new.pack and Fraction(one.new.pack_cost) == new.pack_cost
        assert one.new.cost_each == new.each
        assert one.row.terms.price == selling(now, book.markup, digits)
        assert one.new.price == selling(new, book.markup, digits)
        margin = Fraction(selling(new, book.markup, digits)) - new.each
        assert one.new.margin_each == margin
        assert one.new.margin_share == (margin / Fraction(one.new.price) if one.new.price else None)


@settings(max_examples=30)
@given(seeds())
def test_every_row_is_accounted_for(seed: int) -> None:
    book, _, found = a_case(seed)
    assert len(found.proposals) + found.same + len(found.left) == len(book.parts)
    codes = [one.row.code for one in (*found.proposals, *found.left)]
    assert len(codes) == len(set(codes))


@settings(max_examples=30)
@given(seeds())
def test_effects_add_up_and_are_in_order(seed: int) -> None:
    book, answers, found = a_case(seed)
    digits = minor_digits(book.settings.currency)
    units = Random(seed)
    suppliers = dict.fromkeys(part.supplier for part in book.parts.values())
    for supplier in suppliers:
        random_answers(book, supplier, units)
    fitted = {code: Fraction(units.randint(0, 40), units.choice([1, 2])) for code in book.parts}
    used = dict.fromkeys(book.parts, Fraction(0))
    for code, many in fitted.items():
        while (following := book.parts[code].replaced_by) is not None:
            code = following
        used[code] += many
    costs = sales = Fraction(0)
    for one in found.proposals:
        part = book.parts[one.row.code]
        listed = answers[part.supplier][part.suppliers_number].price
        assert listed is not None
        now, new = plain(part), told_by(part, listed)
        more = Fraction(selling(new, book.markup, digits)) - Fraction(selling(now, book.markup, digits))
        assert one.used == used[part.code]
        costs += used[part.code] * (new.each - now.each)
        sales += used[part.code] * more
    assert sum((one.cost_effect or 0 for one in found.proposals), Fraction(0)) == costs
    assert sum((one.price_effect or 0 for one in found.proposals), Fraction(0)) == sales
    sizes = [max(abs(one.cost_effect or 0), abs(one.price_effect or 0)) for one in found.proposals if one.used]
    assert sizes == sorted(sizes, reverse=True)
    never = [not one.used for one in found.proposals]
    assert never == sorted(never), "parts never used stand below"


@settings(max_examples=25)
@given(seeds())
def test_a_quote_asks_what_was_proposed(seed: int) -> None:
    """The book is changed by hand here and priced by the engine: each part line asks the proposed price, to a cent."""
    book, answers, found = a_case(seed)
    job = replace(a_random_case(seed)[1], parts={})
    changed = {}
    for part in book.parts.values():
        listed = answers[part.supplier][part.suppliers_number].price
        if listed is None:
            changed[part.code] = part
            continue
        new = told_by(part, listed)
        changed[part.code] = replace(
            part,
            pack_quantity=part.pack_quantity if listed.pack is None else listed.pack,
            pack_cost=_decimal(new.pack_cost),
            list_price_each=None if new.list_each is None else _decimal(new.list_each),
        )
    quote = build_quote(replace(book, parts=changed), job)
    if has_errors(quote.problems):
        return
    proposed = prices(found)
    for tier in quote.tiers:
        for line in tier.part_lines:
            if line.part in proposed and not line.own:
                one = proposed[line.part]
                assert line.unit_price == one.new.price
                digits = minor_digits(book.settings.currency)
                assert line.cost == round_to(one.new.cost_each * Fraction(line.quantity), digits)


def _decimal(value: Fraction) -> Decimal:
    """A fraction that ends, as a decimal."""
    found = Decimal(value.numerator) / Decimal(value.denominator)
    assert Fraction(found) == value
    return found
