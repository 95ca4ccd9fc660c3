"""Pieces made of others: all-in-one facings, linings, straight and shaped waistbands, what lies below them, pocket bags."""

from __future__ import annotations

import numpy as np
import pytest
from helpers.drafts import Drafted, cases, draft_style, inline_draft
from helpers.piece_verbs import assert_sound, edge, lengths
from helpers.rings import line, point, polygon
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.model import Piece
from booklet.paths import Path, Placement

EXACT = 0.01  # mm

SKIRT = """
units: cm
construction:
  b:
    points: {wc: {down: 1}, ws: {across: WAIST, up: 0.8}, hs: {across: 25, down: 20}, es: {across: 29, down: 60},
             ec: {down: 60.5}}
    lines:
      waist: {curve: [wc, ws], leave: across, arrive: square to side_u}
      side_u: {curve: [ws, hs], arrive: toward es}
      side_l: {straight: [hs, es]}
      hem: {curve: [es, ec], leave: square to side_l, arrive: in}
      centre: {straight: [ec, wc]}
  f:
    points: {wc: {down: 1.6}, ws: {across: WAIST + 1, up: 0.8}, hs: {across: 26, down: 20}, es: {across: 30, down: 60}}
    lines:
      waist: {curve: [wc, ws], leave: across, arrive: square to side_u}
      side_u: {curve: [ws, hs], arrive: toward es}
      side_l: {straight: [hs, es]}
      hem: {curve: [es, b.ec], leave: square to side_l, arrive: in}
      centre: {straight: [b.ec, wc]}
marks:
  hip: {on: [back.side, front.side], from: waist, at: 18, notch: double}
  hem_notch: {on: front.hem, from: side, at: 12}
pieces:
  back:
    half: right
    outline: [b.waist, {side: [b.side_u, b.side_l]}, b.hem, b.centre]
    darts:
      d1: {on: waist, from: side, at: 6.5, wide: WIDE, long: 11, press: to centre}
      d2: {on: waist, from: side, at: 13.5, wide: WIDE, long: 13, press: to side}
  front:
    half: left
    outline: [f.waist, {side: [f.side_u, f.side_l]}, f.hem, f.centre]
    fold: centre
    darts: {e1: {on: waist, from: centre, at: 9, wide: WIDE, long: 9.5, press: to centre}}
"""

BODICE = """
units: cm
construction:
  b:
    points: {nape: {down: 2}, neck: {across: 9}, tip: {across: 15, down: 3}, blade: {across: 15, down: 13},
             under: {across: 23, down: 22}, es: {across: 22, down: 42}, ec: {down: 42}}
    lines:
      neckline: {curve: [nape, neck], leave: across, arrive: square to shoulder}
      shoulder: {straight: [neck, tip]}
      armhole: {curve: [tip, blade, under], leave: square to shoulder, arrive: across}
      side: {straight: [under, es]}
      hem: {straight: [es, ec]}
      centre: {straight: [ec, nape]}
  f:
    points: {pit: {down: PIT}, chest: {across: 14, down: 14}}
    lines:
      neckline: {curve: [pit, b.neck], leave: across, arrive: square to b.shoulder}
      armhole: {curve: [b.tip, chest, b.under], leave: square to b.shoulder, arrive: across}
      centre: {straight: [b.ec, pit]}
marks:
  front_notch: {on: front.armhole, from: side, at: 7}
pieces:
  back: {half: right, outline: [b.neckline, b.shoulder, b.armhole, b.side, b.hem, b.centre], fold: centre}
  front: {half: left, outline: [f.neckline, b.shoulder, f.armhole, b.side, b.hem, f.centre], fold: centre}
"""


def skirt(*pieces: str, waist: float = 21.0, wide: float = 2.0) -> Drafted:
    text = SKIRT.replace("WAIST", f"{waist:.4f}").replace("WIDE", f"{wide:.4f}")
    return inline_draft(text + "".join(f"  {p}\n" for p in pieces))


def bodice(*pieces: str, pit: float = 12.0) -> Drafted:
    return inline_draft(BODICE.replace("PIT", f"{pit:.4f}") + "".join(f"  {p}\n" for p in pieces))


def pieces(made: Drafted) -> dict[str, Piece]:
    assert made.errors == ()
    for piece in made.draft.pieces.values():
        assert_sound(piece)
    return made.draft.pieces


def sewn(piece: Piece, *names: str) -> float:
    return sum(edge(piece, n).sewn_length for n in names)


# ---------------------------------------------------------------- the edges that a facing shares with its parent


