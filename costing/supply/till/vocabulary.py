"""Words of headings, of totals and of the marks of rows, folded, in English, German, French, Spanish, Italian, Dutch.

Common practice of exports, no source. A folded word has lost case, accents, signs and its plural s.
"""

from costing.book.selling import Left, RowFlag
from costing.supply.till.roles import TillRole

_NR = r"(?:nr|no|num|number|nummer|numero|id|code|n)"
TAX = r"(?:mwst|ust|mehrwertsteuer|umsatzsteuer|steuer|vat|v a t|tax|gst|tva|t v a|taxe|iva|i v a|btw|impuesto|imposta)"
TAX_IN_OR_OUT = (
    r"incl|inkl|inc|including|inclusive|excl|exkl|ex|exc|excluding|exclusive|zzgl|without|with|ohne|mit|sin|con|hor|hors"
    r"|senza|sans|avec|zonder|met|before|after|net of|less"
)
_SALES = (
    r"(?:sale|umsatz|erlos|vente|ca|chiffre d affaire|venta|vendite|ricav[oi]|incasso|omzet|verkauf|revenue|turnover)"
)
_SUM = r"(?:amount|betrag|summe|montant|importe|importo|bedrag|total|totale|totaal|value|wert|valeur|valor|valore)"
_NET = r"(?:net|netto|nett|neto|ht|h t|hors taxe|excl \w+|ex \w+|without \w+|sin iva|zonder btw)"
_GROSS = r"(?:gross|brutto|brut|bruto|lordo|lorda)"
_IN = r"(?:ttc|t t c|incl \w+|inkl \w+|inc \w+|inclusive|con iva|all in)"
_ITEM = (
    r"(?:item|button|product|produkt|produit|producto|prodotto|artikel|article|articulo|articolo|menu item|plu|key"
    r"|taste|dish|drink|getrank|plat|plato|piatto|gerecht|toets|touche|tecla|tasto)"
)
_NAME = r"(?:name|text|bezeichnung|description|descr?|libelle|designation|nom|nombre|nome|descrizione|descripcion"
_NAME += r"|omschrijving|naam|denominazione|beschreibung)"
_QTY = (
    r"(?:qty|quantity|menge|anzahl|stuck|stuckzahl|quantite|qte|cantidad|cant|quantita|qta|aantal|hoeveelheid|unit"
    r"|count|unite|unidade|pezz[io]|absatz|sold|verkauft|vendu|vendido|venduti|verkocht|number|nombre|volume)"
)
_SOLD = r"(?:sold|verkauft\w*|vendue?|vendid[oa]|vendut[oia]|verkocht\w*)"
HEADINGS: tuple[tuple[TillRole, str], ...] = (
    ("parent", r"(?:modifier|option|child|beilage|zusatz|zu|addition|belongs?) (?:of|to|zu|from|line)|parent(?: \w+)?"
               r"|(?:main|haupt|ober|master) ?(?:item|artikel|line|position|zeile)|hauptartikel|article (?:principal"
               r"|parent)|(?:articulo|articolo|linea|riga) (?:padre|principale?)|hoofdartikel|gehort zu|ligne parente"),
    ("line", r"(?:line|row|pos|position|zeile|ligne|linea|riga|regel|posten|bon zeile|seq|sequence)"
             rf"(?: ?(?:{_NR}))?|zeilen?nummer|regelnummer|positionsnummer"),
    ("check", rf"(?:check|cheque|bill|ticket|receipt|bon|beleg|rechnung|rechnung\w*|transaction|order|bestellung|note"
              rf"|addition|facture|scontrino|conto|ricevuta|cuenta|recibo|rekening|kassabon|tab|transaktion)"
              rf"(?: ?(?:{_NR}))?|belegnummer|bonnummer|rechnungsnummer|ticketnummer|num ticket|n(?:o|um)? (?:ticket"
              rf"|bon)"),
    ("time", r"(?:time|uhrzeit|zeit|heure|hora|ora|orario|tijd|tijdstip|hour|stunde|uur)(?: (?:of day|sold|closed"
             r"|opened|slot))?|time of (?:sale|day)|verkaufszeit|bonzeit"),
    ("day", r"(?:opened|closed|created|ordered|paid|sold) (?:at|on)"
            r"|(?:business|trading|accounting|sale|check|order|opened|closed|trans\w*|posting|geschaft|buchung|verkauf"
            r"|bon|beleg)s? ?(?:day|date|datum|tag)|(?:date|datum|day|tag|fecha|data|giorno|dia|dag|jour|journee"
            r"|geschaftstag|verkaufstag|buchungstag|werkdag|boekdatum|timestamp|zeitstempel)"
            r"|(?:date|datum|fecha|data|day)(?: (?:and|und|et|y|e|en|of|de|di|du|time|uhrzeit|zeit|heure|hora|ora|tijd"
            r"|sale|vente|venta|vendita|business|service|jour|exercice|opened|closed))+"
            r"|(?:jour|journee|dia|giorno|fecha) (?:de |d |di )?(?:exercice|comercial|contabile|activite|lavoro|negocio"
            r"|service)|date comptable|jornada"),
    ("outlet", rf"(?:outlet|venue|site|store|location|branch|shop|filiale|standort|betrieb|kostenstelle|point de vente"
               rf"|etablissement|punto (?:de )?(?:venta|vendita)|locale?|vestiging|revenue cent(?:re|er)"
               rf"|profit cent(?:re"
               rf"|er)|area|bereich|verkaufsstelle|room|salle|sala|bar|restaurant|terminal|kasse|kassenplatz|caisse"
               rf"|caja|cassa|kassa|register|till)(?: ?(?:{_NR}|name))?"),
    ("covers", r"cover|guest|gast|gaste|person|personen|couvert|convive|coperti|ospiti|comensale?|cubierto|couvert"
               r"|pax|gasten|(?:number|no|anzahl|num) (?:of )?(?:guest|cover|gaste|person\w*)|gedecke?"),
    ("server", r"server|waiter|waitress|staff(?: name)?|employee|operator|cashier|bartender|user|bediener|kellner"
               r"|bedienung"
               r"|kassierer|mitarbeiter|serveu[rs]e?|vendeur|employe|camarer[oa]|cajero|vendedor|cameriere|operatore"
               r"|cassiere|medewerker|ober|kelner"),
    ("reason", r"(?:void|comp|refund|waste|discount|storno|cancel\w*|return)? ?(?:reason|grund|motif|motivo|causale"
               r"|reden|ursache|raison)(?: (?:code|text))?|stornogrund|rabattgrund|remark|bemerkung|comment|note"),
    ("flag", r"flag|mark|status|state|kennzeichen|kz|merkmal|indicator|vorgang|buchungsart|transaction type|sale type"
             r"|line type|statut|etat|estado|stato|type (?:de )?(?:ligne|vente)|tipo (?:de |di )?(?:linea|riga|venta"
             r"|vendita)|void|voided|storno|storniert|comp|comped|refund|refunded|annul\w*|anulad[oa]|annullat[oa]"
             r"|retour|waste|wasted|on the house|(?:void|comp|refund|waste|storno)s? ?(?:flag|mark|yn|status)"
             r"|is (?:void|comp|refund|waste)\w*"),
    ("discount", r"(?:discount|rabatt|nachlass|remise|reduction|descuento|sconto|korting|promo\w*|abzug|deduction"
                 r"|ermassigung"
                 rf"|skonto)(?: (?:{_SUM}|total|eur|given|gesamt))?|(?:total|gesamt|montant|{_SUM}) (?:discount"
                 rf"|rabatt|remise"
                 r"|descuento|sconto|korting)|rabattbetrag|gesamtrabatt"),
    ("service", r"service|service charge|servicecharge|service fee|bedienungsgeld|bedienungszuschlag|servizio|servicio"
                r"|bediening(?:sgeld)?|service (?:amount|betrag|montant|compris)|gratuity"),
    ("tax", rf"{TAX}(?: (?:{_SUM}|total|eur))?|(?:{_SUM}|total|davon|dont|di cui|of which) (?:de |di |la )?{TAX}"
            rf"|{TAX}betrag|steuerbetrag|mwstbetrag"),
    ("price", r"(?:unit|each|einzel|list|verkauf|vk|single)s? ?(?:price|preis)|price|preis|prix(?: unitaire)?|precio"
              r"(?: unitario)?|prezzo(?: unitario)?|prijs|stuk ?prijs|stuckpreis|pu|p u|price (?:each|per unit)"
              r"|preis (?:je|pro) stuck|eenheidsprijs"),
    ("net", rf"{_NET}|{_NET} (?:{_SALES}|{_SUM})|(?:{_SALES}|{_SUM}) {_NET}|{_NET} {_SALES} {_SUM}|nettoumsatz"
            rf"|nettobetrag"
            rf"|netto ?omzet|nettoerlos|{_SALES} {_SUM} {_NET}|ges\w* {_SALES} {_NET}|item {_NET} {_SALES}"),
    ("gross", rf"{_GROSS}|{_GROSS} (?:{_SALES}|{_SUM})|(?:{_SALES}|{_SUM}) {_GROSS}|bruttoumsatz|bruttobetrag"
              rf"|bruto ?omzet"
              rf"|{_GROSS} {_SALES} {_SUM}|list (?:{_SUM}|{_SALES})|listenwert|before discount|avant remise"
              rf"|ges\w* {_SALES} {_GROSS}|item {_GROSS} {_SALES}"),
    ("paid", rf"{_IN}|paid|bezahlt|paye|pagado|pagato|betaald|(?:{_SALES}|{_SUM}|line)(?: (?:{_SALES}|{_SUM}|{_IN}"
             rf"|eur|paid))?"
             rf"|{_IN} (?:{_SALES}|{_SUM})|line total|zeilensumme|gesamt\w*|endbetrag|item {_SALES}|total ttc"),
    ("qty", rf"{_QTY}|{_QTY} {_SOLD}|{_SOLD} {_QTY}|(?:item|unit|stuck|piece|drink)s? {_SOLD}|{_SOLD}"
            rf"|verkaufs?menge|verkaufs?anzahl|(?:sale|item|total|net) {_QTY}|(?:no|number|num) (?:of )?(?:item|unit"
            rf"|sold|"
            r"piece)(?: sold)?|nb|nb (?:de )?vente|count sold|item count|number sold"),
    ("code", rf"plu|sku|code|{_ITEM} ?{_NR}|{_NR} (?:d |de |del |di )?{_ITEM}|artikelnummer|artikelnr|artnr|art {_NR}"
             rf"|artikelcode"
             r"|warennummer|nr|no|number|nummer|num|numero|ref|reference|referencia|codice|codigo|cod|item id"
             r"|key ?code"),
    ("category", r"category|group|family|department|section|class|type|warengruppe|hauptgruppe|gruppe|kategorie|sparte"
                 r"|famille|categorie|groupe|rayon|familia|categoria|grupo|gruppo|reparto|groep|artikelgruppe"
                 r"|omzetgroep"
                 r"|(?:major|minor|sales?|menu|product|item|report\w*) ?(?:group|category|family|class|mix)|typ|tipo"
                 r"|dept"),
    ("item", rf"{_ITEM}|{_NAME}|{_ITEM} ?{_NAME}|{_NAME} (?:d |de |del |di )?{_ITEM}|artikelbezeichnung|artikelname"
             rf"|artikeltext"
             r"|warenbezeichnung|productnaam|menu item name|button text|tastentext"),
)  # fmt: skip
"""(role, pattern of a whole folded heading), in the order in which they are asked: the first that fits says it."""
BUSINESS_DAY = (
    r"\b(?:business|trading|accounting)\b|geschaftstag|buchungstag|exercice|comptable|comercial|contabile|jornada"
    r"|journee|werkdag|boekdatum"
)
"""Words by which a column of days says that the night belongs to the day before already."""

