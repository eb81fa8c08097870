"""Texts of packs with what they mean, worked out by hand.

``WILD`` are strings as supplier lists have them, by the number they have in the project's own notes; what each means is
common practice, no source, where it is not a matter of arithmetic. ``INVENTED`` are made up in the same manner. Fluid
ounces (29.5735295625 ml), pounds (453.59237 g), gallons (3785.411784 ml) and bushels (35239.07016688 ml) by NIST
SP 811; a US beer barrel is 31 gallons (27 CFR 25.11, from memory).
"""

from decimal import Decimal
from math import prod

Wild = tuple[int, str, tuple[int, ...], str | None, str | None, str | None, list[str]]
"""(number, text, levels, content as a product of figures, unit, total as it is noted, codes of its doubts)."""
OZ, LB, GAL, BUSHEL, BARREL = "29.5735295625", "453.59237", "3785.411784", "35239.07016688", "3785.411784*31"
G, ML, EACH = "g", "ml", "each"
WILD: list[Wild] = [
    (1, "6x70cl", (6,), "700", ML, "4200", []),
    (2, "70CL x 6", (6,), "700", ML, "4200", []),
    (4, "12/750 ml", (12,), "750", ML, "9000", []),
    (5, "6/750ML", (6,), "750", ML, "4500", []),
    (7, "case 24 x 33 cl", (24,), "330", ML, "7920", []),
    (8, "18x6x250 ml", (18, 6), "250", ML, "27000", []),
    (10, "4X2,5L", (4,), "2500", ML, "10000", []),
    (11, "4 x 25g", (4,), "25", G, "100", []),
    (13, "4 * 25g", (4,), "25", G, "100", []),
    (14, "6 bouteilles de 33cl", (6,), "330", ML, "1980", []),
    (16, "4 bouteilles en verre de 20cl", (4,), "200", ML, "800", []),
    (17, "10 unités de 170g", (10,), "170", G, "1700", []),
    (18, "10 unites, 170g", (), "170", G, "170", ["count-inside"]),
    (19, "2 barquettes de 40g", (2,), "40", G, "80", []),
    (20, "2 buns = 20g", (), "20", G, "20", ["count-inside"]),
    (22, "10 lbs", (), f"10*{LB}", G, "4535.9", []),
    (23, "2,5g", (), "2.5", G, "2.5", []),
    (25, "1 кг", (), "1000", G, "1000", []),
    (26, "1 л", (), "1000", ML, "1000", []),
    (28, "42公升", (), "42000", ML, "42000", []),
    (29, "84斤", (), "84*500", G, "42000", []),
    (31, "POT KETCHUP 3 LT", (), "3000", ML, "3000", []),
    (32, "KOFFIE BLIK 3,5KG", (), "3500", G, "3500", []),
    (34, "50PL. KAAS JONG 1KG", (), "1000", G, "1000", ["count-inside"]),
    (35, "BLEEK 3 X 750 ML", (3,), "750", ML, "2250", []),
    (37, "Zip bags 1x12 pack strong 1 lit", (1, 12), "1", EACH, "12", ["size-of-the-piece"]),
    (38, "10 KG RETOUR", (), "10000", G, "10000", ["says-return"]),
    (40, "10 lb", (), f"10*{LB}", G, "4536", []),
    (41, "1,5 L", (), "1500", ML, "1500", []),
    (43, "70cl ℮", (), "700", ML, "700", []),
    (44, "4/6 NR - 12OZ", (4, 6), f"12*{OZ}", ML, "8517", []),
    (46, "2/12 NR - 12OZ", (2, 12), f"12*{OZ}", ML, "8517", []),
    (47, "24 LOOSE NR - 12OZ", (24,), f"12*{OZ}", ML, "8517", []),
    (49, "30PK CAN - 12OZ", (30,), f"12*{OZ}", ML, "10646", []),
    (50, "15 PK CAN- 12.OZ CAN", (15,), f"12*{OZ}", ML, "5323", []),
    (52, "12.OZ 4/6 CAN", (4, 6), f"12*{OZ}", ML, "8517", []),
    (53, "4/6 CANS", (4, 6), None, None, None, ["size-missing"]),
    (55, "NR 12/CS - 335ML", (12,), "335", ML, "4020", []),
    (56, "18PK NR - 12OZ", (18,), f"12*{OZ}", ML, "6388", []),
    (58, "1.75L", (), "1750", ML, "1750", []),
    (59, "126P - 200ML", (), "200", ML, "200", []),
    (61, "24/12 OZ BTL *4/6 PACK*", (24,), f"12*{OZ}", ML, "8517", []),
    (62, "8/16 OZ BTL/ALUM", (8,), f"16*{OZ}", ML, "3785", []),
    (64, "32 OZ GROWLER *ONLY*", (), f"32*{OZ}", ML, "946.4", []),
    (65, "10 LITER BAG", (), "10000", ML, "10000", []),
    (67, "1/6 KEG", (), f"{BARREL}/6", ML, "19560", ["keg-of-barrel"]),
    (68, "1/4 PET KEG", (), f"{BARREL}/4", ML, "29340", ["keg-of-barrel"]),
    (70, "1/2 bbl", (), f"{BARREL}/2", ML, "58670", []),
    (71, "13.2 gal", (), f"13.2*{GAL}", ML, "49970", ["gallon-which"]),
    (73, "EACH", (1,), None, EACH, None, ["size-missing"]),
    (74, "4x5L BIB", (4,), "5000", ML, "20000", []),
    (76, "20L Bib", (), "20000", ML, "20000", []),
    (77, "30L One-Way", (), "30000", ML, "30000", []),
    (79, "12/100/40/GB", (12,), "1000", ML, "12000", ["size-in-cl"]),
    (80, "6/70/40", (6,), "700", ML, "4200", ["size-in-cl"]),
    (88, "1750 W/ SPEAKER", (), None, None, None, ["unit-missing"]),
    (89, "W/14YR", (), None, None, None, ["pack-missing"]),
    (90, "0", (), None, None, None, ["size-zero"]),
    (91, "0,38", (), None, None, None, ["unit-missing"]),
    (92, "0,75;151,90;202,50", (), "750", ML, "750", ["size-by-litre-price"]),
    (94, "50 lb sacks", (), f"50*{LB}", G, "22680", []),
    (95, "1 1/9 bushel cartons", (), f"{BUSHEL}*10/9", ML, "39150", ["weight-by-commodity"]),
    (97, "4/5 bushel cartons 135s", (), f"{BUSHEL}*4/5", ML, "28190", ["weight-by-commodity", "count-inside"]),
    (98, "bushel baskets", (), BUSHEL, ML, "35239", ["weight-by-commodity"]),
    (100, "flats 8 1-lb containers with lids", (8,), LB, G, "3630", []),
    (101, "flats 12 6-oz cups", (12,), f"6*{LB}/16", G, "2040", ["oz-which"]),
    (103, "master container 16 3-lb mesh sacks", (16,), f"3*{LB}", G, "21770", []),
    (104, "cartons 10 5-lb film bags", (10,), f"5*{LB}", G, "22680", []),
    (106, "cartons 12 3-count packages", (12, 3), "1", EACH, "36", []),
    (107, "48s", (48,), "1", EACH, "48", []),
    (109, "2 1/2 dozen", (30,), "1", EACH, "30", []),
    (110, "4x5s", (), None, None, None, ["layer-pattern"]),
    (112, "sml", (), None, None, None, ["pack-missing"]),
    (112, "jbo", (), None, None, None, ["pack-missing"]),
    (113, "bunch", (1,), None, EACH, None, ["size-missing"]),
    (113, "cartons bunched 12s", (12,), "1", EACH, "12", []),
    (114, "36 inch bins", (), None, None, None, ["pack-missing"]),
]
Case = tuple[str, str | None, str | None]
"""(text, the total in base units that it means, the base unit); None where nobody can know from the text alone."""
INVENTED: list[Case] = [
    # counts and sizes in every order
    ("Cola 24 pack 330ml", "7920", ML), ("Cola 330ml 24 pack", "7920", ML), ("70cl x6", "4200", ML), ("70clx6",
    "4200", ML),
    ("6 x Gin 70cl", "4200", ML), ("Gin 70cl Reserve x 6", "4200", ML), ("24x Tonic 20cl", "4800", ML),
    ("Lager 33cl, 4 x 6", "7920", ML), ("4 x 6 pack cans 12oz", f"24*12*{OZ}", ML), ("2x12x33cl", "7920", ML),
    ("50ml x 12 x 10", "6000", ML), ("10/12/50ML", "6000", ML), ("12/1 LT", "12000", ML), ("6/1.75L", "10500", ML),
    ("24 x 330ml (6 pack)", "7920", ML), ("6xDose 0,5L", "3000", ML), ("Sixpack 0,5 L", "3000", ML),
    ("6 @ 75cl", "4500", ML), ("6-pack 50cl", "3000", ML), ("330 ml 4-pack", "1320", ML), ("Tonic x24 200ml",
    "4800", ML),
    ("1x1,5l", "1500", ML), ("Juice 100% 12 x 1L", "12000", ML), ("6x75cl/12%", "4500", ML), ("case of 12 - 375 ml",
    "4500", ML),
    # German, Austrian, Swiss
    ("Karton 6 Flaschen à 0,75 l", "4500", ML), ("6er-Karton 0,75 l", "4500", ML), ("24er Kiste 0,33 l", "7920", ML),
    ("Kasten 20 x 0,5 l MW", "10000", ML), ("1 Kiste (24 x 0,33 l)", "7920", ML), ("VE 6 0,7l", "4200", ML),
    ("1 Kiste = 12 Fl. à 1 L", "12000", ML), ("0,7 l, 6 Fl./Kt.", "4200", ML), ("6 pro Karton 0,7 l", "4200", ML),
    ("Zucker 10 x 1kg Beutel", "10000", G), ("Milch 3.5 % Fett 1 L 12er", "12000", ML), ("Eimer 10 kg", "10000", G),
    ("Wasser 12x1,0 L PET Einweg zzgl. 3,00 Pfand", "12000", ML), ("24er Kiste 0,33 l (zzgl. 3,42 Pfand)", "7920", ML),
    ("6 x 1,5L + 1,50 € Pfand", "9000", ML), ("½ Dutzend", "6", EACH), ("60 Stk", "60", EACH), ("50 St.", "50", EACH),
    ("10 Bund", "10", EACH), ("Kiste 8 kg", "8000", G), ("Palette 400 kg", "400000", G), ("Sack à 25 kg", "25000", G),
    ("1'000 g", "1000", G), ("7 dl", "700", ML), ("0,5 hl", "50000", ML), ("25 dag", "250", G), ("4er-Träger 0,33l",
    "1320", ML),
    ("Whisky 12 Jahre 0,7 l", "700", ML), ("0,7l 37,5%", "700", ML), ("70cl mit 2 Gläsern", "700", ML),
    # French, Dutch, Italian, Spanish
    ("Caisse de 6 bouteilles 75 cl", "4500", ML), ("Carton de 12 x 50cl", "6000", ML), ("Fût 30 L", "30000", ML),
    ("2 bocaux de 370g", "740", G), ("Doos 24 blikjes 33cl", "7920", ML), ("6 flessen van 0,7 liter", "4200", ML),
    ("Fust 20 liter", "20000", ML), ("Cartone 6 bott. da 75 cl", "4500", ML), ("Cassa 12 x 0,75 l", "9000", ML),
    ("Caja de 6 botellas de 70 cl", "4200", ML), ("6 latas de 33 cl", "1980", ML), ("Cassetta 5 kg", "5000", G),
    ("2 docenas", "24", EACH), ("12 œufs", None, None), ("1,5 dozijn", "18", EACH),
    # American
    ("24/16.9 oz btl", f"24*16.9*{OZ}", ML), ("6PK 12OZ CANS", f"72*{OZ}", ML), ("12Z CAN", f"12*{OZ}", ML),
    ("12oz (355ml)", "355", ML), ("355ml 12oz can", "355", ML), ("12 fl. oz. bottle", f"12*{OZ}", ML),
    ("16 oz", None, None),
    ("4/1 gal", f"4*{GAL}", ML), ("1 US gal", GAL, ML), ("50# sack", f"50*{LB}", G), ("8/1 lb", f"8*{LB}", G),
    ("1lb 8oz", f"{LB}*1.5", G), ("2 1/2 lb", f"2.5*{LB}", G), ("100 ct", "100", EACH), ("15 dz", "180", EACH),
    ("40 lb ctn 88ct", f"40*{LB}", G), ("Lemons 165 ct 38 lb", f"38*{LB}", G), ("30 lb case", f"30*{LB}", G),
    ("1/2 barrel keg", f"{BARREL}/2", ML), ("½ keg", f"{BARREL}/2", ML), ("15.5 gal keg", f"15.5*{GAL}", ML),
    ("1/2 BBL 15.5 GAL", f"{BARREL}/2", ML), ("flat 12 1-pint", f"12*{GAL}/8", ML), ("box 88s", "88", EACH),
    # British
    ("1 imp gal", "4546.09", ML), ("2 imperial pints", "1136.5225", ML), ("9 gal firkin", "9*4546.09", ML),
    ("Milk 2 pt", None, None), ("6x1.5kg", "9000", G), ("48 x 40g", "1920", G), ("12 jars 340g", "4080", G),
    # numbers in many forms
    (".75L", "750", ML), (",75 l", "750", ML), ("0,375 l", "375", ML), ("37.5cl", "375", ML), ("1.750 L", "1750", ML),
    ("1,000 g", "1000", G), ("1 000 ml", "1000", ML), ("10 000 g", "10000", G), ("1.250,00 g", "1250", G), ("1½ L",
    "1500", ML),
    ("3/4 L", "750", ML), ("1/2 lb", f"{LB}/2", G), ("٦ × ٧٠ cl", "4200", ML), ("６ｘ７０ｃｌ", "4200", ML), ("750㎖",
    "750", ML),
    ("1ℓ", "1000", ML), ("6 750 ml", None, None), ("12 500 g", None, None), ("12 1/2 pint", None, None),
    ("2/3 L", None, None),
    ("10-12 oz", None, None), ("5-10 kg", "7500", G), ("0,7ml", None, None), ("700l", None, None),
    ("0.38 L", None, None),
    # numbers that are not of the pack
    ("Gin No. 5 70cl", "700", ML), ("London Dry 47 70 cl", "700", ML), ("7 Herbs Liqueur 50cl", "500", ML),
    ("2019 Red 6x75cl", "4500", ML), ("75cl 2015", "750", ML), ("114 proof 750ml", "750", ML), ("40% 70cl", "700", ML),
    ("18 years old 70 cl", "700", ML), ("70cl gift box + 2 glasses", "700", ML), ("70cl w/ 2 glasses", "700", ML),
    ("Fish -18C 5kg", "5000", G), ("Art. 12345 70cl", "700", ML), ("4006381333931 70cl", "700", ML), ("#4711 0,7l",
    "700", ML),
    ("70cl 12,50 €", "700", ML), ("Limes cal. 48 4kg", "4000", G), ("Limes 48/54 4 kg", "4000", G),
    ("Limes 54er 4kg", "4000", G),
    ("Apples 70/75 mm 13kg", "13000", G), ("Avocado 18er 4kg", "4000", G), ("Limes 54 St / 4 kg", "4000", G),
    ("Limes 4kg (ca. 54 Stk)", "4000", G), ("Oranges 15kg 64s", "15000", G), ("70cl/40", "700", ML), ("6/750ml/40%",
    "4500", ML),
    ("Straws 6mm 250 pcs", "250", EACH), ("CO2 10 kg", "10000", G), ("Puree 10% sugar 1 kg", "1000", G),
    # sizes said twice
    ("6 x 330ml = 1,98 L", "1980", ML), ("1 kg (10 x 100 g)", "1000", G), ("10kg = 2x5kg", "10000", G),
    ("200 ml (6,76 fl oz)", "200", ML), ("1 kg / 2.2 lb", "1000", G), ("12 x 70 cl = 8 L", None, None),
    ("Olives 800g/480g", None, None), ("Cherries 850 ml / 950 g", None, None), ("2 cases of 6 x 70cl", "8400", ML),
    # no size
    ("6x0.7", None, None), ("20 x 0,5", None, None), ("6 x 70", None, None), ("12/750", None, None),
    ("750", None, None),
    ("12 pack", None, None), ("6 bottles", None, None), ("Pack of 6", None, None), ("6/case", None, None),
    ("x", None, None),
    ("Karton", None, None), ("6/#10 cans", None, None), ("KEG 30", None, None), ("1 ton", None, None),
    ("Basil pot", None, None),
    ("Duo 70cl", None, None), ("30x40 cm", None, None), ("12/05/26", None, None), ("1 x 24", None, None),
    ("70 x 6", None, None),
]  # fmt: skip
CASES: list[Case] = [(t, total and f"{content}*{prod(levels)}", unit) for _, t, levels, content, unit, total, _ in WILD]
CASES += INVENTED


def worked_out(text: str) -> Decimal:
    """ "12*29.5735295625" or "3785.411784*31/6": from left to right."""
    value = Decimal(1)
    for n, part in enumerate(text.split("*")):
        first, *divisors = part.split("/")
        value = Decimal(first) if n == 0 else value * Decimal(first)
        for divisor in divisors:
            value /= Decimal(divisor)
    return value
