"""Something to be done in the main thread after a while."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Callable

if TYPE_CHECKING:
    from .desk import Desk


def after(desk: Desk, seconds: float, work: Callable[[], None]) -> threading.Timer:
    """Do this in the main thread so many seconds from now; the timer can be cancelled until then."""
    timer = threading.Timer(seconds, lambda: desk.later(work))
    timer.daemon = True
    timer.start()
    return timer
