"""Collars and stands: solved lengths, widths, turn of cloth, the laying together of a flat collar."""

from __future__ import annotations

import math

import pytest
from helpers.bodies import sample
from helpers.drafts import Drafted, draft_style, inline_draft
from helpers.rings import line, point, polygon
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drafting.ways.collar import rounded
from booklet.drafting.ways.flat_collar import laid_together
from booklet.model import Edge, Piece
from booklet.paths import Path
from booklet.splines import smooth_curve

EXACT = 0.01  # mm

BODICE = """
units: cm
construction:
  back:
    points:
      nape: {down: 2}
      neck: {across: NECK}
      tip: {across: 19, down: 4}
      hem_side: {across: 24, down: 45}
      hem_centre: {down: 45}
    lines:
      neckline: {curve: [nape, neck], leave: across, arrive: square to shoulder}
      shoulder: {straight: [neck, tip]}
      side: {straight: [tip, hem_side]}
      hem: {straight: [hem_side, hem_centre]}
      centre: {straight: [hem_centre, nape]}
  front:
    points:
      pit: {down: PIT}
    lines:
      neckline: {curve: [pit, back.neck], leave: across, arrive: square to back.shoulder}
      centre: {straight: [back.hem_centre, pit]}
pieces:
  back: {half: right, outline: [back.neckline, back.shoulder, back.side, back.hem, back.centre], fold: centre}
  front: {half: left, outline: [front.neckline, back.shoulder, back.side, back.hem, front.centre], fold: centre}
"""
HALF = "half: right, fold: centre, cut: {main: 1}, allow: {other: 1}"
NECKS = "neck: [back.neckline, front.neckline]"


def bodice(*pieces: str, neck: float = 7.3, pit: float = 8.0) -> Drafted:
    """The bodice with pieces written as `name: what stands beside the half's own words`."""
    text = BODICE.replace("NECK", f"{neck:.4f}").replace("PIT", f"{pit:.4f}")
    for n, piece in enumerate(pieces):
        name, _, words = piece.partition(": ")
        text += f"  {name}: {{number: {n + 1}, {HALF}, {words}}}\n"
    return inline_draft(text)


def edge(piece: Piece, name: str) -> Edge:
    found = piece.edge(name)
    assert found is not None
    return found


def long(made: Drafted, name: str) -> float:
    key, _, part = name.partition(".")
    return edge(made.draft.pieces[key], part).length


def necklines(made: Drafted) -> float:
    return long(made, "back.neckline") + long(made, "front.neckline")


NECK = st.floats(5.5, 10.0)
PIT = st.floats(6.5, 13.0)


# ---------------------------------------------------------------- stands


@settings(max_examples=20, deadline=None)
@given(
    neck=NECK,
    pit=PIT,
    high=st.floats(2.0, 4.5),
    extension=st.floats(0.0, 3.0),
    past=st.floats(0.0, 2.0),
    rise=st.floats(-1.0, 4.0),
)
def test_a_stands_neck_edge_is_as_long_as_the_neckline_and_its_extension(
    neck: float, pit: float, high: float, extension: float, past: float, rise: float
) -> None:
    stand = (
        f"stand: collar stand: {{{NECKS}, high: {high:.3f}, extension: {extension:.3f}, "
        f"past centre: {past:.3f}, rise: {rise:.3f}}}"
    )
    made = bodice(stand, neck=neck, pit=pit)
    assert made.errors == ()
    piece = made.draft.pieces["stand"]
    mine = edge(piece, "neck")
    assert mine.length == pytest.approx(necklines(made) + round(extension, 3) * 10, abs=EXACT)
    assert edge(piece, "centre").length == pytest.approx(round(high, 3) * 10, abs=EXACT)
    assert abs(mine.path.start.imag - mine.path.end.imag) == pytest.approx(
        abs(round(rise, 3)) * 10, abs=EXACT
    )
    assert polygon(piece.outline).is_valid
    # The seam between the two necklines, measured from the centre back.
    (seam,) = [m for m in mine.marks if m.name == "back_end"]
    assert mine.length - seam.at == pytest.approx(long(made, "back.neckline"), abs=EXACT)


