"""Kept lays: the best placements found for a style, in its lays.yaml, as a workroom keeps its lay plans.

A kept lay belongs to what was laid: a hash over outlines, rules, cloth and kind. Where that is the same it is used as
it stands, once it has been judged; for another body its order is laid once more. The file is text for people too: a
line for each piece in the order laid,

    front, plies 0 1, at 12.300 0.000, as drawn, on fold, gene 3 1 1 2

where `at` is the left end of the piece as it lies and its lower side (its fold edge, if it lies on a fold), mm along
and across; `gene` is for the engine: which item, the signs of its way round, and the placing rule.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from functools import lru_cache
from typing import Any, cast, get_args

import numpy as np

from booklet.cloth.decode import Gene
from booklet.cloth.lay import Lay, Placed, Recipe
from booklet.cloth.pieces import ClothGround, LayKind, LayPiece
from booklet.model import LaySection
from booklet.paths import Placement
from booklet.problems import Collector, Where
from booklet.reading.yaml_source import Source

FORMAT = 1
HASHED_WITHIN = 2  # decimals of a millimetre: outlines that differ by less are one
DIGITS = 16  # of the hash
_TURNS = {(0, False): "as drawn", (180, False): "turned", (0, True): "over across", (180, True): "over endwise",
          (90, False): "quarter turn", (270, False): "quarter turn back", (90, True): "quarter turn over",
          (270, True): "quarter turn back over"}  # fmt: skip
_UNTURNED = {words: turn for turn, words in _TURNS.items()}
_MARKS = ("on fold", "spare", "far", "crossed")
_HEAD = """\
# The best lays found so far, kept by `booklet lay`. A lay whose hash (`laid`) fits is used as it stands, after a check;
# for another body its order is laid once more. Lines of `places` are in the order laid; mm along and across the cloth.
"""


@dataclass(frozen=True)
class KeptPlace:
    """One placing as the file has it; `at` as the module says, `turn` in degrees."""

    key: str
    copies: tuple[int, ...]
    at: complex
    turn: int
    over: bool
    marks: tuple[str, ...]
    section: int
    gene: Gene | None


@dataclass(frozen=True)
class KeptLay:
    """A lay of one cloth, `width` mm as sold, for one body and choice of options; `laid` is the hash, `how` is told."""

    cloth: str
    width: float
    kind: LayKind
    body: str
    options: tuple[tuple[str, str], ...]
    laid: str
    how: str
    length: float
    bound: float
    proved: bool
    recipe: Recipe
    sections: tuple[LaySection, ...]
    places: tuple[KeptPlace, ...]
    where: Where | None = None

    @property
    def slot(self) -> tuple[Any, ...]:
        """What it is the only one for."""
        return (self.cloth, round(self.width, 1), self.kind, self.body, self.options)


# ------------------------------------------------------------------ to and from the engine


def hash_of(pieces: Sequence[LayPiece], ground: ClothGround, kind: LayKind) -> str:
    """What a lay depends on. Outlines are taken to a hundredth of a millimetre, so that a last digit does not count."""
    on = json.dumps(_plain(asdict(ground)), sort_keys=True)
    told = f"[{json.dumps(kind)}, {on}, [{', '.join(_told(p) for p in pieces)}]]"
    return hashlib.sha256(told.encode()).hexdigest()[:DIGITS]


@lru_cache(maxsize=256)
def _told(piece: LayPiece) -> str:
    told = asdict(piece)
    if not piece.over:  # as before there were pieces that lie so
        del told["over"]
    return json.dumps(_plain(told), sort_keys=True)


def _plain(value: Any) -> Any:
    if isinstance(value, complex):
        return [_plain(value.real), _plain(value.imag)]
    if isinstance(value, float):
        return round(value, HASHED_WITHIN) + 0.0  # -0.0 is 0.0
    if isinstance(value, Mapping):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(v) for v in value]
    return value


def places_of(lay: Lay, pieces: Sequence[LayPiece]) -> tuple[KeptPlace, ...]:
    """The placings in the order laid; from the cloth's beginning on where the order is not known."""
    by_key = {p.key: p for p in pieces}
    out = []
    for put in lay.placements:
        turn = round(float(np.degrees(np.angle(put.placement.turn)))) % 360
        at = _corner(by_key[put.key], put.placement, put.on_fold)
        marks = tuple(m for m in _MARKS if getattr(put, m.replace(" ", "_")))
        out.append(KeptPlace(put.key, put.copies, at, turn, put.mirrored, marks, put.section, None))
    if len(lay.genes) != len(out):
        return tuple(sorted(out, key=lambda p: (p.section, p.at.real, p.at.imag)))
    # Items are numbered piece by piece within each stretch that is laid by itself, as are the placings.
    ordered: list[KeptPlace] = []
    genes = list(lay.genes)
    alone = (
        [set(range(len(lay.sections)))]
        if lay.kind == "side_fold"
        else [{n} for n in range(len(lay.sections))]
    )
    for sections in alone:
        mine = [p for p in out if p.section in sections]
        for gene in genes[: len(mine)]:
            ordered.append(replace(mine[gene[0]], gene=gene))
        genes = genes[len(mine) :]
    return tuple(ordered)


