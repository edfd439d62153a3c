"""Fields that many forms share."""

from __future__ import annotations

from typing import Tuple

from .form_fields import CHOICE, DATE, PICK, Choice, Field

ON = Field("on", "Day it happened", DATE, ("--on={}",), default="today")

WHO = Field("recorded-by", "Recorded by", PICK, ("--recorded-by={}",), lists="people", hint="blank: your login name")

PARTS = "~Parts"
"""The submenu of parts and their prices."""

HISTORY = "What happened to a job"
"""The entry of the menu that tells all that is recorded of a job."""

BY = (Choice("phone", "By telephone"), Choice("in-person", "In person"), Choice("message", "By message"))


def JOB(lists: str) -> Field:
    """The job a form is of, picked from a list."""
    return Field("job", "Job", CHOICE, ("{}",), needed=True, lists=lists)


def recorded(*first: Field) -> Tuple[Field, ...]:
    """These, and who records it."""
    return (*first, WHO)
