"""The workroom's list of order rules, number by number: the rule that keeps each, or why it is no rule of the order.

And the rules that came late: hanging a bias hem, fittings, linings, bindings at hems, soft collars, corners, caught edges.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.changed import Changes, codes, drawn, made, problems, said, words

from booklet.drawing.judge import judge
from booklet.sewing.acts_done import acts_done
from booklet.sewing.corners import corners_of
from booklet.sewing.rules import BY_ID, RULES

# number: what comes first, before what; the rules that keep it. A reason stands for those that no order of steps keeps.
TABLE: dict[int, tuple[str, tuple[str, ...], str]] = {
    1: ("preshrink before cut", ("cloth-first",), "done before the first step: the cutting page says it"),
    2: ("test before fuse", ("fuse-test",), "the fusing step's own words begin with it"),
    3: ("fuse before any seam of the piece", ("fuse-late",), ""),
    4: ("mark before handling", ("marking", "mark-late"), ""),
    5: ("staystitch before handling the edge", ("staystitch-late",), ""),
    6: ("underline before darts", ("underline",), "pieces are cut in one cloth and its interfacing: no underlining"),
    7: ("darts, tucks, pleats before crossing seams", ("dart-late", "pleat-late"), ""),
    8: ("press before crossing", ("press-seam",), "every join and dart presses itself, unless it says none"),
    9: ("pocket while flat", ("pocket-late",), "a check of its own counts the rounds that are closed"),
    10: ("in-seam bags before the side seam", ("in-seam-pocket",), "the seam table: the bag's edge is in the run"),
    11: ("patch edges before patch", ("patch-edges",), "one step does both, in this order"),
    12: ("vertical seams before gathering", ("gather-early",), ""),
    13: ("gathers drawn up before join", ("gather-late",), ""),
    14: ("zip before what covers its top", ("zip-late",), "a check of its own knows the top end"),
    15: ("zip and the seam below by kind", ("zip-order",), "a check of its own knows the kinds"),
    16: ("collar made before attached", ("collar-made",), "the seam table, and the check of collars"),
    17: ("shoulders before neck facing", ("ring-open",), "the seam table: a ring is sewn to a ring"),
    18: ("facing's shoulders before facing", ("ring-open",), "the seam table: a ring is sewn to a ring"),
    19: ("facing before trim", ("trim-late",), ""),
    20: ("trim before understitch and turn", ("trim-late",), ""),
    21: ("understitch before tack", ("understitch-late",), ""),
    22: ("placket before cuff", ("placket-late",), "a check of its own knows the slit's edge"),
    23: ("flat method", ("sleeve-flat",), "a choice: only much ease speaks against it"),
    24: ("round method", ("sleeve-flat",), ""),
    25: ("ease rows before setting in", ("ease-late", "ease-rows"), ""),
    26: ("sleeve seam before cuff", ("ring-open", "band-early"), ""),
    27: ("bodice and skirt before the waist join", ("ring-open", "band-early"), ""),
    28: ("waist seam before its zip", ("zip-late",), "a check of its own"),
    29: ("fitting before permanent seams", ("fitting",), ""),
    30: ("shell and lining before felling", ("lining",), ""),
    31: ("hang before hem", ("hang", "hang-late", "hang-early"), ""),
    32: ("seams before the hem they reach", ("hem-early", "hang-early"), ""),
    33: ("level before finishing the hem", ("level",), ""),
    34: ("holes before buttons", ("button-early", "loop-late", "buttons-early"), ""),
    35: ("interfacing under a buttonhole", ("hole-thin",), "a check of its own"),
    36: ("casing before elastic", ("elastic-gap",), "one step does both, in this order"),
    37: ("try-on before the gap is closed", ("elastic-gap",), "one step does both, in this order"),
    38: ("tacking out before the last press", ("press-last",), ""),
    39: ("all before the last press", ("press-last",), ""),
    40: ("neaten before crossing", ("finish-late",), ""),
}  # fmt: skip
# Hard in the list; soft here, because the other order can be sewn: each exception is what `although:` answers.
SOFT_HERE = {
    4: "marks can be carried over later",
    30: "a lining's side may be sewn after felling, through what is felled",
    32: "vents, sleeves hemmed flat",
    34: "buttons can be moved",
    35: "stiff cloth carries a hole",
}


def test_every_number_is_in_the_data_or_has_its_reason() -> None:
    assert list(TABLE) == list(range(1, 41))
    for number, (what, ids, reason) in TABLE.items():
        kept = [BY_ID[i] for i in ids]  # every id is a rule
        assert what and kept
        assert [i for i in ids if number not in BY_ID[i].numbers] == [], number
        # A rule without an order of acts names what keeps it, and the table says why.
        assert reason or any(rule.first for rule in kept), number
    in_data = {(n, rule.id) for rule in RULES for n in rule.numbers}
    assert in_data == {(n, i) for n, (_, ids, _) in TABLE.items() for i in ids}


def test_hard_are_only_rules_whose_other_order_cannot_be_sewn() -> None:
    """Those the list marks H and its notes make soft are soft; every soft rule can be answered."""
    for number in SOFT_HERE:
        assert any(not r.hard for r in RULES if number in r.numbers), number
    for rule in RULES:
        assert not (rule.hard and rule.unless), rule.id


# ---------------------------------------------------------------- hang and level (31, 33)

HEM = "  - hem: {run: 'ring(front.hem, back.hem.right, back.hem.left)', kind: single}\n"
HANG = "  - hang: ['ring(front.hem, back.hem.right, back.hem.left)']\n    id: hang\n"
BIAS = ("    title: Front\n", "    title: Front\n    grain: bias\n")


def bias(before: str = "", after: str = "") -> Changes:
    tail = "  - press: {all: true}\n"
    return {
        "draft": [BIAS, ("    title: Back\n", "    title: Back\n    grain: bias\n")],
        "sewing": [(HEM, before + HEM), (tail, after + tail)],
    }


def test_a_hem_on_the_bias_hangs_first(tmp_path: Path) -> None:
    (told,) = [p for p in problems(tmp_path, "aline", bias()) if p.severity != "note"]
    assert (told.code, told.severity) == ("hang", "warning")
    assert "of its length" in told.what and "`hang: [" in told.mend
    assert codes(tmp_path, "aline", bias(before=HANG)) == []
    assert "error level" in codes(tmp_path, "aline", bias(after=HANG))


def test_a_hem_on_the_straight_grain_need_not_hang(tmp_path: Path) -> None:
    assert codes(tmp_path, "aline", {"sewing": [(HEM, HANG + HEM)]}) == []
    # Before the side seams are sewn it hangs otherwise.
    early = {
        "sewing": [
            (
                "  - part: Side seams\n",
                HANG.replace("  - hang", "  - part: Hang\n    hang") + "  - part: Side seams\n",
            )
        ]
    }
    assert "warning hang-early" in codes(tmp_path, "aline", early) or "error" in str(
        codes(tmp_path, "aline", early)
    )


@pytest.mark.parametrize(("units", "allow"), [("cm", "Cut 40 mm below"), ("in", "below that line")])
def test_the_words_of_hanging(tmp_path: Path, units: str, allow: str) -> None:
    step = words(made(tmp_path, "aline", bias(before=HANG), units), "hang", units)
    text = said(step)
    assert "for 24 hours" in text and "From the floor measure up" in text and "all round" in text
    assert allow in text
    assert step.stitching == ()


@pytest.mark.parametrize("units", ["cm", "in"])
def test_the_picture_of_hanging_can_be_read(tmp_path: Path, units: str) -> None:
    (drawing,), left = drawn(made(tmp_path, "aline", bias(before=HANG), units), "hang", units)
    assert left == () and [f.what for f in judge(drawing)] == []


# ---------------------------------------------------------------- fittings (29)


def test_a_fitting_comes_before_the_seams_that_it_is_for(tmp_path: Path) -> None:
    fit = "  - try on: {look at: [waist], before: [sides]}\n    id: fitting\n"
    side = "  - part: Side seams\n"
    good = {"sewing": [(side, fit.replace("  - try", "  - part: Fitting\n    try") + side)]}
    assert codes(tmp_path, "aline", good) == []
    assert "Baste the side seams on the stitch lines" in said(words(made(tmp_path, "aline", good), "fitting"))
    late = {"sewing": [(HEM, fit + HEM)]}
    assert codes(tmp_path, "aline", late) == ["warning fitting"]


def test_a_last_try_on_of_a_finished_garment_does_not_send_back_to_its_seams(tmp_path: Path) -> None:
    text = said(words(made(tmp_path, "skirt", {}), "try-on"))
    assert "Sew it now" not in text and "Everything is sewn by now" in text
    assert "Sew it now, before the hem" in said(words(made(tmp_path, "aline", {}), "try-on"))


# ---------------------------------------------------------------- linings (30), bindings, collars


def test_a_lining_is_whole_before_it_is_felled(tmp_path: Path) -> None:
    text = "  - fell: {run: inner_stand.neck, to: neck}\n    id: neck-inside\n"
    early = {
        "sewing": [
            (text, ""),
            (
                "  - part: Collar\n",
                text.replace("  - fell", "  - part: Early\n    fell") + "  - part: Collar\n",
            ),
        ]
    }
    assert "warning lining" in codes(tmp_path, "blouse", early)


def test_a_binding_comes_after_the_hems_at_its_ends(tmp_path: Path) -> None:
    hem = "  - hem: {run: apron.bib_top, kind: double}\n    id: hem-bib\n"
    late = {
        "sewing": [
            ("  - part: Hems\n    hem: {run: apron.bib_top, kind: double}\n    id: hem-bib\n", ""),
            ("  - part: Finish\n", "  - part: Late\n" + hem.replace("  - hem", "    hem") + "  - part: Finish\n"),
        ]
    }  # fmt: skip
    (told,) = [p for p in problems(tmp_path, "apron", late, ties="bound") if p.code == "bind-early"]
    assert told.severity == "warning" and "apron.underarm is bound before step 'hem-bib'" in told.what


def test_a_collar_without_interfacing_is_soft(tmp_path: Path) -> None:
    fuse = ("fuse: [stand, collar, cuff]", "fuse: [stand, cuff]")
    told = codes(tmp_path, "blouse", {"sewing": [fuse], "draft": bare_collar()})
    assert told == ["warning collar-soft"]


def bare_collar() -> list[tuple[str, str]]:
    from helpers.steps import ROOT

    text = (ROOT / "styles" / "blouse" / "draft.yaml").read_text(encoding="utf-8")
    piece = text[text.index("\n  collar:\n") + 1 : text.index("\n  under_collar:\n")]
    lines = [ln for ln in piece.splitlines(keepends=True) if "cut:" in ln or "interfacing" in ln]
    return [(piece, "".join(_plain(ln) for ln in piece.splitlines(keepends=True)))] if lines else []


def _plain(line: str) -> str:
    return (
        "    cut: [{cloth: main, as: whole on fold}]\n"
        if "cut:" in line
        else ""
        if "cloth: interfacing" in line
        else line
    )


# ---------------------------------------------------------------- what is caught, promised and turned


def test_what_is_caught_is_no_longer_than_its_edge(tmp_path: Path) -> None:
    beyond = "beyond: 'cuff.upper[lap..button_end]'"
    change = {"sewing": [(beyond, f"{beyond}, catch: [back.hem]")]}
    found = [p for p in problems(tmp_path, "blouse", change) if p.code == "catch-long"]
    assert len(found) == 1 and found[0].severity == "error"
    assert "back.hem, which is caught between" in found[0].what


@pytest.mark.parametrize(("promise", "code"), [("front.shoulder: pressed", ""), ("cuff.upper: pressed", "")])
def test_a_promise_to_press_is_kept_by_the_seam_itself(tmp_path: Path, promise: str, code: str) -> None:
    change = {"style": [("openings:\n", f"ends:\n  {promise}\nopenings:\n")]}
    assert codes(tmp_path, "top", change) == ([code] if code else [])


def test_a_seam_left_unpressed_breaks_that_promise(tmp_path: Path) -> None:
    change = {"style": [("openings:\n", "ends:\n  front.centre: pressed\nopenings:\n")]}
    assert "error end-unmet" in codes(tmp_path, "trousers", change)


def test_hanging_is_an_act_of_the_edge(tmp_path: Path) -> None:
    what = made(tmp_path, "aline", bias(before=HANG))
    acts = [a for a in acts_done(what.seams, what.copies) if a.name == "hang"]
    assert acts and all(a.spots for a in acts)


# ---------------------------------------------------------------- corners

V_NECK = {"draft": [("      neckline: {curve: [pit, back.neck], leave: across, arrive: square to back.shoulder}",
                     "      neckline: {straight: [pit, back.neck]}")]}  # fmt: skip


def test_the_point_of_a_v_neckline_is_stitched_across_and_clipped(tmp_path: Path) -> None:
    plain = made(tmp_path, "top", {})
    assert "corner" not in said(words(plain, "face-neck"))
    what = made(tmp_path, "top", V_NECK)
    (seam,) = (s for s in what.seams.seams if s.step == "face-neck")
    (corner,) = corners_of(seam.a, {c.id: c for c in what.copies})
    assert corner.inward and corner.copy.startswith("front") and corner.turn < -40
    text = said(words(what, "face-neck"))
    assert "take one stitch straight across it" in text
    assert "Clip both allowances into the inward corner, to 1 mm from the stitching" in text


def test_a_corner_that_goes_in_is_spread_to_be_bound(tmp_path: Path) -> None:
    """The apron's underarm with a corner in place of its curve."""
    line = "      underarm: {curve: [bib_corner, bend, side_top], leave: down, arrive: across}"
    bent = "      underarm: {straight: [bib_corner, bend]}\n      underarm_low: {straight: [bend, side_top]}"
    outline = "outline: [apron.bib_top, apron.underarm, apron.side"
    whole = "outline: [apron.bib_top, {underarm: [apron.underarm, apron.underarm_low]}, apron.side"
    assert "corner" not in said(words(made(tmp_path, "apron", {}, ties="bound"), "bind"))
    what = made(tmp_path, "apron", {"draft": [(line, bent), (outline, whole)]}, ties="bound")
    text = said(words(what, "bind"))
    assert "At the inward corner sew a row of short stitches" in text and "slanting pleat" in text


def test_a_corner_that_goes_in_must_be_clipped(tmp_path: Path) -> None:
    unclipped = {**V_NECK, "sewing": [("then: [trim, clip, press]", "then: [trim, press]")]}
    assert "warning corner-unclipped" in codes(tmp_path, "top", unclipped)
    assert "warning corner-unclipped" not in codes(tmp_path, "top", V_NECK)
