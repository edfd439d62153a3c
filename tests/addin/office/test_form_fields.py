"""What a form says, what is missing in it, and what follows from what is filled in."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.addin.office.form_fields import Values, applies, changes_book, words_of, wrong_in
from quotekit.addin.office.form_lists import lines_of, lists_for
from quotekit.addin.office.form_state import FormState, kind_by_file_name
from quotekit.addin.office.form_table import FORMS, form_named

PLACE = {"book": "/shop/shop book.xlsx", "folder": "/shop", "today": "2026-11-28", "now": "14:05"}


def job(number: str, state: str = "version 1 waits for an answer", **more: Any) -> dict[str, Any]:
    """A job as the engine lists it."""
    known = {
        "job": number, "customer": f"Customer of {number}", "phone": "555-0188", "machine": "", "state": state,
        "waits": False, "change": False, "agreed": False, "done": False, "billed": False, "due": None,
        "currency": "USD", "options": [], "work": [], "cores": [],
    }  # fmt: skip
    return {**known, **more}


WAITS = job(
    "117",
    waits=True,
    options=[
        {"code": "good", "name": "Put right", "total": "300.00", "extras": [{"code": "BELT", "at_most": "41.00"}]},
        {"code": "better", "name": "And prevent", "total": "400.00", "extras": []},
    ],
)
IN_WORK = job("118", "version 1 is agreed, in work", agreed=True, due="120.50", work=[{"code": "B", "name": "Belt"}])
DONE = job("119", "done, to be billed", agreed=True, done=True, due="-5.00")
JOBS = [IN_WORK, WAITS, DONE]
ORDER = {
    "number": "3", "day": "2026-11-20", "jobs": ["118"], "suppliers": ["NORTH", "SOUTH"], "open": 3,
    "lines": [
        {"part": "BELT", "name": "Belt", "supplier": "NORTH", "number": "1", "open": 1, "received": 0},
        {"part": "SEAL", "name": "Seal", "supplier": "SOUTH", "number": "2", "open": 2, "received": 1},
    ],
}  # fmt: skip
LISTS: dict[str, Any] = {"jobs": JOBS, "orders": [ORDER], "shelf": [], "people": ["Ann"], "files": []}


def state(name: str, lists: Any = None, **front: str) -> FormState:
    """A form as it opens."""
    made = FormState(form_named(name), LISTS if lists is None else lists, PLACE)
    made.begin({}, **front)
    return made


@pytest.mark.parametrize(
    ("name", "values", "words"),
    [
        ("receive", {"order": "3", "all": "yes"}, ["receive", "3", "--all"]),
        (
            "receive",
            {"order": "3", "part": "SEAL", "part.supplier": "SOUTH", "what": "--back-ordered", "packs": "1",
             "cost": "9.00", "expected": "2026-12-14"},
            ["receive", "3", "--back-ordered=SEAL", "--supplier=SOUTH", "--packs=1", "--expected=2026-12-14"],
        ),
        ("receive", {"order": "3", "what": "--returned", "packs": "1", "cost": "2"}, ["receive", "3"]),
        ("shelf", {"do": "", "part": "SEAL", "quantity": "2"}, ["shelf"]),
        ("shelf", {"do": "--put", "part": "SEAL", "quantity": "2", "cost": "3.20"},
         ["shelf", "--put", "SEAL", "2", "--cost=3.20"]),
        ("clock", {"job": "117", "what": "", "hours": "1.5", "at": "14:05"}, ["clock", "117", "--hours=1.5"]),
        ("clock", {"job": "117", "what": "--stop", "hours": "1.5", "at": "14:05"},
         ["clock", "117", "--stop", "--at=14:05"]),
        ("order", {"jobs": "117\n118", "today": "yes"}, ["order", "117", "118", "--book=/shop/shop book.xlsx"]),
        ("accept-told", {"job": "117", "tier": "good", "extra": "BELT\nSEAL@left", "note": "--yes"},
         ["accept", "--job=117", "--tier=good", "--extra=BELT", "--extra=SEAL@left", "--note=--yes"]),
        ("review", {"to": "2026-11-28", "as-now": "yes"}, ["review", "--book=/shop/shop book.xlsx"]),
        ("new-job", {"folder": "/shop/jobs"}, ["new", "--book=/shop/shop book.xlsx", "/shop/jobs"]),
    ],
)  # fmt: skip
def test_words(name: str, values: Values, words: list[str]) -> None:
    """What belongs to a field that does not apply is not said; what was typed is one word, whatever is in it."""
    assert words_of(form_named(name), values, PLACE) == words


def test_a_field_of_the_name_of_a_place_does_not_replace_it() -> None:
    """`{book}` is the shop book, also where a form has a field named so: else a tick became a file name."""
    assert words_of(form_named("rate"), {"book": "yes"}, PLACE)[1] == PLACE["book"]


@given(
    st.sampled_from([form for form in FORMS if form.fields]),
    st.dictionaries(st.sampled_from(["job", "note", "who", "part", "order", "what"]), st.text(max_size=12)),
)
def test_whatever_is_typed_never_becomes_an_option(form: Any, values: Values) -> None:
    """A note `--all` is a note: only positions and options of the table are said."""
    options = {word.partition("=")[0] for field in form.fields for word in field.words}
    options |= {one.word for field in form.fields for one in field.choices} | set(form.words) | {"--book"}
    clean = {name: "x" + text for name, text in values.items()}
    for word in words_of(form, clean, PLACE):
        assert not word.startswith("-") or word.partition("=")[0] in options | set(clean.values())


@pytest.mark.parametrize(
    ("name", "values", "wrong"),
    [
        ("pay", {"amount": "60.50"}, {"job": "needed"}),
        ("pay", {"job": "117", "amount": "60,50"}, {"amount": "an amount, as 60.50"}),
        ("clock", {"job": "117", "what": "--start"}, {}),
        ("clock", {"job": "117", "what": "", "hours": ""}, {"hours": "needed"}),
        ("clock", {"job": "117", "what": "--start", "at": "2 pm"}, {"at": "a time, as 14:05"}),
        ("cancel-order", {"order": "3", "by": "shop"}, {"because": "needed"}),
        ("order", {"needed-by": "4 Dec"}, {"needed-by": "a day, as 2026-11-25"}),
        ("jobs", {}, {}),
    ],
)
def test_what_is_missing_is_told_by_its_field(name: str, values: Values, wrong: dict[str, str]) -> None:
    """Nothing is run before; a field that does not apply is not asked for."""
    assert wrong_in(form_named(name), values) == wrong


def test_the_option_of_a_change_is_not_asked_for() -> None:
    """A change is taken as it is: there is no option to pick, so none is needed; of a quote one is."""
    change = state("accept-told", {**LISTS, "jobs": [{**WAITS, "change": True}]})
    quote = state("accept-told")
    assert "tier" not in change.wrong() and quote.wrong()["tier"] == "needed"
    assert not change.applies(change.form.field("tier")) and quote.applies(quote.form.field("tier"))


def test_jobs_that_fit_come_first() -> None:
    """What waits for an answer is on top; of several none but those that fit are listed."""
    accept, order = form_named("accept-told"), form_named("order")
    assert [one.word for one in lines_of(accept.field("job"), LISTS, {})] == ["117", "118", "119"]
    assert [one.word for one in lines_of(order.field("jobs"), LISTS, {})] == ["118"]


def test_the_job_that_alone_fits_is_picked_and_what_is_known_of_it_filled_in() -> None:
    """One job waits: it is picked, with customer and number, and those of another where that is picked."""
    form = state("accept-told")
    assert (form.values["job"], form.values["who"], form.values["phone"]) == ("117", "Customer of 117", "555-0188")
    assert (form.values["by"], form.values["on"], form.values["at"]) == ("phone", "2026-11-28", "14:05")
    form.fill_in({**form.values, "job": "118"})
    assert (form.values["who"], form.values["tier"]) == ("Customer of 118", "")


def test_what_a_person_typed_is_left_alone() -> None:
    """A name that was typed stays where another job is picked; one that was taken away does not come back."""
    form = state("accept-told")
    form.fill_in({**form.values, "who": "her brother", "phone": ""})
    form.fill_in({**form.values, "job": "118"})
    assert (form.values["who"], form.values["phone"]) == ("her brother", "")


def test_of_two_that_fit_none_is_picked() -> None:
    """The number of a job is never guessed."""
    form = state("accept-told", {**LISTS, "jobs": [WAITS, {**WAITS, "job": "120"}]})
    assert form.values["job"] == "" and form.wrong()["job"] == "needed"


@pytest.mark.parametrize(
    ("front", "picked"),
    [
        ({"file": "/shop/118-1 quote.xlsx", "kind": "quote"}, "118"),
        ({"file": "/shop/any.xlsx", "kind": "job", "job": "119"}, "119"),
        ({"file": "/shop/new.xlsx", "kind": "job", "job": "200"}, ""),
        ({"file": "/shop/shop book.xlsx", "kind": "shop book"}, "117"),
    ],
)
def test_the_job_in_front_is_meant(front: dict[str, str], picked: str) -> None:
    """By its number, or by how its file begins; with a job in front that the ledger does not know, no other is."""
    assert state("accept-told", **front).values["job"] == picked


def test_what_hangs_on_a_job_follows_it() -> None:
    """Options, extras and lines of work are those of the job, and of the option."""
    form = state("accept-told")
    assert [line.word for line in form.lines(form.form.field("tier"))] == ["good", "better"]
    assert form.lines(form.form.field("extra")) == []
    form.fill_in({**form.values, "tier": "good"})
    assert [line.label for line in form.lines(form.form.field("extra"))] == ["BELT, at most 41.00"]
    clock = state("clock")
    assert [line.label for line in clock.lines(clock.form.field("work"))] == [" ", "B: Belt"]


def test_the_supplier_goes_with_the_picked_part() -> None:
    """A part may be of two suppliers: the line picked says of which."""
    form = state("receive")
    assert (form.values["order"], form.values["part"]) == ("3", "")
    form.fill_in({**form.values, "part": "SEAL", "all": ""})
    assert form.words() == ["receive", "3", "--part=SEAL", "--supplier=SOUTH"]


def test_money_to_be_given_back_is_not_filled_in_as_due() -> None:
    """What is due stands in the field; below zero nothing does."""
    form = state("pay", {**LISTS, "jobs": [IN_WORK]})
    assert form.values["amount"] == "120.50"
    form = state("pay", {**LISTS, "jobs": [DONE]})
    assert (form.values["job"], form.values["amount"]) == ("119", "")


def test_a_file_is_meant_from_the_folder_of_the_shop() -> None:
    """A name alone is one of the shop's folder, wherever the engine runs."""
    form = state("issue")
    form.fill_in({**form.values, "workbook": "job 117.xlsx", "pdf": "yes"})
    assert form.words() == ["issue", PLACE["book"], "/shop/job 117.xlsx", "--pdf"]


