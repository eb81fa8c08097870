"""The casks' catalogue for 2027, as UBL 2.1 in the manner of the Peppol catalogue (transaction T19).

An update of what was sent before, so that each line says what is done with it. What a reader has to bear: prices for
a case, for single bottles and for kegs; quantity breaks; a price that ends before the catalogue does; deposits as items
of their own that a line requires; a content that is that of the whole case where the standard wants that of each
bottle; an item that ends; a price on application.
"""

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from sample_data import invoice
from sample_data.forms import leaf, tag
from sample_data.pricefiles import DESCRIBED, NEW
from sample_data.quotes import BOTTLES, gtin

ISSUED = date(2026, 12, 15)
FIRST, LAST = date(2027, 1, 1), date(2027, 12, 31)
NUMBER = "RC-CAT-2027"
PRICES = {
    "RC-201": "88.20", "RC-202": "101.40", "RC-203": "104.40", "RC-204": "75.60", "RC-206": "", "RC-208": "15.40",
    "RC-220": "70.20", "RC-221": "49.80", "RC-230": "36.60", "RC-240": "85.50", "RC-241": "18.60", "RC-250": "8.88",
}  # fmt: skip
"""What one orderable unit costs from New Year on; "" is asked for on application."""
BREAKS = {"RC-204": (("3", "73.80"), ("10", "70.80")), "RC-240": (("6", "81.50"),)}
SINGLE = frozenset({"RC-208"})
"""Sold by the bottle from now on: the number under the bars is the bottle's, not the case's."""
WHOLE = frozenset({"RC-230"})
"""Lines whose content is that of the whole case."""
ENDED = "RC-209"
OFFER = {"RC-221": date(2027, 2, 28)}
"""Prices that hold until a day before the catalogue's last."""
GLN = {"seller": gtin(9_000_001), "buyer": gtin(9_000_002)}
"""Location numbers; GS1 checks them as it does a GTIN."""
UNITS = {"cl": ("MLT", 10), "L": ("LTR", 1)}
BOTTLE, CASE, KEG, CRATE = "XBO", "XCS", "XKG", "XCR"


@dataclass(frozen=True)
class Item:
    """One line: what is done with it, and the item with its pack (``inner`` packages of bottles, ``units`` bottles)."""

    action: str
    code: str
    gtin: str
    name: str
    unit: str
    inner: int = 1
    units: int = 1
    content: str = ""
    price: str = ""
    deposit: str = ""

    @property
    def litres(self) -> Decimal:
        """In one orderable unit."""
        number, unit = self.content.split()
        return Decimal(number) * self.units / (100 if unit == "cl" else 1)


def items() -> list[Item]:
    """Every line in its order: what is sold, then the deposits."""
    out, deposits = [], []
    for offer in BOTTLES:
        described, content, _ = DESCRIBED[offer.code]
        if offer.code == ENDED:
            out.append(Item("Delete", offer.code, offer.gtin, described, CASE))
        if offer.code not in PRICES:
            continue
        levels = () if offer.code in SINGLE else offer.levels
        units = 1
        for level in levels:
            units *= level
        deposit = str(offer.more.get("deposit", ""))
        unit = KEG if offer.good == "keg-lager" else CRATE if deposit else CASE if levels else BOTTLE
        code = int(offer.code[3:]) + (1000 if offer.code in SINGLE else 0)
        out.append(Item("Update", offer.code, gtin(code), described, unit, levels[0] if levels else 1, units,
                        content, PRICES[offer.code], deposit))  # fmt: skip
        if deposit:
            what = "keg" if unit == KEG else f"crate of {units}"
            deposits.append(Item("Update", f"{offer.code}-D", gtin(code + 2000), f"Deposit {what}", unit,
                                 price=deposit))  # fmt: skip
    for fresh, described, content, _, bottles, price in NEW:
        out.append(Item("Add", fresh, gtin(int(fresh[3:])), described, CASE, bottles, bottles, content, price))
    return out + deposits


def _period(name: str, first: date, last: date) -> str:
    return tag(name, leaf("cbc:StartDate", first), leaf("cbc:EndDate", last))


def _content(item: Item) -> str:
    """What each bottle holds; of the whole case where this supplier's program writes that."""
    number, unit = item.content.split()
    code, factor = UNITS[unit]
    many = item.units if item.code in WHOLE else 1
    return leaf("cbc:ContentUnitQuantity", Decimal(number) * factor * many, unitCode=code)


def _compared(item: Item) -> str:
    """The price of a litre."""
    litre = (Decimal(item.price) / item.litres).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return tag(
        "cac:ItemComparison", leaf("cbc:PriceAmount", litre, currencyID="EUR"), leaf("cbc:Quantity", 1, unitCode="LTR")
    )


