"""Zips: their two edges, what is told of them, the order in which they are set in, what is bought, what they let pass."""

from __future__ import annotations

from dataclasses import replace

import pytest
from helpers.drafts import MIDDLING, STYLES, Drafted, draft_sources, middling, sources
from helpers.step_words import by_id, shop, style_words, words_of
from helpers.steps import demo_body, prepared, style

from booklet.cloth.notions import work_out_notions
from booklet.drafting.finished import opening_measures
from booklet.problems import Collector
from booklet.reading.yaml_source import parse_yaml
from booklet.seams.runs import foot_names
from booklet.sewing.checks import check_recipe
from booklet.sewing.operations.fell import CLEAR
from booklet.sewing.operations.zip import HIDDEN, UNDER_IN, UNDER_OUT, fitted

INCH = 25.4
KINDS = ("centred", "lapped", "concealed")


def told(old: str = "", new: str = "", file: str = "sewing.yaml", kind: str = "centred") -> list[str]:
    """What the checks say of the A-line skirt with one change in a file: 'severity code: sentence'."""
    made = changed(old, new, file, kind)
    collector = Collector()
    check_recipe(made.seams, made.copies, made.style.data, collector)
    return [f"{p.severity} {p.code}: {p.what}" for p in (*made.problems, *collector.problems)]


def changed(old: str, new: str, file: str, kind: str = "centred") -> Drafted:
    text = (STYLES / "aline" / file).read_text(encoding="utf-8")
    assert old in text
    files = dict(zip(("style.yaml", "draft.yaml", "sewing.yaml"), sources("aline"), strict=True))
    files[file] = parse_yaml(text.replace(old, new, 1), file)
    made = draft_sources(*files.values(), MIDDLING, {"zip": kind})
    _ = made.seams
    return made


# ---------------------------------------------------------------- runs and lengths


@pytest.mark.parametrize("kind", KINDS)
def test_zip_and_seam_below_share_the_edge_without_a_gap(kind: str) -> None:
    made = middling("aline", ("zip", kind))
    (zipped,) = [s for s in made.seams.seams if s.kind == "zip"]
    (below,) = [s for s in made.seams.seams if s.step.startswith("centre-back")]
    edge = made.draft.pieces["back"].edge("centre")
    assert edge is not None
    for seam in (zipped, below):
        assert seam.b_mm == pytest.approx(seam.a_mm, abs=1e-9)
    assert zipped.a_mm + below.a_mm == pytest.approx(edge.length, abs=1e-6)
    assert zipped.a_mm == pytest.approx(made.table.value("zip_open"), abs=1e-6)


def test_a_stretch_may_end_at_the_neighbouring_edge() -> None:
    """[waist..zip_end] and [zip_end..hem] are the two parts of the centre, whichever way round they are written."""
    made = changed("back.centre.left[waist..zip_end]", "back.centre.left[zip_end..waist]", "sewing.yaml")
    assert made.errors == ()
    (zipped,) = [s for s in made.seams.seams if s.kind == "zip"]
    assert zipped.a_mm == pytest.approx(made.table.value("zip_open"), abs=1e-6)
    wrong = changed("back.centre.left[waist..zip_end]", "back.centre.left[side..zip_end]", "sewing.yaml")
    assert any("no mark 'side'" in e for e in wrong.errors)


def test_a_zip_keeps_its_ends_apart_and_the_seam_below_closes_the_hem() -> None:
    """The waist is a chain that does not come round; the hem is a ring once the seam below is sewn."""
    made = middling("aline")
    face = next(s for s in made.seams.seams if s.kind == "face")
    hem = next(s for s in made.seams.seams if s.kind == "hem")
    assert not face.a.closed and hem.a.closed
    open_hem = told("[zip_end..hem]', 'back.centre.right[zip_end..hem]']\n    id: centre-back\n", "[waist..zip_end]', "
                    "'back.centre.right[waist..zip_end]']\n    id: centre-back\n")  # fmt: skip
    assert any("do not meet" in t or "not-joined" in t or "ring-open" in t for t in open_hem)


