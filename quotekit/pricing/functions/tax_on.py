"""TAX_ON: the tax on an amount of one charge, by the shop's rows in force on a day (DESIGN.md 5.5 item 9).

The amount is one line of a quote: rounded to the minor unit, as every charge of a quote is. Each tax of the Taxes sheet
whose row is in force and fits the machine and the customer takes its rate, rounded as the shop rounds; all taxes are
added up. A row for the charge wins over `all`, a fee's own code over `fees`. `exempt` pays none.
Units: money. Source: what is taxed is dated data the owner sets; the rule is `taxes`.

Worked example: STATE 6 % on parts, COUNTY 1.5 % on all: 80.20 of parts: 4.81 + 1.20 = 6.01; 80.20 of labour: 1.20.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quotekit.model.shop_book import CHARGE_WORDS, ShopBook
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.functions.asked import Asked, Refused, did_you_mean, listed
from quotekit.pricing.functions.blank_job import blank_job, machine_of, positions_of
from quotekit.pricing.taxes import UPGRADE, ChargeLine, tax_total, taxes_on

HOUSEHOLD, EXEMPT = "household", "exempt"


def tax_on_amount(asked: Asked) -> Decimal:
    """The tax on `amount` charged as `charge`, for a `machine`, on a `date`, to a `customer class`."""
    book, amount = asked.book, asked.number("amount")
    charge, day = _charge(asked), asked.on_day("date")
    machine = machine_of(asked, needed=any(row.machines for row in book.taxes))
    job = replace(blank_job(machine, day, positions_of(book, machine)), customer_class=_customer_class(asked))
    basis = Basis(book=book, job=job)
    amount = round_to(amount, basis.digits)
    line = ChargeLine(charge, amount)
    if charge in ("labour", UPGRADE):
        line = ChargeLine("labour", amount, of_labour=True)
    elif charge in book.fees:
        line = ChargeLine("fees", amount, charge)
    taxes = taxes_on(basis, [line], amount if charge == UPGRADE else ZERO)
    return round_to(tax_total(taxes), basis.digits)


def charges_known(book: ShopBook) -> list[str]:
    """What an amount may be charged as: the standard words, fee codes, and the words parts are taxed as."""
    standard = [word for word in CHARGE_WORDS if word != "all"]
    of_parts = [part.taxed_as for part in book.parts.values() if part.taxed_as is not None]
    of_rows = [charge for row in book.taxes for charge in row.charges if charge != "all"]
    return list(dict.fromkeys([*standard, *book.fees, *of_parts, *of_rows]))


def _charge(asked: Asked) -> str:
    known = charges_known(asked.book)
    word = " ".join(asked.text("charge").split()).casefold().replace("labor", "labour")
    if not word:
        raise Refused("The charge is blank.", f"Say what is charged: {listed(known)}.")
    found = next((charge for charge in known if charge.casefold() == word), None)
    if found is None:
        near = did_you_mean(word, known) or f"Use one of {listed(known)}."
        raise Refused(f"{word} is not a charge that can be taxed.", near)
    return found


def _customer_class(asked: Asked) -> str:
    """Free text, as on a job; refused where it is nearly, and not quite, a class that the book knows."""
    word = asked.text("customer class")
    known = [HOUSEHOLD, EXEMPT, *(row.customer_class for row in asked.book.taxes if row.customer_class)]
    if not word:
        return HOUSEHOLD
    same = next((each for each in known if each.casefold() == word.casefold()), None)
    near = did_you_mean(word, known)
    if same is None and near:
        raise Refused(f"No tax row knows the customer class {word}.", near)
    return same or word