@pytest.mark.parametrize(("style", "options"), cases())
def test_in_every_style_a_facings_edges_are_as_long_as_its_parents(
    style: str, options: tuple[tuple[str, str], ...]
) -> None:
    made = draft_style(style, options=dict(options))
    for piece in made.draft.pieces.values():
        if piece.facing is not None:
            parent = made.draft.pieces[piece.facing.parent]
            assert sewn(piece, *piece.facing.edges) == pytest.approx(
                sewn(parent, *piece.facing.edges), abs=EXACT
            )


@settings(max_examples=20, deadline=None)
@given(pit=st.floats(6.0, 15.0), wide=st.floats(3.0, 6.0), turn=st.sampled_from([0.0, 1.0, 2.5, 4.0]))
def test_an_all_in_one_facing_is_shorter_by_its_turn_of_cloth_alone(
    pit: float, wide: float, turn: float
) -> None:
    words = f"edges: [neckline, armhole], wide: {wide:.4f}" + (f", turn: {turn} mm" if turn else "")
    all_made = pieces(
        bodice(
            f"ff: {{all in one facing: {{of: front, {words}}}}}",
            f"bf: {{all in one facing: {{of: back, {words}}}}}",
            pit=pit,
        )
    )
    for key, parent in (("ff", all_made["front"]), ("bf", all_made["back"])):
        facing = all_made[key]
        assert facing.facing is not None
        assert facing.facing.edges == ("neckline", "armhole")
        less = sewn(parent, "neckline", "armhole") - sewn(facing, "neckline", "armhole")
        assert less == pytest.approx(turn, abs=EXACT)
        if not turn:
            for name in ("neckline", "shoulder", "armhole"):
                assert edge(facing, name).length == pytest.approx(edge(parent, name).length, abs=EXACT)
                assert [m.name for m in edge(facing, name).marks] == [
                    m.name for m in edge(parent, name).marks
                ]
            assert polygon(facing.outline).difference(polygon(parent.outline)).area < 1.0


@settings(max_examples=20, deadline=None)
@given(pit=st.floats(6.0, 15.0), wide=st.floats(3.0, 6.0))
def test_its_lower_edge_is_smooth_square_to_fold_and_side_and_keeps_clear(pit: float, wide: float) -> None:
    made = pieces(
        bodice(
            f"ff: {{all in one facing: {{of: front, edges: [armhole, neckline], wide: {wide:.4f}}}}}", pit=pit
        )
    )["ff"]
    outer = edge(made, "outer").path
    centre, side = edge(made, "centre").path, edge(made, "side").path
    assert side.length == pytest.approx(wide * 10, abs=0.01)
    for turn in (outer.end_tangent / centre.start_tangent, outer.start_tangent / side.end_tangent):
        assert abs(turn.real) < 1e-6  # square
    flat = outer.flatten(0.05)
    ways = np.diff(flat)
    assert np.abs(np.angle(ways[1:] / ways[:-1])).max() < np.radians(6)
    drawn = line(outer)
    for name in ("neckline", "armhole"):
        path = edge(made, name).path
        assert min(drawn.distance(point(path.point(path.length * k / 20))) for k in range(1, 20)) > wide * 7.5


def test_an_all_in_one_facing_of_one_edge_or_of_the_fold_is_told() -> None:
    made = bodice("ff: {all in one facing: {of: front, edges: [neckline, centre], wide: 5}}")
    assert any("neckline and centre" in e for e in made.errors)


# ---------------------------------------------------------------- linings


@settings(max_examples=12, deadline=None)
@given(short=st.floats(0.5, 4.0), wide=st.floats(1.0, 2.6))
def test_a_lining_is_shorter_at_its_hem_alone(short: float, wide: float) -> None:
    made = pieces(skirt(f"lined: {{lining: {{of: front, shorter: {short:.4f}}}}}", wide=wide))
    shell, lined = made["front"], made["lined"]
    assert edge(lined, "waist").sewn_length == pytest.approx(edge(shell, "waist").sewn_length, abs=1e-6)
    assert edge(lined, "centre").length == pytest.approx(edge(shell, "centre").length - short * 10, abs=0.01)
    old = line(edge(shell, "hem").path)
    new = edge(lined, "hem")
    for k in range(1, 10):
        assert old.distance(point(new.path.point(new.length * k / 10))) == pytest.approx(short * 10, abs=0.05)
    # Notches stay on the cloth: the hip's as far from the waist, the hem's opposite its old place.
    assert [m.name for m in new.marks] == ["hem_notch"]
    hip, was = edge(lined, "side").mark("hip"), edge(shell, "side").mark("hip")
    assert hip is not None
    assert was is not None
    assert hip.at == pytest.approx(was.at, abs=1e-6)
    assert [d.name for d in lined.darts] == [d.name for d in shell.darts]


