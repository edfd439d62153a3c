"""The reply a customer sends from the page: five lines of words and codes, written there and read back here.

    Quote: 117, version 1
    Option: Put right [good]
    Add: BELT; SEAL@left
    Total shown: $123.45
    Check: 4f1c09ab77de

A mail program may quote the lines, break a long one, turn their order or put other text around them. The total is what
the customer saw, for a person to compare; nothing is worked out from it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import field

from quotekit.problems import Place, Problem, error
from quotekit.record import record

QUOTE, OPTION, ADD, TOTAL, CHECK = LABELS = ("Quote", "Option", "Add", "Total shown", "Check")
NOTHING = "nothing"
VERSION = ", version "
SEPARATOR = "; "
CHECK_DIGITS = 12
"""First digits of the fingerprint of the quote that was sent."""

_MOST_CHARACTERS = 1_000_000
_LABEL = re.compile(rf"({'|'.join(LABELS)})\s*[:：]\s*(.*)", re.IGNORECASE | re.DOTALL)
_ONE_LINE = re.compile(r"\s+".join(rf"({label}\s*:.*?)" for label in LABELS) + r"(?=\n|$)", re.IGNORECASE | re.DOTALL)
_QUOTING = re.compile(r"^(?:[>|]\s*)+")
_DECORATION = "*_•-–·# \t\u00a0\u200b\ufeff\u2060"
_BOLD = "* \t\u00a0\u200b\ufeff\u2060"
"""What may stand around a value; a code may begin or end with a dash or an underscore."""

_QUOTE_VALUE = re.compile(r"(.+),\s*version\s*([0-9]{1,9})", re.IGNORECASE | re.DOTALL)
_OPTION_VALUE = re.compile(r"(.*)\[\s*([^\[\]]*?)\s*\]\W*", re.DOTALL)
_CHECK_VALUE = re.compile(rf"[0-9a-f]{{{CHECK_DIGITS}}}")


@record
class Reply:
    """What a reply says; a line that is missing or unclear leaves its field empty."""

    job_number: str = ""
    version: int | None = None
    tier: str | None = None
    """The option's code as written, None where none was chosen."""
    option: str = ""
    extras: tuple[str, ...] = ()
    total_shown: str = ""
    check: str = ""
    lines: dict[str, int] = field(default_factory=dict)
    """The line of the text where each label was found, from 1."""


def reply_lines(
    *, job_number: str, version: int, option: str, tier: str, extras: Iterable[str], total: str, fingerprint: str
) -> tuple[str, ...]:
    """The five lines, as the page's script makes them too.

    >>> for line in reply_lines(job_number="117", version=1, option="Put right", tier="good",
    ...     extras=("BELT", "SEAL@left"), total="$123.45", fingerprint="4f1c09ab77de0000"):
    ...     print(line)
    Quote: 117, version 1
    Option: Put right [good]
    Add: BELT; SEAL@left
    Total shown: $123.45
    Check: 4f1c09ab77de
    """
    added = SEPARATOR.join(extras) or NOTHING
    values = (f"{job_number}{VERSION}{version}", f"{option} [{tier}]", added, total, fingerprint[:CHECK_DIGITS])
    return tuple(f"{label}: {' '.join(value.split())}" for label, value in zip(LABELS, values, strict=True))


def read_reply(text: str, file: str = "") -> tuple[Reply, list[Problem]]:
    """What a reply says, with the problems of its lines.

    >>> reply, problems = read_reply("Yes!\\n> quote: 117, Version 2\\n> option: Put right [good]\\n> add: nothing")
    >>> reply.job_number, reply.version, reply.tier, reply.extras, problems
    ('117', 2, 'good', (), [])
    """
    found = _found(text[:_MOST_CHARACTERS])
    if not {QUOTE, OPTION} <= found.keys():
        missing = " and ".join(f'"{label}:"' for label in (QUOTE, OPTION) if label not in found)
        remedy = (
            "Give the reply as the customer sent it, with the five lines of the page; or ask which option is meant."
        )
        return Reply(), [
            error(Place(file), "not-a-reply", f"The reply has no line that begins with {missing}.", remedy)
        ]
    problems = [problem for label in LABELS if (problem := _twice(label, found.get(label, ()), file))]
    lines = {label: said[0].line for label, said in found.items()}
    job_number, version = _quote(found[QUOTE][0], file, problems)
    tier, option = _option(found[OPTION][0], file, problems)
    return (
        Reply(
            job_number=job_number,
            version=version,
            tier=tier,
            option=option,
            extras=_added(found[ADD][0].value) if ADD in found else (),
            total_shown=_shown(found[TOTAL][0].value) if TOTAL in found else "",
            check=_check(found[CHECK][0].value) if CHECK in found else "",
            lines=lines,
        ),
        problems,
    )


