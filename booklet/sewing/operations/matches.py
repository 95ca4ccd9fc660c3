"""Match points of two runs in words: which notch, seam or centre meets which."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.model import Mark, Part, Run, Seam
from booklet.seams.compare import match_stops
from booklet.seams.runs import Stop, stops
from booklet.sewing.operations.base import Context
from booklet.sewing.operations.names import mark_words, seam_words


@dataclass(frozen=True)
class MatchPoint:
    """A pair of stops, and its words; `at` is the sewn distance from the start of run a, mm."""

    a: Stop
    b: Stop
    words: str  # of one: 'single notch', 'shoulder seam'
    to: str = ""  # where the partner is called something else

    @property
    def at(self) -> float:
        return self.a.at


def match_points(context: Context, seam: Seam) -> tuple[MatchPoint, ...]:
    if seam.b is None:
        return ()
    stops_a, stops_b = stops(seam.a, dict(context.copies)), stops(seam.b, dict(context.copies))
    pairs, _, _ = match_stops(stops_a, stops_b)
    found = []
    for a, b in pairs:
        x, y = _thing(context, seam.a, stops_a, a), _thing(context, seam.b, stops_b, b)
        if x is not None and y is not None:
            found.append(_point(context, a, b, x, y))
    return tuple(found)


def _thing(context: Context, run: Run, run_stops: list[Stop], stop: Stop) -> Mark | str | None:
    """The mark of a stop, or at a junction the seam that crosses there."""
    if stop.kind == "junction":
        n = sum(1 for s in run_stops if s.kind == "junction" and s.at < stop.at - 1e-6)
        if run.parts[n].copy == run.parts[n + 1].copy:
            return None  # two edges of one ply: no seam lies there
        return _crossing(context, run.parts[n], run.parts[n + 1])
    for part in run.parts:
        found = context.half(part).edge.mark(stop.name)
        if found is not None and found.kind == stop.kind:
            return found
    return Mark(stop.name, stop.kind, 0.0)  # type: ignore[arg-type]


def _crossing(context: Context, before: Part, after: Part) -> str:
    """The seam between two parts, called alike whichever way it is crossed: by the piece with the lower number."""
    first = context.copies[before.copy].piece.number <= context.copies[after.copy].piece.number
    return seam_words(context, before, at_start=False) if first else seam_words(context, after, at_start=True)


def _point(context: Context, a: Stop, b: Stop, x: Mark | str, y: Mark | str) -> MatchPoint:
    if isinstance(x, str) and isinstance(y, str):
        return MatchPoint(a, b, x)
    if isinstance(x, Mark) and isinstance(y, Mark):
        told = x if x.kind == y.kind or x.kind != "snip" else y
        return MatchPoint(a, b, mark_words(told, context.tongue))
    mark, crossing = (x, y) if isinstance(x, Mark) else (y, x)
    assert isinstance(mark, Mark) and isinstance(crossing, str)
    name = mark_words(mark, context.tongue)
    tongue = context.tongue
    plain = tongue.grammar.head(name) in tongue.small["notch words"]
    named = name if plain else tongue.put("named notch", words=name)
    return MatchPoint(a, b, named, crossing)


def match_words(context: Context, points: tuple[MatchPoint, ...]) -> tuple[str, ...]:
    """'the single notches', 'the centres', 'the top notch to the shoulder seam': each once, like ones first."""
    counts: dict[tuple[str, str], int] = {}
    for p in points:
        counts[(p.words, p.to)] = counts.get((p.words, p.to), 0) + 1
    tongue = context.tongue
    plural = tongue.grammar.plural
    like = [tongue.put("match", it=plural(words)) for (words, to) in counts if not to]
    unlike = [
        tongue.put("match to", it=plural(words) if n > 1 else words, other=plural(to) if n > 1 else to)
        for (words, to), n in counts.items()
        if to
    ]
    return (*like, *unlike)
