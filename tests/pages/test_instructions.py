"""Instructions for a screen and as plain text: valid, whole, with the printed booklet's own figures."""

from __future__ import annotations

import re
from dataclasses import replace

import html5lib
import pytest
from helpers import all_styles

from booklet.drawing.display import Drawing
from booklet.model import Job
from booklet.pages.instructions import instructions
from booklet.pages.words import words_for
from booklet.printing.hypertext import TEXT_WIDE, html_bytes, text_bytes


@pytest.fixture(scope="module", params=all_styles.STYLES)
def job(request: pytest.FixtureRequest) -> Job:
    style = request.param
    return all_styles.job(style, all_styles.options_of(style)[0], all_styles.own_unit(style))


def told(job: Job) -> tuple[str, str]:
    text = instructions(job, words_for(job.language, job.wording))
    return html_bytes(text).decode("utf-8"), text_bytes(text).decode("utf-8")


def test_both_hold_every_step_with_its_own_figures(job: Job) -> None:
    """html5lib reads by the rules of the HTML standard and, strict, refuses whatever they call a parse error."""
    page, plain = told(job)
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


def test_plain_text_keeps_its_width_and_has_no_marks_left(job: Job) -> None:
    page, plain = told(job)
    assert all(len(line) <= TEXT_WIDE for line in plain.splitlines())
    assert "**" not in plain and "**" not in re.sub(r"base64,[\w+/=]+", "", page)
    assert "http" not in re.sub(r"base64,[\w+/=]+", "", page), "nothing is fetched"


def test_signs_that_html_means_are_escaped() -> None:
    job = all_styles.job("apron", all_styles.options_of("apron")[0], "cm")
    odd = replace(job, style=replace(job.style, title='<Apron> & "bib"'))
    page, plain = told(odd)
    assert "&lt;Apron&gt; &amp; " in page and "<Apron>" not in page
    assert '<Apron> & "bib"' in plain