TOTAL = (
    r"(?:sub ?total|grand total|total|totale|totaal|summe|zwischensumme|gesamtsumme|gesamt|endsumme|tagessumme|ubertrag"
    r"|somma|suma|subtotaal|zwischentotal|sous total|totaux|somme|net total|day total|report total|totali"
    r"|totale? general[ei]?|gesamtumsatz|tagesumsatz|totale giornaliero|total general|eindtotaal)"
)
TOTAL_BESIDE = (
    r"\d+|net|netto|gross|brutto|eur|euro|gbp|usd|chf|page|seite|amount|betrag|der|of|the|for|fur|de|du|del|di|vat|mwst"
    r"|tva|iva|btw|ht|ttc|sale|umsatz|vente|venta|vendite|omzet|day|tag|jour|dia|giorno|dag|week|woche|semaine|all|alle"
    r"|report|item|artikel|article"
)
"""What may stand beside the word for a total without making it the name of a drink."""
PAGE = (
    r"(?:seite|page|blad|bladzijde|pagina|pag|pg|p|sheet|blatt|folio|hoja)\.? ?-? ?\d{1,4}(?: ?(?:/|von|of|de|sur|di"
    r"|van) ?\d{1,4})?|-? ?\d{1,4} ?(?:/|von|of|sur|di|van) ?\d{1,4} ?-?"
)
PERIOD = (
    r"\b(?:period\w*|zeitraum|from|von|vom|du|dal|desde|del|van|between|zwischen|entre|range|week|woche|semaine|semana"
    r"|settimana|month|monat|mois|mes|mese|maand|business|trading|geschaftstag\w*|for|fur|pour|day|tag|jour|giorno|dia"
    r"|dag|journee)\b"
)
"""Words beside the one day of a whole file. "Date" alone is none of them: it may be that of the report."""
PRINTED = (
    r"\b(?:print\w*|gedruckt|druck\w*|erstellt\w*|export\w*|created|generated|run (?:on|at|date)|imprime\w*|edite\w*"
    r"|impres\w*|stampat\w*|generad\w*|generat\w*|afgedrukt|gemaakt|stand)\b"
)
"""Words beside the day on which a file was made, which says nothing of what was sold."""

