"""What to charge, what to keep, and how sure that is: the menu judged by what was sold, and decisions about it."""

from costing.menu.engineer import Engineered, Klass, Row, engineer

__all__ = ["Engineered", "Klass", "Row", "engineer"]
