"""What can go wrong between the office and the engine, in words for a person."""

from __future__ import annotations

INSTALL_AGAIN = "Run `quotekit addin install` again, then start the office anew."
TRY_AGAIN = "Try again; it is started anew."


class Trouble(Exception):
    """Something that can't be done: what is wrong, and what to do. It is told in a window, never as a fault."""

    def __init__(self, message: str, remedy: str) -> None:
        self.message, self.remedy = message, remedy
        super().__init__(f"{message} {remedy}".strip())

    def again(self) -> Trouble:
        """The same for another who waits: an exception raised twice would collect where it was raised."""
        return self.__class__(self.message, self.remedy)


class EngineFault(Trouble):
    """The engine is missing, silent or of another version."""


class EngineEnded(EngineFault):
    """The engine ended before it answered; a question that changes nothing may be asked once more."""


class EngineStarting(EngineFault):
    """The engine is still starting: a cell does not wait so long."""


class Stopped(Exception):
    """The person stopped what was running."""

    def again(self) -> Stopped:
        """The same for another who waits."""
        return Stopped()
