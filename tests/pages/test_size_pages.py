"""Pages of a booklet of several sizes: which size to take, tables a column a size, letters in steps, one range all over."""

from __future__ import annotations

import itertools
from dataclasses import replace

import html5lib
import pytest
from sized_job import names_of, sized_job

from booklet.drawing import look
from booklet.drawing.bounds import box_of, boxes_touch, flat_items
from booklet.drawing.display import Drawing, Text
from booklet.facts import Pages, job_facts
from booklet.model import Edge, Job, SizeRow
from booklet.pages.chart import chart_leaves, lines_of_sizes
from booklet.pages.checking import checks_leaves
from booklet.pages.cloth_page import cloth_leaves
from booklet.pages.compose import compose
from booklet.pages.cover import cover_leaf
from booklet.pages.instructions import instructions
from booklet.pages.lays import lay_leaves
from booklet.pages.measures import measure_leaves
from booklet.pages.nest_words import layer_name
from booklet.pages.piece_block import label_lines
from booklet.pages.size_cloths import cloth_lines, notion_lines, refusals
from booklet.pages.size_tables import NONE, SizeLine, bands_of, size_table
from booklet.pages.sizes import chosen_by, finished_lines, named_after, opening_lines, which_size
from booklet.pages.spec import Leaf, framed
from booklet.pages.step_sizes import step_table
from booklet.pages.steps import step_leaves
from booklet.pages.words import words_for
from booklet.paths import Path
from booklet.printing.hypertext import html_bytes, text_bytes

N = "\u00a0"
WORDS = words_for("en")


def texts(leaves: list[Leaf]) -> list[str]:
    return [f.item.text for leaf in leaves for f in flat_items(leaf.items) if isinstance(f.item, Text)]


def told(leaves: list[Leaf]) -> str:
    return " ".join(" ".join(texts(leaves)).replace(N, " ").split())


# ---------------------------------------------------------------- which size


def test_a_top_is_chosen_by_the_bust_and_the_ease_is_stated() -> None:
    said = " ".join(which_size(sized_job(), WORDS)).replace(N, " ")
    assert chosen_by(sized_job()) == "bust_girth"
    assert "whose bust in the table is nearest" in said
    assert "**102 mm** more than the body's bust" in said
    assert "up to **50 mm** more" in said  # 101.6 - 50.8, rounded down to whole 5 mm


def test_a_garment_without_ease_at_the_bust_is_chosen_by_the_hip() -> None:
    job = sized_job()
    sizes = tuple(replace(s, finished=s.finished[1:]) for s in job.sizes)
    assert chosen_by(replace(job, sizes=sizes)) == "hip_girth"


def test_room_over_a_size_is_never_rounded_up() -> None:
    said = " ".join(which_size(sized_job(units="in"), WORDS)).replace(N, " ")
    assert "**4 in** more" in said and "up to **2 in** more" in said


def test_sizes_named_after_a_measure_say_so() -> None:
    job = sized_job(3)
    sizes = tuple(
        replace(
            s,
            size=f"{98 + 6 * n}",
            measures=(*s.measures, replace(s.measures[0], name="height", mm=980.0 + 60 * n)),
        )
        for n, s in enumerate(job.sizes)
    )
    job = replace(job, sizes=sizes)
    assert named_after(job) == "height"
    assert "named after the height" in which_size(job, WORDS)[0]


# ---------------------------------------------------------------- tables


def test_finished_measures_stand_by_size_with_their_ease() -> None:
    lines = finished_lines(sized_job(), WORDS)
    assert lines[0].label == "bust"
    assert lines[0].values[:3] == (f"982{N}mm", f"102.2{N}cm", f"106.2{N}cm")
    assert lines[1].label == f"ease (least 51{N}mm, intended 102{N}mm)"
    assert set(lines[1].values) == {f"102{N}mm"}


