"""Instructions for a screen and as plain text: valid, whole, with the printed booklet's own figures."""

from __future__ import annotations

import re
from dataclasses import replace

import html5lib
import pytest
from helpers import all_styles

from booklet.drawing.display import Drawing, Text
from booklet.model import Job
from booklet.pages.instruction_parts import Part, Table
from booklet.pages.instructions import instructions
from booklet.pages.picture_words import labels_of
from booklet.pages.picture_words import told as picture_told
from booklet.pages.words import words_for
from booklet.printing.hypertext import TEXT_WIDE, html_bytes, text_bytes


@pytest.fixture(
    scope="module",
    params=[
        pytest.param(s, marks=pytest.mark.more if s in ("aline", "skirt") else ()) for s in all_styles.STYLES
    ],
)
def job(request: pytest.FixtureRequest) -> Job:
    style = request.param
    return all_styles.job(style, all_styles.options_of(style)[0], all_styles.own_unit(style))


def both_of(job: Job) -> tuple[str, str]:
    """The page for a screen and the plain text."""
    text = instructions(job, words_for(job.language, job.wording))
    return html_bytes(text).decode("utf-8"), text_bytes(text).decode("utf-8")


@pytest.fixture(scope="module")
def told(job: Job) -> tuple[str, str]:
    return both_of(job)


def test_both_hold_every_step_with_its_own_figures(job: Job, told: tuple[str, str]) -> None:
    """html5lib reads by the rules of the HTML standard and, strict, refuses whatever they call a parse error."""
    page, plain = told
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    body = " ".join("".join(tree.find("body").itertext()).split())
    flat = " ".join(plain.split())
    for step in job.steps:
        for text in (step.title, *step.text, step.check, step.note):
            words = " ".join(text.replace("**", "").split())
            assert words in body, f"step {step.number}"
            assert words in flat, f"step {step.number}"
    for cloth in job.size.notions:
        assert " ".join(cloth.printed.split()) in body
    alts = [image.get("alt") for image in tree.iter("img")]
    drawn = [p for s in job.steps for p in s.pictures if isinstance(p.drawing, Drawing)]
    assert len(alts) == len(drawn) + len(job.views)
    assert all(alts), "every picture is told in words"
    ticks = [box.get("aria-label") for box in tree.iter("input")]
    assert ticks == [s.title for s in job.steps]
    links = [a.get("href") for a in tree.iter("a")]
    ids = {e.get("id") for e in tree.iter() if e.get("id")}
    assert links and all(link[1:] in ids for link in links)


def test_plain_text_keeps_its_width_and_has_no_marks_left(told: tuple[str, str]) -> None:
    page, plain = told
    assert all(len(line) <= TEXT_WIDE for line in plain.splitlines())
    assert "**" not in plain and "**" not in re.sub(r"base64,[\w+/=]+", "", page)
    assert "http" not in re.sub(r"base64,[\w+/=]+", "", page), "nothing is fetched"


def test_what_is_alike_for_several_sizes_is_said_once() -> None:
    rows = (("elastic", "0.5 m", "0.5 m", "0.6 m"), ("thread", "1 spool", "1 spool", "1 spool"))
    table = Table(("notion", "92", "98", "104"), rows, (1, 2, 3), sizes=True)
    job = all_styles.job("apron", all_styles.options_of("apron")[0], "cm")
    text = replace(instructions(job, words_for("en")), parts=(Part("Notions", table=table),))
    page, plain = html_bytes(text).decode("utf-8"), text_bytes(text).decode("utf-8")
    assert "- elastic; 92 to 98: 0.5 m; 104: 0.6 m" in plain and "- thread; 1 spool" in plain
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    cells = [["".join(c.itertext()) for c in row] for row in tree.iter("tr")]
    assert cells[1:] == [["elastic", "0.5 m", "0.5 m", "0.6 m"], ["thread", "1 spool"]]
    assert [c.get("colspan") for c in tree.iter("td") if c.get("colspan")] == ["3"]


def test_a_label_of_several_lines_is_read_as_one() -> None:
    line = Text(10.0, 20.0, "point, 135 mm", 7.0)
    below = replace(line, y=23.0, text="from the stitch line")
    other = replace(line, y=40.0, text="front")
    drawing = Drawing(50.0, 50.0, (line, below, other, replace(other, x=30.0, y=43.0, text="wrong side up")))
    assert labels_of(drawing) == ["point, 135 mm from the stitch line", "front", "wrong side up"]


def test_pictures_are_told_without_broken_labels(job: Job) -> None:
    for step in job.steps:
        for picture in step.pictures:
            assert ",;" not in picture_told(step, picture)


def test_signs_that_html_means_are_escaped() -> None:
    job = all_styles.job("apron", all_styles.options_of("apron")[0], "cm")
    odd = replace(job, style=replace(job.style, title='<Apron> & "bib"'))
    page, plain = both_of(odd)
    assert "&lt;Apron&gt; &amp; " in page and "<Apron>" not in page
    assert '<Apron> & "bib"' in plain
