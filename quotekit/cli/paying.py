"""What a payment records: how much, what for, and whether it can be what was meant."""

from __future__ import annotations

import argparse
import re
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.which_ledger import facts_of
from quotekit.problems import Place, Problem, error, has_errors, warning

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Paid, Purpose
    from quotekit.model.story import Story

PURPOSES: dict[str, Purpose] = {
    "deposit": "deposit",
    "part-payment": "part payment",
    "bill": "bill",
    "refund": "refund",
}
_AMOUNT = Place("AMOUNT")


def decide_payment(options: argparse.Namespace, ledger: Ledger) -> Decision:
    """The payment as an entry, or why it can't be one."""
    from quotekit.cli.jobs import known_job
    from quotekit.model.entries import Paid

    story, problems = known_job(ledger, options.job)
    if story is None or story.current is None:
        return Decision(problems=problems)
    amount, problems = _typed_amount(options.amount, story.current.body.currency)
    if amount is None:
        return Decision(problems=problems)
    purpose = _purpose(options.purpose, story)
    how = " ".join(options.how.split())
    body = Paid(amount=-amount if purpose == "refund" else amount, purpose=purpose, how=how)
    facts = facts_of(options)
    rounding, found = _rounding(options.rounded_to, story, body)
    if has_errors(found):
        return Decision(problems=found)
    found += [*([] if rounding else _against(story, body)), *_again(story, body, facts.day.isoformat())]
    if has_errors(found):
        return Decision(problems=found)
    current, bodies = story.current.entry, [body, *([rounding] if rounding else [])]
    drafts = [facts.draft("paid", one, job=current.job, version=current.version) for one in bodies]
    return Decision(problems=found, drafts=drafts)


def _rounding(coin: str | None, story: Story, body: Paid) -> tuple[Paid | None, list[Problem]]:
    """What cash leaves of the amount due, or takes beyond it, where that was rounded to the smallest coin."""
    from quotekit.model.entries import Paid
    from quotekit.pricing.owed import owed

    if coin is None:
        return None, []
    due, word = owed(story).due, coin.strip()
    step = Decimal(word) if re.fullmatch(r"[0-9]{1,4}(?:\.[0-9]{1,3})?", word) else Decimal(0)
    if not step:
        message, remedy = "This is no coin.", "Type what the smallest coin is worth, as 0.05."
        return None, [error(Place("--rounded-to"), "not-a-coin", message, remedy, coin)]
    rest = None if due is None else due - body.amount
    if rest is None or 2 * abs(rest) > step or body.amount % step:
        owes = "not known yet" if due is None else f"{due:f}"
        message = f"{body.amount:f} is not what is due ({owes}) rounded to {step:f}."
        remedy = "Leave --rounded-to out, or give the amount that was rounded."
        return None, [error(_AMOUNT, "not-rounded", message, remedy, f"{body.amount:f}")]
    return (Paid(amount=rest, purpose="rounding", how=body.how) if rest else None), []


def _typed_amount(text: str, currency: str) -> tuple[Decimal | None, list[Problem]]:
    """The amount as typed: above zero, with no more decimals than the currency has."""
    from quotekit.money import minor_digits
    from quotekit.workbook.number_text import suggest_number

    word, digits = text.strip(), minor_digits(currency)
    if not re.fullmatch(r"[0-9]{1,12}(?:\.[0-9]{1,6})?", word):
        message, remedy = "This is no amount of money above zero.", suggest_number(word, "money")
        if re.fullmatch(r"[0-9]{13,}(?:\.[0-9]*)?", word):
            message, remedy = "This is more money than any payment.", "Look for a digit too many."
        if word.startswith("-"):
            remedy = "Type it without the minus; money given back is --for refund."
        return None, [error(_AMOUNT, "not-a-payment", message, remedy or "Type it as 60 or 60.50.", text)]
    amount = Decimal(word)
    exact = amount.quantize(Decimal(1).scaleb(-digits))
    if exact != amount or amount == 0:
        message = "Nothing was paid." if amount == 0 else f"{currency} has {digits} decimals."
        return None, [error(_AMOUNT, "not-a-payment", message, "Type the amount that changed hands.", text)]
    return exact, []


def _purpose(typed: str | None, story: Story) -> Purpose:
    """As typed; else after a bill its payment, while a deposit is owed that, else a part payment."""
    from quotekit.pricing.owed import owed

    if typed is not None:
        return PURPOSES[typed]
    if story.billed:
        return "bill"
    return "deposit" if owed(story).deposit_due > 0 else "part payment"


def _against(story: Story, body: Paid) -> list[Problem]:
    """Money that is more than is due, or more given back than was taken."""
    from quotekit.pricing.owed import owed

    now = owed(story)
    if now.paid + body.amount < 0:
        message = f"Only {now.paid:f} was taken for job {story.job}."
        return [error(_AMOUNT, "refund-above-paid", message, "Give back no more than that.", f"{-body.amount:f}")]
    if body.amount > 0 and now.due is not None and body.amount > now.due:
        message = f"That is more than the {max(now.due, Decimal(0)):f} due."
        return [warning(_AMOUNT, "paid-above-due", message, "Give the rest back: --for refund.", f"{body.amount:f}")]
    return []


def _again(story: Story, body: Paid, day: str) -> list[Problem]:
    """That the same amount was recorded on the same day: it may be the same money typed twice."""
    same = [told for told in story.paid if told.entry.day.isoformat() == day and told.body.amount == body.amount]
    if not same:
        return []
    message = f"The same amount was recorded on {day} already (entry {same[-1].entry.seq}); this one is recorded too."
    return [warning(_AMOUNT, "paid-again", message, "If it is the same money, take one back: --for refund.")]
