"""Every problem code has one small input and one expected text (tests/problem_catalogue/)."""

from __future__ import annotations

import ast
import tomllib
from functools import cache
from pathlib import Path

import pytest

from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.problem_catalogue.catalogue import CASES, case_names, code_of, expected_of, problems_of, text_of
from tests.problem_catalogue.workbooks import BOOK, JOB, write
from tests.readme_tables import coded_problems

ROOT = Path(__file__).parents[2]

ELSEWHERE = {
    "disk": "tests/cli/test_report.py",
    "quotekit-fault": "tests/cli/test_report.py",
    "earlier-quote": "tests/cli/test_quote.py",
    "output-exists": "tests/cli/test_output_files.py",
    "output-open": "tests/cli/test_output_files.py",
    **dict.fromkeys(("missing-folder", "watched-already"), "tests/cli/test_watch.py"),
    "watch-folder": "tests/cli/test_watch_lock.py",
    "saved-as-ods": "tests/cli/test_watched_ods.py",
    **dict.fromkeys(("no-worker", "worker-ended"), "tests/cli/test_batch_pool.py"),
    **dict.fromkeys(
        ("cluster-empty", "cluster-lost", "cluster-not-reached", "cluster-program", "no-distributed"),
        "tests/cli/test_batch_cluster.py",
    ),
    "batch-already": "tests/cli/test_batch_places.py",
    "not-results": "tests/cli/test_batch_given.py",
    **dict.fromkeys(("choice-made", "job-twice"), "tests/cli/test_watched_saves.py"),
    "output-is-input": "tests/cli/test_output_files.py",
    "version-issued": "tests/cli/answers/test_price.py",
    "issued-kept": "tests/cli/test_write_over_issued.py",
    "too-many-choices": "tests/workbook/test_problem_catalogue.py",
    "choice-not-proven": "tests/pricing/test_choose.py",
    "figure-too-large": "tests/cli/test_rate.py",
    "no-libreoffice": "tests/cli/test_quote_pdf.py",
    **dict.fromkeys(("office-not-found", "office-in-a-box"), "tests/addin/test_find_office.py"),
    "engine-not-started": "tests/addin/test_engine_command.py",
    **dict.fromkeys(
        ("office-not-started", "office-of-another", "office-open", "office-refused", "office-without-python"),
        "tests/addin/test_install.py",
    ),
    **dict.fromkeys(
        ("extension-of-other-version", "never-saved", "unknown-request"), "tests/cli/answers/test_serve.py"
    ),
    **dict.fromkeys(("inputs-not-found", "which-shop-book"), "tests/cli/answers/test_explain_cell.py"),
    "not-run-here": "tests/cli/answers/test_run_command.py",
    "pdf-failed": "tests/cli/test_quote_pdf.py",
    "pdf-time-out": "tests/cli/test_quote_pdf.py",
    **dict.fromkeys(
        (
            "ledger-address",
            "ledger-busy",
            "ledger-damaged",
            "ledger-disk",
            "ledger-driver",
            "ledger-folder",
            "ledger-gone",
            "ledger-login",
            "ledger-newer",
            "ledger-read-only",
        ),
        "tests/ledger/test_failures.py",
    ),
    "ledger-changed": "tests/ledger/test_check.py",
    "ledger-file-lost": "tests/ledger/test_ledger.py",
    "ledger-missing": "tests/ledger/test_open_ledger.py",
    "ledger-refused": "tests/ledger/test_ledger.py",
    "ledger-unreadable": "tests/ledger/test_ledger.py",
    "which-ledger": "tests/cli/test_which_ledger.py",
    "frozen-unreadable": "tests/cli/test_frozen.py",
    **dict.fromkeys(("input-changed", "nothing-to-issue", "version-of-ledger"), "tests/cli/test_issue.py"),
    "frozen-total-differs": "tests/cli/test_accept.py",
    **dict.fromkeys(
        ("agreed-work-gone", "book-not-comparable", "part-exchanged", "ready-later"), "tests/cli/test_revise.py"
    ),
    "safety-left": "tests/cli/test_decline.py",
    "order-currency": "tests/cli/test_order.py",
    "below-minimum": "tests/cli/test_order.py",
    "part-on-several-lines": "tests/cli/test_receive.py",
    "order-price-old": "tests/pricing/landed/test_build_order.py",
    "order-not-proven": "tests/pricing/landed/test_build_order.py",
    "order-without-cost": "tests/pricing/landed/test_build_order.py",
    "part-not-agreed-now": "tests/pricing/landed/test_open_needs.py",
    "part-superseded": "tests/pricing/landed/test_superseded.py",
    "part-not-returnable": "tests/cli/test_receive.py",
    **dict.fromkeys(("called-off-before", "order-unfinished"), "tests/cli/test_cancel_order.py"),
    "billed-already": "tests/cli/test_decline.py",
    "not-a-coin": "tests/cli/test_pay.py",
    "not-rounded": "tests/cli/test_pay.py",
    "no-before-quote": "tests/cli/test_decline.py",
    "work-begun": "tests/cli/test_decline.py",
    "parts-were-ordered": "tests/cli/test_decline.py",
    "core-too-many": "tests/pricing/actual/test_close_work.py",
    **dict.fromkeys(
        ("closed-before-change", "nothing-done", "parts-beyond-consent", "paid-counted-together", "tax-changed"),
        "tests/cli/test_bill.py",
    ),
    **dict.fromkeys(("comeback-of-later", "comeback-of-open"), "tests/cli/test_comeback.py"),
    **dict.fromkeys(
        ("nothing-to-bill", "part-not-in-book", "priced-differently"), "tests/pricing/bill/test_make_bill.py"
    ),
    "filled-name-missing": "tests/workbook/test_read_work_order.py",
    **dict.fromkeys(("filled-twice", "not-read"), "tests/workbook/test_returned_work_order.py"),
    "template-loses": "tests/workbook/test_keep_drawings.py",
    **dict.fromkeys(
        ("nothing-ticked", "not-a-time", "time-gone", "time-changed", "time-by-formula", "formulas-to-work-out"),
        "tests/cli/test_take_over.py",
    ),
    "time-not-taken-over": "tests/cli/test_taking_over.py",
    **dict.fromkeys(
        (
            "book-saved-since",
            "book-would-be-wrong",
            "row-changed",
            "row-gone",
            "row-not-told-apart",
            "value-not-placed",
        ),
        "tests/cli/test_prices_apply.py",
    ),
    **dict.fromkeys(("no-such-change", "nothing-to-undo", "undone-already"), "tests/cli/test_prices_undo.py"),
    "change-of-other-kind": "tests/cli/test_take_over_in_place.py",
    "change-stopped-half-way": "tests/cli/test_changing_book.py",
    **dict.fromkeys(("no-currency", "no-polars", "no-price-mapping"), "tests/cli/test_prices.py"),
    "bad-price-mapping": "tests/suppliers/test_mapping.py",
    **dict.fromkeys(
        ("not-price-proposals", "price-proposals-changed", "second-tick-missing"),
        "tests/workbook/test_read_price_proposals.py",
    ),
    **dict.fromkeys(
        ("job-not-priced", "no-price-list", "supplier-twice", "unknown-supplier"), "tests/cli/test_prices_propose.py"
    ),
    "list-not-understood": "tests/suppliers/test_guess.py",
    **dict.fromkeys(("list-too-large", "not-a-list", "which-member"), "tests/suppliers/test_open_list.py"),
    **dict.fromkeys(
        (
            "encoding-changed",
            "header-moved",
            "list-cells-unread",
            "list-column-missing",
            "list-column-twice",
            "no-usable-row",
            "not-the-encoding",
            "other-kind-of-list",
        ),
        "tests/suppliers/test_read_list.py",
    ),
    "which-list-sheet": "tests/workbook/test_list_rows.py",
    **dict.fromkeys(
        (
            "against-typing-rule",
            "cell-holds-more",
            "cell-in-array",
            "cell-in-pivot",
            "cell-is-formula",
            "cell-merged",
            "cell-of-table",
            "change-not-made",
            "changed-twice",
            "chart-as-before",
            "no-date-format",
            "not-a-cell",
            "other-format",
            "pivot-as-before",
            "sheet-protected",
            "value-not-kept",
            "workbook-shared",
            "workbook-signed",
        ),
        "tests/workbook/in_place/test_edit_workbook.py",
    ),
    **dict.fromkeys(
        ("cell-changed-since", "file-changed", "file-read-only"), "tests/workbook/in_place/test_put_in_place.py"
    ),
    **dict.fromkeys(
        (
            "book-needed",
            "different-jobs",
            "different-kinds",
            "figures-differ",
            "not-a-costing",
            "not-comparable",
            "unreadable-json",
        ),
        "tests/cli/test_compare.py",
    ),
}
"""Codes that need more than two workbooks to show, and the test that shows each."""


