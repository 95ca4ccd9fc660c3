"""Pleats and tucks: what they take up, the length that is left, and ends that lie in the seam when pressed."""

from __future__ import annotations

import cmath

import pytest
from helpers.drafts import Drafted, inline_draft
from helpers.rings import length, line, point, polygon
from hypothesis import given
from hypothesis import strategies as st

from booklet.drafting.closing import closed_spine
from booklet.drafting.copies import make_copies, open_out
from booklet.drafting.shape import Run, Shape, clockwise
from booklet.drafting.verbs.pleat import Fold, PleatPlan, pleated
from booklet.model import Mark
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

HERE = Where("draft.yaml", 1)


def panel(dip: float = 15.0, wide: float = 260.0, long: float = 420.0) -> Shape:
    """Half a skirt on the fold at its left, invented measures (mm): waist and hem are curved."""
    waist = smooth_curve([complex(0, dip), complex(wide, 0)], 1 + 0j, complex(1, -dip / 100))
    hem_side = complex(wide + 20, long)
    hem = smooth_curve([hem_side, complex(0, long + dip)], complex(-1, dip / 100), -1 + 0j)
    return clockwise(
        Shape(
            (
                Run("waist", waist, (Mark("before", "single", 30.0), Mark("after", "single", wide - 20))),
                Run("side", Path.line(complex(wide, 0), hem_side)),
                Run("hem", hem),
                Run("centre", Path.line(complex(0, long + dip), complex(0, dip))),
            ),
            "left",
            fold="centre",
        )
    )


def put(
    shape: Shape, kind: str, at: float, deep: float, deep_foot: float, first: bool, both: bool = False
) -> Shape:
    size, foot = shape.run("waist").path.length, shape.run("hem").path.length

    def fold(s: float, way: bool) -> Fold:
        return Fold("p", s, foot * (1 - s / size), way)

    if kind in ("knife", "tuck"):
        folds = [fold(at, first)]
    elif kind == "inverted":
        folds = [fold(at, False), fold(at, True)]
    else:
        folds = [fold(at - deep, True), fold(at + deep, False)]
    plan = PleatPlan(
        kind, "p", "waist", "hem", deep, deep_foot, ("waist", "hem") if both else ("waist",), first, "to centre",
        tuple(folds),
    )  # type: ignore[arg-type]  # fmt: skip
    return pleated(shape, plan, HERE)


def laid(shape: Shape, edge: str) -> list[str]:
    """What folding paper shows: each fold line brought onto its placement line, the cloth between creased and pressed.

    Each layer's edge must then lie on the edge of the cloth beside it. Nothing where all is well.
    """
    run = shape.run(edge)
    faults: list[str] = []
    for pleat in shape.pleats:
        for fold, placement in pleat.moves:
            at_start = abs(run.path.point(run.path.nearest(fold.start)) - fold.start) < 0.01
            f = fold if at_start else fold.reversed()
            p = placement if at_start else placement.reversed()
            s_fold, s_place = run.path.nearest(f.start), run.path.nearest(p.start)
            lo, hi = sorted((s_fold, s_place))
            turn = (p.end - p.start) / (f.end - f.start)
            close = Placement(turn / abs(turn), p.start - turn / abs(turn) * f.start)
            mid_a, mid_b = (f.start + p.start) / 2, (f.end + p.end) / 2
            crease = Placement.mirror(mid_a, (mid_b if abs(mid_b - mid_a) > 1 else p.end) - mid_a)
            over_placement = Placement.mirror(p.start, p.end - p.start)
            onwards = s_place < s_fold
            beside = run.path.part(hi, run.path.length) if onwards else run.path.part(0, lo)
            seam = line(beside.placed(close), 0.005)
            if pleat.kind == "tuck":  # it lies over the cloth before its placement line, turned over in it
                seam = line(run.path.part(0, lo) if onwards else run.path.part(hi, run.path.length), 0.005)
            for k in range(61):
                s = lo + (hi - lo) * k / 60
                z = run.path.point(s)
                outer = (s - lo < (hi - lo) / 2) == onwards  # the layer beside the placement line
                lies = z if outer else crease.apply(z)
                if pleat.kind == "tuck":
                    lies = over_placement.apply(lies)
                off = float(seam.distance(point(lies)))
                if off > 0.05:
                    faults.append(f"{edge}: a layer lies {off:.2f} mm off the seam line at {s:.0f}")
    return faults


kinds = st.sampled_from(["knife", "box", "inverted", "tuck"])