def test_an_opening_tells_what_is_to_spare() -> None:
    lines = opening_lines(sized_job(), WORDS)
    assert [line.label for line in lines[:2]] == ["neck opens to", "to spare over the head"]
    assert lines[1].values[0] == f"22{N}mm"


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("count", [2, 3, 8, 24])
def test_no_words_of_the_size_pages_touch_or_leave_the_paper(count: int, paper: str, units: str) -> None:
    job = sized_job(count, units, paper)
    wide = look.PAPERS[paper].right
    for leaf in (*measure_leaves(job, WORDS), *cloth_leaves(job, WORDS), *checks_leaves(job, WORDS)):
        boxes = []
        for f in flat_items(leaf.items):
            if isinstance(f.item, Text) and (box := box_of(f.item, f.placement)) is not None:
                assert box[0] > 0 and box[2] < wide + 0.1, f.item.text
                boxes.append((f.item.text, (box[0], box[1] + 0.7, box[2], box[3] - 0.7)))
        for (a, one), (b, other) in itertools.combinations(boxes, 2):
            assert not boxes_touch(one, other), f"'{a}' and '{b}'"


def test_every_size_has_its_column_and_its_figure() -> None:
    found = texts(measure_leaves(sized_job(), WORDS))
    for name in names_of(8):
        assert found.count(name) >= 3
    for cm in ("88", "92", "96", "116"):  # bust 880, 920, 960, 1160 mm
        assert cm in found


def test_bands_are_as_alike_as_can_be() -> None:
    assert bands_of(8, 8) == [list(range(8))]
    assert [len(b) for b in bands_of(9, 8)] == [5, 4]
    assert [len(b) for b in bands_of(24, 9)] == [8, 8, 8]


def test_words_that_differ_by_size_are_told_for_their_sizes() -> None:
    line = SizeLine("thread", ("1 reel", "1 reel", "1 reel", "2 reels"))
    blocks = size_table([line], names_of(4), 22.0, 196.0, 50.0, WORDS, grouped=True)
    found = " ".join(f.item.text for b in blocks for f in flat_items(b.items) if isinstance(f.item, Text))
    assert "34 to 38: 1 reel; 40: 2 reels" in " ".join(found.split())
    assert "36" not in found.split()


# ---------------------------------------------------------------- cloth and notions


def test_cloth_is_told_by_width_kind_and_size() -> None:
    job = sized_job(3)
    lines = cloth_lines(job.size.cloths[0], job, WORDS)
    base = job.size.cloths[0].lays
    assert [line.strong for line in lines] == [True, False, False, False]
    assert [line.values for line in lines[1::2]] == [("open, one layer",) * 3] * 2
    for line, lay in zip(lines[::2], base, strict=True):
        metres = [(lay.buy_mm + 2 * more) / 1000 for more in (-40, 0, 40)]
        assert line.values == tuple(f"{m:.2f}{N}m" for m in metres)


def test_a_size_that_is_shorter_laid_otherwise_is_laid_so() -> None:
    job = sized_job(3)
    first, *rest = job.sizes[2].cloths
    folded = replace(first.lays[0], kind="fold", buy_mm=first.lays[0].buy_mm - 100, recommended=False)
    large = replace(job.sizes[2], cloths=(replace(first, lays=(*first.lays, folded)), *rest))
    job = replace(job, sizes=(*job.sizes[:2], large))
    buy, laid = cloth_lines(job.size.cloths[0], job, WORDS)[:2]
    assert buy.values[2] == f"{folded.buy_mm / 1000:.2f}{N}m"
    assert laid.values == ("open, one layer", "open, one layer", "folded once")


def test_a_width_that_does_not_do_for_some_sizes_names_them() -> None:
    job = sized_job(3)
    first, *rest = job.sizes[2].cloths
    wide = replace(job.sizes[2], cloths=(replace(first, lays=first.lays[:1]), *rest))
    job = replace(job, sizes=(*job.sizes[:2], wide))
    assert cloth_lines(job.size.cloths[0], job, WORDS)[2].values[2] == NONE
    why = "piece 1 Front is wider than the cloth"
    assert refusals(job.size.cloths[0], job, WORDS) == [f"Not on 90{N}cm for 34 to 38: {why}"]


def test_notions_stand_by_size() -> None:
    lines = {line.label: line.values for line in notion_lines(sized_job(4))}
    assert lines["Elastic, 12 mm"] == (f"0.5{N}m", f"0.6{N}m", f"0.7{N}m", f"0.8{N}m")
    assert len(set(lines["Machine needle 80"])) == 1


