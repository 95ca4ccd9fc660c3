"""Which ways round pieces may lie, what their grown outlines hold, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from helpers.lay_garments import blouse, bodice, dress, on_fold, polygon, rect, sleeve

from booklet.cloth.orient import TOLERANCE, UNIT, Strip, prepare, prepare_strip, ways_of
from booklet.cloth.pieces import ClothGround, LayPiece, opened
from booklet.cloth.room import fitting, room_of

WEDGE = (0j, 200 + 0j, 150 + 90j, 20 + 60j)
UP, TURNED, ACROSS, ENDWISE = (1, 1), (-1, -1), (1, -1), (-1, 1)


def test_ways_round() -> None:
    def ways(mode: str, kind: str, twin: bool = False, **more: object) -> set[tuple[int, int]]:
        return set(ways_of(LayPiece("p", WEDGE, mode, 2, **more), kind, twin))

    # TRADE rule: right side up is never mirrored; a pair is laid once and once turned over.
    assert ways("single", "open") == {UP, TURNED}
    assert ways("same", "open") == {UP, TURNED}
    assert ways("pair", "open") == {UP, TURNED}
    assert ways("pair", "open", twin=True) == {ACROSS, ENDWISE}
    assert ways("pair", "fold") == {UP, TURNED, ACROSS, ENDWISE}
    assert ways("single", "open", turnable=True) == {UP, TURNED, ACROSS, ENDWISE}
    assert ways("whole", "fold", fold_edge=(0j, 200 + 0j)) == {UP, ENDWISE}
    # With nap the grain's head stays at one end.
    assert ways("pair", "open", twin=True, nap=True) == {ACROSS}
    assert ways("pair", "fold", nap=True) == {UP, ACROSS}
    assert ways("whole", "fold", nap=True, fold_edge=(0j, 200 + 0j)) == {UP}


def test_ways_that_look_alike_are_tried_once() -> None:
    task, _ = prepare(
        (LayPiece("r", rect(200, 90), "pair", 2), LayPiece("w", WEDGE, "pair", 2)), "fold", 900, 3.0
    )
    assert [len(item.ways) for item in task.items] == [1, 4]
    task, _ = prepare((dress()[0],), "open", 900, 3.0)
    assert len(task.items[0].ways) == 2  # its mirror image across the cloth is itself


@pytest.mark.parametrize("gap", [0.0, 3.0, 12.0])
def test_grown_outline_holds_the_cut_line_grown_by_half_the_gap(gap: float) -> None:
    for kind in ("open", "fold"):
        for piece in (*dress(), *blouse(pocket=False)):
            task, _ = prepare((piece,), kind, 2000, gap)
            item, shape = task.items[0], task.shapes[0]
            cut = polygon(piece.outline if kind == "fold" else opened(piece).outline)
            wanted = cut.buffer(gap / 2)
            grown = shapely.affinity.affine_transform(
                shapely.Polygon(np.array(shape.grown) / UNIT),
                [1, 0, 0, item.flip, item.corner.real, item.corner.imag],
            )
            if item.on_fold:
                wanted = wanted.intersection(shapely.box(-1e4, 0, 1e4, 1e4))
                assert grown.bounds[1] == 0.0
            assert grown.buffer(0.02).covers(wanted)
            # ... and not much more: no part of an edge lies further out than both tolerances, sharp corners apart.
            room = cut.buffer((gap / 2 + 2 * TOLERANCE) * 2.5)
            assert room.covers(grown)
            assert len(shape.grown) <= 64


def test_opened_half_keeps_its_frame_and_may_fold_on_any_line() -> None:
    a, turn = 30 + 40j, complex(math.cos(0.3), math.sin(0.3))
    ring = tuple(a + turn * z for z in bodice(700, 270, 25))
    piece = LayPiece("back", ring, "whole", 1, (a + turn * 25, a + turn * 705))
    whole = opened(piece)
    assert whole.fold_edge is None
    both = polygon(whole.outline)
    assert both.area == pytest.approx(2 * polygon(ring).area, rel=1e-6)
    assert both.buffer(1e-3).covers(polygon(ring))


def problems(piece: LayPiece, kind: str = "open") -> list[str]:
    return [r.reason for r in prepare((piece,), kind, 900, 3.0)[1]]


def test_outlines_that_cannot_be_laid_are_refused() -> None:
    assert problems(LayPiece("a", (0j, 100 + 0j))) == ["outline"]
    assert problems(LayPiece("a", (0j, 100 + 0j, 50 + 0j))) == ["outline"]
    assert problems(LayPiece("a", (0j, complex(math.nan, 0), 50 + 9j))) == ["outline"]
    assert problems(LayPiece("a", (0j, complex(math.inf, 0), 50 + 9j))) == ["outline"]
    assert problems(LayPiece("bow", (0j, 100 + 100j, 100 + 0j, 100j))) == ["outline"]
    assert problems(LayPiece("a", WEDGE, "pair", 3)) == ["count"]
    assert problems(LayPiece("a", WEDGE, "single", 0)) == ["count"]
    assert problems(LayPiece("a", tuple(reversed(WEDGE)))) == []
    assert problems(LayPiece("a", (*WEDGE, WEDGE[0]))) == []
    assert problems(LayPiece("a", tuple(z for z in WEDGE for _ in range(2)))) == []


def test_fold_edges_must_be_straight_along_the_grain_with_the_piece_on_one_side() -> None:
    slanted = LayPiece("a", (0j, 200 + 9j, 100 + 90j), "whole", 1, (0j, 200 + 9j))
    assert problems(slanted, "fold") == ["fold edge"]
    assert problems(slanted, "open") == []
    across = LayPiece("a", (0j, 200 + 0j, 260 - 30j, 150 + 90j), "whole", 1, (0j, 200 + 0j))
    assert problems(across, "open") == ["fold edge"] == problems(across, "fold")
    (said,) = prepare((across,), "fold", 900, 3.0)[1]
    assert "30.0 mm" in said.what
    aside = LayPiece("a", WEDGE, "whole", 1, (-5j, 200 - 5j))
    assert problems(aside, "open") == ["fold edge"] == problems(aside, "fold")


def test_a_right_side_up_piece_in_two_layers_gives_one_ply_at_a_time() -> None:
    for mode in ("single", "same"):
        task, refusals = prepare((LayPiece("a", WEDGE, mode, 2),), "fold", 900, 3.0)
        assert not refusals and [i.copies for i in task.items] == [(0,), (1,)]
        task, _ = prepare((LayPiece("a", WEDGE, mode, 2, turnable=True),), "fold", 900, 3.0)
        assert [i.copies for i in task.items] == [(0, 1)]


def test_between_two_folds_a_half_piece_hangs_from_either() -> None:
    piece = on_fold("half", bodice(300, 200, 20))
    ground = ClothGround(1000)
    whole, refused = prepare_strip((piece,), Strip("two_folds", ground, 250.0))
    assert not refused
    (item,) = whole.items
    ys = {way: room_of(whole, item, way).ys for way in item.ways}
    assert {y for ((y, _),) in ys.values()} == {0, 500_000}
    shallow, _ = fitting(prepare_strip((piece,), Strip("two_folds", ground, 100.0))[0])
    assert {w[1] for w in shallow.items[0].ways} == {-1}  # too deep for the fold of 100 mm
    (said,) = prepare_strip((piece,), Strip("two_folds", ClothGround(430), 107.5))[1]
    assert said.reason == "too wide" and "meeting line" in said.what


def test_match_points_have_only_the_lines_of_the_repeat() -> None:
    piece = LayPiece("a", WEDGE, "pair", 2, match=40 + 30j)
    task, _ = prepare_strip((piece,), Strip("open", ClothGround(500, along=80, across=60)))
    for way in task.items[0].ways:
        room = room_of(task, task.items[0], way)
        assert room.grid is not None and room.ys
        for x in (room.grid[0], room.grid[0] + room.grid[1]):
            assert (x + way[0] * 40_000) % 80_000 == 0
        assert all(a == b and (a + way[1] * 30_000) % 60_000 == 0 for a, b in room.ys)
    none, without = fitting(prepare_strip((piece,), Strip("open", ClothGround(92, across=600)))[0])
    assert len(without) == 2 and none.items == ()


def test_placement_puts_the_shape_where_the_item_lies() -> None:
    piece = LayPiece("sleeve", tuple(z + (17 - 33j) for z in sleeve(420, 190)), "pair", 2)
    task, _ = prepare((piece,), "fold", 900, 3.0)
    (item,) = task.items
    for way in (UP, TURNED, ACROSS, ENDWISE):
        placing = item.placement(way, (50_000, 60_000))
        assert placing.mirrored == (way[0] != way[1])
        placed = [placing.apply(z) for z in piece.outline]
        box = (min(z.real for z in placed), min(z.imag for z in placed))
        w, h = (s / UNIT for s in task.shapes[0].size)
        want = (50 - (0 if way[0] > 0 else w), 60 - (0 if way[1] > 0 else h))
        assert box == pytest.approx(want, abs=2e-3)


def test_corners_that_fall_together_in_whole_units_are_one() -> None:
    """A half whose end stands a hair off the fold: its grown outline meets the fold in two corners within a micrometre,
    and an edge without length has no direction for a no-fit polygon."""
    ring = (
        complex(5.0648607876529965, -2.7372700405027837e-15),
        complex(-612.5465909654807, 1.8156010876603191e-16),
        -612.0169349013751 + 205.44617287532654j,
        -606.1005175517367 + 283.2021701090002j,
        -594.920092336275 + 349.80053622824283j,
        -155.5672429201234 + 263.0778441731296j,
        27.397000973331224 + 223.47983272368822j,
        9.870013840079451 + 136.06856558450244j,
        11.019182381082006 + 97.58672423938789j,
        5.064860787653019 + 56.50778530567689j,
    )
    fold = (
        complex(-609.0000565378382, 1.6479919608632278e-16),
        complex(4.000088674906607, -2.732237930207608e-15),
    )
    half = LayPiece("front", ring, "whole", 1, fold)
    task, refusals = prepare((half,), "fold", 1110.0, 3.0)
    assert not refusals
    points = task.shapes[0].grown
    assert len(set(points)) == len(points)
