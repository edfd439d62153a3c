"""What the clock records: hours as typed, a start, or the hours from a start to its stop."""

from __future__ import annotations

import argparse
import re
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.which_ledger import facts_of
from quotekit.problems import Place, Problem, error, has_errors, warning

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Clocked
    from quotekit.model.story import Story

MOST_HOURS = Decimal(24)
LONGEST = timedelta(hours=16)
"""A stop later than that after its start was most likely forgotten."""

_HOURS = re.compile(r"-?(?:[0-9]{1,3}(?:\.[0-9]{1,4})?|\.[0-9]{1,4})")


class Clocking:
    """One clocking on its way into the ledger."""

    def __init__(self, options: argparse.Namespace, now: datetime) -> None:
        self.options, self.now = options, now
        self.facts = facts_of(options)
        self.on: date | None = options.on
        self.person = " ".join((options.person.strip() or self.facts.who).split())
        self.problems: list[Problem] = []

    def decide(self, ledger: Ledger) -> Decision:
        """The hours as an entry, or why they can't be one."""
        from quotekit.cli.jobs import known_job

        story, problems = known_job(ledger, self.options.job)
        if story is None or story.current is None:
            return Decision(problems=problems)
        work = self._work(story)
        body = self._typed(story, work) if self.options.hours is not None else self._timed(story, work)
        if story.closed:
            message = "The job is closed: these hours count once it is closed again."
            self._note(Place(ledger.address.shown), "closed-already", message, "Run `quotekit close` again.")
        if body is None or has_errors(self.problems):
            return Decision(problems=self.problems)
        facts, current = self.facts, story.current.entry
        draft = facts._replace(day=self._day()).draft("clocked", body, job=current.job, version=current.version)
        return Decision(problems=self.problems, drafts=[draft])

    def _work(self, story: Story) -> str:
        """The line of work, spelled as it was agreed; empty for the job as a whole."""
        from quotekit.pricing.consent.authorised import agreed_now

        typed = self.options.work.strip()
        agreed = agreed_now(story)
        if agreed is None:
            message = "The customer has not said yes to this job yet."
            remedy = "See that the hours are meant: no work is done before a yes."
            self._note(Place("JOB"), "not-agreed", message, remedy)
        keys = [work.key for work in agreed.work] if agreed is not None else []
        found = next((key for key in keys if key.casefold() == typed.casefold()), "")
        if typed and not found:
            from quotekit.workbook.names import did_you_mean

            remedy = f"{did_you_mean(typed, keys)}Use a code of the work order, or leave --work out."
            self._wrong("--work", "work-not-agreed", f"{typed} is no work of what was agreed.", remedy, typed)
        return found

    def _typed(self, story: Story, work: str) -> Clocked | None:
        from quotekit.model.entries import Clocked

        if self.options.at is not None:
            remedy = "Leave --at out, or clock with --start and --stop."
            self._wrong("--at", "time-unclear", "A time of day goes with --start or --stop, not with hours.", remedy)
        text = self.options.hours.strip()
        hours = Decimal(text) if _HOURS.fullmatch(text) else None
        if hours is None or not hours or abs(hours) > MOST_HOURS:
            from quotekit.workbook.number_text import suggest_number

            remedy = suggest_number(text, "hours") or f"Type hours as 1.5, at most {MOST_HOURS} at once."
            self._wrong("--hours", "hours-unclear", "These are no hours of work.", remedy, text)
            return None
        before = sum((one.body.hours for one in story.clocked if self._same(one.body, work)), Decimal(0))
        if before + hours < 0:
            message = f"{self.person} has only {before:f} h there to take back."
            self._wrong("--hours", "hours-unclear", message, "Take back no more than was clocked.", text)
        return Clocked(work=work, person=self.person, hours=hours, note=self.options.note)

    def _same(self, body: Clocked, work: str) -> bool:
        return body.work == work and self._is_mine(body)

    def _timed(self, story: Story, work: str) -> Clocked | None:
        """A start; or the hours from the start that is still running."""
        from quotekit.model.entries import Clocked

        at = self._at()
        running = self._running(story)
        if at is None:
            return None
        if self.options.start:
            if running is not None:
                message = f"{self.person} is at work on this job since {running.started[:16].replace('T', ' ')}."
                self._wrong(
                    "--start", "clock-running", message, "Stop that first, with --on and --at where it was forgotten."
                )
            return Clocked(
                work=work, person=self.person, hours=Decimal(0), started=_written(at), note=self.options.note
            )
        if running is None:
            message = f"{self.person} has not started on this job."
            self._wrong("--stop", "clock-not-running", message, "Start it, name the --person, or type --hours.")
            return None
        self._overlap(story, datetime.fromisoformat(running.started), at)
        return self._stopped(running, work, at)

    def _stopped(self, running: Clocked, work: str, at: datetime) -> Clocked | None:
        from fractions import Fraction

        from quotekit.model.entries import Clocked
        from quotekit.money import round_to

        started = datetime.fromisoformat(running.started)
        if not timedelta(0) <= at - started <= LONGEST:
            message = (
                f"From {running.started[:16].replace('T', ' ')} to {_written(at)[:16].replace('T', ' ')} is no shift."
            )
            self._wrong("--stop", "clock-unlikely", message, "Say when work ended, with --at and --on.")
            return None
        hours = round_to(Fraction((at - started) // timedelta(seconds=1), 3600), 2)
        return Clocked(
            work=work or running.work,
            person=running.person,
            hours=hours,
            started=running.started,
            ended=_written(at),
            note=self.options.note,
        )

    def _overlap(self, story: Story, started: datetime, ended: datetime) -> None:
        """Tell of time that this person's clock counted on this job before."""
        from fractions import Fraction

        from quotekit.money import round_to

        for body in (one.body for one in story.clocked if one.body.ended and self._is_mine(one.body)):
            first, last = datetime.fromisoformat(body.started), datetime.fromisoformat(body.ended)
            both = min(last, ended) - max(first, started)
            if both > timedelta(0):
                hours = round_to(Fraction(both // timedelta(seconds=1), 3600), 2)
                message = f"{hours:f} h of it are clocked already, from {first:%Y-%m-%d %H:%M} to {last:%H:%M}."
                remedy = f"Where they are counted twice, take them back with --hours -{hours:f}."
                self._note(Place("--stop"), "clock-overlap", message, remedy)

    def _is_mine(self, body: Clocked) -> bool:
        return body.person.casefold() == self.person.casefold()

    def _running(self, story: Story) -> Clocked | None:
        """This person's start that has no stop yet."""
        timed = [one.body for one in story.clocked if one.body.started]
        mine = [one for one in timed if self._is_mine(one)]
        return mine[-1] if mine and not mine[-1].ended else None

    def _at(self) -> datetime | None:
        """When work began or ended; not in the time to come."""
        if self.options.at is None and self.on in (None, self.now.date()):
            return self.now
        day, _, time = (self.options.at or "").strip().rpartition(" ")
        try:
            typed = datetime.strptime(time, "%H:%M").time()
            on = date.fromisoformat(day) if day else self._day()
        except ValueError:
            message = "This is no time like 14:05."
            remedy = "Type hours and minutes of the day, with --on or as 2026-11-25 14:05 for an earlier day."
            self._wrong("--at", "time-unclear", message, remedy, self.options.at or "")
            return None
        if self.on not in (None, on):
            remedy = "Give the day once, in --at or in --on."
            self._wrong("--at", "time-unclear", f"{on} is another day than that of --on.", remedy)
            return None
        self.on = on
        at = datetime.combine(on, typed).astimezone()
        if at > self.now:
            self._wrong("--at", "time-unclear", f"{at:%Y-%m-%d %H:%M} is still to come.", "Give the time it was.")
            return None
        return at

    def _day(self) -> date:
        return self.on or self.now.date()

    def _wrong(self, option: str, code: str, message: str, remedy: str, text: str = "") -> None:
        self.problems.append(error(Place(option), code, message, remedy, text))

    def _note(self, place: Place, code: str, message: str, remedy: str) -> None:
        self.problems.append(warning(place, code, message, remedy))


def _written(at: datetime) -> str:
    return at.isoformat(timespec="seconds")
