"""Every figure in the steps against the seams, the draft and the shop, worked out here a second time."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable

import pytest
from helpers.drafts import Drafted, case_name, cases, middling
from helpers.step_words import by_id, recipe_words, shop, style_words

from booklet.model import Seam
from booklet.sewing.minutes import guide_minutes
from booklet.sewing.operations.base import Effort, Stitching
from booklet.sewing.words import StepWords
from booklet.units import show

FIGURE = re.compile(r"(?:\d+\u00a0)?[\d./]+\u00a0(?:mm|cm|in)\b")
WIDE = (("neck", "wide"), ("sleeve_end", "elastic"))
SLIT = (("neck", "slit"), ("sleeve_end", "cuff"))
KNEE = (("length", "knee"),)


def figures(words: StepWords) -> list[str]:
    return [f for text in (*words.paragraphs, words.check) for f in FIGURE.findall(text)]


def body(words: StepWords) -> str:
    return " ".join(words.paragraphs).replace("\u00a0", " ").replace("**", "")


# Habits of the workroom that a step may print: from the shop's file, and the operations' own (common practice).
HABITS = (
    *shop().trim.values(), *shop().stitch.values(), shop().equal, shop().trim["trim to"] + 3,
    1, 2, 3, 4, 5, 15, 25, 60, 80,
)  # fmt: skip


def sums_of_neighbours(lengths: Iterable[float]) -> list[float]:
    row = list(lengths)
    return [sum(row[i:j]) for i, j in itertools.combinations(range(len(row) + 1), 2)]


def seam_lengths(seam: Seam) -> list[float]:
    out = [seam.a_mm, seam.b_mm or 0.0, seam.allow_a, seam.allow_b or 0.0, seam.allow_a / 2]
    out += sums_of_neighbours(s.a_mm for s in seam.sections)
    out += sums_of_neighbours(s.b_mm or 0.0 for s in seam.sections)
    return out


def draft_lengths(drafted: Drafted, words: StepWords) -> list[float]:
    """Lengths of the draft and the recipe beside those of the step's own seams."""
    values = [float(v) for v in drafted.draft.values.values() if isinstance(v, (int, float))]
    values += [m.mm for m in drafted.measures]
    for copy in drafted.copies:
        values += [abs(d.first - d.point) for d in copy.darts] + [d.intake for d in copy.darts]
        values += [o.depth for o in copy.openings] + [o.mouth / 2 for o in copy.openings]
        values += [
            x for half in copy.edges for x in (half.edge.allow - 3, half.edge.length, half.edge.sewn_length)
        ]
        values += [x for p in copy.pleats for x in (p.deep, 2 * p.deep)]
        values += [b.far - a.far for a, b in itertools.pairwise(copy.buttons) if a.row == b.row]
        values += [
            x for m in copy.buttons for x in (m.size, m.thick, m.size + m.thick, m.far, m.inside or 0.0)
        ]
    return values


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
def test_every_figure_is_one_of_the_seams_draft_or_shop(style: str, options: tuple, units: str) -> None:
    """A figure that no seam, value or habit gives must be among those that the tests below work out one by one."""
    drafted = middling(style, *options)
    worked_out = {
        "hem": ("surplus", "sew"), "casing": ("sew", "sewn", "gap", "cut", "relaxed", "wide", "overlap", "turn_under"),
        "face": ("length", "halves", "turn", "clear"), "understitch": ("length",), "finish": ("length",),
        "gather": ("depths", "drawn", "flat"), "collar": ("half",),
        "band": ("wide", "inner_press", "under_by"), "tie": ("wide",),
        "loop": ("long", "strip", "wide", "stands", "ends"), "button": ("shank",),
        "bind": ("finished", "sew", "length", "before", "after", "turned_in", "whole", "inside", "covers"),
        "zip": ("long", "stop", "row", "under_out", "under_in", "hidden", "cut_below", "below_stop", "tolerance"),
        "fell": ("turn", "clear"), "hook": ("back",),
        "attach": ("lap", "wide", "inside", "sewn"), "placket": ("seam", "from_cut", "long", "row", "finished", "at_foot"),
        "buttons": ("long", "past"),
        "pocket": ("depth", "hem_in", "inside", "length", "part_wide", "tack", "wide"),
    }  # fmt: skip
    for words in style_words(style, *options, units=units):
        seams = [s for s in drafted.seams.seams if s.id in words.seams]
        known = [*HABITS, *draft_lengths(drafted, words), *(x for s in seams for x in seam_lengths(s))]
        known += [s.allow_a / 2 for s in seams]
        known += sums_of_neighbours(s.a_mm for s in seams)  # several that are sewn as one row
        if words.verb == "strips":  # the arithmetic of binding, tested by itself in test_bias
            known += [v for row in words.facts["rows"] for v in row.values() if isinstance(v, float)]
        for key in worked_out.get(words.verb, ()):
            value = words.facts[key]
            known += [v for v in (value if isinstance(value, (tuple, list)) else [value]) if v is not None]
        allowed = {show(x, units) for x in known} | {f"{x:g}\u00a0mm" for x in shop().stitch.values()}
        buttons = [m for copy in drafted.copies for m in copy.buttons]
        allowed |= {f"{x:g}\u00a0mm" for m in buttons for x in (m.size, m.thick, m.size + m.thick)}
        for figure in figures(words):
            assert figure in allowed, (words.id, figure)


