"""Work that may not come to an end: HiGHS looks at its limit of time now and then, in parts of its presolve never.

It runs beside, so that whoever waits can go on with what there is, or be stopped by a key press.

Worked example: a solve with 20 seconds left is waited for 30. One that still runs then is given up: the best choice
found so far stands, with its gap.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

PATIENCE = 10
"""Seconds beyond its limit that work is waited for: HiGHS is some late now and then."""


def ends_in_time(work: Callable[[], Any], seconds: Any) -> bool:
    """Do some work that raises nothing; False when it still runs so long after its limit, and is left to itself."""
    beside = threading.Thread(target=work, daemon=True)
    beside.start()
    beside.join(seconds + PATIENCE)
    return not beside.is_alive()
