"""Names at marks that look alike in all sizes: each at its own mark, none over another, leaders that do not cross."""

from __future__ import annotations

import cmath
import itertools

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing.bounds import text_corners
from booklet.drawing.display import PathItem, Text, box_path
from booklet.drawing.page import SheetPiece, SizeLines
from booklet.paths import Placement
from booklet.printing.nest_spots import spot_names
from booklet.printing.sheet import PlacedPiece

OUTLINE = box_path(0, 0, 200, 300)


def piece(spots: list[list[complex]], turn: complex = 1) -> PlacedPiece:
    """A piece whose sizes, called 34, 36 ..., have a row of marks each."""
    sizes = tuple(
        SizeLines(f"{34 + 2 * n}", "", OUTLINE, (OUTLINE,), (), spots=tuple(("row", z) for z in row))
        for n, row in enumerate(spots)
    )
    placed = SheetPiece("front", "1", "Front", OUTLINE, (), sizes=sizes)
    return PlacedPiece(placed, Placement(turn, 400 + 400j))


def names_of(
    entry: PlacedPiece, lines: list[shapely.Geometry] | None = None
) -> list[tuple[str, complex, Text]]:
    """(size, where its leader begins, its name), of every name."""
    out = []
    for size, items in zip(entry.piece.sizes, spot_names(entry, lines or [], []).named, strict=True):
        for leader, text in zip(items[::2], items[1::2], strict=True):
            assert isinstance(leader, PathItem) and isinstance(text, Text) and text.text == size.size
            assert text.angle_deg == 0
            out.append((size.size, leader.subpaths[0].start, text))
    return out


def clear_of_each_other(found: list[tuple[str, complex, Text]]) -> None:
    boxes = [
        shapely.Polygon([(z.real, z.imag) for z in text_corners(text, Placement.IDENTITY)]).buffer(-0.35)
        for _, _, text in found
    ]
    for a, b in itertools.combinations(boxes, 2):
        assert not a.intersects(b)


@settings(max_examples=30)
@given(
    st.lists(st.lists(st.floats(20, 280), min_size=1, max_size=7), min_size=2, max_size=8),
    st.sampled_from([1, 1j, -1, cmath.rect(1, 0.14)]),
)
def test_every_mark_has_the_name_of_its_size(rows: list[list[float]], turn: complex) -> None:
    entry = piece([[100 + 1j * y for y in row] for row in rows], turn)
    found = names_of(entry)
    for n, size in enumerate(entry.piece.sizes):
        starts = [at for name, at, _ in found if name == size.size]
        for _, spot in size.spots:
            assert min(abs(entry.placement.apply(spot) - at) for at in starts) < 1.0, n
    clear_of_each_other(found)


@pytest.mark.parametrize("turn", [1, 1j])
def test_leaders_keep_the_order_of_their_marks(turn: complex) -> None:
    entry = piece([[100 + 1j * (50 + 0.7 * n + 40 * k) for k in range(4)] for n in range(8)], turn)
    found = names_of(entry)
    assert len(found) == 32
    way = 1j * turn
    for k in range(4):
        group = sorted(found, key=lambda f: (f[1] * way.conjugate()).real)[8 * k : 8 * k + 8]
        assert [name for name, _, _ in group] == [f"{34 + 2 * n}" for n in range(8)]
        along = [(complex(t.x, t.y) * way.conjugate()).real for _, _, t in group]
        assert along == sorted(along)
    leaders = [shapely.LineString([(at.real, at.imag), (t.x, t.y)]) for _, at, t in found]
    assert not any(a.crosses(b) for a, b in itertools.combinations(leaders, 2))


def test_a_buttonhole_at_its_button_is_named_once() -> None:
    entry = piece([[100 + 50j, 100 + 50.2j], [100 + 60j]])
    assert [name for name, _, _ in names_of(entry)] == ["34", "36"]


def test_names_keep_off_lines_and_what_finds_no_room_is_handed_back() -> None:
    entry = piece([[100 + 50j], [100 + 70j]])
    ground = [
        shapely.box(490, 448, 498, 452),
        shapely.box(502, 430, 540, 475),
    ]  # left of the first, right of both
    found = names_of(entry, ground)
    for _, _, text in found:
        box = shapely.Polygon([(z.real, z.imag) for z in text_corners(text, Placement.IDENTITY)])
        assert not any(box.intersects(g) for g in ground)
    walled = spot_names(entry, [shapely.box(400, 400, 600, 700)], [])
    assert walled.named == ((), ()) and [n for n, _ in walled.unnamed] == [0, 1]


@pytest.mark.parametrize("turn", [1, 1j])
def test_a_mark_hemmed_in_on_both_sides_is_named_along_its_row(turn: complex) -> None:
    """Lines run close along both sides of the row, as on a narrow cuff."""
    entry = piece([[100 + 100j], [100 + 140j]], turn)
    at = [entry.placement.apply(z) for z in (100 + 100j, 100 + 140j)]
    walls = []
    for off in (side * n for n in range(4, 36) for side in (-1, 1)):
        ends = [entry.placement.apply(100 + off + y * 1j) for y in (0, 300)]
        walls.append(shapely.LineString([(z.real, z.imag) for z in ends]))
    found = names_of(entry, walls)
    assert sorted(name for name, _, _ in found) == ["34", "36"]
    assert {start for _, start, _ in found} == set(at)
