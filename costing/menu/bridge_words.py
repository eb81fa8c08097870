"""The bridge in one sentence: what margin and pour cost did, and what moved the margin, the most first."""

from decimal import Decimal

from costing.book.money import digits, rounded
from costing.menu.bridge import Bridge, Code, PourStep, printed
from costing.tongue import Words, numeral, say, say_word, word

HEADS: Words = {
    "up better": "margin rose by {money} and pour cost improved by {points} points",
    "up worse": "margin rose by {money} while pour cost worsened by {points} points",
    "up same": "margin rose by {money} and pour cost stayed",
    "down better": "margin fell by {money} while pour cost improved by {points} points",
    "down worse": "margin fell by {money} and pour cost worsened by {points} points",
    "down same": "margin fell by {money} and pour cost stayed",
    "same better": "margin stayed and pour cost improved by {points} points",
    "same worse": "margin stayed and pour cost worsened by {points} points",
    "same same": "margin and pour cost stayed",
    "up": "margin rose by {money}",
    "down": "margin fell by {money}",
    "same": "margin stayed",
}
CAUSES: Words = {
    "volume up": "more was sold",
    "volume down": "less was sold",
    "mix up": "guests chose drinks that earn more",
    "mix down": "guests chose drinks that earn less",
    "price up": "a drink brought more",
    "price down": "a drink brought less",
    "rate up": "foreign money became cheaper",
    "rate down": "foreign money became dearer",
    "cost up": "drinks cost less",
    "cost down": "drinks cost more",
    "new up": "new drinks came",
    "new down": "new drinks came and cost more than they brought",
    "dropped up": "drinks left that cost more than they brought",
    "dropped down": "drinks left",
}
PARTS: Words = {
    "volume": "volume", "mix": "mix", "price": "price", "rate": "exchange rate", "cost": "cost", "new": "new drinks",
    "dropped": "drinks that left", "before": "before", "after": "after",
}  # fmt: skip
"""What a part, or a step of pour cost, is called in a table."""


def sentence(found: Bridge, currency: str) -> str:
    """ "margin rose by 812.00 while pour cost worsened by 1.03 points: more was sold (+546.00), ..." """
    on_page = printed(found, currency)
    money = on_page.after - on_page.before
    points = points_shown(found.walk[0], found.walk[-1])
    way = _way(money, "up", "down")
    key = way if points is None else f"{way} {_way(points, 'worse', 'better')}"
    head = say_word(HEADS[key], money=_money(abs(money), currency), points=numeral(f"{abs(points or 0):.2f}"))
    moves = sorted((part for part in on_page.parts if part[1]), key=lambda part: -abs(part[1]))
    if moves:
        causes = ", ".join(cause(code, amount, currency) for code, amount in moves)
        head = say("{what}: {causes}", what=head, causes=causes)
    if found.doubtful:
        names = ", ".join(found.doubtful)
        head = say("{what}; not sure, because not all of {names} has a price", what=head, names=names)
    return head


def points_shown(before: PourStep, after: PourStep) -> Decimal | None:
    """What pour cost moved by between two steps, of the two as they are printed (23.64 to 24.67 is 1.03); None where
    one is not known."""
    if before.at is None or after.at is None:
        return None
    return rounded(float(after.at) * 100, 2) - rounded(float(before.at) * 100, 2)


def cause(code: Code, money: Decimal, currency: str) -> str:
    """ "more was sold (+546.00)"."""
    said = word(CAUSES, f"{code} {'up' if money > 0 else 'down'}")
    return f"{said} ({signed(money, currency)})"


def signed(money: Decimal, currency: str) -> str:
    """An amount with its sign."""
    sign = "+" if money > 0 else "−" if money < 0 else ""
    return sign + _money(abs(money), currency)


def _money(money: Decimal, currency: str) -> str:
    return numeral(f"{money:,.{digits(currency)}f}")


def _way(value: Decimal, up: str, down: str) -> str:
    return "same" if not value else up if value > 0 else down
