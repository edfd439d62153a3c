"""A real LibreOffice with the extension in a profile of its own, driven from outside through the office's own bridge.

Run by the Python that has the office's modules (`/usr/bin/python3` on Debian), so the standard library and uno only.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
import uuid
from pathlib import Path

import uno
import unohelper
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.task import XInteractionHandler
from com.sun.star.ucb import XCommandEnvironment

EXTENSION = "org.quotekit"


def values(**named):
    return tuple(PropertyValue(Name=name, Value=value) for name, value in named.items())


def _path() -> str:
    """The path without virtual environments, as for an office that is started from a desktop."""
    folders = os.environ["PATH"].split(os.pathsep)
    return os.pathsep.join(one for one in folders if not Path(one).parent.joinpath("pyvenv.cfg").is_file())


class Office:
    """One running office; `headless` without a screen, else on the screen that DISPLAY names.

    An extension is put in by an office of its own first: one that is put into an office that runs on would work in
    another process, over a bridge, until the next start.
    """

    def __init__(
        self,
        profile: Path,
        *,
        extension: Path | None = None,
        headless: bool = True,
        environment: dict[str, str] | None = None,
    ) -> None:
        if extension is not None:
            with Office(profile) as before:
                before.install(extension)
        self.profile, self.pipe = profile, f"q{uuid.uuid4().hex[:12]}"
        words = ["--headless"] if headless else []
        self.process = subprocess.Popen(
            ["soffice", *words, "--norestore", "--nologo", "--nofirststartwizard", "--nodefault",
             f"-env:UserInstallation={profile.as_uri()}", f"--accept=pipe,name={self.pipe};urp"],
            env={**os.environ, "PATH": _path(), **(environment or {})}, start_new_session=True,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        self.context = self._connected()
        self.desktop = self.make("com.sun.star.frame.Desktop")

    def __enter__(self) -> Office:
        return self

    def __exit__(self, *_) -> None:
        self.end()

    def make(self, service: str):
        return self.context.ServiceManager.createInstanceWithContext(service, self.context)

    def _connected(self):
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        address = f"uno:pipe,name={self.pipe};urp;StarOffice.ComponentContext"
        for _ in range(240):
            try:
                return resolver.resolve(address)
            except NoConnectException:
                time.sleep(0.25)
        raise SystemExit("the office did not start")

    def end(self) -> None:
        """Close the office as a person does; force it where it does not end."""
        with contextlib.suppress(Exception):
            self.desktop.terminate()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.process.wait(20)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def install(self, extension: Path) -> None:
        """Put an extension in, agreeing to whatever is asked; it is there as for a person at the next start."""
        manager = self.context.getByName("/singletons/com.sun.star.deployment.ExtensionManager")
        manager.addExtension(extension.as_uri(), (), "user", manager.createAbortChannel(), _Agrees())

    def open(self, path: Path, *, hidden: bool = False, **more):
        return self.desktop.loadComponentFromURL(path.as_uri(), "_blank", 0, values(Hidden=hidden, **more))

    def new(self):
        return self.desktop.loadComponentFromURL("private:factory/scalc", "_blank", 0, ())

    def choose(self, document, word: str) -> None:
        """What a click on the menu entry does; it returns while the work may still go on."""
        url = uno.createUnoStruct("com.sun.star.util.URL")
        url.Complete = f"service:org.quotekit.Actions?{word}"
        _, url = self.make("com.sun.star.util.URLTransformer").parseStrict(url)
        frame = document.CurrentController.Frame
        frame.activate()
        dispatch = frame.queryDispatch(url, "_self", 0)
        dispatch.dispatch(url, ())

    def windows(self) -> list[dict[str, list[str]]]:
        """Every window of the extension that is open: its title, its texts, the lines of its lists, its buttons."""
        toolkit = self.make("com.sun.star.awt.Toolkit")
        found = []
        for number in range(toolkit.getTopWindowCount()):
            top = toolkit.getTopWindow(number)
            context = top.getAccessibleContext() if hasattr(top, "getAccessibleContext") else None
            if context is not None:
                found.append({"title": context.getAccessibleName(), "texts": list(_names(context))})
        return found

    def wait_for(self, what, seconds: float = 60.0):
        """Ask again until there is something."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            found = what()
            if found:
                return found
            time.sleep(0.1)
        raise SystemExit(f"nothing came within {seconds:g} s; {str(self.windows())[:1500]}")


def _names(context, deep: int = 0):
    if deep > 12:
        return
    for number in range(min(context.getAccessibleChildCount(), 200)):
        child = context.getAccessibleChild(number).getAccessibleContext()
        name = child.getAccessibleName()
        if name:
            yield name
        yield from _names(child, deep + 1)


class _AlwaysYes(unohelper.Base, XInteractionHandler):
    def handle(self, request) -> None:
        for one in request.getContinuations():
            if one.queryInterface(uno.getTypeByName("com.sun.star.task.XInteractionApprove")):
                one.select()
                return


class _Agrees(unohelper.Base, XCommandEnvironment):
    def getInteractionHandler(self):
        return _AlwaysYes()

    def getProgressHandler(self):
        return None


if __name__ == "__main__":
    print(sys.version)
