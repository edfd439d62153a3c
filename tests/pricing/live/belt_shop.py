"""A small shop and job with two options and four things to tick, whose figures can be worked out by hand.

Labour is 100.00 an hour in steps of 0.1; a part that costs 10.00 sells at 15.00; tax is 7 % of parts.
"""

from __future__ import annotations

from typing import Any

from quotekit.model.shop_book import ShopBook
from tests import build


def shop(**values: Any) -> ShopBook:
    """Good mends the bushing behind the cover; better does the belt behind it too; TUNED and SEALED are extras."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER")],
        "operations": [
            build.an_operation("FIT-BUSHING", "0.6", access=["COVER"], parts="BUSHING"),
            build.an_operation("FIT-BELT", "0.4", access=["COVER"], parts="BELT"),
            build.an_operation("TUNE", "0.3"),
            build.an_operation("FIT-SEAL", "0.2", each_side=True, access=["COVER"], parts="SEAL"),
        ],
        "parts": [build.a_part("BUSHING"), build.a_part("BELT", 20), build.a_part("SEAL")],
        "findings": [build.a_finding("WORN"), build.a_finding("FRAYED", "advised")],
        "remedies": [
            build.a_remedy("NEW-BUSHING", ["WORN"], ["FIT-BUSHING"]),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"]),
        ],
        "extras": [build.an_extra("TUNED", ["TUNE"]), build.an_extra("SEALED", ["FIT-SEAL"], machines=["NONE"])],
        "taxes": [build.a_tax(rate="0.07", charges=["parts"])],
        "tiers": [build.a_tier("good"), build.a_tier("better", ["safety", "needed", "advised"])],
    }
    return build.a_book(**(named | values))


def job(**values: Any) -> Any:
    """Both findings; tuning, and a seal on either side, are on the job's list."""
    rows = (build.a_job_extra("TUNED"), build.a_job_extra("SEALED", "left"), build.a_job_extra("SEALED", "right"))
    named: dict[str, Any] = {"extras": rows}
    return build.a_job(build.a_finding_on("WORN"), build.a_finding_on("FRAYED", severity="advised"), **(named | values))
