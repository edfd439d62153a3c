"""In which encoding a list is written: decided from its bytes, with the reason, and said where it is not sure.

A byte order mark, zero bytes at every other place (UTF-16) and text that is valid UTF-8 decide by themselves: other
text is practically never valid UTF-8. What remains is one byte a character. Each known encoding is scored by what the
other characters would be beside their neighbours: letters of western, central European and Russian words where letters
belong, signs of trade (degree, half, diameter, euro) where they belong, nothing else. The best counts; where another
that would read other text comes close, it is said and both readings are shown.
Shop policy; the scores are ours. Of 510 texts of known encoding in ten languages they read 96, 27, 7 and 9 wrongly
with 1, 3, 10 and 50 such words, one of them without saying that it is not sure; a general detector
(charset-normalizer 3.5.3) read 380, 302, 238 and 198 wrongly. `tests/suppliers/test_encodings.py` has the texts.
"""

from __future__ import annotations

import codecs
import re
import unicodedata
from collections.abc import Iterator
from itertools import islice

from quotekit.record import record

_CANDIDATES = ("cp1252", "iso8859-15", "cp850", "cp437", "mac-roman", "cp1250", "iso8859-2", "cp852", "cp1251")
"""Tried in this order; of equals the first counts."""

ONE_BYTE_OR_UTF_8 = frozenset((*_CANDIDATES, "utf-8"))
"""Encodings that write plain characters as ASCII does."""

SHOWN_NAMES = {
    "utf-8": "UTF-8",
    "utf-16-le": "UTF-16 (little end first)",
    "utf-16-be": "UTF-16 (big end first)",
    "cp1252": "Windows-1252 (western)",
    "iso8859-15": "Latin-9 (ISO 8859-15)",
    "cp850": "DOS code page 850 (western)",
    "cp437": "DOS code page 437 (American)",
    "mac-roman": "Mac Roman",
    "cp1250": "Windows-1250 (central European)",
    "iso8859-2": "Latin-2 (ISO 8859-2)",
    "cp852": "DOS code page 852 (central European)",
    "cp1251": "Windows-1251 (Cyrillic)",
}
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_HEAD = 1 << 14
_MOST_PLACES = 500
_AROUND = 12
_SURE_BY = 3.0
_SURE_BY_EACH = 0.7
"""How far the best must lead, all other characters together and for each of them."""

_FOR_PROGRAMS = (
    "idna",
    "punycode",
    "unicode-escape",
    "unicode_escape",
    "raw-unicode-escape",
    "raw_unicode_escape",
    "charmap",
)
"""Encodings of names and program texts: in them a backslash or a dash of a number would be read as something else."""

_FEW_TO_MANY = 10
"""Characters that are valid UTF-8 for each byte that is not, from which the list counts as spoiled UTF-8."""

_SELDOM = {"mac-roman": 0.25}
"""Taken off for each character: nearly no list is written so today."""

_WESTERN = "äöüßéèêëàâçñåæøœïîôûíóúáã"
_SELDOMER = "ìòùõ"
_CENTRAL = "ąćęłńóśźżčšžřěýůďťňőűăâîșțşţ"
_RUSSIAN = "абвгдежзийклмнопрстуфхцчшщъыьэюяё"
_SIGNS = {
    **dict.fromkeys("€£°", 2.5),
    **dict.fromkeys("½¼¾®™Ø–’“”", 2.0),
    **dict.fromkeys("²³µ±©ø×—\u00a0", 1.5),
    **dict.fromkeys("‘•…«»º", 1.0),
    **dict.fromkeys("§·ª´", 0.5),
    "‰": 0.3,
    "¿": 0.0,
    "¡": 0.0,
}


@record
class Encoding:
    """An encoding by its codec's name, why, and where it is not sure how the text could also read."""

    name: str
    reason: str
    sure: bool = True

    @property
    def shown(self) -> str:
        """The encoding as a person knows it."""
        return SHOWN_NAMES.get(self.name, self.name)


def decide_encoding(data: bytes) -> Encoding | None:
    """The encoding of a list's bytes; none where they are no text.

    >>> decide_encoding("Größe".encode()).name, decide_encoding("Größe; Kühlmittel; Öl".encode("cp850")).name
    ('utf-8', 'cp850')
    >>> decide_encoding("a;b".encode("utf-16")).reason
    'it begins with the byte order mark'
    """
    marked = marked_encoding(data)
    if marked:
        return Encoding(name=marked, reason="it begins with the byte order mark")
    wide = _wide(data[:_HEAD])
    if wide:
        return Encoding(name=wide, reason="every other byte is zero")
    if b"\0" in data[:_HEAD]:
        return None
    if data.isascii():
        return Encoding(name="utf-8", reason="it holds plain characters only, which all encodings write alike")
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        return _nearly_utf8(data, fault.start) or _single_byte(data)
    return Encoding(name="utf-8", reason="all of it is valid UTF-8, other characters included")


def marked_encoding(data: bytes) -> str:
    """The encoding that a byte order mark names, or empty."""
    return next((name for mark, name in _MARKS if data.startswith(mark)), "")


def known_encoding(name: str) -> str:
    """The codec's own name of an encoding, or empty where there is none that reads text.

    >>> known_encoding("Windows-1252"), known_encoding("LATIN-9"), known_encoding("hex"), known_encoding("what")
    ('cp1252', 'iso8859-15', '', '')
    """
    try:
        found = codecs.lookup({"latin-9": "iso8859-15"}.get(name.lower(), name))
        "a".encode(found.name)
        if found.name in _FOR_PROGRAMS:
            return ""
    except (LookupError, UnicodeError, ValueError):
        return ""
    return found.name