@given(kinds, st.floats(100, 160), st.floats(5, 40), st.booleans(), st.floats(0, 25))
def test_a_pleat_folds_out_of_the_sewn_length(
    kind: str, at: float, deep: float, first: bool, dip: float
) -> None:
    """Knife and tuck take 2 d, box and inverted 4 d (NIMI TP p202-204); the sewn length stays as it was."""
    before = panel(dip)
    after = put(before, kind, at, deep, deep, first)
    waist = after.run("waist")
    assert waist.sewn == pytest.approx(before.run("waist").path.length, abs=1e-6)
    takes = (2 if kind in ("knife", "tuck") else 4) * deep
    opened = sum(abs(a.start - b.start) for a, b in after.pleats[0].moves)
    assert opened == pytest.approx(takes, abs=1e-6)
    for fold, placement in after.pleats[0].moves:  # parallel
        assert abs(fold.end - placement.end) == pytest.approx(2 * deep, abs=1e-6)
    assert after.run("hem").take_ups == ()
    assert after.run("side").path.length == pytest.approx(before.run("side").path.length, abs=1e-9)
    assert after.run("centre").path == before.run("centre").path
    ring = after.runs[0].path.joined(*(r.path for r in after.runs[1:]))
    assert polygon(ring).is_valid
    for one, other in zip(after.runs, after.runs[1:] + after.runs[:1], strict=True):
        assert abs(one.path.end - other.path.start) < 1e-6
    assert {m.name: waist.path.length - m.at for m in waist.marks}["after"] == pytest.approx(
        before.run("waist").path.length - before.run("waist").marks[1].at
    )


@given(kinds, st.floats(110, 150), st.floats(5, 40), st.booleans(), st.floats(0, 25))
def test_a_pressed_pleats_ends_lie_in_the_seam(
    kind: str, at: float, deep: float, first: bool, dip: float
) -> None:
    after = put(panel(dip), kind, at, deep, deep, first, both=True)
    assert laid(after, "waist") == []
    assert laid(after, "hem") == []


@given(
    st.sampled_from(["knife", "tuck"]), st.floats(110, 150), st.floats(5, 30), st.booleans(), st.floats(0, 25)
)
def test_a_pleat_that_tapers_keeps_its_foot(
    kind: str, at: float, deep: float, first: bool, dip: float
) -> None:
    before = panel(dip)
    after = put(before, kind, at, deep, 0.0, first)
    assert laid(after, "waist") == []
    assert after.run("hem").path.length == pytest.approx(before.run("hem").path.length, abs=0.5)
    ((fold, placement),) = after.pleats[0].moves
    assert abs(fold.end - placement.end) < 1e-6
    assert [t.edge for t in after.trueings] == ["hem"]
    # Folded out again, the waist is the line it was before.
    (run,), _ = closed_spine(after, ["waist"])
    assert line(run.path).hausdorff_distance(line(before.run("waist").path)) < 0.01


@given(kinds, st.floats(110, 150), st.floats(5, 30), st.booleans())
def test_a_facing_over_a_pleat_meets_the_line_as_it_was(
    kind: str, at: float, deep: float, first: bool
) -> None:
    before = panel()
    after = put(before, kind, at, deep, deep, first)
    (run,), _ = closed_spine(after, ["waist"])
    assert line(run.path).hausdorff_distance(line(before.run("waist").path)) < 0.01


# ------------------------------------------------------------------ as the file asks for it

STRIP = """
units: cm
construction:
  p:
    points: {a: {down: 0}, b: {across: LONG}, c: {across: LONG, down: 40}, d: {down: 40}}
    lines: {upper: {straight: [a, b]}, left: {straight: [b, c]}, lower: {straight: [c, d]}, right: {straight: [d, a]}}
pieces:
  strip:
    number: 1
    title: Strip
    outline: [p.upper, p.left, p.lower, p.right]
    FOLD
    do: [DO]
    allow: {other: 1}
"""


def strip(
    long: float, *pleats: str, fold: str = "cut: [{cloth: main, count: 1, as: single, side: whole}]"
) -> Drafted:
    verbs = ", ".join("{pleat: {" + p + "}}" for p in pleats)
    return inline_draft(STRIP.replace("LONG", str(long)).replace("FOLD", fold).replace("DO", verbs))


@pytest.mark.parametrize(
    ("finished", "words", "count", "cloth"),
    [
        (
            92,
            "kind: knife, face: 5, deep: 4, press: to right",
            18,
            236,
        ),  # NIMI TP p203; face corrected to 5.11
        (
            50,
            "kind: knife, face: 2.5, deep: 2.5, press: to left",
            20,
            150,
        ),  # NIMI TP p204, before its 2 cm of seams
        (60, "kind: box, places: 1, deep: 12", 1, 108),  # NIMI TP p204
        (
            66,
            "kind: inverted, places: 1, deep: 6.5",
            1,
            92,
        ),  # question in NIMI TP p204, answer by the same rule
    ],
)
def test_the_trades_worked_examples_drafted(finished: float, words: str, count: int, cloth: float) -> None:
    shape = strip(finished, f"on: upper, to: lower, {words}").maker.shape("strip")
    upper = shape.run("upper")
    assert len(shape.pleats) == count
    assert upper.path.length / 10 == pytest.approx(cloth, abs=1e-6)
    assert upper.sewn / 10 == pytest.approx(finished, abs=1e-6)
    assert shape.run("lower").path.length / 10 == pytest.approx(cloth, abs=1e-6)


