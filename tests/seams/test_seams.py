"""The recipe walked over the copies: which way runs are walked, what meets what, and what is told where it does not."""

from __future__ import annotations

import cmath
import math

import pytest
from helpers.drafts import (
    MIDDLING,
    SEAMED,
    STYLES,
    Drafted,
    case_name,
    cases,
    draft_sources,
    inline_draft,
    middling,
    sources,
)

from booklet.model import Copy, Part, Seam
from booklet.paths import Placement
from booklet.problems import Collector
from booklet.reading.yaml_source import parse_yaml
from booklet.seams.compare import Tolerances
from booklet.seams.table import SeamTable, build_seam_table, recipe_steps


def sew(made: Drafted, steps: str) -> tuple[SeamTable, list[str]]:
    """Another recipe for pieces that are drafted already, and what is said of it."""
    collector = Collector()
    parsed = recipe_steps(parse_yaml("steps:\n" + steps, "sewing.yaml"), made.table, collector)
    table = build_seam_table(parsed, made.copies, made.table, {"join": {}}, Tolerances(), collector)
    return table, [f"{p.severity}: {p.sentence()}" for p in collector.problems]


def respelt(style: str, old: str, new: str, file: str = "draft.yaml", **options: str) -> Drafted:
    """The style with one change in draft.yaml or sewing.yaml, seams worked out."""
    text = (STYLES / style / file).read_text(encoding="utf-8")
    assert old in text
    source = parse_yaml(text.replace(old, new, 1), file)
    style_file, draft, sewing = sources(style)
    made = draft_sources(
        style_file,
        source if file == "draft.yaml" else draft,
        source if file == "sewing.yaml" else sewing,
        MIDDLING,
        options,
    )
    _ = made.seams
    return made


def seam(made: Drafted, name: str) -> Seam:
    """The seam of that id, or the only one of that step."""
    step = next((s for s in made.seams.seams if s.id == name), None)
    return step or next(s for s in made.seams.seams if s.step == name)


def walked(made: Drafted, part: Part) -> tuple[complex, complex, complex]:
    """Start, end and starting direction of a part as it is walked, on its copy."""
    path = made.by_id[part.copy].by_name[part.edge].edge.path
    path = path.part(min(part.start, part.end), max(part.start, part.end))
    if part.backwards:
        path = path.reversed()
    return path.start, path.end, path.start_tangent


def with_cloth_on_its_right(made: Drafted, part: Part) -> bool:
    """Whether the copy's cloth lies on the right hand of one who walks the part (seen on the right side)."""
    copy = made.by_id[part.copy]
    forward = not part.backwards
    return forward == (copy.sign > 0)


# ------------------------------------------------------------------ walking


@pytest.mark.parametrize(("style", "options"), cases(SEAMED), ids=case_name)
def test_two_runs_are_walked_against_each_other(style: str, options: tuple[tuple[str, str], ...]) -> None:
    """Sewn right sides together, one cloth lies to the right of the way and the other to its left, all along."""
    made = middling(style, *options)
    checked = 0
    for s in made.seams.seams:
        if s.b is None:
            continue
        hands_a = {with_cloth_on_its_right(made, p) for p in s.a.parts}
        hands_b = {with_cloth_on_its_right(made, p) for p in s.b.parts}
        assert len(hands_a) == len(hands_b) == 1
        assert hands_a != hands_b
        checked += 1
    assert checked >= 7


def test_shoulders_begin_at_one_neck_point_and_end_at_one_tip() -> None:
    made = middling("top")
    for side in ("left", "right"):
        s = seam(made, f"shoulders.{side}")
        assert s.b is not None
        for run in (s.a, s.b):
            (part,) = run.parts
            copy = made.by_id[part.copy]
            start, end, _ = walked(made, part)
            neck = copy.by_name["neckline"].edge.path
            ends = (
                abs(start - neck.start),
                abs(start - neck.end),
                abs(end - neck.start),
                abs(end - neck.end),
            )
            assert min(ends) < 1e-6
        begins_at_neck = [
            min(abs(walked(made, r.parts[0])[0] - z) for z in _ends(made.by_id[r.parts[0].copy], "neckline"))
            < 1e-6
            for r in (s.a, s.b)
        ]
        assert begins_at_neck[0] == begins_at_neck[1]