def test_the_upper_edge_of_a_stand_ends_above_the_centre_front() -> None:
    made = bodice(f"stand: collar stand: {{{NECKS}, high: 3, extension: 1.5, rise: 1.5}}")
    piece = made.draft.pieces["stand"]
    neck, upper = edge(piece, "neck"), edge(piece, "upper")
    (centre,) = [m for m in neck.marks if m.name == "centre_front"]
    assert neck.length - centre.at == pytest.approx(necklines(made), abs=EXACT)
    foot = neck.path.point(centre.at)
    assert abs(upper.path.end - foot) == pytest.approx(30, abs=EXACT)
    square = (upper.path.end - foot) / neck.path.tangent(centre.at)
    assert abs(square.real) < 0.01
    # The curve opens upwards, so the upper edge is the shorter one (a line parallel on the inner side of a bend).
    assert upper.length < neck.length - 15


def test_an_extension_added_on_and_one_grown_on_make_the_same_stand() -> None:
    added = bodice(f"stand: collar stand: {{{NECKS}, high: 3, extension: 1.5}}")
    grown = bodice(f"stand: collar stand: {{{NECKS}, high: 3, past centre: 1.5}}")
    for made, to_centre in ((added, necklines(added)), (grown, necklines(grown) - 15)):
        neck = edge(made.draft.pieces["stand"], "neck")
        (centre,) = [m for m in neck.marks if m.name == "centre_front"]
        assert centre.at == pytest.approx(15, abs=EXACT)
        assert neck.length == pytest.approx(to_centre + 15, abs=EXACT)


# ---------------------------------------------------------------- collars


@settings(max_examples=20, deadline=None)
@given(
    neck=NECK,
    pit=PIT,
    back=st.floats(3.0, 7.0),
    tip=st.floats(4.0, 10.0),
    spread=st.floats(-1.0, 3.0),
    drop=st.floats(-1.0, 3.0),
    turn=st.floats(0.5, 3.0),
)
def test_a_collars_neck_edge_is_as_long_as_its_stands_upper_edge(
    neck: float, pit: float, back: float, tip: float, spread: float, drop: float, turn: float
) -> None:
    made = bodice(
        f"stand: collar stand: {{{NECKS}, high: 3, extension: 1.5}}",
        f"collar: collar: {{stand: stand, wide back: {back:.3f}, wide point: {tip:.3f}, spread: {spread:.3f}, "
        f"drop: {drop:.3f}}}",
        f"under: collar: {{under: collar, turn: {turn:.3f} mm}}",
        neck=neck,
        pit=pit,
    )
    assert made.errors == ()
    collar, under = made.draft.pieces["collar"], made.draft.pieces["under"]
    for piece in (collar, under):
        assert edge(piece, "neck").length == pytest.approx(long(made, "stand.upper"), abs=EXACT)
        assert polygon(piece.outline).is_valid
    assert edge(collar, "centre").length == pytest.approx(round(back, 3) * 10, abs=EXACT)
    end = edge(collar, "end")
    assert end.length == pytest.approx(round(tip, 3) * 10, abs=EXACT)
    front = edge(collar, "neck").path
    lean = (end.path.start - end.path.end) / -front.start_tangent
    assert lean.real == pytest.approx(round(spread, 3) * 10, abs=EXACT)
    # The under collar lies inside, its outer edge everywhere a turn of cloth further in.
    assert polygon(under.outline).difference(polygon(collar.outline).buffer(0.2)).area < 0.1
    outer = edge(under, "outer").path
    for share in (0.0, 0.3, 0.6, 0.9):
        gap = line(edge(collar, "outer").path).distance(point(outer.point(outer.length * share)))
        assert gap == pytest.approx(round(turn, 3), abs=0.2)