def refused_codes() -> set[str]:
    """Codes the guard gives by name before they become problems."""
    found = set()
    for path in sorted((ROOT / "quotekit" / "workbook").glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) in ("BadPackage", "self._refuse"):
                found |= _texts(node.args[0])
            elif isinstance(node, ast.Return) and isinstance(node.value, ast.Tuple) and "scan" in path.stem:
                found |= _texts(node.value.elts[0])
    return found


def _texts(node: ast.expr) -> set[str]:
    return {each.value for each in ast.walk(node) if isinstance(each, ast.Constant) and isinstance(each.value, str)}


@cache
def codes_used() -> frozenset[str]:
    """Every problem code in quotekit/."""
    return frozenset({each.code for each in coded_problems()} | refused_codes())


@pytest.mark.parametrize("case", case_names())
def test_each_case_prints_its_problem(case: str, tmp_path: Path) -> None:
    problems = problems_of(case, tmp_path)
    assert text_of(problems) == expected_of(case)
    assert code_of(case) in {problem.code for problem in problems}
    assert all(problem.place.file and problem.message and problem.remedy.endswith((".", "?")) for problem in problems)


@pytest.mark.parametrize("case", case_names())
def test_each_case_says_why_it_matters(case: str) -> None:
    assert tomllib.loads((CASES / f"{case}.toml").read_text(encoding="utf-8"))["why"].endswith((".", "?"))


