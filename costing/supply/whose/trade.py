"""Ordinary words of the trade: what is never taken for a slip of another word, and what says nothing about a liquid.

A catalogue of twenty goods cannot know that "cherry" is a word of its own and no mistyped "sherry", nor "port" a porter
cut short. Folded as names are: no case, no accents.
"""

_NOISE = """
bottle bottles btl btls bot bott bouteille bouteilles flasche flaschen fl botella botellas bottiglia bottiglie case
cases cs cse carton cartons ctn ctns karton kartons kiste kisten pack packs pk pet each ea piece pieces pcs pc stk
stuck unit units approx ca circa vol abv alc alk the and of
gift giftbox screwcap promo promotion aktion offer
"""
NOISE = frozenset(_NOISE.split())
"""Words about the container or about nothing. A can or a keg is not among them: it has another price and deposit."""
_TRADE = """
gin ginger rum rhum ron vodka whisky whiskey bourbon rye scotch malt malted blend blended grain corn wheat barley oat
oats brandy cognac grappa pisco tequila mezcal agave cachaca absinthe aquavit akvavit anis anise aniseed arak raki ouzo
sake soju shochu liqueur liquor spirit spirits bitter bitters aperitif aperitivo vermouth vermut port porter sherry
cherry marsala madeira wine wines beer ale lager pils pilsner stout weizen cider perry mead cava prosecco sparkling
sekt cremant champagne red white rose rosso rossa rosa rosado rosato roja rojo rouge rot bianco bianca blanc blanca
blanche blanco blond blonde weiss weisser ruby tawny tan gold golden silver black blue green pink orange amber brown
dark light clear crystal cold old new young mild wild dry sec seco secco brut extra demi doux dolce sweet semi medium
fino manzanilla amontillado oloroso cream creme crema reserve reserva riserva gran grand grande single double triple
small large batch cask barrel oak oaked sour sweetened unsweetened smoke smoked smoky peat peated spice spiced spicy
aged anejo reposado joven solera strong strength overproof proof navy london classic original premium special select
selected selection cabernet merlot malbec syrah shiraz pinot noir gris grigio riesling sauvignon semillon chardonnay
chenin muscat moscato malvasia viognier gamay grenache tempranillo sangiovese nebbiolo barbera zinfandel carmenere
verdejo albarino silvaner muller traminer lime lemon lemons limes linden citrus citron orange oranges mandarin
tangerine clementine grapefruit yuzu bergamot apple apples apricot pear pears peach plum damson sloe quince grape
grapes fig date cherries berry berries strawberry raspberry blackberry blueberry cranberry elderberry elderflower
gooseberry currant blackcurrant redcurrant banana pineapple pine mango papaya passionfruit passion guava lychee coconut
coco cocoa cacao coffee cola chocolate vanilla caramel toffee honey maple almond hazelnut walnut nut pistachio mint
menthe peppermint spearmint basil thyme rosemary sage lavender violet hibiscus jasmine saffron cinnamon clove cloves
cardamom cassia nutmeg pepper chili chilli cucumber celery carrot tomato beet rhubarb olive melon watermelon
pomegranate kiwi tea chai matcha juice syrup sirup cordial puree nectar water tonic soda lemonade limonade cassis sugar
cane demerara muscovado molasses treacle glucose milk butter egg eggs salt acid citric malic tartaric still sparkling
mineral organic bio vegan natural raw pure fresh frozen dried whole ground powder sliced peeled pulp concentrate
diluted free zero alcohol diet slim
"""
_OTHER_IN_NUMBER = """
bitter bitters spirit spirits pepper peppers mint mints rose roses green greens sweet sweets salt salts spice spices
white whites red reds brown browns black blacks port ports still stills short shorts sour sours chocolate chocolates
oil oils gum gums stock stocks water waters light lights new news wood woods must musts preserve preserves
"""
OTHER_IN_NUMBER = frozenset(_OTHER_IN_NUMBER.split())
"""Words of which many are another thing than one: bitters, spirits, peppers beside pepper, roses beside rosé."""
TRADE = OTHER_IN_NUMBER.union(_TRADE.split())
"""Never an abbreviation or a slip, whatever stands beside it."""
