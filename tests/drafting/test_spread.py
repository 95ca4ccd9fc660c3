"""Slash and spread, and the sleeve head fitted to its armhole: what is added, and what stays as it was."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest
from helpers.bodies import extreme_bodies
from helpers.drafts import MIDDLING, Drafted, draft_style, inline_draft, middling, option_sets
from helpers.rings import length, line, polygon
from hypothesis import given
from hypothesis import strategies as st

from booklet.drafting.shape import Run, Shape, clockwise
from booklet.drafting.strips import Slash, opening, slashed
from booklet.drafting.verbs.fit_cap import fit_cap
from booklet.drafting.verbs.slash_and_spread import Stretch, slash_and_spread, spread_evenly
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
    top = Stretch("head", marks["back_notch"].at, marks["front_notch"].at)
    foot = Stretch("lower", 0.0, shape.run("lower").path.length)
    slashes = spread_evenly(top, foot, count, [head / count] * count, [lower / count] * count)
    return slash_and_spread(shape, top, foot, slashes, HERE, even=count >= 4)


amounts = st.floats(0, 180)
counts = st.integers(1, 15)


# ------------------------------------------------------------------ the strips, before anything is drawn smooth


@given(counts, st.floats(0, 25), st.floats(0, 25))
def test_each_slash_opens_by_exactly_what_is_asked(count: int, head: float, lower: float) -> None:
    for k in range(count):
        top, foot = complex(10 * k, -100), complex(10 * k + 3, 200)
        right = opening(top, foot, head, lower, HERE)
        assert abs(right.apply(top) - top) == pytest.approx(head, abs=1e-9)
        assert abs(right.apply(foot) - foot) == pytest.approx(lower, abs=1e-9)
        assert not right.mirrored
        # It opens, and does not close: the strip after the slash moves on, to the right of the way up.
        if head + lower > 1e-3:
            opened = (right.apply(top) - top) + (right.apply(foot) - foot)
            assert (opened * ((top - foot) * 1j).conjugate()).real > 0


def test_a_slash_shorter_than_its_opening_is_told() -> None:
    with pytest.raises(Fault, match="cannot open by 60 mm more at one end"):
        opening(0j, 50j, 60.0, 0.0, HERE)


def panel(wide: float = 220.0, flare: float = 40.0, long: float = 500.0, dip: float = 15.0) -> Shape:
    """Half a skirt front on the fold at its left, invented measures (mm): waist and hem are curved."""
    waist = smooth_curve([complex(0, dip), complex(wide, 0)], 1 + 0j, complex(1, -0.15))
    hem_side = complex(wide + flare, long)
    hem = smooth_curve([hem_side, complex(0, long + 20)], complex(-1, 0.1), -1 + 0j)
    return clockwise(
        Shape(
            (
                Run("waist", waist, (Mark("notch", "single", wide * 0.6),)),
                Run("side", Path.line(complex(wide, 0), hem_side)),
                Run("hem", hem, (Mark("hem_notch", "single", wide * 0.3),)),
                Run("centre", Path.line(complex(0, long + 20), complex(0, dip))),
            ),
            "left",
            fold="centre",
        )
    )


def slash_panel(
    shape: Shape, edge: str, to: str, count: int, open_at: float, open_foot: float, smooth: bool = True
) -> Shape:
    top, foot = (Stretch(e, 0.0, shape.run(e).path.length) for e in (edge, to))
    slashes = spread_evenly(top, foot, count, [open_at / count] * count, [open_foot / count] * count)
    return slash_and_spread(shape, top, foot, slashes, HERE, smooth)


EDGES = [("waist", "hem"), ("hem", "waist"), ("side", "hem"), ("hem", "side"), ("waist", "side")]


@given(st.sampled_from(EDGES), st.integers(1, 5), st.floats(0, 60), st.floats(0, 60))
def test_before_trueing_every_edge_keeps_its_length_but_for_what_is_opened(
    edges: tuple[str, str], count: int, open_at: float, open_foot: float
) -> None:
    """Opened edges gain exactly what is asked, the others nothing; strips are rigid; the fold stays where it lies."""
    before = panel()
    after = slash_panel(before, *edges, count, open_at, open_foot, smooth=False)
    gains = dict(zip(edges, (open_at, open_foot), strict=True))
    for run in before.runs:
        new = after.run(run.name)
        assert new.path.length == pytest.approx(run.path.length + gains.get(run.name, 0.0), abs=1e-6)
    assert after.run("centre").path == before.run("centre").path
    for one, other in zip(after.runs, after.runs[1:] + after.runs[:1], strict=True):
        assert abs(one.path.end - other.path.start) < 1e-6
    assert after.trueings == ()


@given(st.sampled_from(EDGES), st.integers(1, 5), st.floats(0, 60))
def test_a_hinge_keeps_distances_on_both_sides(edges: tuple[str, str], count: int, gain: float) -> None:
    shape = panel()
    edge, to = edges
    top, foot = (Stretch(e, 0.0, shape.run(e).path.length) for e in edges)
    slashes = spread_evenly(top, foot, count, [gain / count] * count, [0.0] * count)
    strips = slashed(shape, edge, to, slashes, HERE)
    for (a, b), left, right in zip(strips.lines, strips.placings, strips.placings[1:], strict=False):
        assert abs(left.apply(b) - right.apply(b)) < 1e-9  # hinged
        assert abs(left.apply(a) - right.apply(a)) == pytest.approx(gain / count, abs=1e-9)
        for side in (left, right):
            assert abs(side.apply(a) - side.apply(b)) == pytest.approx(abs(a - b), abs=1e-9)


@given(st.sampled_from(["waist", "hem"]), st.integers(1, 6), st.floats(2, 120))
def test_a_hinge_edge_drawn_smooth_is_as_long_as_its_partner(edge: str, count: int, gain: float) -> None:
    """Within 0.5 mm, and what trueing changed is told for both edges."""
    before = panel()
    to = "hem" if edge == "waist" else "waist"
    after = slash_panel(before, edge, to, count, gain, 0.0)
    assert length(after.run(to).path) == pytest.approx(length(before.run(to).path), abs=0.5)
    assert length(after.run(edge).path) == pytest.approx(length(before.run(edge).path) + gain, abs=0.5)
    told = {t.edge: t for t in after.trueings}
    assert set(told) == {edge, to}
    for name in (edge, to):
        assert told[name].after == pytest.approx(after.run(name).path.length)
    assert after.run("centre").path == before.run("centre").path  # the fold stays straight and where it was
    ring = after.runs[0].path.joined(*(r.path for r in after.runs[1:]))
    assert polygon(ring).is_valid
    # No corner where a slash was opened.
    path = after.run(edge).path
    for k in range(1, 40):
        a, b = (path.tangent(path.length * (k + d) / 41) for d in (0, 0.5))
        assert abs(cmath.phase(b / a)) < math.radians(12)


def test_marks_stay_on_their_strip() -> None:
    """One slash in the middle of the waist, 30 mm open: the notch beyond it moves on by 30 mm, one before it stays."""
    shape = panel()
    after = slash_panel(shape, "waist", "hem", 1, 30.0, 30.0)
    was, now = (s.run("waist").marks[0].at for s in (shape, after))
    assert now == pytest.approx(was + 30, abs=0.3)
    was, now = (s.run("hem").marks[0].at for s in (shape, after))
    assert now == pytest.approx(was, abs=0.3)


def test_a_slash_that_cannot_be_is_told() -> None:
    shape = panel()
    with pytest.raises(Fault, match="lies on the fold and cannot be opened"):
        slash_panel(shape, "centre", "side", 1, 10.0, 10.0)
    with pytest.raises(Fault, match="two slashes from waist to hem cross each other"):
        slashed(shape, "waist", "hem", [Slash(50, 50, 5, 5), Slash(100, 150, 5, 5)], HERE)
    hollow = clockwise(
        Shape(
            tuple(
                Run(n, Path.polyline(p))
                for n, p in (
                    ("top", [0j, 30 + 0j, 30 + 100j, 70 + 100j, 70 + 0j, 100 + 0j]),
                    ("side", [100 + 0j, 100 + 200j]),
                    ("foot", [100 + 200j, 200j]),
                    ("other", [200j, 0j]),
                )
            ),
            "whole",
        )
    )
    with pytest.raises(Fault, match="leaves the piece before it meets side"):
        slashed(hollow, "other", "side", [Slash(150, 50, 5, 5)], HERE)


DRAFT = """
units: cm
construction:
  p:
    points: {a: {down: 1}, b: {across: 22}, c: {across: 26, down: 50}, d: {down: 52}}
    lines:
      waist: {curve: [a, b], leave: across}
      side: {straight: [b, c]}
      hem: {curve: [c, d], arrive: in}
      centre: {straight: [d, a]}
