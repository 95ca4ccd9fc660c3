"""What a made booklet carries for programs, asked for at the command line: sources, pictures in words, labels, the screen's
page beside it; all of it still there when the shop's own pages are woven in.
"""

from __future__ import annotations

import re
import shutil
from html import escape
from pathlib import Path

import html5lib
import pikepdf
import pypdf
import pypdfium2
import pytest
from helpers.own_page import house_rules
from helpers.steps import ROOT

from booklet.cli import main
from booklet.inputs import read_inputs
from booklet.language import OWN, languages
from booklet.pages.words import words_for

PACK = "title: Own\nsections: [cover, measures, cloth, {pages: rules.pdf, title: House rules}, chart, steps, safety]\n"
# A number with its unit, as a language writes it: 1,5 cm, 12 5/16 po, 2.5 mm, 3 yd.
FIGURE = re.compile(r"(?<![\d/.,])(?:\d+ )?\d+(?:[.,/]\d+)? (?:mm|cm|m|in|yd|po|vg|pulg|min)(?!\w)")


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop that attaches sources and has a pack with a page of its own, and a style with all kinds of files."""
    folder = tmp_path_factory.mktemp("place")
    shutil.copytree(ROOT / "styles" / "trousers", folder / "styles" / "trousers")
    shutil.copytree(ROOT / "demo" / "bodies", folder / "demo" / "bodies")
    (folder / "packs").mkdir()
    house_rules(folder / "packs" / "rules.pdf")
    (folder / "packs" / "own.yaml").write_text(PACK, encoding="utf-8")
    for name, more in (("shop", "attach: sources\n"), ("quiet", "")):
        (folder / f"{name}.yaml").write_text(f"shop: Heron & Hook\npacks: packs\n{more}", encoding="utf-8")
    return folder


def make(place: Path, out: Path, *more: str, shop: str = "shop") -> pypdf.PdfReader:
    style = str(place / "styles" / "trousers")
    asked = ["make", style, "--shop", str(place / f"{shop}.yaml"), *more, "-o", str(out)]
    assert main(asked) == 0
    return pypdf.PdfReader(out)


@pytest.fixture(scope="module")
def made(place: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("made") / "own.pdf"
    make(place, out, "--pack", "own", "--language", "fr", "--units", "in", "--also", "html,txt")
    return out


def sources(place: Path) -> dict[str, bytes]:
    style = place / "styles" / "trousers"
    files = [p for p in sorted(style.rglob("*")) if p.is_file()]
    return {p.relative_to(style).as_posix().replace("/", "-"): p.read_bytes() for p in files}


def test_the_style_s_files_are_attached_all_of_them_and_nobody_s_measures(place: Path, made: Path) -> None:
    held = {n: bytes(next(iter(data))) for n, data in pypdf.PdfReader(made).attachments.items()}
    wanted = sources(place)
    assert {"style.yaml", "draft.yaml", "sewing.yaml", "sizes.yaml", "translations-fr.yaml"} <= set(wanted)
    assert held == wanted
    assert not [n for n in held if "tuva" in n]


def test_sources_are_attached_to_sizes_too_and_only_where_the_shop_wants_it(place: Path) -> None:
    style = place / "styles" / "trousers"
    nested = read_inputs(style, None, place / "shop.yaml", sizes="92,128")
    assert {a.name: a.data for a in nested.attached} == sources(place)
    assert read_inputs(style, None, place / "quiet.yaml", sizes="92,128").attached == ()


def test_drawings_of_one_name_in_two_folders_are_both_attached(place: Path, tmp_path: Path) -> None:
    style = tmp_path / "style"
    shutil.copytree(place / "styles" / "trousers", style)
    shutil.copytree(ROOT / "demo" / "bodies", tmp_path.parent / "demo" / "bodies", dirs_exist_ok=True)
    for side in ("left", "right"):
        (style / side).mkdir()
        (style / side / "patch.svg").write_text(f"<svg>{side}</svg>", encoding="utf-8")
    draft = style / "draft.yaml"
    text = draft.read_text(encoding="utf-8")
    named = "".join(
        f"  {side}_patch:\n    svg: {{file: {side}/patch.svg, outline: a, edges: [a, b]}}\n"
        for side in ("left", "right")
    )
    assert text.count("\npieces:\n") == 1
    draft.write_text(text.replace("\npieces:\n", f"\npieces:\n{named}"), encoding="utf-8")
    body = ROOT / "demo" / "bodies" / "tuva.yaml"
    given = read_inputs(style, body, place / "shop.yaml")
    held = {a.name: a.data for a in given.attached}
    assert held["left-patch.svg"] == b"<svg>left</svg>" and held["right-patch.svg"] == b"<svg>right</svg>"


def test_what_programs_read_outlasts_the_weaving_in_of_pages(made: Path) -> None:
    with pikepdf.open(made) as pdf:
        assert str(pdf.Root.Lang) == "fr" and pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert str(pdf.docinfo.Title).startswith("Pantalon") and str(pdf.docinfo.Author) == "Heron & Hook"
        assert [page.label for page in pdf.pages] == [str(n) for n in range(1, len(pdf.pages) + 1)]
        with pdf.open_outline() as outline:
            assert "House rules" in [entry.title for entry in outline.root]
        figures = list(pdf.Root.StructTreeRoot.K)
        pages = [pdf.pages.index(pikepdf.Page(f.Pg)) for f in figures]
    assert len(figures) >= 5 and pages == sorted(pages)
    texts = printed(made)
    for figure, page in zip(figures, pages, strict=True):
        title, told, _ = plain(str(figure.Alt)).partition(
            " : "
        )  # a picture's words begin with its step's title
        assert told and title in " ".join(texts[page].split())


def plain(text: str) -> str:
    """With plain spaces, lines kept."""
    return text.replace("\u202f", " ").replace("\u00a0", " ")


def printed(file: Path) -> list[str]:
    """The pages as another PDF engine reads them."""
    document = pypdfium2.PdfDocument(file)
    try:
        return [plain(page.get_textpage().get_text_range()) for page in document]
    finally:
        document.close()


def figures_in(text: str) -> set[str]:
    return set(FIGURE.findall(text))


@pytest.mark.parametrize("kind", ["html", "txt"])
def test_the_screen_s_figures_are_those_read_back_from_the_finished_pdf(made: Path, kind: str) -> None:
    """In French inches: every length and time on the page and in the plain text stands in the PDF."""
    data = plain(made.with_suffix(f".{kind}").read_text(encoding="utf-8"))
    if kind == "html":
        tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(data)
        assert tree.get("lang") == "fr"
        data = "\n".join(tree.find("body").itertext())
    shown = figures_in(data)
    assert len(shown) > 20 and shown <= (there := figures_in("\n".join(printed(made)))), shown - there
    assert any("/" in f and f.endswith("po") for f in shown) and not any(f.endswith(" cm") for f in shown)


def test_the_screen_s_tables_are_the_pdf_s_row_by_row(made: Path) -> None:
    """What is bought and measured: each cell that is a figure stands in the PDF behind its row's own name."""
    text = " ".join(" ".join(printed(made)).split())
    page = made.with_suffix(".html").read_text(encoding="utf-8")
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    rows = 0
    for row in tree.iter("tr"):
        cells = [" ".join(plain("".join(cell.itertext())).split()) for cell in row.findall("td")]
        if not (lengths := [c for c in cells[1:] if FIGURE.fullmatch(c)]):
            continue
        name = re.escape(cells[0])
        after = [text[m.end() : m.end() + 420] for m in re.finditer(name, text, re.IGNORECASE)]
        assert any(all(length in near for length in lengths) for near in after), cells
        rows += 1
    assert rows >= 3


@pytest.mark.parametrize("language", [None, *languages()])
def test_the_screen_s_page_is_in_the_language_of_the_booklet(
    place: Path, tmp_path: Path, language: str | None
) -> None:
    more = ["--language", language] if language else []
    reader = make(place, tmp_path / "x.pdf", "--pack", "shop", "--also", "html", *more, shop="quiet")
    page = (tmp_path / "x.html").read_text(encoding="utf-8")
    assert f'<html lang="{language or OWN}">' in page
    for key in ("cloth.title", "safety.reminder", "cover.contents"):
        assert escape(words_for(language or OWN)(key), quote=False) in page
    assert reader.trailer["/Root"]["/Lang"] == (language or OWN)
    assert reader.attachments == {}