def _ends(copy: Copy, edge: str) -> tuple[complex, complex]:
    path = copy.by_name[edge].edge.path
    return path.start, path.end


@pytest.mark.parametrize("side", ["left", "right"])
def test_the_sleeve_is_walked_with_its_armhole(side: str) -> None:
    """Notch to notch: the head's front notch meets the front armhole's, its top the shoulder seam."""
    made = middling("top")
    s = seam(made, f"set-sleeves.{side}")
    names = [q.start for q in s.sections] + [s.sections[-1].end]
    way = ["start", "front_notch", "top", "back_notch", "end"]
    assert names in (way, ["start", "back_notch", "top", "front_notch", "end"])
    for q in s.sections:
        if "top" not in (q.start, q.end):
            assert q.a_mm == pytest.approx(q.b_mm, abs=0.1)
            assert q.wanted is None
    assert {p.copy for p in s.a.parts} == {f"sleeve.{side}"}
    assert [made.by_id[p.copy].by_name[p.edge].side for p in s.b.parts] == [side, side]  # type: ignore[union-attr]


def test_both_sides_of_a_doubled_seam_are_alike() -> None:
    made = middling("top")
    for step in ("shoulders", "set-sleeves", "side-and-sleeve"):
        left, right = seam(made, f"{step}.left"), seam(made, f"{step}.right")
        assert left.a_mm == pytest.approx(right.a_mm, abs=1e-6)
        assert left.b_mm == pytest.approx(right.b_mm, abs=1e-6)
        assert sorted(round(q.a_mm, 3) for q in left.sections) == sorted(
            round(q.a_mm, 3) for q in right.sections
        )


@pytest.mark.parametrize(("style", "options"), cases(SEAMED), ids=case_name)
def test_every_seam_can_be_laid_edge_to_edge(style: str, options: tuple[tuple[str, str], ...]) -> None:
    """A seam of two equal, single edges: laid right sides up and edge to edge, without turning either over, the two
    cloths lie on the two sides of the line."""
    made = middling(style, *options)
    checked = 0
    for s in made.seams.seams:
        if s.b is None or len(s.a.parts) != 1 or len(s.b.parts) != 1 or s.kind != "join":
            continue
        a0, a1, _ = walked(made, s.a.parts[0])
        b0, b1, _ = walked(made, s.b.parts[0])
        turn = (a1 - a0) / (b1 - b0)
        laid = Placement(turn / abs(turn), a0 - turn / abs(turn) * b0)
        one, other = made.by_id[s.a.parts[0].copy], made.by_id[s.b.parts[0].copy]
        middle_a = _inside(one, s.a.parts[0])
        middle_b = laid.apply(_inside(other, s.b.parts[0]))
        way = a1 - a0
        assert ((middle_a - a0) / way).imag * ((middle_b - a0) / way).imag < 0
        checked += 1
    assert checked >= 2


def _inside(copy: Copy, part: Part) -> complex:
    """A point 2 mm inside the cloth, off the middle of the part."""
    path = copy.by_name[part.edge].edge.path
    s = (part.start + part.end) / 2
    return path.point(s) + path.tangent(s) * 2j * copy.sign


# ------------------------------------------------------------------ rings and chains


FACE = (
    "  - face: {edge: 'ring(front.neckline, back.neckline)', "
    "with: 'ring(front_neck_facing.neckline, back_neck_facing.neckline)'}\n"
)
SHOULDERS = "  - join: [front.shoulder, back.shoulder]\n"
FACING_SHOULDERS = "  - join: [front_neck_facing.shoulder, back_neck_facing.shoulder]\n"


def test_a_ring_still_open_is_told_at_the_step_that_needs_it() -> None:
    made = middling("top")
    assert sew(made, SHOULDERS + FACING_SHOULDERS + FACE)[1] == []
    for steps, line, words in (
        (SHOULDERS + FACE, 3, "front_neck_facing.neckline and back_neck_facing.neckline do not meet"),
        (FACING_SHOULDERS + FACE, 3, "front.neckline and back.neckline do not meet"),
        (FACE, 2, "do not meet"),
    ):
        _, said = sew(made, steps)
        assert len(said) == 1
        assert said[0].startswith(f"error: sewing.yaml:{line}:")
        assert words in said[0]
        assert "earlier step" in said[0]