def test_the_zip_is_named_by_the_mark_at_its_foot() -> None:
    made = middling("aline")
    (zipped,) = [s for s in made.seams.seams if s.kind == "zip"]
    assert foot_names(zipped, made.by_id) == ("back.zip_end",)


# ---------------------------------------------------------------- words


def test_words_of_a_centred_zip() -> None:
    words = by_id(style_words("aline", ("zip", "centred")))["zip-centred"]
    said = " ".join(words.paragraphs)
    assert words.facts["long"] == pytest.approx(words.facts["opening"] - words.facts["stop"])
    assert "**180\u00a0mm** between its stops" in said
    assert "its top stop **6\u00a0mm** below the waist's stitch line" in said
    assert "from the cross to the waist, **186\u00a0mm**" in said
    assert "**3\u00a0mm** below the cross, clear of the bottom stop, and sew **6\u00a0mm** across" in said
    assert "left back" in str(words.facts["over"])
    assert "Neaten" not in said  # a step of its own has done that


def test_words_of_a_lapped_zip() -> None:
    words = by_id(style_words("aline", ("zip", "lapped")))["zip-lapped"]
    said = " ".join(words.paragraphs)
    assert "that of the right back on a line **3\u00a0mm** outside it" in said
    assert "sew **2\u00a0mm** from the fold" in said
    assert "sew **12\u00a0mm** across" in said
    assert (words.facts["under_out"], words.facts["under_in"]) == (UNDER_OUT, UNDER_IN)


def test_words_of_a_concealed_zip() -> None:
    words = by_id(style_words("aline", ("zip", "concealed")))["zip-concealed"]
    said = " ".join(words.paragraphs)
    assert "The zip must reach 30\u00a0mm at the least below it" in said
    assert "from the waist to the cross" in said and "the next seam runs beside it" in said


def test_the_facing_ends_lie_clear_of_the_teeth() -> None:
    made = middling("aline")
    words = by_id(style_words("aline"))["facing-ends"]
    end = made.draft.pieces["back_facing"].edge("centre")
    assert end is not None
    assert words.facts["turn"] == pytest.approx(end.allow + CLEAR)
    assert words.facts["length"] == pytest.approx(end.length)
    assert words.facts["count"] == 2


def test_the_facing_ends_are_turned_in_before_the_waist_is_sewn() -> None:
    """What a later step sews to the zip is folded first: no stitch of the waist lies in what is turned in."""
    steps = by_id(style_words("aline"))
    face, felled = steps["face-waist"], steps["facing-ends"]
    seam = next(s for s in middling("aline").seams.seams if s.id == "face-waist")
    assert face.paragraphs[0].startswith("Open the zip. First turn **16\u00a0mm** of each end")
    assert face.facts["length"] == pytest.approx(seam.a_mm - 2 * CLEAR)
    assert steps["understitch-waist"].facts["length"] == pytest.approx(seam.a_mm - 2 * CLEAR)
    assert "from end to end" not in " ".join(face.paragraphs)
    assert not any("16\u00a0mm" in p for p in felled.paragraphs)
    assert "waist's allowance, 6\u00a0mm wide" in felled.paragraphs[0]
    assert face.facts["zip_ends"] == 2 and by_id(style_words("top"))["face-neck"].facts["zip_ends"] == 0


def test_the_hook_stands_an_eighth_of_an_inch_back() -> None:
    """Source: Association of Sewing and Design Professionals, Standards of Quality, page 25: 1/8 in."""
    facts = by_id(style_words("aline"))["hook"].facts
    assert facts["back"] == pytest.approx(INCH / 8, abs=0.2)
    assert by_id(style_words("aline", ("zip", "lapped")))["hook-bar"].facts["lapped"]


