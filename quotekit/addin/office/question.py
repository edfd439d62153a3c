"""A question in a window with a button for each answer; nothing is held up while it waits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Callable, List, NamedTuple, Sequence

from .windows import Window

if TYPE_CHECKING:
    from .desk import Desk

WIDTH, EDGE, LINE, BUTTON, GAP = 270, 8, 9, 15, 4
LETTERS = 66
"""Of a line as wide as the window."""


class Answer(NamedTuple):
    """A button, and what follows it."""

    label: str
    then: Callable[[], None]


def ask(
    desk: Desk, title: str, words: str, answers: Sequence[Answer], cancel: str = "Cancel", tick: str = ""
) -> Window:
    """Ask; the first answer is what Enter gives, the last button thinks better of it. `tick` is a box named `tick`."""
    tall = text_height(words)
    below = EDGE + tall + (LINE + 8 if tick else 4)
    window = Window(desk, title, WIDTH, below + BUTTON + EDGE)
    window.text("words", words, EDGE, EDGE, WIDTH - 2 * EDGE, tall)
    if tick:
        window.tick("tick", tick, EDGE, EDGE + tall + 2, WIDTH - 2 * EDGE, LINE + 2)

    def answered(answer: Answer) -> Callable[[], None]:
        def pressed() -> None:
            window.tick_was = bool(tick) and window.ticked("tick")  # type: ignore[attr-defined]
            window.close()
            answer.then()

        return pressed

    labels = [one.label for one in answers] + [cancel]
    places = right_aligned([button_width(label) for label in labels])
    for number, answer in enumerate(answers):
        x, width = places[number]
        window.button(f"answer{number}", answer.label, x, below, width, BUTTON, answered(answer), default=number == 0)
    x, width = places[-1]
    window.button("cancel", cancel, x, below, width, BUTTON, window.close)
    window.show()
    window.focus("answer0")
    return window


def text_height(words: str, letters: int = LETTERS) -> int:
    """As tall as words need to be, in the units of a window.

    >>> text_height("Short."), text_height("Two\\nlines")
    (10, 19)
    """
    return 1 + LINE * sum(_lines(line, letters) for line in words.split("\n"))


def _lines(text: str, letters: int) -> int:
    count, room = 1, letters
    for word in text.split(" "):
        if len(word) > room and room < letters:
            count, room = count + 1, letters
        count += max(0, len(word) - 1) // letters
        room -= len(word) % letters + 1
    return count


def button_width(label: str) -> int:
    """As wide as a button's words need.

    >>> button_width("Cancel"), button_width("Show the warnings")
    (44, 80)
    """
    return max(44, 12 + 4 * len(label))


def right_aligned(widths: Sequence[int], width: int = WIDTH) -> List[Sequence[int]]:
    """Where buttons of these widths stand, the last at the right-hand end: place and width of each.

    >>> right_aligned([44, 44])
    [(170, 44), (218, 44)]
    """
    at = width - EDGE
    places: List[Sequence[int]] = []
    for one in reversed(widths):
        at -= one
        places.insert(0, (at, one))
        at -= GAP
    return places
