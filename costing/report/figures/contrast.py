"""How far colours stand out from each other, by Web Content Accessibility Guidelines 2.2; colours are "#RRGGBB"."""

MARK = 3.0
"""Contrast that a mark needs against the ground: success criterion 1.4.11."""


def set_off(hue: str, ground: str, ink: str) -> str:
    """The hue, or the least mixture of it with ink that stands out from the ground as a mark must."""
    for share in (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1):
        found = _mixed(hue, ink, share)
        if contrast(found, ground) >= MARK:
            return found
    return ink


def contrast(one: str, other: str) -> float:
    """From 1 for equal colours to 21 for black and white."""
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _parts(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _luminance(colour: str) -> float:
    parts = (part / 255 for part in _parts(colour))
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _mixed(top: str, under: str, share: float) -> str:
    """``share`` of one colour over the rest of the other."""
    if share == 1.0:
        return top
    parts = zip(_parts(top), _parts(under), strict=True)
    return "#" + "".join(f"{round(share * a + (1.0 - share) * b):02X}" for a, b in parts)
