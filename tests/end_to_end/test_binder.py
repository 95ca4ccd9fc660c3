"""The binder of all shipped styles, read back: its index tells true pages, and a broken style costs only its own entry."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pikepdf
import pypdf
import pypdfium2
import pytest
from helpers.readers import remarks
from helpers.steps import ROOT

from booklet.binder import Binder, make_binder
from booklet.inputs import Inputs
from booklet.model import Job
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
    assert remarks(out) == []
    with pikepdf.open(out) as pdf:
        assert len(pdf.pages) == binder.pages
    assert len(pypdf.PdfReader(out, strict=True).pages) == binder.pages


def flat(text: str) -> str:
    return " ".join(text.replace("\xa0", " ").split())


def told(out: Path) -> list[str]:
    return [flat(page.extract_text()) for page in pypdf.PdfReader(out).pages]


def contents(reader: pypdf.PdfReader) -> dict[str, int]:
    """The outermost bookmarks with their pages."""
    return {
        str(m["/Title"]): reader.get_destination_page_number(m) + 1
        for m in reader.outline
        if not isinstance(m, list)
    }


def test_the_index_tells_true_pages(made: tuple[Binder, Path]) -> None:
    binder, out = made
    texts = told(out)
    index = " ".join(texts[: binder.entries[0][2] - 1])
    assert len(binder.entries) == 6
    for code, title, first in binder.entries:
        assert title in texts[first - 1] and code in texts[first - 1]
        row = index[index.index(title) - 40 : index.index(title)]  # code and pages stand above the title
        assert re.search(rf"pages? {first}\b", row) and code in row
    for n, text in enumerate(texts, 1):
        assert f"{n} of {binder.pages}" in text
    ends = [first for _, _, first in binder.entries[1:]] + [binder.pages + 1]
    for (_, _, first), end in zip(binder.entries, ends, strict=True):  # the whole sheet of each style
        sheet = " ".join(texts[first - 1 : end - 1])
        for heading in ("Pieces", "Cloth", "Notions", "How amounts are reckoned", "Changes"):
            assert heading in sheet
        assert re.search(r"Seams step edge sewn to first second ease .*\d+ mm|T-21|T-07", sheet)
    marks = contents(pypdf.PdfReader(out))
    assert list(marks.items())[1:] == [(f"{code} {title}", first) for code, title, first in binder.entries]


def test_styles_stand_in_the_order_of_their_codes_each_on_a_leaf_of_its_own(
    made: tuple[Binder, Path],
) -> None:
    binder, out = made
    assert [code for code, _, _ in binder.entries] == ["C-03", "T-07", "T-12", "T-15", "T-21", "T-31"]
    assert all(first % 2 == 1 for _, _, first in binder.entries)
    used = {n for _, _, first in binder.entries for n in range(first, binder.pages + 1)}
    for n, text in enumerate(told(out), 1):
        if n not in used and n > 1:
            assert "left empty" in text or "Shop binder" in text


def test_every_style_has_its_drawing_in_the_index(made: tuple[Binder, Path]) -> None:
    """Left of each title there is ink, down to the next row."""
    binder, out = made
    document = pypdfium2.PdfDocument(out)
    page = document[0]
    ink = page.render(scale=1.0, grayscale=True).to_numpy()
    rows = 0
    for _, title, _ in binder.entries:
        found = page.get_textpage().search(title[:14]).get_next()
        if found is None:
            continue
        box = page.get_textpage().get_charbox(found[0])
        top = int(page.get_height() - box[3])
        beside = ink[max(0, top - 20) : top + 60, int(22 / 25.4 * 72) : int(95 / 25.4 * 72)]
        assert (beside < 128).mean() > 0.01, title
        rows += 1
    document.close()
    assert rows >= 4


def test_broken_styles_are_named_with_their_reasons(made: tuple[Binder, Path]) -> None:
    binder, out = made
    assert [b.name for b in binder.broken] == ["broken draft", "broken recipe"]
    assert all(b.problems for b in binder.broken)
    index = " ".join(told(out)[: binder.entries[0][2] - 1])
    last = index.index("Not in this binder")
    assert all(index.index(title) < last for _, title, _ in binder.entries)
    for broken in binder.broken:
        for problem in broken.problems:
            assert flat(problem.sentence()).replace(" ", "") in index[last:].replace(" ", "")
    assert "hemm" in index[last:]


@pytest.mark.parametrize("one_sided", [False, True])
def test_the_holes_edge_is_free(made: tuple[Binder, Path], one_sided: bool, tmp_path: Path) -> None:
    """ISO 838: middles 12 mm from the edge, holes 6 mm wide, 80 mm apart; of a back the edge is the right one."""
    out = made[1]
    if one_sided:
        out = tmp_path / "one.pdf"
        out.write_bytes(make_binder(two_styles(tmp_path), one_sided=True).pdf)
    dots = 72 / 25.4
    document = pypdfium2.PdfDocument(out)
    assert len(document) > 2
    for n, page in enumerate(document, 1):
        ink = page.render(scale=1.0, grayscale=True).to_numpy()
        if not one_sided and n % 2 == 0:
            ink = ink[:, ::-1]
        middle = ink.shape[0] / 2
        for down in (-40, 40):
            y, x, r = middle + down * dots, 12 * dots, 3 * dots
            hole = ink[int(y - r) : int(y + r) + 1, int(x - r) : int(x + r) + 1]
            assert (hole < 128).sum() < 24, n  # the mark alone
            assert (ink[int(y - 1.5) : int(y + 2.5), int(8 * dots) : int(13 * dots)] < 200).any(), n
        assert (ink[:, int(15.5 * dots) : int(20 * dots)] > 200).all(), n
    document.close()


# ---------------------------------------------------------------- other binders


def two_styles(place: Path) -> Path:
    """The two smallest styles, one of them a folder deeper, with the bodies that they name."""
    folder = place / "shop" / "styles"
    shutil.copytree(ROOT / "demo" / "bodies", place / "shop" / "demo" / "bodies")
    shutil.copytree(ROOT / "styles" / "trousers", folder / "trousers")
    shutil.copytree(ROOT / "demo" / "bodies", folder / "demo" / "bodies")
    shutil.copytree(ROOT / "styles" / "apron", folder / "women" / "apron")
    return folder


@pytest.mark.parametrize(
    ("language", "page", "empty"),
    [("fr", "page", "reste vide"), pytest.param("es", "página", "vacía", marks=pytest.mark.more)],
)
def test_a_pack_in_another_language(tmp_path: Path, language: str, page: str, empty: str) -> None:
    binder = make_binder(two_styles(tmp_path), pack="apprentice", language=language)
    out = tmp_path / "b.pdf"
    out.write_bytes(binder.pdf)
    assert remarks(out) == []
    texts = told(out)
    for code, title, first in binder.entries:
        assert title in texts[first - 1] and re.search(rf"{page}s? {first}\b", texts[0])
        assert code in texts[0]
    assert empty in texts[1]
    reader = pypdf.PdfReader(out)
    assert list(contents(reader))[1:] == [f"{code} {title}" for code, title, _ in binder.entries]
    assert reader.trailer["/Root"]["/Lang"] == language
    assert "Lay plans" not in " ".join(texts)


def test_sizes_all_prints_each_range_and_other_sizes_only_where_they_are(tmp_path: Path) -> None:
    folder = two_styles(tmp_path)
    (folder / "women" / "apron" / "sizes.yaml").unlink()
    binder = make_binder(folder, sizes="all")
    out = tmp_path / "b.pdf"
    out.write_bytes(binder.pdf)
    index = told(out)[0]
    assert "Sizes 92 to 128" in index and "Size M-03" in index
    assert re.search(r"Main cloth 140 cm: \d\.\d\d m to \d\.\d\d m", index)
    one = make_binder(folder, sizes="98")
    assert [code for code, _, _ in one.entries] == ["C-03"]
    assert [b.name for b in one.broken] == ["women/apron"]
    assert "no size table" in one.broken[0].problems[0].what


def test_the_shop_s_mark_and_colours_are_on_it(tmp_path: Path) -> None:
    folder = two_styles(tmp_path)
    shutil.copy(ROOT / "demo" / "mark.png", folder)
    (folder / "shop.yaml").write_text(
        'shop: Heron & Hook\nmark: mark.png\ncolours: {accent: "#1F4E5F"}\n', encoding="utf-8"
    )
    out = tmp_path / "b.pdf"
    out.write_bytes(make_binder(folder).pdf)
    assert remarks(out) == []
    texts = told(out)
    assert "Heron & Hook" in texts[0]
    document = pypdfium2.PdfDocument(out)
    seen = document[0].render(scale=2).to_pil().convert("RGB")
    document.close()
    colours = {c for n, c in seen.getcolors(1 << 24) if n > 20}  # type: ignore[union-attr]
    assert (0x1F, 0x4E, 0x5F) in colours and (0xB5, 0x43, 0x2A) not in colours
    with pikepdf.open(out) as pdf:
        assert list(pdf.pages[0].get_images())


def test_a_code_that_two_styles_have_is_told(tmp_path: Path) -> None:
    folder = two_styles(tmp_path)
    shutil.copytree(folder / "women" / "apron", folder / "women" / "apron two")
    (told_of,) = make_binder(folder).problems
    assert "women/apron two has the code T-21 of women/apron" in told_of.sentence()
    assert "style.yaml:" in told_of.sentence() and told_of.severity == "warning"


def test_a_fault_of_the_program_costs_one_style_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from booklet import binder as module

    real = module.job_of

    def fails(given: Inputs) -> Job:
        if given.style.style.style == "T-21":
            raise KeyError("nothing")
        return real(given)

    monkeypatch.setattr(module, "job_of", fails)
    made = make_binder(two_styles(tmp_path))
    assert [code for code, _, _ in made.entries] == ["C-03"]
    (broken,) = made.broken
    assert "the program failed on" in broken.problems[0].what and "KeyError" in broken.problems[0].what


def test_a_pack_of_the_shop_s_own_takes_the_place_of_the_sheet(tmp_path: Path) -> None:
    folder = two_styles(tmp_path)
    (folder / "packs").mkdir()
    (folder / "packs" / "shop.yaml").write_text("sections: [measures]\n", encoding="utf-8")
    (folder / "shop.yaml").write_text("shop: Heron & Hook\npacks: packs\n", encoding="utf-8")
    out = tmp_path / "b.pdf"
    out.write_bytes(make_binder(folder).pdf)
    assert "measurements" in told(out)[2] and "How amounts are reckoned" not in " ".join(told(out))


def test_a_folder_without_styles(tmp_path: Path) -> None:
    with pytest.raises(Fault, match="there is no style"):
        make_binder(tmp_path)
    with pytest.raises(Fault, match="is no folder"):
        make_binder(tmp_path / "none")
    with pytest.raises(Fault, match=r"is a style itself\. Name the folder that holds it: styles"):
        make_binder(ROOT / "styles" / "apron")


def test_only_broken_styles_are_an_error(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder / "broken draft", tmp_path / "one")
    with pytest.raises(Fault):
        make_binder(tmp_path)