def _shown(value: str) -> str:
    """The total as shown; a dash stood where there was none."""
    return value if value.strip(_DECORATION) else ""


@record
class _Said:
    """One labelled line: what it says, how deep it was quoted, and where."""

    label: str
    value: str
    depth: int
    line: int

    @property
    def same(self) -> str:
        """The value as it is compared."""
        return " ".join(self.value.split()).casefold()


def _found(text: str) -> dict[str, tuple[_Said, ...]]:
    """For each label what is said at its shallowest quoting: a reply stands above what it answers."""
    said = list(_said(text))
    if not {QUOTE, OPTION} <= {one.label for one in said} and (match := _ONE_LINE.search(text)):
        said = list(_said("\n".join(match.groups())))
    found: dict[str, tuple[_Said, ...]] = {}
    for label in LABELS:
        of_label = [one for one in said if one.label == label]
        shallowest = min((one.depth for one in of_label), default=0)
        if of_label:
            found[label] = tuple(one for one in of_label if one.depth == shallowest)
    return found


def _said(text: str) -> Iterable[_Said]:
    lines = [_without_quoting(line) for line in re.split(r"\r\n|\r|\n", text)]
    for number, (line, depth) in enumerate(lines):
        match = _LABEL.match(line)
        if match:
            label = next(label for label in LABELS if label.casefold() == match[1].casefold())
            yield _Said(label=label, value=_whole(label, match[2], lines[number + 1 :]), depth=depth, line=number + 1)


def _without_quoting(line: str) -> tuple[str, int]:
    """A line without what a mail program puts before it, and how often it was quoted."""
    line = line.strip()
    quoting = _QUOTING.match(line)
    depth = len(re.findall(r"[>|]", quoting[0])) if quoting else 0
    return (line[quoting.end() :] if quoting else line).lstrip(_DECORATION).rstrip(_BOLD).replace("\u00a0", " "), depth


def _whole(label: str, value: str, after: Sequence[tuple[str, int]]) -> str:
    """A value with the lines it was broken into: codes go on after a semicolon, an option up to its bracket."""
    value = value.strip(_BOLD)
    for line, _ in after[:200]:
        goes_on = value.endswith(";") if label == ADD else label == OPTION and value and not value.endswith("]")
        if not goes_on or not line or _LABEL.match(line):
            break
        value = f"{value} {line}"
    return value.removesuffix(";").strip()


def _twice(label: str, said: Sequence[_Said], file: str) -> Problem | None:
    """A label with two different values: nobody can say which one is meant."""
    other = next((one for one in said if one.same != said[0].same), None)
    if other is None:
        return None
    place = Place(file, cell=f"line {other.line}")
    text = f"{said[0].value} / {other.value}"
    if label == OPTION:
        message = f"The reply names two options, here and in line {said[0].line}."
        return error(place, "two-options-ticked", message, "Ask the customer which one is meant.", text)
    message = f'The reply says two things after "{label}:", here and in line {said[0].line}.'
    return error(place, "reply-unclear", message, "Keep the reply that counts, and take the other one out.", text)


def _quote(said: _Said, file: str, problems: list[Problem]) -> tuple[str, int | None]:
    match = _QUOTE_VALUE.match(said.value)
    if match:
        return match[1].strip(), int(match[2])
    message = 'After "Quote:" stands no number with a version, such as "117, version 1".'
    place = Place(file, cell=f"line {said.line}")
    problems.append(error(place, "reply-unclear", message, "Ask the customer for the reply as it was.", said.value))
    return "", None


def _option(said: _Said, file: str, problems: list[Problem]) -> tuple[str | None, str]:
    match = _OPTION_VALUE.fullmatch(said.value)
    if match and match[2]:
        return match[2], match[1].strip()
    place = Place(file, cell=f"line {said.line}")
    message = "The reply names no option by its code in brackets, such as [good]."
    problems.append(error(place, "no-option-chosen", message, "Ask the customer which option is meant.", said.value))
    return None, said.value


def _added(value: str) -> tuple[str, ...]:
    keys = tuple(key.strip() for key in value.split(";") if key.strip())
    none = len(keys) == 1 and keys[0].rstrip(".") in (NOTHING, NOTHING.capitalize())
    return () if none else tuple(dict.fromkeys(keys))


def _check(value: str) -> str:
    match = _CHECK_VALUE.search(value.casefold())
    return match[0] if match else ""
