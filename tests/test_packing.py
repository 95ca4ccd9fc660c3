"""Packs from the command line, read back from the finished files: several papers, a zip, pictures, pages woven in."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2 as pdfium
import pytest
from helpers.steps import ROOT
from PIL import Image
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from booklet.cli import main
from booklet.inputs import SheetWords, file_name, read_inputs
from booklet.packing import papers_asked, target_of, write_files, zip_bytes
from booklet.problems import Fault

STYLE = ROOT / "styles" / "trousers"
TEAL = (31, 78, 95)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with a mark, colours, rates, terms and a pack that takes in two pages of its own."""
    folder = tmp_path_factory.mktemp("shop")
    Image.new("RGB", (200, 100), (200, 20, 120)).save(folder / "mark.png")
    canvas = Canvas(str(folder / "terms.pdf"), pagesize=(300, 500))
    for n in (1, 2):
        canvas.drawString(50, 400, f"House rule number {n}")
        canvas.showPage()
    canvas.save()
    (folder / "packs").mkdir()
    (folder / "packs" / "mine.yaml").write_text(
        "title: Mine\nsections:\n  - cover\n  - pages: ../terms.pdf\n    title: House rules\n"
        "  - chart\n  - pattern\n  - sheet\n"
    )
    (folder / "packs" / "window.yaml").write_text("sections: [cover, terms, measures, chart]\n")
    (folder / "shop.yaml").write_text(
        "shop: Heron & Hook\nmark: mark.png\nterms: [Do not sell the pattern.]\npacks: packs\n"
        'colours: {accent: "#1F4E5F"}\nprints: {paper: letter, units: in}\n'
        "rates: {currency: EUR, hour: 24, cloth: {main: 14.5}, notions: {thread: 3.2, elastic: 1.8, needle: 0.5}}\n"
    )
    return folder


def run(place: Path, *more: str) -> int:
    return main(["make", str(STYLE), "--shop", str(place / "shop.yaml"), *more])


