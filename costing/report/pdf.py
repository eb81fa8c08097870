"""The printed reports. For the owner: menu cost card, cost sheets, batch sheets. For the team, without costs: spec
cards and batch sheets. For both: the allergen table."""

from costing.report.pdf_allergens import allergen_sheet
from costing.report.pdf_batch import batch_sheet, team_sheets
from costing.report.pdf_cards import spec_cards
from costing.report.pdf_costs import cost_sheets
from costing.report.pdf_decisions import menu_decisions
from costing.report.pdf_menu import menu_card

__all__ = ["allergen_sheet", "batch_sheet", "cost_sheets", "menu_card", "menu_decisions", "spec_cards", "team_sheets"]
