"""Several sizes of a style: what must be alike, problems told once, and the shipped tables clean."""

from __future__ import annotations

from dataclasses import replace

import pytest
from helpers.steps import ROOT

from booklet.cloth.coarse import coarse
from booklet.cloth.pieces import LayPiece
from booklet.inputs import one_size, read_inputs
from booklet.job import check_style, make_job
from booklet.model import CutPiece, Job
from booklet.prepare import Prepared
from booklet.problems import Fault, Problem, Where
from booklet.reading.read import read_style
from booklet.reading.sizes import read_sizes
from booklet.sizes import told_once, unlike_sizes
from booklet.stacking import place_at

AT = Where("styles/x/draft.yaml", 7)


def prepared(style: str, size: str, **options: str) -> Prepared:
    table = read_sizes(ROOT / "styles" / style)
    return check_style(
        read_style(ROOT / "styles" / style), table.bodies[table.names.index(size)], options
    ).prepared


def job_of(style: str, sizes: str) -> Job:
    table = read_sizes(ROOT / "styles" / style).chosen(sizes)
    return make_job(read_style(ROOT / "styles" / style), table.bodies, base=table.base, evaluations=0)


# ---------------------------------------------------------------- alike


def test_sizes_of_one_style_are_alike() -> None:
    assert unlike_sizes(("34", "48"), [prepared("aline", "34"), prepared("aline", "48")], 0) == ()


def test_other_pieces_are_an_error_that_names_the_size() -> None:
    cuff, elastic = prepared("top", "36", sleeve_end="cuff"), prepared("top", "38", sleeve_end="elastic")
    (problem,) = unlike_sizes(("36", "38"), [cuff, elastic], 0)
    assert problem.severity == "error"
    assert problem.what == "size 38 lacks the piece cuff, which size 36 has"
    (other,) = unlike_sizes(("36", "38"), [cuff, elastic], 1)
    assert other.what == "size 36 has the piece cuff, which size 38 has not"


def test_another_slit_step_or_seam_is_an_error() -> None:
    base = prepared("aline", "36")
    seams = base.seams
    one = seams.seams[0]
    kind = replace(base, seams=replace(seams, seams=(replace(one, kind="other"), *seams.seams[1:])))
    (problem,) = unlike_sizes(("36", "38"), [base, kind], 0)
    assert "of the kind 'other'" in problem.what
    assert problem.where == one.where
    fewer = replace(base, seams=replace(seams, steps=seams.steps[1:]))
    assert "lacks the step" in unlike_sizes(("36", "38"), [base, fewer], 0)[0].what
    cut = base.cuts[0]
    undarted = replace(cut, piece=replace(cut.piece, darts=()))
    told = unlike_sizes(("36", "38"), [base, replace(base, cuts=(undarted, *base.cuts[1:]))], 0)
    assert "lacks the dart" in told[0].what


def test_another_count_of_cuts_is_an_error_but_for_the_strips_of_a_binding() -> None:
    """A longer binding may be joined of more strips; another count of anything else is another garment."""
    base = prepared("apron", "M", ties="sewn")
    told = unlike_sizes(("M", "L"), [base, replace(base, cuts=tuple(map(cut_thrice, base.cuts)))], 0)
    assert told and all("cuts" in p.what and "binding" not in p.what for p in told)
    tie = next(p.what for p in told if "waist_tie" in p.what)
    assert tie == "size L cuts waist_tie 3 same of main where size M cuts it 2 same of main"


def cut_thrice(cut: CutPiece) -> CutPiece:
    return replace(
        cut, piece=replace(cut.piece, cuts=tuple(replace(rule, count=3) for rule in cut.piece.cuts))
    )


def test_unlike_sizes_stop_the_job() -> None:
    style = read_style(ROOT / "styles" / "aline")
    sizes = read_sizes(ROOT / "styles" / "aline")
    small = replace(
        sizes.bodies[0], measures={k: v for k, v in sizes.bodies[0].measures.items() if k != "hip_girth"}
    )
    with pytest.raises(Fault) as fault:
        make_job(style, (small, sizes.bodies[1]), base=1, evaluations=0)
    assert "in size 34" in str(fault.value)


# ---------------------------------------------------------------- told once


def problem(what: str, where: Where = AT) -> Problem:
    return Problem("code", "warning", where, what)


def test_a_problem_of_all_sizes_is_told_once_and_plainly() -> None:
    told = told_once(("8", "10"), [[problem("612 mm to 598 mm")], [problem("622 mm to 606 mm")]])
    assert [p.what for p in told] == ["612 mm to 598 mm"]


def test_a_problem_of_some_sizes_names_them() -> None:
    found = [[], [problem("is 3 mm off")], [problem("is 4 mm off")], [problem("something else")]]
    told = told_once(("8", "10", "12", "14"), found)
    assert [p.what for p in told] == [
        "is 3 mm off (in sizes 10 and 12, here 10)",
        "something else (in size 14)",
    ]


def test_two_of_one_size_stay_two() -> None:
    assert len(told_once(("8",), [[problem("is 3 mm off"), problem("is 4 mm off")]])) == 2


