"""The binder of all shipped styles, read back: its index tells true pages, and a broken style costs only its own entry."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pikepdf
import pypdf
import pypdfium2
import pytest
from helpers.steps import ROOT

from booklet.binder import Binder, make_binder
from booklet.problems import Fault


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """All styles, and two that cannot be made: one whose draft is no YAML, one whose recipe names no edge."""
    folder = tmp_path_factory.mktemp("binder") / "styles"
    shutil.copytree(ROOT / "styles", folder, ignore=shutil.ignore_patterns("pictures", "README.md"))
    shutil.copytree(ROOT / "demo" / "bodies", folder.parent / "demo" / "bodies")
    for name in ("broken draft", "broken recipe"):
        shutil.copytree(folder / "apron", folder / name)
    (folder / "broken draft" / "draft.yaml").write_text("points: [\n", encoding="utf-8")
    recipe = folder / "broken recipe" / "sewing.yaml"
    recipe.write_text(recipe.read_text(encoding="utf-8").replace("apron.hem", "apron.hemm"), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def made(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Binder, Path]:
    binder = make_binder(folder)
    out = tmp_path_factory.mktemp("out") / "binder.pdf"
    out.write_bytes(binder.pdf)
    return binder, out


def test_three_readers_open_it_without_a_word(made: tuple[Binder, Path]) -> None:
    binder, out = made
    with pikepdf.open(out) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert len(pdf.pages) == binder.pages
    assert len(pypdf.PdfReader(out, strict=True).pages) == binder.pages
    document = pypdfium2.PdfDocument(out)
    assert len(document) == binder.pages
    document.close()


def test_the_index_tells_true_pages(made: tuple[Binder, Path]) -> None:
    binder, out = made
    reader = pypdf.PdfReader(out)
    texts = [page.extract_text() for page in reader.pages]
    index = "\n".join(texts[: binder.entries[0][2] - 1])
    assert len(binder.entries) == 6
    for code, title, first in binder.entries:
        assert title in texts[first - 1].replace("\n", " ") and code in texts[first - 1]
        assert re.search(rf"pages? {first}\b", index)
    for n, text in enumerate(texts, 1):
        assert f"{n} of {binder.pages}" in text.replace("\xa0", " ")
    marks = {
        str(m["/Title"]): reader.get_destination_page_number(m) + 1
        for m in reader.outline
        if not isinstance(m, list)
    }
    for code, title, first in binder.entries:
        assert marks[f"{code} {title}"] == first


def test_broken_styles_are_named_with_their_reasons(made: tuple[Binder, Path]) -> None:
    binder, out = made
    assert [b.name for b in binder.broken] == ["broken draft", "broken recipe"]
    assert all(b.problems for b in binder.broken)
    text = pypdf.PdfReader(out).pages[0].extract_text() + pypdf.PdfReader(out).pages[1].extract_text()
    flat = " ".join(text.split())
    assert "broken draft" in flat and "broken recipe" in flat and "hemm" in flat


def test_the_holes_edge_is_free_of_words(made: tuple[Binder, Path]) -> None:
    """ISO 838: middles 12 mm from the edge, holes 6 mm wide, 80 mm apart."""
    _, out = made
    for page in pypdfium2.PdfDocument(out):
        text = page.get_textpage()
        for n in range(text.count_rects()):
            left, *_ = text.get_rect(n)
            assert left / 72 * 25.4 > 12 + 3 + 3


def test_a_folder_without_styles(tmp_path: Path) -> None:
    with pytest.raises(Fault, match="there is no style"):
        make_binder(tmp_path)
    with pytest.raises(Fault, match="is no folder"):
        make_binder(tmp_path / "none")


def test_only_broken_styles_are_an_error(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder / "broken draft", tmp_path / "one")
    with pytest.raises(Fault):
        make_binder(tmp_path)
