"""How long from the click to the open quote: `timed.py EXTENSION FOLDER TIMES`, prints seconds as JSON.

FOLDER holds a shop book and a job as the demo writes them. The first click starts the engine; the others find it warm.
"""

from __future__ import annotations

import json
import shutil
import sys
import time
from pathlib import Path

from hands import Hands
from office import Office

JOB, QUOTE, TITLE = "2611-01 snow thrower, worn bushings.xlsx", "2611-01-1 quote.xlsx", "Job 2611-01, version 1"


def main() -> None:
    """One cold click, then as many warm ones as asked for."""
    extension, folder, times = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
    profile = folder.parent / "timed profile"
    shutil.rmtree(profile, ignore_errors=True)
    with Office(profile, extension=extension) as office:
        job = office.open(folder / JOB)
        found = {"cold": clicked(office, job, folder)}
        found["warm"] = [clicked(office, job, folder) for _ in range(times)]
        job.getCurrentController().getActiveSheet().getCellByPosition(9, 40).setString("unsaved")
        found["unsaved"] = [clicked(office, job, folder) for _ in range(times)]
        job.setModified(False)
    print(json.dumps(found))


def clicked(office: Office, job, folder: Path) -> float:
    """From the click until the quote is open; then all is as before."""
    wanted = (folder / QUOTE).as_uri()
    start = time.perf_counter()
    office.choose(job, "price")
    while not any(one.getURL() == wanted for one in documents(office)):
        time.sleep(0.02)
        if time.perf_counter() - start > 120:
            raise SystemExit("no quote came")
    taken = time.perf_counter() - start
    Hands(office, TITLE).press("Close")
    next(one for one in documents(office) if one.getURL() == wanted).close(True)
    for path in folder.glob("2611-01-1 *"):
        path.unlink()
    time.sleep(0.5)
    return taken


def documents(office: Office) -> list:
    listed = office.desktop.getComponents().createEnumeration()
    found = []
    while listed.hasMoreElements():
        found.append(listed.nextElement())
    return found


if __name__ == "__main__":
    main()
