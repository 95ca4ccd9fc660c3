"""The index of a binder tells all pages of a style, the last as well as the first, and one page as one."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pikepdf
import pypdf
import pytest
from helpers.steps import ROOT

from booklet.binder import Binder, make_binder

PAGES = re.compile(r"\bpages? (\d+)(?: to (\d+))?(?!\d)")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "shop" / "styles"
    shutil.copytree(ROOT / "demo" / "bodies", tmp_path / "shop" / "demo" / "bodies")
    for style in ("apron", "skirt", "trousers"):
        shutil.copytree(ROOT / "styles" / style, folder / style)
    return folder


def told(binder: Binder, out: Path) -> list[str]:
    out.write_bytes(binder.pdf)
    pages = [page.extract_text().replace("\u00a0", " ") for page in pypdf.PdfReader(out).pages]
    return [" ".join(page.split()) for page in pages]


def listed(binder: Binder, index: str) -> list[tuple[int, int]]:
    """First and last page that the index tells of each style, in the order of its rows."""
    found = [(int(a), int(b or a)) for a, b in PAGES.findall(index)]
    assert len(found) == len(binder.entries), index
    return found


@pytest.mark.parametrize("one_sided", [False, pytest.param(True, marks=pytest.mark.more)])
def test_the_last_page_of_a_style_is_true_too(folder: Path, tmp_path: Path, one_sided: bool) -> None:
    binder = make_binder(folder, one_sided=one_sided)
    texts = told(binder, tmp_path / "b.pdf")
    for (code, _, first), (said, last) in zip(binder.entries, listed(binder, texts[0]), strict=True):
        assert said == first < last
        own = [n for n, text in enumerate(texts[1:], 2) if re.search(rf"\b{code}\b", text)]
        assert own == list(range(first, last + 1))
    with pikepdf.open(tmp_path / "b.pdf") as pdf:
        assert [page.label for page in pdf.pages] == [str(n) for n in range(1, binder.pages + 1)]


def test_a_style_of_one_page_is_told_that_page(folder: Path, tmp_path: Path) -> None:
    (folder / "packs").mkdir()
    (folder / "packs" / "one.yaml").write_text("sections: [measures]\n", encoding="utf-8")
    (folder / "shop.yaml").write_text("shop: Heron & Hook\npacks: packs\n", encoding="utf-8")
    binder = make_binder(folder, pack="one")
    texts = told(binder, tmp_path / "b.pdf")
    assert (
        listed(binder, texts[0])
        == [(first, first) for _, _, first in binder.entries]
        == [(3, 3), (5, 5), (7, 7)]
    )
    for code, _, first in binder.entries:
        assert re.search(rf"\b{code}\b", texts[first - 1])


def test_pictures_are_told_in_words_in_the_binder_too(folder: Path, tmp_path: Path) -> None:
    for name in ("apron", "skirt"):
        shutil.rmtree(folder / name)
    out = tmp_path / "b.pdf"
    out.write_bytes(make_binder(folder, pack="apprentice").pdf)
    with pikepdf.open(out) as pdf:
        assert len(pdf.Root.StructTreeRoot.K) >= 5 and all(str(f.Alt) for f in pdf.Root.StructTreeRoot.K)
        assert str(pdf.Root.Lang) == "en" and "binder" in str(pdf.docinfo.Title)
