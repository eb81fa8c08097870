"""Words of headings by what the column says, in English, German, French, Dutch, Italian and Spanish.

Patterns are of folded text (``folding.folded``): small letters, no accents, no plural endings, signs as words. Common
practice of price lists, no source.
"""

from collections.abc import Mapping

MONEY = r"eur|euro|gbp|chf|usd|dkk|sek|nok|pln|czk|huf|aud|cad|nzd|jpy"
PRICE = (
    r"(?:\w*preis\w*|\w*prij(?:s|zen)?|price|\w+price|prix|prezz[oi]|precio|preco|pu|p u|tarif|"
    r"tarief|tariffa|tarifa|cost|costo|coste|"
    rf"kosten|vk|ek|{MONEY})"
)
PIECE = (
    r"(?:bottle|btl|bot|flasche|flaschen|fl|bouteille|bout|blle|fle|fles|flessen|bottigli[ae]|"
    r"botella|unit|unite|piece|pc|each|ea|cad|cadauno|cada una|"
    r"stuck|stk|stck|stuk|st|pezz[oi]|pz|unidade?|ud|can|tin|dose|dosen|blik|boite|lattin[ae]|"
    r"lata|item|glas|jar|pot|single|einzel|beutel|bag)"
)
PACK = (
    r"(?:case|cs|kiste|kisten|kt|ki|karton|kartons|ktn|carton|ctn|ct|cartone|crt|coli|colis|colli|"
    r"kolli|collo|caisse|caja|cassa|cassett[ae]|cassett|doos|dozen|pack|pk|"
    r"package|packung|gebinde|geb|vpe|ve|krat|kratten|box|tray|outer|crate|keg|fass|fut|fust|"
    r"fusto|sack|sac|zak|sacco|sachet|pallet|palette|"
    r"bag in box|bib|verpackung|conditionnement|emballage|confezione|conf|envase|verpakking|kanister|eimer|bund)"
)
MEASURES: Mapping[str, tuple[str, str]] = {
    r"kg|kilo|kilogram|kilogramm|kilogramme|chilo|quilo": ("kg", "1"),
    r"litre|liter|litro|ltr|lt|l": ("l", "1"),
    r"100 ?(?:g|gr|gram|gramm|gramme)": ("kg", "0.1"),
    r"g|gr|gram|gramm|gramme": ("kg", "0.001"),
    r"100 ?(?:kg|kilo)": ("kg", "100"),
    r"100 ?(?:l|litre|liter|ltr)|hl|hectolitre|hektoliter": ("l", "100"),
    r"100 ?ml": ("l", "0.1"),
    r"10 ?cl": ("l", "0.1"),
    r"cl": ("l", "0.01"),
    r"lb|pound|libra": ("kg", "0.45359237"),
    r"tonne|ton": ("kg", "1000"),
    r"dl": ("l", "0.1"),
}
"""What a price may be asked for besides a pack or a piece, and how much of Per that is. Pound: the international one,
0.45359237 kg exactly (Weights and Measures Act 1985, schedule 1)."""

_BY = r"(?:per|pro|par|je|por|al|a|the|in|x|p)"
_DAY = (
    r"(?:gultig|gueltig|valid|valable|geldig|valid[oa]|effective|en vigueur|vigente|vigencia|"
    r"preis|price|prix|datum|date)"
)
_ABOVE = (
    r"(?:from|ab|since|seit|de|du|des|a partir|van|vanaf|dal|da|desde|start|begin|beginn|debut|"
    r"inizio|decorrenza|inicio|as of)"
)
_BELOW = r"(?:until|to|till|bis|jusqu|au|tot|fino|al|hasta|end|ende|fin|fine|eind|scadenza)"
_QTY = r"(?:qty|quantity|menge|anzahl|stuckzahl|quantite|qte|aantal|hoeveelheid|quantita|qta|cantidad|cant|packs?)"
_TAX = r"(?:mwst|ust|vat|tva|btw|iva|tax|steuer|gst|mehrwertsteuer|umsatzsteuer)"

