"""The printed reports: the menu cost card for the owner and the batch sheet for the stillroom."""

from costing.report.pdf_batch import batch_sheet
from costing.report.pdf_menu import menu_card

__all__ = ["batch_sheet", "menu_card"]
