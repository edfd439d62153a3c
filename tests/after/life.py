"""The life of a shop: commands run one after the other, each held against what must be true whatever is asked for."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import count
from pathlib import Path
from random import Random
from typing import Any

from tests.after.rules import Rule, number
from tests.after.run import CODES, Left, Ran, left_in, run
from tests.after.shops import FIRST_DAY, Sheets, Shop, draw_shop
from tests.after.told import Choice, Known

LAST_DAY = date(2026, 11, 27)
LEDGER = "ledger.db"
EITHER = frozenset({0, 1})
DONE, REFUSED = frozenset({0}), frozenset({1})


@dataclass
class Difference:
    """Where the program and the second implementation say different things."""

    command: str
    words: str

    def __str__(self) -> str:
        return f"{self.words}\n    {self.command}"


class Life:
    """A shop, its ledger, and everything a careful onlooker knows about it."""

    def __init__(self, seed: int, folder: Path) -> None:
        random = Random(seed)
        self.shop: Shop = draw_shop(random, folder / "shop")
        self.aside = folder / "aside"
        self.day = FIRST_DAY
        self.rule = Rule(
            number(self.shop.setting("Call the customer when over percent")),
            number(self.shop.setting("Call the customer when over amount")),
            self.shop.setting("Call when over"),
            self.shop.setting("Call compares"),
        )
        self.jobs = {job.number: Known(job, self.rule) for job in self.shop.jobs}
        self.commands: list[str] = []
        self.wrong: list[Difference] = []
        self.orders: list[dict[str, Any]] = []
        self.orders_tried = 0
        self.came: dict[int, dict[int, int]] = {}
        """Packs that came in, by order and line."""
        self.moved: dict[str, Decimal] = {}
        """Units put on the shelf by hand, by part."""
        self.books: dict[Path, Sheets] = {}
        """The rows of each shop book that was put aside."""
        self.codes: dict[str, list[int]] = {}
        self._places = count(1)
        self._asides = count(1)
        self._costs_of_no: dict[Path, Decimal] = {}
        self._priced: dict[tuple[Path, str, tuple[str, ...]], Choice | None] = {}
        self.day = max(self.day, min(job.quoted for job in self.shop.jobs))

    @property
    def folder(self) -> Path:
        """Where the person stands."""
        return self.shop.folder

    @property
    def ledger(self) -> Path:
        """The ledger's file."""
        return self.folder / LEDGER

    def place(self) -> int:
        """The next place in the order of things."""
        return next(self._places)

    def a_job(self, random: Random, fits: Callable[[Known], object]) -> Known:
        """A job, mostly one that fits, where there is one."""
        known = list(self.jobs.values())
        fitting = [job for job in known if fits(job)]
        return random.choice(fitting if fitting and random.random() < 0.8 else known)

    def pass_days(self, days: int) -> None:
        """Time goes by, but not beyond the last day of the stories."""
        self.day = min(self.day + timedelta(days=days), LAST_DAY)

    def tell(self, *words: str, expect: frozenset[int] = EITHER, because: str = "", on: bool = True) -> Ran:
        """Run a command on the story's day, and look at everything it may not do."""
        more = ("--ledger", LEDGER, "--json", *(("--on", self.day.isoformat()) if on else ()))
        before = left_in(self.folder, self.ledger)
        ran = run(self.folder, *words, *more)
        self.commands.append(f"{ran.line}  -> {ran.code}")
        self.codes.setdefault(words[0], []).append(ran.code)
        self._look(ran, before, left_in(self.folder, self.ledger))
        if ran.code not in expect:
            told = "; ".join(problem["message"] for problem in ran.json.get("problems", ())) or ran.err[-300:]
            wanted = " or ".join(str(code) for code in sorted(expect))
            self.differ(ran, f"ended with {ran.code}, should be {wanted} ({because}): {told}")
        return ran

    def differ(self, ran: Ran, words: str) -> None:
        """Note a difference."""
        self.wrong.append(Difference(ran.line, words))

    def same(self, ran: Ran, what: str, told: Any, expected: Any) -> None:
        """Note a difference where two values are not equal."""
        if told != expected:
            self.differ(ran, f"{what}: program {told}, second implementation {expected}")

    def money(self, ran: Ran, what: str, expected: Decimal | None) -> None:
        """Hold an amount of the printed object against an expected one."""
        told = ran.json.get(what)
        if expected is None or told is None:
            self.same(ran, what, told, expected)
        elif not isinstance(told, str) or Decimal(told) != expected:
            self.differ(ran, f"{what}: program {told}, second implementation {expected}")

    def put_aside(self, job: Path) -> Path:
        """Copies of the shop book and a job as they are now."""
        folder = self.aside / str(next(self._asides))
        folder.mkdir(parents=True)
        shutil.copy(self.shop.book, folder / "book.xlsx")
        shutil.copy(job, folder / "job.xlsx")
        self.books[folder] = {name: [dict(row) for row in of] for name, of in self.shop.rows.items()}
        for photo in job.parent.glob("*.jpg"):
            shutil.copy(photo, folder)
        return folder

    def priced(self, aside: Path, tier: str, extras: tuple[str, ...]) -> Choice | None:
        """An option with extras of workbooks put aside, through `quotekit choice`; None where it is refused."""
        key = (aside, tier, extras)
        if key not in self._priced:
            added = [word for extra in extras for word in ("--extra", extra)]
            ran = run(aside, "choice", "book.xlsx", "job.xlsx", "--tier", tier, *added, "--json")
            self._priced[key] = Choice(tier, extras, ran.json) if ran.code == 0 else None
        return self._priced[key]

    def cost_of_no(self, aside: Path) -> Decimal:
        """What a no costs, from `quotekit quote` of workbooks put aside."""
        if aside not in self._costs_of_no:
            ran = run(aside, "quote", "book.xlsx", "job.xlsx", "--out", "papers", "--replace", "--json")
            self._costs_of_no[aside] = Decimal(ran.json["declined"]["total"])
        return self._costs_of_no[aside]

    def _look(self, ran: Ran, before: Left, after: Left) -> None:
        if ran.raised or "Traceback" in ran.err:
            self.differ(ran, f"traceback: {(ran.raised or ran.err)[-1500:]}")
        elif ran.code not in CODES:
            self.differ(ran, f"exit code {ran.code}")
        if ran.code != 0 and before != after:
            self.differ(ran, f"it failed and left something: {_changes(before, after)}")
        if after.entries[: len(before.entries)] != before.entries:
            self.differ(ran, "an entry that was there is another one now")
        gone = [name for name in before.files if after.files.get(name) != before.files[name]]
        if gone:
            self.differ(ran, f"a file that was there is gone or changed: {gone}")
        hidden = [name for name in after.files if any(part.startswith(".") for part in Path(name).parts)]
        if hidden:
            self.differ(ran, f"hidden leftovers: {hidden}")
        self._look_at_printed(ran)
        self._look_at_numbers(ran, after)
        if after.entries:
            checked = run(self.folder, "ledger", "check", "--ledger", LEDGER)
            if checked.code != 0:
                self.differ(ran, f"afterwards the ledger does not verify: {checked.err[-300:]}")

    def _look_at_printed(self, ran: Ran) -> None:
        floats: list[str] = []
        try:
            json.loads(ran.out, parse_float=floats.append)
        except ValueError:
            if ran.code in (0, 1):
                self.differ(ran, f"with --json it printed no JSON: {ran.out[:200]!r} {ran.err[-200:]!r}")
        if floats:
            self.differ(ran, f"numbers that are no decimal strings: {floats[:3]}")

    def _look_at_numbers(self, ran: Ran, after: Left) -> None:
        for kind in ("issued", "ordered", "billed"):
            numbers = [entry[4] for entry in after.entries if entry[1] == kind]
            if numbers != list(range(1, len(numbers) + 1)):
                self.differ(ran, f"numbers of {kind}: {numbers}")
        for job in {entry[2] for entry in after.entries if entry[1] == "issued"}:
            versions = [entry[3] for entry in after.entries if entry[1] == "issued" and entry[2] == job]
            if versions != list(range(1, len(versions) + 1)):
                self.differ(ran, f"versions of {job}: {versions}")
        places = [entry[0] for entry in after.entries]
        if places != list(range(1, len(places) + 1)):
            self.differ(ran, f"entries are numbered {places}")


def _changes(before: Left, after: Left) -> str:
    files = sorted(set(before.files.items()) ^ set(after.files.items()))
    entries = after.entries[len(before.entries) :]
    return f"files {[name for name, _ in files][:4]}, entries {[entry[1] for entry in entries]}"
