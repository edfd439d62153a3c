"""In which encoding a list is written: certain where bytes say it, said where they do not."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.suppliers.encodings import decide_encoding, known_encoding, marked_encoding

WORDS = {
    "German": "Kugellager Öldichtung Zündkerze Kühlmittel Schläuche Größe Schließblech Überwurfmutter Gehäuse Räder",
    "French": "Courroie crantée roulement pièce détachée étanchéité boîtier câble hélice tête écrou œillet",
    "Spanish": "Cojinete cigüeñal pistón eslabón cárter batería niño piñón tracción válvula",
    "Swedish": "Kullager tändstift skärbord växellåda snöslunga släpvagn låsmutter fäste",
    "Polish": "łożysko śruba nakrętka świeca zapłonowa dźwignia koło zębate",
    "Czech": "ložisko šroub řemen svíčka těsnění příruba žárovka převodovka",
    "Russian": "подшипник болт гайка ремень свеча колесо",
    "signs": "½-20|90°|BELT™|Ø25|25µm|£5|€12|seal®|3/4”|operator’s|5±1",
}
ENCODINGS = {
    "German": ("cp1252", "iso8859-15", "cp850", "cp437", "mac-roman"),
    "French": ("cp1252", "iso8859-15", "cp850"),
    "Spanish": ("cp1252", "cp850", "cp437"),
    "Swedish": ("cp1252", "cp850", "cp437"),
    "Polish": ("cp1250", "iso8859-2", "cp852"),
    "Czech": ("cp1250", "iso8859-2", "cp852"),
    "Russian": ("cp1251",),
    "signs": ("cp1252",),
}
PAIRS = [(language, encoding) for language, names in ENCODINGS.items() for encoding in names]


def some_list(language: str, encoding: str, count: int, seed: int) -> str:
    """A list in which `count` lines hold a word of the language that is not plain in the encoding."""
    draw = random.Random(seed)
    forms = [form for word in WORDS[language].replace("|", " ").split() for form in (word, word, word.upper())]
    words = [word for word in forms if not word.isascii() and fits(word, encoding)]
    lines = ["Part No;Description;Net"]
    for line in range(count):
        word = draw.choice(words)
        lines.append(f"{draw.randint(1000, 9999)};{word} 12 mm;{line}.50")
        lines.append(f"{draw.randint(1000, 9999)};BOLT M8;0.50")
    return "\r\n".join(lines)


def fits(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (b"a;b\r\n1;2", "utf-8"),
        ("Größe;1".encode(), "utf-8"),
        ("Größe;1".encode("utf-8-sig"), "utf-8"),
        ("Größe;1".encode("utf-16"), "utf-16-le"),
        ("Größe;1\n2;3".encode("utf-16-le"), "utf-16-le"),
        ("Größe;1\n2;3".encode("utf-16-be"), "utf-16-be"),
        ("Größe;1".encode("utf-32"), "utf-32-le"),
    ],
)
def test_what_bytes_say_by_themselves(data: bytes, name: str) -> None:
    found = decide_encoding(data)
    assert found is not None
    assert (found.name, found.sure) == (name, True)


@pytest.mark.parametrize(("language", "encoding"), PAIRS)
def test_fifty_words_give_the_text(language: str, encoding: str) -> None:
    """With fifty words the text is the one that was written, whatever the encoding is called."""
    text = some_list(language, encoding, 50, 7)
    found = decide_encoding(text.encode(encoding))
    assert found is not None
    assert text.encode(encoding).decode(found.name) == text


def test_few_words_are_seldom_wrong_and_wrong_ones_say_so() -> None:
    """Over all languages and encodings with one to ten words: a wrong reading that claims to be sure is rare.

    The doubt matters more than the guess: it is shown with both readings, and the owner picks.
    """
    wrong = sure_and_wrong = total = 0
    for language, encoding in PAIRS:
        for count in (1, 3, 10):
            for seed in range(6):
                text = some_list(language, encoding, count, seed)
                found = decide_encoding(text.encode(encoding))
                assert found is not None
                total += 1
                if text.encode(encoding).decode(found.name) != text:
                    wrong += 1
                    sure_and_wrong += found.sure
    assert wrong <= total / 7
    assert sure_and_wrong <= total / 100


def test_a_doubt_shows_both_readings() -> None:
    """One half sign alone: in one code page it is a half, in another an angle of a box."""
    found = decide_encoding("A;½ in belt;1".encode("cp1252"))
    assert found is not None
    assert "½ in belt" in found.reason
    other = decide_encoding(b"A;\xe5;1")
    assert other is not None and not other.sure and "it would read" in other.reason


def test_utf_8_with_a_spoiled_line() -> None:
    """Two lists put together: taken for Windows-1252 each umlaut of the first would be two wrong characters."""
    data = ("A;Größe;1\n" * 20).encode() + "B;Öl;2\n".encode("cp1252")
    found = decide_encoding(data)
    assert found is not None
    assert (found.name, found.sure) == ("utf-8", False)
    assert found.reason == "nearly all of it is UTF-8, but 1 bytes are not, first in line 21"


def test_what_is_no_text() -> None:
    assert decide_encoding(b"PK\0\0\1\2\0\3" * 20) is None


@pytest.mark.parametrize(
    ("name", "codec"),
    [
        ("UTF-8", "utf-8"),
        ("windows-1252", "cp1252"),
        ("Latin-9", "iso8859-15"),
        ("cp437", "cp437"),
        ("850", "cp850"),
        ("utf-16-le", "utf-16-le"),
    ],
)
def test_names_as_people_write_them(name: str, codec: str) -> None:
    assert known_encoding(name) == codec


@pytest.mark.parametrize("name", ["rot13", "hex", "zip", "nothing", "", "a\0b"])
def test_what_is_no_encoding_of_text(name: str) -> None:
    assert known_encoding(name) == ""


@given(st.text(max_size=40))
def test_text_in_utf_8_is_never_taken_for_another(text: str) -> None:
    data = text.encode("utf-8", errors="ignore")
    found = decide_encoding(data)
    if b"\0" not in data and not marked_encoding(data):
        assert found is not None and found.name == "utf-8"


@given(st.binary(max_size=60))
def test_any_bytes_give_an_answer_that_decodes(data: bytes) -> None:
    found = decide_encoding(data)
    if found is not None and not found.name.startswith("utf-"):
        assert isinstance(data.decode(found.name), str)
