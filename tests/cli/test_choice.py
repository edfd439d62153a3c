"""`quotekit choice`: any option with any extras, from real workbooks; and what it refuses."""

from __future__ import annotations

import json
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.chosen import listed
from quotekit.cli.main import main
from quotekit.documents.choice_json import lay_out_refused_choice_json
from tests.cli.quote_contract import SCHEMA, check_contract
from tests.cli.small_shop import Sheets, job, shop_book, write_book

Run = Callable[..., tuple[int, str, str]]

EXTRAS = [
    ["Code", "Extra", "Operations"],
    ["HUB", "Grease the hub", "HUBBING"],
    ["SEAL-19", "New seal", "SEALING"],
    ["CAP", "New cap", "CAPPING"],
]


def a_shop_book() -> Sheets:
    """The small shop, with work for extras: hubs on each side, a seal, a cap."""
    book = shop_book()
    book["Operations"] += [
        ["HUBBING", "Grease a hub", 0.2, "Yes", None],
        ["CAPPING", "Change the cap", 0.1, "No", None],
    ]
    return {**book, "Extras": [[*row] for row in EXTRAS]}


def a_job() -> Sheets:
    """A worn bushing and a frayed belt, with hubs and a seal on the list."""
    return {**job(), "Extras": [["Extra", "Side"], ["HUB", "left"], ["HUB", "right"], ["SEAL-19", None]]}


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Path, Path]:
    return write_book(tmp_path / "book.xlsx", a_shop_book()), write_book(tmp_path / "job.xlsx", a_job())


