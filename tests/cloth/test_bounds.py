"""No lay is ever shorter than its bound, and the bound is the length where plain arithmetic says so."""

from __future__ import annotations

import itertools

import pytest
from helpers.lay_garments import dress, on_fold, rect
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.cloth.bounds import chain_bound, simple_bound, slice_bound
from booklet.cloth.decode import RULES, Decoder
from booklet.cloth.engine import lay
from booklet.cloth.orient import UNIT, prepare
from booklet.cloth.pieces import LayKind, LayPiece


def bounds(pieces: list[LayPiece], kind: LayKind, width: float, gap: float = 3.0) -> tuple[float, float]:
    task, refusals = prepare(tuple(pieces), kind, width, gap)
    assert not refusals
    return simple_bound(task) / UNIT, chain_bound(Decoder(task)) / UNIT


def test_area_and_the_longest_piece() -> None:
    simple, _ = bounds([LayPiece("a", rect(200, 100), "single", 1)], "open", 100)
    assert simple == pytest.approx(200)
    simple, _ = bounds([LayPiece("a", rect(200, 100), "same", 6)], "open", 300, gap=0)
    assert 400 <= simple < 410  # 6 * 200 * 100 / 300


def test_fold_edges_lie_one_behind_another() -> None:
    pieces = [on_fold("a", rect(500, 50)), on_fold("b", rect(300, 60))]
    simple, chain = bounds(pieces, "fold", 600)
    assert simple == pytest.approx(803, abs=1.1)
    assert chain == pytest.approx(803, abs=1.1)
    assert lay(pieces, "fold", 600, 40).proved


def test_chain_of_pieces_too_wide_to_lie_abreast() -> None:
    pieces = [LayPiece(k, rect(long, 60), "single", 1) for k, long in zip("abc", (200, 150, 90), strict=True)]
    _, chain = bounds(pieces, "open", 100)
    assert chain == pytest.approx(440 + 2 * 3, abs=2.1)
    # Where two do lie abreast the chain says no more than the longest.
    _, chain = bounds(pieces[:2], "open", 130)
    assert chain == pytest.approx(200, abs=0.01)


def slices(pieces: list[LayPiece], kind: LayKind, width: float, gap: float = 0.0) -> float:
    task, refusals = prepare(tuple(pieces), kind, width, gap)
    assert not refusals
    return slice_bound(task) / UNIT


def test_slices_a_little_over_half_the_width_lie_one_behind_another() -> None:
    # Three of 60 across on 100: by area 180 % of 200 mm is 360; one behind another they take 600 (arithmetic).
    three = [LayPiece("a", rect(200, 60), "same", 3)]
    assert 590 < slices(three, "open", 100) <= 600 + 3
    # Four of 35: two abreast and no third, so 400; by area 280.
    assert 385 < slices([LayPiece("a", rect(200, 35), "same", 4)], "open", 100) <= 400 + 3
    # Where they fill the cloth but for what outlines are grown by, the area.
    assert 385 < slices([LayPiece("a", rect(200, 50), "same", 4)], "open", 101.1) <= 400 + 3


def test_slices_of_a_shape_with_a_hollow_and_of_a_half() -> None:
    # A U lying down: two arms of 30 about a hollow of 60, closed for the first 20 mm. Chords 120, then 60.
    hollow = (0j, 100 + 0j, 100 + 30j, 20 + 30j, 20 + 90j, 100 + 90j, 100 + 120j, 120j)
    area = 20 * 120 + 80 * 60
    got = slices([LayPiece("u", hollow, "same", 2)], "open", 120)
    assert 2 * area / 120 - 6 < got <= 200 + 3
    half = [on_fold("f", rect(300, 60)), on_fold("g", rect(200, 60))]
    assert (
        490 < slices(half, "fold", 200, 3.0) <= lay(half, "fold", 200).length
    )  # 503 and what outlines grow by


@settings(max_examples=40)
@given(
    st.lists(st.tuples(st.integers(20, 200), st.integers(20, 99)), min_size=1, max_size=6),
    st.integers(0, 30),
)
def test_slices_say_no_more_than_a_lay_found(sizes: list[tuple[int, int]], slant: int) -> None:
    pieces = [
        LayPiece(f"p{n}", (0j, complex(long), complex(long + slant, wide), complex(slant, wide)), "same", 1)
        for n, (long, wide) in enumerate(sizes)
    ]
    assert slices(pieces, "open", 100, 3.0) <= lay(pieces, "open", 100, 0).length


def test_dress_on_the_fold_is_proved_shortest() -> None:
    plan = lay(dress(), "fold", 1470, 500)
    assert plan.proved
    assert plan.evaluations < 500
    assert plan.length - plan.bound <= 0.5


@settings(max_examples=15)
@given(
    st.lists(
        st.tuples(st.integers(30, 200), st.integers(20, 90), st.integers(-20, 20), st.booleans()),
        min_size=2,
        max_size=3,
    )
)
def test_no_order_at_all_beats_the_bound(sizes: list[tuple[int, int, int, bool]]) -> None:
    pieces = []
    for n, (long, wide, slant, folded) in enumerate(sizes):
        outline = (0j, complex(long), complex(long - abs(slant) / 2, wide), complex(slant, wide))
        if folded:
            pieces.append(LayPiece(f"p{n}", outline, "whole", 1, (0j, complex(long))))
        else:
            pieces.append(LayPiece(f"p{n}", outline, "pair", 2))
    task, _ = prepare(tuple(pieces), "fold", 240, 3.0)
    decoder = Decoder(task)
    bound = max(simple_bound(task), slice_bound(task), chain_bound(decoder))
    choices = [[(n, way, RULES[2]) for way in item.ways] for n, item in enumerate(task.items)]
    shortest = min(
        laid[-1].right
        for order in itertools.permutations(choices)
        for genes in itertools.product(*order)
        if (laid := decoder.lay(genes, 10**7))
    )
    assert bound <= shortest + 5
