"""Blocks down a page: nothing is lost, nothing passes the foot, a heading never stands alone, heads come again."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing import look
from booklet.drawing.bounds import box_of, flat_items
from booklet.drawing.display import Text
from booklet.pages.flow import Block, Column, Row, flow, heading_block, height_of, table_blocks, words_block

PAPER = look.A4


def _block(name: str, height: float, keep: bool = False, before: float = 0.0) -> Block:
    return Block(height, (Text(30, 3, name, 9.6),), before, keep)


def _names(items) -> list[str]:  # type: ignore[no-untyped-def]
    return [f.item.text for f in flat_items(items) if isinstance(f.item, Text)]


@given(st.lists(st.tuples(st.floats(2, 90), st.booleans()), min_size=1, max_size=30))
def test_order_is_kept_and_nothing_passes_the_foot(shapes: list[tuple[float, bool]]) -> None:
    blocks = [_block(str(n), h, keep and n % 3 == 0, 4.0) for n, (h, keep) in enumerate(shapes)]
    pages = flow(blocks, 35, 281)
    assert [t for page in pages for t in _names(page)] == [str(n) for n in range(len(shapes))]
    at = 0
    for page in pages:
        count = len(_names(page))
        assert 35 + height_of(blocks[at : at + count]) <= 281 + 1e-6
        at += count


def test_a_block_that_keeps_with_the_next_is_never_last_on_a_page() -> None:
    blocks = [_block("long", 200), _block("heading", 40, keep=True), _block("row", 20)]
    pages = flow(blocks, 35, 281)
    assert [_names(p) for p in pages] == [["long"], ["heading", "row"]]


def test_a_long_table_repeats_its_head() -> None:
    columns = (Column(22, 60, "piece"), Column(90, 30, "count", "end"))
    rows = [Row((f"piece {n}", str(n))) for n in range(60)]
    pages = flow(table_blocks(columns, rows, 22, 196), 35, 281)
    assert len(pages) == 2
    assert all(_names(page)[:2] == ["piece", "count"] for page in pages)
    assert len(_names(pages[1])) >= 2 + 4  # two rows at least go over together


def test_a_short_table_is_not_parted() -> None:
    columns = (Column(22, 60, "piece"),)
    rows = [Row((f"piece {n}",)) for n in range(5)]
    blocks = [
        _block("above", 225),
        heading_block("Openings", "", PAPER),
        *table_blocks(columns, rows, 22, 196),
    ]
    pages = flow(blocks, 35, 281)
    assert _names(pages[0]) == ["above"]
    assert len(_names(pages[1])) == 7


def test_words_stay_within_their_block() -> None:
    block = words_block("Gathers and glyphs, **10 mm** from the edge, jumping quickly. " * 3, 22, 80)
    boxes = [box_of(i) for i in block.items]
    assert min(b[1] for b in boxes if b) > -0.6  # marks over capitals may stand a hair higher
    assert max(b[3] for b in boxes if b) < block.height + 0.3


def test_an_almost_empty_last_page_begins_at_an_earlier_heading() -> None:
    body = [heading_block("Body", "", PAPER), _block("body", 100)]
    garment = [heading_block("Garment", "", PAPER), _block("garment", 100)]
    openings = [heading_block("Openings", "", PAPER), _block("openings", 50)]
    blocks = [*body, *garment, *openings]
    told = [_names(p) for p in flow(blocks, 35, 281)]
    assert told == [["Body", "body"], ["Garment", "garment", "Openings", "openings"]]
    plain = flow(blocks, 35, 281, balanced=False)
    assert [_names(p) for p in plain] == [["Body", "body", "Garment", "garment"], ["Openings", "openings"]]
    longer = [*body, *garment, heading_block("Openings", "", PAPER), _block("openings", 140)]
    assert [_names(p) for p in flow(longer, 35, 281)][1] == ["Openings", "openings"], "full enough as it is"


def test_what_stands_beside_a_heading_goes_under_it_where_a_line_does_not_hold_both() -> None:
    short = heading_block("Lining, 90 cm", "recommended, 0.17 m taken", PAPER)
    assert len({f.item.y for f in flat_items(short.items) if isinstance(f.item, Text)}) == 1
    long = heading_block(
        "Interfacing, 90 cm, two folds inwards, glue side out, " + "x" * 40, "recommended", PAPER
    )
    rows = sorted({f.item.y for f in flat_items(long.items) if isinstance(f.item, Text)})
    assert len(rows) >= 2 and long.height > short.height + 4
    assert max(box_of(i)[2] for i in long.items) <= PAPER.right + 0.01  # type: ignore[index]


def test_a_word_of_a_head_that_is_wider_than_its_column_is_not_cut() -> None:
    columns = (Column(22, 6, "Schritt", "middle"), Column(60, 30, "piece"))
    names = [
        t for block in table_blocks(columns, [Row(("1", "Front"))], 22, 196) for t in _names(block.items)
    ]
    assert "Schritt" in names


def test_a_long_table_that_fits_on_the_last_page_goes_there_whole_with_its_heading() -> None:
    columns = (Column(22, 60, "piece"),)
    rows = [Row((f"row {n}",), soft=n % 2 == 1) for n in range(20)]
    blocks = [heading_block("Body", "", PAPER), _block("body", 120), heading_block("Garment", "", PAPER),
              *table_blocks(columns, rows, 22, 196)]  # fmt: skip
    pages = [_names(p) for p in flow(blocks, 35, 281)]
    assert pages[0] == ["Body", "body"] and pages[1][:2] == ["Garment", "piece"] and len(pages) == 2
    parted = [_names(p) for p in flow(blocks, 35, 281, balanced=False)]
    assert "row 0" in parted[0] and not rows[int(parted[1][1].split()[1])].soft, (
        "a soft row stays with its own"
    )


def test_an_almost_empty_last_page_takes_rows_of_a_long_table() -> None:
    columns = (Column(22, 60, "step"),)
    rows = [Row((f"row {n}",)) for n in range(26)]
    blocks = [heading_block("Limits", "", PAPER), _block("limits", 40), heading_block("Checks", "", PAPER),
              *table_blocks(columns, rows, 22, 196), heading_block("At the end", "", PAPER), _block("end", 50)]  # fmt: skip
    assert _names(flow(blocks, 35, 281, balanced=False)[1]) == ["At the end", "end"]
    first, second = (_names(p) for p in flow(blocks, 35, 281))
    assert second[0] == "step" and second[-2:] == ["At the end", "end"] and len(second) >= 5
    assert first[-1] == f"row {int(second[1].split()[1]) - 1}"


_Parts = st.lists(st.tuples(st.integers(0, 14), st.floats(10, 70)), min_size=1, max_size=6)


@settings(max_examples=40, deadline=None)
@given(_Parts)
def test_a_last_page_is_nearly_empty_only_where_no_break_does_better(parts: list[tuple[int, float]]) -> None:
    blocks: list[Block] = []
    for n, (rows, height) in enumerate(parts):
        blocks.append(heading_block(f"Part {n}", "", PAPER))
        blocks += (
            table_blocks((Column(22, 60, "what"),), [Row((f"{n}.{k}",)) for k in range(rows)], 22, 196)
            if rows
            else [Block(height, (Text(30, height - 1.0, f"text {n}", 9.6),))]
        )
    plain, shown = (flow(blocks, 35, 281, balanced=b) for b in (False, True))
    assert len(plain) == len(shown)
    if len(shown) < 2:
        return
    least = min(_filled_to(p) for p in shown[-2:])
    assert least >= min(_filled_to(p) for p in plain[-2:]) - 0.01 or least >= 0.4
    if least < 0.38:  # nowhere a heading or a row at which both pages would be fuller
        for n in range(1, len(blocks)):
            if blocks[n - 1].keep or not (blocks[n].heading or blocks[n].again):
                continue
            again = blocks[n].again
            one = [*flow(blocks[:n], 35, 281, balanced=False)]
            two = height_of(blocks[n:]) + (again.height if again is not None else 0.0)
            if len(one) == len(shown) - 1 and two <= 246:
                assert min(_filled_to(one[-1]), two / 246) < 0.42


def _filled_to(items) -> float:  # type: ignore[no-untyped-def]
    """How far down a page reaches, as a share of its height."""
    return max((b[3] for f in items if (b := box_of(f))), default=35.0) / 246 - 35 / 246
