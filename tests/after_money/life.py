"""One job from its quote to its last bill, told command by command, with an onlooker who writes down every amount.

What a choice comes to is what `quotekit choice` says of copies of the workbooks made when they were issued (the second
implementation of the quote holds that); what a bill must come to is worked out in fractions (`tests/pricing/bill/
second`). Everything else, what is authorised, needed, owed, paid, given back and in force, is the onlooker's own.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import shutil
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import openpyxl

from quotekit.cli.main import main
from quotekit.model.agreed import Agreed
from quotekit.money import minor_digits
from quotekit.pricing.agreed import agreed_of
from quotekit.pricing.choice import price_choice
from tests.after.working import _cells
from tests.after_money.shops import BOOK, JOB, QUOTED, Shop, change, draw_shop, read
from tests.pricing.bill.second import Happened, SecondBill, SecondBiller, no_bill
from tests.workbook.records_as_workbooks import write_job

ZERO = Decimal(0)


@dataclass
class Version:
    """An issued version as the onlooker knows it."""

    number: int
    aside: Path
    at: int
    typed: Decimal
    valid_until: date
    change: tuple[str, tuple[str, ...]] | None = None
    needs: bool = False
    figures: dict[str, Any] = field(default_factory=dict)


@dataclass
class Yes:
    """A yes, with what it came to."""

    version: int
    tier: str
    extras: tuple[str, ...]
    at: int
    subtotal: Decimal
    total: Decimal
    limit: Decimal | None


@dataclass
class Closing:
    """The work as it was told at the end."""

    at: int
    not_done: tuple[str, ...] = ()
    used: dict[str, Decimal] = field(default_factory=dict)
    cores: dict[str, Decimal] = field(default_factory=dict)


class Differs(Exception):
    """The program and the onlooker say different things."""


class Money:
    """The life of one job."""

    def __init__(self, seed: int, folder: Path, ledger: str, number: str) -> None:
        self.random, self.seed, self.ledger = Random(f"life {seed}"), seed, ledger
        shop = draw_shop(seed, folder / "shop", number)
        self.shop: Shop | None = shop
        self.folder, self.number = folder / "shop", number
        self.day, self.at = QUOTED, 0
        self.told: list[str] = []
        self.seen: Counter[str] = Counter()
        self.versions: list[Version] = []
        self.yeses: list[Yes] = []
        self.nos: list[tuple[int | None, int]] = []
        self.paid: list[Decimal] = []
        self.closing: Closing | None = None
        self.bills: list[dict[str, Any]] = []
        self.second: list[SecondBill] = []
        self.cores: dict[str, Decimal] = {}
        self.charged: Fraction | None = None
        self.first = ""

    # --- running

    def run(self, *words: str, expect: tuple[int, ...] = (0,), on: bool = True) -> dict[str, Any]:
        """A command of this job's shop; what it printed."""
        more = ["--ledger", self.ledger, "--json", *(["--on", self.day.isoformat()] if on else [])]
        out, err, before = io.StringIO(), io.StringIO(), Path.cwd()
        os.chdir(self.folder)
        try:
            with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
                code = main([*words, *more])
        except SystemExit as ended:
            code = ended.code if isinstance(ended.code, int) else 2
        finally:
            os.chdir(before)
        self.told.append(f"[{self.day}] quotekit {' '.join(words)} -> {code}")
        self.seen[f"{words[0]} {code}"] += 1
        if code not in expect:
            raise Differs(f"ended with {code}, not {expect}: {out.getvalue()[-1500:]} {err.getvalue()[-1500:]}")
        return json.loads(out.getvalue()) if out.getvalue().strip() else {}

    def same(self, what: str, program: Any, onlooker: Any) -> None:
        """Both must say the same."""
        if program != onlooker:
            raise Differs(f"{what}: program {program}, onlooker {onlooker}")

    def money(self, what: str, told: Any, onlooker: Decimal | Fraction) -> None:
        """An amount of the JSON: a string with the currency's digits."""
        if not isinstance(told, str) or len(told.partition(".")[2]) != self.digits:
            raise Differs(f"{what}: {told!r} is no amount with {self.digits} digits")
        self.same(what, Fraction(told), Fraction(onlooker))

    @property
    def digits(self) -> int:
        """Of the currency."""
        assert self.shop is not None
        return minor_digits(self.shop.book.settings.currency)

    def place(self) -> int:
        """The next place in the order of things."""
        self.at += 1
        return self.at

    # --- what is known

    @property
    def paid_so_far(self) -> Decimal:
        """Money taken, and what the last version says was paid."""
        return sum(self.paid, self.versions[-1].typed if self.versions else ZERO)

    def last_yes(self) -> Yes | None:
        """The last yes unless it was taken back."""
        if not self.yeses:
            return None
        yes = self.yeses[-1]
        return None if any(at > yes.at and of in (None, yes.version) for of, at in self.nos) else yes

    def pending(self) -> Version | None:
        """The change that waits."""
        last = self.versions[-1]
        if not (last.change and last.needs):
            return None
        answered = any(yes.version == last.number and yes.at > last.at for yes in self.yeses)
        refused = any(of in (None, last.number) and at > last.at for of, at in self.nos)
        return None if answered or refused else last

    def in_force(self) -> tuple[Version, str, tuple[str, ...]] | None:
        """Version, option and extras to be done."""
        yes = self.last_yes()
        if yes is None:
            return None
        for version in reversed(self.versions):
            if version.at < yes.at:
                break
            refused = any(of in (None, version.number) and at > version.at for of, at in self.nos)
            if version.change and not version.needs and not refused:
                return version, *version.change
        return self.versions[yes.version - 1], yes.tier, yes.extras

    def choice(self, version: Version, tier: str, extras: tuple[str, ...]) -> dict[str, Any] | None:
        """What an option with extras comes to, from the workbooks put aside."""
        out = io.StringIO()
        words = [word for extra in extras for word in ("--extra", extra)]
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
            code = main(
                ["choice", str(version.aside / BOOK), str(version.aside / JOB), "--tier", tier, *words, "--json"]
            )
        return json.loads(out.getvalue()) if code == 0 else None

    def threshold(self, authorised: Decimal) -> Fraction:
        """How far an amount may rise: the words of the setting."""
        assert self.shop is not None
        settings = self.shop.book.settings
        both = (
            Fraction(settings.call_when_over_percent) * Fraction(authorised),
            Fraction(settings.call_when_over_amount),
        )
        return max(both) if settings.call_when_over == "the greater" else min(both)

    def of_rule(self, subtotal: Decimal, total: Decimal) -> Decimal:
        """The amount the rule compares."""
        assert self.shop is not None
        return total if self.shop.book.settings.call_compares == "with tax" else subtotal

    def put_aside(self) -> Path:
        """Copies of both workbooks as they are."""
        aside = self.folder.parent / f"aside {len(self.versions) + 1}"
        if aside.exists():
            shutil.rmtree(aside)
        aside.mkdir()
        for name in (BOOK, JOB):
            shutil.copy(self.folder / name, aside / name)
        return aside

    # --- steps

    def live(self, steps: int) -> None:
        """Issue, then what mostly comes next, now and then something else."""
        if self.random.random() < 0.3:
            self.issue_first()
        if not self.issue():
            return
        for _ in range(steps):
            self.day = min(self.day + timedelta(days=self.random.choice((0, 0, 1, 4, 9))), date(2026, 11, 1))
            getattr(self, self._next())()
        self.end()

    def _next(self) -> str:
        r = self.random.random()
        if self.last_yes() is None:
            return "accept" if r < 0.75 else "decline" if r < 0.83 else "pay" if r < 0.93 else "bill"
        if self.pending() is not None:
            return "accept" if r < 0.5 else "decline" if r < 0.8 else "bill" if r < 0.88 else "revise"
        if self.closing is None:
            names = ["pay", "revise", "revise", "close", "close", "bill", "decline", "accept", "issue"]
            return self.random.choices(names, [4, 5, 2, 6, 2, 1, 0.6, 0.6, 0.4])[0]
        names = ["bill", "pay", "core_back", "revise", "close", "decline", "comeback"]
        return self.random.choices(names, [6, 5, 2, 2, 1.5, 0.3, 1.5])[0]

    def issue(self) -> bool:
        """A version of the quote; False where nothing can be offered."""
        aside = self.put_aside()
        told = self.run("issue", BOOK, JOB, "--out", f"papers {len(self.told)}", expect=(0, 1))
        if "version" not in told or told.get("version") is None or not told.get("recorded", True) or self._failed():
            return False
        self.same("version", told["version"], len(self.versions) + 1)
        assert self.shop is not None
        until = date.fromisoformat(told["valid_until"])
        self.versions.append(
            Version(told["version"], aside, self.place(), self.shop.job.paid_so_far, until, figures=told)
        )
        for tier in told["tiers"]:
            if tier["offered"]:
                self.money("due", tier["due"], Decimal(tier["total"]) - self.paid_so_far)
        return True

    def _failed(self) -> bool:
        return self.told[-1].endswith("-> 1")

    def accept(self) -> None:
        """A yes: to an option with extras of the quote, or to the change."""
        current = self.versions[-1]
        if current.change:
            tier, extras = current.change
            named: list[str] = []
        else:
            offered = self.random.choice([tier for tier in current.figures["tiers"] if tier["offered"]])
            could = [extra["extra"] for extra in offered["extras"]]
            taken = self.random.sample(could, self.random.randint(0, len(could)))
            tier, extras = offered["code"], tuple(taken)
            named = ["--tier", tier, *(word for extra in extras for word in ("--extra", extra))]
        choice = self.choice(current, tier, extras)
        late = self.day > current.valid_until
        held = ["--hold-expired", "Promised"] if late and self.random.random() < 0.7 else []
        who = ["--by", "phone", "--who", "R. Alder", "--phone", "555 0100", "--note", f"yes {self.at}", "--at", "09:15"]
        ok = choice is not None and (not late or bool(held))
        told = self.run("accept", "--job", self.number, *named, *who, *held, expect=(0,) if ok else (1,))
        if not ok or choice is None:
            return
        subtotal, total = Decimal(choice["subtotal"]), Decimal(choice["total"])
        limit = self._limit(current)
        self.yeses.append(Yes(current.number, tier, extras, self.place(), subtotal, total, limit))
        self.closing = None
        authorised = self.of_rule(subtotal, total)
        self.money("total", told["total"], total)
        self.money("deposit", told["deposit"], Decimal(choice["deposit"]))
        self.money("authorised", told["authorised"], authorised)
        most = Fraction(authorised) + self.threshold(authorised)
        if not most - Fraction(1, 10**self.digits) < Fraction(told["most"]) <= most:
            raise Differs(f"most: program {told['most']}, onlooker {most}")
        self.money("paid", told["paid"], self.paid_so_far)
        self.money("due of accept", told["due"], total - self.paid_so_far)

    def _limit(self, version: Version) -> Decimal | None:
        known = read(version.aside)
        return known[1].spending_limit if known else None

    def decline(self) -> None:
        """A no to the change or to everything."""
        every = self.random.random() < 0.15
        words = ["--all"] if every else []
        waiting, yes = self.pending(), self.last_yes()
        told = self.run("decline", self.number, "--reason", "price", "--note", f"no {self.at}", *words)
        current = self.versions[-1]
        newer = yes is not None and current.at > yes.at and not any(one.at > current.at for one in self.yeses)
        refused = any(of == current.number and at > current.at for of, at in self.nos)
        waits = newer and (waiting is not None or current.change is None or refused)
        version = current.number if yes is None or (waits and not every) else None
        self.same("version declined", told["version"], version)
        self.nos.append((version, self.place()))
        if self.last_yes() is None:
            self.closing = None
        self.same("still agreed", told["still_agreed"] is not None, self.last_yes() is not None)

    def pay(self) -> None:
        """Money taken: some, what is due, too much; or given back."""
        due = self._to_pay() - self.paid_so_far if self._to_pay() is not None else None  # type: ignore[operator]
        cent = Decimal(1).scaleb(-self.digits)
        refund = self.paid_so_far > 0 and ((due is not None and due < 0) or self.random.random() < 0.1)
        most = -due if refund and due is not None and due < 0 else self.paid_so_far if refund else None
        options = [Decimal(20), Decimal("33.33").quantize(cent), *([due] if due is not None and due > 0 else [])]
        amount = min(self.random.choice(options), most) if refund and most is not None else self.random.choice(options)
        amount = amount.quantize(cent)
        if amount <= 0:
            return
        told = self.run("pay", self.number, f"{amount:f}", *(["--for", "refund"] if refund else []), "--how", "cash")
        self.paid.append(-amount if refund else amount)
        self.place()
        self.money("amount", told["amount"], self.paid[-1])
        self.money("paid", told["paid"], self.paid_so_far)
        to_pay = self._to_pay()
        if to_pay is None:
            self.same("due", told["due"], None)
            return
        self.money("to pay", told["to_pay"], to_pay)
        self.money("due of pay", told["due"], to_pay - self.paid_so_far)
        deposit = ZERO
        now = self.in_force()
        if now is not None and not self.bills:
            choice = self.choice(*now)
            deposit = Decimal(choice["deposit"]) if choice else ZERO
        self.money("deposit due", told["deposit_due"], max(deposit - self.paid_so_far, ZERO))

    def _to_pay(self) -> Decimal | None:
        if self.bills:
            return sum((Decimal(bill["total"]) for bill in self.bills), ZERO)
        now = self.in_force()
        if now is not None:
            choice = self.choice(*now)
            return Decimal(choice["total"]) if choice else None
        if self.nos and self.nos[-1][1] > self.versions[-1].at:
            return self.cost_of_no()
        return None

    def cost_of_no(self) -> Decimal:
        """What a no costs by the last version, from `quotekit quote` of the workbooks put aside."""
        aside, out = self.versions[-1].aside, io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
            main(["quote", str(aside / BOOK), str(aside / JOB), "--out", str(aside / "papers"), "--replace", "--json"])
        return Decimal(json.loads(out.getvalue())["declined"]["total"])

    def revise(self) -> None:
        """Something more, or less, is found."""
        yes = self.last_yes()
        assert yes is not None and self.shop is not None
        now = self.in_force()
        assert now is not None
        choice = self.choice(*now)
        room = None
        if choice is not None:
            authorised = self.of_rule(yes.subtotal, yes.total)
            amount = self.of_rule(Decimal(choice["subtotal"]), Decimal(choice["total"]))
            room = Decimal(
                int((Fraction(authorised) + self.threshold(authorised) - Fraction(amount)) * 10**self.digits)
            )
            room = room.scaleb(-self.digits)
        self.told.append("   " + change(self.random, self.shop, room))
        if read(self.folder) is None:
            self.told.append("   (the reader refuses it)")
            self.run("revise", BOOK, JOB, "--out", f"papers {len(self.told)}", expect=(1,))
            return
        aside = self.put_aside()
        version = Version(len(self.versions) + 1, aside, 0, self.shop.job.paid_so_far, self.day)
        wanted = self.choice(version, yes.tier, yes.extras)
        told = self.run("revise", BOOK, JOB, "--out", f"papers {len(self.told)}", expect=(0, 1))
        if self._failed():
            codes = {problem["code"] for problem in told["problems"] if problem["severity"] == "error"}
            self.seen[f"revise refused {sorted(codes)}, as of seed {self.seed}"] += 1
            if wanted is not None and codes - {"nothing-changed"}:
                raise Differs(f"revise refused {codes}, choice gives {wanted['total']}")
            return
        if wanted is None:
            self.seen["revise of what choice refuses"] += 1
            raise Differs("revise takes what choice refuses")
        if not told["recorded"]:
            return
        authorised = self.of_rule(yes.subtotal, yes.total)
        subtotal, total = Decimal(wanted["subtotal"]), Decimal(wanted["total"])
        amount = self.of_rule(subtotal, total)
        limits = [limit for limit in (yes.limit, self.shop.job.spending_limit) if limit is not None]
        passes = any(yes.total <= limit < total for limit in limits)
        needs = Fraction(amount - authorised) > self.threshold(authorised) or passes
        self.money("total", told["total"], total)
        self.money("authorised", told["authorised"], authorised)
        self.money("now", told["now"], amount)
        self.money("rise", told["rise"], amount - authorised)
        self.same("needs consent", told["needs_consent"], needs)
        self.same("of version", told["of_version"], yes.version)
        version.change, version.needs, version.at = (yes.tier, yes.extras), needs, self.place()
        version.valid_until = date.fromisoformat(told["valid_until"])
        self.versions.append(version)
        self.closing = None if not needs else self.closing
        adds = sum((Decimal(value) for value in told["adds"].values()), ZERO)
        self.seen["revise adds something" if adds else "revise adds nothing"] += 1
        sheet = openpyxl.load_workbook(self.folder / told["files"][0])
        shown = {cell.value for of in sheet for row in of for cell in row}
        if not _holds(shown, total):
            raise Differs(f"the sheet for the change does not say {total}")

    def close(self) -> None:
        """The work is done, with the sheet filled in or without."""
        now = self.in_force()
        if now is None or self.pending() is not None:
            return
        choice = self.choice(*now)
        assert choice is not None
        made = self.run("work-order", self.number, "--out", f"bench {len(self.told)}", on=False)
        sheet = self.folder / made["files"][0]
        book, closing = openpyxl.load_workbook(sheet), Closing(0)
        parts = _cells(book, "parts", ("used", "part"))
        for used, part in parts:
            agreed = [Decimal(line["quantity"]) for line in choice["parts"] if line["part"] == part.value]
            if agreed and self.random.random() < 0.25:
                count = self.random.choice([ZERO, agreed[0], agreed[0] + 1, max(agreed[0] - 1, ZERO)])
                used.value = float(count)
                closing.used[str(part.value)] = count
        for no, key in _cells(book, "items", ("not_done", "key")):
            if self.random.random() < 0.12:
                no.value = "Yes"
                closing.not_done += (str(key.value),)
        for back, part in _cells(book, "cores", ("back", "part")):
            if self.random.random() < 0.5:
                back.value = 1
                closing.cores[str(part.value)] = Decimal(1)
        filled = self.folder / f"filled {len(self.told)}.xlsx"
        book.save(filled)
        told = self.run("close", self.number, "--from", filled.name, "--because", f"{self.at}", expect=(0, 1))
        if self._failed():
            codes = {problem["code"] for problem in told["problems"] if problem["severity"] == "error"}
            self.seen[f"close refused {sorted(codes)}"] += 1
            return
        closing.at = self.place()
        self.closing = closing
        for line in told["parts"]:
            typed = closing.used.get(line["part"])
            if typed is not None:
                self.same(f"used of {line['part']}", Decimal(line["quantity"]), typed)
        # blank means as agreed, less what undone work would have taken: the closing says it, the bill goes by it
        closing.used |= {line["part"]: Decimal(line["quantity"]) for line in told["parts"]}
        self.same("not done", set(told["not_done"]), set(closing.not_done))

    def core_back(self) -> None:
        """An old part is handed back after the closing, told to the bill."""
        assert self.shop is not None
        now = self.in_force()
        if now is None:
            return
        choice = self.choice(*now)
        cores = [line["part"] for line in (choice or {"parts": []})["parts"] if Decimal(line.get("core_charge") or 0)]
        if cores:
            self.bill(self.random.choice(cores))

    def comeback(self) -> None:
        """It comes back to an earlier job: the same workbook under another number, issued before it."""
        if not self.first or self.charged is not None:
            return
        charged = self.random.choice(("0", "50%", "0.25", "100%"))
        words = ("--of", self.first, "--cause", "part", "--charged", charged)
        told = self.run("comeback", self.number, *words)
        part = Fraction(charged.removesuffix("%")) / (100 if charged.endswith("%") else 1)
        self.same("charged", Fraction(told["charged"]), part)
        self.charged = part

    def issue_first(self) -> None:
        """An earlier job that this one may come back to."""
        assert self.shop is not None
        first = self.folder / "first.xlsx"
        write_job(replace(self.shop.job, job_number=f"{self.number}-first"), first)
        self.run("issue", BOOK, first.name, "--out", "first", expect=(0, 1))
        if not self._failed():
            self.first = f"{self.number}-first"

    def bill(self, core: str = "") -> None:
        """The bill, held against the second implementation and against what is authorised."""
        words = ["--core-back", core] if core else []
        yes = self.last_yes()
        waiting = self.pending() if yes is not None else None
        told = self.run("bill", self.number, "--out", f"bills {len(self.told)}", *words, expect=(0, 1))
        codes = {problem["code"] for problem in told["problems"] if problem["severity"] == "error"}
        self.seen.update(f"bill {code}" for code in codes)
        refused = self._failed()
        if yes is None:
            answered = bool(self.nos) and self.nos[-1][1] > self.versions[-1].at
            if not answered:
                self.same("bill without an answer", codes, {"not-answered"})
                return
            if refused:
                return
            self._no_bill(told)
            return
        if waiting is not None:
            self.same("bill while a change waits", codes, {"above-authorised"})
            return
        if refused:
            if not codes <= {"closed-before-change", "nothing-done", "core-not-charged"}:
                raise Differs(f"bill refused: {codes}")
            return
        self._work_bill(told, yes, core)

    def _no_bill(self, told: dict[str, Any]) -> None:
        if not told["recorded"]:
            self.same("again", told["bill"], self.bills[-1]["bill"])
            return
        self.same("of", told["of"], "no")
        self.same("a second bill of a no", len(self.bills), 0)
        known = read(self.versions[-1].aside)
        assert known is not None
        other = no_bill(*known)
        self.money("subtotal of a no", told["subtotal"], other.total)
        other.total = Fraction(told["total"])
        other.taxes = {tax["tax"]: (Fraction(tax["base"]), Fraction(tax["amount"])) for tax in told["taxes"]}
        other.day = self.day
        self.second.append(other)
        self._sums(told)

    def _work_bill(self, told: dict[str, Any], yes: Yes, core: str) -> None:
        now = self.in_force()
        assert now is not None
        version, tier, extras = now
        known = read(version.aside)
        assert known is not None
        agreed = agreed_of(*known, price_choice(*known, tier, list(extras)), list(extras))
        closing = self.closing or Closing(0)
        cores = dict(closing.cores)
        told_cores = dict(self.cores)
        if core and told["recorded"]:
            told_cores[core] = told_cores.get(core, ZERO) + 1
        for part, count in told_cores.items():
            cores[part] = cores.get(part, ZERO) + count
        biller = _Biller(*known, agreed, yes, self)
        happened = Happened(
            not_done=frozenset(closing.not_done),
            used={part: Fraction(count) for part, count in closing.used.items()},
            cores={part: Fraction(count) for part, count in cores.items()},
            charged=self.charged,
            paid=Fraction(self.paid_so_far),
            rule=_rule(self.shop),
        )
        expected = biller.bill(happened, self.second, self.day, None)
        if not told["recorded"]:
            self.same("nothing new to bill", {k: v for k, v in expected.charges.items() if v[1]}, {})
            self.same("again", told["bill"], self.bills[-1]["bill"])
            return
        self.cores = told_cores
        self.money("subtotal", told["subtotal"], expected.subtotal)
        taxes = {tax["tax"]: (Fraction(tax["base"]), Fraction(tax["amount"])) for tax in told["taxes"]}
        self.same("taxes", taxes, expected.taxes)
        self.money("total of the bill", told["total"], expected.total)
        self.second.append(expected)
        self._sums(told)
        self._within(yes, biller)

    def _sums(self, told: dict[str, Any]) -> None:
        """Each sum of the JSON and of the document."""
        lines = sum((Fraction(line["amount"]) for line in told["lines"]), Fraction(0))
        self.money("sum of lines", told["subtotal"], lines)
        tax = sum((Fraction(one["amount"]) for one in told["taxes"]), Fraction(0))
        self.money("sum of taxes", told["tax"], tax)
        self.money("total", told["total"], lines + tax)
        for line in told["lines"]:
            if line["quantity"] is not None and line["each"] is not None:
                product = Decimal(line["quantity"]) * Decimal(line["each"])
                if abs(product - Decimal(line["amount"])) > Decimal(1).scaleb(-self.digits):
                    self.seen["line is not quantity x price"] += 1
                    raise Differs(f"line {line}")
        before = self._to_pay_bills()
        self.money("billed before", told["billed_before"], before)
        self.bills.append(told)
        left = before + Decimal(told["total"]) - self.paid_so_far
        self.money("paid of the bill", told["paid"], self.paid_so_far)
        self.money("due of the bill", told["due"], max(left, ZERO))
        self.money("refund of the bill", told["refund"], max(-left, ZERO))
        self.same("authorised", "authorised" in told, True)
        self.seen["refund" if left < 0 else "due"] += 1
        self.seen.update({f"line {line['key'].partition(':')[0]}" for line in told["lines"]})
        self.place()
        sheet = openpyxl.load_workbook(self.folder / told["files"][0])
        shown = [cell.value for row in sheet.active for cell in row]
        for what in ("subtotal", "total"):
            if not _holds(shown, Decimal(told[what])):
                raise Differs(f"the bill does not show its {what} {told[what]}")
        if not _holds(shown, abs(left)):
            raise Differs(f"the bill does not show what is due {left}")
        for line in told["lines"]:
            if line["key"].startswith(("part:", "fee:", "core:")) and not _holds(shown, Decimal(line["amount"])):
                raise Differs(f"the bill does not show {line}")

    def _to_pay_bills(self) -> Decimal:
        return sum((Decimal(bill["total"]) for bill in self.bills), ZERO)

    def _within(self, yes: Yes, biller: SecondBiller) -> None:
        """All bills together keep within the last yes and its threshold, on the taxes of the quote."""
        if any(bill["of"] == "no" for bill in self.bills):
            return
        subtotal = sum((Decimal(bill["subtotal"]) for bill in self.bills), ZERO)
        total = self._to_pay_bills()
        law = [row for row in biller.world.book.taxes if row.in_force_from or row.in_force_to]
        authorised = self.of_rule(yes.subtotal, yes.total)
        amount = self.of_rule(subtotal, total)
        if self.of_rule(ZERO, Decimal(1)) and law:
            return
        given = sum(1 for bill in self.bills for line in bill["lines"] if line["key"] == "inspection-credit")
        if not given and Fraction(amount) > Fraction(authorised) + self.threshold(authorised):
            raise Differs(f"billed {amount} of {authorised} authorised, threshold {self.threshold(authorised)}")

    def end(self) -> None:
        """What `jobs` and the ledger's own export say, added up again."""
        told = self.run("jobs", expect=(0,), on=False)
        mine = next(job for job in told["jobs"] if job["job"] == self.number)
        self.same("paid of jobs", Decimal(mine["paid"]), self.paid_so_far)
        now = self.in_force()
        self.same("version of jobs", mine["accepted_version"], now[0].number if now else None)


