"""Elastic, tape, piping and bones: bought by length, from what they are sewn to. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from booklet.bias import join_loss
from booklet.cloth.amounts import (
    BONE_SHORT,
    PIPING_EASE,
    bone_length,
    piping_length,
    piping_strip,
    tape_to_buy,
)
from booklet.cloth.bias_amount import ENDS, tape_instead
from booklet.cloth.working import Units, sold
from booklet.language import OWN, say, tongue_of
from booklet.model import Notion, Side, Working
from booklet.prepare import Prepared
from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.translations import joined
from booklet.sewing.elastic import Elastic, elastic_of
from booklet.units import parse_length, show, show_percent

SHORT = 0.5  # mm that what is written by hand may be less by
ELASTIC_RULE = "girth less the elastic's stretch, and its overlap; try on before closing the casing"


def with_length(
    notion: Notion, raw: Any, unit: str, units: Units, where: Where, collector: Collector
) -> Notion:
    """The notion with the length written by hand where that is enough; a warning where it is not."""
    given = parse_length(raw, unit, booklet_unit=units, where=where, name="buy", zero=False).mm
    if given < notion.amount - SHORT:
        collector.warning(
            "notion-short", where,
            f"{show(given, units)} of {notion.name} is listed, and {show(notion.amount, units)} is needed: "
            f"{show(notion.amount - given, units)} too little",
            f"Write buy: {show(notion.amount, units)} or more, or leave it out.",
        )  # fmt: skip
        return notion
    return replace(notion, printed=sold(given, units)[1])


# ---------------------------------------------------------------- elastic


def elastic_notions(prepared: Prepared, spec: Mapping[str, Any], unit: str, units: Units) -> list[Notion]:
    """A line for each casing that takes elastic of the width listed."""
    wide = parse_length(spec["wide"], unit, booklet_unit=units, name="elastic").mm
    out = []
    for step, elastic in prepared.elastics.items():
        if abs(elastic.wide - wide) > SHORT:
            continue
        cuts = _cuts(prepared, step, elastic)
        total = sum(e.cut * count for _, e, count in cuts)
        bought, words = sold(total, units)
        line = "; ".join(_elastic_sum(side, e, count, units) for side, e, count in cuts)
        if len(cuts) > 1:
            line += "; " + say(units, "amounts.together", length=show(total, units))
        terms = []
        for side, e, count in cuts:
            terms += [
                (f"{side}girth", e.body), (f"{side}less", e.less_mm or e.less), (f"{side}overlap", e.overlap),
                (f"{side}pieces", float(count)),
            ]  # fmt: skip
        note = "; ".join(
            _of_side(side, say(units, "amounts.pieces_of", count=count, length=show(e.cut, units)), units)
            for side, e, count in cuts
        )
        out.append(
            Notion(
                say(units, "amounts.elastic", wide=show(wide, units)),
                round(total, 1),
                "mm",
                words,
                say(units, "amounts.elastic_note", pieces=note),
                (
                    Working(
                        say(units, "amounts.elastic_what"),
                        f"{line} → {words}",
                        tuple(terms),
                        bought,
                        "mm",
                        ELASTIC_RULE,
                    ),
                ),
            )
        )
    return out


def _cuts(prepared: Prepared, step_id: str, elastic: Elastic) -> list[tuple[str, Elastic, int]]:
    """(side in words, elastic, pieces): one line, or one for each side of a body whose left and right differ."""
    count = len(prepared.seams.of_step(step_id))
    if count > 1 and prepared.table.sides:
        step = next(s for s in prepared.seams.steps if s.id == step_id)
        sides: tuple[Side, ...] = ("right", "left")
        return [(f"{side} ", elastic_of(step, prepared.table.of_side(side)), 1) for side in sides]
    return [("", elastic, count)]


def _elastic_sum(side: str, e: Elastic, count: int, units: Units) -> str:
    tongue = tongue_of(units)
    fits = e.fits.replace("_", " ")
    fits = fits if tongue.language == OWN else tongue.words.name(f"body.{e.fits}", e.fits)
    less = show(e.less_mm, units) if e.less_mm > 0 else show_percent(e.less, units)
    one = say(
        units, "amounts.elastic_less" if e.less_mm > 0 else "amounts.elastic_sum", fits=fits, less=less,
        body=show(e.body, units), overlap=show(e.overlap, units),
    )  # fmt: skip
    one = _of_side(side, one, units)
    if count == 1:
        return f"{one} = {show(e.cut, units)}"
    return f"{count} × ({one}) = {count} × {show(e.cut, units)} = {show(count * e.cut, units)}"


def _of_side(side: str, text: str, units: Units) -> str:
    """The text behind its side, where there is one ('right ')."""
    small = tongue_of(units).small["sides"]
    return say(units, "amounts.side", side=small[side.strip()], text=text) if side else text


# ---------------------------------------------------------------- tape, piping, bones


def lengths_along(prepared: Prepared, spec: Mapping[str, Any], where: Where) -> list[float]:
    """Sewn lengths of the edges named by `along:`, each as often as `times:` says."""
    found = []
    for run in spec["along"]:
        try:
            found.append(prepared.table.length_of(str(run)))
        except Fault as bad:
            raise Fault.of("notion-run", f"'{run}' cannot be measured: {bad}", where) from None
    return found * int(spec.get("times", 1))


def tape_notion(prepared: Prepared, spec: Mapping[str, Any], where: Where, unit: str, units: Units) -> Notion:
    """`tape: {along: [...] or for: BINDING, wide, kind, ends, times}`: the edges, what each takes more, and joins."""
    ends = parse_length(spec["ends"], unit, booklet_unit=units, where=where).mm if "ends" in spec else ENDS
    if "for" in spec:
        piece = prepared.draft.named(str(spec["for"]))
        if piece is None or piece.binding is None:
            bindings = [p.name for p in prepared.draft.pieces.values() if p.binding]
            raise Fault.of(
                "unknown-binding", f"there is no binding '{spec['for']}'", where,
                nearest(str(spec["for"]), bindings).strip(),
            )  # fmt: skip
        edges = [tape_instead(piece) - ENDS] * int(spec.get("times", 1))
    else:
        edges = lengths_along(prepared, spec, where)
    need = tape_to_buy(edges, ends)
    bought, words = sold(need, units)
    line = f"{_edges(edges, units)} + {len(edges)} × {show(ends, units)} = {show(need, units)} → {words}"
    terms = (*_edge_terms(edges), ("ends", ends))
    rule = "edge length and 5 to 10 cm an edge; to stop stretch, the shoulder and 2 cm (common practice)"
    name = tongue_of(units).said(joined(spec["kind"])) if spec.get("kind") else say(units, "amounts.tape")
    if "wide" in spec:
        wide = show(parse_length(spec["wide"], unit, booklet_unit=units).mm, units)
        name = say(units, "amounts.tape_wide", name=name, wide=wide)
    note = say(units, "amounts.tape_note", count=len(edges), ends=show(ends, units))
    return Notion(name, round(need, 1), "mm", words, note, (Working(name, line, terms, bought, "mm", rule),))


def piping_notion(
    prepared: Prepared, spec: Mapping[str, Any], where: Where, unit: str, units: Units
) -> Notion:
    """`piping: {along: [...], cord: 4 mm, allow: 12 mm}`: ready made, or the cord and the width of its strip."""
    edges = lengths_along(prepared, spec, where)
    cord = parse_length(spec["cord"], unit, booklet_unit=units, where=where).mm
    allow = parse_length(spec.get("allow", "12 mm"), unit, booklet_unit=units, where=where).mm
    need = sum(piping_length(e) for e in edges)
    bought, words = sold(need, units)
    strip = piping_strip(cord, allow)
    line = say(
        units, "amounts.piping_sum", sum=f"({_edges(edges, units)}) × {PIPING_EASE:g} = {show(need, units)}",
        bought=words, strip_sum=f"{show(cord, units)} × 3.14 + 2 × {show(allow, units)}", strip=show(strip, units),
    )  # fmt: skip
    terms = (
        *_edge_terms(edges),
        ("ease", PIPING_EASE),
        ("cord", cord),
        ("allowance", allow),
        ("strip", strip),
    )
    rule = "edge × 1.05; strip = the cord's girth and two allowances (common practice)"
    name = say(units, "amounts.piping", cord=show(cord, units))
    note = say(units, "amounts.piping_note", strip=show(strip, units), join=show(join_loss(6.0), units))
    return Notion(name, round(need, 1), "mm", words, note, (Working(name, line, terms, bought, "mm", rule),))


def boning_notion(prepared: Prepared, spec: Mapping[str, Any], where: Where, units: Units) -> Notion:
    """`boning: {along: [...], times: 2}`: a bone for each seam, short of both its ends."""
    seams = lengths_along(prepared, spec, where)
    bones = [bone_length(s) for s in seams]
    if min(bones) <= 0:
        raise Fault.of("notion-run", f"a seam of {show(min(seams), units)} is too short for a bone", where)
    need = sum(bones)
    bought, words = sold(need, units)
    line = f"{_edges(seams, units)} − {len(bones)} × 2 × {show(BONE_SHORT, units)} = {show(need, units)} → {words}"
    note = say(units, "amounts.bones", count=len(bones), list=", ".join(show(b, units) for b in bones))
    name = say(units, "amounts.boning")
    rule = "seam length less 12 mm at each end (common practice)"
    terms = (*_edge_terms(seams), ("short", BONE_SHORT))
    return Notion(name, round(need, 1), "mm", words, note, (Working(name, line, terms, bought, "mm", rule),))


def _edges(edges: Sequence[float], units: Units) -> str:
    return " + ".join(show(e, units) for e in edges)


def _edge_terms(edges: Sequence[float]) -> tuple[tuple[str, float], ...]:
    return tuple((f"edge {n}", e) for n, e in enumerate(edges, 1))
