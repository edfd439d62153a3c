"""The rules of figures that are told in words and have no arithmetic: which alternative, which cell, a sentence."""

from __future__ import annotations

import re

_RULES: tuple[tuple[str, str], ...] = (
    (r"why\.planned", "Yes where the job's plan says what the tier takes (rules 4, Plan)."),
    (r"why\.notes(\..*)?", "What was not compared, and why (rules 5.7)."),
    (r"why\.missing", "The tier is offered, so nothing is missing (rules 5.7)."),
    (r"why\.missing\.kind", "The first rule that keeps the tier back (rules 5.7)."),
    (r"why\.missing\.against", "The tier it is compared with (rules 5.7)."),
    (r"why\.missing\.comparisons(\..*)?", "What the rules compare of the two tiers (rules 5.7)."),
    (r"why\.missing\.cheaper_by", "A lower price alone would not bring it back (rules 5.7)."),
    (r"why\.missing\..*", "What keeps it back, and what would have to change, in words (rules 5.7)."),
    (r"why\.remedies", "The tier takes no remedy."),
    (r".*\.remedy", "A remedy that the tier takes, or one that could be used in its place (rules 5.7)."),
    (r".*\.fixes(\..*)?", "The recorded faults it puts right (rules 5.9, Findings)."),
    (r".*\.standing", "Whether it was compared with others, is the only one, or is planned (rules 5.7)."),
    (r".*\.reason", "The same in words: see `alternative` and `decided_by` (rules 5.7)."),
    (r".*\.only_for(\..*)?", "Findings that nothing else puts right (rules 5.7)."),
    (r".*\.refused(\..*)?", "Another remedy for the same findings that may not be used on this job (rules 5.1)."),
    (r".*\.done_by_larger_work", "Yes where larger work does it in passing (rules 5.2 step 4)."),
    (r".*\.swaps_only", "Yes where too many choices hang together to compare them all (rules 5.7)."),
    (r".*\.alternative", "There is no other complete choice to compare it with (rules 5.7)."),
    (r".*\.alternative\.takes(\..*)?", "What would be taken in its place (rules 5.7)."),
    (r".*\.alternative\.drops(\..*)?", "What would then no longer be taken (rules 5.7)."),
    (r".*\.alternative\.leaves(\..*)?", "What would then be left (rules 5.7)."),
    (r".*\.alternative\.no_life(\..*)?", "Remedies that differ and have no stated life (rules 5.9, Life)."),
    (r".*\.break_even", "There is nothing it could give way to, or too much to look at (rules 5.7)."),
    (r".*\.break_even\.\d+\.figure", "Which figure would have to change, all others as they are (rules 5.7)."),
    (r".*\.break_even\.\d+\.of", "The part, operation or remedy whose figure that is (rules 5.7)."),
    (r".*\.break_even\.\d+\.then(\..*)?", "What would be taken at that value and is not now (rules 5.7)."),
    (r".*\.break_even\.\d+\.among", "What was compared at that value (rules 5.7)."),
    (r".*\.break_even\.\d+\.cell", "The cell that holds the figure."),
    (r".*\.break_even\.\d+\.pack_cost(_now)?", "The price does not follow from a pack cost alone (rules 5.4)."),
    (r".*\.would_change(\..*)?", "The same in words: see `break_even` (rules 5.7)."),
    (r"sensitivity\.choices\.too_many", "Yes where there are too many choices to make them again (rules 5.7)."),
    (r"sensitivity\.choices\.tried", "No tier has a choice that hangs on interest, years or lives (rules 5.7)."),
    (r"sensitivity\.choices\.changes", "No tier would take anything else (rules 5.7)."),
    (r"sensitivity\.choices\.changes\..*", "What a tier would take instead (rules 5.7)."),
    (r"sensitivity\.choices\..*\.setting", "What was changed: interest, the years compared, or all lives together."),
    (r"sensitivity\..*words(\..*)?", "The same in words (rules 5.7)."),
    (r"sensitivity\.(interest|horizon|lives)", "Fewer than two tiers to put in order, or no years (rules 5.7)."),
    (r"sensitivity\..*\.changes", "The order stays from the lowest to the highest value (rules 5.7)."),
    (r".*\.would_decide\.values(\..*)?", "The blank values that the word waits for, most effect first (rules 4)."),
    (r".*\.would_decide\.even", "The blank value at which repair and replacement cost the same (rules 4)."),
    (r".*\.would_decide\.words(\..*)?", "What each value would mean, from the first to the last that does (rules 4)."),
)  # fmt: skip
_KNOWN = tuple((re.compile(pattern), rule) for pattern, rule in _RULES)


def rule_in_words(figure: str) -> str | None:
    """The rule of a figure that is told in words; None where it has none of its own.

    >>> rule_in_words("why.planned"), rule_in_words("total")
    ("Yes where the job's plan says what the tier takes (rules 4, Plan).", None)
    """
    return next((rule for pattern, rule in _KNOWN if pattern.fullmatch(figure)), None)
