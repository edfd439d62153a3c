"""What a person or a spreadsheet writes into a box to tick: marks, truth values and words, in the main languages."""

from __future__ import annotations

from decimal import Decimal

_TICKED_MARKS = "☑ ☒ ✓ ✔ ✅ x × √".split()
_EMPTY_MARKS = "☐ □ ▢ ◻ ⬜ - – —".split()
"""A cross or a circle alone is in neither: it means yes to some and no to others."""

_TRUE_WORDS = (
    "TRUE WAHR VRAI VERDADERO VERO VERDADEIRO WAAR SANT SAND SANN TOSI PRAWDA PRAVDA ИСТИНА ІСТИНА DOĞRU IGAZ ADEVĂRAT "
    "ΑΛΗΘΕΣ ΑΛΗΘΗΣ 真 참"
).split()
_FALSE_WORDS = (
    "FALSE FALSCH FAUX FALSO ONWAAR FALSKT FALSK USANN EPÄTOSI FAŁSZ NEPRAVDA ЛОЖЬ ХИБНІСТЬ YANLIŞ YANLIS HAMIS FALS "
    "ΨΕΥΔΕΣ ΨΕΥΔΗΣ 偽 假 거짓"
).split()
_YES_WORDS = ("yes y yeah ok okay ja oui si sì sí sim kyllä tak ano áno да так evet igen da ναι はい 是 예 네").split()
_NO_WORDS = (
    "no n none nein non não nao nee nej nei ei nie ne не нет ні hayır hayir nem nu όχι οχι いいえ 否 不 아니요 아니오"
).split()


def _key(word: str) -> str:
    """A word as it is compared: without case, outer spaces and a closing dot.

    >>> _key(" YES! "), _key("DOĞRU") == _key("doğru")
    ('yes', True)
    """
    return (
        word.strip().strip(".!").strip().casefold().replace("i\u0307", "i").replace("\ufe0e", "").replace("\ufe0f", "")
    )


_TICKED = frozenset(map(_key, (*_TICKED_MARKS, *_TRUE_WORDS, *_YES_WORDS, "1", "1.0", "1,0")))
_EMPTY = frozenset(map(_key, (*_EMPTY_MARKS, *_FALSE_WORDS, *_NO_WORDS, "0", "0.0", "0,0", "")))


def ticked(value: str | bool | Decimal | None) -> bool | None:
    """True for a tick, False for none, None for what is neither.

    >>> ticked("☑"), ticked("YES "), ticked("WAHR"), ticked(Decimal("1.0")), ticked("да")
    (True, True, True, True, True)
    >>> ticked("☐"), ticked(None), ticked("nein"), ticked(False), ticked("perhaps"), ticked(Decimal(2))
    (False, False, False, False, None, None)
    """
    if value is None or isinstance(value, bool):
        return bool(value)
    if isinstance(value, Decimal):
        return {Decimal(1): True, Decimal(0): False}.get(value)
    key = _key(value)
    return True if key in _TICKED else False if key in _EMPTY else None


def counted(value: str | bool | Decimal | None) -> bool:
    """True for what the quote's own formulas take for a tick: ☑, Yes in any case, TRUE and 1.

    >>> counted("yes"), counted(True), counted("YES "), counted("x"), counted("TRUE")
    (True, True, False, False, False)
    """
    if isinstance(value, str):
        return value == "☑" or value.casefold() == "yes"
    return bool(value) and value == 1