FLAG_WORDS: tuple[tuple[RowFlag, str], ...] = (
    ("wasted", "waste wasted spill spilled spillage bruch verderb verschuttet verlust schwund casse perte perdu gache"
               " merma desperdicio roto spreco scarto perso rotto bederf verspild breuk breakage broken remade wrong"),
    ("given", "comp comped complimentary house haus gratis free offert offerte gratuit invitacion invitado invitation"
              " cortesia omaggio gratuito offerto courtesy manager promo einladung eingeladen geschenk staff personal"
              " personnel personale empleado empleados dipendente personeel crew team mitarbeiter employee owner"
              " hausgast degustation tasting rondje"),
    ("refunded", "refund refunded return returned retoure erstattung erstattet gutschrift ruckgabe remboursement"
                 " rembourse rimborso rimborsato reso reembolso devolucion devuelto terugbetaald terugbetaling"),
    ("before it was made", "void voided storno storniert stornierung annul annule annulation annulled annullato annullo"
                           " anulado anulacion anulada cancel cancelled canceled cancellation deleted removed"
                           " geannuleerd annulering abgebrochen geloscht corrected correction korrektur"
                           " error mistake fehlbon"),
    ("sold", "sale sold verkauf verkauft normal ok regular closed paid vente venta vendita verkoop item no nein non"
             " false n bezahlt n/a none"),
)  # fmt: skip
"""Words of marks, the surer first. A void is taken as made before the drink was, unless its reason speaks of waste."""
YES = frozenset(["y", "yes", "true", "x", "1", "ja", "oui", "si", "j", "wahr", "vrai", "vero", "verdadero", "waar"])
NO = frozenset(["n", "no", "false", "0", "nein", "non", "nee", "falsch", "faux", "falso", "onwaar"])
LETTERS: tuple[tuple[str, RowFlag], ...] = (
    ("C", "given"), ("H", "given"), ("S", "given"), ("P", "given"), ("F", "given"), ("O", "given"),
    ("V", "before it was made"), ("S", "before it was made"), ("X", "before it was made"), ("A", "before it was made"),
    ("W", "wasted"), ("R", "refunded"),
)  # fmt: skip
"""What one letter may stand for (comp, house, staff or storno, personal, free, offert, void, annulled, waste, refund):
taken only where the money of every row that bears it agrees with one of its meanings alone."""