def test_a_collar_sewn_to_the_neckline_itself_ends_at_the_centre_front() -> None:
    made = bodice(f"collar: collar: {{{NECKS}, past centre: 2, wide back: 8, wide point: 9, drop: -1}}")
    assert made.errors == ()
    neck = edge(made.draft.pieces["collar"], "neck")
    assert neck.length == pytest.approx(necklines(made) - 20, abs=EXACT)
    assert [m.name for m in neck.marks] == ["back_end"]


@pytest.mark.parametrize("radius", [5.0, 15.0, 30.0])
def test_a_rounded_point_is_an_arc_of_its_radius(radius: float) -> None:
    outer, end = Path.line(0j, 100 + 0j), Path.line(100 + 0j, 100 + 60j)
    made = rounded(outer, end, radius)
    assert made is not None
    arc = made[0].part(100 - radius, made[0].length)
    assert arc.length == pytest.approx(radius * math.pi / 2, rel=1e-3)
    centre = complex(100 - radius, radius)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        assert abs(arc.point(arc.length * share) - centre) == pytest.approx(radius, rel=1e-3)
    assert made[1].length == pytest.approx(60 - radius)


# ---------------------------------------------------------------- flat collars


@settings(max_examples=20, deadline=None)
@given(
    neck=NECK,
    pit=PIT,
    overlap=st.floats(0.0, 4.0),
    wide=st.floats(4.0, 9.0),
    turn=st.floats(0.5, 3.0),
    round_=st.sampled_from(["", ", round: 2"]),
)
def test_a_flat_collars_neck_edge_is_as_long_as_the_necklines(
    neck: float, pit: float, overlap: float, wide: float, turn: float, round_: str
) -> None:
    made = bodice(
        f"flat: flat collar: {{{NECKS}, shoulder overlap: {overlap:.3f}, wide: {wide:.3f}{round_}}}",
        f"under: collar: {{under: flat, turn: {turn:.3f} mm}}",
        neck=neck,
        pit=pit,
    )
    assert made.errors == ()
    flat, under = made.draft.pieces["flat"], made.draft.pieces["under"]
    for piece in (flat, under):
        mine = edge(piece, "neck")
        assert mine.length == pytest.approx(necklines(made), abs=EXACT)
        (shoulder,) = mine.marks
        assert shoulder.at == pytest.approx(long(made, "back.neckline"), abs=EXACT)
        assert polygon(piece.outline).is_valid
    spine, outer = edge(flat, "neck").path, edge(flat, "outer").path
    for share in (0.2, 0.4, 0.6):  # parallel
        gap = line(spine).distance(point(outer.point(outer.length * share)))
        assert gap == pytest.approx(round(wide, 3) * 10, abs=0.6)
    assert polygon(under.outline).difference(polygon(flat.outline).buffer(0.5)).area < 0.1


def test_more_overlap_makes_the_outer_edge_shorter() -> None:
    longs = []
    for overlap in (0, 1, 2, 3, 4):
        made = bodice(f"flat: flat collar: {{{NECKS}, shoulder overlap: {overlap}, wide: 7}}")
        assert made.errors == ()
        longs.append(long(made, "flat.outer"))
    assert longs == sorted(longs, reverse=True)
    # Turned by the overlap's angle, the outer edge loses about width times angle: arithmetic.
    shoulder = math.hypot(190 - 73, 40)
    expected = 70 * (2 * math.asin(40 / 2 / shoulder))
    assert longs[0] - longs[-1] == pytest.approx(expected, rel=0.15)


