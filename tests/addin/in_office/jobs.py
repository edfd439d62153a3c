"""Jobs priced in a real office without a window: `jobs.py EXTENSION FOLDER FLAG`, prints one JSON object.

FOLDER holds the demo as written. What each part finds is printed; whether it is right is for the test that began it.
"""

from __future__ import annotations

import json
import shutil
import sys
import time
import traceback
from pathlib import Path

from hands import Hands, settled
from office import Office, values

JOB = "2611-01 snow thrower, worn bushings"
KINDS = {"xlsx": "Calc MS Excel 2007 XML", "ods": "calc8", "xls": "MS Excel 97", "xlsm": "Calc MS Excel 2007 VBA XML"}
HEADERS = ("Finding", "Side", "Measured", "Unit", "Limit", "As new", "Limit source", "Severity", "Note", "Photo")
PRICED, ASKED, NOTED = "Job 2611-01, version 1", "Price this job", "Put a finding in "


class Parts:
    """What was done in one office, each part in a folder of its own."""

    def __init__(self, office: Office, folder: Path, flag: Path) -> None:
        self.office, self.folder, self.flag = office, folder, flag

    def fresh(self, name: str) -> Path:
        """A folder with the shop book and one job."""
        there = self.folder / name
        there.mkdir()
        for file in ("shop book.xlsx", f"{JOB}.xlsx", "2611-01 bushing left.jpg"):
            shutil.copy2(self.folder / "demo" / file, there / file)
        return there

    def priced(self, document) -> list[str]:
        """Price it; what the window says."""
        self.office.choose(document, "price")
        window = Hands(self.office, PRICED)
        said = texts(window)
        window.press("Close")
        window.wait_closed()
        return said

    def opened(self, path: Path):
        for document in documents(self.office):
            if document.getURL() == path.as_uri():
                return document
        return None

    def close_all(self) -> None:
        for document in documents(self.office):
            document.setModified(False)
            document.close(True)
        settled()

    def as_saved(self) -> dict:
        there = self.fresh("as saved")
        job = self.office.open(there / f"{JOB}.xlsx")
        said = self.priced(job)
        return {
            "said": said,
            "quote is open": self.opened(there / "2611-01-1 quote.xlsx") is not None,
            "job modified": job.isModified(),
            "undo": job.getUndoManager().isUndoPossible(),
        }

    def unsaved(self) -> dict:
        there = self.fresh("unsaved")
        before = (there / f"{JOB}.xlsx").read_bytes()
        job = self.office.open(there / f"{JOB}.xlsx")
        sheet = job.Sheets.getByName("Findings")
        sheet.getCellByPosition(0, len(rows(sheet))).setString("FUEL-STALE")
        said = self.priced(job)
        saved = self.folder / "unsaved, saved"
        saved.mkdir()
        for file in ("shop book.xlsx", "2611-01 bushing left.jpg"):
            shutil.copy2(there / file, saved / file)
        job.storeToURL((saved / f"{JOB}.xlsx").as_uri(), values(FilterName=KINDS["xlsx"]))
        same = (there / f"{JOB}.xlsx").read_bytes() == before
        return {"said": said, "still unsaved": job.isModified(), "file untouched": same}

    def xls(self) -> dict:
        """Of an old kind: what is open can be priced, a closed shop book of it is not looked for."""
        there = self.fresh("xls")
        for name in (JOB, "shop book"):
            document = self.office.open(there / f"{name}.xlsx", hidden=True)
            document.storeToURL((there / f"{name}.xls").as_uri(), values(FilterName=KINDS["xls"]))
            document.close(True)
            (there / f"{name}.xlsx").unlink()
        self.office.open(there / "shop book.xls")
        job = self.office.open(there / f"{JOB}.xls")
        return {"said": self.priced(job)}

    def earlier(self) -> dict:
        there = self.fresh("earlier")
        job = self.office.open(there / f"{JOB}.xlsx")
        self.priced(job)
        quote = self.opened(there / "2611-01-1 quote.xlsx")
        quote.CurrentController.Frame.ContainerWindow.setPosSize(40, 50, 600, 400, 15)
        before = (there / "2611-01-1 quote.xlsx").read_bytes()
        self.office.choose(job, "price")
        window = Hands(self.office, ASKED)
        found = {"asked": texts(window)}
        window.press("Cancel")
        window.wait_closed()
        found["kept"] = (there / "2611-01-1 quote.xlsx").read_bytes() == before
        found["still open"] = self.opened(there / "2611-01-1 quote.xlsx") is not None
        quote.Sheets.getByIndex(0).getCellByPosition(0, 0).setString("mine")
        self.office.choose(job, "price")
        window = Hands(self.office, ASKED)
        found["asked of changes"] = texts(window)
        window.press("Write over")
        again = Hands(self.office, PRICED)
        again.press("Close")
        opened = self.opened(there / "2611-01-1 quote.xlsx")
        at = opened.CurrentController.Frame.ContainerWindow.getPosSize()
        found["place"] = [at.X, at.Y, at.Width, at.Height]
        found["first cell"] = opened.Sheets.getByIndex(0).getCellByPosition(0, 0).getString()
        self.office.choose(job, "price")
        window = Hands(self.office, ASKED)
        window.tick("Don't ask again for this version until the office ends")
        window.press("Write over")
        Hands(self.office, PRICED).press("Close")
        settled(1)
        self.office.choose(job, "price")
        Hands(self.office, PRICED).press("Close")
        return found

    def elsewhere(self) -> dict:
        there = self.fresh("elsewhere")
        (there / "~$2611-01-1 quote.xlsx").write_bytes(b"")
        job = self.office.open(there / f"{JOB}.xlsx")
        self.office.choose(job, "price")
        window = Hands(self.office, ASKED)
        said = texts(window)
        window.press("Close")
        return {"said": said, "files": files(there)}

    def many_problems(self) -> dict:
        there = self.fresh("problems")
        job = self.office.open(there / f"{JOB}.xlsx")
        sheet = job.Sheets.getByName("Findings")
        for row in range(10, 60):
            sheet.getCellByPosition(0, row).setString(f"NO-SUCH-{row}")
        self.office.choose(job, "price")
        window = Hands(self.office, f"Problems: {JOB}.xlsx")
        said = texts(window)
        window.press("Close")
        return {"said": said, "files": files(there)}

    def finding(self) -> dict:
        there = self.fresh("finding")
        job = self.office.open(there / f"{JOB}.xlsx")
        sheet = job.Sheets.getByName("Findings")
        before = rows(sheet)
        self.office.choose(job, "finding")
        window = Hands(self.office, f"{NOTED}{JOB}.xlsx")
        found = {"window": texts(window)}
        window.type("Filter", "belt cracked")
        settled(0.5)
        found["filtered"] = texts(window)
        window.type("Filter", "gears")
        settled(0.5)
        for measured in ("0.5", "0.6", "600", "3/4"):
            window.type("Measured", measured)
            settled(1.0)
            found[f"measured {measured}"] = texts(window)
        window.type("Measured", "0.6")
        window.type("Note", "=1+1")
        window.press("Put in the job")
        settled(1.5)
        found["put"] = [row for row in rows(sheet) if row not in before]
        found["modified"], found["steps"] = job.isModified(), list(job.getUndoManager().getAllUndoActionTitles())
        row = len(before)
        found["types"] = [sheet.getCellByPosition(column(sheet, one), row).Type.value for one in HEADERS[:9]]
        job.getUndoManager().undo()
        found["undone"] = rows(sheet) == before and not job.getUndoManager().isUndoPossible()
        job.getUndoManager().redo()
        found["redone"] = [one for one in rows(sheet) if one not in before] == found["put"]
        window.press("Close")
        found["priced"] = self.priced(job)
        saved = self.folder / "finding, saved"
        saved.mkdir()
        for file in ("shop book.xlsx", "2611-01 bushing left.jpg"):
            shutil.copy2(there / file, saved / file)
        job.storeToURL((saved / f"{JOB}.xlsx").as_uri(), values(FilterName=KINDS["xlsx"]))
        return found

    def other_finding(self) -> dict:
        """From a selected row of the shop book, into the job that is open."""
        there = self.fresh("other finding")
        job = self.office.open(there / f"{JOB}.xlsx")
        sheet = job.Sheets.getByName("Findings")
        before = rows(sheet)
        book = self.office.open(there / "shop book.xlsx")
        findings = book.Sheets.getByName("Findings")
        book.CurrentController.setActiveSheet(findings)
        codes = [findings.getCellByPosition(0, row).getString() for row in range(40)]
        book.CurrentController.select(findings.getCellByPosition(1, codes.index("SHEAR-WRONG")))
        self.office.choose(book, "finding")
        window = Hands(self.office, f"{NOTED}{JOB}.xlsx")
        settled(0.5)
        found = {"picked": texts(window)}
        window.press("Put in the job")
        self.office.wait_for(lambda: any(words.startswith("Look next") for words in texts(window)))
        found["next"] = texts(window)
        window.press("Put in the job")
        settled(1)
        found["twice"] = texts(window)
        Hands(self.office, f"{NOTED}{JOB}.xlsx").press("Take it")
        settled(1)
        found["taken"] = texts(window)
        found["put"] = [row for row in rows(sheet) if row not in before]
        window.press("Close")
        return found

    def returned(self) -> dict:
        there = self.fresh("returned")
        job = self.office.open(there / f"{JOB}.xlsx")
        self.priced(job)
        sent = self.opened(there / "2611-01-1 quote.xlsx")
        sent.close(True)
        mail = self.folder / "mail"
        mail.mkdir()
        back = mail / "2611-01-1 quote (2).xlsx"
        shutil.copy2(there / "2611-01-1 quote.xlsx", back)
        quote = self.office.open(back)
        choice = area(quote, "chosen_tier")
        choice.setString(options(quote)[1])
        found = {}
        self.office.choose(quote, "returned")
        window = Hands(self.office, "A returned quote")
        found["unsaved"] = texts(window)
        window.press("Close")
        quote.store()
        quote.close(True)
        quote = self.office.open(back, ReadOnly=True)
        self.office.choose(quote, "returned")
        window = Hands(self.office, "A returned quote")
        found["saved"] = texts(window)
        window.press("Price the choice")
        amounts = Hands(self.office, "The choice of job 2611-01")
        found["amounts"] = texts(amounts)
        amounts.press("Close")
        window.press("Close")
        quote.close(True)
        quote = self.office.open(back)
        quote.Sheets.getByIndex(0).getCellByPosition(0, 0).setString("Another shop")
        quote.store()
        self.office.choose(quote, "returned")
        window = Hands(self.office, "A returned quote")
        found["changed"] = texts(window)
        window.press("Close")
        return found

    def read_only(self) -> dict:
        there = self.fresh("read only")
        job = self.office.open(there / f"{JOB}.xlsx", ReadOnly=True)
        found = {"said": self.priced(job)}
        self.office.choose(job, "finding")
        window = Hands(self.office, "Put a finding in the job")
        found["finding"] = texts(window)
        window.press("Close")
        return found

    def costing(self) -> dict:
        there = self.fresh("costing")
        job = self.office.open(there / f"{JOB}.xlsx")
        self.office.choose(job, "costing")
        window = Hands(self.office, "Open the costing")
        found = {"none": texts(window)}
        window.press("Price this job")
        Hands(self.office, PRICED).press("Close")
        self.office.choose(job, "costing")
        self.office.wait_for(lambda: self.opened(there / "2611-01-1 costing.xlsx"))
        self.opened(there / "2611-01-1 costing.xlsx").close(True)
        measured(job).setValue(0.9)
        settled(1.1)
        job.store()
        measured(job).setValue(0.91)
        self.office.choose(job, "costing")
        window = Hands(self.office, "Open the costing")
        found["older"] = texts(window)
        window.press("Open it as it is")
        self.office.wait_for(lambda: self.opened(there / "2611-01-1 costing.xlsx"))
        return found

    def ods(self) -> dict:
        """Job and shop book of the office's own kind, each with a macro that runs when it is opened, if macros run."""
        there = self.fresh("ods")
        ran = self.folder / "ran.txt"
        for name in (JOB, "shop book"):
            document = self.office.open(there / f"{name}.xlsx", hidden=True)
            with_macro(document, ran)
            document.storeToURL((there / f"{name}.ods").as_uri(), values(FilterName=KINDS["ods"]))
            document.close(True)
            (there / f"{name}.xlsx").unlink()
        job = self.office.open(there / f"{JOB}.ods", MacroExecutionMode=0)
        found = {"said": self.priced(job), "ran": ran.exists(), "left open": sorted(names(self.office))}
        self.close_all()
        self.office.open(there / f"{JOB}.ods", MacroExecutionMode=4)
        settled(1)
        found["would run"] = ran.exists()
        return found

    def xlsm(self) -> dict:
        """With macros in the other programs' way; then a sheet that is protected."""
        there = self.fresh("xlsm")
        job = self.office.open(there / f"{JOB}.xlsx", hidden=True)
        with_macro(job, there / "ran.txt")
        job.storeToURL((there / f"{JOB}.xlsm").as_uri(), values(FilterName=KINDS["xlsm"]))
        job.close(True)
        (there / f"{JOB}.xlsx").unlink()
        job = self.office.open(there / f"{JOB}.xlsm")
        found = {"said": self.priced(job), "ran": (there / "ran.txt").exists()}
        sheet = job.Sheets.getByName("Findings")
        before = rows(sheet)
        sheet.protect("")
        self.office.choose(job, "finding")
        window = Hands(self.office, f"{NOTED}{JOB}.xlsm")
        window.type("Filter", "gears")
        settled(0.5)
        window.press("Put in the job")
        told = Hands(self.office, "quotekit")
        found["protected"] = texts(told)
        found["unchanged"] = rows(sheet) == before
        told.press("Close")
        window.press("Close")
        return found

    def stopped(self) -> dict:
        there = self.fresh("stopped")
        job = self.office.open(there / f"{JOB}.xlsx")
        self.flag.write_text("wait", encoding="utf-8")
        self.office.choose(job, "price")
        self.office.wait_for(lambda: self.flag.with_suffix(".staged").exists())
        window = Hands(self.office, "quotekit is working")
        found = {"while": texts(window)}
        window.press("Stop")
        window.wait_closed()
        self.flag.unlink()
        found["files"] = files(there)
        found["priced"] = self.priced(job)
        found["files after"] = files(there)
        return found

    def formula(self) -> dict:
        """A formula that no program has worked out yet: on the screen it is, in the file it is not."""
        there = self.fresh("formula")
        shutil.copy2(self.folder / "with a formula.xlsx", there / f"{JOB}.xlsx")
        job = self.office.open(there / f"{JOB}.xlsx")
        return {"said": self.priced(job), "measured": measured(job).getFormula()}

    def never_saved(self) -> dict:
        there = self.fresh("never saved")
        job = self.office.open(there / f"{JOB}.xlsx", AsTemplate=True)
        self.office.choose(job, "price")
        window = Hands(self.office, ASKED)
        said = texts(window)
        window.press("Close")
        return {"said": said}

    def two_books(self) -> dict:
        there = self.fresh("two books")
        shutil.copy2(there / "shop book.xlsx", there / "another book.xlsx")
        job = self.office.open(there / f"{JOB}.xlsx")
        self.office.choose(job, "price")
        window = Hands(self.office, "Which shop book?")
        found = {"asked": texts(window)}
        window.press("Use this one")
        priced = Hands(self.office, PRICED)
        found["said"] = texts(priced)
        priced.press("Close")
        self.office.choose(job, "price")
        again = Hands(self.office, ASKED)
        found["not asked again"] = texts(again)
        again.press("Cancel")
        (there / "another book.xlsx").unlink()
        (there / "shop book.xlsx").unlink()
        return found

    def no_book(self) -> dict:
        there = self.fresh("no book")
        (there / "shop book.xlsx").unlink()
        job = self.office.open(there / f"{JOB}.xlsx")
        self.office.choose(job, "price")
        window = Hands(self.office, "No shop book")
        said = texts(window)
        window.press("Cancel")
        return {"said": said}


