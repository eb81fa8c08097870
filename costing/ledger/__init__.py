"""The loss ledger: stages as masses, alcohol and money; direct rows, unit costs, what is in what."""

from costing.ledger.costs import Cost
from costing.ledger.lines import Ledger, Line, Output, Stream
from costing.ledger.matter import Matter
from costing.ledger.reckon import Reckoning, reckon
from costing.ledger.unit import Unit
from costing.ledger.why import Reason, why

__all__ = ["Cost", "Ledger", "Line", "Matter", "Output", "Reason", "Reckoning", "Stream", "Unit", "reckon", "why"]