def opens(data: bytes) -> PdfReader:
    """The file, if three readers take it without complaint."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert pdf.check_pdf_syntax() == []
    assert len(pdfium.PdfDocument(data)) == len(PdfReader(io.BytesIO(data), strict=True).pages)
    return PdfReader(io.BytesIO(data))


def test_pages_of_the_shop_are_woven_in_at_their_place(place: Path, tmp_path: Path) -> None:
    out = tmp_path / "a.pdf"
    assert run(place, "--pack", "mine", "--fresh", "-o", str(out)) == 0
    first = out.read_bytes()
    assert run(place, "--pack", "mine", "--fresh", "-o", str(out)) == 0
    assert out.read_bytes() == first
    reader = opens(first)
    texts = [page.extract_text() for page in reader.pages]
    assert (
        "House rules" in texts[0] and "House rule number 1" in texts[1] and "House rule number 2" in texts[2]
    )
    assert "What to cut" in texts[3] and f"4 of {len(texts)}" in texts[3]
    assert [round(float(reader.pages[n].mediabox.width)) for n in (0, 1)] == [
        612,
        612,
    ]  # letter, as the shop prints
    marks = {
        m.title: reader.get_destination_page_number(m) for m in reader.outline if not isinstance(m, list)
    }  # type: ignore[union-attr]
    assert marks["House rules"] == 1 and marks["Shop's copy"] == len(texts) - 2
    for word in ("Costs", "in EUR", "24.00", "folded once"):
        assert word in texts[-1] + texts[-2]


def test_the_mark_and_the_colours_are_the_shops(place: Path, tmp_path: Path) -> None:
    out = tmp_path / "a.pdf"
    assert run(place, "--pack", "shop", "-o", str(out)) == 0
    opens(out.read_bytes())
    seen = np.asarray(pdfium.PdfDocument(out)[0].render(scale=2).to_pil().convert("RGB")).reshape(-1, 3)
    for colour in ((200, 20, 120), TEAL):
        assert (abs(seen.astype(int) - colour).max(axis=1) < 4).sum() > 50, colour
    assert (abs(seen.astype(int) - (0xB5, 0x43, 0x2A)).max(axis=1) < 4).sum() == 0


def test_papers_go_into_a_folder_or_a_zip_with_pictures(place: Path, tmp_path: Path) -> None:
    assert (
        run(place, "--pack", "window", "--papers", "a4,letter", "--previews", "-o", str(tmp_path / "all"))
        == 0
    )
    names = sorted(p.name for p in (tmp_path / "all").iterdir())
    pdfs = [n for n in names if n.endswith(".pdf")]
    assert [n.split("_", 3)[-1] for n in pdfs] == ["window_A4.pdf", "window_Letter.pdf"] and len(
        names
    ) == 2 + 3
    for name, width in zip(pdfs, (595, 612), strict=True):
        reader = opens((tmp_path / "all" / name).read_bytes())
        assert round(float(reader.pages[0].mediabox.width)) == width
        assert "Do not sell the pattern." in reader.pages[1].extract_text()
    pictures = [Image.open(tmp_path / "all" / n) for n in names if n.endswith(".png")]
    assert all(p.size == pictures[0].size and p.width > 600 for p in pictures)
    write_files(tmp_path / "all.zip", {n: (tmp_path / "all" / n).read_bytes() for n in names})
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        assert archive.testzip() is None and sorted(archive.namelist()) == names
        assert all(archive.read(n) == (tmp_path / "all" / n).read_bytes() for n in names)


def test_pictures_stand_beside_one_pdf_and_show_its_own_pages(place: Path, tmp_path: Path) -> None:
    out = tmp_path / "window.pdf"
    assert run(place, "--pack", "mine", "--previews", "-o", str(out)) == 0
    names = sorted(p.name for p in tmp_path.iterdir())
    assert names == [
        "window-preview-1-cover.png",
        "window-preview-2-chart.png",
        "window-preview-3-sheet.png",
        "window.pdf",
    ]
    with pdfium.PdfDocument(out) as document:
        # The cover's contents tell of the pattern too: the picture is of this very page.
        for name, page in ((names[0], 0), (names[1], 3), (names[2], len(document) - 2)):
            picture = Image.open(tmp_path / name).convert("L")
            seen = document[page].render(scale=picture.width / document[page].get_width()).to_pil()
            paper, ours = (
                np.asarray(i.convert("L").resize((170, 220))).astype(float) for i in (seen, picture)
            )
            assert abs(paper - ours).mean() < 2.5 and abs(paper - 255).mean() > 4, name


def test_a_wide_paper_takes_the_pattern_alone(place: Path, tmp_path: Path) -> None:
    assert papers_asked("all") == ("a4", "letter", "a0", "roll 36 in", "projector")
    assert papers_asked("A0, all, 700 x 1000 mm")[0] == "a0" and len(papers_asked("a0,all")) == 5
    assert run(place, "--pack", "window", "--papers", "a0,a4", "--previews", "-o", str(tmp_path / "all")) == 0
    pdfs = {p.name: opens(p.read_bytes()) for p in sorted((tmp_path / "all").glob("*.pdf"))}
    (wide,) = [r for n, r in pdfs.items() if n.endswith("_pattern_A0.pdf")]
    (booklet,) = [r for n, r in pdfs.items() if "pattern" not in n]
    assert max(float(p.mediabox.height) for p in wide.pages) > 2000 > float(booklet.pages[0].mediabox.height)
    assert len(list((tmp_path / "all").glob("*.png"))) == 3, (
        "of the booklet, though the pattern was named first"
    )


def test_the_instructions_go_beside_the_papers_once(place: Path, tmp_path: Path) -> None:
    more = ("--papers", "a0,a4,letter", "--also", "html,txt", "--pack", "sale", "--sizes", "92,128")
    assert run(place, *more, "-o", str(tmp_path / "all.zip")) == 0
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        files = {n: archive.read(n) for n in archive.namelist()}
    start = "C-03_Child-s-pull-on-trousers_sizes-92-and-128_"
    assert all(n.startswith(start) for n in files)
    ends = [n.removeprefix(start) for n in files]
    assert sorted(ends) == sorted(
        ["pattern_A0.pdf", "booklet_A4.pdf", "booklet_Letter.pdf", "instructions.html", "instructions.txt"]
    )
    assert run(place, "--sizes", "92,128", "--also", "txt", "-o", str(tmp_path / "one.pdf")) == 0
    assert files[start + "instructions.txt"] == (tmp_path / "one.txt").read_bytes()
    only_wide = ("--papers", "a0", "--also", "txt", "-o", str(tmp_path / "wide"))
    assert run(place, *only_wide) == 0, "asked for with the pattern alone, they are there too"
    assert [p.suffix for p in sorted((tmp_path / "wide").iterdir())] == [".txt", ".pdf"]


NAMED: tuple[tuple[dict[str, object], str], ...] = (
    ({}, "M-03_booklet_A4"),
    ({"paper": "letter"}, "M-03_booklet_Letter"),
    ({"sizes": "M"}, "Size-M_booklet_A4"),
    ({"pack": "sale", "sizes": "S,XL"}, "sizes-S-and-XL_sale_A4"),
    ({"sheets": SheetWords("a0")}, "M-03_booklet_A4_pattern_A0"),
    ({"sheets": SheetWords("a0", part="pattern")}, "M-03_pattern_A0"),
    ({"sheets": SheetWords("roll 36 in", pieces="pocket")}, "M-03_pattern_pocket_36-in-roll"),
    ({"sheets": SheetWords("projector", part="pattern", inverted=True)}, "M-03_pattern_Projector_inverted"),
    ({"sheets": SheetWords("700 x 1000 mm", part="pattern")}, "M-03_pattern_700-x-1000-mm"),
    ({"sheets": SheetWords(part="booklet")}, "M-03_instructions_A4"),
    ({"sheets": SheetWords(joining="butt")}, "M-03_booklet_A4"),
)


@pytest.mark.parametrize(("asked", "name"), NAMED, ids=[n for _, n in NAMED])
def test_a_file_is_called_by_what_it_holds(asked: dict[str, object], name: str) -> None:
    given = read_inputs(ROOT / "styles" / "apron", **asked)  # type: ignore[arg-type]
    assert given.default_name == f"T-21_Bib-apron-with-a-divided-pocket_{name}"


@pytest.mark.parametrize(
    ("language", "name"),
    [
        ("fr", "tailles-S-et-XL_livret_A4_patron_A4-ou-Letter"),
        ("es", "tallas-S-y-XL_cuaderno_A4_patrón_A4-o-Letter"),
    ],
)
def test_a_file_is_called_in_the_booklets_language(language: str, name: str) -> None:
    given = read_inputs(ROOT / "styles" / "apron", sizes="S,XL", language=language, sheets=SheetWords("both"))
    assert given.default_name.endswith("_" + name) and "Bib" not in given.default_name


def test_names_of_files_keep_to_signs_and_lengths_that_all_take() -> None:
    assert file_name("a/b: c*", "con", "") == "a-b-c__con__"
    long = file_name("a very long title " * 9)
    assert len(long) < 50 and long.endswith(("title", "long", "very", "-a")), "cut between words"
    assert len(file_name("x" * 200)) < 50


def test_wrong_words_are_told_before_anything_is_made(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for more, told in (
        (("--pack", "sael"), "--pack is 'sael'. Did you mean 'sale'?"),
        (("--papers", "a4,lettre"), "--papers names 'lettre'. Did you mean 'letter'?"),
        (("--papers", "a4", "-o", "x.pdf"), "is one PDF, and --papers makes several"),
    ):
        assert run(place, *more) == 1
        assert told in capsys.readouterr().err
    with pytest.raises(Fault):
        papers_asked(" , ")
    with pytest.raises(Fault):
        target_of(place / "shop.yaml", "x")


def test_a_zip_has_no_clock() -> None:
    assert zip_bytes({"a": b"1", "b": b"2"}) == zip_bytes({"a": b"1", "b": b"2"})


def test_check_tells_of_every_pack_of_the_shop(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "packs").mkdir()
    (tmp_path / "packs" / "a.yaml").write_text("sections: [chrat]\n")
    (tmp_path / "packs" / "b.yaml").write_text("sections:\n  - cover\n  - stpes\n")
    (tmp_path / "shop.yaml").write_text("shop: A\npacks: packs\n")
    assert main(["check", str(STYLE), "--shop", str(tmp_path / "shop.yaml")]) == 1
    told = capsys.readouterr().err
    assert "a.yaml:1: 'chrat' is no section" in told and "b.yaml:3: 'stpes' is no section" in told
