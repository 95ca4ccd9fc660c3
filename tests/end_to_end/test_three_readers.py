"""The nested, the sale and the shop's PDF in three independent readers: none of them has a word to say."""

from __future__ import annotations

import shutil
from pathlib import Path

import pikepdf
import pytest
from helpers.own_page import house_rules
from helpers.readers import remarks
from helpers.steps import ROOT
from reportlab.pdfgen.canvas import Canvas

from booklet.cli import main

SHOP = """\
shop: Heron & Hook
contact: Reed Street 9, Northhaven
mark: mark.png
colours: {accent: "#1F4E5F", tint: "#D8E2E6"}
terms: [Do not sell the pattern itself.]
attach: sources
packs: packs
rates: {currency: EUR, hour: 24, cloth: {main: 14.5}}
"""
OWN = "title: For sale\nsections: [cover, terms, {pages: rules.pdf, title: House rules}, steps, pattern]\n"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with everything that goes into the file from elsewhere: a mark of dots, a page of its own, sources."""
    folder = tmp_path_factory.mktemp("shop")
    shutil.copy(ROOT / "demo" / "mark.png", folder)
    (folder / "packs").mkdir()
    house_rules(folder / "packs" / "rules.pdf")
    (folder / "packs" / "own.yaml").write_text(OWN, encoding="utf-8")
    (folder / "shop.yaml").write_text(SHOP, encoding="utf-8")
    return folder / "shop.yaml"


@pytest.mark.parametrize(
    "asked",
    [
        ("trousers", "--sizes", "all"),
        ("trousers", "--sizes", "all", "--only", "pattern", "--sheets", "a0"),
        ("trousers", "--pack", "sale"),
        ("trousers", "--pack", "shop"),
        ("trousers", "--pack", "own", "--sizes", "92,128", "--language", "fr"),
    ],
    ids=["nested", "nested-a0", "sale", "shop", "own"],
)
def test_nobody_remarks_on_it(asked: tuple[str, ...], shop: Path, tmp_path: Path) -> None:
    style, *more = asked
    out = tmp_path / "x.pdf"
    assert main(["make", str(ROOT / "styles" / style), *more, "--shop", str(shop), "-o", str(out)]) == 0
    assert remarks(out) == []
    with pikepdf.open(out) as pdf:
        assert ("/OCProperties" in pdf.Root) == ("--sizes" in more)


@pytest.mark.slow
@pytest.mark.parametrize("style", ["aline", "apron", "blouse", "skirt", "top"])
@pytest.mark.parametrize("more", [("--sizes", "all"), ("--pack", "sale"), ("--pack", "shop")], ids=" ".join)
def test_nobody_remarks_on_the_other_styles(
    style: str, more: tuple[str, ...], shop: Path, tmp_path: Path
) -> None:
    test_nobody_remarks_on_it((style, *more), shop, tmp_path)


def test_a_damaged_file_is_remarked_on(tmp_path: Path) -> None:
    """What the readers are asked can be answered with no."""
    whole = tmp_path / "x.pdf"
    canvas = Canvas(str(whole))
    canvas.drawString(50, 400, "Words")
    canvas.showPage()
    canvas.save()
    assert remarks(whole) == []
    data = whole.read_bytes()
    whole.write_bytes(data.replace(b"startxref\n", b"startxref\n7"))
    assert remarks(whole)
