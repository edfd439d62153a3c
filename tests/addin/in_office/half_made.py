"""Windows that the office makes half and then fails on, over a real office: what is on the screen after, as JSON.

`half_made.py WORDS`: `folder` to work in, `package` the folder that holds the modules of the extension.
"""

from __future__ import annotations

import json
import sys
import time
from importlib import import_module
from pathlib import Path

import uno  # noqa: F401 (lets `com` be imported)
from com.sun.star.awt import Rectangle, WindowDescriptor
from com.sun.star.awt.WindowClass import CONTAINER
from com.sun.star.uno import RuntimeException
from every_action import dialogs, press_end
from office import Office, _names

SAID = "unsatisfied query for interface of type com.sun.star.awt.XView!"


class HalfMade:
    """A dialog that leaves an empty window on the screen and fails, as the office itself does now and then."""

    def __init__(self, real) -> None:
        self.real = real

    def createPeer(self, toolkit, parent) -> None:
        empty = WindowDescriptor(Type=CONTAINER, WindowServiceName="dialog", Parent=parent, ParentIndex=-1)
        empty.Bounds = Rectangle(0, 0, 300, 200)
        toolkit.createWindow(empty).setVisible(True)
        raise RuntimeException(SAID, None)

    def __getattr__(self, name: str):
        return getattr(self.real, name)


def desk_that_fails(package: Path, office: Office, times: int):
    """The extension's own desk over this office; the first dialogs that it makes are half made."""
    sys.path.insert(0, str(package))
    windows, desk = (import_module(f"quotekit_office.{name}") for name in ("windows", "desk"))

    class Failing(desk.Desk):
        left = times

        def make(self, service: str):
            real = super().make(service)
            if service.endswith("UnoControlDialog") and Failing.left:
                Failing.left -= 1
                return HalfMade(real)
            return real

    return windows, Failing(office.context)


def tried(package: Path, office: Office, times: int) -> dict:
    """Something is told by a desk whose dialogs fail so many times; then its button is pressed."""
    windows, desk = desk_that_fails(package, office, times)
    raised = ""
    try:
        window = windows.tell(desk, "The shaft is worn.", "Put in a new one.")
    except RuntimeException as fault:
        raised, window = fault.Message, None
    shown = [[title, *_names(context)] for title, context in dialogs(office)]
    for _, context in dialogs(office):
        press_end(context)
    end = time.monotonic() + 20
    while dialogs(office) and time.monotonic() < end:
        time.sleep(0.1)
    held = len(window._listeners) + len(window._heard) if window is not None else 0
    return {"raised": raised, "shown": shown, "left": len(dialogs(office)), "held": held}


def main() -> None:
    words = json.loads(Path(sys.argv[1]).read_text())
    with Office(Path(words["folder"]) / "profile") as office:
        office.new()
        print(json.dumps([tried(Path(words["package"]), office, times) for times in (0, 1, 2)]))


if __name__ == "__main__":
    main()