RETAIL = (
    r"rrp|r r p|uvp|\w*unverbindliche\w*|\w*empf\w*|srp|msrp|recommended|retail|suggested|"
    r"prix public|prix conseille|pvc|ppc|pvp|"
    r"advie|consumenten prij|advies?prij\w*|consigliato|al pubblico|recomendado|laden preis|"
    r"endverbraucher\w*|preis empf"
)
DISCOUNT = r"\w*rabatt\w*|\w*nachlass\w*|disc|disct?|discount|reduction|remise|korting|sconto|descuento|skonto|bonus"
RULES: tuple[tuple[str, str], ...] = (
    ("deposit", r"\w*pfand\w*|deposit|consigne|statiegeld|cauzione|deposito|leergut|vuoto a rendere"),
    ("retail", RETAIL),
    ("discount", DISCOUNT),
    (
        "break_price",
        r"(?:from|ab|des|vanaf|da|desde|a partir de) \d+\b(?! \d+ \d{4})(?: \w+)?|\d+ plus|"
        r"(?:staffel|mengen) preis|(?:break|tier|volume|bulk) (?:price|cost)|prix degressif",
    ),
    ("break_from", rf"staffelmenge\w*|ab (?:menge|anzahl)|(?:from|break|tier) {_QTY}|staffel|seuil|palier"),
    (
        "since",
        rf"(?:{_DAY}|{_DAY} d) {_ABOVE}|(?:{_ABOVE}) (?:datum|date|day|data|fecha)|effective(?: date)?|"
        r"ingangsdatum|since|gultig seit|vigencia|decorrenza|date d effet|d effet|preisstand",
    ),
    (
        "until",
        rf"(?:{_DAY}) {_BELOW}|{_BELOW} (?:datum|date|day|data|fecha)|until|valid to|scadenza validita|"
        r"einddatum|expires",
    ),
    (
        "minimum",
        rf"moq|mindest\w*|minimum\w*|minimo|minima|minimale?|min (?:order|best\w*|abnahme|{_QTY}|coli|"
        rf"colis|case|pack|cde)|(?:commande|{_QTY}|ordine|pedido|afname|bestelling) min\w*|min",
    ),
    (
        "abv",
        r"abv|alc|alk|alc vol|alkohol\w*|alcohol\w*|alcool|vol percent|percent vol|percent|volprozent|"
        r"gradazione|graduacion|grado|degre|strength|vol alc|alcoholpercentage",
    ),
    (
        "gtin",
        r"ean\w*|\w*ean(?:code)?|gtin\w*|\w*barcode\w*|upc|bar code|strichcode\w*|code ?barre?|"
        r"codice a barre|codigo de barra|streepjescode",
    ),
    (
        "total",
        r"total|totale|totaal|gesamt\w*|\w*betrag|amount|montant|bedrag|line total|\w*summe|somma|"
        rf"importe|warenwert|{PRICE} total|total {PRICE}|ext(?:ended)? price",
    ),
    (
        "rate",
        rf"{_TAX}(?: ?(?:rate|satz|percent|code|taux|sleutel|tarief|class|aliquota))?|(?:taux|aliquota|"
        rf"tipo)(?: de)? {_TAX}|steuersatz|mwstsatz|percent {_TAX}",
    ),
    ("currency", r"currency|wahrung|devise|valuta|moneda|monnaie|curr|divisa|whrg"),
    (
        "code",
        r"art(?:ikel|icle|icolo|iculo)? ?(?:nr|no|num\w*|code|number|nummer|id|n)|artikel(?:nummer|nr|"
        r"code)|art|artnr|(?:item|product|prod|stock|order|supplier|your|our|catalogue|material|best|"
        r"bestell|produkt) ?(?:code|no|number|nr|nummer|id|ref)|"
        r"bestell(?:nummer|nr)|produktnummer|materialnummer|code|codice|codigo|cod|sku|reference|ref|"
        r"referentie|riferimento|referencia|plu|nr|no|nummer|number|num|id|wkn|"
        r"lieferantenartikelnummer|code article|n article|(?:codice|code|cod|codigo|"
        r"numero) (?:articol[oi]|articulo|prodotto|producto|produit|article|item)",
    ),
    ("vintage", r"vintage|jahrgang|jg|millesime|mill|jaargang|annata|anada|year|jahr|jaar|cosecha"),
    (
        "brand",
        r"brand|marke|marque|merk|marca|producer|hersteller|producteur|erzeuger|weingut|winery|"
        r"produttore|productor|domaine|producent|manufacturer",
    ),
    ("supplier", r"supplier|lieferant|fournisseur|leverancier|fornitore|proveedor|vendor"),
    (
        "count",
        rf"(?:{PIECE}|kolli|inhalt|{_QTY}) {_BY} {PACK}|{PIECE} {PACK}|{PIECE} colis|{PACK} ?(?:size|"
        r"qty|quantity|count|grosse)|vpe|ve|verpackungseinheit|pack ?(?:qty|count)|"
        rf"pcb|spcb|colisage|unit in {PACK}|count|{_QTY} {_BY} {PACK}|nb (?:de )?{PIECE}|"
        rf"{PIECE} par \w+|(?:pezzi|pz|unita) per \w+|(?:unidade?|ud) por \w+|aantal per \w+|case of|"
        r"fl kt|inner",
    ),
    (
        "content",
        r"content|inhalt|inh|volume|vol|size|bottle size|\w*grosse|contenance|cont|contenu|inhoud|"
        r"contenuto|capacity|capacite|capacita|capacidad|contenido|"
        r"\w*fullmenge|\w*gewicht|weight|poid|poids|peso|net weight|cl|ml|litre|liter|litro|l|kg|gr|"
        r"volumen|formaat fles|maat|taille",
    ),
    (
        "unit",
        r"unit|uom|einheit|eh|me|unite|eenheid|unita|unidad|unit of sale|unit of measure|um|udm|"
        r"mengeneinheit|verkaufseinheit|bestelleinheit|sold by|sale unit|order unit|unite de vente|"
        r"verkoopeenheid|basiseinheit|je",
    ),
    (
        "pack",
        rf"{PACK}|{PACK} (?:size|content|format|type|grosse|inhalt)|packaging|presentation|"
        r"presentacion|format|formato|formaat|verpackungsart|gebinde\w*|pack\w*|inhalt gebinde|"
        r"confezionamento",
    ),
    ("quantity", rf"(?:\w+ )?{_QTY}|ordered|delivered|geliefert|bestellt|bestellmenge|liefermenge|order"),
    (
        "name",
        r"name|\w*bezeichnung\w*|description|desc|descr|designation|libelle|omschrijving|beschreibung|"
        r"descrizione|descripcion|produkt\w*|product|\w+product|produit|prodotto|producto|"
        r"artikel\w*|article|articolo|articulo|item|ware|warenbezeichnung|sorte|text|denominazione|"
        r"denominacion|benaming|wein|wine|vin|getrank|good|spirit|beer",
    ),
    (
        "remark",
        r"\w*remark|bemerkung\w*|note|notiz|comment\w*|info\w*|hinweis\w*|remarque|opmerking\w*|"
        r"osservazion[ei]|observacion\w*|nota|aktion\w*|promo\w*|offer|angebot\w*|anmerkung\w*|"
        r"aanbieding|offerta|oferta|action",
    ),
    (
        "section",
        r"\w*category|\w*kategorie|warengruppe\w*|group|\w*gruppe|categorie|famille|groep|categoria|"
        r"familia|sortiment|range|type|typ|rubrik|rayon|segment|department|region|land|country|origin|"
        r"herkunft|pay|origine",
    ),
)  # fmt: skip
"""(role, pattern of the whole heading or of words in it), in the order in which they are asked; money words come
between "total" and "rate", see ``headings``."""