@settings(max_examples=20, deadline=None)
@given(overlap=st.floats(0.0, 40.0), mirrored=st.booleans(), turned=st.booleans(), angle=st.floats(-3.0, 3.0))
def test_front_and_back_are_laid_together_with_the_shoulders_overlapping(
    overlap: float, mirrored: bool, turned: bool, angle: float
) -> None:
    """However the front was drawn, it ends up on the other side of the back's shoulder, its tip inside by the overlap."""
    neck = smooth_curve([20j, 70 + 0j], 1 + 0j)
    shoulder = Path.line(70 + 0j, 180 + 40j)
    f_neck = smooth_curve([80j, 70 + 0j], 1 + 0j)

    def moved(path: Path) -> Path:
        way = complex(math.cos(angle), math.sin(angle))
        points = [[way * (z.conjugate() if mirrored else z) + (30 - 12j) for z in s] for s in path.segments]
        made = Path(tuple(tuple(s) for s in points))
        return made.reversed() if turned else made

    behind, before, at = laid_together((moved(f_neck), moved(shoulder)), (neck, shoulder), overlap)
    assert abs(behind.end - at) < 1e-9
    assert abs(before.start - at) < 1e-6
    assert before.length == pytest.approx(f_neck.length, abs=1e-6)
    # The front's far end seen from the neck point: as far off its shoulder as it was drawn, mirrored.
    way = (shoulder.end - shoulder.start) / shoulder.length
    into = 2 * math.asin(overlap / 2 / shoulder.length)
    tip = at + way * complex(math.cos(into), math.sin(into)) * shoulder.length
    assert abs(tip - shoulder.end) == pytest.approx(overlap, abs=1e-6)
    assert ((tip - shoulder.end) / way).imag >= -1e-9  # towards the back's own cloth, which lies below
    drawn = (f_neck.start - f_neck.end) / way
    laid = (before.end - before.start) / ((tip - at) / shoulder.length)
    assert laid == pytest.approx(drawn.conjugate(), abs=1e-6)


# ---------------------------------------------------------------- real bodies


def test_the_blouses_collar_fits_every_body_of_the_sample() -> None:
    for body in sample():
        made = draft_style("blouse", body.measures)
        assert made.errors == ()
        assert long(made, "stand.neck") == pytest.approx(
            long(made, "yoke.neckline") + long(made, "front.neckline"), abs=EXACT
        )
        assert long(made, "inner_stand.neck") == long(made, "stand.neck")
        for key in ("collar", "under_collar"):
            assert long(made, f"{key}.neck") == pytest.approx(long(made, "stand.upper"), abs=EXACT)


# ---------------------------------------------------------------- what is told


@pytest.mark.parametrize(
    ("pieces", "told"),
    [
        ((f"s: collar stand: {{{NECKS}, high: 0.2}}",), "high comes out 2.0 mm"),
        ((f"s: collar stand: {{{NECKS}, high: 3, extension: 40}}",), "extension of s comes out 400.0 mm"),
        ((f"s: collar stand: {{{NECKS}, high: 3, rise: 18}}",), "rises or falls by 180.0 mm"),
        ((f"s: collar stand: {{{NECKS}, high: 3, past centre: 15}}",), "lie beyond the centre front"),
        (("s: collar stand: {neck: [back.necline, front.neckline], high: 3}",), "no edge 'necline'"),
        (("c: collar: {stand: front, wide back: 4, wide point: 6}",), "front has no edge 'upper'"),
        ((f"c: collar: {{{NECKS}, wide back: 4, wide point: 6, spread: 6}}",), "60.0 mm out"),
        ((f"c: collar: {{{NECKS}, wide back: 4, wide point: 6, round: 9}}",), "has no room"),
        (("c: collar: {under: front, turn: 2 mm}",), "front has no edge 'outer'"),
        (
            (f"c: collar: {{{NECKS}, wide back: 4, wide point: 6}}", "u: collar: {under: c, turn: 2}"),
            "turn of cloth of u is 20.0 mm",
        ),
        ((f"f: flat collar: {{{NECKS}, shoulder overlap: 14, wide: 6}}",), "overlap by 140.0 mm"),
        (("f: flat collar: {neck: [back.hem, front.neckline], shoulder overlap: 1, wide: 6}",), "their shoulder"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_told_in_a_sentence(pieces: tuple[str, ...], told: str) -> None:
    made = bodice(*pieces)
    assert any(told in e for e in made.errors), made.errors
