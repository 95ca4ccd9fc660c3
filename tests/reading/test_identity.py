"""What a shop says of itself: its mark, its colours within what prints, its terms, paper, units and packs."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from booklet.drawing.bounds import box_of, boxes_union
from booklet.drawing.display import Drawing, PathItem
from booklet.drawing.look import ACCENT, INK, PALE, TINT
from booklet.drawing.page import PageSpec
from booklet.printing.pdf import pdf_bytes
from booklet.problems import Fault, Where
from booklet.reading.colours import contrast
from booklet.reading.mark import read_mark
from booklet.reading.shop import Shop, read_shop

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 30"><g transform="translate(5 5)">'
    '<path d="M0 0 H 50 V 20 H 0 Z M 10 5 h 10 v 5 h -10 z" fill="#1F4E5F"/>'
    '<circle cx="40" cy="10" r="5" fill="none" stroke="#AA0000" stroke-width="2"/></g></svg>'
)
HERE = Where("shop.yaml", 3)
BAR = '<rect width="50" height="20"/>'


def drawn(shapes: str) -> bytes:
    space = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f'<svg {space} viewBox="0 0 60 30">{shapes}</svg>'.encode()


def shop(folder: Path, text: str) -> Shop:
    (folder / "shop.yaml").write_text("shop: Heron & Hook\n" + text, encoding="utf-8")
    return read_shop(file=folder / "shop.yaml")


def test_what_a_shop_says_of_itself(tmp_path: Path) -> None:
    (tmp_path / "packs").mkdir()
    (tmp_path / "mark.svg").write_text(SVG)
    own = shop(
        tmp_path,
        "mark: mark.svg\nterms: [Sew it., Sell it not.]\nprints: {paper: letter, units: in}\npacks: packs\n"
        "rates: {currency: EUR, hour: 24, cloth: {main: 14.5}, notions: {zip: 2}}\ntolerances: {hem: 3 mm}\n",
    )
    assert own.terms == ("Sew it.", "Sell it not.") and (own.paper, own.units) == ("letter", "in")
    assert own.rates is not None and (own.rates.hour, own.rates.cloth, own.rates.notions) == (
        24,
        {"main": 14.5},
        {"zip": 2},
    )
    assert own.tolerances["hem"] == 3 and own.tolerances["girth"] == 10
    assert own.mark is not None and own.mark_file.endswith("mark.svg") and own.packs.endswith("packs")
    plain = read_shop()
    assert plain.mark is None and plain.rates is None and not plain.palette


# ---------------------------------------------------------------- colours


def test_contrast_is_that_of_the_standard() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(
        4.48, abs=0.01
    )  # WCAG 2.2: #777 just fails on white
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)  # and #767676 just passes
    assert contrast(ACCENT, "#FFFFFF") >= 4.5 and 1.15 <= contrast(TINT, "#FFFFFF") <= 1.9
    assert contrast(INK, TINT) >= 7


def test_colours_that_print_take_the_place_of_ours(tmp_path: Path) -> None:
    own = shop(tmp_path, 'colours: {accent: "#1F4E5F", tint: "#D8E2E6"}\n')
    assert own.palette[ACCENT] == "#1F4E5F" and own.palette[TINT] == "#D8E2E6"
    assert contrast(own.palette[PALE], "#FFFFFF") < contrast("#D8E2E6", "#FFFFFF")


@pytest.mark.parametrize(
    ("name", "value", "told"),
    [
        (
            "accent",
            "#E0A070",
            "has a contrast of 2.2 on white paper, it needs at least 4.5. Take a darker colour.",
        ),
        ("accent", "#101010", "beside the ink, it needs at least 1.8. Take a lighter colour."),
        ("tint", "#FEFEFE", "on white paper, it needs at least 1.15. Take a darker colour."),
        ("tint", "#707070", "on white paper, it needs at most 1.9. Take a lighter one."),
        ("accent", "teal", "accent is 'teal'. Write a colour as '#B5432A', six digits in quotes."),
    ],
)
def test_colours_that_do_not_print_are_told_at_their_line(
    tmp_path: Path, name: str, value: str, told: str
) -> None:
    with pytest.raises(Fault) as caught:
        shop(tmp_path, f'colours:\n  {name}: "{value}"\n')
    (problem,) = caught.value.problems
    assert "shop.yaml:3: " in problem.sentence() and told in problem.sentence()


# ---------------------------------------------------------------- the mark


def test_an_svg_mark_keeps_its_form_and_colours(tmp_path: Path) -> None:
    (tmp_path / "m.svg").write_text(SVG)
    mark = read_mark(tmp_path / "m.svg", HERE)
    assert mark.width == pytest.approx(100) and mark.height == pytest.approx(40)
    first, second = mark.items
    assert isinstance(first, PathItem) and isinstance(second, PathItem)
    assert first.fill is not None and first.fill.colour == "#1F4E5F" and len(first.subpaths) == 2
    assert second.stroke is not None and second.stroke.colour == "#AA0000" and second.fill is None
    box = boxes_union([box_of(i) for i in mark.items])
    assert box is not None and box[0] == pytest.approx(0) and box[2] == pytest.approx(100)


def test_a_png_mark_is_laid_into_a_box_of_its_form(tmp_path: Path) -> None:
    Image.new("RGBA", (300, 150), (31, 78, 95, 200)).save(tmp_path / "m.png")
    mark = read_mark(tmp_path / "m.png", HERE)
    assert (mark.width, mark.height) == (100, 50)
    (item,) = mark.items
    assert isinstance(item, PathItem) and item.fill is not None
    assert item.fill.image == (tmp_path / "m.png").read_bytes()


def test_what_is_half_transparent_is_printed_as_it_looks_on_paper(tmp_path: Path) -> None:
    (tmp_path / "m.svg").write_bytes(
        drawn('<rect width="50" height="20" fill="#000000" fill-opacity="0.4"/>')
    )
    (item,) = read_mark(tmp_path / "m.svg", HERE).items
    assert isinstance(item, PathItem) and item.fill is not None and item.fill.colour == "#999999"


def test_a_png_too_large_is_told_with_its_dots(tmp_path: Path) -> None:
    Image.new("L", (4001, 10)).save(tmp_path / "m.png")
    with pytest.raises(Fault, match="is 4001 by 10 dots"):
        read_mark(tmp_path / "m.png", HERE)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_a_png_of_any_kind_is_painted(mode: str, tmp_path: Path) -> None:
    """White stays white: nothing is read inverted, nor a transparent ground as black."""
    Image.new("L", (40, 20), 255).convert("RGBA" if mode == "LA" else "L").convert(
        mode if mode != "I;16" else "L"
    ).save(tmp_path / "m.png")
    if mode == "I;16":
        Image.new("I;16", (40, 20), 65535).save(tmp_path / "m.png")
    mark = read_mark(tmp_path / "m.png", HERE)
    page = PageSpec(Drawing(120, 80, mark.items), "1")
    file = pdf_bytes([page], title="mark")
    document = pypdfium2.PdfDocument(file)
    seen = document[0].render(scale=1.0, grayscale=True).to_numpy()
    document.close()
    assert seen[20:100, 20:200].min() > 200


@pytest.mark.parametrize(
    ("name", "data", "told"),
    [
        ("m.svg", b"<svg", "cannot be read"),
        ("m.svg", b'<svg xmlns="http://www.w3.org/2000/svg"></svg>', "has no shape"),
        ("m.svg", drawn('<path d="M 0 0 L 9 0" stroke="#000"/>'), "has no size"),
        ("m.svg", drawn('<rect width="5" height="5"/>' * 401), "has over 400 shapes"),
        ("m.svg", drawn(BAR + '<text x="1" y="9">Heron and Hook</text>'), "holds the words 'Heron and Hook'"),
        ("m.svg", drawn(BAR + '<image width="9" height="9" xlink:href="a.png"/>'), "holds a picture of dots"),
        ("m.svg", drawn('<rect width="5" height="5" fill="url(#g)"/>'), "filled with a gradient"),
        ("m.svg", drawn('<rect width="5" height="5" clip-path="url(#c)"/>'), "with a clip-path"),
        ("m.png", b"\x89PNG" + bytes(5_000_000), "has over 4 MB"),
        ("m.svg", b'<!DOCTYPE svg [<!ENTITY a "b">]><svg/>', "defines entities"),
        ("m.png", b"\x89PNG nothing", "is no PNG that can be read"),
        ("m.gif", b"GIF89a", "is neither an SVG nor a PNG"),
        ("", b"", "cannot be read"),
    ],
)
def test_a_mark_that_cannot_be_printed_is_told(tmp_path: Path, name: str, data: bytes, told: str) -> None:
    if name:
        (tmp_path / name).write_bytes(data)
    with pytest.raises(Fault) as caught:
        read_mark(tmp_path / (name or "none.svg"), HERE)
    assert caught.value.problems[0].where == HERE and told in caught.value.problems[0].sentence()
