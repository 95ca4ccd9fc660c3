"""Reads how a shop works: the nearest shop.yaml upward from a style, laid over the package's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from booklet.drawing.display import Drawing
from booklet.language import languages
from booklet.model import Rates
from booklet.problems import Collector, Fault
from booklet.reading.colours import check_colours
from booklet.reading.mark import read_mark
from booklet.reading.shape import check_shape
from booklet.reading.shop_shape import ShopShape
from booklet.reading.wording import read_wording
from booklet.reading.yaml_source import Source, Step, read_yaml
from booklet.resources import data_folder
from booklet.units import parse_length, parse_ratio
from booklet.wording import NONE, Wording

FILE = "shop.yaml"
LEAST_MARGIN, MOST_MARGIN = (
    6.0,
    30.0,
)  # office printers leave 3 to 5 mm blank (common practice, no source), and a little


@dataclass(frozen=True)
class SeamHabit:
    press: str
    neaten: str


@dataclass(frozen=True)
class ThreadUse:
    stitch: int  # ISO 4915
    ratio: float  # thread for a length of seam
    waste: float
    called: str


@dataclass(frozen=True)
class Shop:
    """A workroom's habits, lengths in mm, speeds in mm a minute. `file` is the shop's own file, '' if it has none."""

    file: str
    name: str
    contact: str
    language: str
    gap: float
    selvedge: float
    squaring: float
    buy_step: Mapping[str, float]  # by the booklet's unit, cm and in
    derived: float
    equal: float
    warning: float
    girth: float
    handling: Mapping[str, float]  # minutes by operation
    acts: Mapping[str, float]  # minutes by act of press: and then:
    match: float  # minutes a section
    speed: Mapping[str, float]  # straight, curved, gathered, neatening, hand, iron
    seams: Mapping[str, SeamHabit]  # join, set in, face, band
    thread: Mapping[str, ThreadUse]  # sewing, neatening
    tails: float
    spools_m: tuple[float, ...]  # metres on the spools sold
    stitch: Mapping[str, float]  # plain, gathering, staystitch in, understitch in
    trim: Mapping[str, float]  # trim to, grade from, clip every, clip short of
    zip: Mapping[str, float]  # stop, centred, lap
    zip_sizes: Mapping[str, tuple[float, ...]]  # lengths sold, by the booklet's unit
    interfacing_efficiency: float
    interfacing_widths: tuple[float, ...]  # widths that interfacing and lining are sold in
    tolerances: Mapping[str, float]
    wording: Wording = NONE  # its own texts
    packs: str = ""  # the folder of its own packs
    mark: Drawing | None = None
    mark_file: str = ""
    attach: bool = False  # whether a booklet carries its style's files
    terms: tuple[str, ...] = ()
    palette: Mapping[str, str] = field(default_factory=dict)  # the booklet's own colours -> the shop's
    paper: str = ""  # what it prints on and in, if it says so
    units: str = ""
    margin: float = 10.0  # mm that the pattern's pages keep free at every edge
    rates: Rates | None = None


def read_shop(near: Path | None = None, file: Path | None = None, language: str | None = None) -> Shop:
    """The habits that hold for the style in folder `near`, or those of a shop's `file` that is named.

    `language` stands in place of the shop's own. Raises `Fault`, also for a language without templates.
    """
    own = read_yaml(data_folder("templates") / FILE, f"the package's {FILE}")
    path = file if file is not None else find_shop_file(near) if near is not None else None
    merged = _laid_over(own, read_yaml(path)) if path is not None else own
    collector = Collector()
    if language is not None:
        merged = Source(merged.file, {**merged.data, "language": language}, merged.lines)
    shape = check_shape(merged, ShopShape, collector)
    with collector.catching():
        _check_language(merged, language is not None)
    collector.raise_if_errors()
    assert shape is not None
    return _shop(merged, path.as_posix() if path else "")


def _check_language(merged: Source, asked: bool) -> None:
    """Raises `Fault` for a language that there are no templates for."""
    named = str(merged.data.get("language"))
    if named not in languages():
        where = None if asked else merged.where("language")
        what = f"there are no texts in the language '{named}'"
        raise Fault.of("language-unknown", what, where, f"Known: {', '.join(languages())}.")


def find_shop_file(near: Path) -> Path | None:
    """The nearest shop.yaml upward from a folder."""
    start = near.resolve()
    for folder in (start, *start.parents):
        if (folder / FILE).is_file():
            here = Path.cwd()  # problems name the file as short as its reader would
            return (folder / FILE).relative_to(here) if folder.is_relative_to(here) else folder / FILE
    return None


def _laid_over(below: Source, above: Source) -> Source:
    """One source: the upper file's values where it has them, else the lower's. Lines are those of the upper file.

    Every length of the package's own file carries its unit, so that the upper file's `units:` leaves it as it is.
    """
    if not isinstance(above.data, dict):
        raise Fault.of(
            "shape", "the file does not hold keys and values", above.where(), "Begin with 'shop: NAME'."
        )
    return Source(above.file, _merged(below.data, above.data), above.lines)


def _merged(below: Mapping[str, Any], above: Mapping[str, Any]) -> dict[str, Any]:
    out = dict(below)
    for key, value in above.items():
        lower = out.get(key)
        deeper = isinstance(value, Mapping) and isinstance(lower, Mapping) and "in" not in lower
        out[key] = _merged(lower, value) if deeper else value  # type: ignore[arg-type]
    return out


def _shop(source: Source, file: str) -> Shop:
    data = source.data
    unit = str(data["units"])

    def at(*path: Step) -> Any:
        value = data
        for step in path:
            value = value[step]
        return value

    def mm(*path: Step, booklet_unit: str | None = None, zero: bool = True) -> float:
        name = ".".join(str(step) for step in path)
        where = source.where(*path)
        return parse_length(at(*path), unit, booklet_unit=booklet_unit, where=where, name=name, zero=zero).mm

    def each(part: str) -> Mapping[str, float]:
        return {key: mm(part, key) for key in at(part)}

    threads = {
        key: ThreadUse(int(use["stitch"]), float(use["ratio"]), parse_ratio(use["waste"]), str(use["called"]))
        for key, use in ((k, at("thread", k)) for k in ("sewing", "neatening"))
    }
    return Shop(
        file=file,
        name=str(at("shop")),
        contact=str(at("contact")),
        language=str(at("language")),
        gap=mm("cloth", "gap"),
        selvedge=mm("cloth", "selvedge"),
        squaring=mm("cloth", "squaring"),
        buy_step={u: mm("cloth", "buy step", booklet_unit=u) for u in ("cm", "in")},
        derived=mm("limits", "derived"),
        equal=mm("limits", "equal"),
        warning=mm("limits", "warning"),
        girth=mm("limits", "girth"),
        handling={k: float(v) for k, v in at("minutes", "handling").items()},
        acts={k: float(v) for k, v in at("minutes", "acts").items()},
        match=float(at("minutes", "match")),
        speed={k: mm("minutes", "speed", k, zero=False) for k in at("minutes", "speed")},
        seams={k: SeamHabit(str(v["press"]), str(v["neaten"])) for k, v in at("seams").items()},
        thread=threads,
        tails=mm("thread", "tails"),
        spools_m=tuple(sorted(float(m) for m in at("thread", "spools"))),
        stitch=each("stitches"),
        trim=each("trimming"),
        zip={key: mm("zips", key) for key in ("stop", "centred", "lap")},
        zip_sizes={
            u: tuple(sorted(parse_length(f"{n} {u}", u).mm for n in at("zips", "sizes", u)))
            for u in ("cm", "in")
        },
        interfacing_efficiency=parse_ratio(at("interfacing", "efficiency")),
        interfacing_widths=tuple(
            mm("interfacing", "widths", n, zero=False) for n in range(len(at("interfacing", "widths")))
        ),
        tolerances=each("tolerances"),
        wording=_wording(source, Path(file).parent) if file else NONE,
        packs=_folder(source, "packs", Path(file).parent) if file else "",
        mark=read_mark(Path(file).parent / data["mark"], source.where("mark")) if data.get("mark") else None,
        mark_file=(Path(file).parent / data["mark"]).as_posix() if data.get("mark") else "",
        terms=tuple(str(t) for t in data.get("terms") or ()),
        palette=_palette(source),
        attach=data.get("attach") == "sources",
        paper=str((data.get("prints") or {}).get("paper") or ""),
        units=str((data.get("prints") or {}).get("units") or ""),
        margin=_margin(source),
        rates=_rates(data["rates"]) if data.get("rates") else None,
    )


def _margin(source: Source) -> float:
    """Raises `Fault` for one that printers can't keep, or that leaves no page."""
    value = (source.data.get("prints") or {}).get("margin")
    where = source.where("prints", "margin") if value else None
    mm = parse_length(value or "10 mm", "mm", where=where, name="the margin").mm
    if not LEAST_MARGIN <= mm <= MOST_MARGIN:
        raise Fault.of(
            "shop-margin",
            f"the pattern's margin is {mm:g} mm",
            where,
            f"Printers keep {LEAST_MARGIN:g} to {MOST_MARGIN:g} mm; 10 mm is safe.",
        )
    return mm


