"""What is typed behind make and binder: nothing asked for is dropped in silence, nothing is half-written, no mistake is more
than a sentence."""

from __future__ import annotations

import shutil
import unicodedata
from pathlib import Path

import pypdfium2
import pytest
from helpers.steps import ROOT

from booklet.cli import main

STYLES = ROOT / "styles"
Capture = pytest.CaptureFixture[str]
# A shop's own title: combining marks without a letter of their own, Greek, Cyrillic.
NAME = "E\u0323\u0300wu\u0300 \u03bc\u03b1\u03bd\u03af\u03ba\u03b9 \u0440\u0443\u043a\u0430\u0432"


@pytest.fixture(autouse=True)
def _in_an_empty_place(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("BOOKLET_NO_CACHE", "1")
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (["make", "STYLE", "--size", "99"], "there is no size '99'"),
        (["make", "STYLE", "--sizes", "92,99,100"], "there is no size '100'"),
        (["make", "STYLE", "--sizes", ","], "no size is asked for"),
        (["make", "STYLE", "--size", "92", "--sizes", "all"], "both given"),
        (["make", "STYLE", "--size", "92,98"], "Give one size, or several with --sizes"),
        (["make", "STYLE", "--pieces", ","], "--pieces names no piece"),
        (["make", "STYLE", "--pieces", "front", "--only", "booklet"], "would leave the pieces out"),
        (["make", "STYLE", "--sheets", "a9"], "no paper known here"),
        (["make", "STYLE", "--sheets", "700 x 9000 mm"], "from 100 to 5080 mm"),
        (["make", "STYLE", "--papers", "a4,lettre"], "Did you mean 'letter'?"),
        (["make", "STYLE", "--also", "pdf"], "--also is 'pdf'. Known: html, txt."),
        (["make", "STYLE", "--also", ","], "--also names nothing"),
        (["make", "STYLE", "--language", "xx"], "Known: en, es, fr."),
        (["make", "STYLE", "--pack", "sael"], "Did you mean 'sale'?"),
        (["make", "STYLE", "--inverted"], "It is for --sheets projector."),
        (["make", "nowhere"], "nowhere:1: there is no such folder."),
        (["binder", "nowhere"], "nowhere is no folder"),
        (["binder", "STYLE"], "is a style itself"),
        (["binder", "STYLES", "--pack", "nothing"], "--pack is 'nothing'"),
        (["binder", "STYLES", "--paper", "a3"], "--paper is 'a3'. Known: a4, letter."),
        (["binder", "STYLES", "--language", "xx"], "Known: en, es, fr."),
        (["binder", "STYLES", "-o", "x.txt"], "Give it a name that ends in .pdf."),
    ],
    ids=lambda v: " ".join(v) if isinstance(v, list) else "",
)
def test_a_mistake_is_a_sentence_and_writes_nothing(typed: list[str], told: str, capsys: Capture) -> None:
    places = {"STYLE": str(STYLES / "trousers"), "STYLES": str(STYLES)}
    assert main([places.get(t, t) for t in typed]) == 1
    said = capsys.readouterr()
    assert told in said.err and "Traceback" not in said.err and said.out == ""
    assert list(Path().iterdir()) == []


def test_pieces_that_the_style_has_not_are_named_before_anything_is_written(capsys: Capture) -> None:
    assert main(["make", str(STYLES / "trousers"), "--pieces", "frnt"]) == 1
    assert "'frnt', which is no printed piece. Did you mean 'front'?" in capsys.readouterr().err
    assert list(Path().iterdir()) == []


def test_no_pdf_is_written_whose_page_for_a_screen_can_not_be(capsys: Capture) -> None:
    Path("x.html").mkdir()
    assert main(["make", str(STYLES / "trousers"), "--also", "txt,html", "-o", "x.pdf"]) == 1
    assert "x.html is a folder" in capsys.readouterr().err
    assert [p.name for p in Path().iterdir()] == ["x.html"]


def test_the_screen_s_page_goes_with_papers_too_once() -> None:
    typed = [
        "make",
        str(STYLES / "trousers"),
        "--pack",
        "shop",
        "--papers",
        "letter,a4",
        "--also",
        "html,txt",
    ]
    assert main([*typed, "-o", "all"]) == 0
    names = sorted(p.suffix for p in Path("all").iterdir())
    assert names == [".html", ".pdf", ".pdf", ".txt"]
    (page,) = Path("all").glob("*.html")
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_any_script_goes_through_names_of_folders_and_words(tmp_path: Path, capsys: Capture) -> None:
    """A folder and translated words in letters with marks, Greek and Cyrillic: in the PDF, on the screen, as plain text."""
    style = tmp_path / "shop" / NAME
    shutil.copytree(STYLES / "trousers", style)
    shutil.copytree(ROOT / "demo" / "bodies", tmp_path / "demo" / "bodies")
    own = style / "translations" / "fr.yaml"
    lines = own.read_text(encoding="utf-8").splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("  Legs: "))
    lines[at] = f"  Legs: {NAME}"
    own.write_text("\n".join(lines) + "\n", encoding="utf-8")
    typed = ["make", str(style), "--only", "booklet", "--language", "fr", "--also", "html,txt"]
    assert main([*typed, "-o", "x.pdf"]) == 0, capsys.readouterr().err
    document = pypdfium2.PdfDocument("x.pdf")
    pages = " ".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    for text in (pages, *(Path(f"x.{kind}").read_text(encoding="utf-8") for kind in ("html", "txt"))):
        plain = " ".join(unicodedata.normalize("NFC", text).replace("\u00a0", " ").split())
        assert unicodedata.normalize("NFC", NAME) in plain
    lines[at] = "  Legs: Jambes \u6f22"
    own.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert main([*typed, "-o", "y.pdf"]) == 1
    told = capsys.readouterr().err
    assert f"fr.yaml:{at + 1}: " in told and "U+6F22" in told
    assert not list(Path().glob("y.*"))
