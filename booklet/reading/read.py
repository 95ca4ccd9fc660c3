"""Reads a style's folder and a body's file: text in, checked and frozen data out, every problem told at once."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from booklet.problems import Collector, Fault, Problem, Where, nearest
from booklet.reading.body_shape import BodyShape
from booklet.reading.draft_shape import DraftShape
from booklet.reading.measures import MEASURES, PLAUSIBLE_CHILD_MM, PLAUSIBLE_MM, USUALLY_LESS
from booklet.reading.sewing_shape import SewingShape
from booklet.reading.shape import check_shape
from booklet.reading.style_shape import StyleShape
from booklet.reading.translations import read_translations
from booklet.reading.yaml_source import Source, Step, read_yaml
from booklet.units import parse_length, show


@dataclass(frozen=True)
class StyleFiles:
    """A style as its files say it. `sources` holds the plain values with their lines: style, draft, sewing, lays."""

    folder: Path
    style: StyleShape
    draft: DraftShape
    sewing: SewingShape
    sources: Mapping[str, Source]
    translations: Mapping[str, Source] = field(default_factory=dict)  # by language

    @property
    def base(self) -> Path:
        """The body's file that the style is made for when none is given."""
        return Path(os.path.normpath(self.folder / self.style.base))


@dataclass(frozen=True)
class Sided:
    """A measure that differs between the wearer's left and right, mm."""

    left: float
    right: float


@dataclass(frozen=True)
class Body:
    """One person's measures in mm, as measured. `lines` tells where each stands; `problems` are warnings."""

    name: str
    code: str
    file: str
    units: str
    measures: Mapping[str, float | Sided]
    lines: Mapping[str, Where]
    problems: tuple[Problem, ...] = ()
    of_table: bool = False  # a size of a range, nobody's own measures: `code` is what the size is called


# ---------------------------------------------------------------- style


def read_style(folder: Path | str) -> StyleFiles:
    """Reads style.yaml, draft.yaml, sewing.yaml, and lays.yaml if there is one. Raises one `Fault` for all of them."""
    folder = Path(folder)
    if not folder.is_dir():
        raise Fault.of(
            "style-missing", "there is no such folder", Where(folder.as_posix(), 1), _other_styles(folder)
        )
    collector = Collector()
    sources: dict[str, Source] = {}
    for part in ("style", "draft", "sewing"):
        with collector.catching():
            sources[part] = read_yaml(folder / f"{part}.yaml")
    if (folder / "lays.yaml").exists():
        with collector.catching():
            sources["lays"] = read_yaml(folder / "lays.yaml")
    style = check_shape(sources["style"], StyleShape, collector) if "style" in sources else None
    draft = check_shape(sources["draft"], DraftShape, collector) if "draft" in sources else None
    sewing = check_shape(sources["sewing"], SewingShape, collector) if "sewing" in sources else None
    if style is not None:
        _check_option_titles(style, sources["style"], collector)
        for source in sources.values():
            _check_options(source, style.options, collector)
        if draft is not None:
            _check_cloths(draft, sources["draft"], tuple(style.cloths), collector)
    if sewing is not None:
        _check_ids(sewing, sources["sewing"], collector)
    translations = read_translations(folder, collector)
    collector.raise_if_errors()
    assert style is not None and draft is not None and sewing is not None
    return StyleFiles(folder, style, draft, sewing, sources, translations)


def _other_styles(folder: Path) -> str:
    if not folder.parent.is_dir():
        return "Give the folder that holds style.yaml."
    found = sorted(p.parent.name for p in folder.parent.glob("*/style.yaml"))
    return nearest(folder.name, found).strip() or "Give the folder that holds style.yaml."


def _check_option_titles(style: StyleShape, source: Source, collector: Collector) -> None:
    for option, titles in style.option_titles.items():
        where = source.where("option titles", option)
        if option not in style.options:
            collector.error(
                "unknown-option", where, f"there is no option '{option}'", nearest(option, style.options)
            )
        elif isinstance(titles, dict):
            for choice in titles:
                if choice not in style.options[option]:
                    _tell_choice(
                        option,
                        choice,
                        style.options,
                        source.where("option titles", option, choice),
                        collector,
                    )


def _check_options(source: Source, options: Mapping[str, list[str]], collector: Collector) -> None:
    """Every `when:` of a file speaks of options that the style has."""
    for path, condition in _conditions(source.data, ()):
        where = source.where(*path)
        for option, wanted in condition.items():
            if option not in options:
                collector.error(
                    "unknown-option", where, f"there is no option '{option}'", nearest(str(option), options)
                )
                continue
            for choice in wanted if isinstance(wanted, list) else [wanted]:
                if str(choice) not in options[option]:
                    _tell_choice(str(option), str(choice), options, where, collector)


def _tell_choice(
    option: str, choice: str, options: Mapping[str, list[str]], where: Where, collector: Collector
) -> None:
    what = f"the option {option} has no choice '{choice}'"
    collector.error("unknown-choice", where, what, nearest(choice, options[option]))


def _conditions(data: Any, path: tuple[Step, ...]) -> Iterator[tuple[tuple[Step, ...], dict[str, Any]]]:
    """The {option: choice} mappings under a file's `when:` keys and `hem folds`, each with its path."""
    if isinstance(data, list):
        for n, item in enumerate(data):
            yield from _conditions(item, (*path, n))
    elif isinstance(data, dict):
        for key, value in data.items():
            here = (*path, key)
            if key == "when":
                parts = value if isinstance(value, list) else [value]
                yield from ((here, part) for part in parts if isinstance(part, dict))
            elif key == "hem folds" and isinstance(value, dict):
                yield from (((*here, edge), part) for edge, part in value.items() if isinstance(part, dict))
            else:
                yield from _conditions(value, here)


