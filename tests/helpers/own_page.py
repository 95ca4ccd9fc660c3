"""A page of a shop's own, as a PDF that a pack weaves in."""

from __future__ import annotations

from pathlib import Path

from reportlab.pdfgen.canvas import Canvas


def house_rules(file: Path) -> None:
    """One small page with two words on it."""
    canvas = Canvas(str(file), pagesize=(300, 500))
    canvas.drawString(50, 400, "House rules")
    canvas.showPage()
    canvas.save()