def lay_of(kept: KeptLay, pieces: Sequence[LayPiece], ground: ClothGround) -> Lay | None:
    """The lay again; None where it is one of other pieces."""
    by_key = {p.key: p for p in pieces}
    placed = []
    for place in kept.places:
        if place.key not in by_key or place.section >= len(kept.sections):
            return None
        turned = Placement(1j ** (place.turn // 90), 0j, place.over)
        on_fold = "on fold" in place.marks
        put = turned.then(Placement.move(place.at - _corner(by_key[place.key], turned, on_fold)))
        marks = {m.replace(" ", "_"): True for m in place.marks}
        placed.append(Placed(place.key, place.copies, put, place.section, **marks))
    order = {p.key: n for n, p in enumerate(pieces)}
    placed.sort(key=lambda p: (order[p.key], p.copies))
    return Lay(
        kept.kind,
        ground.width,
        kept.length,
        tuple(placed),
        0,
        min(kept.bound, kept.length),
        kept.proved,
        genes_of(kept) or (),
        kept.recipe,
        kept.sections,
    )


def genes_of(kept: KeptLay) -> tuple[Gene, ...] | None:
    """The order behind a kept lay; None where it was not kept."""
    genes = [p.gene for p in kept.places]
    return None if None in genes else cast("tuple[Gene, ...]", tuple(genes))


def _corner(piece: LayPiece, put: Placement, on_fold: bool) -> complex:
    z = put.apply_all(np.array(piece.outline, dtype=complex))
    y = put.apply(piece.fold_edge[0]).imag if on_fold and piece.fold_edge else float(z.imag.min())
    return complex(float(z.real.min()), y)


# ------------------------------------------------------------------ which one is used


@dataclass(frozen=True)
class KeptLays:
    """All lays that a style keeps, in the file's order."""

    lays: tuple[KeptLay, ...] = ()

    def fitting(self, cloth: str, laid: str) -> KeptLay | None:
        """The shortest lay of a cloth with this hash."""
        found = [k for k in self.lays if k.cloth == cloth and k.laid == laid]
        return min(found, key=lambda k: k.length, default=None)

    def order(self, cloth: str, kind: LayKind, width: float, pieces: Sequence[LayPiece]) -> KeptLay | None:
        """The lay of the same plies whose order is laid once more: of the width nearest to this one."""
        plies = sorted((p.key, n) for p in pieces for n in range(p.count))
        found = [
            k
            for k in self.lays
            if (k.cloth, k.kind) == (cloth, kind)
            and genes_of(k) is not None
            and sorted((p.key, n) for p in k.places for n in p.copies) == plies
        ]
        return min(found, key=lambda k: abs(k.width - width), default=None)

    def with_lays(self, new: Iterable[KeptLay]) -> KeptLays:
        """The new ones in their slots; a shorter one with the same hash is never replaced by a longer."""
        slots = {k.slot: k for k in self.lays}
        for lay in new:
            old = slots.get(lay.slot)
            if old is None or old.laid != lay.laid or lay.length < old.length - 1e-3:
                slots[lay.slot] = lay
        return KeptLays(tuple(slots[s] for s in sorted(slots, key=str)))


# ------------------------------------------------------------------ the file


def read_kept(source: Source | None, collector: Collector) -> KeptLays:
    """The lays of a lays.yaml. One that cannot be read is told as a warning and left out."""
    if source is None:
        return KeptLays()
    data = source.data
    if not isinstance(data, dict) or not isinstance(data.get("lays"), list) or data.get("format") != FORMAT:
        what = "this is no file of kept lays"
        collector.warning("kept-lay", source.where(), what, "Run `booklet lay` to write it anew.")
        return KeptLays()
    found = []
    for n, told in enumerate(data["lays"]):
        where = source.where("lays", n)
        try:
            found.append(_read_lay(told, where))
        except (KeyError, TypeError, ValueError, AttributeError, IndexError):
            collector.warning(
                "kept-lay",
                where,
                "this kept lay cannot be read, so the lay is made fresh",
                "Run `booklet lay` to keep it anew.",
            )
    return KeptLays(tuple(found))


def _read_lay(told: Mapping[str, Any], where: Where) -> KeptLay:
    recipe = told.get("recipe") or {}
    kind = str(told["kind"])
    if kind not in get_args(LayKind):
        raise ValueError(kind)
    return KeptLay(
        cloth=str(told["cloth"]),
        width=float(told["width_mm"]),
        kind=cast("LayKind", kind),
        body=str(told["body"]),
        options=tuple((str(k), str(v)) for k, v in (told.get("options") or {}).items()),
        laid=str(told["laid"]),
        how=str(told["how"]),
        length=float(told["length_mm"]),
        bound=float(told["bound_mm"]),
        proved=told["proved"] is True,
        recipe=Recipe(
            cast("LayKind", kind),
            str(recipe.get("depth_of", "")),
            tuple(map(str, recipe.get("single", ()))),
            tuple(map(str, recipe.get("crossed", ()))),
        ),
        sections=tuple(_read_section(s) for s in told["sections"]),
        places=tuple(_read_place(str(line)) for line in told["places"]),
        where=where,
    )


def _read_section(told: Mapping[str, Any]) -> LaySection:
    given = {**told, "folds": tuple(float(y) for y in told.get("folds", ()))}
    return LaySection(**given)


def _read_place(line: str) -> KeptPlace:
    """Raises ValueError or KeyError for a line that is not as `_place_line` writes it."""
    key, plies, at, lies, *more = (part.strip() for part in line.split(","))
    turn, over = _UNTURNED[lies]
    x, y = (float(n) for n in _after("at", at).split())
    gene: Gene | None = None
    section = 0
    marks = []
    for word in more:
        if word in _MARKS:
            marks.append(word)
        elif word.startswith("section "):
            section = int(_after("section", word))
        else:
            item, sx, sy, rule = (int(n) for n in _after("gene", word).split())
            gene = (item, (sx, sy), rule)
    copies = tuple(int(n) for n in _after("plies", plies).split())
    if not np.isfinite(x + y) or section < 0:
        raise ValueError(line)
    return KeptPlace(key, copies, complex(x, y), turn, over, tuple(marks), section, gene)


def _after(word: str, text: str) -> str:
    first, _, rest = text.partition(" ")
    if first != word:
        raise ValueError(text)
    return rest


def text_of(kept: KeptLays) -> str:
    """lays.yaml: the same lays, the same bytes."""
    out = [_HEAD, f"format: {FORMAT}\n", "lays:\n" if kept.lays else "lays: []\n"]
    for lay in kept.lays:
        options = ", ".join(f"{name}: {_quoted(choice)}" for name, choice in lay.options)
        out.append(
            f"  - cloth: {lay.cloth}\n"
            f"    width_mm: {lay.width:.1f}\n"
            f"    kind: {lay.kind}\n"
            f"    body: {_quoted(lay.body)}\n"
            f"    options: {{{options}}}\n"
            f"    laid: {_quoted(lay.laid)}\n"
            f"    how: {_quoted(lay.how)}\n"
            f"    length_mm: {lay.length:.3f}\n"
            f"    bound_mm: {lay.bound:.3f}\n"
            f"    proved: {'true' if lay.proved else 'false'}\n"
        )
        recipe = {f.name: getattr(lay.recipe, f.name) for f in fields(lay.recipe) if f.name != "kind"}
        out.append(f"    recipe: {json.dumps({k: v for k, v in recipe.items() if v})}\n")
        out.append("    sections:\n")
        for section in lay.sections:
            out.append(f"      - {json.dumps(_section_told(section))}\n")
        out.append("    places:\n")
        out += [f"      - {_place_line(place)}\n" for place in lay.places]
    return "".join(out)


def _section_told(section: LaySection) -> dict[str, Any]:
    plain = LaySection(0.0, 0.0, 0.0, 0.0, 1)
    told = {k: v for k, v in asdict(section).items() if k in _ALWAYS or v != getattr(plain, k)}
    return {k: round(v, 3) if isinstance(v, float) else v for k, v in told.items()}


_ALWAYS = ("start", "end", "low", "high", "layers")


def _place_line(place: KeptPlace) -> str:
    parts = [
        place.key,
        "plies " + " ".join(map(str, place.copies)),
        f"at {_fixed(place.at.real)} {_fixed(place.at.imag)}",
        _TURNS[(place.turn, place.over)],
        *place.marks,
    ]
    if place.section:
        parts.append(f"section {place.section}")
    if place.gene is not None:
        item, (sx, sy), rule = place.gene
        parts.append(f"gene {item} {sx} {sy} {rule}")
    return ", ".join(parts)


def _fixed(mm: float) -> str:
    return f"{round(mm, 3) + 0.0:.3f}"


def _quoted(text: str) -> str:
    """As a YAML text in double quotes, which JSON's are too."""
    return json.dumps(text, ensure_ascii=False)
