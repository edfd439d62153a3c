"""Names as people type them: compared without case and spaces, in either spelling, and the nearest known one."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

_SPELLINGS = (("labor", "labour"), ("license", "licence"), ("’", "'"), ("‘", "'"))


@lru_cache(maxsize=4096)
def name_key(name: str) -> str:
    """The form in which names of sheets, columns, settings and words compare.

    >>> name_key(" Labor  Rates "), name_key("LABOUR RATES"), name_key("Licence")
    ('labourrates', 'labourrates', 'licence')
    """
    key = "".join(name.split()).casefold()
    for typed, known in _SPELLINGS:
        key = key.replace(typed, known)
    return key


def label_key(label: str) -> str:
    """The form in which headers and labels compare: people end them with a star or a colon.

    >>> label_key("Job number:"), label_key("Net hours *")
    ('jobnumber', 'nethours')
    """
    return name_key(label).rstrip("*:")


def before_bracket(label: str) -> str:
    """A label without the unit or remark that follows it in brackets.

    >>> before_bracket("Limit (mm)"), before_bracket("(own)")
    ('Limit ', '(own)')
    """
    return label.split("(")[0] or label


def code_key(code: str) -> str:
    """The form in which codes compare: without case.

    >>> code_key("Seal-19") == code_key("SEAL-19")
    True
    """
    return code.strip().casefold()


def nearest(name: str, known: Iterable[str], cutoff: float = 0.65) -> str:
    """The known name most like a name, or empty.

    >>> nearest("Pack qantity", ["Pack quantity", "Pack cost"])
    'Pack quantity'
    """
    from difflib import get_close_matches

    by_key = {name_key(each): each for each in known}
    found = get_close_matches(name_key(name), by_key, n=1, cutoff=cutoff)
    return by_key[found[0]] if found else ""


def nearest_by_parts(name: str, known: Iterable[str], cutoff: float = 0.65) -> str:
    """The known name most like one written with dots, near in each part between them, or empty.

    Likeness of the whole would propose another part's amount, as all that follows the code is the same.

    >>> nearest_by_parts("parts.SEALS.amount", ["parts.END-CAP.amount", "parts.SEAL.amount"])
    'parts.SEAL.amount'
    >>> nearest_by_parts("parts.SEALS.amount", ["parts.END-CAP.amount", "parts.BELT.amount"])
    ''
    """
    alike = {each: _likeness_by_parts(name_key(name), name_key(each), cutoff) for each in known}
    best = max(alike, key=alike.__getitem__, default="")
    return best if best and alike[best] else ""


def _likeness_by_parts(name: str, other: str, cutoff: float) -> float:
    """The mean likeness of the parts of two names; 0 where they are not as many, or one is below the cutoff."""
    from difflib import SequenceMatcher

    mine, theirs = name.split("."), other.split(".")
    if len(mine) != len(theirs):
        return 0
    alike = [SequenceMatcher(None, one, another).ratio() for one, another in zip(mine, theirs, strict=True)]
    return sum(alike) / len(alike) if min(alike) >= cutoff else 0


def or_list(names: Iterable[str]) -> str:
    """Names for a sentence.

    >>> or_list(["above", "below"]), or_list(["a", "b", "c"])
    ('above or below', 'a, b or c')
    """
    listed = list(names)
    return " or ".join([", ".join(listed[:-1]), listed[-1]]) if len(listed) > 1 else "".join(listed)


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """A question with the nearest known name, or empty.

    >>> did_you_mean("BUSHNG", ["BUSHING", "BELT"])
    'Did you mean BUSHING? '
    """
    found = nearest(name, known)
    return f"Did you mean {found}? " if found else ""
