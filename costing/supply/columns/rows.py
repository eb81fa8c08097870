"""Which rows of a table are lines, and why the others are none."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from costing.supply.arriving.table import Table, Unworked
from costing.supply.columns.amounts import Amount
from costing.supply.columns.folding import folded
from costing.supply.columns.record import Columns, body_at, place
from costing.supply.columns.taxes import tax_of_text

LONG_SENTENCE = 60
_PAGE = re.compile(
    r"(?:seite|page|blad|bladzijde|pagina|pag|pg|p|s|sheet|blatt|folio|hoja)\.? ?-? ?\d{1,4}(?: ?(?:/|"
    r"von|of|de|sur|di|van) ?\d{1,4})?"
    r"|-? ?\d{1,4} ?(?:/|von|of|sur|di|van) ?\d{1,4} ?-?",
    re.IGNORECASE,
)
_TOTAL = re.compile(
    r"(?:sub ?total|grand total|total|totale|totaal|summe|zwischensumme|gesamtsumme|gesamtbetrag|"
    r"gesamt|endsumme|ubertrag|endbetrag|"
    r"carried forward|brought forward|report|a reporter|somma|suma|subtotaal|importe total|"
    r"montant total|net total|nettosumme|bruttosumme|"
    r"rechnungsbetrag|zwischentotal|sous total|totaux|somme|warenwert|transport total)\b"
)
_MAY_BE_TOTAL = re.compile(
    r"\s*(?:sub|gra|tot|sum|zwi|ges|end|[uü]ber|carr|brou|rep|[aà] rep|som|imp|mon|net|bru|rech|sou|war|tra)",
    re.IGNORECASE,
)
_BESIDE_TOTAL = re.compile(
    r"\d+|ex|excl|exkl|incl|inkl|vat|mwst|ust|tva|btw|iva|ht|ttc|netto|brutto|net|gross|eur|euro|gbp|"
    r"usd|chf|page|seite|amount|betrag|der|of|the|zzgl|sum"
)
_CODE = re.compile(r"(?=.*\d)[\w./#-]{2,24}")
_VALID = re.compile(
    r"\b(?:gultig|valid|valable|geldig|valevole|vigente|irrtum|error|erreur|stand|agb|terms|condition)\b"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """The rows under a heading, and the columns that say whether a row is a line: texts and amounts by row."""

    table: Table
    columns: Columns
    rows: Sequence[Sequence[str]]
    codes: Sequence[str]
    gtins: Sequence[str]
    names: Sequence[str]
    packs: Sequence[str]
    prices: Sequence[Sequence[Amount]]
    strict: bool = False
    """No column of packs that a total would leave empty."""


def reasons(body: Body) -> list[str]:
    """For every row under the heading: "" for a line, else the reason (a key of ``words.LEFT_OUT``) why it is none."""
    first = body_at(body.columns)
    rows = body.rows
    leave = body.table.hidden_rows if body.columns.hidden == "leave" else frozenset()
    heads = _heading_rows(body.table, body.columns)
    main = body.prices[0] if body.prices else [None] * len(rows)
    out = []
    coded = place(body.columns, "code") is not None
    for i, (row, code, name, price) in enumerate(zip(rows, body.codes, body.names, main, strict=True)):
        if first + i in leave:
            out.append("hidden")
        elif (
            price is not None and price.value is not None and name
            and (code or not coded) and not _is_total(code or name, strict=body.strict)
        ):  # fmt: skip
            out.append("")
        else:
            out.append(_reason(body, i, row, heads))
    return _groups_apart(out)


def _reason(body: Body, i: int, row: Sequence[str], heads: frozenset[tuple[str, ...]]) -> str:
    cells = [cell.strip() for cell in row if cell.strip()]
    if not cells:
        return "" if any(isinstance(cell, Unworked) for cell in row) else "empty"
    if _is_heading(row, heads):
        return "heading-again"
    texts = list(dict.fromkeys(cells))
    if len(texts) == 1:
        return _of_one(texts[0], body.codes[i])
    if all(_PAGE.fullmatch(text) for text in texts):
        return "page"
    code, gtin, name, pack = body.codes[i].strip(), body.gtins[i].strip(), body.names[i].strip(), body.packs[i].strip()
    if not gtin and not pack and (not code or _is_total(code)) and _is_total(texts[0], strict=body.strict):
        return "total"
    priced = any(column[i].state != "empty" for column in body.prices)
    if not body.prices or priced or code or gtin:
        return ""
    return "no-price-no-code" if name or pack else _loose(texts)


def _loose(texts: Sequence[str]) -> str:
    """A row with texts in columns that mean nothing."""
    return "page" if any(_PAGE.fullmatch(text) for text in texts) else "note"


def _of_one(text: str, code: str) -> str:
    """The reason of a row with one text; "group?" is a group if a line follows."""
    if _PAGE.fullmatch(text):
        return "page"
    if _is_total(text):
        return "total"
    if text == code.strip() and _CODE.fullmatch(text):
        return ""
    if _is_sentence(text):
        return "note"
    return "group?" if any(ch.isalpha() for ch in text) else ""


def _is_sentence(text: str) -> bool:
    said = tax_of_text(text)
    return (
        len(text) > LONG_SENTENCE or text.startswith("*") or said.basis != "unknown" or said.both
        or bool(_VALID.search(folded(text)))
    )  # fmt: skip


def _is_total(text: str, *, strict: bool = False) -> bool:
    """Whether a text begins as a total does; ``strict`` where nothing but its words tell it from goods: then it has to
    be one and no more ("Total excl. VAT", not "Total cleaner")."""
    if not _MAY_BE_TOTAL.match(text):
        return False
    found = _TOTAL.match(folded(text))
    return found is not None and (not strict or all(map(_BESIDE_TOTAL.fullmatch, found.string[found.end() :].split())))


def _groups_apart(out: list[str]) -> list[str]:
    """A text that stands alone heads a group where a line comes after it; else it is a note."""
    follows = False
    for i in range(len(out) - 1, -1, -1):
        if out[i] == "group?":
            out[i] = "group" if follows else "note"
        elif not out[i]:
            follows = True
    return out


def _heading_rows(table: Table, columns: Columns) -> frozenset[tuple[str, ...]]:
    rows = table.rows[columns.header_at : body_at(columns)]
    return frozenset(_heading_form(row) for row in rows) - {()}


def _heading_form(row: Sequence[str]) -> tuple[str, ...]:
    cells = [folded(cell) for cell in row]
    while cells and not cells[-1]:
        cells.pop()
    return tuple(cells)


def _is_heading(row: Sequence[str], heads: frozenset[tuple[str, ...]]) -> bool:
    """The same cells as a row of the heading, or several of them and nothing else."""
    form = _heading_form(row)
    if form in heads:
        return True
    filled = [(i, cell) for i, cell in enumerate(form) if cell]
    return len(filled) > 1 and any(all(i < len(head) and head[i] == cell for i, cell in filled) for head in heads)