@pytest.fixture
def run(shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs the command on the shop; gives exit code, stdout and stderr."""

    def choose(*options: str) -> tuple[int, str, str]:
        code = main(["choice", *map(str, shop), *options])
        said = capsys.readouterr()
        return code, said.out, said.err

    return choose


def chosen(run: Run, *options: str, code: int = 0) -> Any:
    """The JSON object of a choice."""
    ended, out, _ = run(*options, "--json")
    assert ended == code
    return json.loads(out)


@pytest.fixture
def quoted(shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> Any:
    """The JSON object of the whole quote."""
    assert main(["quote", *map(str, shop), "--json"]) == 0
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    return value


def example(number: int) -> tuple[Path, Path]:
    """The shop book and a job of the worked example."""
    folder = Path(__file__).parents[2] / "examples" / "worked example"
    (path,) = folder.glob(f"2611-0{number} *.xlsx")
    return folder / "shop book.xlsx", path


def keys_of(value: Any) -> list[str]:
    return [one["extra"] for one in value["extras"]]


def codes_of(value: Any) -> list[str]:
    return [problem["code"] for problem in value["problems"]]


def test_amounts_in_the_order_of_money(run: Run) -> None:
    """By hand: 0.6 h for the bushing, 0.3 h for the seal, to the minimum of one hour at 90; 8.25 and 2 x 2.25 of parts;
    7 % of the parts is 0.8925."""
    code, out, err = run("--tier", "good", "--extra", "SEAL-19")
    assert code == 0
    assert out.splitlines() == [
        "Put right [good], with SEAL-19 added, in USD",
        "Labour     90.00",
        "Parts      12.75",
        "Subtotal  102.75",
        "State       0.89",
        "Total     103.64",
        "Deposit     0.00",
        "Due       103.64",
    ]
    assert "error" not in err


def test_each_amount_has_its_line(run: Run, shop: tuple[Path, Path]) -> None:
    """An inspection fee that is given back, a fee, supplies and money paid already."""
    book, asked = a_shop_book(), a_job()
    book["Shop"] += [
        ["Inspection fee", 40],
        ["Inspection fee credited", "when work goes ahead"],
        ["Supplies percent of labour", 0.5],
    ]
    book["Fees"] = [["Code", "Fee", "Amount", "Applies to"], ["WASTE", "Waste", 3, "always"]]
    asked["Job"].append(["Paid so far", 20])
    write_book(shop[0], book)
    write_book(shop[1], asked)
    code, out, _ = run("--tier", "good")
    labels = [line[:20].strip() for line in out.splitlines()[1:]]
    assert code == 0
    assert labels == [
        "Labour", "Parts", "Supplies", "Fees", "Inspection", "Inspection credited", "Subtotal", "State", "Total",
        "Deposit", "Due",
    ]  # fmt: skip
    amounts = {line[:20].strip(): line.split()[-1] for line in out.splitlines()[1:]}
    assert Decimal(amounts["Due"]) == Decimal(amounts["Total"]) - 20
    assert (amounts["Inspection"], amounts["Inspection credited"], amounts["Fees"]) == ("40.00", "-40.00", "3.00")


def test_without_extras_it_is_the_tier_of_the_quote(run: Run, quoted: Any) -> None:
    for tier in quoted["tiers"]:
        if tier["offered"]:
            assert chosen(run, "--tier", tier["code"]) == {**tier, "problems": quoted["problems"]}


def test_with_one_extra_it_comes_to_what_the_quote_says_of_it(run: Run, quoted: Any) -> None:
    """And the tier of a choice keeps the contract, with what is left to add."""
    tiers = [tier for tier in quoted["tiers"] if tier["offered"]]
    assert [len(tier["extras"]) for tier in tiers] == [4, 3]
    for tier in tiers:
        for one in tier["extras"]:
            value = chosen(run, "--tier", tier["code"], "--extra", one["extra"])
            assert value.keys() == {*tier, "problems"}
            assert {name: value[name] for name in ("work", "subtotal", "tax", "total")} == {
                name: one[name] for name in ("work", "subtotal", "tax", "total")
            }
            assert keys_of(value) == [key for key in keys_of(tier) if key != one["extra"]]
            check_contract({**quoted, "tiers": [{name: value[name] for name in tier}]})


def test_what_can_still_be_added_is_what_adding_it_comes_to(run: Run) -> None:
    first = chosen(run, "--tier", "good", "--extra", "SEAL-19")
    for one in first["extras"]:
        both = chosen(run, "--tier", "good", "--extra", "SEAL-19", "--extra", one["extra"])
        assert (both["work"], both["total"]) == (one["work"], one["total"])


@pytest.mark.parametrize(
    "extras",
    [
        ["--extra", "seal-19", "--extra", "hub@LEFT"],
        ["--extra", "HUB@left; SEAL-19"],
        ["--extra", " hub @ left ;; seal-19 ", "--extra", ""],
        ["--extra", "SEAL-19", "--extra", "HUB@left", "--extra", "seal-19", "--extra=SEAL-19;hub@left"],
    ],
)
def test_extras_as_people_type_them(extras: list[str], run: Run) -> None:
    """Without case, several in one, blanks, and the same one twice counts once."""
    value = chosen(run, "--tier", " GOOD ", *extras)
    assert value["items"] == ["HUB@left", "NEWBUSH@left", "SEAL-19"]
    assert codes_of(value) == codes_of(chosen(run, "--tier", "good"))


def test_a_code_alone_is_taken_where_one_side_is_offered(run: Run, shop: tuple[Path, Path]) -> None:
    asked = a_job()
    del asked["Extras"][1]
    write_book(shop[1], asked)
    assert chosen(run, "--tier", "good", "--extra", "hub")["items"] == ["HUB@right", "NEWBUSH@left"]


def test_a_code_alone_is_refused_where_several_sides_are_offered(run: Run) -> None:
    code, out, err = run("--tier", "good", "--extra", "hub")
    assert (code, out) == (1, "")
    assert "--extra: HUB is offered on several sides: left and right." in err
    assert "Type HUB@left or HUB@right, or each of them." in err


def test_a_found_remedy_is_taken_like_an_extra(run: Run) -> None:
    value = chosen(run, "--tier", "good", "--extra", "newbelt")
    assert (value["items"], value["left"]) == (["NEWBELT", "NEWBUSH@left"], [])


def test_what_the_tier_includes_adds_nothing_and_is_a_warning(run: Run) -> None:
    value = chosen(run, "--tier", "better", "--extra", "NEWBELT", "--extra", "newbush@left")
    plain = chosen(run, "--tier", "better")
    assert value["total"] == plain["total"]
    assert codes_of(value)[:2] == ["nothing-to-add", "nothing-to-add"]
    assert codes_of(value)[2:] == codes_of(plain)


@pytest.mark.parametrize(
    ("extra", "code", "message", "remedy"),
    [
        ("SEEL-19", "unknown-extra", "SEEL-19 is no extra or remedy of the shop book.", "Did you mean SEAL-19?"),
        (
            "???",
            "unknown-extra",
            "??? is no extra",
            "Beside Put right are offered: HUB@left, HUB@right, NEWBELT, SEAL-19.",
        ),
        ("seal-19, newbelt", "unknown-extra", "seal-19, newbelt is no extra", "Put a semicolon between extras"),
        ("SEAL-19@left", "extra-not-offered", "SEAL-19 is offered beside Put right, but not as", "Type SEAL-19."),
        ("hub@front", "extra-not-offered", "not as hub@front", "Type HUB@left or HUB@right."),
        ("cap", "extra-not-offered", "what it needs is not open in Put right", "sheet Extras of the job"),
        ("newbush@right", "extra-not-offered", "nothing was found that it puts right", "Record the finding"),
        ("@left", "unknown-extra", "@left is no extra", "Beside Put right are offered"),
    ],
)
def test_what_cannot_be_taken_is_refused(extra: str, code: str, message: str, remedy: str, run: Run) -> None:
    value = chosen(run, "--tier", "good", "--extra", extra, code=1)
    problem = value["problems"][0]
    assert (problem["place"], problem["code"], problem["severity"]) == ("--extra", code, "error")
    assert message in problem["message"] and remedy in problem["remedy"]


def test_what_another_option_offers_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """The friction disc is behind work that only the larger options do."""
    assert main(["choice", *map(str, example(1)), "--tier", "good", "--extra", "friction"]) == 1
    assert "It is offered beside Put right and prevent or Made to last." in capsys.readouterr().err


def test_every_extra_that_is_wrong_is_named_at_once(run: Run) -> None:
    code, out, err = run("--tier", "good", "--extra", "hub; cap; seel-19")
    assert (code, out) == (1, "")
    assert err.count("--extra: ") == 3 and "3 errors" in err


@pytest.mark.parametrize(
    ("word", "remedy"),
    [
        ("goood", "Did you mean good?"),
        ("Put right and prevent", "Type better."),
        ("", "Type the code of an option."),
        ("x", "Type the code of an option."),
    ],
)
def test_an_unknown_tier_names_the_options(word: str, remedy: str, run: Run) -> None:
    value = chosen(run, "--tier", word, code=1)
    assert value["problems"][0] | {"remedy": remedy, "code": "unknown-option"} == value["problems"][0]
    assert "good (Put right), better (Put right and prevent)" in value["problems"][0]["message"]
    assert (value["code"], value["total"], value["items"]) == (None, None, [])


def test_a_tier_that_is_not_offered_is_priced_with_a_warning(run: Run, quoted: Any) -> None:
    (tier,) = [tier for tier in quoted["tiers"] if not tier["offered"]]
    value = chosen(run, "--tier", tier["code"], "--extra", "seal-19")
    assert (value["offered"], value["reason"]) == (False, tier["reason"])
    assert codes_of(value)[0] == "option-not-offered" and tier["reason"] in value["problems"][0]["message"]
    assert Decimal(value["total"]) >= Decimal(tier["total"])


def test_a_tier_that_could_not_be_worked_out_is_refused_with_the_cell(run: Run, shop: tuple[Path, Path]) -> None:
    """Two belts to choose from over the years, and one without its life."""
    book = a_shop_book()
    book["Remedies"].append(["LONGBELT", "Longer belt", "replace", "FRAYED", "BELTING", None])
    write_book(shop[0], book)
    value = chosen(run, "--tier", "better", "--extra", "seal-19", code=1)
    assert (value["code"], value["offered"], value["total"]) == ("better", False, None)
    problem = value["problems"][0]
    assert problem["code"] == "option-not-worked-out" and "book.xlsx:Remedies!F4" in problem["message"]


def test_a_refusal_has_the_fields_of_a_choice(run: Run) -> None:
    """Null or empty, so that a program need not ask first."""
    good = chosen(run, "--tier", "good")
    refused = chosen(run, "--tier", "good", "--extra", "hub", code=1)
    assert refused.keys() == good.keys() == lay_out_refused_choice_json(None, []).keys()
    assert {name for name in good if isinstance(good[name], list)} == {
        name for name in refused if isinstance(refused[name], list)
    }
    known = {"code": "good", "name": "Put right", "offered": True, "reason": None}
    assert known.items() <= refused.items()
    assert all(refused[name] in (None, []) for name in refused.keys() - known.keys() - {"problems"})


def test_problems_of_the_workbooks_stop_it(run: Run, shop: tuple[Path, Path]) -> None:
    book = a_shop_book()
    book["Parts"][1][3] = "$22"
    write_book(shop[0], book)
    value = chosen(run, "--tier", "good", code=1)
    assert value["problems"][0]["place"] == "book.xlsx:Parts!D2"
    assert value["total"] is None


def test_problems_of_the_plan_stop_it(run: Run, shop: tuple[Path, Path]) -> None:
    write_book(shop[1], {**a_job(), "Plan": [["Tier", "Item", "Side"], ["better", "NEWBUSH", "right"]]})
    code, out, err = run("--tier", "good")
    assert (code, out) == (1, "") and "job.xlsx:Plan!" in err


def test_a_file_that_is_not_there_is_said(run: Run, shop: tuple[Path, Path]) -> None:
    shop[1].unlink()
    assert codes_of(chosen(run, "--tier", "good", code=1)) == ["missing-file"]


def test_nothing_is_written(run: Run, shop: tuple[Path, Path]) -> None:
    before = [path.read_bytes() for path in shop]
    run("--tier", "good", "--extra", "seal-19", "--json")
    assert sorted(shop[0].parent.iterdir()) == sorted(shop)
    assert [path.read_bytes() for path in shop] == before


def test_without_a_tier_it_is_wrong_usage(run: Run) -> None:
    code, out, err = run("--extra", "seal-19")
    assert (code, out) == (2, "") and "--tier" in err


def test_the_schema_knows_every_field_of_a_tier() -> None:
    """The refusal's fields are spelled out; here they are held against the contract of the quote."""
    assert [*lay_out_refused_choice_json(None, [])] == [*SCHEMA["$defs"]["tier"]["required"], "problems"]


def test_lists_of_extras_are_taken_apart() -> None:
    assert listed(["A;B@left  front", "; ", "C"]) == ["A", "B@left front", "C"]


@pytest.mark.parametrize("number", range(1, 7))
def test_the_jobs_of_the_worked_example(number: int, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Every offered option with all that is offered beside it comes to no more than each can add at most."""
    book, path = example(number)
    assert main(["quote", str(book), str(path), "--json", "--out", str(tmp_path)]) == 0
    for tier in [tier for tier in json.loads(capsys.readouterr().out)["tiers"] if tier["offered"]]:
        everything = "; ".join(keys_of(tier))
        assert main(["choice", str(book), str(path), "--tier", tier["code"], "--extra", everything, "--json"]) == 0
        value = json.loads(capsys.readouterr().out)
        at_most = sum((Decimal(one["at_most"]) for one in tier["extras"]), Decimal(tier["work"]))
        assert Decimal(value["work"]) <= at_most
        assert value["extras"] == []
