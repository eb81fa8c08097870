"""Languages by the name that their speakers call them."""

from PySide6.QtCore import QLocale

from costing.tongue import PSEUDO, PSEUDO_RTL


def language_name(tag: str) -> str:
    """ "Deutsch" for de."""
    if tag in (PSEUDO, PSEUDO_RTL):
        return tag
    name = QLocale(tag).nativeLanguageName() or tag
    return "English" if tag == "en" else name[:1].upper() + name[1:]