def test_a_join_prints_sewn_length_and_allowance() -> None:
    drafted, words = middling("top", *WIDE), by_id(style_words("top", *WIDE))["shoulders"]
    seam = next(s for s in drafted.seams.seams if s.id == "shoulders.left")
    assert f"{show(seam.allow_a, 'cm')}** from the edge" in " ".join(words.paragraphs)
    assert f"Each seam measures {show(seam.a_mm, 'cm')};" in words.check


def test_a_gathered_seam_is_as_long_as_its_shorter_side() -> None:
    words = by_id(style_words("top", *WIDE))["set-sleeves"]
    seam = next(s for s in middling("top", *WIDE).seams.seams if s.id == "set-sleeves.left")
    assert seam.b_mm is not None and seam.b_mm < seam.a_mm - 100
    assert show(seam.b_mm, "cm") in figures(words)
    assert show(seam.a_mm, "cm") not in figures(words)
    assert [s.mm for s in words.stitching] == pytest.approx([2 * seam.b_mm, 2 * seam.b_mm])


def test_gathers_are_drawn_up_to_the_sections_that_they_meet() -> None:
    words = by_id(style_words("top", *WIDE))["gather-head"]
    joined = next(s for s in middling("top", *WIDE).seams.seams if s.id == "set-sleeves.left")
    inside = [s for s in joined.sections if s.wanted is not None]
    flat, drawn = sum(s.a_mm for s in inside), sum(s.b_mm or 0 for s in inside)
    assert words.facts["flat"] == pytest.approx(flat)
    assert words.facts["drawn"] == pytest.approx(drawn, abs=1.5)
    assert f"{show(flat, 'cm')} to **{show(words.facts['drawn'], 'cm')}**" in " ".join(words.paragraphs)
    rows = next(s for s in words.stitching if s.what == "gathering")
    assert rows.mm == pytest.approx(2 * 2 * flat) and rows.rows == 4


def test_the_elastic_is_the_arm_less_its_share_with_the_overlap() -> None:
    words = by_id(style_words("top", *WIDE))["sleeve-casing"]
    inch = 25.4
    assert words.facts["cut"] == pytest.approx(295 * 0.92 + inch / 2)
    assert words.facts["relaxed"] == pytest.approx(295 * 0.92)
    assert words.facts["depth"] == pytest.approx(0.75 * inch, abs=0.05)
    assert words.facts["turn_under"] == pytest.approx(0.25 * inch, abs=0.05)
    assert words.facts["sewn"] == pytest.approx(words.facts["round"] - 1.5 * inch)
    assert 3 <= words.facts["clear"] <= 7, (
        "the channel is the elastic and 3 to 6 mm; common practice, no source"
    )
    assert "284 mm" in body(words) and "less 8 %" in body(words)


def test_a_slit_is_sewn_down_and_up_again() -> None:
    words = by_id(style_words("top", *SLIT))["face-neck"]
    drafted = middling("top", *SLIT)
    opening = next(o for c in drafted.copies for o in c.openings)
    ring = next(s for s in drafted.seams.seams if s.id == "face-neck").a_mm
    side = math.hypot(opening.depth, opening.mouth / 2)
    assert words.facts["length"] == pytest.approx(ring - opening.mouth + 2 * side)
    assert sum(words.facts["halves"]) == pytest.approx(ring - opening.mouth)
    said = body(words)
    told = ("Draw the slit", "Sew round", "one drawn side", "across the foot", "up the other", "Cut both")
    order = [said.index(w) for w in told]
    assert order == sorted(order)
    assert "the loop lies between" in said.lower()


def test_a_neck_without_slit_speaks_of_none() -> None:
    for id_ in ("face-neck", "understitch-neck"):
        words = by_id(style_words("top", *WIDE))[id_]
        assert "slit" not in body(words) and "loop" not in body(words)


def test_trimming_keeps_to_the_width_of_the_allowance() -> None:
    """10 mm and more is graded, a little less trimmed on one side, a narrow one only clipped."""
    graded = by_id(style_words("skirt", *KNEE))["face-front"]
    assert "to 5 mm, the other to 8 mm" in body(graded)
    trimmed = by_id(style_words("top", *WIDE))["face-neck"]
    assert "facing to 5 mm." in body(trimmed) and "the other to" not in body(trimmed)