def test_a_ring_joined_on_one_side_only_is_told_as_open() -> None:
    made = middling("top")
    one_side = "  - join: [front.shoulder.left, back.shoulder.left]\n"
    _, said = sew(made, one_side + FACING_SHOULDERS + FACE)
    assert len(said) == 1
    assert "ring" in said[0]
    assert "closed" in said[0]


def test_a_closed_neck_is_a_ring() -> None:
    made = middling("top")
    s = seam(made, "face-neck")
    assert s.a.closed
    assert s.b is not None
    assert s.b.closed
    assert s.difference == pytest.approx(0, abs=0.01)
    assert s.derived


def test_a_chain_not_joined_yet_is_told() -> None:
    made = middling("top")
    _, said = sew(made, "  - join: [sleeve.head, 'chain(front.armhole, back.armhole)']\n")
    assert any("front.armhole and back.armhole do not meet" in x and x.startswith("error") for x in said)


def test_a_chain_written_out_of_order_is_told() -> None:
    made = middling("skirt")
    sides = "  - join: [back.side.left, left_front.side]\n  - join: [right_front.side, back.side.right]\n"
    _, said = sew(made, sides + "  - hem: {run: 'chain(right_front.hem, left_front.hem, back.hem)'}\n")
    assert any("do not meet" in x or "one direction" in x for x in said)
    assert sew(made, sides + "  - hem: {run: 'chain(left_front.hem, back.hem, right_front.hem)'}\n")[1] == []


# ------------------------------------------------------------------ sections


UNLIKE = """
units: cm
pieces:
  long_panel:
    number: 1
    rectangle: {long: 30, wide: 20}
    edges: [top, right, foot, left]
    drawn for: left
    cut: [{cloth: main, count: 1, as: single, side: left}]
    allow: {other: 1}
  short_panel:
    number: 2
    rectangle: {long: 18, wide: 20}
    edges: [top, right, foot, left]
    drawn for: right
    cut: [{cloth: main, count: 1, as: single, side: right}]
    allow: {other: 1}
  band:
    number: 3
    drawn for: whole
    rectangle: {long: 48, wide: 4}
    edges: [inner, right_end, lower, left_end]
    match: {along: lower, from: END, to: [long_panel.top, short_panel.top]}
    cut: [{cloth: main, count: 1, as: single, side: whole}]
    allow: {other: 1}
"""


@pytest.mark.parametrize(("end", "fits"), [("left_end", True), ("right_end", False)])
def test_a_mirrored_band_is_found_out_by_its_notches(end: str, fits: bool) -> None:
    """A band over a long and a short panel carries a notch where they meet; made the other way round it is 12 cm off."""
    made = inline_draft(UNLIKE.replace("END", end))
    assert made.errors == ()
    steps = "  - join: [long_panel.right, short_panel.left]\n  - join: ['chain(long_panel.top, short_panel.top)', band.lower]\n"
    _, said = sew(made, steps)
    if fits:
        assert said == []
    else:
        assert any(x.startswith("error") and "120.0 mm" in x for x in said)


def test_the_band_is_sewn_in_sections_with_both_side_seams_and_the_centre_between() -> None:
    made = middling("skirt")
    s = seam(made, "band")
    assert [q.start for q in s.sections][1:] != []
    names = {q.start for q in s.sections} | {q.end for q in s.sections}
    assert {"left_front_end", "back_end", "centre"} <= names
    assert sum(q.a_mm for q in s.sections) == pytest.approx(s.a_mm)
    for q in s.sections:
        assert q.a_mm == pytest.approx(q.b_mm, abs=0.1)


@pytest.mark.parametrize("by", [5.0, -5.0])
def test_five_millimetres_in_one_section_are_told(by: float) -> None:
    """The side seams of the top are equal in all; a notch moved on one of them parts them in its sections."""
    old = "  side_notch: {on: [front.side, back.side], from: under, at: 7, notch: single}\n"
    new = (
        "  side_notch: {on: front.side, from: under, at: 7, notch: single}\n"
        f"  back_side_notch: {{on: back.side, from: under, at: 7 + {by} mm, notch: single}}\n"
    ).replace("+ -", "- ")
    made = respelt("top", old, new)
    told = [p for p in made.problems if p.code == "seam-length"]
    assert len(told) >= 2
    assert all(p.severity == "error" for p in told)
    assert all("5.0 mm too" in p.what for p in told)
    assert all("from " in p.what and " to " in p.what for p in told)
    assert {("too long" in p.what) for p in told} == {True, False}
    assert all(p.where is not None and p.where.file.endswith("sewing.yaml") for p in told)


