"""Slash and spread, and the sleeve head fitted to its armhole: what is added, and what stays as it was."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest
from helpers.bodies import extreme_bodies
from helpers.drafts import MIDDLING, Drafted, draft_style, middling, option_sets
from helpers.rings import length, line, polygon
from hypothesis import given
from hypothesis import strategies as st

from booklet.drafting.verbs.fit_cap import fit_cap
from booklet.drafting.shape import Run, Shape, clockwise
from booklet.drafting.verbs.slash_and_spread import _strip_placings, slash_and_spread
from booklet.model import Mark
from booklet.paths import Path
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

HERE = Where("draft.yaml", 1)
INCH = 25.4


def sleeve(biceps: float = 340.0, cap: float = 110.0, long: float = 180.0, taper: float = 15.0) -> Shape:
    """A plain sleeve for the right arm, back at the left, on invented measures (mm)."""
    half = biceps / 2
    head = smooth_curve(
        [
            -half + 0j,
            complex(-half / 2, -cap * 0.62),
            -1j * cap,
            complex(half * 0.45, -cap * 0.58),
            half + 0j,
        ],
        1 + 0j,
        1 + 0j,
    )
    front_hem, back_hem = complex(half - taper, long), complex(-half + taper, long)
    shape = clockwise(
        Shape(
            (
                Run("head", head),
                Run("front_seam", Path.line(half + 0j, front_hem)),
                Run("lower", Path.line(front_hem, back_hem)),
                Run("back_seam", Path.line(back_hem, -half + 0j)),
            ),
            "right",
            points=(("back_under", -half + 0j), ("front_under", half + 0j)),
        )
    )
    size = head.length
    marks = (
        Mark("back_notch", "double", 85.0),
        Mark("top", "single", size / 2),
        Mark("front_notch", "single", size - 76.0),
    )
    return shape.with_run(replace(shape.run("head"), marks=marks))


def spread(shape: Shape, count: int, head: float, lower: float) -> Shape:
    marks = {m.name: m for m in shape.run("head").marks}
    return slash_and_spread(
        shape, "head", marks["back_notch"], marks["front_notch"], "lower", count, head, lower, HERE
    )


amounts = st.floats(0, 180)
counts = st.integers(1, 15)


# ------------------------------------------------------------------ the strips, before anything is drawn smooth


@given(counts, st.floats(0, 25), st.floats(0, 25))
def test_each_slash_opens_by_exactly_what_is_asked(count: int, head: float, lower: float) -> None:
    slashes = [(complex(10 * k, -100), complex(10 * k + 3, 200)) for k in range(count)]
    placings = _strip_placings(slashes, head, lower, HERE)
    assert len(placings) == count + 1
    for (top, foot), left, right in zip(slashes, placings[:-1], placings[1:], strict=True):
        assert abs(right.apply(top) - left.apply(top)) == pytest.approx(head, abs=1e-9)
        assert abs(right.apply(foot) - left.apply(foot)) == pytest.approx(lower, abs=1e-9)
        assert not right.mirrored
        # Both sides of the slash stay straight and as long as they were.
        assert abs(right.apply(top) - right.apply(foot)) == pytest.approx(abs(top - foot), abs=1e-9)
        # It opens, and does not close: the strip after the slash moves on, to the right of the way up.
        if head + lower > 1e-3:
            opened = (right.apply(top) - left.apply(top)) + (right.apply(foot) - left.apply(foot))
            up = left.apply(top) - left.apply(foot)
            assert (opened * (up * 1j).conjugate()).real > 0


def test_a_slash_shorter_than_its_opening_is_told() -> None:
    with pytest.raises(Fault, match="cannot open by 60 mm more at one end"):
        _strip_placings([(0j, 50j)], 60.0, 0.0, HERE)


# ------------------------------------------------------------------ the whole verb


@given(counts, amounts, amounts)
def test_the_head_gains_what_is_asked_and_only_between_the_notches(
    count: int, head: float, lower: float
) -> None:
    before = sleeve()
    try:
        after = spread(before, count, head, lower)
    except Fault as told:  # a few wide slashes cannot be drawn smooth, which is said
        assert "smooth line" in str(told) or "cannot open" in str(told)
        return
    old, new = before.run("head"), after.run("head")
    assert length(new.path) == pytest.approx(length(old.path) + head, abs=0.1)
    at = {m.name: m.at for m in old.marks}
    now = {m.name: m.at for m in new.marks}
    assert now["back_notch"] == pytest.approx(at["back_notch"], abs=1e-6)
    assert new.path.length - now["front_notch"] == pytest.approx(
        old.path.length - at["front_notch"], abs=1e-6
    )
    # The sections outside the notches are the old line, moved rigidly: every chord within them is as long as before.
    for start, end, shift in (
        (0.0, at["back_notch"], 0.0),
        (at["front_notch"], old.path.length, new.path.length - old.path.length),
    ):
        for k in range(4):
            s0, s1 = start + (end - start) * k / 5, end
            was = abs(old.path.point(s1) - old.path.point(s0))
            assert abs(new.path.point(s1 + shift) - new.path.point(s0 + shift)) == pytest.approx(
                was, abs=1e-3
            )


@given(counts, amounts, amounts)
def test_hinge_edges_and_grain_side_stay_as_they_were(count: int, head: float, lower: float) -> None:
    before = sleeve()
    try:
        after = spread(before, count, head, lower)
    except Fault:
        return
    for name in ("front_seam", "back_seam"):
        assert length(after.run(name).path) == pytest.approx(length(before.run(name).path), abs=1e-4)
    for one, other in zip(after.runs, after.runs[1:] + after.runs[:1], strict=True):
        assert abs(one.path.end - other.path.start) < 1e-6


def test_a_spread_that_adds_nothing_changes_next_to_nothing() -> None:
    before, after = sleeve(), spread(sleeve(), 7, 0.0, 0.0)
    assert line(after.run("head").path).hausdorff_distance(line(before.run("head").path)) < 1.5
    assert line(after.run("lower").path).hausdorff_distance(line(before.run("lower").path)) < 1e-6


def test_a_hinge_at_the_foot_leaves_its_length() -> None:
    after = spread(sleeve(), 7, 100.0, 0.0)
    assert after.run("lower").path.length == pytest.approx(sleeve().run("lower").path.length, abs=1.5)


def test_a_parallel_spread_moves_the_two_halves_apart() -> None:
    before, after = sleeve(taper=0.0), spread(sleeve(taper=0.0), 5, 100.0, 100.0)

    def width(shape: Shape) -> float:
        return abs(shape.run("head").path.end - shape.run("head").path.start)

    # A slash between head and foot that stand one above the other opens square to itself; the slashes of a sleeve
    # lean a little, so a little less than the whole 100 mm goes into the width.
    assert 98.5 < width(after) - width(before) < 100.0 + 1e-6
    assert after.run("lower").path.length == pytest.approx(before.run("lower").path.length + 100, abs=1.0)


@given(counts, amounts, amounts)
def test_what_trueing_changed_is_written_down(count: int, head: float, lower: float) -> None:
    before = sleeve()
    try:
        after = spread(before, count, head, lower)
    except Fault:
        return
    told = {t.edge: t for t in after.trueings}
    assert told["head"].before == pytest.approx(before.run("head").path.length + head, abs=1e-6)
    assert told["lower"].before == pytest.approx(before.run("lower").path.length + lower, abs=1e-6)
    assert told["head"].after == pytest.approx(after.run("head").path.length, abs=1e-6)
    assert told["lower"].after == pytest.approx(after.run("lower").path.length, abs=1e-6)


# ------------------------------------------------------------------ fit cap

FRONT, BACK = 205.0, 222.0


def armhole(size: float, name: str, at: float) -> Run:
    return Run(
        "armhole",
        Path(((0j, 0.3j * size, size * (0.2 + 0.6j), size * (0.55 + 0.65j)),)),
        (Mark(name, "single", at),),
    )


def fitted(
    front: float, back: float, eases: tuple[float, float], by: str = "height"
) -> tuple[Shape, dict[str, Run]]:
    runs = {"front": armhole(front, "front_notch", 76.0), "back": armhole(back, "back_notch", 85.0)}
    walk = {side: (run.marks[0], run.marks[0].at) for side, run in runs.items()}
    ease = dict(zip(("front", "back"), eases, strict=True))
    return fit_cap(sleeve(), "head", runs, ease, walk, by, "top", HERE), runs


@given(
    st.floats(190, 260),
    st.floats(190, 270),
    st.floats(0, 15),
    st.floats(0, 15),
    st.sampled_from(["height", "biceps"]),
)
def test_the_head_is_the_armhole_and_its_ease(
    front: float, back: float, fe: float, be: float, by: str
) -> None:
    """Head = front + back + eases; from the underarm to the notches nothing is eased; front and back get their own."""
    shape, runs = fitted(front, back, (fe, be), by)
    head = shape.run("head")
    sewn = {side: length(run.path) for side, run in runs.items()}
    assert length(head.path) == pytest.approx(sewn["front"] + sewn["back"] + fe + be, abs=0.1)
    at = {m.name: m.at for m in head.marks}
    # The head runs from the back underarm to the front one.
    assert at["back_notch"] == pytest.approx(85.0, abs=1e-6)
    assert head.path.length - at["front_notch"] == pytest.approx(76.0, abs=1e-6)
    assert head.path.length - at["top"] == pytest.approx(sewn["front"] + fe, abs=0.01)
    assert at["top"] == pytest.approx(sewn["back"] + be, abs=0.1)
    if by == "height":  # the sleeve is as wide as it was
        assert abs(head.path.end - head.path.start) == pytest.approx(340.0, abs=1e-9)


def test_an_armhole_that_no_cap_can_meet_is_told_with_both_ends() -> None:
    with pytest.raises(Fault, match=r"no sleeve cap fits: the armhole with its ease is \d+ mm") as told:
        fitted(100.0, 100.0, (5.0, 5.0))
    assert "narrower" in str(told.value)


# ------------------------------------------------------------------ in the top itself


def sections(made: Drafted) -> dict[str, float]:
    """Lengths along the sleeve's head and the two armholes, underarm to notch and notch to notch, by fine chords."""
    head = made.draft.pieces["sleeve"].edge("head")
    front, back = (made.draft.pieces[k].edge("armhole") for k in ("front", "back"))
    assert head is not None
    assert front is not None
    assert back is not None
    at = {m.name: m.at for m in head.marks}
    out = {
        "head_back": length(head.path.part(0, at["back_notch"])),
        "head_inside": length(head.path.part(at["back_notch"], at["front_notch"])),
        "head_front": length(head.path.part(at["front_notch"], head.length)),
    }
    for name, edge in (("front", front), ("back", back)):
        mark = edge.mark(f"{name}_notch")
        assert mark is not None
        under_first = edge.path.start.imag > edge.path.end.imag  # the underarm lies lower
        low = length(edge.path.part(0, mark.at))
        whole = length(edge.path)
        out[f"{name}_under"] = low if under_first else whole - low
        out[f"{name}_rest"] = whole - out[f"{name}_under"]
    return out


