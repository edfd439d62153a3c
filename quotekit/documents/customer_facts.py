"""Who the quote is from and for, and about what machine: the facts at its top, in words."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.money_text import date_text
from quotekit.documents.wording import spelled
from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import Settings


def contact_words(quote: Quote) -> tuple[str, ...]:
    """Where the shop is and how it is reached."""
    return contact_of(quote.book.settings)


def contact_of(settings: Settings) -> tuple[str, ...]:
    """Address, phone, email and numbers of a shop, those it has."""
    licence = f"{spelled('Licence', settings.language)} {settings.licence}" if settings.licence else ""
    tax_number = f"Tax number {settings.tax_number}" if settings.tax_number else ""
    return tuple(filter(None, (settings.address, settings.phone, settings.email, licence, tax_number)))


def facts(quote: Quote) -> Iterator[tuple[str, str]]:
    """Each fact with its name; one that is not known is empty."""
    job, language = quote.job, quote.book.settings.language
    dates = f"{date_text(job.quote_date, language)}, valid until {date_text(quote.valid_until, language)}"
    yield "Quote", f"{job.job_number}, version {job.version}, of {dates}"
    yield "Customer", _commas(job.customer, job.phone, job.email)
    yield "Machine", _machine(quote)
    yield "Your words", f"\u201c{job.customers_words.strip()}\u201d"


def _machine(quote: Quote) -> str:
    condition = quote.book.conditions.get(quote.job.condition or "")
    return machine_words(quote.job, condition.name or condition.code if condition else "")


def machine_words(job: Job, condition: str = "") -> str:
    """Which machine it is: its class, make, model, serial and use."""
    return _commas(
        job.machine_class_name or job.machine_class,
        f"{job.make} {job.model}".strip(),
        f"serial {job.serial}" if job.serial else "",
        f"used {job.usage}" if job.usage else "",
        f"condition: {condition}" if condition else "",
    )


def _commas(*texts: str) -> str:
    return ", ".join(filter(None, texts))