@pytest.mark.parametrize(("kind", "across"), [("centred", 18.0), ("lapped", 15.0), ("concealed", 0.0)])
def test_what_is_sewn_is_both_sides_and_across_the_foot(kind: str, across: float) -> None:
    words = by_id(style_words("aline", ("zip", kind)))[f"zip-{kind}"]
    row = next(s for s in words.stitching if s.what == "zip")
    assert row.mm == pytest.approx(2 * words.facts["opening"] + across)


def test_edges_neatened_before_are_not_neatened_again() -> None:
    steps = by_id(style_words("aline"))
    assert "Neaten" not in " ".join(steps["centre-back"].paragraphs)
    assert not any(s.what == "neatening" for s in steps["centre-back"].stitching)
    assert "Neaten each allowance on its own" in " ".join(steps["sides"].paragraphs)


# ---------------------------------------------------------------- checks


@pytest.mark.parametrize("kind", KINDS)
def test_the_recipe_as_it_stands_has_no_remark(kind: str) -> None:
    assert told(kind=kind) == []


ZIP = "  - zip: {edges: ['back.centre.left[waist..zip_end]', 'back.centre.right[waist..zip_end]'], kind: centred}\n"
ZIP += "    id: zip-centred\n    when: {zip: centred}\n"
FELL = "  - fell: {run: back_facing.centre, to: back.zip_end}\n    id: facing-ends\n"


def test_a_zip_after_the_facing_is_too_late() -> None:
    text = (STYLES / "aline" / "sewing.yaml").read_text(encoding="utf-8")
    late = text.replace(ZIP, "", 1).replace(FELL, ZIP + FELL, 1)
    found = told(text, late)
    assert [t for t in found if t.startswith("error")] == [
        "error zip-late: the zip is set in after step 'face-waist' has closed its top: the tape's ends cannot be covered"
    ]