def _palette(source: Source) -> Mapping[str, str]:
    collector = Collector()
    found = check_colours(source, collector)
    collector.raise_if_errors()
    return found


def _rates(data: Mapping[str, Any]) -> Rates:
    def prices(part: str) -> Mapping[str, float]:
        return {str(k): float(v) for k, v in (data.get(part) or {}).items()}

    hour = data.get("hour")
    own = None if hour is None else float(hour)
    per: Literal["m", "yd"] = "yd" if data.get("per") == "yd" else "m"
    return Rates(str(data.get("currency") or ""), own, prices("cloth"), prices("notions"), per)


def _folder(source: Source, key: str, beside: Path) -> str:
    """The folder that a key names, as seen from the shop's file; '' for none."""
    named = source.data.get(key)
    if named is None:
        return ""
    folder = beside / str(named)
    if not folder.is_dir():
        raise Fault.of(
            "folder-missing",
            f"there is no folder {folder.as_posix()}",
            source.where(key),
            f"Make it, or leave out `{key}:`.",
        )
    return folder.as_posix()


def _wording(source: Source, folder: Path) -> Wording:
    """The texts in the folder that `wording:` names, as seen from the shop's file."""
    named = source.data.get("wording")
    if named is None:
        return NONE
    return read_wording(folder / str(named), str(source.data["language"]), source.where("wording"))