def test_the_workbooks_that_cases_change_have_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else a case could show a problem that its change did not make."""
    (tmp_path / "none.toml").write_text('why = "nothing is changed"', encoding="utf-8")
    monkeypatch.setattr("tests.problem_catalogue.catalogue.CASES", tmp_path)
    assert problems_of("none", tmp_path) == []


def test_every_code_has_a_case_and_every_case_a_code() -> None:
    cases = {code_of(case) for case in case_names()}
    assert codes_used() - cases - ELSEWHERE.keys() == set()
    assert cases - codes_used() == set()


@pytest.mark.parametrize(("code", "test"), ELSEWHERE.items())
def test_codes_shown_elsewhere_are(code: str, test: str) -> None:
    assert f'"{code}"' in (ROOT / test).read_text(encoding="utf-8")


def test_a_bad_number_stops_the_quote(tmp_path: Path) -> None:
    assert has_errors(problems_of("text-number", tmp_path))


def test_no_choice_in_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Faults in a ring, each remedy fixing two or three of them: hundreds of ways, and no time to find one.

    As where limits stand in the way: without any, a first choice is found without solving.
    """
    monkeypatch.setattr("quotekit.pricing.exact.selection.TangledChoice.without_needless", lambda choice: None)
    monkeypatch.setattr("quotekit.pricing.choose.MOST_LOOKED_THROUGH", 100)
    monkeypatch.setattr("quotekit.pricing.exact.untangle.MOST_SECONDS", 0)
    faults = 7
    book = {name: [list(row) for row in rows] for name, rows in BOOK.items()}
    for fault in range(faults):
        book["Findings"].append([f"F{fault}", "Worn", "BLOWER", "needed"])
        for way, step in enumerate((1, 3, 5)):
            operation, fixes = f"O{fault}-{way}", f"F{fault}; F{(fault + step) % faults}"
            book["Operations"].append([operation, "Mend", 0.3 + way / 10 + fault / 50, "", "", "", "BELT", "COVER"])
            book["Remedies"].append([f"R{fault}-{way}", "Mend", "repair", fixes, operation, "", "", 2 + 3 * way])
    job = {**JOB, "Plan": [], "Findings": [JOB["Findings"][0], *([f"F{fault}"] for fault in range(faults))]}
    no_change: dict[str, dict[str, list[str]]] = {"merge": {}, "hide": {}}
    read, problems = read_shop_book(write(tmp_path / "prices.xlsx", book, no_change))
    assert read is not None
    recorded, found = read_job(write(tmp_path / "job.xlsx", job, no_change), read)
    assert recorded is not None and [*problems, *found] == []
    assert [problem.code for problem in build_quote(read, recorded).problems] == ["too-many-choices"]