def test_an_inverted_pleat_on_the_fold_of_a_half() -> None:
    """A half 33 cm wide with a pleat 6.5 cm deep at its fold: 13 cm more on the half, 26 on the whole (4 d)."""
    made = strip(
        33, "kind: inverted, on: 'upper[right..left]', to: lower, at: 0, deep: 6.5",
        fold="fold: right\n    half: left\n    cut: {main: 1}",
    )  # fmt: skip
    assert made.errors == ()
    piece = made.draft.pieces["strip"]
    opened = open_out(piece)
    upper = next(h.edge for h in opened.ring if h.base == "upper")
    assert upper.length / 10 == pytest.approx(92)
    assert upper.sewn_length / 10 == pytest.approx(66)
    assert len(opened.pleats) == 2
    assert {p.side for p in opened.pleats} == {"left", "right"}
    (copy,) = make_copies(made.draft)
    assert len(copy.pleats) == 2
    fold_lines = [m[0] for p in copy.pleats for m in p.moves]
    assert fold_lines[0].start.real == pytest.approx(-fold_lines[1].start.real)
    assert {p.press_first for p in copy.pleats} == {True, False}


def test_a_box_pleat_on_the_fold_has_its_face_in_the_middle() -> None:
    made = strip(
        30, "kind: box, on: 'upper[right..left]', to: lower, at: 0, deep: 3, wide: 8",
        fold="fold: right\n    half: left\n    cut: {main: 1}",
    )  # fmt: skip
    ((fold, placement),) = made.maker.shape("strip").pleats[0].moves
    assert fold.start.real == pytest.approx(40.0)
    assert placement.start.real == pytest.approx(100.0)


def test_which_way_a_pleat_is_pressed() -> None:
    """The fold points to where it is pressed: its line lies on the far side and moves that way onto its placement line."""
    for press, sign in (("to right", -1), ("to left", 1)):  # the edge `right` lies at x = 0
        made = strip(60, f"kind: knife, on: upper, to: lower, places: 3, deep: 3, press: {press}")
        for pleat in made.maker.shape("strip").pleats:
            ((fold, placement),) = pleat.moves
            assert cmath.phase((placement.start - fold.start) * sign) == pytest.approx(0, abs=1e-9)


def test_two_entries_of_pleats_and_a_whole_length_tuck() -> None:
    made = strip(
        60,
        "kind: tuck, name: tucks, from: 'upper[right..left]', to: lower, at: 10, deep: 0.5, press: to right",
        "kind: knife, name: side_pleat, on: 'upper[left..right]', to: lower, at: 15, deep: 3, press: to left",
    )
    shape = made.maker.shape("strip")
    assert [p.group for p in shape.pleats] == ["tucks", "side_pleat"]
    assert shape.run("upper").path.length == pytest.approx(600 + 10 + 60)
    assert shape.run("upper").sewn == pytest.approx(600)
    assert shape.run("lower").sewn == pytest.approx(660)  # the tuck is folded out of both edges
    assert length(shape.run("lower").path) == pytest.approx(670)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("kind: knife, on: uper, to: lower, places: 1, deep: 3, press: to left", "Did you mean 'upper'"),
        ("kind: knife, on: upper, to: lower, places: 1, deep: 3, press: to lefft", "Did you mean 'left'"),
        ("kind: knife, on: upper, to: lower, at: 5, deep: 3, press: to left", "from which end of upper"),
        ("kind: knife, on: 'upper[left..right]', to: lower, at: 95, deep: 3, press: to left", "lies 950.0 mm along"),
        ("kind: knife, on: 'upper[left..right]', to: lower, at: 58, deep: 6, press: to left", "runs beyond its end"),
        ("kind: box, on: upper, to: lower, places: 1, deep: 6, wide: 5", "no room for two folds 60 mm deep"),
        ("kind: box, on: upper, to: lower, places: 1, deep: 36", "runs beyond its end"),
        ("kind: knife, on: upper, to: lower, face: 150, deep: 3, press: to left", "smaller face"),
        ("kind: knife, on: upper, to: lower, places: 1, deep: -3, press: to left", "Give it a depth"),
        ("kind: knife, on: 'upper[notch..left]', to: lower, places: 1, deep: 3, press: to left", "no mark 'notch'"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_in_a_sentence(words: str, told: str) -> None:
    with pytest.raises(Fault) as fault:
        strip(60, words).maker.shape("strip")
    assert told in str(fault.value)
    assert all(p.where is not None for p in fault.value.problems)
