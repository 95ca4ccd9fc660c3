"""Cloths and notions: what the recipe sews with stands in the lists of style.yaml, and what stands there is sewn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from booklet.drafting.table import Table
from booklet.model import Copy
from booklet.problems import Collector, Where, nearest
from booklet.reading.yaml_source import Source
from booklet.seams.runs import foot_names
from booklet.seams.table import RecipeStep, SeamTable
from booklet.sewing.elastic import Elastic
from booklet.units import parse_length

ALIKE = 0.5  # mm between the widths of one elastic in the two files
Listed = list[tuple[Mapping[str, Any], Where]]


def check_lists(
    style: Source,
    seams: SeamTable,
    copies: tuple[Copy, ...],
    elastics: Mapping[str, Elastic],
    table: Table,
    collector: Collector,
) -> None:
    listed = list(_notions(style, table))
    _elastics(seams, elastics, _of(listed, "elastic"), str(style.data.get("units", "cm")), collector)
    _zips(seams, copies, _of(listed, "zip"), collector)
    _buttons(seams, _of(listed, "button"), _of(listed, "buttons"), collector)
    _hooks(seams, listed, collector)
    _thread(seams, listed, style.where("notions"), collector)
    _cloths(style, seams, copies, table, collector)


def _notions(style: Source, table: Table) -> Iterator[tuple[Mapping[str, Any], Where]]:
    """The entries of `notions:` that the options made ask for."""
    for n, raw in enumerate(style.data.get("notions") or ()):
        where = style.where("notions", n)
        spec = next((v for v in raw.values() if isinstance(v, Mapping)), raw)
        if table.applies(spec.get("when", raw.get("when")), where):
            yield raw, where


def _of(listed: Listed, kind: str) -> Listed:
    return [(raw[kind], where) for raw, where in listed if kind in raw]


def _missing(step: RecipeStep, what: str, entry: str, collector: Collector) -> None:
    collector.error(
        "notion-missing",
        step.where,
        f"this step takes {what}, and `notions:` of style.yaml lists none for these options",
        f"Add `{entry}` there.",
    )


def _idle(where: Where, what: str, collector: Collector) -> None:
    collector.error(
        "notion-unused",
        where,
        f"{what} is listed, and no step of these options takes it",
        "Take it out, or say by when: with which options it is needed.",
    )


def _elastics(
    seams: SeamTable, elastics: Mapping[str, Elastic], listed: Listed, unit: str, collector: Collector
) -> None:
    wides = [(parse_length(spec["wide"], unit, name="elastic").mm, where) for spec, where in listed]
    for step in seams.steps:
        elastic = elastics.get(step.id)
        if elastic and not any(abs(w - elastic.wide) < ALIKE for w, _ in wides):
            words = f"{elastic.wide:.1f} mm"
            _missing(step, f"elastic {words} wide", f"elastic: {{wide: {words}, for: casing}}", collector)
    for wide, where in wides:
        if not any(abs(wide - e.wide) < ALIKE for e in elastics.values()):
            _idle(where, f"elastic {wide:.1f} mm wide", collector)


def _zips(seams: SeamTable, copies: tuple[Copy, ...], listed: Listed, collector: Collector) -> None:
    by_id = {c.id: c for c in copies}
    feet: list[str] = []
    for step in seams.steps:
        if step.verb != "zip":
            continue
        mine = [f for s in seams.of_step(step.id) for f in foot_names(s, by_id)]
        feet += mine
        if mine and not any(str(spec.get("for")) in mine for spec, _ in listed):
            _missing(step, "a zip", f"zip: {{for: {mine[0]}}}", collector)
    for spec, where in listed:
        if "along" not in spec and str(spec.get("for")) not in feet:
            _idle(where, f"a zip for {spec.get('for')}", collector)


def _buttons(seams: SeamTable, single: Listed, rows: Listed, collector: Collector) -> None:
    steps = [s for s in seams.steps if s.verb == "button"]
    for step in () if single else steps:
        _missing(step, "a button", "button: {diameter: 11 mm}", collector)
    for _, where in () if steps else single:
        _idle(where, "a button", collector)
    sewn = [str(r) for s in seams.steps if s.verb == "buttons" for r in s.spec]
    for step in (s for s in seams.steps if s.verb == "buttons"):
        known = [str(r) for spec, _ in rows for r in spec.get("rows", ())]
        if not any(str(r) in known for r in step.spec):
            _missing(step, "buttons", f"buttons: {{rows: [{', '.join(map(str, step.spec))}]}}", collector)
    for spec, where in rows:
        for row in spec.get("rows", ()):
            if str(row) not in sewn:
                _idle(where, f"a row of buttons, {row},", collector)


def _hooks(seams: SeamTable, listed: Listed, collector: Collector) -> None:
    """Hooks are listed as items in words, and found by the word."""
    steps = [s for s in seams.steps if s.verb == "hook"]
    items = [(str(raw["item"]), where) for raw, where in listed if "hook" in str(raw.get("item", "")).lower()]
    for step in () if items else steps:
        _missing(step, "a hook", "item: hook and eye, medium", collector)
    for item, where in () if steps else items:
        _idle(where, item, collector)


def _thread(seams: SeamTable, listed: Listed, where: Where, collector: Collector) -> None:
    kinds = [str(raw["thread"]) for raw, _ in listed if "thread" in raw]
    neatened = any(s.neaten in ("apart", "together") or s.kind == "finish" for s in seams.seams)
    for kind in ("sewing", *(("neatening",) if neatened else ())):
        if seams.seams and kind not in kinds:
            collector.warning(
                "notion-missing",
                where,
                f"no {kind} thread is listed, and the steps take it",
                f"Add `thread: {kind}` to notions:.",
            )


def _cloths(
    style: Source, seams: SeamTable, copies: tuple[Copy, ...], table: Table, collector: Collector
) -> None:
    cloths: Mapping[str, Any] = style.data.get("cloths") or {}
    looped = [str(s.spec["of"]) for s in seams.steps if s.verb == "loop" and "of" in s.spec]
    for step in (s for s in seams.steps if s.verb == "loop"):
        of = str(step.spec.get("of"))
        if of not in cloths:
            collector.error(
                "unknown-cloth",
                step.where,
                f"there is no cloth '{of}' to make the loop of",
                nearest(of, cloths).strip(),
            )
    used = [c.cloth for c in copies] + looped
    for key, spec in cloths.items():
        if key not in used and table.applies(spec.get("when"), style.where("cloths", key)):
            collector.warning(
                "cloth-unused",
                style.where("cloths", key),
                f"no piece is cut from the cloth '{key}' for these options",
                "Take it out, or say by when: with which options it is needed.",
            )