LEFT_WORDS: tuple[tuple[Left, str], ...] = (
    ("money key", "gift card,giftcard,gift voucher,voucher,gutschein,geschenkkarte,bon cadeau,carte cadeau"
                  ",cheque cadeau"
                  ",tarjeta regalo,buono regalo,carta regalo,cadeaubon,cadeaukaart,deposit,anzahlung,kaution,pfand"
                  ",acompte,consigne,caution,deposito,fianza,caparra,cauzione,statiegeld,aanbetaling,service charge"
                  ",bedienungsgeld"
                  ",delivery,delivery fee,liefergebuhr,lieferung,livraison,envio,consegna,bezorging,bezorgkosten,tip"
                  ",trinkgeld"
                  ",pourboire,propina,mancia,fooi,gratuity,rounding,rundung,arrondi,redondeo,arrotondamento,afronding"
                  ",cash,payment,zahlung,paiement,pago,pagamento,betaling,paid in,paid out,discount,rabatt,remise"
                  ",descuento,sconto"
                  ",korting,minimum spend,mindestverzehr,room hire,raummiete,cloakroom,garderobe,top up,aufladung"
                  ",prepaid"
                  ",packaging,verpackung,membership,mitgliedschaft,ticket,eintritt,cover charge,entry,entree,entrada"
                  ",ingresso"),
    ("not named", "open,misc,miscellaneous,sonstige,sonstiges,divers,diverse,vario,varios,varie,overig,open item"
                  ",open food"
                  ",open drink,open bar,off menu,special order,unknown,manual,handeingabe,freie eingabe,saisie libre"
                  ",libre,libero,vrije invoer"),
    ("modifier", "no ice,without ice,ohne eis,sans glace,sans glacon,sin hielo,senza ghiaccio,zonder ijs,no,without"
                 ",ohne,sans,sin,senza,zonder,less,weniger,moins,menos,meno,minder,extra,more,on the side,on the rocks"
                 ",straight up"
                 ",well done,light,easy,allergy,allergie,alergia,allergia,to share,takeaway,to go,mitnehmen,emporter"
                 ",llevar,asporto,meenemen,with,mit,avec,con,met,message,comment,hold,fire"),
    ("other", "cover,couvert,gedeck,gedecke,coperto,coperti,cubierto,comensal,guest,gaste,training,test,demo"),
)  # fmt: skip
"""Words of buttons that sell no drink of the menu, for a suggestion; the longest that fits is taken."""
