"""`collar stand:` the band between neckline and collar, its neck edge solved to the neckline's length."""

from __future__ import annotations

from booklet.drafting.asked import Asked
from booklet.drafting.necks import amount_above, grain_of, neck_marks, neckline_of, sprung
from booklet.drafting.shape import Run, Shape
from booklet.paths import Path
from booklet.splines import smooth_curve

SPRINGS = 15.0  # mm that the neck edge rises towards the front (common practice, no source)
COUNT = 8  # stretches between the points of a parallel edge


def stand_runs(neck: Path, to_centre: float, high: float, high_front: float) -> tuple[Run, ...]:
    """The ring of half a stand on its neck edge, which runs from centre back (0) to the right: its end lies at the front.

    `upper` runs from centre back to the centre front, `to_centre` mm along the neck edge; `end` goes on round the
    extension. Heights are square to the neck edge.
    """

    def above(share: float) -> complex:
        s = to_centre * share
        tangent = neck.tangent(s)
        return neck.point(s) - 1j * tangent * (high + (high_front - high) * share)

    tops = [above(k / COUNT) for k in range(COUNT + 1)]
    along = neck.tangent(to_centre)
    upper = smooth_curve(tops, 1 + 0j, along)
    if neck.length - to_centre > 0.5:
        end = smooth_curve([upper.end, neck.end], along, 1j * neck.end_tangent)
    else:
        end = Path.line(upper.end, neck.end)
    centre = Path.line(neck.start, upper.start)
    return (Run("upper", upper), Run("end", end), Run("neck", neck.reversed()), Run("centre", centre))


def from_collar_stand(asked: Asked) -> Shape:
    """`collar stand: {neck: [edges], high, high front, extension, past centre, rise}`.

    Half a stand, from centre back (`centre`, which may lie on the fold) to its rounded end at the front.
    """
    neckline = neckline_of(asked)
    extension = asked.amount("extension", default=0.0)
    high = amount_above(asked, "high", 5.0)
    high_front = amount_above(asked, "high front", 5.0) if asked.has("high front") else high
    if not 0 <= extension < neckline.long / 2:
        raise asked.fault(
            "extension",
            f"the extension of {asked.key} comes out {extension:.1f} mm",
            "Write how far the stand runs on beyond the neckline, 0 or a little more.",
        )
    long = neckline.long + extension
    neck = sprung(asked, long, asked.amount("rise", default=SPRINGS))
    runs = stand_runs(neck, neckline.to_centre, high, high_front)
    marks = neck_marks(neckline, long, extension)
    shape = Shape(runs, asked.maker.side(asked.key), grain=grain_of(high), derived=("neck",))
    return shape.with_run(Run("neck", shape.run("neck").path, marks))
