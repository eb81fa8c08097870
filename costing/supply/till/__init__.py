"""What a till sold, from a table of text to counts by drink: every row counted, ignored for a reason, or waiting."""

from costing.supply.till.arrive import SalesSaid, arrive_sales, sales_of_table
from costing.supply.till.columns import guess_till_columns
from costing.supply.till.plan import plan_sales
from costing.supply.till.plan_record import ButtonSeen, SalesPlan, Suggested
from costing.supply.till.preview import preview_sales, till_columns
from costing.supply.till.record import TillLines, TillRow
from costing.supply.till.roles import TILL_ROLES, TillRole
from costing.supply.till.understand import understand_sales
from costing.supply.till.words import sales_doubt_text

__all__ = [
    "TILL_ROLES", "ButtonSeen", "SalesPlan", "SalesSaid", "Suggested", "TillLines", "TillRole", "TillRow",
    "arrive_sales", "guess_till_columns", "plan_sales", "preview_sales", "sales_doubt_text", "sales_of_table",
    "till_columns", "understand_sales",
]  # fmt: skip