@pytest.mark.parametrize(("by", "severity"), [(1.0, None), (2.0, "warning"), (3.5, "error")])
def test_the_table_of_verdicts(by: float, severity: str | None) -> None:
    """Up to 1.5 mm equal, up to 3 mm a warning, more an error (TRADE.md 4.6)."""
    old = "  side_notch: {on: [front.side, back.side], from: under, at: 7, notch: single}\n"
    new = (
        "  side_notch: {on: front.side, from: under, at: 7, notch: single}\n"
        f"  back_side_notch: {{on: back.side, from: under, at: 7 + {by} mm, notch: single}}\n"
    )
    told = [p.severity for p in respelt("top", old, new).problems if p.code == "seam-length"]
    assert set(told) == ({severity} if severity else set())


# ------------------------------------------------------------------ gathers and ease


@pytest.mark.parametrize("side", ["left", "right"])
def test_the_head_is_drawn_up_by_the_fullness(side: str) -> None:
    made = middling("top")
    s = seam(made, f"set-sleeves.{side}")
    values = made.draft.values
    wanted = values["fullness"] + values["front_ease"] + values["back_ease"]
    assert s.treatment == "gathers"
    assert s.difference == pytest.approx(wanted, abs=0.1)
    assert sum(q.wanted or 0 for q in s.sections) == pytest.approx(wanted, abs=1e-6)
    drawn = [d for d in made.seams.drawn if d.copy == f"sleeve.{side}" and d.edge == "head"]
    (gathers,) = drawn
    head = made.by_id[f"sleeve.{side}"].by_name["head"].edge
    marks = {m.name: m.at for m in head.marks}
    assert (gathers.low, gathers.high) == pytest.approx(sorted((marks["front_notch"], marks["back_notch"])))


def test_a_head_not_drawn_up_is_told_with_how_much_it_is_too_long() -> None:
    made = middling("top")
    _, said = sew(made, SHOULDERS + "  - join: [sleeve.head, 'chain(front.armhole, back.armhole)']\n")
    assert any(x.startswith("error") and "too long" in x for x in said)


def test_gathers_by_a_wrong_amount_are_told() -> None:
    made = middling("top")
    steps = (
        SHOULDERS
        + "  - gather: {run: 'sleeve.head[back_notch..front_notch]', by: fullness + front_ease + back_ease + 4 mm}\n"
        "  - join: [sleeve.head, 'chain(front.armhole, back.armhole)']\n"
    )
    _, said = sew(made, steps)
    assert any("4.0 mm too short" in x for x in said)


def test_a_run_cannot_be_gathered_to_more_than_it_has() -> None:
    made = middling("top")
    _, said = sew(made, "  - gather: {run: sleeve.lower, to: length of sleeve.lower + 3 cm}\n")
    assert any("too short to be gathered" in x for x in said)


@pytest.mark.parametrize(("ease", "told"), [("8 mm", False), ("5 mm", True), ("-8 mm", True)])
def test_declared_ease_must_come_out(ease: str, told: bool) -> None:
    """Within 1.5 mm of what is declared (DESIGN 6)."""
    text = UNLIKE.replace("END", "left_end").replace("long: 18, wide: 20", "long: 18, wide: 20.8")
    made = inline_draft(text)
    table, said = sew(made, f"  - join: [short_panel.left, long_panel.right]\n    ease: {ease}\n")
    assert any(x.startswith("error") for x in said) == told
    assert table.seams[0].treatment == "ease"
    assert table.seams[0].difference == pytest.approx(8.0, abs=1e-6)


# ------------------------------------------------------------------ gaps, allowances, names


def test_a_gap_left_open_lies_between_its_marks() -> None:
    made = middling("skirt")
    s = seam(made, "right-side")
    (gap,) = [q for q in s.sections if q.open]
    assert {gap.start, gap.end} == {"tie_gap_top", "tie_gap_foot"}
    assert gap.a_mm == pytest.approx(40, abs=0.01)  # from 1.5 to 5.5 cm below the waist
    assert gap.b_mm == pytest.approx(40, abs=0.01)
    assert not any(q.open for q in seam(made, "left-side").sections)


