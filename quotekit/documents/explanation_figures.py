"""Which figures are meant by a name, and an answer for those that no tree is made for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from quotekit.documents.explanation_words import rule_in_words
from quotekit.documents.quote_json import JsonObject, lay_out_quote_json, tier_json
from quotekit.model.explanation import Explanation
from quotekit.model.figure_names import Leaf, figures_of
from quotekit.model.quote import PricedTier, Quote
from quotekit.money import minor_digits
from quotekit.record import record

_NOT_OF_THE_JOB = ("tiers", "problems", "files")

MAIN = ("total", "tax", "subtotal", "work", "due", "deposit", "ready_days", "horizon_cost", "cost.total", "margin")
"""What a person sees who names no figure, with the amounts and hours that are not zero."""


@record
class NamedFigure:
    """A figure of the JSON: its name, its name by places (`parts[0].amount`), and its value."""

    name: str
    place: str
    value: Leaf


def named_figures(quote: Quote, tier: PricedTier) -> tuple[NamedFigure, ...]:
    """Every figure of a tier's JSON, then those of the job."""
    of_tier = tier_json(tier, minor_digits(quote.currency))
    laid_out = lay_out_quote_json(quote)
    of_job = {name: value for name, value in laid_out.items() if name not in _NOT_OF_THE_JOB}
    found = [*figures_of(of_tier), *figures_of(of_job)]
    return tuple(NamedFigure(name=name, place=place, value=value) for name, place, value in found)


def why_of(quote: Quote, tier: PricedTier) -> JsonObject | None:
    """Why the tier is what it is, as in its JSON; None where that is not told."""
    found = tier_json(tier, minor_digits(quote.currency)).get("why")
    return found if isinstance(found, dict) else None


def meant_by(word: str, known: Sequence[NamedFigure]) -> list[str]:
    """Names of the figures that a word means: one by its name or its place, else all of a group; case is free.

    >>> figures = [NamedFigure(name="amounts.labour", place="amounts.labour", value="1.00"),
    ...            NamedFigure(name="taxes.State.base", place="taxes[0].base", value="2.00")]
    >>> meant_by("Taxes[0].base", figures), meant_by("taxes.0.base", figures)
    (['taxes.State.base'], ['taxes.State.base'])
    >>> meant_by("amounts", figures), meant_by("amount", figures)
    (['amounts.labour'], [])
    """
    wanted = _key(word)
    exact = [one.name for one in known if wanted in _spellings(one)]
    if exact:
        return exact[:1]
    return [one.name for one in known if any(_is_under(name, wanted) for name in _spellings(one))]


def within_tier(word: str, quote: Quote, tier: PricedTier) -> str:
    """A figure's name as it stands in the tier's own JSON, where it was named from the top of the quote's.

    `tiers[0].total`, `tiers.0.total` and `tiers.good.total` are `total` of the first option, whose code is good;
    a name that begins with another option stays as it is, and then means nothing.
    """
    number = quote.tiers.index(tier)
    for start in (f"tiers[{number}].", f"tiers.{number}.", f"tiers.{tier.code}."):
        if _key(word).startswith(_key(start)):
            return word.strip()[len(start) :]
    return word


def main_figures(known: Sequence[NamedFigure]) -> list[str]:
    """The figures for a first look, in the order of money."""
    names = {one.name: one.value for one in known}
    found = [name for name in MAIN[:4] if name in names]
    found += [name for name, value in names.items() if name.startswith("amounts.") and not _is_zero(value)]
    found += [name for name, value in names.items() if name.startswith("hours.billed.")]
    found += [name for name in MAIN[4:] if name in names]
    return [name for name in found if names[name] is not None] or found


def group_names(known: Iterable[NamedFigure]) -> list[str]:
    """First words of all names, for a list that can be read."""
    return list(dict.fromkeys(one.name.partition(".")[0] for one in known))


def with_all(
    trees: Iterable[Explanation], known: Iterable[NamedFigure], wanted: Iterable[str]
) -> tuple[Explanation, ...]:
    """The wanted figures in their order; one that is told in words has its rule and its cells."""
    made: Mapping[str, Explanation] = {tree.figure: tree for tree in trees}
    by_name = {one.name: one for one in known}
    return tuple(made.get(name) or _plain(by_name[name]) for name in wanted)


def _plain(figure: NamedFigure) -> Explanation:
    rule = "Worked out from the figures of this tier and the cells it hangs on."
    return Explanation(figure=figure.name, value=figure.value, rule=rule_in_words(figure.name) or rule)


def _key(name: str) -> str:
    return " ".join(name.split()).casefold()


def _spellings(figure: NamedFigure) -> tuple[str, ...]:
    """Its name, and its name by places with brackets or with dots."""
    place = _key(figure.place)
    return _key(figure.name), place, place.replace("[", ".").replace("]", "")


def _is_under(name: str, group: str) -> bool:
    return bool(group) and name.startswith(group) and name[len(group) : len(group) + 1] in (".", "[")


def _is_zero(value: Leaf) -> bool:
    return isinstance(value, str) and not value.strip("-0.")
