"""A question in a window with a button for each answer; nothing is held up while it waits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Callable, NamedTuple, Sequence

from .layout import BUTTON, EDGE, LINE, WIDTH, button_width, right_aligned, text_height
from .windows import Window

if TYPE_CHECKING:
    from .desk import Desk


LIST = 60


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


def pick_one(
    desk: Desk, title: str, words: str, lines: Sequence[str], label: str, then: Callable[[int], None]
) -> Window:
    """Let the person pick a line of a list; the first is picked already."""
    window = Window(desk, title, WIDTH, EDGE + 14 + LIST + 8 + BUTTON + EDGE)
    window.text("words", words, EDGE, EDGE, WIDTH - 2 * EDGE, LINE + 1)
    window.list("lines", lines, EDGE, EDGE + 14, WIDTH - 2 * EDGE, LIST, lambda _: None)

    def pressed() -> None:
        number = window.picked("lines")
        window.close()
        then(number)

    below = EDGE + 14 + LIST + 8
    (x, width), (last, _) = right_aligned([button_width(label), 44])
    window.button("go", label, x, below, width, BUTTON, pressed, default=True)
    window.button("cancel", "Cancel", last, below, 44, BUTTON, window.close)
    window.pick("lines", 0)
    window.show()
    window.focus("lines")
    return window