def _check_ids(sewing: SewingShape, source: Source, collector: Collector) -> None:
    seen: dict[str, int] = {}
    for n, step in enumerate(sewing.steps):
        if step.id is None:
            continue
        if step.id in seen:
            what = f"step {n + 1} has the id '{step.id}' of step {seen[step.id]}"
            collector.error("id-twice", source.where("steps", n, "id"), what, "Give each step its own id.")
        seen.setdefault(step.id, n + 1)


def _check_cloths(draft: DraftShape, source: Source, cloths: tuple[str, ...], collector: Collector) -> None:
    for key, piece in draft.pieces.items():
        if isinstance(piece.cut, dict):
            named: list[tuple[Step, str]] = [(cloth, cloth) for cloth in piece.cut]
        else:
            named = [(n, entry.cloth) for n, entry in enumerate(piece.cut or ())]
        for step, cloth in named:
            if cloth not in cloths:
                where = source.where("pieces", key, "cut", step)
                collector.error(
                    "unknown-cloth", where, f"{key} is cut from '{cloth}', which the style does not have",
                    nearest(cloth, cloths),
                )  # fmt: skip


# ---------------------------------------------------------------- body


def read_base(folder: Path, style: Source) -> Body:
    """The body that style.yaml names in `base`. Raises `Fault`: at that line, where there is no such file."""
    named = str(style.data["base"])
    path = Path(os.path.normpath(folder / named))
    if not path.is_file():
        beside = sorted(p.name for p in path.parent.glob("*.yaml")) if path.parent.is_dir() else []
        near = nearest(path.name, beside).strip() if path.parent != folder else ""
        what = f"base is '{named}', and there is no file {path.as_posix()}"
        mend = near or "Name a body's file, from the style's folder, or give one with --body."
        raise Fault.of("file-missing", what, style.where("base"), mend)
    return read_body(path)


def read_body(path: Path | str) -> Body:
    """Reads one person's measures. Raises `Fault` for what cannot be read; what is only unlikely is a warning."""
    source = read_yaml(Path(path))
    collector = Collector()
    shape = check_shape(source, BodyShape, collector)
    measures: dict[str, float | Sided] = {}
    raw = source.data.get("measures") if isinstance(source.data, dict) else None
    unit = shape.units if shape is not None else "cm"
    for name, value in raw.items() if shape is not None and isinstance(raw, dict) else ():
        where = source.where("measures", name)
        with collector.catching():
            if isinstance(value, dict):
                left, right = (
                    parse_length(value[side], unit, where=where, name=f"{name}, {side}", zero=False).mm
                    for side in ("left", "right")
                )
                measures[name] = Sided(left, right)
            else:
                measures[name] = parse_length(value, unit, where=where, name=name, zero=False).mm
    collector.raise_if_errors()
    assert shape is not None
    lines = {name: source.where("measures", name) for name in measures}
    _warn_of_unlikely(measures, lines, unit, shape.child, collector)
    ordered = {name: measures[name] for name in MEASURES if name in measures}
    return Body(
        shape.name,
        shape.code,
        source.file,
        unit,
        ordered,
        lines,
        tuple(collector.problems),
    )


def unlikely_measures(
    measures: Mapping[str, float | Sided], lines: Mapping[str, Where], unit: str, child: bool
) -> tuple[Problem, ...]:
    """Warnings of what no body of this kind usually has; `unit` is what the file is written in."""
    collector = Collector()
    _warn_of_unlikely(measures, lines, unit, child, collector)
    return tuple(collector.problems)


def _warn_of_unlikely(
    measures: Mapping[str, float | Sided],
    lines: Mapping[str, Where],
    unit: str,
    child: bool,
    collector: Collector,
) -> None:
    booklet_unit = "in" if unit == "in" else "cm"
    for name, measured in measures.items():
        low, high = (PLAUSIBLE_CHILD_MM if child else PLAUSIBLE_MM)[name]
        for mm in (measured.left, measured.right) if isinstance(measured, Sided) else (measured,):
            if low <= mm <= high:
                continue
            usual = f"usual is {show(low, booklet_unit)} to {show(high, booklet_unit)}"
            collector.warning(
                "measure-unlikely",
                lines[name],
                f"{name} is {show(mm, booklet_unit)}; {usual}",
                _slipped_unit(mm, low, high, unit) or _grown_up(name, mm, child) or "Measure again.",
            )
    for smaller, larger in () if child else USUALLY_LESS:  # a small child's waist and hip are much the same
        a, b = measures.get(smaller), measures.get(larger)
        if isinstance(a, float) and isinstance(b, float) and a >= b:
            what = f"{smaller} ({show(a, booklet_unit)}) is not less than {larger} ({show(b, booklet_unit)})"
            collector.warning(
                "measure-unlikely", lines[smaller], what, "It may be so; else measure both again."
            )


def _grown_up(name: str, mm: float, child: bool) -> str:
    """Which kind of body the figure would suit."""
    low, high = (PLAUSIBLE_MM if child else PLAUSIBLE_CHILD_MM)[name]
    if not low <= mm <= high:
        return ""
    return (
        "Take out child: true if this is a grown body." if child else "If this is a child, write child: true."
    )


def _slipped_unit(mm: float, low: float, high: float, unit: str) -> str:
    """Which unit would make the same figure plausible."""
    as_written = {"cm": 10.0, "in": 25.4, "mm": 1.0}
    for other, factor in as_written.items():
        if other != unit and low <= mm / as_written[unit] * factor <= high:
            return f"If it was measured in {other}, write units: {other} or put {other} after the number."
    return ""