PARTS = (
    "as_saved", "unsaved", "earlier", "elsewhere", "many_problems", "finding", "other_finding", "returned",
    "read_only", "costing", "ods", "xls", "xlsm", "stopped", "formula", "never_saved", "two_books", "no_book",
)  # fmt: skip


def main() -> None:
    """Every part, one after the other; a part that fails says how."""
    extension, folder, flag = (Path(word) for word in sys.argv[1:4])
    wanted = sys.argv[4:]
    found, seconds = {}, {}
    with Office(folder / "profile", extension=extension) as office:
        parts = Parts(office, folder, flag)
        for name in wanted or PARTS:
            start = time.monotonic()
            try:
                found[name] = getattr(parts, name)()
            except (Exception, SystemExit) as fault:
                where = traceback.format_exc()[-900:]
                found[name] = {"failed": f"{fault!r:.600}", "where": where, "windows": dialogs(office)}
            seconds[name] = round(time.monotonic() - start, 1)
            close_windows(office)
            parts.close_all()
    print(json.dumps({**found, "seconds": seconds}))


def documents(office: Office) -> list:
    listed = office.desktop.getComponents().createEnumeration()
    found = []
    while listed.hasMoreElements():
        one = listed.nextElement()
        if hasattr(one, "Sheets"):
            found.append(one)
    return found


