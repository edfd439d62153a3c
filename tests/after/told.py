"""What is known of each job by somebody who wrote down every command: the second implementation's own memory.

Nothing here comes from the ledger. An amount is what `issue --json` or `choice --json` said of workbooks that were put
aside when they were issued.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from tests.after.rules import ZERO, Rule
from tests.after.shops import JobFile


@dataclass
class Choice:
    """An option with extras, priced from the workbooks that were put aside."""

    tier: str
    extras: tuple[str, ...]
    told: dict[str, Any]

    @property
    def subtotal(self) -> Decimal:
        """Before tax."""
        return Decimal(self.told["subtotal"])

    @property
    def total(self) -> Decimal:
        """To pay, tax included."""
        return Decimal(self.told["total"])

    @property
    def key(self) -> tuple[str, frozenset[str]]:
        """What makes two choices the same."""
        return self.tier, frozenset(self.extras)


@dataclass
class Version:
    """An issued version: a quote, or a change to what was agreed."""

    number: int
    valid_until: date
    quote: dict[str, Any]
    aside: Path
    """A folder with the shop book and the job as they were."""
    at: int
    """Place in the order of things."""
    change: Choice | None = None
    """The changed job, where it is a revision."""
    needs_consent: bool = False

    def offered(self) -> list[dict[str, Any]]:
        """The options a customer can choose."""
        return [tier for tier in self.quote["tiers"] if tier["offered"]]


@dataclass
class Yes:
    """A recorded yes."""

    version: int
    choice: Choice
    at: int
    words: tuple[str, ...] = ()


@dataclass
class No:
    """A recorded no, to a version or to everything."""

    version: int | None
    at: int


@dataclass
class Done:
    """How the work was closed."""

    at: int
    not_done: tuple[str, ...] = ()
    parts: dict[str, Decimal] = field(default_factory=dict)
    hours: Decimal = ZERO


@dataclass
class Bill:
    """A bill that was written."""

    number: int
    at: int
    told: dict[str, Any]

    @property
    def total(self) -> Decimal:
        """What it comes to."""
        return Decimal(self.told["total"])


@dataclass
class Known:
    """A job, from the outside."""

    file: JobFile
    rule: Rule
    typed: Decimal = ZERO
    """Paid so far as the job workbook says."""
    versions: list[Version] = field(default_factory=list)
    yes: list[Yes] = field(default_factory=list)
    no: list[No] = field(default_factory=list)
    paid: list[Decimal] = field(default_factory=list)
    bills: list[Bill] = field(default_factory=list)
    done: list[Done] = field(default_factory=list)
    clocked: Decimal = ZERO
    sheet: Path | None = None
    """The last work order."""
    sheet_at: int = 0
    comeback_to: str = ""
    charged: Decimal = Decimal(1)
    times: int = 0

    @property
    def current(self) -> Version | None:
        """The version issued last."""
        return self.versions[-1] if self.versions else None

    @property
    def paid_so_far(self) -> Decimal:
        """Money taken, with what the workbook says."""
        return sum(self.paid, self.typed if self.versions else ZERO)

    def last_yes(self) -> Yes | None:
        """The last yes, unless a no to it or to everything came later."""
        if not self.yes:
            return None
        yes = self.yes[-1]
        return None if any(no.at > yes.at and no.version in (None, yes.version) for no in self.no) else yes

    def pending(self) -> Version | None:
        """The change that waits for an answer."""
        last = self.current
        if last is None or last.change is None or not last.needs_consent:
            return None
        answered = any(yes.at > last.at and yes.version == last.number for yes in self.yes)
        refused = any(no.at > last.at and no.version in (None, last.number) for no in self.no)
        return None if answered or refused else last

    def in_force(self) -> Choice | None:
        """What is to be done: the last yes, or a later change that needed no consent."""
        yes = self.last_yes()
        if yes is None:
            return None
        for version in reversed(self.versions):
            if version.at < yes.at:
                break
            refused = any(no.at > version.at and no.version in (None, version.number) for no in self.no)
            if version.change is not None and not version.needs_consent and not refused:
                return version.change
        return yes.choice

    def version_in_force(self) -> Version:
        """The version that is in force."""
        choice = self.in_force()
        found = next((version for version in self.versions if version.change is choice is not None), None)
        yes = self.last_yes()
        assert yes is not None
        return found or self.versions[yes.version - 1]

    def closed_since(self) -> Done | None:
        """The last closing, where it came after what is in force."""
        yes = self.last_yes()
        if yes is None or not self.done:
            return None
        since = max(yes.at, self.version_in_force().at)
        return self.done[-1] if self.done[-1].at > since else None

    def ever_agreed(self, part: str) -> Decimal:
        """The most of a part that was ever in force."""
        choices = [yes.choice for yes in self.yes]
        choices += [version.change for version in self.versions if version.change is not None]
        lines = [line for choice in choices for line in choice.told["parts"] if line["part"] == part]
        return max((Decimal(line["quantity"]) for line in lines), default=ZERO)

    def authorised(self) -> Decimal | None:
        """The last authorised amount, on the basis of the rule."""
        yes = self.last_yes()
        return None if yes is None else self.rule.of(yes.choice.subtotal, yes.choice.total)

    def most(self) -> Decimal | None:
        """How far a total may go without a call, exact."""
        authorised = self.authorised()
        return None if authorised is None else authorised + self.rule.threshold(authorised)
