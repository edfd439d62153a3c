"""What a formula comes to, as the writing library must be given it so that a file holds it as what it is."""

from __future__ import annotations


class _NoText(str):
    """A text of no letters that is not taken for no value: the library leaves out that an empty result is a text."""

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        return self is other

    def __ne__(self, other: object) -> bool:
        return self is not other

    __hash__ = str.__hash__


NO_TEXT = _NoText()


def formula_value(value: str | int) -> str | int:
    """The value beside a formula; an empty text is stored as a text, as a spreadsheet program stores it.

    >>> formula_value("left"), formula_value(2), len(str(formula_value("")))
    ('left', 2, 0)
    """
    return NO_TEXT if value == "" else value