# ---------------------------------------------------------------- steps


def test_a_steps_table_has_its_letters_under_the_sizes() -> None:
    rows = [
        SizeRow("A", tuple(f"{n}{N}mm" for n in (100, 110, 120))),
        SizeRow("B", ("2 pleats", "", "3 pleats")),
    ]
    items, high = step_table(rows, names_of(3), 34.0, 51.0, WORDS)
    found = [f.item.text for f in flat_items(items) if isinstance(f.item, Text)]
    assert found == [
        "size",
        "34",
        "36",
        "38",
        "A",
        "mm",
        "100",
        "110",
        "120",
        "B",
        "",
        "2 pleats",
        NONE,
        "3 pleats",
    ]
    assert high < 20


def test_the_step_page_holds_letter_and_table() -> None:
    job = sized_job()
    step = next(s for s in job.steps if s.operation == "face")
    assert any("**A** in all" in t for t in step.text)
    assert step.by_size[0].values[:2] == ("547\u00a0mm", "587\u00a0mm")


def test_checks_of_an_apprentice_hold_all_figures_for_they_have_no_table() -> None:
    found = told(checks_leaves(sized_job(), WORDS))
    assert "lies along 305 · 315 · 325 · 335 · 345 · 355 · 365 · 375 mm" in found
    assert "98.2 · 102.2 · 106.2" in found


# ---------------------------------------------------------------- one range all over


def test_cover_and_foot_tell_the_range() -> None:
    job = sized_job()
    cover = told([cover_leaf(job, WORDS, (), ())])
    assert "Sizes 34 to 48" in cover and "Made for" not in cover
    for page in compose(job):
        foot = [
            f.item.text
            for f in flat_items(page.drawing.items)
            if isinstance(f.item, Text) and f.item.role == "foot"
        ]
        assert any("Sizes 34 to 48" in t for t in foot)


def test_the_chart_says_of_which_size_it_is() -> None:
    assert "size 36" in chart_leaves(sized_job(), WORDS)[0].aside


def test_the_chart_tells_an_allowance_that_differs_for_its_sizes() -> None:
    job = sized_job(3)
    first, *rest = job.sizes[2].cut_pieces
    edges = tuple(replace(e, allow=15.0 if e.allow == 10.0 else e.allow) for e in first.piece.edges)
    assert edges != first.piece.edges
    wide = replace(first, piece=replace(first.piece, edges=edges))
    job = replace(job, sizes=(*job.sizes[:2], replace(job.sizes[2], cut_pieces=(wide, *rest))))
    found = " ".join(lines_of_sizes(job, job.size.cut_piece(first.piece.key), WORDS)).replace(N, " ")
    assert "10 · 10 · 15 mm" in found or "Size 38:" in found


def _wider(job: Job, size: int) -> Job:
    """One size with 17 mm where the others have 10 along the first piece's edges."""
    sizes = list(job.sizes)
    first, *rest = sizes[size].cut_pieces
    edges = tuple(replace(e, allow=17.0 if e.allow == 10.0 else e.allow) for e in first.piece.edges)
    sizes[size] = replace(
        sizes[size], cut_pieces=(replace(first, piece=replace(first.piece, edges=edges)), *rest)
    )
    return replace(job, sizes=tuple(sizes))


def test_label_and_cover_tell_an_allowance_that_differs_for_all_sizes() -> None:
    job = sized_job(3)
    key = job.size.cut_pieces[0].piece.key
    alike = " ".join(label_lines(job, job.size.cut_piece(key), WORDS)).replace(N, " ")
    assert "·" not in alike and "allowances included:" in alike
    job = _wider(job, 2)
    label = " ".join(label_lines(job, job.size.cut_piece(key), WORDS)).replace(N, " ")
    assert "10 · 10 · 17 mm" in label or "Size 38:" in label
    assert "17 mm" in told([cover_leaf(job, WORDS, (), [])])
    assert "17 mm" not in told([cover_leaf(sized_job(3), WORDS, (), [])])


