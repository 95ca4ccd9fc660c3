"""Every length in the printed steps, read back from the finished PDF's text, against what was measured and worked out.

A figure must be one of its own step's facts, a habit of the workroom or what its picture measures, to the rounding of
print: half a millimetre, or 1/32 in. And the lengths of the seam table without which a step cannot be sewn must be there.
All styles, both unit systems; pages with pictures, whose measures are read too, for each style's first options, words
alone for the others. The facts themselves are worked out a second time in tests/sewing.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

import pypdfium2
import pytest
from helpers.all_styles import (
    BASE,
    CASES,
    UNITS,
    Options,
    case_name,
    checked,
    job,
    options_of,
    own_unit,
    pages,
)

from booklet.drawing.page import PageSpec
from booklet.model import Copy, Seam
from booklet.pages.spec import framed
from booklet.pages.steps import step_leaves
from booklet.pages.words import words_for
from booklet.printing.pdf import pdf_bytes
from booklet.reading.shop import Shop
from booklet.sewing.words import StepWords

POINTS = 72 / 25.4
INCH = 25.4
# 12, 12.5, 5/8, 1 5/8 and their unit, on one line; a number that only ends in such a figure is none.
FIGURE = re.compile(r"(?<![\d./])(?:(\d+)[ \u00a0])??(\d+(?:\.\d+|/\d+)?)[ \u00a0](mm|cm|m|in|yd)\b")
FOOT = 18.0  # mm at the page's foot that belong to no step


# ---------------------------------------------------------------- reading back


def told_steps(specs: Sequence[PageSpec]) -> dict[int, str]:
    """The text of each step as the printed file gives it, by its number."""
    file = pdf_bytes(specs, title="t", author="a", subject="s", language="en")
    out: dict[int, str] = {}
    document = pypdfium2.PdfDocument(file)
    try:
        for spec, page in zip(specs, document, strict=True):
            steps = [b for b in spec.bookmarks if b.level == 1]
            tops = [*(b.y for b in steps), spec.drawing.height - FOOT]
            text = page.get_textpage()
            for mark, top, foot in zip(steps, tops, tops[1:], strict=False):
                high, low = ((spec.drawing.height - y) * POINTS for y in (top, foot))
                number, _, _ = mark.title.partition(" ")
                out[int(number)] = text.get_text_bounded(left=0, bottom=low, right=9999, top=high)
    finally:
        document.close()
    return out


def lengths_in(text: str) -> Iterator[tuple[str, float, float]]:
    """(as printed, mm, half the rounding in mm) of each figure."""
    for whole, number, unit in FIGURE.findall(text):
        value = Fraction(whole or 0) + Fraction(number)
        printed = f"{whole} {number} {unit}".strip()
        if unit == "in":
            yield printed, float(value) * INCH, INCH / 32
        elif unit in ("mm", "cm"):
            yield (
                printed,
                float(value) * (10 if unit == "cm" else 1),
                0.05 if "." in number and unit == "mm" else 0.5,
            )
        else:
            yield printed, float("nan"), 0.0  # cloth is not bought within a step


def near(printed: float, half: float, known: Iterable[float]) -> bool:
    return any(abs(printed - x) <= half + 1e-6 for x in known)


# ---------------------------------------------------------------- what may stand there


def floats(value: object) -> Iterator[float]:
    """Every length in a step's facts, however deep."""
    if isinstance(value, float):
        yield value
    elif isinstance(value, int) and not isinstance(value, bool):
        yield float(value)
    elif isinstance(value, Mapping):
        yield from (x for v in value.values() for x in floats(v))
    elif isinstance(value, (tuple, list)):
        yield from (x for v in value for x in floats(v))


def habits(shop: Shop) -> list[float]:
    return [*shop.trim.values(), *shop.stitch.values(), shop.equal]


def picture_lengths(words: StepWords, seams: Sequence[Seam], copies: Sequence[Copy]) -> list[float]:
    """What a picture measures and its words do not: how far off its edge a dart's point lies, ..."""
    if words.verb == "casing":
        return [s.allow_a for s in seams]  # all that is turned up
    if words.verb == "dart":
        return [abs((d.first + d.second) / 2 - d.point) for c in copies for d in c.darts]
    if words.verb == "pleat":
        return [p.deep for c in copies for p in c.pleats]
    if words.verb == "buttons":
        return [b.far - a.far for c in copies for a, b in itertools.pairwise(c.buttons)]
    return []


def known_of(words: StepWords, seams: Sequence[Seam], copies: Sequence[Copy], shop: Shop) -> list[float]:
    return [*floats(words.facts), *habits(shop), *picture_lengths(words, seams, copies)]


# ---------------------------------------------------------------- what must stand there