def test_without_words_it_is_2_cm_shorter() -> None:
    """Common practice, no source (TRADE.md 3)."""
    made = pieces(skirt("lined: {lining: {of: back}}"))
    assert edge(made["lined"], "centre").length == pytest.approx(
        edge(made["back"], "centre").length - 20, abs=0.01
    )


def test_a_lining_that_is_no_half_is_turned_over() -> None:
    made = pieces(skirt("lined: {lining: {of: back, shorter: 0}}"))
    over = Placement.mirror(0j, 1j)
    mirrored = polygon(made["back"].outline.placed(over).reversed())
    assert polygon(made["lined"].outline).symmetric_difference(mirrored).area < 0.1
    assert made["lined"].drawn_for == made["back"].drawn_for


@settings(max_examples=12, deadline=None)
@given(pleat=st.floats(1.0, 4.0))
def test_a_pleat_at_the_fold_adds_its_width_all_the_way_down(pleat: float) -> None:
    made = pieces(
        bodice("plain: {lining: {of: back}}", f"lined: {{lining: {{of: back, pleat: {pleat:.4f}}}}}")
    )
    plain, lined = made["plain"], made["lined"]
    (laid,) = lined.pleats
    assert laid.sewn == ("neckline",)
    assert edge(lined, "neckline").sewn_length == pytest.approx(edge(plain, "neckline").length, abs=1e-6)
    assert edge(lined, "hem").length == pytest.approx(edge(plain, "hem").length + pleat * 10, abs=0.01)
    assert lengths(lined)["armhole"] == pytest.approx(lengths(plain)["armhole"], abs=1e-6)
    for a, b in laid.moves:
        assert abs(a.start - b.start) == pytest.approx(
            pleat * 10, abs=0.01
        )  # an inverted pleat: 2 depths a half


def test_a_pleat_without_a_fold_is_told() -> None:
    made = skirt("lined: {lining: {of: back, pleat: 2.5}}")
    assert any("no fold" in e for e in made.errors)


def test_darts_as_pleats_fold_away_the_same_cloth_the_same_way() -> None:
    made = pieces(skirt("sewn: {lining: {of: back}}", "soft: {lining: {of: back, darts: as pleats}}"))
    with_darts, soft = made["sewn"], made["soft"]
    assert soft.darts == ()
    assert edge(soft, "waist") == edge(with_darts, "waist")
    for dart in with_darts.darts:
        (pleat,) = [p for p in soft.pleats if p.name == dart.name]
        ((fold, to),) = pleat.moves
        assert {fold.start, to.start} == {dart.first, dart.second}
        assert pleat.deep == pytest.approx(dart.intake / 2)
        # The dart's cloth lies to where it was pressed; the fold that shows points the other way.
        assert pleat.press_first is not dart.press_first
        assert pleat.press_words == ("to side" if dart.press_words == "to centre" else "to centre")


@settings(max_examples=12, deadline=None)
@given(deep=st.floats(3.0, 7.0), wide=st.floats(1.0, 2.6))
def test_less_a_facing_its_edge_is_as_long_as_the_facings_over_open_darts(deep: float, wide: float) -> None:
    for parent in ("front", "back"):
        made = pieces(
            skirt(
                f"facing_: {{facing: {{of: {parent}, along: [waist], wide: {deep:.4f}}}}}",
                f"lined: {{lining: {{of: {parent}, shorter: 0, less facing: {{upper: facing_}}}}}}",
                wide=wide,
            )
        )
        shell, facing, lined = made[parent], made["facing_"], made["lined"]
        upper = edge(lined, "upper")
        assert upper.sewn_length == pytest.approx(edge(facing, "outer").length, abs=EXACT)
        assert [d.name for d in sorted(lined.darts, key=lambda d: d.name)] == [d.name for d in shell.darts]
        assert len(upper.take_ups) == len(shell.darts)
        for dart in lined.darts:
            old = next(d for d in shell.darts if d.name == dart.name)
            assert abs(dart.first - dart.point) == pytest.approx(abs(dart.second - dart.point), abs=EXACT)
            assert abs(dart.first - dart.point) < abs(old.first - old.point) - deep * 8
        # Nothing is lost: the lining and the facing are the shell, but for the darts folded out in the facing.
        lost = sum(_triangle(d.first, d.point, d.second) for d in shell.darts)
        kept = sum(_triangle(d.first, d.point, d.second) for d in lined.darts)
        whole = polygon(lined.outline).area + polygon(facing.outline).area
        assert whole == pytest.approx(polygon(shell.outline).area - (lost - kept), rel=2e-3)


