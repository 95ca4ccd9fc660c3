"""Every pack of every style in every language, unit and paper, one body and all sizes: laid out well, its numbers true.

The few cases of the quick run take each pack, language, unit, paper and style at least once; the whole is the slow one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import pytest
from helpers.packs_made import LANGUAGES, NESTED, PACKS, PAPERS, STYLES, UNITS, Made, job_of, made
from helpers.swept import findings

from booklet.drawing.display import Group
from booklet.drawing.page import PageSpec
from booklet.paths import Placement

# style, language, unit, paper, pack: on the style's own body.
FEW = (
    ("trousers", "fr", "cm", "a4", "apprentice"),
    ("trousers", "fr", "cm", "a4", "shop"),
    ("apron", "es", "in", "letter", "sale"),
    ("skirt", "en", "cm", "letter", "shop"),
    ("aline", "fr", "in", "a4", "shop"),
    ("blouse", "es", "cm", "a4", "shop"),
    ("top", "es", "in", "letter", "shop"),
)


def wrong(
    style: str, language: str, units: str, nested: bool, papers: Sequence[str], packs: Sequence[str]
) -> list[str]:
    job = job_of(style, language, units, nested)
    out = []
    for paper, pack in product(papers, packs):
        booklet = made(replace(job, paper=paper), pack, tiles=pack == packs[0])  # type: ignore[arg-type]
        out += [f"{style}, {language}, {units}, {paper}, {pack}: {said}" for said in findings(booklet)]
    return out


def test_the_few_cases_take_everything_once() -> None:
    taken = [set(column) for column in zip(*FEW, strict=True)]
    assert taken == [set(STYLES), set(LANGUAGES), set(UNITS), set(PAPERS), set(PACKS) - {"full"}]


@pytest.mark.parametrize(("style", "language", "units", "paper", "pack"), FEW)
def test_a_pack_is_laid_out_well_and_its_numbers_are_true(
    style: str, language: str, units: str, paper: str, pack: str
) -> None:
    assert not wrong(style, language, units, False, (paper,), (pack,))


@pytest.mark.slow
@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    ("style", "nested"), [*((s, False) for s in STYLES), *((s, True) for s in NESTED)], ids=str
)
def test_every_pack_is_laid_out_well_and_its_numbers_are_true(
    style: str, nested: bool, language: str, units: str
) -> None:
    assert not wrong(style, language, units, nested, PAPERS, PACKS)


def _shifted(booklet: Made) -> tuple[PageSpec, ...]:
    """The pages with all on the first moved 12 mm to the right."""
    first = booklet.specs[0]
    moved = Group(first.drawing.items, Placement.move(12 + 0j))
    return (replace(first, drawing=replace(first.drawing, items=(moved,))), *booklet.specs[1:])


def test_what_is_wrong_is_found() -> None:
    """The judge of this sweep on a booklet that was spoilt in each of the ways that it looks for."""
    good = made(job_of("trousers", "fr", "cm"), "apprentice")
    assert not findings(good)
    last = good.pages[-1]
    shifted = tuple(replace(p, label=str(int(p.label) + 1)) if p.label.isdigit() else p for p in good.pages)
    swapped = (good.pages[0], good.pages[2], good.pages[1], *good.pages[3:])
    assert good.sheet is not None
    moved = replace(good.sheet.placed[0], placement=good.sheet.placed[1].placement)
    spoilt = {
        "a viewer calls it": replace(good, pages=shifted),
        "the cover": replace(good, pages=swapped),
        "says [": replace(
            good, pages=(*good.pages[:-1], replace(good.pages[-2], n=last.n, label=last.label))
        ),
        "no bookmark leads": replace(good, outline=good.outline[:1]),
        "is listed on": replace(good, sheet=replace(good.sheet, placed=(moved, *good.sheet.placed[1:]))),
        "print window is not told": replace(
            good, pages=(*good.pages, last), specs=(*good.specs, good.specs[-1])
        ),
        "pages hold": replace(good, first_tile=good.first_tile - 1),
        "is printed over": replace(
            good, pages=(*good.pages[:-1], replace(last, words=last.words + last.words))
        ),
        "is outside the margins": replace(good, specs=_shifted(good)),
        "is cut: it finds no room": replace(good, cut_words=("Parementure",)),
    }
    for told, booklet in spoilt.items():
        assert any(told in said for said in findings(booklet)), told
