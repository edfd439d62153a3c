"""What is said of a returned quote. No window, no office."""

from __future__ import annotations

from typing import Any, Dict, List

from .problem_words import place_words


def of_which(found: Dict[str, Any]) -> str:
    """Which quote it is and how long it holds.

    >>> of_which({"job": "117", "version": 2, "valid_until": "2026-11-24", "expired": False})
    'Job 117, version 2, valid until 2026-11-24.'
    >>> of_which({"job": "117", "version": 2, "valid_until": "2026-11-24", "expired": True})
    'Job 117, version 2, expired on 2026-11-24.'
    """
    words = f"Job {found['job']}, version {found['version']}"
    if found["valid_until"]:
        words += f", {'expired on' if found['expired'] else 'valid until'} {found['valid_until']}"
    return f"{words}."


def chosen(found: Dict[str, Any]) -> str:
    """The option.

    >>> chosen({"tier": "good", "option": "Put right"}), chosen({"tier": None, "option": None})
    ('Chosen: Put right', 'No option is chosen.')
    """
    return f"Chosen: {found['option'] or found['tier']}" if found["tier"] else "No option is chosen."


def added(found: Dict[str, Any]) -> str:
    """The extras.

    >>> added({"tier": "good", "extras": ["BELT", "CAP@left"]}), added({"tier": "good", "extras": []})
    ('Added: BELT, CAP@left', 'Nothing is added.')
    """
    if not found["tier"]:
        return ""
    return f"Added: {', '.join(found['extras'])}" if found["extras"] else "Nothing is added."


def differs(found: Dict[str, Any]) -> str:
    """Whether it is as it was sent.

    >>> differs({"unchanged": True, "changed": []}), differs({"unchanged": False, "changed": ["Quote!B4"]})
    ('Nothing else differs from what was sent.', '1 cell differs from what was sent.')
    """
    if found["unchanged"]:
        return "Nothing else differs from what was sent."
    many = len(found["changed"])
    if found["unchanged"] is None or not many:
        return "Whether it is as it was sent can't be told."
    return f"{many} {'cell differs' if many == 1 else 'places differ'} from what was sent."


def lines(problems: List[Dict[str, str]]) -> List[str]:
    """A line for each problem.

    >>> lines([{"sheet": "Quote", "cell": "C97", "message": "No option is chosen.", "severity": "error"}])
    ['Quote!C97: No option is chosen.']
    """
    return [": ".join(filter(None, (place_words(one), one["message"]))) for one in problems]