def _triangle(a: complex, b: complex, c: complex) -> float:
    return abs(((b - a).conjugate() * (c - a)).imag) / 2


def test_less_an_all_in_one_facing() -> None:
    made = pieces(
        bodice(
            "ff: {all in one facing: {of: front, edges: [neckline, armhole], wide: 5}}",
            "lined: {lining: {of: front, less facing: {upper: ff}, pleat: 2}}",
        )
    )
    assert edge(made["lined"], "upper").sewn_length == pytest.approx(
        edge(made["ff"], "outer").length, abs=EXACT
    )
    assert {e.name for e in made["lined"].edges} == {"upper", "side", "hem", "centre"}


@pytest.mark.parametrize(
    ("piece", "words"),
    [
        ("lined: {lining: {of: front, less facing: {upper: back}}}", "back is no facing of front"),
        ("lined: {lining: {of: front, hem: hemm}}", "no edge 'hemm'"),
        ("lined: {lining: {of: front, shorter: 70}}", "cannot be made 700 mm shorter"),
        ("lined: {lining: {of: front, hem: waist}}", "e1 runs out at waist"),
    ],
)
def test_what_a_lining_cannot_be_is_told(piece: str, words: str) -> None:
    assert any(words in e for e in skirt(piece).errors), skirt(piece).errors


# ---------------------------------------------------------------- waistbands

BANDS = ("fs: {from: front, do: [{cut off band: {along: [waist], wide: DEEP, edge: waist}}]}",
         "bs: {from: back, do: [{cut off band: {along: [waist], wide: DEEP, edge: waist}}]}")  # fmt: skip


@settings(max_examples=12, deadline=None)
@given(deep=st.floats(3.0, 7.0), wide=st.floats(1.0, 2.6), waist=st.floats(20.5, 22.5))
def test_a_shaped_waistband_fits_what_is_left_below_it(deep: float, wide: float, waist: float) -> None:
    band = f"waistband: {{of: [front.waist, back.waist], wide: {deep:.4f}, shaped: true"
    made = pieces(
        skirt(
            f"raw: {{{band}, true: none}}}}",
            f"band: {{{band}}}}}",
            *(b.replace("DEEP", f"{deep:.4f}") for b in BANDS),
            waist=waist,
            wide=wide,
        )
    )
    below = sewn(made["fs"], "waist") + sewn(made["bs"], "waist")
    above = sewn(made["front"], "waist") + sewn(made["back"], "waist")
    assert edge(made["raw"], "lower").length == pytest.approx(below, abs=EXACT)
    assert edge(made["raw"], "upper").length == pytest.approx(above, abs=EXACT)
    band_made = made["band"]
    assert edge(band_made, "lower").length == pytest.approx(below, abs=0.5)
    assert edge(band_made, "upper").length == pytest.approx(above, abs=0.5)
    assert edge(band_made, "upper").length < edge(band_made, "lower").length - 10
    assert band_made.fold == "centre"
    assert [e.name for e in band_made.edges] == ["upper", "end", "lower", "centre"]
    told = {t.edge: (t.before, t.after) for t in band_made.trueings}
    for name in ("upper", "lower"):
        assert told.get(name, (0, 0)) == pytest.approx(
            (edge(made["raw"], name).length, edge(band_made, name).length) if name in told else (0, 0)
        )
    joint = edge(band_made, "lower").mark("side")
    assert joint is not None
    assert edge(band_made, "lower").length - joint.at == pytest.approx(sewn(made["fs"], "waist"), abs=0.5)


def test_a_shaped_waistband_is_true_where_the_pieces_meet() -> None:
    band = "waistband: {of: [front.waist, back.waist], wide: 5, shaped: true"
    made = pieces(skirt(f"raw: {{{band}, true: none}}}}", f"band: {{{band}}}}}"))

    def kink(path: Path) -> float:
        flat = path.flatten(0.02)
        ways = np.diff(flat)
        return float(np.abs(np.angle(ways[1:] / ways[:-1])).max())

    for name in ("upper", "lower"):
        assert kink(edge(made["band"], name).path) < np.radians(3)
        apart = [
            line(edge(made["raw"], name).path).distance(point(z))
            for z in edge(made["band"], name).path.flatten(1.0)
        ]
        assert max(apart) < 2.0


