"""The search keeps to its count, its clock and its seeds; shorter lays by overlap have none, and keep to their places."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from helpers.lay_garments import blouse, dress
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.cloth.decode import ANY_WAY, LOWEST, Decoder, Laid
from booklet.cloth.orient import UNIT, Strip, Task, prepare, prepare_strip
from booklet.cloth.pieces import ClothGround, LayPiece, StripKind
from booklet.cloth.room import room_of
from booklet.cloth.search import searched
from booklet.cloth.squeeze import Squeeze

ROOT = Path(__file__).resolve().parents[2]
KINDS: tuple[StripKind, ...] = ("open", "fold", "two_folds")
CLEAR = 0.02  # mm that grown outlines may lie in one another


def task_of(pieces: tuple[LayPiece, ...], kind: StripKind, width: float) -> Task:
    task, refusals = prepare(pieces, kind, width, 3.0)
    assert not refusals
    return task


def check(task: Task, laid: list[Laid]) -> None:
    """Every item once, in its room, within the strip and off the others."""
    assert sorted(p.gene[0] for p in laid) == list(range(len(task.items)))
    decoder = Decoder(task)
    outlines = []
    right = 0
    for one in laid:
        item = task.items[one.gene[0]]
        assert one.way in item.ways and (one.gene[1] == one.way or one.gene[2] == ANY_WAY)
        room = room_of(task, item, one.way)
        assert any(low <= one.at[1] <= high for low, high in room.ys)
        if room.grid:
            assert (one.at[0] - room.grid[0]) % room.grid[1] == 0
        (x0, _, x1, _), _, _ = decoder.extent(item.shape, one.way)
        assert one.at[0] + x0 >= 0
        right = max(right, one.at[0] + x1)
        assert one.right == right
        points = np.array(task.shapes[item.shape].grown) * one.way + np.array(one.at)
        outlines.append(shapely.Polygon(points / UNIT).buffer(-CLEAR / 2, join_style="mitre"))
    for a, b in shapely.STRtree(outlines).query(outlines).T:
        assert a == b or outlines[a].intersection(outlines[b]).area == 0


def one_pass(task: Task) -> list[Laid]:
    order = sorted(range(len(task.items)), key=lambda n: -task.shapes[task.items[n].shape].area)
    laid = Decoder(task).lay([(n, task.items[n].ways[0], LOWEST) for n in order], 10**9)
    assert laid is not None
    return laid


def shorter(task: Task, laid: list[Laid], sweeps: int, seed: int = 1) -> list[list[Laid]]:
    left = iter(range(sweeps))
    return list(
        Squeeze(Decoder(task), random.Random(seed)).shorten(laid, lambda: next(left, None) is not None)
    )


@pytest.mark.parametrize(("kind", "width"), [("fold", 1470.0), ("open", 1470.0)])
def test_every_shorter_lay_is_whole_and_the_last_saves_cloth(kind: StripKind, width: float) -> None:
    task = task_of(blouse(pocket=kind == "open"), kind, width)
    start = one_pass(task)
    found = shorter(task, start, 80)
    for laid in found:
        check(task, laid)
    lengths = [start[-1].right, *(laid[-1].right for laid in found)]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[-1] < 0.95 * lengths[0]


def test_match_points_stay_on_the_stripes() -> None:
    sizes = [(300, 200), (260, 140), (180, 180), (150, 90), (120, 60)]
    pieces = tuple(
        LayPiece(
            f"p{n}",
            (0j, complex(long), complex(long - 30, wide), complex(20, wide)),
            match=complex(40, wide / 2),
        )
        for n, (long, wide) in enumerate(sizes)
    )
    for ground in (ClothGround(700, along=35.0), ClothGround(700, along=35.0, across=50.0)):
        task, refusals = prepare_strip(pieces, Strip("open", ground))
        assert not refusals
        assert task.repeat[0] == 35 * UNIT
        start = one_pass(task)
        check(task, start)
        for laid in shorter(task, start, 30):
            check(task, laid)


@settings(max_examples=12)
@given(
    st.lists(
        st.tuples(st.integers(40, 300), st.integers(30, 160), st.integers(0, 40), st.booleans()),
        min_size=2,
        max_size=6,
    ),
    st.sampled_from(KINDS),
    st.integers(1, 1000),
)
def test_random_pieces_are_laid_without_overlap(
    sizes: list[tuple[int, int, int, bool]], kind: StripKind, seed: int
) -> None:
    pieces = []
    for n, (long, wide, slant, folded) in enumerate(sizes):
        outline = (0j, complex(long), complex(long - slant / 2, wide), complex(slant / 2, wide))
        if folded:
            pieces.append(LayPiece(f"p{n}", outline, "whole", 1, (0j, complex(long))))
        else:
            pieces.append(LayPiece(f"p{n}", outline, "pair", 2))
    strip = Strip(kind, ClothGround(900.0), 225.0 if kind == "two_folds" else 0.0)
    task, refusals = prepare_strip(tuple(pieces), strip)
    assert not refusals
    start = one_pass(task)
    for laid in shorter(task, start, 12, seed):
        check(task, laid)
        assert laid[-1].right <= start[-1].right


def test_count_and_clock_end_the_search() -> None:
    task = task_of(blouse(pocket=False), "fold", 1120)
    quick = searched(task, 0)
    few = searched(task, 100)
    assert quick.used < few.used <= 100
    asked = iter(range(30))
    cut = searched(task, 10**6, stop=lambda: next(asked, None) is None)
    assert 30 < cut.used < 100
    for got in (few, cut):
        check(task, got.best)
        assert got.best[-1].right <= quick.best[-1].right


def test_order_of_a_lay_found_by_overlap_lays_it_nearly_as_short() -> None:
    task = task_of(blouse(), "open", 1470)
    search = searched(task, 200)
    before = search.best
    search.squeeze(random.Random(3), search.used + 150)
    check(task, search.best)
    assert search.best is not before
    again = Decoder(task).lay([p.gene for p in search.best], 10**9)
    assert again is not None
    check(task, again)
    assert search.best[-1].right <= again[-1].right < 1.3 * search.best[-1].right


def test_search_ends_at_the_bound() -> None:
    search = searched(task_of(dress(), "fold", 1470), 10**6)
    assert search.done and search.used < 500


def test_three_processes_find_the_same_places() -> None:
    said = (
        "from helpers.lay_garments import blouse\n"
        "from booklet.cloth.orient import prepare\n"
        "from booklet.cloth.search import searched\n"
        "task, _ = prepare(blouse(pocket=False), 'fold', 1120.0, 3.0)\n"
        "found = searched(task, 160)\n"
        "print(found.used, [(p.gene, p.at) for p in found.best])\n"
    )
    paths = os.pathsep.join((str(ROOT), str(ROOT / "tests")))
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", said],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": paths},
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in ("0", "1", "77")
    ]
    outputs = [run.communicate()[0] for run in runs]
    assert len(outputs[0]) > 200
    assert outputs[0] == outputs[1] == outputs[2]
