"""A shipped style with words of its files replaced, prepared whole or checked: for operations that no style has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from booklet.drawing.display import Drawing
from booklet.job import check_style
from booklet.prepare import Prepared
from booklet.problems import Fault, Problem
from booklet.reading.read import Body, StyleFiles, read_body, read_style
from booklet.sewing.words import StepWords, write_steps
from helpers.step_words import shop
from helpers.steps import ROOT, demo_body, pictures, prepared

Changes = Mapping[str, Sequence[tuple[str, str]]]  # file -> (old, new), each old found once


def changed(folder: Path, name: str, changes: Changes) -> StyleFiles:
    for file in ("style", "draft", "sewing"):
        text = (ROOT / "styles" / name / f"{file}.yaml").read_text(encoding="utf-8")
        for old, new in changes.get(file, ()):
            if text.count(old) != 1:
                raise ValueError(f"{name}/{file}.yaml holds {text.count(old)} times {old!r}")
            text = text.replace(old, new)
        (folder / f"{file}.yaml").write_text(text, encoding="utf-8")
    return read_style(folder)


def made(
    folder: Path, name: str, changes: Changes, units: str = "cm", body: Body | None = None, **options: str
) -> Prepared:
    """Raises Fault where the changed style has errors."""
    return prepared(changed(folder, name, changes), body or demo_body(), options, units)


def problems(folder: Path, name: str, changes: Changes, **options: str) -> tuple[Problem, ...]:
    body = read_body(read_style(ROOT / "styles" / name).base)
    try:
        return check_style(changed(folder, name, changes), body, options).problems
    except Fault as fault:
        return fault.problems


def codes(folder: Path, name: str, changes: Changes, **options: str) -> list[str]:
    """'severity code' of every problem."""
    return [f"{p.severity} {p.code}" for p in problems(folder, name, changes, **options)]


def words(what: Prepared, step: str, units: str = "cm") -> StepWords:
    table = what.seams
    told = write_steps(table.steps, table, what.copies, what.table, shop(), units)  # type: ignore[arg-type]
    return next(w for w in told if w.id == step)


def said(step: StepWords) -> str:
    """Title, paragraphs and check as one plain text."""
    return "\n".join((step.title, *step.paragraphs, step.check)).replace("\u00a0", " ").replace("**", "")


def drawn(what: Prepared, step: str, units: str = "cm") -> tuple[tuple[Drawing, ...], tuple[str, ...]]:
    """The step's drawings, and the labels that found no place."""
    return next((d, left) for _, _, d, left in pictures(what, units, (step,)))
