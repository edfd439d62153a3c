"""A question in a window with a button for each answer; nothing is held up while it waits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Callable, NamedTuple, Sequence

from .layout import BUTTON, EDGE, LINE, WIDTH, button_width, right_aligned, text_height
from .windows import Window

if TYPE_CHECKING:
    from .desk import Desk


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
