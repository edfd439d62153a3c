"""A page opened in headless Chromium from a file, as from a mail: no network, a console and a log that are read."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from selenium.webdriver import Chrome
    from selenium.webdriver.remote.webelement import WebElement

DESKTOP, PHONE, SMALL_PHONE = (1280, 800), (390, 844), (320, 640)
"""Width and height in CSS pixels; the last is also a desktop of 1280 pixels at 400 % zoom."""
ZOOMED = (640, 400)
"""The desktop at 200 %."""
CLOSED_PORT = "127.0.0.1:9"

_CHOOSE = """
const [option, ticked] = arguments;
document.querySelectorAll("#options input")[option].click();
for (const box of document.querySelectorAll("#extras input"))
  if (!box.disabled && box.checked !== ticked.includes(Number(box.value))) box.click();
"""
_FIGURES = """
return Object.fromEntries([...document.querySelectorAll("[data-figure]")].map(
  cell => [cell.dataset.figure, [cell.textContent, cell.offsetParent !== null]]));
"""


class Browser:
    """One Chromium for many pages."""

    def __init__(self, driver: Chrome) -> None:
        self.driver = driver

    def open(self, path: Path, size: tuple[int, int] = DESKTOP, *, scripts: bool = True) -> None:
        """Load a file at a size; the logs begin anew."""
        width, height = size
        self.command("Emulation.setScriptExecutionDisabled", value=not scripts)
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500}
        self.command("Emulation.setDeviceMetricsOverride", **metrics)
        still = [{"name": "prefers-reduced-motion", "value": "reduce"}]
        self.command("Emulation.setEmulatedMedia", features=still)
        self.driver.get("about:blank")
        for log in ("browser", "performance"):
            self.driver.get_log(log)
        self.driver.get(path.resolve().as_uri())

    def command(self, name: str, **values: Any) -> Any:
        """A command of the DevTools protocol."""
        return self.driver.execute_cdp_cmd(name, values)

    def run(self, script: str, *values: Any) -> Any:
        """The result of a script in the page."""
        return self.driver.execute_script(script, *values)

    def choose(self, option: int, ticked: list[int] | None = None) -> None:
        """Click an option, and boxes until exactly these are ticked, where they can be."""
        self.run(_CHOOSE, option, ticked or [])

    def figures(self) -> dict[str, str]:
        """The figures of the choice as shown."""
        return {name: shown for name, (shown, _) in self.run(_FIGURES).items()}

    def visible_figures(self) -> set[str]:
        """The names of the figures that are in sight."""
        return {name for name, (_, visible) in self.run(_FIGURES).items() if visible}

    def text(self, selector: str) -> str:
        """The text of an element, hidden or not."""
        content = self.element(selector).get_property("textContent")
        assert isinstance(content, str)
        return content

    def element(self, selector: str) -> WebElement:
        """One element by its CSS selector."""
        return self.driver.find_element("css selector", selector)

    def click(self, selector: str) -> None:
        """Click an element in the middle of the window, as whoever scrolls to it does."""
        element = self.element(selector)
        self.run("arguments[0].scrollIntoView({block: 'center', behavior: 'instant'})", element)
        element.click()

    def reply(self) -> str:
        """The reply as it stands on the page."""
        value = self.element("#reply").get_property("value")
        assert isinstance(value, str)
        return value

    def complaints(self) -> list[str]:
        """What the console says, errors and warnings alike."""
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def requests(self) -> list[str]:
        """Every address asked for since the page was opened, but the page itself and pictures that are in it."""
        events = (json.loads(entry["message"])["message"] for entry in self.driver.get_log("performance"))
        asked = [
            event["params"]["request"]["url"] for event in events if event["method"] == "Network.requestWillBeSent"
        ]
        return [address for address in asked if not address.startswith(("data:", "about:"))][1:]

    def overflow(self) -> int:
        """By how many pixels the page is wider than its window."""
        wide = self.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert isinstance(wide, int)
        return wide


@contextmanager
def running_browser(chromium: str, driver: str, folder: Path) -> Iterator[Browser]:
    """A browser with a profile of its own that can reach nothing."""
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for argument in (
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        "--disable-background-networking",
        "--disable-component-update",
        "--no-first-run",
        f"--user-data-dir={folder / 'profile'}",
        f"--proxy-server={CLOSED_PORT}",
        "--host-resolver-rules=MAP * ~NOTFOUND",
    ):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    chrome = webdriver.Chrome(options=options, service=Service(driver))
    try:
        chrome.set_script_timeout(60)
        yield Browser(chrome)
    finally:
        chrome.quit()