@pytest.mark.parametrize("language", ["en", "fr", "es"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_page_with_figures_of_one_size_says_which(language: str, paper: str) -> None:
    """Charts, lays and pictures are of the base size: whoever opens one page alone must see so."""
    job = replace(sized_job(8, paper=paper), language=language)
    words = words_for(language)
    base = layer_name(job.size.size, words).lower()
    leaves = [*chart_leaves(job, words), *lay_leaves(job, words), *step_leaves(job, words)]
    assert {leaf.section for leaf in leaves} == {"chart", "lays", "steps"}
    for leaf in leaves:
        assert base in leaf.aside.lower(), leaf.title
        drawn = framed(leaf, job, words, 1, 1)
        shown = [
            f for f in flat_items(drawn.drawing.items) if isinstance(f.item, Text) and f.item.role == "title"
        ]
        assert not boxes_touch(*[box_of(f.item) for f in shown[:2]]), leaf.title


def test_the_chart_tells_the_edge_that_a_facing_meets_in_size_order() -> None:
    job = sized_job(3)
    parent = job.size.cut_pieces[0].piece
    facing = next(c for c in job.size.cut_pieces if c.piece.facing is not None)
    assert facing.piece.facing is not None and facing.piece.facing.parent == parent.key
    name = facing.piece.facing.edges[0]
    longer = tuple(_grown(e) if e.name == name else e for e in parent.edges)
    first, *rest = job.sizes[2].cut_pieces
    large = replace(first, piece=replace(parent, edges=longer))
    job = replace(job, sizes=(*job.sizes[:2], replace(job.sizes[2], cut_pieces=(large, *rest))))
    found = " ".join(lines_of_sizes(job, facing, WORDS)).replace(N, " ")
    edge = parent.edge(name)
    assert edge is not None
    small, more = round(2 * edge.sewn_length), round(2 * _grown(edge).sewn_length)
    assert small != more and f"{small} · {small} · {more} mm" in found


def _grown(edge: Edge) -> Edge:
    """The edge a tenth longer."""
    segments = tuple(tuple(1.1 * z for z in segment) for segment in edge.path.segments)
    return replace(edge, path=Path(segments))


def test_the_order_of_the_sizes_is_told() -> None:
    pages = compose(sized_job())
    found = " ".join(
        f.item.text.replace(N, " ")
        for p in pages
        for f in flat_items(p.drawing.items)
        if isinstance(f.item, Text)
    )
    assert "34 · 36 · 38 · 40 · 42 · 44 · 46 · 48" in " ".join(found.split())


# ---------------------------------------------------------------- screen and machine


def screen(job: Job) -> tuple[str, str]:
    made = instructions(job, WORDS)
    return html_bytes(made).decode("utf-8"), text_bytes(made).decode("utf-8")


def test_the_screen_has_the_same_tables() -> None:
    page, plain = screen(sized_job())
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    rows = [["".join(c.itertext()) for c in row] for row in tree.iter("tr")]
    assert ["size", *names_of(8)] in rows
    figures = [f"{mm}{N}mm" for mm in range(547, 547 + 320, 40)]
    assert ["A", *figures] in rows
    flat = " ".join(plain.replace(N, " ").split())
    assert "A; 34: 547 mm; 36: 587 mm" in flat
    assert "Sizes 34 to 48" in flat


def test_facts_hold_every_size_with_its_own_steps() -> None:
    job = sized_job()
    facts = job_facts(job, Pages(1, 0, ()))
    assert facts["base"] == "36"
    assert [s["size"] for s in facts["sizes"]] == list(names_of(8))
    face = next(n for n, s in enumerate(facts["steps"]) if s["operation"] == "face")
    assert facts["steps"][face]["by_size"][0]["letter"] == "A"
    for size, value in zip(facts["sizes"], facts["steps"][face]["by_size"][0]["values"], strict=True):
        assert value in size["steps"][face]["text"]


def test_a_single_size_has_no_trace_of_a_range() -> None:
    job = sized_job(2)
    one = replace(job, sizes=job.sizes[:1], base=0, steps=job.sized_steps[0], sized_steps=job.sized_steps[:1])
    facts = job_facts(one, Pages(1, 0, ()))
    assert "steps" not in facts["sizes"][0] and facts["steps"][0]["by_size"] == []
    assert all(isinstance(p.drawing, Drawing) for p in compose(one))
    assert "Sizes" not in told([cover_leaf(one, WORDS, (), ())])
