"""Cutting chart, piece labels, lay plans and facts say one thing of every copy: cloth, count, fold, face and side.

What each should say is worked out here from the cut rules and from how the plies lie on the recommended lay.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

import pypdfium2
import pytest

from booklet.facts import job_facts
from booklet.model import CutRule, Job, LayPlan, Placing
from booklet.pages.sheet_piece import sheet_pieces

FACES = {("up", False): "right side up", ("down", False): "wrong side up",
         ("up", True): "glue side down", ("down", True): "glue side up"}  # fmt: skip


def lay_of(job: Job, cloth: str) -> LayPlan:
    """The recommended lay of the chosen width, which stands first."""
    need = next(c for c in job.size.cloths if c.key == cloth)
    (lay,) = [p for p in need.lays if p.recommended and p.width_mm == need.lays[0].width_mm]
    return lay


def lies(job: Job, piece: str, rule: CutRule) -> list[tuple[Placing, str]]:
    """Where the plies of a rule lie: (placing, copy)."""
    mine = {c.id for c in job.size.copies if c.piece.key == piece and c.rule == rule}
    return [(p, copy) for p in lay_of(job, rule.cloth).placings for copy in p.copies if copy in mine]


def expected_words(rule: CutRule, on_fold: bool) -> str:
    """The chart's words, by the issue of the cutting chart: '1 pair', '2 same way', '1 whole on fold' ..."""
    if rule.how == "pair":
        pairs = rule.count // 2
        return f"{pairs} pair" + ("s" if pairs > 1 else "")
    text = str(rule.count)
    if rule.how == "whole on fold":
        text += " whole on fold" if on_fold else " whole"
    elif rule.how == "same" and rule.count > 1:
        text += " same way"
    if rule.face != "either":
        text += " " + FACES[rule.face, rule.fused]
    if rule.how in ("single", "same") and rule.side != "whole":
        text += f", wearer's {rule.side}"
    return text


@pytest.fixture(params=["top-a4", "skirt-a4", "top-sides", "skirt-sides"])
def told(request: pytest.FixtureRequest, booklets: dict[str, Any]) -> tuple[Any, dict[str, Any]]:
    booklet = booklets[request.param]
    return booklet, job_facts(booklet.job, booklet.pages)["sizes"][0]


def rules(job: Job) -> list[tuple[Any, CutRule]]:
    found = [(cut, rule) for cut in job.size.cut_pieces for rule in cut.piece.cuts]
    assert len(found) > 4
    return found


def test_lays_hold_every_copy_once_as_its_rule_says(told: tuple[Any, dict[str, Any]]) -> None:
    job = told[0].job
    for cut, rule in rules(job):
        name, put = cut.piece.key, lies(job, cut.piece.key, rule)
        assert len({copy for _, copy in put}) == len(put) == rule.count, name
        sides = Counter(job.size.copy_by_id[copy].side for _, copy in put)
        if rule.how == "pair":
            assert sides == {"left": rule.count // 2, "right": rule.count // 2}, name
        elif rule.how == "single":
            assert sides == {rule.side: rule.count}, name
        for placing, copy in put:
            assert job.size.copy_by_id[copy].face == rule.face
            if placing.on_fold:
                assert cut.piece.half and rule.how == "whole on fold", name
            if rule.face != "either":
                assert lay_of(job, rule.cloth).kind == "open", f"{name}: folded cloth shows two faces"
                # Wrong side up, it is the cloth that lies turned over: the paper never does.
                assert not placing.mirrored, name
        if rule.how == "pair" and lay_of(job, rule.cloth).kind == "open":
            assert Counter(p.mirrored for p, _ in put) == {True: rule.count // 2, False: rule.count // 2}, (
                name
            )
        if rule.how == "same":
            assert len({p.mirrored for p, _ in put}) == 1, name


def test_facts_say_what_lies_on_the_lays(told: tuple[Any, dict[str, Any]]) -> None:
    booklet, facts = told
    job, by_name = booklet.job, {p["name"]: p for p in facts["pieces"]}
    for cut, rule in rules(job):
        fact = by_name[cut.piece.key]
        (line,) = [c for c in fact["cut"] if c["cloth"] == rule.cloth and c["fused"] == rule.fused
                   and c["side"] == rule.side and c["face"] == rule.face]  # fmt: skip
        put = lies(job, cut.piece.key, rule)
        on_fold = {p.on_fold for p, _ in put}
        assert on_fold == {line["on_fold"]}
        assert (line["count"], line["as"]) == (len(put), rule.how)
        assert line["words"] == expected_words(rule, line["on_fold"])
        copies = {c["id"]: c for c in fact["copies"]}
        for placing, copy in put:
            said, ply = copies[copy], job.size.copy_by_id[copy]
            assert (said["on_fold"], said["face"], said["side"], said["cloth"], said["fused"]) == (
                placing.on_fold, ply.face, ply.side, rule.cloth, rule.fused)  # fmt: skip
    assert sum(len(p["copies"]) for p in facts["pieces"]) == len(job.size.copies)
    for row in facts["cloths"]:
        if row["recommended"] and row["width_mm"] == next(
            round(c.lays[0].width_mm, 2) for c in job.size.cloths if c.key == row["cloth"]
        ):
            lay = lay_of(job, row["cloth"])
            assert [(p["number"], p["on_fold"], p["mirrored"], p["copies"]) for p in row["placements"]] == [
                (job.size.cut_piece(p.piece).piece.number, p.on_fold, p.mirrored, list(p.copies))
                for p in lay.placings
            ]


def test_labels_and_fold_words_say_the_same(told: tuple[Any, dict[str, Any]]) -> None:
    booklet, facts = told
    job = booklet.job
    titles = {c.key: c.title for c in job.size.cloths}
    for piece, fact in zip(sheet_pieces(job), facts["pieces"], strict=True):
        assert (piece.number, piece.title) == (str(fact["number"]), fact["title"])
        label = " ".join(piece.lines).replace("\u00a0", " ")
        for line in fact["cut"]:
            assert f"{titles[line['cloth']]}: {line['words']}" in label
        notes = [n.text for n in piece.edge_notes]
        bracketed = any("fold of the cloth" in n or "place on fold" in n or "on the fold" in n for n in notes)
        assert bracketed == fact["laid_on_fold"] == any(line["on_fold"] for line in fact["cut"]), notes


def test_the_printed_chart_and_labels_carry_these_words(told: tuple[Any, dict[str, Any]]) -> None:
    booklet, facts = told
    texts = page_texts(booklet.file)
    first = booklet.pages.first_tile - 1
    with booklet.pdf.open_outline() as outline:
        titles = [item.title for item in outline.root]
    assert "What to cut" in titles
    chart = " ".join(t for t in texts[:first] if "What to cut" in t)
    tiles = " ".join(texts[first:])
    for piece in facts["pieces"]:
        assert piece["title"] in chart and piece["title"] in tiles
        for line in piece["cut"]:
            assert line["words"] in chart and line["words"] in tiles, (piece["name"], line["words"])


def page_texts(file: Any) -> list[str]:
    document = pypdfium2.PdfDocument(file)
    try:
        said = []
        for page in document:
            text = page.get_textpage().get_text_range()
            said.append(" ".join(text.replace("\u00a0", " ").split()))
        return said
    finally:
        document.close()
