"""The fonts of the sheet: DejaVu Sans Condensed, which has Latin, Greek and Cyrillic letters."""

from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

BODY, BOLD = "sheet-body", "sheet-bold"
_FILES = {BODY: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}


def register() -> None:
    """Make both fonts known to reportlab, once a process; it embeds the letters that are used."""
    folder = Path(__file__).parent / "fonts"
    known = pdfmetrics.getRegisteredFontNames()
    for name, file in _FILES.items():
        if name not in known:
            pdfmetrics.registerFont(TTFont(name, str(folder / file)))
    pdfmetrics.registerFontFamily(BODY, normal=BODY, bold=BOLD, italic=BODY, boldItalic=BOLD)
