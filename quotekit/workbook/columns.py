"""Every sheet, column, setting and field, declared once for readers and blank workbooks (DESIGN.md 3 and 4).

Nothing here computes: a column says how its header is spelled, what kind of cell it holds, whether it is required,
and in one line what to put there.
"""

from __future__ import annotations

from quotekit.workbook.choice_columns import (
    BUNDLES as BUNDLES,
)
from quotekit.workbook.choice_columns import (
    CAUTIONS as CAUTIONS,
)
from quotekit.workbook.choice_columns import (
    EXTRAS as EXTRAS,
)
from quotekit.workbook.choice_columns import (
    FEES as FEES,
)
from quotekit.workbook.choice_columns import (
    FINDINGS as FINDINGS,
)
from quotekit.workbook.choice_columns import (
    FITS_ONLY_IF as FITS_ONLY_IF,
)
from quotekit.workbook.choice_columns import (
    REMEDIES as REMEDIES,
)
from quotekit.workbook.choice_columns import (
    TAXES as TAXES,
)
from quotekit.workbook.choice_columns import (
    TIERS as TIERS,
)
from quotekit.workbook.column import Column as Column
from quotekit.workbook.column import Field as Field
from quotekit.workbook.column import Kind as Kind
from quotekit.workbook.column import SheetColumns as SheetColumns
from quotekit.workbook.job_columns import (
    JOB as JOB,
)
from quotekit.workbook.job_columns import (
    JOB_EXTRAS as JOB_EXTRAS,
)
from quotekit.workbook.job_columns import (
    JOB_FIELDS as JOB_FIELDS,
)
from quotekit.workbook.job_columns import (
    JOB_FINDINGS as JOB_FINDINGS,
)
from quotekit.workbook.job_columns import (
    JOB_PARTS as JOB_PARTS,
)
from quotekit.workbook.job_columns import (
    ONE_OFF as ONE_OFF,
)
from quotekit.workbook.job_columns import (
    PLAN as PLAN,
)
from quotekit.workbook.rate_columns import RATE_BUILDER as RATE_BUILDER
from quotekit.workbook.shop_settings import SHOP_SETTINGS as SHOP_SETTINGS
from quotekit.workbook.work_columns import (
    ACCESS as ACCESS,
)
from quotekit.workbook.work_columns import (
    CONDITIONS as CONDITIONS,
)
from quotekit.workbook.work_columns import (
    LABOUR_RATES as LABOUR_RATES,
)
from quotekit.workbook.work_columns import (
    MACHINES as MACHINES,
)
from quotekit.workbook.work_columns import (
    MARKUP as MARKUP,
)
from quotekit.workbook.work_columns import (
    OFFERS as OFFERS,
)
from quotekit.workbook.work_columns import (
    OPERATIONS as OPERATIONS,
)
from quotekit.workbook.work_columns import (
    PARTS as PARTS,
)
from quotekit.workbook.work_columns import (
    PARTS_USED as PARTS_USED,
)
from quotekit.workbook.work_columns import (
    SHOP as SHOP,
)
from quotekit.workbook.work_columns import (
    SUPPLIERS as SUPPLIERS,
)

SHOP_BOOK: tuple[SheetColumns, ...] = (
    SHOP,
    LABOUR_RATES,
    CONDITIONS,
    MACHINES,
    ACCESS,
    OPERATIONS,
    PARTS,
    PARTS_USED,
    OFFERS,
    SUPPLIERS,
    MARKUP,
    FINDINGS,
    REMEDIES,
    FITS_ONLY_IF,
    EXTRAS,
    BUNDLES,
    FEES,
    TAXES,
    TIERS,
    CAUTIONS,
    RATE_BUILDER,
)
"""Every sheet of the shop book, in reading order."""

JOB_WORKBOOK: tuple[SheetColumns, ...] = (JOB, JOB_FINDINGS, JOB_EXTRAS, JOB_PARTS, ONE_OFF, PLAN)
"""Every sheet of the job workbook, in reading order."""
