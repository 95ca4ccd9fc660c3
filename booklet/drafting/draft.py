"""One size of a style: measures (given or by rule), then every piece of the options made."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely

from booklet.drafting.maker import PieceMaker
from booklet.drafting.table import Table
from booklet.formula import parse_formula
from booklet.model import BodyMeasure, Draft, Piece
from booklet.problems import Collector, Fault, Problem, nearest
from booklet.reading.yaml_source import Source


def work_out_measures(
    style: Source, given: Mapping[str, float], body_file: str, collector: Collector
) -> tuple[BodyMeasure, ...]:
    """The measures a style may use: those given (mm), and those its `rules:` work out from others."""
    data = style.data
    unit = str(data.get("units", "cm"))
    rules: Mapping[str, Any] = data.get("rules") or {}
    found: dict[str, BodyMeasure] = {n: BodyMeasure(n, mm, True) for n, mm in given.items()}
    busy: list[str] = []

    def lookup(name: str) -> float:
        if name in found:
            return found[name].mm
        if name in rules and name not in busy:
            busy.append(name)
            rule = parse_formula(rules[name], unit, style.where("rules", name))
            mm = rule.evaluate(lookup, _no_lengths)
            words = {"in": "inches"}.get(unit, unit)
            found[name] = BodyMeasure(name, mm, False, f"{rules[name]} ({words})")
            return mm
        raise Fault.of(
            "missing-measure", f"{body_file} has no {name}, and the style has no rule for it",
            style.where("rules", busy[-1]) if busy else style.where("needs"),
            f"Measure it and add `{name}:` to that file.",
        )  # fmt: skip

    for name in data.get("needs") or ():
        with collector.catching():
            lookup(str(name))
    for name in rules:
        with collector.catching():
            lookup(str(name))
        busy.clear()
    return tuple(found.values())


def _no_lengths(run: str) -> float:
    raise Fault.of("rule", f"a rule for a measure cannot ask for the length of {run}", None)


def lay_out_table(
    draft: Source, style: Source, measures: tuple[BodyMeasure, ...], options: Mapping[str, str], units: str
) -> tuple[Table, PieceMaker]:
    table = Table(draft, {m.name: m.mm for m in measures}, options, units)
    fusible = frozenset(n for n, c in (style.data.get("cloths") or {}).items() if c.get("fusible"))
    maker = PieceMaker(table, fusible)
    table.shape_length = maker.shape_length
    table.piece_edge = maker.edge_path
    return table, maker


def draft_pieces(table: Table, maker: PieceMaker, collector: Collector) -> Draft:
    """Every piece that the options ask for. Problems are collected; a piece that failed is left out."""
    pieces: dict[str, Piece] = {}
    for key in maker.raw:
        with collector.catching():
            if maker.applies(key):
                piece = maker.piece(key)
                collector.add(*outline_problems(piece))
                pieces[key] = piece
    values = worked_values(table, collector)
    numbers: dict[int, str] = {}
    for piece in pieces.values():
        if piece.cuts and piece.number in numbers:
            collector.error(
                "piece-number", piece.where, f"{piece.key} and {numbers[piece.number]} both have number {piece.number}",
                "Give every piece that is cut a number of its own.",
            )  # fmt: skip
        numbers[piece.number] = piece.key
    return Draft(values, pieces)


def worked_values(table: Table, collector: Collector) -> dict[str, float]:
    """Every value of the draft by name, mm for lengths; one that cannot be worked out is told and left out."""
    values: dict[str, float] = {}
    for name in table.data.get("values") or {}:
        with collector.catching():
            found = table.value(name)
            values[name] = found if isinstance(found, float | int) else found.value
    return values


def outline_problems(piece: Piece) -> tuple[Problem, ...]:
    """Whether the outline is one simple ring of a sensible size."""
    flat = piece.outline.flatten(0.2)
    ring = shapely.polygons(np.column_stack((flat.real, flat.imag)))
    if not ring.is_valid:
        why = shapely.is_valid_reason(ring)
        place = why[why.find("[") + 1 : why.find("]")].split() if "[" in why else []
        near = ""
        if len(place) == 2:
            z = complex(float(place[0]), float(place[1]))
            edges = sorted(piece.edges, key=lambda e: abs(e.path.point(e.path.nearest(z)) - z))[:2]
            near = f" where {edges[0].name} and {edges[1].name} meet" if len(edges) == 2 else ""
        return (
            Problem(
                "self-crossing", "error", piece.where, f"the outline of {piece.key} crosses itself{near}",
                "Look at the points of those lines for this body: two of them have changed places.",
            ),
        )  # fmt: skip
    x0, y0, x1, y1 = ring.bounds
    if x1 - x0 > 4900 or y1 - y0 > 4900:
        return (
            Problem("too-large", "error", piece.where, f"{piece.key} comes out {(x1 - x0) / 1000:.1f} by "
                    f"{(y1 - y0) / 1000:.1f} m", "Check the units of the draft and of the body's file."),
        )  # fmt: skip
    return ()


def check_options(style: Source, chosen: Mapping[str, str]) -> dict[str, str]:
    """Every option of the style with its choice: the first listed, unless another was asked for."""
    declared: Mapping[str, list[Any]] = style.data.get("options") or {}
    out = {name: str(choices[0]) for name, choices in declared.items()}
    for name, choice in chosen.items():
        if name not in declared:
            raise Fault.of("unknown-option", f"the style has no option '{name}'", style.where("options"),
                           nearest(name, declared).strip())  # fmt: skip
        choices = [str(c) for c in declared[name]]
        if choice not in choices:
            raise Fault.of("unknown-choice", f"'{choice}' is no choice of {name}", style.where("options", name),
                           nearest(choice, choices).strip())  # fmt: skip
        out[name] = choice
    return out
