"""The whole booklet: order, numbers, contents, bookmarks, the tile run on a new leaf; nothing over anything else."""

from __future__ import annotations

import re

import pytest
from sample_job import sample_job
from sample_pictures import plain_picture

from booklet.drawing import look
from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import Board, PathItem, Text
from booklet.drawing.judge import judge
from booklet.drawing.page import PageSpec
from booklet.drawing.recorder import record
from booklet.model import Job
from booklet.pages.compose import TileRun, compose
from booklet.pages.words import words_for

COVER = (("front", plain_picture(60, 70)), ("back", plain_picture(60, 66)))
JOBS = {
    "cm a4": sample_job(),
    "in letter": sample_job("in", "letter"),
    "folded": sample_job(single=False),
    "whole paper": sample_job(whole_paper=True),
    "no pictures": sample_job(with_pictures=False),
}


def _tiles(count: int, seen: list[tuple[int, int]]) -> TileRun:
    def pages(first: int, of: int) -> list[PageSpec]:
        seen.append((first, of))
        return [PageSpec(Board().drawing(210, 297), f"T{n}") for n in range(count)]

    return TileRun(count, pages)


def _texts(page: PageSpec, role: str | None = None) -> list[str]:
    flat = flat_items(page.drawing.items)
    return [f.item.text for f in flat if isinstance(f.item, Text) and role in (None, f.item.role)]


@pytest.mark.parametrize("name", JOBS)
def test_nothing_lies_over_anything_and_every_arrow_hits(name: str) -> None:
    for n, page in enumerate(compose(JOBS[name], cover=COVER), 1):
        assert judge(page.drawing) == [], f"page {n}"


@pytest.mark.parametrize("name", JOBS)
def test_words_keep_the_margins(name: str) -> None:
    paper = look.PAPERS[JOBS[name].paper]
    for page in compose(JOBS[name], cover=COVER):
        assert (page.drawing.width, page.drawing.height) == (paper.width, paper.height)
        for flat in flat_items(page.drawing.items):
            if isinstance(flat.item, Text):
                corners = text_corners(flat.item, flat.placement)
                assert min(z.real for z in corners) >= paper.left - 0.6
                assert max(z.real for z in corners) <= paper.right + 0.6
                assert max(z.imag for z in corners) <= paper.foot_rule + 6
                assert flat.item.size_pt >= look.SMALLEST_PT


def test_every_page_says_style_size_version_and_number() -> None:
    pages = compose(JOBS["cm a4"], cover=COVER)
    for n, page in enumerate(pages, 1):
        foot = _texts(page, "foot")
        assert foot == ["Tern & Thimble Workroom", "Size M-03  ·  version 1.0", f"{n} of {len(pages)}"]
        assert "T-07  Round-neck top with gathered sleeves" in _texts(page, "head")
        assert page.label == str(n)


def test_contents_lead_to_the_pages_that_have_those_titles() -> None:
    job = JOBS["cm a4"]
    pages = compose(job, cover=COVER)
    contents = _texts(pages[0], "contents")
    lines = dict(zip(contents[::2], (int(n) for n in contents[1::2]), strict=True))
    titles = {n: _texts(page, "title")[:1] for n, page in enumerate(pages, 1)}
    for name in ("Body and finished measurements", "Cloth and notions to buy", "What to cut", "Lay plans"):
        assert titles[lines[name]] == [name]
    assert titles[lines["Steps 1 to 10"]] == ["Preparing the pieces"]
    assert list(lines.values()) == sorted(lines.values())


@pytest.mark.parametrize("name", JOBS)
def test_the_tile_run_begins_on_a_new_leaf(name: str) -> None:
    seen: list[tuple[int, int]] = []
    front = len(compose(JOBS[name]))
    pages = compose(JOBS[name], tiles=_tiles(3, seen))
    ((first, of),) = seen
    assert first % 2 == 1
    assert of == len(pages) == first + 2
    assert first - 1 - front in (0, 1)
    if first - 1 > front:
        assert "left empty" in " ".join(_texts(pages[front]))
    assert str(first) in _texts(pages[0], "contents")[-1]


@pytest.mark.parametrize("sheets", [1, 7])
def test_the_cover_counts_the_full_scale_pages_as_the_print_guide_does(sheets: int) -> None:
    pages = compose(JOBS["cm a4"], tiles=_tiles(1 + sheets, []))
    counted = words_for("en")("pattern.aside", count=sheets)
    line = _texts(pages[0], "contents")[-2]
    assert line.endswith(counted) and str(sheets) in line


def test_a_tile_run_that_breaks_its_promise_is_refused() -> None:
    run = TileRun(2, lambda first, of: [])
    with pytest.raises(ValueError, match="0 pages, not the 2"):
        compose(JOBS["cm a4"], tiles=run)


def test_bookmarks_name_every_section_and_step() -> None:
    job = JOBS["cm a4"]
    marks = [b for page in compose(job) for b in page.bookmarks]
    outer = [b.title for b in marks if b.level == 0]
    assert outer[0] == job.style.title
    assert "What to cut" in outer and "Safety and care" in outer and "Sleeves" in outer
    assert [b.title for b in marks if b.level == 1] == [f"{s.number} {s.title}" for s in job.steps]


def test_the_same_job_gives_the_same_pages() -> None:
    first = [record(p.drawing) for p in compose(sample_job(), cover=COVER)]
    assert first == [record(p.drawing) for p in compose(sample_job(), cover=COVER)]


def test_units_of_the_booklet_are_the_units_of_every_computed_length() -> None:
    measures = " ".join(_texts(compose(sample_job("in"))[1]))
    assert "36\u00a01/4\u00a0in" in measures
    assert not re.search(r"\d\u00a0mm", measures.replace("10\u00a0mm, have", "").split("Openings")[0])
    metric = " ".join(_texts(compose(sample_job("cm"))[1]))
    assert "920\u00a0mm" in metric and "\u00a0in" not in metric


def test_the_chart_ties_each_facing_to_the_edge_that_it_meets() -> None:
    """Both ends of the arrow lie on a drawn stitch line, and they are two different lines."""
    page = compose(JOBS["cm a4"])[3]
    flat = [f.item for f in flat_items(page.drawing.items) if isinstance(f.item, PathItem)]
    stitches = [p for item in flat if item.role == "stitch" for p in item.subpaths]
    arrows = [item for item in flat if item.role == "action" and len(item.ends) == 2]
    assert len(arrows) == 1
    met = []
    for end in arrows[0].ends:
        gaps = [abs(p.point(p.nearest(end)) - end) for p in stitches]
        assert min(gaps) < 0.01
        met.append(gaps.index(min(gaps)))
    assert met[0] != met[1]
    assert "sewn to Front neckline" in [t.replace("\u00a0", " ") for t in _texts(page)]


def test_a_job_without_cloths_has_no_cloth_pages() -> None:
    from dataclasses import replace

    job: Job = JOBS["cm a4"]
    bare = replace(job, sizes=(replace(job.size, cloths=(), notions=()),))
    titles = [t for page in compose(bare) for t in _texts(page, "title")]
    assert "Lay plans" not in titles and "Cloth and notions to buy" not in titles
    assert "What to cut" in titles
