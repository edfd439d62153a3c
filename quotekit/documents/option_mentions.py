"""Which option a text means: by its name, its code or its number, and which options a longer text speaks of."""

from __future__ import annotations

import re
from collections.abc import Sequence

from quotekit.record import record

_NUMBERED = re.compile(r"\boption\s*([1-9])\b")
_NUMBER = re.compile(r"\b([1-9])\b")


@record
class OfferedOption:
    """An option of a quote: its code, and its name as the drop-down shows it."""

    code: str
    label: str


def option_meant(text: str, options: Sequence[OfferedOption]) -> OfferedOption | None:
    """The option a text names and nothing else; case and spaces around or doubled do not matter.

    >>> offered = (OfferedOption(code="good", label="Put right"), OfferedOption(code="best", label="Like new"))
    >>> [option_meant(text, offered).code for text in (" put  right", "GOOD", "option 2")]
    ['good', 'good', 'best']
    >>> option_meant("g*", offered), option_meant("Put right, please", offered)
    (None, None)
    """
    key = _key(text)
    for names in ([_key(option.label) for option in options], [_key(option.code) for option in options]):
        if names.count(key) == 1:
            return options[names.index(key)]
    numbered = _NUMBERED.fullmatch(key)
    number = int(numbered[1]) if numbered else 0
    return options[number - 1] if 0 < number <= len(options) else None


def options_mentioned(text: str, options: Sequence[OfferedOption]) -> list[OfferedOption]:
    """Every option that a text speaks of, in their order.

    >>> offered = (OfferedOption(code="good", label="Put right"), OfferedOption(code="best", label="Put right, paint"))
    >>> [[option.code for option in options_mentioned(text, offered)]
    ...     for text in ("put right, paint", "good; best", "Option 1 and 2", "1/2", "12")]
    [['best'], ['good', 'best'], ['good', 'best'], ['good', 'best'], []]
    """
    rest, found = _key(text), set()
    named = [(_key(name), i) for i, option in enumerate(options) for name in (option.label, option.code) if name]
    for name, i in sorted(named, key=lambda one: -len(one[0])):
        rest, times = re.subn(rf"(?<!\w){re.escape(name)}(?!\w)", "\0", rest)
        found |= {i} if times else set()
    if _NUMBERED.search(rest) or not re.search(r"[^\W\d]", rest):
        found |= {int(number) - 1 for number in _NUMBER.findall(rest)}
    return [option for i, option in enumerate(options) if i in found]


def _key(text: str) -> str:
    return " ".join(text.split()).casefold()