def names(office: Office) -> list[str]:
    return [document.getTitle() for document in documents(office)]


def texts(window: Hands) -> list[str]:
    """What can be read in a window: its texts, labels, the lines of its lists."""
    found = []
    for context in _within(window.context):
        name = context.getAccessibleName()
        if name:
            found.append(name)
        if hasattr(context, "getText") and not hasattr(context, "doAccessibleAction"):
            text = context.getText()
            if text and text != name:
                found.append(text)
    return found


def _within(context, deep: int = 0):
    for number in range(min(context.getAccessibleChildCount(), 200) if deep < 12 else 0):
        try:
            child = context.getAccessibleChild(number).getAccessibleContext()
        except Exception:
            continue
        yield child
        yield from _within(child, deep + 1)


def dialogs(office: Office) -> list[str]:
    toolkit = office.make("com.sun.star.awt.Toolkit")
    found = []
    for number in range(toolkit.getTopWindowCount()):
        top = toolkit.getTopWindow(number)
        context = top.getAccessibleContext() if top is not None else None
        if context is not None and not context.getAccessibleName().endswith("LibreOffice Calc"):
            found.append(context.getAccessibleName())
    return found


def close_windows(office: Office) -> None:
    for title in dialogs(office):
        for label in ("Close", "Cancel", "Stop"):
            try:
                Hands(office, title, seconds=0.3).press(label)
                break
            except (Exception, SystemExit):
                continue


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if not path.name.startswith(".~lock"))