class _Biller(SecondBiller):
    """The second implementation, whose room for more parts is that of the last yes and its spending limit."""

    def __init__(self, book: Any, job: Any, agreed: Agreed, yes: Yes, life: Money) -> None:
        super().__init__(book, job, agreed)
        self.yes, self.life = yes, life

    def leaves_room(self, happened: Happened) -> bool:
        """As the rule of the last yes says, and no spending limit that it was within is passed."""
        charges, upgrade = self.whole(replace(happened, cores={}), more=True)
        subtotal = sum((amount for _, amount in charges.values()), Fraction(0))
        found = self.taxes(charges, upgrade, self.world.job.quote_date, None)
        total = subtotal + sum((tax for _, tax in found.values()), Fraction(0))
        authorised = self.life.of_rule(self.yes.subtotal, self.yes.total)
        amount = total if self.life.of_rule(ZERO, Decimal(1)) else subtotal
        limit = self.yes.limit
        if limit is not None and self.yes.total <= limit < total:
            return False
        return amount - Fraction(authorised) <= self.life.threshold(authorised)


def _rule(shop: Shop | None) -> Any:
    from quotekit.pricing.agreed import consent_rule

    assert shop is not None
    return consent_rule(shop.book.settings)


def _holds(shown: Any, amount: Decimal) -> bool:
    return any(isinstance(value, int | float) and Decimal(repr(value)) == amount for value in shown)