@pytest.mark.parametrize(
    ("kind", "words"),
    [("concealed", "centred zip is set in before"), ("centred", "concealed zip is set in after")],
)
def test_each_kind_has_its_order_with_the_seam_below(kind: str, words: str) -> None:
    """A concealed zip is set in first, the others into a seam sewn up to the mark."""
    other = "concealed" if kind == "centred" else "centred"
    found = told(f"kind: {kind}}}", f"kind: {other}}}", kind=kind)
    assert [t.split(":")[0] for t in found] == ["warning zip-order"]
    assert words in found[0]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (FELL, "", "edge-left: back_facing.centre"),
        ("hook: {at: back.zip_end, with: eye}", "hook: {at: back.zip, with: eye}", "no zip 'back.zip'"),
        ("to: back.zip_end}", "to: zip_foot}", "no zip or step 'zip_foot'"),
        ("'back.centre.left[waist..zip_end]', 'back.centre.right[waist..zip_end]'", "back.centre.left, back.centre.right",
         "zip-foot"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told(old: str, new: str, words: str) -> None:
    assert any(words in t for t in told(old, new)), told(old, new)


# ---------------------------------------------------------------- what it lets pass, what is bought


def passing(zip_open: str) -> tuple[float, float, list[str]]:
    """The waist as it opens, the ring alone and what is said, for a zip of a given opening."""
    made = changed("zip_open: zip_long + 0.6", f"zip_open: {zip_open}", "draft.yaml")
    collector = Collector()
    (waist,) = opening_measures(made.style, made.draft, made.table, made.maker, {}, collector)
    flat = made.maker.shape_length(made.table, "ring(front.waist, back.waist, back.waist)") or 0.0
    return waist.garment_mm, flat, [p.what for p in collector.problems]


def test_a_zip_opens_to_twice_its_length() -> None:
    size, flat, said = passing("18")
    assert size == pytest.approx(flat + 2 * 180.0, abs=1e-6) and said == []


def test_a_zip_too_short_for_the_hip_is_an_error() -> None:
    """Hip less waist and 2 in is what has to open (here: 5 cm)."""
    size, flat, said = passing("11")
    assert size == pytest.approx(flat + 220.0, abs=1e-6)
    assert len(said) == 1 and "hip girth is 990 mm" in said[0]


def test_a_zip_of_seven_inches_passes_a_hip_of_forty_over_a_waist_of_28() -> None:
    """(40 - 28 + 2) / 2 = 7 in. Source: the rule in Threads magazine, fitting trousers, readers' question on fly zips."""
    body = {**MIDDLING, "hip_girth": 40 * INCH, "waist_girth": 28 * INCH}
    made = draft_sources(*sources("aline"), body)
    assert float(made.table.value("zip_needed")) <= 7 * INCH
    assert float(made.table.value("zip_needed")) > 6 * INCH
    assert made.openings and made.errors == ()


def test_an_unknown_foot_of_the_opening_is_told() -> None:
    made = changed("zip: back.zip_end, passes", "zip: back.zipend, passes", "style.yaml")
    collector = Collector()
    opening_measures(made.style, made.draft, made.table, made.maker, {}, collector)
    assert [p.code for p in collector.problems] == ["zip-foot"]


@pytest.mark.parametrize(
    ("kind", "units", "printed"),
    [
        ("centred", "cm", "1, 18\u00a0cm"),
        ("lapped", "cm", "1, 18\u00a0cm"),
        ("concealed", "cm", "1, 22\u00a0cm"),  # 180 + 30, and the next length sold
        ("centred", "in", "1, 7\u00a0in"),  # 7 in is 177.8 mm, within what two lengths may differ
    ],
)
def test_the_zip_to_buy_is_a_length_that_is_sold(kind: str, units: str, printed: str) -> None:
    files = style("aline")
    made = prepared(files, demo_body(), {"zip": kind}, units)
    found = work_out_notions(files.sources["style"], made, (), made.shop, units)  # type: ignore[arg-type]
    (bought,) = [n for n in found if n.name.endswith("zip")]
    assert bought.printed == printed
    assert bought.name == ("concealed skirt zip" if kind == "concealed" else "skirt zip")


def test_a_length_that_is_not_sold_is_shortened_from_the_next() -> None:
    files = style("aline")
    made = prepared(files, demo_body(), {"zip": "centred"})
    few = replace(made, shop=replace(made.shop, zip_sizes={"cm": (150.0, 250.0), "in": (254.0,)}))
    found = work_out_notions(files.sources["style"], few, (), few.shop, "cm")
    (bought,) = [n for n in found if n.name.endswith("zip")]
    assert bought.printed == "1, 25\u00a0cm" and bought.working.endswith("shortened to 180\u00a0mm")


def test_a_concealed_zip_reaches_below_its_opening() -> None:
    made = middling("aline", ("zip", "concealed"))
    step = next(s for s in made.seams.steps if s.verb == "zip")
    fit = fitted(step, made.seams.of_step(step.id)[0], shop())
    assert fit.least == pytest.approx(fit.opening - shop().zip["stop"] + HIDDEN)


def test_a_zip_in_the_side_seam_joins_two_pieces() -> None:
    """From the waist to the hip's notch in the left side; the front laps over the back, both by their own names."""
    recipe = """steps:
  - join: ['front.side.left[hip_notch..hem]', 'back.side.left[hip_notch..hem]']
  - zip: {edges: ['front.side.left[waist..hip_notch]', 'back.side.left[waist..hip_notch]'], kind: lapped}
    id: side-zip
"""
    style_file, draft, _ = sources("aline")
    made = draft_sources(style_file, draft, parse_yaml(recipe, "sewing.yaml"), MIDDLING)
    words = by_id(words_of(made))["side-zip"]
    assert made.errors == ()
    (zipped,) = [s for s in made.seams.seams if s.kind == "zip"]
    assert zipped.side == "left" and zipped.b_mm == pytest.approx(zipped.a_mm, abs=0.5)
    said = " ".join(words.paragraphs)
    assert "Lay the fold of the front on the stitch line of the back" in said
    assert "Neaten each edge of the opening on its own" in said
    assert foot_names(zipped, made.by_id) == ("front.hip_notch", "back.hip_notch")