def test_what_is_prefilled_is_kept() -> None:
    """A returned quote opens the form of the yes with its file."""
    form = FormState(form_named("accept"), LISTS, PLACE)
    form.begin({"returned": "/mail/117-1 quote.xlsx"}, "/shop/118-1 quote.xlsx", "quote")
    assert form.words() == ["accept", "/mail/117-1 quote.xlsx"]


@pytest.mark.parametrize("form", [form for form in FORMS if form.fields])
def test_each_form_opens_on_an_empty_ledger(form: Any) -> None:
    """Before the first quote there is nothing to pick, and nothing breaks: what is needed is still asked for."""
    empty = FormState(form, {name: [] for name in (*lists_for(form), "files")}, PLACE)
    empty.begin({})
    empty.fill_in(empty.values)
    needed = [field.name for field in form.fields if field.needed and applies(form, field, empty.values)]
    hanging = {"tier"} if form.name == "accept-told" else set()
    assert set(empty.wrong()) == {name for name in needed if not empty.values[name]} - hanging


@pytest.mark.parametrize(
    ("form", "name", "more"),
    [
        ("prices-apply", "shop book price proposals 2026-11-29.xlsx", []),
        ("take-over", "proposed times 2026-11-28.xlsx", ["/shop/shop book.xlsx"]),
    ],
)
def test_the_workbook_that_was_ticked_is_the_one_in_front(form: str, name: str, more: list[str]) -> None:
    """Known by its name, as its sheets are like those of others; a workbook of the other kind is not taken for it."""
    kind = kind_by_file_name("other", name)
    made = FormState(form_named(form), {"people": []}, PLACE)
    made.begin({}, f"/shop/{name}", kind)
    assert made.words()[-1 - len(more) :] == [f"/shop/{name}", *more]
    other = "price proposals" if form == "take-over" else "proposed times"
    made = FormState(form_named(form), {"people": []}, PLACE)
    made.begin({}, "/shop/other.xlsx", other)
    assert made.wrong() == {"proposals": "needed"}


@pytest.mark.parametrize(
    ("where", "words", "changes"),
    [("", [], False), ("--in-place", ["--in-place"], True)],
)
def test_times_go_beside_or_into_the_shop_book(where: str, words: list[str], changes: bool) -> None:
    """Beside it, unless the owner says otherwise; only the other way must it not be open."""
    form = form_named("take-over")
    made = FormState(form, {"people": []}, PLACE)
    made.begin({"where": where}, "/shop/proposed times 2026-11-28.xlsx", "proposed times")
    assert made.words() == ["take-over", "/shop/proposed times 2026-11-28.xlsx", "/shop/shop book.xlsx", *words]
    assert changes_book(form, made.words()) is changes