# ---------------------------------------------------------------- jobs


@pytest.mark.parametrize("style", ["top", "aline", "trousers", "skirt", "apron", "blouse"])
def test_every_size_of_the_shipped_tables_is_clean(style: str) -> None:
    files = read_style(ROOT / "styles" / style)
    for body in read_sizes(ROOT / "styles" / style).bodies:
        assert not [p for p in check_style(files, body).problems if p.severity != "note"], body.code


def test_a_job_holds_its_sizes_in_order_and_shows_the_base() -> None:
    job = job_of("trousers", "92,110,128")
    assert [s.size for s in job.sizes] == ["92", "110", "128"]
    assert job.size.size == "110"
    assert job.size.body_code == ""
    need = [s.cloths[0].lays[0].buy_mm for s in job.sizes]
    assert need == sorted(need)
    assert need[0] < need[-1]


def test_the_sizes_of_a_piece_lie_on_each_other_in_one_place() -> None:
    job = job_of("trousers", "92,110,128")
    assert [stack.piece for stack in job.stacks] == [
        c.piece.key for c in sorted(job.size.cut_pieces, key=lambda c: c.piece.number)
    ]
    for stack in job.stacks:
        here = place_at(job.size.cut_piece(stack.piece), stack.at, None)
        for size, at in zip(job.sizes, stack.placements, strict=True):
            assert abs(at.apply(place_at(size.cut_piece(stack.piece), stack.at, None)) - here) < 1e-6
            tail, head = size.cut_piece(stack.piece).piece.grain
            base = job.size.cut_piece(stack.piece).piece.grain
            turned = at.direction((head - tail) / abs(head - tail))
            assert abs(turned - (base[1] - base[0]) / abs(base[1] - base[0])) < 1e-6


def test_every_size_of_the_other_choice_is_laid_too() -> None:
    """With sewn ties the apron's shortest lay has one side folded in; its stretches stay equally long in every size."""
    table = read_sizes(ROOT / "styles" / "apron")
    job = make_job(
        read_style(ROOT / "styles" / "apron"), table.bodies, options={"ties": "sewn"}, base=table.base
    )
    lays = [lay for size in job.sizes for lay in size.cloths[0].lays if lay.kind == "side_fold"]
    assert len(lays) >= len(job.sizes)
    for lay in lays:
        assert {(s.start, s.end) for s in lay.sections} == {(lay.sections[0].start, lay.length_mm)}


def test_one_size_is_no_nest() -> None:
    job = job_of("trousers", "110")
    assert not job.nested
    assert job.stacks == ()


@pytest.mark.parametrize("place", ["nowhere", "end of nothing", "waist at hem"])
def test_a_place_that_a_piece_has_not_is_refused(place: str) -> None:
    cut = next(c for c in prepared("trousers", "110").cuts if c.piece.key == "front")
    with pytest.raises(Fault):
        place_at(cut, place, AT)


# ---------------------------------------------------------------- coarse lays


def test_a_coarse_outline_holds_the_true_one_with_fewer_corners() -> None:
    import cmath

    import shapely

    round_ = tuple(100 * cmath.rect(1, n * cmath.pi / 60) for n in range(120))
    made = coarse(LayPiece("round", round_))
    true, wide = (shapely.Polygon([(z.real, z.imag) for z in ring]) for ring in (round_, made.outline))
    assert len(made.outline) < 40
    assert wide.covers(true)
    assert wide.area < true.area * 1.08
    half = LayPiece("half", tuple(z for z in round_ if z.imag >= -1e-9), "whole", 1, (100 + 0j, -100 + 0j))
    made = coarse(half)
    assert min(z.imag for z in made.outline) > -0.01
    assert len(made.outline) < len(half.outline) / 2


# ---------------------------------------------------------------- asked for


def test_sizes_are_asked_for_in_one_way_at_a_time() -> None:
    assert one_size("36", None) == "36"
    assert one_size(None, "all") == "all"
    assert one_size(None, None) is None
    for size, sizes in (("36", "all"), ("36,38", None), ("all", None)):
        with pytest.raises(Fault):
            one_size(size, sizes)
    with pytest.raises(Fault, match="both given"):
        read_inputs(ROOT / "styles" / "top", ROOT / "demo" / "bodies" / "marit.yaml", sizes="all")


def test_what_is_asked_for_names_the_file() -> None:
    some = read_inputs(ROOT / "styles" / "top", sizes="36,40,44")
    assert [b.code for b in some.bodies] == ["36", "40", "44"]
    assert some.bodies[some.base].code == some.body.code == "40"
    assert some.default_name == "T-07_Round-neck-top-with-gathered-sleeves_sizes-36-40-and-44_booklet_A4"
    assert some.files["body"] == ROOT / "styles" / "top" / "sizes.yaml"
    one = read_inputs(ROOT / "styles" / "top", sizes="36")
    assert one.default_name == "T-07_Round-neck-top-with-gathered-sleeves_Size-36_booklet_A4"
