"""The acceptance chains as reckonings, whole or with some of their plain form changed."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from costing.ledger import Reckoning, reckon
from costing.store import import_json

FOLDER = Path(__file__).parent.parent / "chains"
CHAINS = ("distillate", "cooler", "mother")
DAY = date(2026, 6, 1)
Edit = Callable[[dict[str, Any]], None]


def chain(name: str, edit: Edit | None = None) -> Reckoning:
    """One chain on the acceptance day."""
    plain = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    if edit:
        edit(plain)
    return reckon(import_json(json.dumps(plain)).on(DAY))


def find(plain: dict[str, Any], kind: str, ident: str) -> dict[str, Any]:
    """One record of a plain form."""
    found: dict[str, Any] = next(r for r in plain[kind] if r["id"] == ident)
    return found