def test_a_gap_between_marks_that_are_not_on_the_seam_is_told() -> None:
    made = middling("skirt")
    step = "  - join: [back.side.left, left_front.side]\n    leave open: [tie_gap_top..tie_gap_foot]\n"
    _, said = sew(made, step)
    assert any("tie_gap_top" in x and "not both on the seam" in x for x in said)


def test_unlike_allowances_on_a_plain_seam_are_told() -> None:
    made = respelt("top", "armhole: 3/8, other: 1/2", "armhole: 3/8, shoulder: 5/8, other: 1/2")
    told = [p for p in made.problems if p.code == "allowances"]
    assert told
    assert all(p.severity == "error" for p in told)
    assert "15.9 mm" in told[0].what
    assert "12.7 mm" in told[0].what


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("  - join: [front.shuolder, back.shoulder]\n", "Did you mean 'shoulder'"),
        ("  - join: [fornt.shoulder, back.shoulder]\n", "Did you mean 'front'"),
        ("  - join: [front.centre, back.centre]\n", "is the fold"),
        ("  - join: [front shoulder, back.shoulder]\n", "is not a run"),
        ("  - staystitch: ['front.armhole[front_notch..bakc_notch]']\n", "no mark 'bakc_notch'"),
        ("  - join: [front.shoulder]\n", "names two runs"),
        ("  - joyn: [front.shoulder, back.shoulder]\n", "Did you mean 'join'"),
    ],
)
def test_a_wrong_name_is_told_with_file_line_and_the_nearest(step: str, words: str) -> None:
    _, said = sew(middling("top"), step)
    assert len(said) >= 1
    assert said[0].startswith("error: sewing.yaml:2:")
    assert words in said[0]


@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
def test_sections_add_up_and_every_part_lies_on_its_edge(
    style: str, options: tuple[tuple[str, str], ...]
) -> None:
    made = middling(style, *options)
    ids = [s.id for s in made.seams.seams]
    assert len(ids) == len(set(ids))
    for s in made.seams.seams:
        assert sum(q.a_mm for q in s.sections) == pytest.approx(s.a_mm, abs=1e-6)
        if s.b is not None:
            assert sum(q.b_mm or 0 for q in s.sections) == pytest.approx(s.b_mm, abs=1e-6)
        for part in (*s.a.parts, *(s.b.parts if s.b else ())):
            size = made.by_id[part.copy].by_name[part.edge].edge.length
            assert 0 <= min(part.start, part.end) < max(part.start, part.end) <= size + 1e-9


@pytest.mark.parametrize(("style", "options"), cases(SEAMED), ids=case_name)
def test_neighbours_run_on_across_a_seam(style: str, options: tuple[tuple[str, str], ...]) -> None:
    """Hems and necklines run on within 3 degrees across the seams that cross them (DESIGN 6)."""
    made = middling(style, *options)
    pairs = {
        "top": [("shoulders.left", "neckline", "neckline"), ("side-and-sleeve.left", "hem", "hem")],
        "skirt": [("left-side", "hem", "hem"), ("left-side", "waist", "waist"), ("right-side", "hem", "hem")],
        "aline": [("sides.left", "hem", "hem"), ("sides.right", "waist", "waist")],
    }[style]
    for name, edge_a, edge_b in pairs:
        s = seam(made, name)
        assert s.b is not None
        part_a, part_b = s.a.parts[0], s.b.parts[0]
        bends = []
        for part, crossing in ((part_a, edge_a), (part_b, edge_b)):
            copy = made.by_id[part.copy]
            path = copy.by_name[part.edge].edge.path
            for half in copy.edges:
                if half.base != crossing:
                    continue
                other = half.edge.path
                for z, away in ((other.start, other.start_tangent), (other.end, -other.end_tangent)):
                    for corner, along in ((path.start, path.start_tangent), (path.end, -path.end_tangent)):
                        if abs(z - corner) < 1e-6:
                            bends.append(abs(math.degrees(cmath.phase(away / along))))
        assert len(bends) == 2
        assert sum(bends) == pytest.approx(180, abs=3)
