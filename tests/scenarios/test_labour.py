"""Labour a shop owner can check by hand: shared access, minimum hours, rust over two rates, rates by date, upgrades."""

from __future__ import annotations

from datetime import date

from tests import build
from tests.scenarios.hill_road import bill_for, hill_road, money, with_settings


def test_shared_access_is_billed_once() -> None:
    """Bushing, belt and seal together, on one opening.

    Housing 0.4 + 0.3, chain case 0.2 + 0.2: 1.1 hours of access. Bushing 0.6, belt 0.3, seal 0.5: 1.4.
    2.5 hours x 96.00 = 240.00. Bushings 2 x 6.00 (3.00 doubled), belt 20 x 1.6 = 32.00, seal 4.50 doubled 9.00: 53.00.
    Source: Littlechild and Owen, Management Science 20(3), 1973, for sharing; charging it once is common practice.
    """
    tier = bill_for(hill_road(), "WORN-BUSH@left", "FRAYED-BELT", "LEAKING-SEAL")
    assert money(tier) == {"labour": "240.00", "parts": "53.00", "total": "293.00"}


def test_done_apart_the_same_work_costs_more() -> None:
    """Three visits: the housing is opened each time, the chain case once.

    Bushing 0.7 + 0.6 = 1.3: 124.80 + 12.00. Belt 0.7 + 0.3 = 1.0: 96.00 + 32.00. Seal 1.1 + 0.5 = 1.6: 153.60 + 9.00.
    136.80 + 128.00 + 162.60 = 427.40, against 293.00 together. Common practice, no source.
    """
    apart = [bill_for(hill_road(), code).total for code in ("WORN-BUSH@left", "FRAYED-BELT", "LEAKING-SEAL")]
    assert [str(total) for total in apart] == ["136.80", "128.00", "162.60"]
    assert str(sum(apart)) == "427.40"


def test_fair_shares_of_the_shared_opening() -> None:
    """The housing's 0.7 in three, the chain case's 0.4 for the seal alone.

    Belt 0.3 + 0.2333 = 0.5333 hours, 51.20; bushing 0.6 + 0.2333 = 0.8333, 80.00;
    seal 0.5 + 0.4 + 0.2333 = 1.1333, 108.80.
    51.20 + 80.00 + 108.80 = 240.00. Source: Shapley value of the airport game, Littlechild and Owen, 1973.
    """
    tier = bill_for(hill_road(), "WORN-BUSH@left", "FRAYED-BELT", "LEAKING-SEAL")
    assert {share.item: (str(share.hours), str(share.labour)) for share in tier.shares} == {
        "NEW-BELT": ("0.5333", "51.20"),
        "NEW-BUSH@left": ("0.8333", "80.00"),
        "NEW-SEAL": ("1.1333", "108.80"),
    }


def test_both_bushings_on_one_opening() -> None:
    """The second side takes 0.4 instead of 0.6: 0.7 + 0.6 + 0.4 = 1.7 hours.

    1.7 x 96.00 = 163.20; four bushings at 6.00 = 24.00, one pack of four. Common practice, no source.
    """
    tier = bill_for(hill_road(), "WORN-BUSH@left", "WORN-BUSH@right")
    assert money(tier) == {"labour": "163.20", "parts": "24.00", "total": "187.20"}
    assert tier.part_lines[0].packs == 1


def test_minimum_hours() -> None:
    """Skid shoes alone take 0.2 hours; the shop's minimum is 0.5.

    0.2 x 96.00 = 19.20, and 0.3 hours to the minimum = 28.80: 48.00. Shoes 2 x 15.00 (7.50 doubled) = 30.00.
    With the belt it is 0.2 + 0.7 + 0.3 = 1.2 hours and no minimum: 115.20. Common practice, no source.
    """
    alone = bill_for(with_settings(minimum_labour_hours="0.5"), "WORN-SHOES")
    assert str(alone.minimum_amount) == "28.80"
    assert money(alone) == {"labour": "48.00", "parts": "30.00", "total": "78.00"}
    together = bill_for(with_settings(minimum_labour_hours="0.5"), "WORN-SHOES", "FRAYED-BELT")
    assert money(together) == {"labour": "115.20", "parts": "62.00", "total": "177.20"}