def test_the_edges_may_be_named_from_either_end_and_run_on() -> None:
    words = "wide: 5, shaped: true"
    made = pieces(
        skirt(
            f"one: {{waistband: {{of: [front.waist, back.waist], {words}, after: 3}}}}",
            f"other: {{waistband: {{of: [back.waist, front.waist], {words}, before: 3}}}}",
        )
    )
    one, other = made["one"], made["other"]
    assert edge(one, "lower").length == pytest.approx(edge(other, "lower").length, abs=EXACT)
    for piece, end in ((one, "end"), (other, "start")):
        lower = edge(piece, "lower")
        mark = lower.mark(f"{end}_line")
        assert mark is not None
        assert min(mark.at, lower.length - mark.at) == pytest.approx(30, abs=0.5)


def test_pieces_that_do_not_meet_are_told() -> None:
    made = skirt(
        "other: {half: right, outline: [b.waist, {flank: [b.side_u, b.side_l]}, b.hem, b.centre]}",
        "band: {waistband: {of: [front.waist, other.waist], wide: 5, shaped: true}}",
    )
    assert any("do not meet side by side" in e for e in made.errors)


def test_a_band_that_runs_on_over_the_fold_is_told() -> None:
    made = skirt("band: {waistband: {of: [front.waist, back.waist], wide: 5, shaped: true, before: 2}}")
    assert any("lies on the fold" in e for e in made.errors)


def test_a_band_below_the_point_of_a_dart_is_told() -> None:
    made = skirt("fs: {from: front, do: [{cut off band: {along: [waist], wide: 10, edge: waist}}]}")
    assert any("runs below the point of e1" in e for e in made.errors)


@settings(max_examples=12, deadline=None)
@given(before=st.floats(0, 5), after=st.floats(0, 5), wide=st.floats(1.0, 2.6))
def test_a_straight_waistband_is_as_long_as_the_edges_and_what_runs_on(
    before: float, after: float, wide: float
) -> None:
    of = "[back.waist.left, front.waist, back.waist.right]"
    made = pieces(
        skirt(
            f"band: {{waistband: {{of: {of}, wide: 8, before: {before:.4f}, after: {after:.4f}}}}}", wide=wide
        )
    )
    back, front = sewn(made["back"], "waist"), sewn(made["front"], "waist")
    lower = edge(made["band"], "lower")
    assert lower.length == pytest.approx(2 * (back + front) + (before + after) * 10, abs=EXACT)
    assert edge(made["band"], "end").length == pytest.approx(80)
    at = {m.name: lower.length - m.at for m in lower.marks}  # from its start, at the left
    assert at["back_end"] == pytest.approx(before * 10 + back, abs=EXACT)
    assert at["centre"] == pytest.approx(before * 10 + back + front, abs=EXACT)
    assert at["front_end"] == pytest.approx(before * 10 + back + 2 * front, abs=EXACT)


# ---------------------------------------------------------------- pockets

POCKET = "edge: side, from: waist, at: 5, mouth: 16, deep: 28, wide: 16"


@pytest.mark.parametrize("mirror", [False, True])
def test_a_bags_mouth_matches_the_stretch_between_its_dots(mirror: bool) -> None:
    words = f"pocket: {{in: front, {POCKET}}}"
    text = SKIRT.replace("WAIST", "21").replace("WIDE", "2")
    text = text.replace("    half: left\n", "    half: left\n    mirror: true\n") if mirror else text
    made = pieces(inline_draft(text + f"  bag: {{{words}}}\n"))
    bag, side = made["bag"], edge(made["front"], "side")
    dots = [m for m in side.marks if m.kind == "dot"]
    assert {m.name for m in dots} == {"pocket_top", "pocket_foot"}
    assert dots[0].name == ("pocket_foot" if mirror else "pocket_top")
    assert abs(dots[1].at - dots[0].at) == pytest.approx(160, abs=1e-6)
    assert edge(bag, "mouth").length == pytest.approx(160, abs=EXACT)
    # Sewn together, two edges are walked against each other; the notch of the hip is on both.
    (notch,) = edge(bag, "mouth").marks
    hip = side.mark("hip")
    assert hip is not None
    assert notch.at == pytest.approx(dots[1].at - hip.at, abs=1e-6)
    down = edge(bag, "mouth").path.end.imag > edge(bag, "mouth").path.start.imag
    assert down is mirror


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"at: 5": "at: 50"}, "does not lie within front.side"),
        ({"deep: 28": "deep: 18"}, "too small for a mouth of 160 mm"),
        ({"edge: side": "edge: sid"}, "no edge 'sid'"),
    ],
)
def test_what_a_pocket_cannot_be_is_told(change: dict[str, str], words: str) -> None:
    spec = POCKET
    for old, new in change.items():
        spec = spec.replace(old, new)
    made = skirt(f"bag: {{pocket: {{in: front, {spec}}}}}")
    assert any(words in e for e in made.errors), made.errors
