"""Request `lists`: what a form picks from, so that no number is typed from memory: jobs, orders, what is on the shelf.

All of it is worked out from the ledger each time. Of many jobs the newest are listed, newest first.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.request import Refused, Words
from quotekit.cli.answers.run_command import ONE_AT_A_TIME, folder_problem, in_folder, known_ledger

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Issued, OfferedOption
    from quotekit.model.landed import LineState
    from quotekit.model.story import Story, Told

MOST = 300
"""Jobs that are listed: more than anybody looks through."""

MOST_ORDERS = 40


def answer(words: Words) -> dict[str, Any]:
    """`{"folder": ..., "book": ... or null, "what": ["jobs"]}` gives each list under its name.

    `ledger` is where they are from; null where the shop has none yet, then every list is empty.
    """
    folder = Path(words["folder"])
    if not folder.is_dir():
        raise Refused([folder_problem(folder)])
    wanted = [name for name in words["what"] if name in _LISTS]
    from quotekit.ledger.open_ledger import open_ledger

    with ONE_AT_A_TIME, in_folder(folder):
        address = _address(folder, words.get("book"))
        if address is None:
            return {"ledger": None, **{name: [] for name in wanted}}
        with open_ledger(address, create=False) as ledger:
            return {"ledger": ledger.address.shown, **{name: _LISTS[name](ledger) for name in wanted}}


def _address(folder: Path, book: str | None) -> str | Path | None:
    """The ledger of the shop book, else the only one of the folder; None where there is none yet."""
    from quotekit.cli.which_ledger import ENDING, ledger_address
    from quotekit.ledger.fault import LedgerFault

    known = known_ledger(book)
    try:
        return ledger_address(None, folder) if known is None else known
    except LedgerFault as fault:
        if any(folder.glob(f"*{ENDING}")):
            raise Refused([fault.problem]) from fault
        return None


def _jobs(ledger: Ledger) -> list[dict[str, Any]]:
    """The jobs of which something happened last, first."""
    from quotekit.ledger.last_entries import last_entries
    from quotekit.model.story import KINDS

    last = last_entries(ledger, tuple(KINDS))  # type: ignore[arg-type]
    issued = last_entries(ledger, ["issued"])
    newest = sorted(issued, key=lambda job: last[job], reverse=True)[:MOST]
    return [_job(ledger, ledger.story(job)) for job in newest]


def _job(ledger: Ledger, story: Story) -> dict[str, Any]:
    from quotekit.pricing.consent.authorised import agreed_now
    from quotekit.pricing.owed import owed
    from quotekit.pricing.standing import standing_of

    current, agreed, now = story.current, agreed_now(story), owed(story)
    assert current is not None
    waits = _waits(story)
    return {
        "job": current.entry.job,
        "customer": current.body.customer,
        "phone": current.body.phone,
        "machine": current.body.machine,
        "state": standing_of(story),
        "waits": waits is not None,
        "change": waits is not None and waits.body.revision is not None,
        "agreed": agreed is not None,
        "done": _done(story),
        "billed": bool(story.billed),
        "due": None if now.due is None else f"{now.due:f}",
        "currency": current.body.currency,
        "options": [] if waits is None else _options(ledger, waits),
        "work": [] if agreed is None else [_named(one.key, one.name) for one in agreed.work],
        "cores": [] if agreed is None else [_named(one.part, one.name) for one in agreed.parts if one.core_charge],
    }


def _named(code: str, name: str) -> dict[str, str]:
    return {"code": code, "name": name}


def _waits(story: Story) -> Told[Issued] | None:
    """The version that waits for the customer's answer."""
    from quotekit.pricing.consent.authorised import answer_to, waiting

    current = story.current
    later = waiting(story)
    if later is not None or current is None:
        return later
    return current if answer_to(story, current.entry) is None and not story.accepted else None


def _done(story: Story) -> bool:
    """Whether the work was closed after what is agreed now."""
    answers, versions = (told.entry.seq for told in story.accepted), (told.entry.seq for told in story.issued)
    agreed = max((*answers, *versions), default=0)
    return any(told.entry.seq > agreed for told in story.closed)


def _options(ledger: Ledger, issued: Told[Issued]) -> list[dict[str, Any]]:
    prices = _extra_prices(ledger, issued) if any(option.extras for option in issued.body.offered) else {}
    return [_option(option, prices) for option in issued.body.offered]


def _option(option: OfferedOption, prices: dict[tuple[str, str], str]) -> dict[str, Any]:
    return {
        "code": option.code,
        "name": option.name,
        "total": f"{option.total:f}",
        "extras": [{"code": extra, "at_most": prices.get((option.code, extra), "")} for extra in option.extras],
    }


def _extra_prices(ledger: Ledger, issued: Told[Issued]) -> dict[tuple[str, str], str]:
    """The most that an extra adds to an option, as the quote says it."""
    kept = json.loads(ledger.file(issued.body.results.sha256))
    tiers = kept.get("tiers") or []
    return {(tier["code"], one["extra"]): str(one.get("at_most") or "") for tier in tiers for one in tier["extras"]}


def _orders(ledger: Ledger) -> list[dict[str, Any]]:
    """Every order, the newest first, with the lines of which something may still come or go back."""
    from quotekit.cli.known_order import known_order

    numbers = [entry.number or 0 for entry in ledger.entries(kinds=("ordered",))]
    listed = []
    for number in sorted(numbers, reverse=True)[:MOST_ORDERS]:
        order, _ = known_order(ledger, number)
        if order is not None:
            listed.append(
                {
                    "number": str(number),
                    "day": order.entry.day.isoformat(),
                    "jobs": list(order.ordered.jobs),
                    "suppliers": list(dict.fromkeys(one.supplier for one in order.ordered.suppliers)),
                    "lines": [_line(state) for state in order.states if state.open or state.received],
                    "open": sum(state.open for state in order.states),
                }
            )
    return listed


def _line(state: LineState) -> dict[str, Any]:
    return {
        "part": state.line.part,
        "name": state.line.name,
        "supplier": state.line.supplier,
        "number": state.line.suppliers_number,
        "open": state.open,
        "received": state.received,
    }


def _shelf(ledger: Ledger) -> list[dict[str, Any]]:
    from quotekit.cli.jobs_to_order import orders_so_far

    stock = orders_so_far(ledger)
    return [
        {"code": part, "name": stock.names.get(part, ""), "on_shelf": f"{stock.on_shelf(part):f}"}
        for part in stock.parts()
    ]


def _people(ledger: Ledger) -> list[str]:
    """Who worked on jobs so far, by the clock."""
    from quotekit.model.entries import Clocked

    names: Iterable[str] = (entry.told(Clocked).person for entry in ledger.entries(kinds=("clocked",)))
    return sorted({name for name in names if name})


_LISTS: dict[str, Callable[[Ledger], list[Any]]] = {
    "jobs": _jobs,
    "orders": _orders,
    "shelf": _shelf,
    "people": _people,
}