def _wide(head: bytes) -> str:
    """UTF-16 without a mark, known by its zero bytes."""
    pairs = len(head) // 2
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if pairs and odd > pairs / 2 and even < pairs / 10:
        return "utf-16-le"
    return "utf-16-be" if pairs and even > pairs / 2 and odd < pairs / 10 else ""


def _nearly_utf8(data: bytes, first: int) -> Encoding | None:
    """UTF-8 that somebody has put a few other bytes into: read as anything else, all the rest would be wrong."""
    text = data.decode("utf-8", errors="replace")
    bad = text.count("\ufffd")
    good = sum(map(text.count, set(re.findall(r"[^\x00-\x7f\ufffd]", text))))
    if good < _FEW_TO_MANY * bad:
        return None
    line = data.count(b"\n", 0, first) + 1
    reason = f"nearly all of it is UTF-8, but {bad} bytes are not, first in line {line}"
    return Encoding(name="utf-8", reason=reason, sure=False)


def _single_byte(data: bytes) -> Encoding | None:
    """The likeliest encoding of one byte a character."""
    pieces = list(_pieces(data))
    count = sum(byte > 0x7F for piece in pieces for byte in piece)
    margin = max(_SURE_BY, _SURE_BY_EACH * count)
    scored = [
        (sum(map(_score, texts)) - count * _SELDOM.get(name, 0), name, texts)
        for name in _CANDIDATES
        if (texts := _decoded(pieces, name)) is not None
    ]
    scored.sort(key=lambda one: -one[0])
    while scored and not _decodes(data, scored[0][1]):
        del scored[0]
    if not scored:
        return None
    best, name, texts = scored[0]
    other = next((one for one in scored[1:] if one[2] != texts and best - one[0] < margin), None)
    shown = _telling(texts)
    if other is None:
        return Encoding(name=name, reason=f"as {SHOWN_NAMES[name]} its other characters make words: {shown}")
    differs = [(mine, theirs) for mine, theirs in zip(texts, other[2], strict=True) if mine != theirs]
    mine, theirs = _telling([differs[0][0]]), _telling([differs[0][1]])
    reason = f"as {SHOWN_NAMES[name]} it reads {mine}; as {SHOWN_NAMES[other[1]]} it would read {theirs}"
    return Encoding(name=name, reason=reason, sure=False)


def _pieces(data: bytes) -> Iterator[bytes]:
    """What stands around characters that are not plain, each line by itself, from all over the list."""
    around = rb"[^\r\n]{0,%d}[\x80-\xff][^\r\n]{0,%d}" % (_AROUND, _AROUND)
    for match in islice(re.finditer(around, data), _MOST_PLACES):
        yield b" " + match[0] + b" "


def _decoded(pieces: list[bytes], name: str) -> list[str] | None:
    try:
        return [piece.decode(name) for piece in pieces]
    except UnicodeDecodeError:
        return None


def _decodes(data: bytes, name: str) -> bool:
    try:
        codecs.decode(data, name)
    except UnicodeDecodeError:
        return False
    return True


def _telling(texts: list[str]) -> str:
    """The first words with other characters, between quotes."""
    words = [word for text in texts for word in re.split(r"[;,\t|\"]+", text) if not word.isascii()]
    return ", ".join(f"“{word.strip()}”" for word in list(dict.fromkeys(words))[:3])


def _score(text: str) -> float:
    return sum(_score_one(*text[at - 1 : at + 2]) for at in range(1, len(text) - 1) if text[at] > "\x7f")


def _score_one(before: str, character: str, after: str) -> float:
    """How well a character stands between its neighbours."""
    if unicodedata.category(character) == "Cc":
        return -20.0
    if character.isalpha() and character not in "ªºµ":
        return _score_letter(before, character, after)
    score = _SIGNS.get(character)
    if score is None:
        return -4.0
    fits = {
        "½¼¾": (before.isdigit() or before in ' -"(;,\t') and not after.isalpha(),
        "°": before.isdigit() or before == " ",
        "²³": before.isalnum(),
        "’": before.isalpha(),
        "€£": not before.isalpha() and not after.isalpha(),
        "®™©": before.isalnum() or before in " ).",
    }
    return score if all(fit for signs, fit in fits.items() if character in signs) else -1.0


def _score_letter(before: str, character: str, after: str) -> float:
    lower = character.lower()
    if lower in _RUSSIAN:
        alone = not re.search("[A-Za-z]", before + after)
        return 2.2 if alone and (before.lower() in _RUSSIAN or after.lower() in _RUSSIAN) else -3.0
    inside = before.isalpha() or after.isalpha()
    if (character.isupper() and before.islower()) or (character.islower() and before.isupper() and after.isupper()):
        return -3.0
    if not inside:
        return 2.0 if character in "Øø" and after.isdigit() else 1.5 if character in "Øøàé" else -2.0
    if min(before, after) > "\x7f":
        return -1.0  # three such letters in a row are no word of a Latin script
    scores = {_WESTERN: 3.0, _CENTRAL: 2.5, _SELDOMER: 1.5}
    return next((score for letters, score in scores.items() if lower in letters), 0.0)
