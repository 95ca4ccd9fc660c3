"""The sample job in several sizes, made by hand: 40 mm from size to size round the body, figures in a step that follow."""

from __future__ import annotations

from dataclasses import replace

from sample_job import sample_job

from booklet.language import tongue_for
from booklet.model import BodyMeasure, Finished, Job, SizedResult, Step
from booklet.pages.figures import length
from booklet.sewing.size_words import merge_steps, size_phrases

GRADE = 40.0


def names_of(count: int) -> tuple[str, ...]:
    return tuple(str(34 + 2 * n) for n in range(count))


def sized_job(count: int = 8, units: str = "cm", paper: str = "a4") -> Job:
    """So many sizes, the second of them the base."""
    job = sample_job(units=units, paper=paper)
    base = 1
    sizes = tuple(_size(job.size, name, (n - base) * GRADE) for n, name in enumerate(names_of(count)))
    steps = [_steps(job.steps, (n - base) * GRADE, units) for n in range(count)]
    told, problems = merge_steps(names_of(count), base, steps, size_phrases(tongue_for("en")))
    assert problems == ()
    return replace(job, sizes=sizes, base=base, steps=told, sized_steps=tuple(steps))


def _size(size: SizedResult, name: str, more: float) -> SizedResult:
    def body(m: BodyMeasure) -> BodyMeasure:
        return replace(m, mm=m.mm + more) if m.name in ("bust_girth", "hip_girth") else m

    def garment(f: Finished) -> Finished:
        graded = more if f.body_name in ("bust_girth", "hip_girth") else 0.0
        own = None if f.body_mm is None else f.body_mm + graded
        return replace(f, garment_mm=f.garment_mm + graded, body_mm=own)

    cloths = tuple(
        replace(c, lays=tuple(replace(lay, buy_mm=lay.buy_mm + 2 * more) for lay in c.lays))
        for c in size.cloths
    )
    notions = tuple(
        replace(n, printed="2 reels, 100\u00a0m" if more > 3 * GRADE else "1 reel, 100\u00a0m")
        if n.name == "sewing thread"
        else replace(n, printed=f"{0.6 + more / 400:.1f}\u00a0m")
        if n.name.startswith("elastic")
        else n
        for n in size.notions
    )
    return replace(
        size,
        size=name,
        body_name=name,
        body_code="",
        measures=tuple(body(m) for m in size.measures),
        finished=tuple(garment(f) for f in size.finished),
        cloths=cloths,
        notions=notions,
    )


def _steps(steps: tuple[Step, ...], more: float, units: str) -> tuple[Step, ...]:
    """The facing's seam and the pairs of the gathers' lengths grow with the size."""
    out = []
    for step in steps:
        text = tuple(
            t.replace("587 mm", length(587 + more, units))
            .replace("443 mm", length(443 + more / 2, units))
            .replace("315 mm", length(315 + more / 4, units))
            for t in step.text
        )
        check = step.check.replace("315 mm", length(315 + more / 4, units))
        out.append(replace(step, text=text, check=check))
    return tuple(out)
