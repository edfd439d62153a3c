"""Figures of the job as a whole, and those that hold nothing: each says why, and which cell would change it."""

from __future__ import annotations

from datetime import date

from tests.build import a_bundle, a_finding, a_job, a_part, a_remedy, fits_only_if, found, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of, trees


def test_until_when_it_holds() -> None:
    """Thirty days over the end of a February without a leap day."""
    book = a_shop(settings=settings(quote_valid_days=30))
    job = job_of(book, quote_date=date(2027, 2, 10))
    assert_said({"valid_until": "2027-03-12 = days after(quote_date 2027-02-10, Quote valid days 30)"}, book, job)
    assert_reads({"quote_date": "Quote date: Value", "Quote valid days": "Quote valid days: Value"}, book, job)


def test_what_is_typed_is_told_as_typed() -> None:
    job = job_of(a_shop(), version=3)
    assert_said({"job": "J-1 = given()", "version": "3 = same(Version 3)", "currency": "USD = given()"}, a_shop(), job)
    assert_reads(
        {"job": "Job number: Value", "Version": "Version: Value", "currency": "Currency: Value"}, a_shop(), job
    )


def test_empty_lists_say_what_that_means() -> None:
    book = a_shop(parts=[a_part("SEAL")])
    assert_rules(
        {
            "bundles": "No bundle in force has all its members in this tier",
            "taxes": "No tax in force has anything it is on here",
            "extras": "Nothing is offered beside this tier",
            "not_permitted": "No remedy for what was found is kept out so",
            "only_with": "No remedy for what was found is kept out so",
            "look_next": "What was found says to check this too",
            "measure_next": "A limit of a remedy needs this measurement",
        },
        book,
    )
    assert_said(dict.fromkeys(("bundles", "taxes", "extras", "not_permitted", "only_with"), "() = decided()"), book)


def test_a_bundle_of_which_one_member_is_missing_is_no_bundle() -> None:
    book = a_shop(
        findings=[a_finding("WORN")],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("OTHER", ["OLD"], ["FIT"])],
        bundles=[a_bundle("PAIR", ["NEW", "OTHER"], "hours off", "0.2")],
    )
    assert_said({"bundles": "() = decided()", "hours.off": "0 = decided()"}, book)


def test_a_remedy_that_does_not_fit_as_measured() -> None:
    """The hole is too wide for the bushing, and nothing puts that right: the limits and the measurement are named."""
    book = a_shop(
        findings=[a_finding("WORN"), a_finding("WIDE", measure="bore", unit="in", fails_when="above", limit="0.9")],
        fits_only_if=[fits_only_if("NEW", "WIDE", to="0.8")],
    )
    job = a_job(found(book, "WORN"), found(book, "WIDE", measured="0.85"))
    assert_rules(
        {"not_permitted.NEW.why": "It does not fit as measured, and nothing that fits puts that right"}, book, job
    )
    assert_reads(
        {"not_permitted.NEW.remedy": ("NEW: Finding; NEW: From; NEW: To; WIDE: As new; WIDE: Measured; WIDE: Side")},
        book,
        job,
    )


def test_a_limit_that_was_not_measured_and_a_finding_to_look_at_next() -> None:
    book = a_shop(
        findings=[a_finding("WORN", also_check=["BENT"]), a_finding("WIDE"), a_finding("BENT")],
        fits_only_if=[fits_only_if("NEW", "WIDE", to="0.8")],
    )
    job = a_job(found(book, "WORN"))
    assert_said({"measure_next": "('WIDE',) = decided()", "look_next": "('BENT',) = decided()"}, book, job)
    assert_reads(
        {
            "measure_next": "NEW: Finding; NEW: Remedy; WORN: Finding; WORN: Measured",
            "look_next": "WORN: Also check; WORN: Finding; WORN: Measured",
        },
        book,
        job,
    )


def test_what_fits_is_not_listed_as_kept_out() -> None:
    """Only remedies that nothing makes fit are listed; a fault that was looked at and is fine asks for nothing more."""
    book = a_shop(
        findings=[a_finding("WORN"), a_finding("WIDE", measure="bore", unit="in", fails_when="above", limit="0.9",
                                               also_check=["BENT"]), a_finding("BENT")],
        fits_only_if=[fits_only_if("NEW", "WIDE", to="0.8")],
    )  # fmt: skip
    job = a_job(found(book, "WORN"), found(book, "WIDE", measured="0.75"))
    assert_said({"not_permitted": "() = decided()", "look_next": "() = decided()"}, book, job)
    assert_reads(
        {"look_next": "WIDE: Finding; WIDE: Measured; WORN: Also check; WORN: Finding; WORN: Measured"}, book, job
    )


def test_each_entry_of_a_list_is_a_figure_too() -> None:
    book = a_shop(
        findings=[a_finding("WORN", also_check=["BENT"]), a_finding("WIDE"), a_finding("BENT")],
        fits_only_if=[fits_only_if("NEW", "WIDE", to="0.8")],
    )
    job = a_job(found(book, "WORN"))
    assert_said({"measure_next.WIDE": "WIDE = decided()", "look_next.BENT": "BENT = decided()"}, book, job)


def test_a_list_that_holds_something_is_not_told_as_empty() -> None:
    book = a_shop(
        findings=[a_finding("WORN"), a_finding("WIDE", measure="bore", unit="in", fails_when="above", limit="0.9")],
        fits_only_if=[fits_only_if("NEW", "WIDE", to="0.8")],
    )
    job = a_job(found(book, "WORN"), found(book, "WIDE", measured="0.85"))
    known = trees(book, job)
    assert known["not_permitted.NEW.remedy"].value == "NEW" and "not_permitted" not in known
    assert {"book_sha256", "job_sha256"} <= set(known)
