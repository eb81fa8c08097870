"""The sheets of what is in the glass: the balance of every serve, and the allergen table with its reasons."""

from costing.report.allergy import SO2_LINE
from costing.report.allergy_words import behind_words, into_words, state_word, stated_words
from costing.report.content import Contents
from costing.report.grid import Sheet, at, tab
from costing.report.phrases import day_stamp, said_of, sugar_acid_words
from costing.report.words import allergen_name, allergen_word, mark_word, series
from costing.tongue import Saying, Sayings, numeral, say, say_word

BALANCE: Saying = "Balance"
ALLERGENS: Saying = "Allergens"
REASONS: Saying = "Allergen reasons"
_HEADINGS: Sayings = (
    "Serve", "Section", "Volume, ml", "Strength, % vol", "Alcohol, g", "Standard drinks", "Sugar, g/l", "Acid, g/l",
    "Sugar to acid", "CO2, g/l", "SO2, mg/l", "Dilution", "mark", "Remark",
)  # fmt: skip


def balance_sheet(contents: Contents) -> Sheet:
    """Every serve after dilution: volume, strength, alcohol, standard drinks, sugar, acid, gas, SO2."""
    head = contents.head
    sheet = Sheet(tab(BALANCE), (27, 22, 8, 9, 8, 9.5, 8, 8, 8, 7, 7, 8, 11, 44), printed_columns=13)
    grams = head.gram_drink
    if grams:
        drink = say("A standard drink is {grams} g of alcohol here.", grams=numeral(f"{grams:g}"))
    else:
        drink = say("The house states no standard drink.")
    words = say(
        "after dilution, at 20 °C. Sugar is all that is dissolved but the acids; acid is as citric; SO2 is the most "
        "there can be."
    )
    sheet.begin(say_word(BALANCE), day_stamp(head), f"{head.house} · {words} {drink}")
    sheet.headings(3, (say_word(name) for name in _HEADINGS), range(3, 13))
    sheet.text(3, 13, say_word(_HEADINGS[12]), "head.beside")
    if grams:
        sheet.text(4, 1, say("A standard drink, g"), "text.small")
        sheet.number(4, 5, grams, "price")
    for row, card in enumerate(contents.cards, start=5):
        sheet.text(row, 1, card.name, "text.bold")
        sheet.text(row, 2, series(card.sections) or say("on no menu"), "text.small")
        found = card.balance
        if card.dilution is not None:
            sheet.number(row, 12, card.dilution.share, "percent")
            sheet.text(row, 13, mark_word(card.dilution.mark), "beside")
        said = [said_of(p, contents) for p in card.doubts]
        if found is not None and (card.tart or card.sweet):
            said.append(sugar_acid_words(found, card.tart, card.sweet))
        sheet.text(row, 14, "; ".join(said), "text.small")
        if found is None:
            sheet.text(row, 3, say("not known"), "right.small")
            continue
        sheet.number(row, 3, 1000.0 * found.litres, "plain")
        sheet.number(row, 4, 100.0 * found.abv, "strength")
        sheet.number(row, 5, found.ethanol_g, "strength")
        if grams:
            sheet.formula(row, 6, f"={at(row, 5)}/{at(4, 5)}", "two")
        for column, value in ((7, found.sugar_g_l), (8, found.acid_g_l), (10, found.co2_g_l), (11, found.so2_mg_l)):
            sheet.number(row, column, value, "strength")
        sheet.formula(row, 9, f'=IF({at(row, 8)}>0.05,{at(row, 7)}/{at(row, 8)},"")', "strength")
    return sheet


def allergens_sheet(contents: Contents) -> Sheet:
    """Serves and preparations by the house's list, and the SO2 computed in each."""
    head, found = contents.head, contents.allergens
    names = found.names if found else ()
    sheet = Sheet(tab(ALLERGENS), (34, *(11.5 for _ in names), 9.5), pages_wide=2)
    last = max(len(sheet.widths), 4)
    sheet.widths = (*sheet.widths, *(12.0 for _ in range(last - len(sheet.widths))))
    if found and names:
        note = say(
            "list {list} ({source}). Not stated is not free. Exempt: a named person took it away; distilling alone "
            "never does.",
            list=found.list,
            source=found.source,
        )
    else:
        note = say("the house names no list of allergens that is shipped, so nothing can be said.")
    sheet.begin(say_word(ALLERGENS), day_stamp(head), f"{head.house} · {note}")
    called = (allergen_name(name) for name in names)
    sheet.headings(3, (say("Serve, preparation"), *called, say("SO2, mg/l")), (len(names) + 2,))
    if found is None or not names:
        return sheet
    row = 3
    for line in found.rows:
        row += 1
        sheet.text(row, 1, line.name, "text.bold" if line.kind == "serve" else "text")
        for column, finding in enumerate(line.findings, start=2):
            sheet.text(row, column, allergen_word(finding.state) if finding.state != "free" else "–",
                       f"state.{finding.state}")  # fmt: skip
        if line.so2 is not None:
            style = "strength.bold" if line.so2 > SO2_LINE else "strength"
            sheet.number(row, len(names) + 2, line.so2, style)
    return sheet


_REASONS: Sayings = ("Allergen", "Says", "By", "Stated by", "Label, or why", "Since", "In, by way of")


def reasons_sheet(contents: Contents) -> Sheet:
    """Why: each statement with who made it and what it reaches; then what is not stated."""
    sheet, found = Sheet(tab(REASONS), (20, 11, 25, 20, 22, 10, 34)), contents.allergens
    words = say(
        "sulphites are declared above {line} mg/l of total SO2 as consumed (Regulation (EU) 1169/2011, Annex II); the "
        "sheet {sheet} has what is computed from the makeup of goods.",
        line=numeral(f"{SO2_LINE:g}"),
        sheet=tab(ALLERGENS),
    )
    sheet.begin(say_word(REASONS), day_stamp(contents.head), f"{contents.head.house} · {words}")
    sheet.headings(3, (say_word(name) for name in _REASONS))
    row = 3
    for reason in found.reasons if found else ():
        row += 1
        who, label, since = stated_words(reason)
        behind = behind_words(reason)
        into = into_words(reason)
        into = say("Behind it: {behind}; {into}", behind=behind, into=into) if behind else into
        called = allergen_name(reason.allergen)
        for column, text in enumerate((called, state_word(reason), reason.source, who, label, since, into), 1):
            sheet.text(row, column, text, "text.bold" if column == 3 else "text" if column < 3 else "text.small")
    for line in found.unstated if found else ():
        row += 1
        named = (allergen_name(name) for name in line.missing)
        missing = say("everything on the list") if line.all else series(named)
        sheet.text(row, 1, missing)
        sheet.text(row, 2, allergen_word("not_stated"), "state.not_stated")
        sheet.text(row, 3, line.name, "text.bold")
        sheet.text(row, 4, say("nobody: ask the supplier"), "text.small")
    return sheet