def asked_for(words: StepWords, seams: Sequence[Seam]) -> list[tuple[str, float]]:
    """Lengths without which the step cannot be sewn or checked, straight from the seam table."""
    if not seams:
        return []
    seam = seams[0]
    sewn = min(seam.a_mm, seam.b_mm) if seam.b_mm else seam.a_mm
    if words.verb in ("join", "band", "face"):
        return [("allowance", seam.allow_a)] + [("length", sewn)] * (words.verb == "join")
    if words.verb == "hem":
        turned = seam.allow_a / 2 if seam.neaten in ("double", "narrow") else seam.allow_a
        return [("depth", turned)]
    return []


# ---------------------------------------------------------------- the checks


def word_pages(style: str, options: Options, units: str) -> tuple[PageSpec, ...]:
    """The pages of steps without pictures, for options whose pictures are judged elsewhere."""
    base = job(style, options_of(style)[0], units)
    model, told = base.steps[0], checked(style, options, units).words
    steps = [
        replace(model, number=w.number, id=w.id, operation=w.verb, title=w.title, part=w.part, text=w.paragraphs,
                check=w.check, minutes=w.minutes, note=w.note, pictures=())
        for w in told
    ]  # fmt: skip
    made, words = replace(base, steps=tuple(steps)), words_for(base.language)
    leaves = step_leaves(made, words)
    return tuple(framed(leaf, made, words, n, len(leaves)) for n, leaf in enumerate(leaves, 1))


# Every option in the style's own unit, the first in both; the further cases take all in both.
IN_UNITS = [
    pytest.param(s, o, u, marks=() if u == own_unit(s) or (s, o) in BASE else pytest.mark.more)
    for s, o in CASES
    for u in UNITS
]


@pytest.mark.parametrize(("style", "options", "units"), IN_UNITS, ids=case_name)
def test_every_printed_length_is_its_steps_own(style: str, options: tuple, units: str) -> None:
    with_pictures = (style, options) in BASE
    specs = pages(style, options, units) if with_pictures else word_pages(style, options, units)
    texts = told_steps(specs)
    made = checked(style, options, units)
    assert sorted(texts) == [w.number for w in made.words]
    wrong, count = [], 0
    for words in made.words:
        seams = [s for s in made.prepared.seams.seams if s.step == words.id]
        known = known_of(words, seams, made.prepared.copies, made.prepared.shop)
        found = list(lengths_in(texts[words.number]))
        count += len(found)
        wrong += [f"{words.id}: {printed}" for printed, mm, half in found if not near(mm, half, known)]
        for what, length in asked_for(words, seams):
            if not any(near(mm, half, [length]) for _, mm, half in found):
                wrong.append(f"{words.id}: its {what} of {length:.2f} mm is not told")
        said = set(re.sub(r"\s+", " ", texts[words.number]).split())
        assert {"mm", "cm"} & said == set() or units == "cm" or machine_only(words), words.id
    assert wrong == []
    assert count > 2 * len(made.words)


def machine_only(words: StepWords) -> bool:
    """Stitch lengths and buttons are told in millimetres everywhere, as machines and buttons are marked."""
    return words.verb in (
        "gather",
        "baste",
        "placket",
        "buttons",
        "pleat",
        "topstitch",
        "edgestitch",
        "button",
    )


# ---------------------------------------------------------------- the checks can fail


def test_figures_are_read_with_their_fractions_and_units() -> None:
    text = "from 3 1/8\u00a0in to 12\u00a05/16 in, 104.5\u00a0cm, (2) 15 mm; 11.5 mm across.\r\n4\r\n5 min and 8 in one"
    found = {printed: mm for printed, mm, _ in lengths_in(text)}
    wanted = {
        "3 1/8 in": 79.375,
        "12 5/16 in": 312.7375,
        "104.5 cm": 1045,
        "15 mm": 15,
        "11.5 mm": 11.5,
        "8 in": 203.2,
    }
    assert found == pytest.approx(wanted)


def test_a_length_off_by_more_than_its_rounding_is_found() -> None:
    assert near(95.0, 0.5, [94.5]) and not near(95.0, 0.5, [94.4])
    assert near(3.75 * INCH, INCH / 32, [95.9]) and not near(3.75 * INCH, INCH / 32, [96.1])


def test_a_wrong_figure_on_the_page_is_reported() -> None:
    """One step's allowance, printed 2 mm too wide, is no length of that step."""
    style, options = next(c for c in BASE if c[0] == "skirt")
    made = checked(style, options, "cm")
    words = next(w for w in made.words if w.id == "left-side")
    seams = [s for s in made.prepared.seams.seams if s.step == words.id]
    known = known_of(words, seams, made.prepared.copies, made.prepared.shop)
    assert near(15.0, 0.5, known) and not near(17.0, 0.5, known)
