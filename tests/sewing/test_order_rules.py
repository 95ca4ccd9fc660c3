"""The rules of order as data: each number of the workroom's list once kept, each sentence whole, `although:` an answer."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.steps import ROOT

from booklet.job import check_style
from booklet.problems import Fault, Problem
from booklet.reading.read import read_body, read_style
from booklet.sewing.check_order import SCOPES
from booklet.sewing.rules import BY_ID, RULES, SOFT


def test_every_number_of_the_list_is_kept_by_a_rule() -> None:
    assert sorted({n for rule in RULES for n in rule.numbers}) == list(range(1, 41))


def test_every_rule_is_whole() -> None:
    assert len(BY_ID) == len(RULES)
    for rule in RULES:
        assert rule.reason and not rule.reason.endswith(".")
        assert bool(rule.first) == bool(rule.then) == bool(rule.what) == bool(rule.mend), rule.id
        assert bool(rule.first) != bool(rule.told_by), rule.id
        assert rule.scope in SCOPES and (rule.hard or rule.unless)


def problems(
    folder: Path, style: str, changes: dict[str, list[tuple[str, str]]], **options: str
) -> tuple[Problem, ...]:
    for name in ("style", "draft", "sewing"):
        text = (ROOT / "styles" / style / f"{name}.yaml").read_text(encoding="utf-8")
        for old, new in changes.get(name, ()):
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    body = read_body(read_style(ROOT / "styles" / style).base)
    try:
        return check_style(read_style(folder), body, options).problems
    except Fault as fault:
        return fault.problems


PRESSED = ("  - hem: {run: 'ring(front.hem, back.hem)', kind: double}\n", "  - press: {all: true}\n    id: first-press\n"
           "  - hem: {run: 'ring(front.hem, back.hem)', kind: double}\n")  # fmt: skip


def answered(words: str) -> list[tuple[str, str]]:
    return [(PRESSED[0], PRESSED[1].replace("id: first-press\n", f"id: first-press\n{words}"))]


def test_a_soft_rule_is_a_warning_that_although_makes_a_note(tmp_path: Path) -> None:
    (told,) = problems(tmp_path, "trousers", {"sewing": [PRESSED]})
    assert (told.code, told.severity) == ("press-last", "warning")
    assert "before step 'hems' is sewn: what is sewn afterwards is left unpressed" in told.sentence()
    for words in (
        "    although: the hem is steamed by itself\n",
        "    although: {press-last: the hem is steamed by itself}\n",
    ):
        (told,) = problems(tmp_path, "trousers", {"sewing": answered(words)})
        assert (told.code, told.severity) == ("press-last", "note")
        assert "although: the hem is steamed by itself" in told.sentence()


def test_although_answers_no_hard_rule_and_no_other(tmp_path: Path) -> None:
    told = problems(tmp_path, "trousers", {"sewing": answered("    although: {hem-early: it is flat}\n")})
    assert [(p.code, p.severity) for p in told] == [("press-last", "warning")]
    told = problems(tmp_path, "trousers", {"sewing": answered("    although: {dart-late: no time}\n")})
    assert ("unknown-rule", "error") in [(p.code, p.severity) for p in told]
    assert "dart-late" not in SOFT


@pytest.mark.parametrize(
    ("promise", "code"),
    [("front.neckline: understitched", ""), ("front.hem: hemmed", ""), ("front.hem: topstitched", "end-unmet"),
     ("front.heem: hemmed", "unknown-edge"), ("front.side: bound", "end-unmet")],
)  # fmt: skip
def test_a_promised_end_is_held_against_the_steps(tmp_path: Path, promise: str, code: str) -> None:
    told = problems(tmp_path, "top", {"style": [("openings:\n", f"ends:\n  {promise}\nopenings:\n")]})
    assert [p.code for p in told] == ([code] if code else [])


def test_a_line_that_bends_at_a_seam_is_told_with_its_angle(tmp_path: Path) -> None:
    bent = ("hem: {curve: [hem_side, hem_centre], leave: square to side_lower, arrive: in}",
            "hem: {curve: [hem_side, hem_centre], leave: in, arrive: in}")  # fmt: skip
    told = problems(tmp_path, "skirt", {"draft": [bent]})
    assert {p.code for p in told} == {"run-on"}
    # The back's side leans 4 cm over its length below the hip: its hem leaves it by that angle off the square.
    assert "a corner that stands out of" in told[0].what or "a dent of" in told[0].what


LAST = "  - press: {all: true}"


@pytest.mark.parametrize(
    ("style", "file", "old", "new", "code", "words"),
    [
        ("top", "sewing", LAST, f"  - mark: [front]\n{LAST}", "mark-late", "front is marked after"),
        (
            "top",
            "sewing",
            LAST,
            f"  - finish: [front.neckline]\n{LAST}",
            "enclosed",
            "'face-neck' has enclosed it",
        ),
        (
            "top",
            "sewing",
            "then: [trim, clip, press]",
            "then: [trim, clip, tack]",
            "understitch-late",
            "'face-neck'",
        ),
        ("trousers", "sewing", "stretch: 70 %", "stretch: 0 %", "elastic-stiff", "does not stretch"),
        ("trousers", "sewing", "less: 8 %", "less: 0 %", "", ""),
        ("top", "sewing", "loop: {of: main,", "loop: {of: mian,", "unknown-cloth", "no cloth 'mian'"),
    ],
)
def test_a_rule_speaks(
    tmp_path: Path, style: str, file: str, old: str, new: str, code: str, words: str
) -> None:
    options = {"neck": "slit"} if style == "top" else {}
    told = [p for p in problems(tmp_path, style, {file: [(old, new)]}, **options) if p.severity != "note"]
    mine = [p for p in told if p.code == code]
    assert bool(mine) == bool(code), told
    assert all(words in p.what for p in mine) and (code or not told)


def test_much_ease_is_set_in_the_round(tmp_path: Path) -> None:
    more = {
        "draft": [("ease: {front: 0.4, back: 0.6}", "ease: {front: 0.8, back: 1}")],
        "sewing": [("ease: 10 mm", "ease: 18 mm")],
    }
    told = problems(tmp_path, "blouse", more)
    assert [p.code for p in told if p.severity != "note"] == ["sleeve-flat"]


def test_the_soft_rules_that_can_be_answered_are_listed_for_those_who_write_styles() -> None:
    words = (ROOT / "styles" / "README.md").read_text(encoding="utf-8")
    told = [r.id for r in RULES if not r.hard and not r.told_by.startswith(("words", "cutting"))]
    assert [r for r in told if f"`{r}`" not in words] == []