def test_the_ceiling_of_a_condition_over_two_rates() -> None:
    """Rust adds half of the hours it slows, at most 0.6 on a job, shared by bench and welding.

    Bench 1.2 hours slowed, weld 0.8: half of 2.0 is 1.0, so 0.6: bench 0.6 x 1.2/2.0 = 0.36, weld 0.24.
    Bench 1.56, billed 1.6 x 96.00 = 153.60; weld 1.04, billed 1.1 x 120.00 = 132.00. Common practice, no source.
    """
    book = hill_road(
        operations=[
            build.an_operation("FREE", "1.2", slowed_by_rust=True),
            build.an_operation("PATCH", "0.8", labour="WELD", slowed_by_rust=True),
        ],
        conditions=[build.a_condition("SEIZED", "0.5", at_most_hours="0.6")],
        findings=[build.a_finding("STUCK")],
        remedies=[build.a_remedy("FREED", ["STUCK"], ["FREE", "PATCH"])],
    )
    tier = bill_for(book, "STUCK", condition="SEIZED")
    assert [(line.rate, str(line.allowance), str(line.billed), str(line.amount)) for line in tier.labour_lines] == [
        ("BENCH", "0.36", "1.6", "153.60"),
        ("WELD", "0.24", "1.1", "132.00"),
    ]
    assert str(tier.total) == "285.60"


def test_a_rate_that_rises_on_the_first_of_march() -> None:
    """92.00 until February, 96.00 from 1 March. The belt takes 1.0 hour.

    Quoted on 28 February: 92.00 + 32.00; on 1 March: 96.00 + 32.00. Common practice, no source.
    """
    rates = [build.a_rate("BENCH", 92), build.a_rate("BENCH", 96, in_force_from=date(2026, 3, 1))]
    before = bill_for(hill_road(labour_rates=rates), "FRAYED-BELT", quote_date=date(2026, 2, 28))
    after = bill_for(hill_road(labour_rates=rates), "FRAYED-BELT", quote_date=date(2026, 3, 1))
    assert (str(before.total), str(after.total)) == ("124.00", "128.00")


def test_a_larger_job_includes_a_smaller() -> None:
    """Rebuilding the auger gearbox (3.0 hours) includes its seal (0.5): the seal is done, and not paid twice.

    0.7 + 0.4 + 3.0 = 4.1 hours x 96.00 = 393.60, no seal as a part of its own. Common practice, no source.
    """
    plain = hill_road()
    book = hill_road(
        operations=[
            *plain.operations.values(),
            build.an_operation("REBUILD", 3, access=["CHAIN-CASE"], includes=["SEAL"]),
        ],
        findings=[*plain.findings.values(), build.a_finding("NOISY")],
        remedies=[*plain.remedies.values(), build.a_remedy("REBUILT", ["NOISY"], ["REBUILD"])],
    )
    tier = bill_for(book, "NOISY", "LEAKING-SEAL")
    assert money(tier) == {"labour": "393.60", "total": "393.60"}
    assert (tier.fixed, tier.dropped) == (("LEAKING-SEAL", "NOISY"), ("SEAL",))


def test_upgrade_labour_taxed_apart() -> None:
    """Repair labour is free of tax, labour of an upgrade is taxed 6 % (some states tax improvements only).

    A steel liner (1.0 hour) behind the housing with the belt (0.3): the liner has half of the 0.7 opening, 1.35 of 2.0.
    2.0 x 96.00 = 192.00, of which 129.60 is upgrade labour: tax 7.78 (7.776). Source: owner's dated data.
    """
    plain = hill_road()
    book = hill_road(
        operations=[*plain.operations.values(), build.an_operation("LINER", 1, access=["HOUSING"])],
        findings=[*plain.findings.values(), build.a_finding("THIN-WALL")],
        remedies=[*plain.remedies.values(), build.a_remedy("STEEL-LINER", ["THIN-WALL"], ["LINER"], kind="upgrade")],
        taxes=[build.a_tax("STATE", 0, ["labour"]), build.a_tax("STATE", "0.06", ["upgrade labour"])],
    )
    tier = bill_for(book, "THIN-WALL", "FRAYED-BELT")
    assert [(line.tax, str(line.base), str(line.amount)) for line in tier.taxes] == [("STATE", "129.60", "7.78")]
    assert money(tier) == {"labour": "192.00", "parts": "32.00", "tax": "7.78", "total": "231.78"}
