"""The reasons of a tier in plain sentences for the shop: codes, amounts, years, and never what the shop earns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from quotekit.documents.quote_json import plain
from quotekit.model.quote import PricedTier
from quotekit.model.why import Alternative, BreakEven, Figures, Missing, Named, RemedyWhy, TierWhy

AIMS = {
    "lowest price": "the lowest price",
    "least to own": "what costs least to own",
    "longest life": "the longest life",
}


def goes_by(tier: PricedTier) -> str:
    """What a tier is chosen by, in one sentence."""
    why = tier.why
    if why is not None and why.planned:
        return "The technician planned it."
    return f"It goes by {AIMS.get(tier.aim, tier.aim)}."


NOT_COMPARED = "Taken by what this option goes by; not compared one by one."


def together(why: TierWhy) -> list[tuple[RemedyWhy, ...]]:
    """Remedies that would give way together to the same alternative are told together."""
    groups: dict[object, list[RemedyWhy]] = {}
    for entry in why.remedies:
        other = entry.alternative
        key: object = entry.remedy.key if other is None else (keys(other.takes), keys(other.drops))
        groups.setdefault(key, []).append(entry)
    return [tuple(entries) for entries in groups.values()]


def reason(entries: Sequence[RemedyWhy], why: TierWhy) -> str:
    """Why these remedies, told together, are taken."""
    first = entries[0]
    said = list(_compared(first.alternative, why) if first.alternative else _not_compared(first))
    said += list(dict.fromkeys(words for entry in entries for words in _beside(entry)))
    return " ".join(said)


def turns(entries: Sequence[RemedyWhy]) -> list[str]:
    """What would have to change, one sentence a figure."""
    other = entries[0].alternative
    if other is None:
        return []
    found = list(dict.fromkeys(_turn(one, other) for entry in entries for one in entry.break_even))
    if other.decided_by in ("shortest life", "lives together") and found:
        found.append("No price changes it: the lives decide.")
    return found


def change(amount: Decimal | None) -> str:
    """A difference in words.

    >>> change(Decimal("12.40")), change(Decimal("-31.00")), change(Decimal("0.00")), change(None)
    ('12.40 more', '31.00 less', 'the same', 'not known')
    """
    if amount is None:
        return "not known"
    return f"{abs(amount):f} {'more' if amount > 0 else 'less'}" if amount else "the same"


def keys(named: Iterable[Named]) -> tuple[str, ...]:
    """The codes of some items."""
    return tuple(one.key for one in named)


def called(named: Iterable[Named]) -> str:
    """Names with their codes, one a line; nothing at all is said so."""
    return "\n".join(f"{one.name} ({one.key})" for one in named) or "nothing in its place"


def missing_lines(missing: Missing) -> Iterator[str]:
    """What keeps a tier back, and what would have to change, sentence by sentence."""
    for line in missing.comparisons:
        yield f"{line.what}: {line.this} here, {line.other} in {missing.against}."
    for detail in missing.details:
        yield sentence(detail)
    yield from would_do(missing)


def would_do(missing: Missing) -> list[str]:
    """What would have to change, one sentence each: all of them where a tier could not be worked out, else any."""
    if missing.kind == "not worked out":
        return [f"It could be worked out if {and_list(missing.would_change)}."] if missing.would_change else []
    cheaper = [] if missing.cheaper_by is None else [f"its work cost {missing.cheaper_by:f} less"]
    start = "It would be an option of its own if" if missing.kind == "same work" else "It would be offered if"
    return [f"{start} {words}." for words in (*cheaper, *missing.would_change)]


def sentence(words: str) -> str:
    """Words with a full stop; they keep their first letter, which may be a code's.

    >>> sentence("the plan leaves BRAKE"), sentence("Done.")
    ('The plan leaves BRAKE.', 'Done.')
    """
    first = words[:1].upper() + words[1:]
    return first if first.endswith(".") else f"{first}."


def and_list(words: Sequence[str]) -> str:
    """A list as read aloud.

    >>> and_list(["A", "B", "C"]), and_list(["A"]), and_list([])
    ('A, B and C', 'A', '')
    """
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def _compared(other: Alternative, why: TierWhy) -> Iterator[str]:
    years = in_years(why.horizon)
    alternative = _subject(other.takes)
    mine = why.figures
    assert mine is not None
    today, over = other.difference, other.over_years
    match other.decided_by:
        case "lowest price":
            yield f"{today:f} cheaper today{_also(over, years)}."
            if over is not None and over < 0:
                less = f"{-over:f} less over {years}"
                yield f"{alternative} would cost {less}, but this option goes by the lowest price."
        case "least to own":
            yield f"{_amount(over)} cheaper over {years}, {_at_price(today)}."
        case "shortest life":
            yield _shortest(mine, other.figures, alternative, why.horizon)
            yield _money(other, years)
        case "lives together":
            yield _lives(mine, other.figures, alternative, why.horizon)
            yield _money(other, years)
        case _:
            yield _tie(other, mine, why)
    if over is None:
        verb = "has" if len(other.no_life) == 1 else "have"
        yield f"Over the years they can't be compared: {and_list(keys(other.no_life))} {verb} no Life years."
    if other.leaves:
        yield f"With {alternative}, {and_list(other.leaves)} would be left."


def _also(over: Decimal | None, years: str) -> str:
    return f", and {over:f} cheaper over {years}" if over is not None and over > 0 else ""


def _amount(over: Decimal | None) -> str:
    return "" if over is None else f"{over:f}"


def _at_price(today: Decimal) -> str:
    if not today:
        return "at the same price today"
    return f"and {today:f} cheaper today" if today > 0 else f"though {-today:f} dearer today"


def _shortest(mine: Figures, theirs: Figures, alternative: str, horizon: Decimal) -> str:
    first, other = _years(mine.shortest_life, horizon), _years(theirs.shortest_life, horizon)
    return f"The first repair to wear out lasts {first}; with {alternative} it would be {other}."


def _lives(mine: Figures, theirs: Figures, alternative: str, horizon: Decimal) -> str:
    return (
        f"The first repair to wear out lasts {_years(mine.shortest_life, horizon)} either way. All lives together are "
        f"{plain(mine.lives_together)} years, with {alternative} {plain(theirs.lives_together)} "
        f"(each counted up to {plain(horizon)})."
    )


def _years(life: Decimal, horizon: Decimal) -> str:
    return f"{in_years(life)} or more" if life >= horizon else in_years(life)


def in_years(life: Decimal) -> str:
    """Years in words.

    >>> in_years(Decimal("1.00")), in_years(Decimal("2.5"))
    ('1 year', '2.5 years')
    """
    return f"{plain(life)} year" if life == 1 else f"{plain(life)} years"


def _money(other: Alternative, years: str) -> str:
    """What the longer life costs: the difference turned round, as it is said of what is taken."""
    over = None if other.over_years is None else -other.over_years
    tail = "" if over is None else f", {change(over)} over {years}"
    return f"It costs {change(-other.difference)} today{tail}."


def _tie(other: Alternative, mine: Figures, why: TierWhy) -> str:
    years = in_years(why.horizon)
    alike = {
        "lowest price": "Both cost the same",
        "least to own": f"Both cost the same over {years}",
        "longest life": "Both last as long",
    }[why.aim]
    match other.decided_by:
        case "work":
            return f"{alike}; this is {other.difference:f} cheaper today."
        case "operations":
            also = "" if why.aim == "lowest price" else " and cost the same today"
            return f"{alike}{also}; this takes fewer operations ({mine.operations}, not {other.figures.operations})."
        case "codes":
            return f"{alike}, today too, with as many operations; the order of the codes decides."
        case _:
            return f"{_subject(other.takes)} would be better: the search was stopped by its time limit."


def _not_compared(entry: RemedyWhy) -> Iterator[str]:
    if entry.standing == "planned":
        yield "The technician planned it."
    elif entry.standing == "not compared":
        yield NOT_COMPARED
    elif entry.only_for and entry.refused:
        yield f"The only remedy that may be used for {and_list(entry.only_for)}."
    elif entry.only_for:
        yield f"The only remedy in the shop book for {and_list(entry.only_for)} on this job."
    elif entry.swaps_only:
        yield "No other remedy can take its place alone."
    else:
        yield f"Every way to put {and_list(entry.fixes)} right takes it."


def _beside(entry: RemedyWhy) -> Iterator[str]:
    for refused in entry.refused:
        yield f"{refused.remedy.key} is not permitted: {refused.why}."
    if entry.done_by_larger_work:
        yield f"The work of {entry.remedy.key} is done by larger work in this option."


def _subject(named: Iterable[Named]) -> str:
    return and_list(keys(named)) or "leaving it out"


def _turn(found: BreakEven, other: Alternative) -> str:
    if found.wins_at is None:
        return _never(found, _subject(other.takes))
    winner = _subject(found.then) if found.then else _subject(other.takes)
    wins = "would be taken" if found.then else "would do"
    whole = "" if found.among == "every choice" else ", all else in the option as it is"
    return f"{winner} {wins} {_once(found)}{whole}.{_cell(found)}"


def _cell(found: BreakEven) -> str:
    """Where the figure stands: sheet and cell, where it was read from a workbook."""
    place = found.source.place(found.column)
    return f" ({place.sheet}!{place.cell})" if place.cell else ""


def _once(found: BreakEven) -> str:
    assert found.wins_at is not None
    bound = "or less" if found.wins_at < found.present else "or more"
    part = f"{found.of.name} ({found.of.key})"
    if "price" in found.figure:
        cost = ""
        if found.pack_cost is not None and found.pack_cost_now is not None:
            now = _in_step(found.pack_cost_now, found.step)
            cost = f", that is at a pack cost of {found.pack_cost:f} {bound}, now {now}"
        return f"if {part} sold at {found.wins_at:f} {bound}, now {found.present:f}{cost}"
    if "hours" in found.figure:
        return f"if {part} took {plain(found.wins_at)} h {bound}, now {plain(found.present)} h"
    return f"if {found.of.key} lasted {in_years(found.wins_at)} {bound}, now {plain(found.present)}"


def _never(found: BreakEven, alternative: str) -> str:
    part, tried = f"{found.of.name} ({found.of.key})", plain(found.tried)
    match found.figure:
        case "price of the alternative":
            return f"No price of {part} is low enough for {alternative}; it is {found.present:f} now."
        case "price of what is taken":
            return f"Not even at {found.tried:f} for {part}, now {found.present:f}, would {alternative} be taken."
        case "hours of the alternative" | "hours of what is taken":
            return f"Not even at {tried} h for {part}, now {plain(found.present)} h, would {alternative} be taken."
        case "life of the alternative":
            return f"However long {found.of.key} lasted, now {in_years(found.present)}, it would not be taken."
        case _:
            return f"Even if {found.of.key} lasted only {tried} years it would be taken."


def _in_step(amount: Decimal, step: Decimal) -> str:
    """An amount with at least the currency's digits."""
    return f"{amount.quantize(step) if amount == amount.quantize(step) else amount:f}"