def rows(sheet) -> list[list]:
    """What stands in the columns of the findings, row by row; columns of the owner's own are left out."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    data = sheet.getCellRangeByPosition(0, 0, 19, cursor.RangeAddress.EndRow).getDataArray()
    at = [column(sheet, header) for header in HEADERS]
    found = [[row[number] for number in at] for row in data]
    while found and not any(value != "" for value in found[-1]):
        found.pop()
    return found


def column(sheet, header: str) -> int:
    """Where a column stands, by its header."""
    data = sheet.getCellRangeByPosition(0, 0, 19, 9).getDataArray()
    return next(row.index(header) for row in data if header in row)


def measured(job):
    """The cell of the first measurement."""
    sheet = job.Sheets.getByName("Findings")
    return sheet.getCellByPosition(column(sheet, "Measured"), 2)


def area(document, name: str):
    return document.NamedRanges.getByName(name).getReferredCells()


def options(document) -> list[str]:
    """What the drop-down of the choice holds."""
    return [row[1] for row in area(document, "offered_options").getDataArray()]


def with_macro(document, ran: Path) -> None:
    """A macro of the document's own that runs when it is opened, where macros run."""
    basic = document.BasicLibraries
    if not basic.hasByName("Standard"):
        basic.createLibrary("Standard")
    code = f'Sub Opened\n n = FreeFile\n Open "{ran}" For Output As #n\n Print #n, "ran"\n Close #n\nEnd Sub\n'
    basic.getByName("Standard").insertByName("Module1", code)
    url = "vnd.sun.star.script:Standard.Module1.Opened?language=Basic&location=document"
    import uno

    event = uno.Any("[]com.sun.star.beans.PropertyValue", values(EventType="Script", Script=url))
    uno.invoke(document.getEvents(), "replaceByName", ("OnLoad", event))


if __name__ == "__main__":
    main()
