"""Why the extension can't be put into the office or taken out, each as a problem."""

from __future__ import annotations

from quotekit.problems import Place, Problem, error


class CannotInstall(Exception):
    """It was not done, and nothing was changed; the problem says why."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.message)


def office_open(profile: str) -> Problem:
    """An office holds its settings while it runs, and would write over what is changed behind its back."""
    message = "LibreOffice is open: its settings can't be changed now."
    return error(Place(profile), "office-open", message, "Save your work, close all its windows, then run this again.")


def office_without_python(program: str) -> Problem:
    """The extension is written in Python."""
    message = "This LibreOffice has no Python, which the extension is written in."
    return error(Place(program), "office-without-python", message, "Install it (Debian, Ubuntu: python3-uno).")


def office_not_started(program: str, said: str) -> Problem:
    """It ended at once, or never answered."""
    message = "LibreOffice could not be started without a window."
    return error(Place(program), "office-not-started", message, "See that it starts by itself, then try again.", said)


def office_refused(program: str, said: str) -> Problem:
    """Its extension manager complained."""
    message = "LibreOffice refused the change."
    remedy = "What it said stands above. `quotekit addin build` writes the extension as a file, to be added by hand."
    return error(Place(program), "office-refused", message, remedy, said)


def profile_of_another(profile: str, owner: str) -> Problem:
    """Root would leave files behind that the person can't write to any more."""
    message = f"These settings belong to {owner}, and you are root: LibreOffice could not write to them any more."
    return error(Place(profile), "office-of-another", message, f"Run this as {owner}, without sudo.")


def engine_not_started(command: str, said: str) -> Problem:
    """What the office would start does not answer."""
    message = "The office could not start this quotekit."
    remedy = "Install it (pipx install, or pip install), then run this with the installed program."
    return error(Place(command), "engine-not-started", message, remedy, said)
