"""Measures of the customer's page: its size, the time to lay it out, to be ready, and to follow a choice.

    python tests/bench/bench_page.py

On this machine's Chromium at the size of a phone, with the processor as it is and slowed down six times.
"""

from __future__ import annotations

import shutil
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from quotekit.documents.page_layout import lay_out_page
from quotekit.pricing import build_quote
from tests.browser.open_page import PHONE, Browser, running_browser
from tests.browser.pages import CHECK, example
from tests.many_extras import job_with_extras

_READY = "const [page] = performance.getEntriesByType('navigation'); return page.domInteractive"
_FOLLOW = """
const radio = document.querySelector("#options input"), start = performance.now();
radio.click();
document.body.offsetHeight;
return performance.now() - start;
"""


def main() -> None:
    """A row for the worked example and for 1, 10 and 40 extras."""
    quotes = {"worked example": example()[2]}
    quotes |= {f"{count} extras": build_quote(*job_with_extras(count)) for count in (1, 10, 40)}
    with TemporaryDirectory() as folder:
        chromium, driver = shutil.which("chromium"), shutil.which("chromedriver")
        assert chromium and driver, "chromium and chromedriver are needed"
        with running_browser(chromium, driver, Path(folder)) as browser:
            heads = "".join(f"{head:>9}" for head in ("laid out", "ready", "slowed", "choice", "slowed"))
            print(f"{'':16}{'kB':>8}{heads}   in ms, but for the size")
            for name, quote in quotes.items():
                start = time.perf_counter()
                html = lay_out_page(quote, CHECK).encode("utf-8")
                taken = (time.perf_counter() - start) * 1000
                path = Path(folder) / "quote.html"
                path.write_bytes(html)
                (ready, follow), (slow_ready, slow_follow) = (_times(browser, path, slower) for slower in (1, 6))
                times = (taken, ready, slow_ready, follow, slow_follow)
                print(f"{name:16}{len(html) / 1000:8.1f}{times[0]:9.0f}" + "".join(f"{ms:9.0f}" for ms in times[1:]))


def _times(browser: Browser, path: Path, slower: int) -> tuple[float, float]:
    """Milliseconds until the page can be used, and until a choice is shown; the middle one of five."""
    ready, follow = [], []
    for _ in range(5):
        browser.command("Emulation.setCPUThrottlingRate", rate=slower)
        browser.open(path, PHONE)
        ready.append(browser.run(_READY))
        follow.append(browser.run(_FOLLOW))
    browser.command("Emulation.setCPUThrottlingRate", rate=1)
    return sorted(ready)[2], sorted(follow)[2]


if __name__ == "__main__":
    main()
