"""A job with nothing on it, for a machine class and a day: what a cell's work is priced on.

A class that is left out is the book's only one; where there are several it must be named as soon as it matters: its
positions say what `both` or `left` means, and its Always work belongs to every job. Nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from quotekit.model.job import Job
from quotekit.model.positions import DEFAULT_POSITIONS, positions_for
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.functions.asked import Asked, Refused, did_you_mean, listed


def blank_job(machine_class: str, day: date, positions: Sequence[str]) -> Job:
    """A job without number, customer, findings or condition: a household's, on this day."""
    return Job(
        job_number="",
        customer="",
        customers_words="",
        machine_class=machine_class,
        quote_date=day,
        positions=tuple(positions),
    )


def machine_of(asked: Asked, *, needed: bool) -> str:
    """The class an argument names by code or name; where left out, the only one, or empty where none is needed.

    Without a Machines sheet a class is free text, as on a job.
    """
    word, classes = asked.text("machine"), asked.book.machines
    if classes is None:
        return word
    if word:
        return _named_class(asked.book, word)
    if len(classes) == 1:
        return next(iter(classes))
    if needed and classes:
        raise Refused("The machine class matters here and is left out.", f"Name one: {listed(list(classes))}.")
    return ""


def positions_of(book: ShopBook, machine_class: str) -> tuple[str, ...]:
    """The positions of a class; left and right where it is not one of the Machines sheet."""
    found = (book.machines or {}).get(machine_class)
    return found.positions if found is not None else DEFAULT_POSITIONS


def sides_of(word: str, positions: Sequence[str]) -> tuple[str, ...]:
    """The positions a side stands for, or a list of sides; Refused for what is none."""
    found: list[str] = []
    for entry in word.split(";"):
        places = positions_for(entry, positions)
        if not places:
            near = did_you_mean(entry, [*positions, "all"]) or "Use a position, or all."
            raise Refused(f"{entry.strip()} is not a side of this machine: it has {listed(positions)}.", near)
        found += places
    return tuple(position for position in positions if position in found)


def _named_class(book: ShopBook, word: str) -> str:
    classes = book.machines or {}
    key = word.casefold()
    found = [code for code in classes if code.casefold() == key]
    found = found or [code for code, row in classes.items() if row.machine_class.casefold() == key]
    if not found:
        names = [*classes, *(row.machine_class for row in classes.values())]
        near = did_you_mean(word, names) or f"Use one of {listed(list(classes))}."
        raise Refused(f"{word} is not a machine class of the shop book.", near)
    return found[0]
