"""The tables of the shop's copy: pieces, lays, notions with their sums, seams with both lengths, costs."""

from __future__ import annotations

from dataclasses import replace

from booklet.drawing import look
from booklet.model import Job, Working
from booklet.pages import figures
from booklet.pages.copy_words import copy_lines
from booklet.pages.costs import Cost, costs_of, total
from booklet.pages.flow import Block, Column, Row, heading_block, table_blocks, words_block
from booklet.pages.piece_block import cloth_title
from booklet.pages.seam_words import SeamRow, seam_rows
from booklet.pages.words import Words, sentence
from booklet.units import MM_PER, NBSP, show, show_cloth, show_percent

PT = look.CHECK_PT
NONE = "–"
EQUAL = 0.5  # mm: less ease is not told


def piece_blocks(job: Job, words: Words, panel: look.Paper) -> list[Block]:
    left, right = panel.left, panel.right
    name = min(42.0, (right - left) * 0.3)
    columns = (
        Column(left, 7, "", "middle", 600, size_pt=PT),
        Column(left + 9, name, words("sheet.piece"), size_pt=PT),
        Column(left + 12 + name, right - left - 12 - name, words("sheet.cut"), size_pt=PT),
    )
    rows = []
    for cut in sorted(job.size.cut_pieces, key=lambda c: c.piece.number):
        told = [f"{cloth_title(job, line.cloth)}: {line.words}" for line in copy_lines(cut, job.size, words)]
        rows.append(Row((str(cut.piece.number), cut.piece.title, words.spaced("; ".join(told)))))
    return [heading_block(words("sheet.pieces"), "", panel), *table_blocks(columns, rows, left, right)]


def lay_blocks(job: Job, words: Words, panel: look.Paper) -> list[Block]:
    """A row for each lay: cloth, width, how laid, length taken, length to buy, share used."""
    left, right = panel.left, panel.right
    wide = right - left
    at = [wide * share for share in (0.0, 0.23, 0.35, 0.58, 0.73, 0.88)]
    columns = (
        Column(left, at[1] - 3, words("sheet.lays"), size_pt=PT),
        Column(left + at[1], at[2] - at[1] - 2, words("cloth.width"), size_pt=PT),
        Column(left + at[2], at[3] - at[2] - 2, words("cloth.laid"), size_pt=PT),
        Column(left + at[3], at[4] - at[3] - 2, words("cloth.taken"), "end", size_pt=PT),
        Column(left + at[4], at[5] - at[4] - 2, words("cloth.buy"), "end", 600, size_pt=PT),
        Column(left + at[5], wide - at[5], words("cloth.used"), "end", size_pt=PT, colour=look.SOFT),
    )
    rows = []
    for need in job.size.cloths:
        for n, lay in enumerate(need.lays):
            rows.append(
                Row(
                    (
                        sentence(need.title) if n == 0 else "",
                        figures.cloth_width(lay.width_mm, job.units),
                        words("cloth." + lay.kind),
                        figures.cloth_taken(lay.length_mm, job.units),
                        figures.cloth_length(lay.buy_mm, job.units),
                        show_percent(round(lay.used, 2), job.units),
                    )
                )
            )
    return (
        [heading_block(words("sheet.lays"), "", panel), *table_blocks(columns, rows, left, right)]
        if rows
        else []
    )


def notion_blocks(job: Job, words: Words, panel: look.Paper) -> list[Block]:
    left, right = panel.left, panel.right
    columns = (
        Column(left, (right - left) * 0.62, words("cloth.notion"), size_pt=PT),
        Column(
            left + (right - left) * 0.64, (right - left) * 0.36, words("cloth.amount"), "end", 600, size_pt=PT
        ),
    )
    rows = [Row((sentence(n.name), n.printed)) for n in job.size.notions]
    return (
        [heading_block(words("sheet.notions"), "", panel), *table_blocks(columns, rows, left, right)]
        if rows
        else []
    )


def amount_blocks(job: Job, words: Words, panel: look.Paper) -> list[Block]:
    """The sum behind each amount to buy."""
    wide = panel.right - panel.left
    workings: list[Working] = [w for need in job.size.cloths for w in need.workings]
    workings += [w for n in job.size.notions for w in n.workings]
    workings += job.size.workings
    if not workings:
        return []
    blocks = [heading_block(words("sheet.amounts"), "", panel, ruled=True)]
    for n, w in enumerate(workings):
        text = words.spaced(f"**{sentence(w.what)}:** {w.line}")
        blocks.append(
            words_block(
                text, panel.left, wide, look.LABEL_PT, look.LABEL_LEADING, before=2.4 if n == 0 else 1.3
            )
        )
    return blocks


