"""A real mouse and keyboard on a virtual screen: Xvfb, a window manager, xdotool; pictures by ImageMagick.

What to click is found by its name through accessibility; the click itself is the mouse's.
"""

from __future__ import annotations

import os
import subprocess
import time
from pathlib import Path

from office import Office

SIZE = "1280x800"
LOOK = "QUOTEKIT_TEST_LOOK"
"""Environment variable: how the office draws itself, `gen` (it needs nothing more) or `gtk3`, which people see."""


class Screen:
    """A virtual screen of its own; `DISPLAY` is set for what is started within."""

    def __init__(self, size: str = SIZE) -> None:
        read, write = os.pipe()
        self.server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{size}x24", "-nolisten", "tcp"],
            pass_fds=[write], stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(write)
        with os.fdopen(read) as told:
            self.display = f":{told.readline().strip()}"
        os.environ["DISPLAY"] = self.display
        os.environ["SAL_USE_VCLPLUGIN"] = os.environ.get(LOOK, "gen")
        self.manager = subprocess.Popen(["openbox"], stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL)
        time.sleep(0.5)

    def __enter__(self) -> Screen:
        return self

    def __exit__(self, *_) -> None:
        for process in (self.manager, self.server):
            process.terminate()
            process.wait()

    def picture(self, path: Path, *, colours: str = "") -> None:
        """What is on the screen now; in few colours it is a small file."""
        path.parent.mkdir(parents=True, exist_ok=True)
        fewer = ["-colors", colours, "-depth", "8"] if colours else []
        subprocess.run(["import", "-window", "root", "-strip", *fewer, str(path)], check=True)

    def click(self, x: int, y: int, times: int = 1) -> None:
        _xdotool("mousemove", str(x), str(y))
        time.sleep(0.1)
        _xdotool("click", "--repeat", str(times), "--delay", "80", "1")
        time.sleep(0.2)

    def type(self, text: str) -> None:
        _xdotool("type", "--delay", "15", text)

    def key(self, *keys: str) -> None:
        _xdotool("key", "--delay", "40", *keys)


def place_of(office: Office, name: str, role: int | None = None, *, seconds: float = 20.0) -> tuple[int, int]:
    """The middle, on the screen, of the first visible thing of this name."""
    return office.wait_for(lambda: _find(office, name, role), seconds)


def _find(office: Office, name: str, role: int | None) -> tuple[int, int] | None:
    toolkit = office.make("com.sun.star.awt.Toolkit")
    for number in reversed(range(toolkit.getTopWindowCount())):  # the last is in front
        try:
            context = toolkit.getTopWindow(number).getAccessibleContext()
        except Exception:
            continue
        found = _within(context, name, role, 0) if context is not None else None
        if found:
            return found
    return None


def _within(context, name: str, role: int | None, deep: int) -> tuple[int, int] | None:
    if context.getAccessibleName() == name and (role is None or context.getAccessibleRole() == role):
        at, size = context.getLocationOnScreen(), context.getSize()
        if size.Width > 0 and size.Height > 0:
            return at.X + size.Width // 2, at.Y + size.Height // 2
    if deep > 14 or hasattr(context, "getAccessibleCellAt"):  # the cells of a sheet are many, and none is pressed
        return None
    for number in range(min(context.getAccessibleChildCount(), 100)):
        try:
            child = context.getAccessibleChild(number).getAccessibleContext()
            found = _within(child, name, role, deep + 1) if child is not None else None
        except Exception:
            continue
        if found:
            return found
    return None


def press(screen: Screen, office: Office, name: str, *, seconds: float = 20.0) -> None:
    """Click a button, a menu or an entry of a list by its name."""
    screen.click(*place_of(office, name, seconds=seconds))


def place_of_cell(document, name: str) -> tuple[int, int]:
    """The middle of a cell of the sheet in front, which is not scrolled.

    The office tells where the cells of one pane are, and cells beside frozen ones are in another: so the place is
    reckoned from the first cell of the pane, at the size in which the office draws that.
    """
    sheet = document.CurrentController.getActiveSheet()
    table = _table(document.CurrentController.Frame.getComponentWindow().getAccessibleContext(), 0)
    origin, cell = table.getLocationOnScreen(), sheet.getCellRangeByName(name)
    first, drawn = _first_drawn(document.CurrentController, sheet, table)
    across = (cell.Position.X - first.Position.X + cell.Size.Width / 2) * drawn.Width / first.Size.Width
    down = (cell.Position.Y - first.Position.Y + cell.Size.Height / 2) * drawn.Height / first.Size.Height
    return origin.X + round(across), origin.Y + round(down)


def _first_drawn(controller, sheet, table):
    """The first cell of the pane that the table is of, and its size on the screen: it has none in the others."""
    for number in range(controller.getCount()):
        pane = controller.getByIndex(number).getVisibleRange()
        drawn = table.getAccessibleCellAt(pane.StartRow, pane.StartColumn).getAccessibleContext().getSize()
        if drawn.Width > 0 and drawn.Height > 0:
            return sheet.getCellByPosition(pane.StartColumn, pane.StartRow), drawn
    raise SystemExit("the office draws no cells")


def _table(context, deep: int):
    """The part of a window that holds the cells of a sheet."""
    if hasattr(context, "getAccessibleCellAt"):
        return context
    for number in range(min(context.getAccessibleChildCount(), 20) if deep < 5 else 0):
        found = _table(context.getAccessibleChild(number).getAccessibleContext(), deep + 1)
        if found is not None:
            return found
    return None


def _xdotool(*words: str) -> None:
    subprocess.run(["xdotool", *words], check=True, stdout=subprocess.DEVNULL)