def _prices(item: Item) -> list[str]:
    """The price from one orderable unit on, and for more; one on application has an amount that says nothing."""
    steps = [("1", item.price), *BREAKS.get(item.code, ())]
    out = []
    for n, (least, price) in enumerate(steps):
        most = str(int(steps[n + 1][0]) - 1) if n + 1 < len(steps) else ""
        out.append(tag(
            "cac:RequiredItemLocationQuantity",
            leaf("cbc:MinimumQuantity", least, unitCode=item.unit),
            leaf("cbc:MaximumQuantity", most, unitCode=item.unit) if most else "",
            tag(
                "cac:Price",
                leaf("cbc:PriceAmount", price or "0.00", currencyID="EUR"),
                leaf("cbc:BaseQuantity", 1, unitCode=item.unit),
                "" if price else leaf("cbc:PriceType", "AAN"),
                _period("cac:ValidityPeriod", FIRST, OFFER.get(item.code, LAST)) if price else "",
            ),
        ))  # fmt: skip
    return out


def _item(item: Item) -> str:
    pack: tuple[str, ...] = ()
    if item.content:
        below = item.inner if item.inner < item.units else item.units
        inside = "XCT" if item.inner < item.units else KEG if item.unit == KEG else BOTTLE
        pack = leaf("cbc:PackQuantity", below, unitCode=inside), leaf("cbc:PackSizeNumeric", item.units)
    return tag(
        "cac:Item",
        *pack,
        leaf("cbc:Name", item.name),
        tag("cac:SellersItemIdentification", leaf("cbc:ID", item.code)),
        tag("cac:StandardItemIdentification", leaf("cbc:ID", f"0{item.gtin}", schemeID="0160")),
        tag("cac:ClassifiedTaxCategory", leaf("cbc:ID", "S"), leaf("cbc:Percent", invoice.RATE),
            tag("cac:TaxScheme", leaf("cbc:ID", "VAT"))),
    )  # fmt: skip


def _line(n: int, item: Item) -> str:
    required = ""
    if item.deposit:
        required = tag("cac:RequiredRelatedItem", leaf("cbc:ID", f"{item.code}-D"),
                       leaf("cbc:Quantity", 1, unitCode=item.unit))  # fmt: skip
    ends = item.action == "Delete"
    return tag(
        "cac:CatalogueLine",
        leaf("cbc:ID", n),
        leaf("cbc:ActionCode", item.action),
        "" if ends else leaf("cbc:OrderableIndicator", "true"),
        leaf("cbc:OrderableUnit", item.unit),
        _content(item) if item.content else "",
        "" if ends else leaf("cbc:OrderQuantityIncrementNumeric", 1),
        "" if ends else leaf("cbc:MinimumOrderQuantity", 1, unitCode=item.unit),
        leaf("cbc:PackLevelCode", "CU" if item.unit in (BOTTLE, KEG) else "TU"),
        _period("cac:LineValidityPeriod", FIRST, OFFER[item.code]) if item.code in OFFER else "",
        _compared(item) if item.content and item.price else "",
        required,
        *([] if ends else _prices(item)),
        _item(item),
    )


def _side(name: str, who: str, place: tuple[str, str, str, str]) -> str:
    """Provider and receiver."""
    firm, street, town, _ = place
    return tag(
        name,
        leaf("cbc:EndpointID", GLN[who], schemeID="0088"),
        tag("cac:PartyIdentification", leaf("cbc:ID", GLN[who], schemeID="0088")),
        tag("cac:PostalAddress", leaf("cbc:StreetName", street), leaf("cbc:CityName", town),
            tag("cac:Country", leaf("cbc:IdentificationCode", "XH"))),
        tag("cac:PartyLegalEntity", leaf("cbc:RegistrationName", firm)),
    )  # fmt: skip


def catalogue_text() -> str:
    """The whole document."""
    space = "urn:oasis:names:specification:ubl:schema:xsd:"
    seller = tag("cac:PartyName", leaf("cbc:Name", invoice.SELLER[0]))
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tag(
        "Catalogue",
        leaf("cbc:CustomizationID", "urn:fdc:peppol.eu:poacc:trns:catalogue:3"),
        leaf("cbc:ProfileID", "urn:fdc:peppol.eu:poacc:bis:catalogue_wo_response:3"),
        leaf("cbc:ID", NUMBER),
        leaf("cbc:ActionCode", "Update"),
        leaf("cbc:Name", "Cellar 2027"),
        leaf("cbc:IssueDate", ISSUED),
        leaf("cbc:VersionID", 1),
        _period("cac:ValidityPeriod", FIRST, LAST),
        _side("cac:ProviderParty", "seller", invoice.SELLER),
        _side("cac:ReceiverParty", "buyer", invoice.BUYER),
        tag("cac:SellerSupplierParty", tag("cac:Party", seller)),
        tag("cac:TradingTerms", leaf("cbc:Information", "Prices without VAT; free delivery from 300.00 EUR")),
        *(_line(n, item) for n, item in enumerate(items(), 1)),
        xmlns=f"{space}Catalogue-2",
        xmlns_cac=f"{space}CommonAggregateComponents-2",
        xmlns_cbc=f"{space}CommonBasicComponents-2",
    ) + "\n"  # fmt: skip
