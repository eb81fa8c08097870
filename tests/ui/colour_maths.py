"""Contrast and colour vision, as published: what the tests of themes and pictures measure with."""

from itertools import combinations

Rgb = tuple[float, float, float]
VISION: dict[str, tuple[Rgb, Rgb, Rgb]] = {
    "normal": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
"""What is left of linear red, green and blue where one kind of cone is missing: Machado, Oliveira, Fernandes (2009),
severity 1."""


def linear(colour: str) -> Rgb:
    """#RRGGBB as linear light."""
    red, green, blue = (int(colour[n : n + 2], 16) / 255.0 for n in (1, 3, 5))
    return _straight(red), _straight(green), _straight(blue)


def _straight(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2."""
    red, green, blue = linear(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of WCAG 2.2: from 1 to 21."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def seen(colour: str, vision: str) -> Rgb:
    """CIELAB (D65) of a colour as that vision has it."""
    light = linear(colour)
    red, green, blue = (
        min(1.0, max(0.0, sum(a * b for a, b in zip(row, light, strict=True)))) for row in VISION[vision]
    )
    x = (0.4124564 * red + 0.3575761 * green + 0.1804375 * blue) / 0.95047
    y = 0.2126729 * red + 0.7151522 * green + 0.0721750 * blue
    z = (0.0193339 * red + 0.1191920 * green + 0.9503041 * blue) / 1.08883
    fx, fy, fz = (v ** (1 / 3) if v > 216 / 24389 else (24389 / 27 * v + 16) / 116 for v in (x, y, z))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def apart(one: str, other: str, vision: str) -> float:
    """CIE76 difference of two colours as that vision has them."""
    pairs = zip(seen(one, vision), seen(other, vision), strict=True)
    return float(sum((a - b) ** 2 for a, b in pairs) ** 0.5)


def closest(colours: list[str], vision: str) -> tuple[float, str, str]:
    """The two that are hardest to tell apart, and how far apart they are."""
    return min((apart(a, b, vision), a, b) for a, b in combinations(colours, 2))
