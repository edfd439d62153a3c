"""The reply text: what the page writes is read back, however a mail program has bent it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.reply_text import Reply, read_reply, reply_lines
from quotekit.problems import Problem

LINES = reply_lines(
    job_number="117",
    version=1,
    option="Put right",
    tier="good",
    extras=("BELT", "SEAL@left"),
    total="$123.45",
    fingerprint="4f1c09ab77de" + "0" * 52,
)
ADDED = ("nothing", "Nothing.", "NOTHING", "nothing; BELT")
WORDS = st.text(min_size=1, max_size=30)


def said(reply: Reply) -> tuple[object, ...]:
    return (reply.job_number, reply.version, reply.tier, reply.option, reply.extras, reply.total_shown, reply.check)


def where(problems: list[Problem]) -> list[tuple[str, str]]:
    return [(problem.code, str(problem.place)) for problem in problems]


WHOLE = ("117", 1, "good", "Put right", ("BELT", "SEAL@left"), "$123.45", "4f1c09ab77de")


@pytest.mark.parametrize(
    "text",
    [
        "\n".join(LINES),
        "\r\n".join(LINES) + "\r\n",
        "\n".join(reversed(LINES)),
        "Hello,\nplease do this:\n\n" + "\n".join(LINES) + "\n\nThanks\nAnn",
        "\n".join(f"> {line}" for line in LINES),
        "\n".join(f">> > {line}" for line in LINES),
        "\n".join(f"  * {line}  " for line in LINES),
        "\n".join(f"**{line.replace(':', ':**', 1)}" for line in LINES),
        "\n".join(line.upper().replace("BELT; SEAL@LEFT", "BELT; SEAL@left") for line in LINES)
        .replace("PUT RIGHT [GOOD]", "Put right [good]"),
        "\n".join(LINES).replace(": ", " :\u00a0"),
        "\n".join(LINES).replace("; ", ";\n"),
        "\n".join(f"> {line}" for line in LINES).replace("; ", ";\n> "),
        "\n".join(LINES).replace("Put right [", "Put\nright\n["),
        " ".join(LINES),
        "\n".join(LINES) + "\n\n> " + "\n> ".join(LINES).replace("[good]", "[best]"),
        "\n".join((*LINES, *LINES)),
    ],
    ids=lambda text: text[:20],
)  # fmt: skip
def test_a_reply_is_read_however_it_was_bent(text: str) -> None:
    reply, problems = read_reply(text, "reply.txt")
    assert said(reply) == WHOLE
    assert problems == []


def test_nothing_to_add_and_an_unknown_total() -> None:
    lines = reply_lines(
        job_number="1, a", version=12, option="A [b]", tier="best", extras=(), total="–", fingerprint=""
    )
    reply, problems = read_reply("\n".join(lines))
    assert said(reply) == ("1, a", 12, "best", "A [b]", (), "", "")
    assert problems == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [("not-a-reply", "r")]),
        ("Option: a [b]", [("not-a-reply", "r")]),
        ("Please call me.\nQuote: of the day", [("not-a-reply", "r")]),
        ("Quote: 117\nOption: a [b]", [("reply-unclear", "r!line 1")]),
        ("Quote: 117, version 1\nOption: a", [("no-option-chosen", "r!line 2")]),
        ("Quote: 117, version 1\nOption:", [("no-option-chosen", "r!line 2")]),
        ("Quote: 117, version 1\nOption: a [x]\nOption: b [y]", [("two-options-ticked", "r!line 3")]),
        ("Quote: 117, version 1\nOption: a [x]\nAdd: P\nAdd: nothing", [("reply-unclear", "r!line 4")]),
        ("Quote: 117, version 1\nQuote: 118, version 1\nOption: a [x]", [("reply-unclear", "r!line 2")]),
    ],
)
def test_what_is_missing_or_unclear_is_said(text: str, expected: list[tuple[str, str]]) -> None:
    assert where(read_reply(text, "r")[1]) == expected


def test_a_code_that_reads_like_nothing() -> None:
    said_by = {word: read_reply(f"Quote: 1, version 1\nOption: a [b]\nAdd: {word}")[0].extras for word in ADDED}
    assert said_by == {"nothing": (), "Nothing.": (), "NOTHING": ("NOTHING",), "nothing; BELT": ("nothing", "BELT")}


def test_the_lines_are_known_for_later_problems() -> None:
    assert read_reply("\n" + "\n".join(LINES))[0].lines["Add"] == 4


@given(WORDS, WORDS, st.lists(st.from_regex(r"[A-Z][A-Z0-9-]{0,8}(@left)?", fullmatch=True), unique=True, max_size=30))
def test_any_words_come_back(job: str, option: str, extras: list[str]) -> None:
    job, option = f"J{job}J", f"O{option}O"
    lines = reply_lines(
        job_number=job, version=3, option=option, tier="good", extras=extras, total="1", fingerprint="0" * 64
    )
    reply, problems = read_reply("\n".join(lines))
    assert (reply.version, reply.tier, reply.extras, reply.check) == (3, "good", tuple(extras), "0" * 12)
    assert problems == []


@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text: str) -> None:
    read_reply(text)
    read_reply(f"Quote: {text}\nOption: {text}\nAdd: {text}\nCheck: {text}")
