"""Every pack of a style as a finished file, judged: as it was laid out, and as another PDF engine reads it back.

A finding is a sentence with its page.
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.drawing.bounds import box_of, flat_items, text_corners
from booklet.drawing.display import Text
from booklet.drawing.judge import judge
from booklet.drawing.page import PageSpec
from booklet.model import Job
from booklet.pages.shop_sheet import LARGE, SMALL
from booklet.pages.spec import paper_of
from helpers.numbers_read import RULES
from helpers.packs_made import Made
from helpers.read_back import clashes

PRINTER = 6.0  # mm from the paper's edge that many printers leave white


def findings(booklet: Made) -> list[str]:
    """All that is wrong."""
    out = [f"'{w}' is cut: it finds no room on a line" for w in booklet.cut_words]
    for n, spec, read in booklet.reading:
        out += [f"page {n}: {w}" for w in (*_layout(spec, booklet.job), *clashes(read, PRINTER))]
    if booklet.tiles_read:
        for n, spec, read in booklet.tiles:
            found = [f.what for f in judge(spec.drawing, cut_words=False) if f.kind.startswith("words")]
            out += [f"page {n}: {w}" for w in (*found, *clashes(read, PRINTER, own_ground=True))]
    out += [w for rule in RULES for w in rule(booklet)]
    return list(dict.fromkeys(out))


# ---------------------------------------------------------------- as laid out


def _layout(spec: PageSpec, job: Job) -> Iterator[str]:
    """Words over words, off the page, over its margins, over its foot, or cut short."""
    drawing = spec.drawing
    for f in judge(drawing):
        yield f"{f.kind}: {f.what}"
    panels = _panels(spec, job)
    for flat in flat_items(drawing.items):
        if not isinstance(flat.item, Text) or not flat.item.text.strip():
            continue
        if flat.item.text.endswith("…"):
            yield f"'{flat.item.text}' is cut short"
        corners = text_corners(flat.item, flat.placement)
        x0, x1 = min(z.real for z in corners), max(z.real for z in corners)
        if not any(left - 0.05 <= x0 and x1 <= right + 0.05 for left, right in panels):
            yield f"'{flat.item.text}' is outside the margins ({x0:.1f} to {x1:.1f} mm)"
    rule_at = max(
        (box_of(f.item, f.placement) for f in flat_items(drawing.items) if f.item.role == "rule"),
        key=lambda b: b[3] if b else 0.0,
        default=None,
    )
    if rule_at is None:
        return
    for flat in flat_items(drawing.items):
        box = box_of(flat.item, flat.placement if isinstance(flat.item, Text) else flat.placement.IDENTITY)
        if flat.item.role in ("foot", "rule", "fold") or box is None or flat.clips:
            continue
        if box[3] > rule_at[1] + 0.1 and box[3] > _foot_of(spec, job):
            said = flat.item.text if isinstance(flat.item, Text) else f"a line '{flat.item.role}'"
            yield f"{said} reaches below the page's foot ({box[3]:.1f} mm)"


def _foot_of(spec: PageSpec, job: Job) -> float:
    for panel in (SMALL[job.paper], LARGE[job.paper]):
        if abs(spec.drawing.width - 2 * panel.width) < 0.1:
            return panel.foot_rule
    return paper_of(job).foot_rule


def _panels(spec: PageSpec, job: Job) -> list[tuple[float, float]]:
    """Left and right margins of the page, or of the panels of a folded sheet."""
    for panel in (SMALL[job.paper], LARGE[job.paper]):
        if abs(spec.drawing.width - 2 * panel.width) < 0.1:
            return [(panel.left + k * panel.width, panel.right + k * panel.width) for k in (0, 1)]
    return [(paper_of(job).left, paper_of(job).right)]