def seam_blocks(job: Job, words: Words, panel: look.Paper) -> list[Block]:
    """Every seam of two runs: both sewn lengths, and the ease or the gathers between them."""
    left, right = panel.left, panel.right
    step, length, ease = 8.5, 18.0, 20.0
    run = (right - left - step - 2 - 2 * length - ease - 4) / 2
    end = right - ease
    columns = (
        Column(left, step, words("sheet.step"), "middle", 600, size_pt=PT),
        Column(left + step + 2, run, words("sheet.first_edge"), size_pt=PT),
        Column(left + step + run + 4, run, words("sheet.second_edge"), size_pt=PT),
        Column(end - 2 * length, length, words("sheet.first"), "end", size_pt=PT),
        Column(end - length, length, words("sheet.second"), "end", size_pt=PT),
        Column(end, ease, words("sheet.ease"), "end", 600, size_pt=PT),
    )
    rows = [Row(_seam(r, job, words)) for r in seam_rows(job, words)]
    head = heading_block(words("sheet.seams"), "", panel)
    return [head, *table_blocks(columns, rows, left, right)] if rows else []


def _seam(row: SeamRow, job: Job, words: Words) -> tuple[str, ...]:
    side = words("sheet.side", side=words(f"measures.{row.side}")) if row.side else ""
    told = NONE
    if abs(row.ease) >= EQUAL:
        told = ("+" if row.ease > 0 else "−") + show(abs(row.ease), job.units)
        if row.treatment == "gathers":
            told = f"{told}\n{words('sheet.gathers')}"
    side += words("sheet.times", count=row.times) if row.times > 1 else ""
    return (str(row.number), row.a + side, row.b, show(row.a_mm, job.units), show(row.b_mm, job.units), told)


# ---------------------------------------------------------------- costs


def cost_blocks(job: Job, words: Words, panel: look.Paper) -> list[Block]:
    """Nothing where the shop gives no rates."""
    lines = costs_of(job)
    if not lines or job.shop.rates is None:
        return []
    left, right = panel.left, panel.right
    wide = right - left
    columns = (
        Column(left, wide * 0.40, "", size_pt=PT),
        Column(left + wide * 0.42, wide * 0.38, "", size_pt=PT, colour=look.SOFT),
        Column(left + wide * 0.81, wide * 0.19, "", "end", 600, size_pt=PT),
    )
    rows = [
        Row((_what(c, words), _reckoned(c, words, job), NONE if c.price is None else _money(c.sum, words)))
        for c in lines
    ]
    rows.append(
        Row((sentence(words("sheet.cost_sum")), "", _money(total(lines), words)), strong=True, pale=True)
    )
    currency = job.shop.rates.currency
    aside = words("sheet.cost_aside", currency=currency) if currency else ""
    blocks = [heading_block(words("sheet.costs"), aside, panel), *table_blocks(columns, rows, left, right)]
    blocks = [*(replace(b, keep=True) for b in blocks[:-1]), blocks[-1]]  # a sum stays with what it sums up
    if any(c.price is None for c in lines):
        lacks = words("sheet.cost_lacks")
        blocks.append(
            words_block(lacks, left, wide, look.LABEL_PT, look.LABEL_LEADING, colour=look.SOFT, before=1.8)
        )
    return blocks


def _what(cost: Cost, words: Words) -> str:
    return sentence(words("sheet.cost_work") if cost.kind == "work" else cost.what)


def _reckoned(cost: Cost, words: Words, job: Job) -> str:
    """'2.30 m at 14.50 a metre'; where the price is for another unit than the booklet prints, both lengths."""
    places = 2 if cost.unit else 0
    amount = words.told(f"{cost.amount:.{places}f}{NBSP}{cost.unit}".rstrip(NBSP))
    long = cost.unit in ("m", "yd")
    if long and (cost.unit == "yd") != (job.units == "in"):
        bought = show_cloth(cost.amount * MM_PER[cost.unit], job.units)
        amount = words("sheet.cost_same", bought=bought, amount=amount)
    if cost.price is None:
        return words("sheet.cost_none", amount=amount)
    key = {"m": "sheet.cost_metre", "yd": "sheet.cost_yard"}.get(cost.unit, "sheet.cost_each")
    return words(key, amount=amount, price=_money(cost.price, words))


def _money(sum_: float, words: Words) -> str:
    return words.told(f"{sum_:.2f}")