marks: {notch: {on: panel.waist, from: centre, at: 12}}
pieces:
  panel: {outline: [p.waist, p.side, p.hem, p.centre], fold: centre, half: left}
  flared:
    from: panel
    do: [{slash and spread: {WHAT}}]
"""


def flared(what: str) -> tuple[Shape, Shape, Drafted]:
    made = inline_draft(DRAFT.replace("{WHAT}", "{" + what + "}"))
    return made.maker.shape("panel"), made.maker.shape("flared"), made


@pytest.mark.parametrize(
    ("what", "gains"),
    [
        ("from: hem, hinge: waist, slashes: 2, open: 8", (0, 80)),
        ("from: hem, to: waist, slashes: 2, open: {hem: 8, waist: 3}", (30, 80)),
        ("from: 'waist[centre..side]', at: [5, 12], feet: [1/4, 0.6], to: hem, open: {waist: [1, 2], hem: 3}", (30, 30)),
        ("from: 'waist[notch..side]', to: hem, slashes: 3, open: 4", (40, 40)),
        ("from: hem, hinge: waist, open: 6, true: none", (0, 60)),
    ],
)  # fmt: skip
def test_the_ways_of_writing_it(what: str, gains: tuple[float, float]) -> None:
    before, after, made = flared(what)
    assert made.errors == ()
    for name, gain in zip(("waist", "hem"), gains, strict=True):
        assert after.run(name).path.length == pytest.approx(before.run(name).path.length + gain, abs=1.0)
    assert after.run("centre").path == before.run("centre").path


def test_places_are_measured_from_the_end_named_first() -> None:
    _, one, _ = flared("from: 'waist[centre..side]', at: [5], feet: [1/4], hinge: hem, open: 2, true: none")
    _, other, _ = flared("from: 'waist[side..centre]', at: [WHOLE], feet: [3/4], hinge: hem, open: 2, true: none".replace(
        "WHOLE", f"{one.run('waist').path.length / 10 - 2 - 5}"))  # fmt: skip
    for name in ("waist", "hem"):
        assert line(one.run(name).path).hausdorff_distance(line(other.run(name).path)) < 1e-3


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("from: waste, to: hem, open: 2", "Did you mean 'waist'"),
        ("from: 'waist[notsh..side]', to: hem, open: 2", "Did you mean 'notch'"),
        ("from: waist, to: hem, at: [5], open: 2", "from which end of waist"),
        ("from: 'waist[centre..side]', to: hem, at: [45], open: 2", "a slash lies 450.0 mm along waist"),
        ("from: waist, to: hem, slashes: 3, open: [1, 2]", "3 slashes and 2 amounts"),
        ("from: waist, to: hem, slashes: 99, open: 2", "99 slashes"),
        ("from: waist, to: hem, open: {hemm: 2}", "Did you mean 'hem'"),
        ("from: waist, to: hem, open: -2", "0 or more"),
        ("from: waist, hinge: hem, open: 90", "cannot open by 900 mm more at one end"),
    ],
)
def test_what_is_wrong_is_told_in_a_sentence(what: str, words: str) -> None:
    with pytest.raises(Fault) as told:
        flared(what)
    assert words in str(told.value)
    assert all(p.where is not None for p in told.value.problems)


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