def test_clips_stop_at_the_staystitching() -> None:
    stayed = by_id(style_words("top", *WIDE))["face-neck"]
    clip = next(a for a in stayed.facts["acts"] if a["act"] == "clip")
    assert clip["short"] == pytest.approx(max(shop().stitch["staystitch in"], shop().trim["clip short of"]))
    assert "as far as the staystitching" in body(stayed)
    plain = by_id(style_words("aline"))["face-waist"]
    assert "staystitching" not in body(plain)


def test_cuts_follow_the_curve() -> None:
    """A neckline curves inwards and is clipped; a rounded corner curves outwards and loses wedges."""
    neck = body(by_id(style_words("top", *WIDE))["face-neck"])
    assert "Clip both" in neck and "wedges" not in neck
    corner = body(by_id(style_words("skirt", *KNEE))["face-front"])
    assert "wedges" in corner and "Clip" not in corner


def test_a_seam_with_an_opening_is_told_in_its_parts() -> None:
    words = by_id(style_words("skirt", *KNEE))["right-side"]
    seam = next(s for s in middling("skirt", *KNEE).seams.seams if s.step == "right-side")
    parts = words.facts["legs"]
    assert [is_open for _, is_open in parts] == [False, True, False]
    assert sum(length for length, _ in parts) == pytest.approx(seam.a_mm)
    sewn = next(s for s in words.stitching if s.what == "seam")
    assert sewn.mm == pytest.approx(seam.a_mm - 40) and sewn.rows == 2


def test_a_band_and_its_ties_are_half_as_wide_as_cut() -> None:
    words = by_id(style_words("skirt", *KNEE))
    assert words["band"].facts["wide"] == pytest.approx(40)
    assert words["ties"].facts["wide"] == pytest.approx(40)
    for row in words["ties"].facts["rows"]:
        assert row["sewn"] == pytest.approx(row["length"] + 40)


def test_darts_print_their_legs_and_intake() -> None:
    words = by_id(style_words("skirt", *KNEE))["back-darts"]
    dart = next(d for c in middling("skirt", *KNEE).copies for d in c.darts if d.name == "back_dart")
    leg = abs(dart.point - dart.first)
    assert leg == pytest.approx(abs(dart.point - dart.second))
    assert show(leg, "cm") in figures(words) and show(dart.intake, "cm") in figures(words)


def test_neatening_goes_twice_along_a_seam_pressed_open_and_once_along_one_to_a_side() -> None:
    words = by_id(style_words("top", *WIDE))

    def neatened(id_: str) -> float:
        return sum(s.mm for s in words[id_].stitching if s.stitch == 504)

    def sewn(id_: str) -> float:
        return sum(s.mm for s in words[id_].stitching if s.stitch == 301)

    assert neatened("shoulders") == pytest.approx(2 * sewn("shoulders"))
    assert neatened("side-and-sleeve") == pytest.approx(sewn("side-and-sleeve"))
    assert neatened("facing-shoulders") == 0


def test_stitch_types_and_seam_classes_are_those_of_the_standards() -> None:
    """ISO 4915 types 209, 301, 304, 504; ISO 4916 classes 1 to 8."""
    rows = [s for style, options in cases() for w in style_words(style, *options) for s in w.stitching]
    assert {s.stitch for s in rows} == {209, 301, 304, 504}
    assert all(1 <= s.seam_class <= 8 and s.mm > 0 and s.rows >= 1 for s in rows)
    assert all(s.metres == pytest.approx(s.mm / 1000) for s in rows)


class TestMinutes:
    def test_handling_once_a_side_and_sewing_by_length(self) -> None:
        rates = shop()
        rows = (Stitching(301, 3000, "seam", 1, 2, "straight"),)
        effort = Effort(2, matches=4, acts=("press", "trim"), iron=1200)
        worked = (
            2 * rates.handling["join"] + 4 * rates.match + rates.acts["press"] + rates.acts["trim"]
            + 3000 / rates.speed["straight"] + 1200 / rates.speed["iron"]
        )  # fmt: skip
        assert guide_minutes("join", effort, rows, rates) == round(worked)

    def test_never_less_than_one(self) -> None:
        assert guide_minutes("staystitch", Effort(0), (), shop()) == 1

    def test_unknown_act_is_an_error(self) -> None:
        with pytest.raises(KeyError):
            guide_minutes("join", Effort(1, acts=("polish",)), (), shop())

    def test_both_sides_take_longer_than_one(self) -> None:
        one = "steps:\n  - join: [front.side.left, back.side.left]\n"
        both = one.replace(".left", "")
        options = dict(WIDE)
        single, pair = (recipe_words("top", r, **options)[0] for r in (one, both))
        assert single.minutes < pair.minutes <= 2 * single.minutes + 1