@pytest.mark.parametrize("nth", range(4))
def test_the_tops_sleeve_meets_its_armhole_section_by_section(nth: int) -> None:
    """Head = armhole + ease + fullness within 0.1 mm inside the notches; outside them equal."""
    options = option_sets("top")
    for n, measures in enumerate([MIDDLING, *(b.measures for b in extreme_bodies())][nth::4]):
        made = draft_style("top", measures, options[(n + nth) % 4])
        got = sections(made)
        values = made.draft.values
        assert got["head_back"] == pytest.approx(got["back_under"], abs=0.1)
        assert got["head_front"] == pytest.approx(got["front_under"], abs=0.1)
        wanted = got["front_rest"] + got["back_rest"] + 0.25 * INCH + 0.375 * INCH + values["fullness"]
        assert got["head_inside"] == pytest.approx(wanted, abs=0.1)


def test_the_tops_sleeve_hangs_straight() -> None:
    """The spread leaves the sleeve's middle strip where it was: its grain stays upright, and its two sides go out alike."""
    made = middling("top")
    piece = made.draft.pieces["sleeve"]
    tail, top = piece.grain
    assert abs(cmath.phase((top - tail) / -1j)) < math.radians(0.01)
    front, back = piece.edge("front_seam"), piece.edge("back_seam")
    assert front is not None
    assert back is not None
    assert front.length == pytest.approx(back.length, abs=0.05)
    assert polygon(piece.outline).is_valid
