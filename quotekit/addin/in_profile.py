"""Puts the extension into a person's profile of the office, or takes it out; run by a Python that has `uno`.

It starts an office without a window on that profile and asks its own extension manager, agreeing to what it asks: the
office's tool for this, unopkg, refuses to run for root. `install` runs this text with words of JSON on the standard
input, and reads the outcome, JSON too, from the standard output. Standard library and `uno` only, Python 3.8 or newer.
"""

from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
import time
import uuid
from contextlib import suppress
from typing import Any

IDENTIFIER = "org.quotekit"

PROFILE = "UserInstallation"
"""By this variable the office's own libraries, loaded here, know another profile."""

CONNECT_SECONDS = 90.0
END_SECONDS = 30.0

_PROFILE_OF = ("program/bootstraprc", "program/bootstrap.ini", "Resources/bootstraprc")
"""Where the office says which profile is a person's: Linux, Windows, macOS."""


class Refused(Exception):
    """Why it can't be done: a word that `install` puts into sentences, and what the office said."""

    def __init__(self, why: str, said: str = "") -> None:
        self.why, self.said = why, said
        super().__init__(why, said)


def main() -> None:
    """Read the words, do it, tell."""
    words = json.loads(sys.stdin.read())
    try:
        outcome = carry_out(words)
    except Refused as refused:
        outcome = {"refused": refused.why, "said": refused.said}
    print(json.dumps(outcome))


def carry_out(words: dict[str, Any]) -> dict[str, Any]:
    """`do` is where (only tells the profile), look, install or remove."""
    if words.get("profile"):
        os.environ[PROFILE] = words["profile"]
    try:
        import uno
    except ImportError as fault:
        raise Refused("no uno", str(fault)) from None
    address = profile_address(uno)
    outcome: dict[str, Any] = {"profile": uno.fileUrlToSystemPath(address) if address else ""}
    if words["do"] == "where":
        return outcome
    if address and is_open(uno, address):
        raise Refused("open", outcome["profile"])
    process = start(words["office"], words.get("profile"), pipe := f"quotekit{uuid.uuid4().hex[:12]}")
    try:
        context = connected(uno, process, pipe)
        outcome.update(with_manager(uno, context, words))
        terminate(context, process)
    finally:
        end(process)
    return outcome


def profile_address(uno: Any) -> str:
    """The folder of the person's settings; empty where this office does not say."""
    expander = uno.getComponentContext().getByName("/singletons/com.sun.star.util.theMacroExpander")
    for file in _PROFILE_OF:
        found = expander.expandMacros("".join(("${$BRAND_BASE_DIR/", file, ":UserInstallation}")))
        if found:
            return str(found)
    return ""


def is_open(uno: Any, address: str) -> bool:
    """Whether an office runs on this profile: it listens at a place named after it, and is not disturbed by a knock."""
    digest = hashlib.md5(address.encode("utf-16-le")).digest()
    place = "pipe,name=SingleOfficeIPC_" + "".join(f"{byte:x}" for byte in digest)
    context = uno.getComponentContext()
    connector = context.ServiceManager.createInstanceWithContext("com.sun.star.connection.Connector", context)
    try:
        connector.connect(place).close()
    except Exception:
        return False
    return True


def start(office: str, profile: str | None, pipe: str) -> Any:
    """An office without a window; a lock that a killed one left does not hold it up."""
    words = ["--headless", "--norestore", "--nolockcheck", "--nologo", "--nodefault", "--nofirststartwizard"]
    if profile:
        words.append(f"-env:UserInstallation={profile}")
    try:
        return subprocess.Popen(
            [office, *words, f"--accept=pipe,name={pipe};urp"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            env=without(os.environ, PROFILE),
        )
    except OSError as fault:
        raise Refused("not started", f"{office}: {fault.strerror}") from None


def without(environment: Any, *names: str) -> dict[str, str]:
    """An environment without some of its variables."""
    return {name: value for name, value in environment.items() if name not in names}


def connected(uno: Any, process: Any, pipe: str) -> Any:
    """The context of the office that was started. Raises Refused where it ends, or is not there in time."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    until = time.monotonic() + CONNECT_SECONDS
    while time.monotonic() < until:
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:
            if process.poll() is not None:
                raise Refused("not started", f"It ended with code {process.returncode}.") from None
            time.sleep(0.1)
    raise Refused("not started", f"It did not answer within {CONNECT_SECONDS:g} seconds.")


def with_manager(uno: Any, context: Any, words: dict[str, Any]) -> dict[str, Any]:
    """What the office's extension manager did, and which versions were there before and after."""
    manager = context.getByName("/singletons/com.sun.star.deployment.ExtensionManager")
    agrees = agreement(uno)
    before = deployed(manager, agrees)
    try:
        if words["do"] == "install":
            manager.addExtension(words["file"], (), "user", manager.createAbortChannel(), agrees)
        elif words["do"] == "remove" and before is not None:
            manager.removeExtension(IDENTIFIER, before.getName(), "user", manager.createAbortChannel(), agrees)
    except Exception as fault:
        half = deployed(manager, agrees)
        if before is None and half is not None:
            with suppress(Exception):
                manager.removeExtension(IDENTIFIER, half.getName(), "user", manager.createAbortChannel(), agrees)
        return {"refused": "refused", "said": reason(fault), "folder": folder(deployed(manager, agrees))}
    after = deployed(manager, agrees)
    return {"before": version(before), "after": version(after), "folder": folder(after)}


def deployed(manager: Any, agrees: Any) -> Any:
    """The extension as it is in the person's profile; None where it is not."""
    found = manager.getDeployedExtensions("user", manager.createAbortChannel(), agrees)
    return next((one for one in found if one.getIdentifier().Value == IDENTIFIER), None)


def version(extension: Any) -> str | None:
    """Its version; None where there is none."""
    return None if extension is None else str(extension.getVersion())


def folder(extension: Any) -> str:
    """The name of the folder that the office keeps it in; empty where there is none."""
    return "" if extension is None else str(extension.getURL()).split("/")[-2]


def reason(fault: Any) -> str:
    """The innermost reason of a complaint of the office, in one line."""
    while getattr(getattr(fault, "Cause", None), "Message", ""):
        fault = fault.Cause
    return (getattr(fault, "Message", "") or str(fault)).strip().replace("\n", " ")


def agreement(uno: Any) -> Any:
    """Agrees to what the extension manager asks: whether to install at all, and over another version."""
    import unohelper
    from com.sun.star.task import XInteractionHandler
    from com.sun.star.ucb import XCommandEnvironment

    approve = uno.getTypeByName("com.sun.star.task.XInteractionApprove")

    class Agrees(unohelper.Base, XCommandEnvironment, XInteractionHandler):  # type: ignore[misc]
        def getInteractionHandler(self) -> Any:
            return self

        def getProgressHandler(self) -> Any:
            return None

        def handle(self, request: Any) -> None:
            for one in request.getContinuations():
                if one.queryInterface(approve):
                    one.select()
                    return

    return Agrees()


def terminate(context: Any, process: Any) -> None:
    """Close the office as a person does, so that it writes its settings."""
    with suppress(Exception):  # the bridge may go before the answer comes
        context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context).terminate()
    with suppress(subprocess.TimeoutExpired):
        process.wait(END_SECONDS)


def end(process: Any) -> None:
    """Stop what is still running of the office that was started here."""
    if process.poll() is None:
        try:
            if hasattr(os, "killpg"):
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()
        except OSError:
            pass
        process.wait()


if __name__ == "__main__":
    main()
