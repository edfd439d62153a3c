"""A reply text in the light of the quote it answers, where that quote is at hand."""

from __future__ import annotations

from datetime import date

from quotekit.documents.option_mentions import OfferedOption, option_meant
from quotekit.documents.reply_text import ADD, CHECK, CHECK_DIGITS, OPTION, QUOTE, Reply
from quotekit.model.returned_choice import ReturnedChoice
from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook.returned_boxes import nothing_to_add
from quotekit.workbook.returned_facts import ReturnedQuote

_ASK = "Ask the customer which one is meant."


def choice_of_reply(
    reply: Reply, sent: ReturnedQuote | None, today: date, file: str
) -> tuple[ReturnedChoice, list[Problem]]:
    """What a reply chooses. Without the quote that was sent, codes are taken as they were written."""
    if sent is None:
        return _choice(reply, None, reply.tier, reply.option or None, reply.extras, None), []
    option, problems = _option(reply, sent, file)
    extras, more = _extras(reply, sent, option, file)
    expired = None if sent.valid_until is None else today > sent.valid_until
    if expired and sent.valid_until is not None:
        message = f"The quote was valid until {sent.valid_until.isoformat()}."
        place = _place(reply, QUOTE, file)
        more.append(warning(place, "quote-expired", message, "Quote again, or agree to hold it."))
    problems = [*problems, *more, *_check(reply, sent, file)]
    code, label = (option.code, option.label) if option else (None, reply.option or None)
    return _choice(reply, sent, code, label, tuple(extras), expired), problems


def _choice(
    reply: Reply,
    sent: ReturnedQuote | None,
    tier: str | None,
    option: str | None,
    extras: tuple[str, ...],
    expired: bool | None,
) -> ReturnedChoice:
    return ReturnedChoice(
        job_number=reply.job_number,
        version=reply.version,
        quote_date=sent.quote_date if sent else None,
        valid_until=sent.valid_until if sent else None,
        expired=expired,
        tier=tier,
        option=option,
        extras=extras,
        fingerprint=reply.check,
        unchanged=_same(reply, sent) if sent else None,
    )


def _same(reply: Reply, sent: ReturnedQuote) -> bool:
    return reply.check == sent.fingerprint[:CHECK_DIGITS]


def _check(reply: Reply, sent: ReturnedQuote, file: str) -> list[Problem]:
    if _same(reply, sent):
        return []
    message = f"The reply was not made from {sent.raw.file}: the check digits are others."
    remedy = "Find out which quote the customer has; with another one the figures may differ."
    return [error(_place(reply, CHECK, file), "quote-changed", message, remedy, reply.check)]


def _option(reply: Reply, sent: ReturnedQuote, file: str) -> tuple[OfferedOption | None, list[Problem]]:
    """The option by its code; its name must not be that of another."""
    if reply.tier is None:
        return None, []
    place, text = _place(reply, OPTION, file), f"{reply.option} [{reply.tier}]"
    code = reply.tier.casefold()
    option = next((option for option in sent.options if option.code.casefold() == code), None)
    if option is None:
        offered = ", ".join(f"{option.label} [{option.code}]" for option in sent.options)
        return None, [error(place, "unknown-option", f"This is none of the options: {offered}.", _ASK, text)]
    named = option_meant(reply.option, sent.options)
    if named not in (None, option):
        message = f"The code is that of {option.label}, the name is another option's."
        return None, [error(place, "two-options-ticked", message, _ASK, text)]
    return option, []


def _extras(
    reply: Reply, sent: ReturnedQuote, option: OfferedOption | None, file: str
) -> tuple[list[str], list[Problem]]:
    """Extras by their keys, in the order of the quote."""
    wanted = {key.casefold(): key for key in reply.extras}
    place = _place(reply, ADD, file)
    problems: list[Problem] = []
    keys: list[str] = []
    for extra in sent.extras:
        if wanted.pop(extra.key.casefold(), None) is not None:
            nothing = nothing_to_add(sent, extra, option, place)
            problems += [nothing] if nothing else []
            keys += [] if nothing else [extra.key]
    for key in wanted.values():
        message = f"{key} is not offered in this quote."
        problems.append(error(place, "unknown-tick", message, "Ask the customer what is meant.", key))
    return keys, problems


def _place(reply: Reply, label: str, file: str) -> Place:
    """The line of a label, as the place in the file."""
    line = reply.lines.get(label)
    return Place(file, cell=f"line {line}") if line else Place(file)
