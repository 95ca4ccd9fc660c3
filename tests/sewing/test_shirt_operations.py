"""What a shirt needs: rows of buttons, collars on stands, cuffs and plackets, in words, checks, thread and notions."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from helpers.shirt import (
    ALL,
    BUTTONS,
    HEM,
    MAKE,
    NECK,
    PLACKET,
    SLEEVE_SEAM,
    SLEEVES,
    WITH_SLEEVES,
    faults,
    shirt,
)  # fmt: skip
from helpers.step_words import recipe_words, shop
from hypothesis import given
from hypothesis import strategies as st

from booklet.cloth.notions import work_out_notions
from booklet.drafting.buttons import PAST, even_places, hole_ends, hole_length
from booklet.model import Notion
from booklet.prepare import Prepared
from booklet.reading.read import read_style
from booklet.sewing.words import StepWords, write_steps

ROW = "count: 7, size: 12 mm"
CUFF_BUTTON = "inside: 1, size: 12 mm, thick: 3 mm, holes: none"
CUFF_ALLOW = "trim: to stitch line}]\n    allow: {other: 1}\n"


def words(made: Prepared, units: str = "cm") -> dict[str, StepWords]:
    table = made.seams
    steps = write_steps(table.steps, table, made.copies, made.table, shop(), units)  # type: ignore[arg-type]
    return {w.id: w for w in steps}


def text(step: StepWords) -> str:
    return re.sub(r"[\u00a0\s]+", " ", " ".join((step.title, *step.paragraphs, step.check)))


def notions(folder: Path, made: Prepared) -> dict[str, Notion]:
    style = read_style(folder).sources["style"]
    said = tuple(words(made).values())
    return {n.name: n for n in work_out_notions(style, made, said, shop(), "cm")}


# ---------------------------------------------------------------- buttons: places and holes


def test_buttonhole_lengths() -> None:
    # sewing.about.com, how to make a buttonhole: a 1 in button 1/4 in thick asks for 1 1/4 in.
    assert hole_length(1.0, 0.25) == 1.25
    assert hole_length(18.0, 3.0) == 21.0  # arithmetic


def test_a_hole_across_its_line_begins_an_eighth_of_an_inch_past_it() -> None:
    # Same source: 1 in button, 1/4 in thick: 1/8 in past the centre line, 1 1/8 in inside it.
    first, second = hole_ends(0j, 1 + 0j, hole_length(25.4, 6.35))
    assert first == -PAST
    assert abs(PAST - 25.4 / 8) < 0.2
    assert second == pytest.approx(25.4 * 1.125, abs=0.2)


def test_spacing_of_published_examples() -> None:
    # Treadle sewing notes: 8 buttons over 15 in lie 2.143 in apart; SewingCorner: 10 over 36 cm lie 4.0 cm apart.
    inches = even_places(0.0, 15.0, 8, None, 0.0)
    assert inches[1] == pytest.approx(2.143, abs=0.001) and inches[-1] == 15.0
    assert even_places(0.0, 36.0, 10, None, 0.0)[1] == pytest.approx(4.0)


@given(
    st.floats(0, 100), st.floats(200, 900), st.integers(2, 20), st.floats(0, 90),
)  # fmt: skip
def test_even_places_are_even_and_end_where_asked(first: float, long: float, count: int, last: float) -> None:
    places = even_places(first, long, count, None, last)
    steps = [b - a for a, b in zip(places, places[1:], strict=False)]
    assert len(places) == count
    assert places[0] == first and places[-1] == pytest.approx(long - last)
    assert max(steps) - min(steps) < 1e-6


def test_a_wanted_spacing_fills_the_stretch_evenly() -> None:
    places = even_places(50.0, 620.0, None, 80.0, 90.0)  # 480 mm: six spaces
    assert places == pytest.approx([50.0 + 80.0 * k for k in range(7)])
    assert even_places(50.0, 620.0, None, 85.0, 90.0)[1] == pytest.approx(50.0 + 80.0)


def test_holes_lie_on_the_side_asked_and_buttons_across(tmp_path: Path) -> None:
    made = shirt(tmp_path)
    copies = {c.id: c for c in made.copies}
    right, left = copies["front.right"], copies["front.left"]
    assert {m.kind for m in right.buttons} == {"buttonhole"} and len(right.buttons) == 7
    assert {m.kind for m in left.buttons} == {"button"} and len(left.buttons) == 7
    # 52 cm of centre line, 6 cm above and 10 cm below: six spaces of 6 cm.
    apart = [abs(b.at - a.at) for a, b in zip(right.buttons, right.buttons[1:], strict=False)]
    assert apart == pytest.approx([60.0] * 6)
    stand = copies["stand"]
    assert sorted((m.kind, m.side) for m in stand.buttons) == [("button", "left"), ("buttonhole", "right")]
    a, b = (m.at for m in stand.buttons)
    assert a.imag == pytest.approx(b.imag) and a.real == pytest.approx(-b.real)


@pytest.mark.parametrize(("units", "long", "apart"), [("cm", "15 mm", "60 mm"), ("in", "5/8 in", "2 3/8 in")])
def test_words_give_the_holes_length_and_every_distance(
    tmp_path: Path, units: str, long: str, apart: str
) -> None:
    said = text(words(shirt(tmp_path, units=units), units)["buttons"])
    assert f"**{long}** long for a button" in said
    assert "On the right front (1) mark seven buttonholes along the centre" in said
    assert f"then every **{apart}**" in said
    assert "On the right end of the collar stand (3) mark one buttonhole" in said
    assert said.count("begins 1/8 in before" if units == "in" else "begins 3 mm before") == 2
    assert "for a button 12 mm across and 3 mm thick" in said
    assert "Lay the right side over" in said and "eight in all" in said


def test_buttons_are_counted_with_the_spare_one(tmp_path: Path) -> None:
    bought = notions(tmp_path, shirt(tmp_path))["shirt buttons, 12\u00a0mm (19\u00a0ligne)"]
    assert bought.printed == "9"
    assert "8 to sew on and 1 spare" in bought.working and "15" in bought.working


def test_buttonholes_take_thread(tmp_path: Path) -> None:
    with_buttons = notions(tmp_path, shirt(tmp_path))["sewing thread"].amount
    without = notions(tmp_path, shirt(tmp_path, changed={"count: 7, ": "count: 6, "}))["sewing thread"].amount
    # A buttonhole of 15 mm: 0.36 m of close zigzag; a button 0.12 m; each times 2.5 with waste, and 0.6 m of ends.
    assert with_buttons - without == pytest.approx((0.36 + 0.12) * 2.5 * 1.15 + 0.6, abs=0.05)


# ---------------------------------------------------------------- buttons: what is told


@pytest.mark.parametrize(
    ("code", "said", "steps", "changed"),
    [
        ("unknown-row", "there is no row of buttons 'front.rov'", ALL.replace("front.row", "front.rov"), {}),
        ("buttons-left", "front.row are never sewn", ALL.replace(BUTTONS, ""), {}),
        ("sewn-twice", "front.row are sewn again here", ALL + "  - buttons: [front.row]\n", {}),
        ("button-pairs", "14 buttonholes and 0 buttons", ALL.replace("stand.top, ", ""), {"holes: right": "holes: both"}),
        ("button-sizes", "buttons of 2 sizes", ALL, {ROW: ROW.replace("12", "15")}),
        ("button-outside", "reaches beyond stand", ALL, {"inside: 1.4": "inside: 2.95"}),
        ("hole-thin", "no interfacing under them", ALL, {"front_edge: 6": "front_edge: 1.2"}),
        ("button-edge", "lies 3.8 mm from the edge", ALL, {"inside: 1.4": "inside: 0.4"}),
        ("buttons-early", "before step 'hem'", ALL.replace(HEM + BUTTONS, BUTTONS + HEM), {}),
        ("buttons", "lie from 60 to 1260 mm on a line of 520 mm", ALL, {"last: 10, count: 7": "apart: 20, count: 7"}),
        ("buttons", "front.row comes out with 41 buttons", ALL, {"last: 10, count: 7": "last: 10, apart: 0.9"}),
        ("unknown-line", "no line across and no edge 'center'", ALL, {"on: centre": "on: center"}),
        ("unknown-mark", "no mark 'front_centre'", ALL, {"mark: centre_front": "mark: front_centre"}),
    ],
)  # fmt: skip
def test_what_is_wrong_with_buttons_is_told(
    tmp_path: Path, code: str, said: str, steps: str, changed: dict[str, str]
) -> None:
    assert faults(tmp_path) == {}
    found = faults(tmp_path, steps, changed)
    assert code in found, found
    assert said in found[code]


# ---------------------------------------------------------------- collars


def test_a_collar_is_sewn_round_three_sides_and_its_under_side_is_the_smaller(tmp_path: Path) -> None:
    made = shirt(tmp_path)
    (seam,) = made.seams.of_step("collar")
    assert seam.b is not None
    assert [p.edge for p in seam.a.parts] == ["end.left", "outer", "end.right"]
    # Face to face the left end of one lies on the right end of the other.
    assert [p.edge for p in seam.b.parts] == ["end.right", "outer", "end.left"]
    assert 0 < seam.difference < 0.05 * seam.a_mm
    assert seam.treatment == "ease"
    said = text(words(made)["collar"])
    assert (
        f"Its sewn edges are **{round(seam.difference)} mm** longer in all" in said
        and "Leave the neck open" in said
    )
    assert "Cut the corners off, 2 mm from the stitching" in said


def test_equal_sides_are_sewn_without_ease(tmp_path: Path) -> None:
    made = shirt(tmp_path, changed={"turn: 2 mm": "turn: 0"})
    (seam,) = made.seams.of_step("collar")
    assert seam.treatment == "equal" and abs(seam.difference) < 0.05
    assert "longer in all" not in text(words(made)["collar"])


def test_the_collar_lies_between_two_stands_in_one_row(tmp_path: Path) -> None:
    made = shirt(tmp_path)
    pairs = {(s.a.text, s.b.text) for s in made.seams.of_step("stand") if s.b}
    # It falls over the outer stand: the under side lies against that.
    assert ("stand.upper", "under_collar.neck") in pairs and ("inner_stand.upper", "collar.neck") in pairs
    assert ("stand.end.left", "inner_stand.end.right") in pairs
    step = words(made)["stand"]
    sewn = sum(s.mm for s in step.stitching)
    outer = sum(s.a_mm for s in made.seams.of_step("stand") if s.a.text.startswith("stand."))
    assert sewn == pytest.approx(outer)  # one row through all four plies
    assert "Lay the inner collar stand (4) on top, right side down" in text(step)


@pytest.mark.parametrize(
    ("code", "said", "steps", "changed"),
    [
        ("collar-fit", "the under side is", ALL, {"turn: 2 mm": "turn: 9 mm"}),
        ("collar-fit", "longer", ALL.replace("pieces: [collar, under_collar]", "pieces: [under_collar, collar]"), {}),
        ("collar-late", "cannot be turned any more", ALL.replace(MAKE, "").replace(NECK, NECK + MAKE), {}),
        ("value", "neither made nor put between stands", ALL.replace("sew: [end.left, outer, end.right]", "along: outer"), {}),
        ("edge-left", "collar.outer is never", ALL.replace(MAKE, ""), {}),
    ],
)  # fmt: skip
def test_what_is_wrong_with_collars_is_told(
    tmp_path: Path, code: str, said: str, steps: str, changed: dict[str, str]
) -> None:
    found = faults(tmp_path, steps, changed)
    assert code in found, found
    assert said in found[code]


# ---------------------------------------------------------------- slits, plackets, cuffs

SEWN = ALL + SLEEVES


def test_a_slit_lies_square_to_its_edge_at_its_mark_on_both_sleeves(tmp_path: Path) -> None:
    made = shirt(tmp_path, SEWN, changed=WITH_SLEEVES)
    copies = {c.id: c for c in made.copies}
    for sleeve in (copies["sleeve.right"], copies["sleeve.left"]):
        (slit,) = sleeve.openings
        lower = sleeve.by_name["lower"].edge
        mark = lower.mark("slit")
        assert mark is not None and abs(lower.path.point(mark.at) - slit.at) < 1e-6
        assert slit.depth == pytest.approx(110.0)
        assert ((slit.foot - slit.at) * lower.path.tangent(mark.at).conjugate()).real == pytest.approx(0.0)


def test_both_sleeves_run_from_slit_to_slit(tmp_path: Path) -> None:
    made = shirt(tmp_path, SEWN, changed=WITH_SLEEVES)
    bands = [s for s in made.seams.of_step("cuff") if s.kind == "band"]
    assert [s.side for s in bands] == ["left", "right"]
    copies = {c.id: c for c in made.copies}
    for seam in bands:
        first, last = seam.a.parts[0], seam.a.parts[-1]
        mark = copies[first.copy].by_name["lower"].edge.mark("slit")
        assert mark is not None
        assert first.start == pytest.approx(mark.at) and last.end == pytest.approx(mark.at)
        assert not seam.a.closed
        assert seam.treatment == "gathers"
        assert seam.a_mm == pytest.approx(360.0) and seam.b_mm == pytest.approx(220.0)


def test_a_chain_round_a_seam_may_be_written_either_way(tmp_path: Path) -> None:
    turned = "chain(sleeve.lower[front_seam..slit], sleeve.lower[slit..back_seam])"
    right = "chain(sleeve.lower[slit..back_seam], sleeve.lower[front_seam..slit])"
    assert faults(tmp_path, SEWN.replace(right, turned), WITH_SLEEVES) == {}
    apart = "chain(sleeve.lower[slit..back_seam], sleeve.lower[slit..back_seam])"
    assert "chain" in faults(tmp_path, SEWN.replace(right, apart), WITH_SLEEVES)


def test_cuff_words(tmp_path: Path) -> None:
    step = words(shirt(tmp_path, SEWN, changed=WITH_SLEEVES))["cuff"]
    said = text(step)
    # The run begins at the slit's back edge, and the cuff at its mark: what stands out laps under the front edge.
    assert (
        "to the edge of the slit towards the back seam, the end of its stitch line at the back end to the"
        in said
    )
    assert "to the edge towards the front seam" in said
    # The strip is 10 mm wide; of 20 mm that stand out it takes half.
    assert "**20 mm** stand out, to the front end; 10 mm of them lie on the strip" in said
    assert "Press **9 mm** of the under edge" in said  # of 10 mm, to pass the seam by 1 mm
    assert "At the front end open the pressed edge out first, and go on along what stands out" in said
    assert "The cuff is 60 mm wide" in said
    # Both ends of both cuffs, folded, are 60 mm long; 20 mm of each stand out.
    (ends,) = (s for s in step.stitching if s.what == "ends")
    assert ends.mm == pytest.approx(2 * (60 + 60 + 20)) and ends.rows == 4


def test_placket_words(tmp_path: Path) -> None:
    step = words(shirt(tmp_path, SEWN, changed=WITH_SLEEVES))["placket"]
    said = text(step)
    assert "On each sleeve (7) mark the slit, **110 mm** deep" in said
    # 110 mm from the stitch line, and 10 mm of allowance; the strip goes up and down: 2 x 120 mm.
    assert (
        "which is 120 mm from its cut edge" in said
        and "Begin at the cut edge, **6 mm** beside the line" in said
    )
    assert "**6 mm** from the strip's edge, 240 mm from end to end" in said
    assert "The strip is 10 mm wide all along" in said  # (32 - 2 x 6) / 2
    row = next(s for s in step.stitching if s.what == "round the slit")
    assert row.mm == pytest.approx(2 * 2 * ((110**2 + 6**2) ** 0.5 + 10))


def test_gathers_between_a_bound_slits_sides_leave_its_strip_out(tmp_path: Path) -> None:
    said = text(words(shirt(tmp_path, SEWN, changed=WITH_SLEEVES))["gather"])
    assert "from one side of the slit round to the other" in said
    assert "Begin and end at the seam of the placket" in said
    assert "348 mm to **220 mm**" in said  # 360 mm less 6 mm on each side of the slit


@pytest.mark.parametrize(
    ("code", "said", "steps", "changed"),
    [
        ("opening-raw", "sleeve.slit is never faced", SEWN.replace(PLACKET, ""), {}),
        ("copy-unused", "placket is cut from main", SEWN.replace(PLACKET, ""), {}),
        ("unknown-opening", "there is no opening 'sleeve.split'", SEWN.replace("sleeve.slit", "sleeve.split"), {}),
        ("unknown-strip", "'plackett' is not a strip", SEWN.replace("with: placket,", "with: plackett,"), {}),
        ("strip-length", "cut 200 mm long", SEWN, {"long: 24, wide: 3.2": "long: 20, wide: 3.2"}),
        ("strip-count", "4 of placket are cut, for 2 slits", SEWN, {"count: 2, as: same": "count: 4, as: same"}),
        ("placket-late", "has closed the edge it begins at", SEWN.replace(PLACKET, "") + PLACKET, {}),
        ("placket-round", "has made its piece round", SEWN.replace(PLACKET + SLEEVE_SEAM, SLEEVE_SEAM + PLACKET), {}),
        ("edge-left", "cuff.front_end is never", SEWN.replace("ends: [cuff.front_end, ", "ends: ["), {}),
        ("button-lap", "lap by 23.0 mm", SEWN, {CUFF_BUTTON: CUFF_BUTTON.replace("inside: 1,", "inside: 1.3,")}),
        ("band-allowances", "sleeve.lower has 10.0 mm allowance and cuff.upper, the band's, 8.0 mm", SEWN,
         {CUFF_ALLOW: CUFF_ALLOW.replace("other: 1", "other: 0.8")}),
        ("edge-left", "cuff.upper has 20 mm", SEWN.replace(", beyond: 'cuff.upper[lap..front_end]'", ""), {}),
        ("opening", "the opening slit is 450 mm deep", SEWN, {"down: 11": "down: 45"}),
        ("opening", "no place for the opening slit", SEWN, {"lower at slit": "lower at split"}),
    ],
)  # fmt: skip
def test_what_is_wrong_with_plackets_and_cuffs_is_told(
    tmp_path: Path, code: str, said: str, steps: str, changed: dict[str, str]
) -> None:
    sleeve = {old: _changed(new, changed) for old, new in WITH_SLEEVES.items()}
    found = faults(tmp_path, steps, sleeve)
    assert code in found, found
    assert said in found[code]


def _changed(text: str, changed: dict[str, str]) -> str:
    for old, new in changed.items():
        text = text.replace(old, new)
    return text


def test_the_shirt_with_sleeves_is_clean(tmp_path: Path) -> None:
    assert faults(tmp_path, SEWN, WITH_SLEEVES) == {}


def test_a_facing_takes_in_what_lies_between() -> None:
    recipe = """
steps:
  - face: {edge: back.neckline, with: back_neck_facing.neckline, catch: [cuff.upper, sleeve.lower]}
    id: face
  - face: {edge: front.neckline, with: front_neck_facing.neckline}
    id: plain
"""
    said = {w.id: text(w) for w in recipe_words("top", recipe, sleeve_end="cuff")}
    assert "The cuff and sleeve lie between, raw edges level." in said["face"]
    assert "between" not in said["plain"]
