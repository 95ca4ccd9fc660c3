"""Instructions as one HTML file that a phone shows beside the machine, and as plain text.

The HTML holds everything: its few rules of style and its pictures (PNG). No script, nothing fetched. Steps can be
ticked off.
"""

from __future__ import annotations

import base64
import re
import textwrap
from collections.abc import Sequence
from html import escape
from itertools import groupby

from booklet.drawing import look
from booklet.pages.instruction_parts import Part, Picture, Table
from booklet.pages.instructions import Instructions
from booklet.pages.words import Words, sentence
from booklet.printing.picture import picture_bytes

DPI = 200.0
LARGER = 1.25  # a picture on a screen against its size on paper, so that its labels are read at arm's length
TEXT_WIDE = 76
WORDY = (
    24  # letters in a cell behind the first: on a narrow screen the rows of such a table stand as short lists
)
_STYLE = f"""
:root {{ color-scheme: light dark; }}
body {{ font: 17px/1.5 "Source Sans 3", system-ui, sans-serif; color: {look.INK}; background: #fff;
  max-width: 44rem; margin: 0 auto; padding: 1rem 1rem 4rem; }}
h1 {{ font-size: 1.9rem; line-height: 1.15; margin: 1rem 0 .3rem; }}
h2 {{ font-size: 1.35rem; border-top: 2px solid {look.INK}; padding-top: .6rem; margin: 2.4rem 0 .6rem; }}
h3 {{ font-size: 1.15rem; line-height: 1.3; margin: 2rem 0 .4rem; }}
h3 .number {{ color: {look.ACCENT}; font-size: 1.5rem; margin-right: .4rem; }}
h3 .aside {{ color: {look.SOFT}; font-weight: 400; font-size: .9rem; margin-left: .5rem; }}
h3 input {{ width: 1.2rem; height: 1.2rem; vertical-align: -0.15rem; margin-right: .5rem; }}
p {{ margin: .4rem 0; }}
.check {{ border-left: 3px solid {look.ACCENT}; padding-left: .7rem; margin: .7rem 0; }}
.check b {{ color: {look.ACCENT}; font-weight: 600; }}
.note, .facts {{ color: {look.SOFT}; }}
.table {{ overflow-x: auto; }}
table {{ border-collapse: separate; border-spacing: 0; width: 100%; margin: .6rem 0; font-size: .95rem; }}
th {{ text-align: left; font-weight: 400; color: {look.SOFT}; border-bottom: 1px solid {look.INK}; }}
td {{ border-bottom: 1px solid {look.RULE}; vertical-align: top; }}
th, td {{ padding: .3rem .8rem .3rem 0; }}
.sizes th:first-child, .sizes td:first-child {{ position: sticky; left: 0; background: #fff; min-width: 6.5rem; }}
.figure {{ text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }}
figure {{ margin: 1rem 0; background: #fff; }}
.views {{ display: flex; gap: 1rem; }} .views figure {{ flex: 1; }}
a {{ color: {look.INK}; }}
img {{ max-width: 100%; height: auto; }}
nav ol {{ columns: 16rem 2; column-gap: 2.5rem; padding-left: 2.2rem; }}
nav li {{ break-inside: avoid; padding: .2rem 0; }}
ul {{ padding-left: 1.3rem; }}
dt {{ font-weight: 600; }} dd {{ margin: 0 0 .5rem; }}
@media (prefers-color-scheme: dark) {{
  body, .sizes th:first-child, .sizes td:first-child {{ background: #171615; color: #EDE9E2; }}
  h2 {{ border-color: #EDE9E2; }}
  figure {{ padding: .5rem; border-radius: .3rem; }} .note, .facts, th, h3 .aside {{ color: #B8B3AB; }}
  h3 .number, .check b {{ color: #E2785F; }} .words td + td::before {{ color: #B8B3AB; }} a {{ color: inherit; }}
}}
@media (max-width: 34rem) {{
  .words thead {{ position: absolute; left: -99rem; }}
  .words tr, .words td {{ display: block; border: 0; }}
  .words tr {{ border-bottom: 1px solid {look.RULE}; padding: .4rem 0; }}
  .words td {{ padding: 0; text-align: left; white-space: normal; }} .words td:first-child {{ font-weight: 600; }}
  .words td + td::before {{ content: attr(data-head) " "; color: {look.SOFT}; }}
}}
@media print {{ h3, figure, table {{ break-inside: avoid; }} nav {{ display: none; }} }}
""".strip()


def html_bytes(told: Instructions) -> bytes:
    """A whole HTML document, UTF-8. The same instructions give the same bytes."""
    out = [
        "<!DOCTYPE html>",
        f'<html lang="{escape(told.language, quote=True)}">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f'<meta name="author" content="{escape(told.maker, quote=True)}">',
        f"<title>{escape(told.title)}</title>",
        f"<style>\n{_STYLE}\n</style>",
        "</head>",
        "<body>",
        "<header>",
        f"<h1>{escape(told.title)}</h1>",
        f"<p>{escape(told.summary)}</p>",
        f'<p class="facts">{escape(" · ".join(f"{k} {v}".strip() for k, v in told.facts))}</p>',
        '<div class="views">',
        *(_figure(view) for view in told.views),
        "</div>",
        "</header>",
        *_contents(told),
        "<main>",
    ]
    for n, part in enumerate(told.parts):
        out += _part(part, n, told.words)
    out += ["</main>", "</body>", "</html>", ""]
    return "\n".join(out).encode("utf-8")


def _contents(told: Instructions) -> list[str]:
    heads = [(n, p.title) for n, p in enumerate(told.parts) if p.level == 2]
    links = [f'<li><a href="#part-{n}">{escape(title)}</a></li>' for n, title in heads]
    label = escape(told.words("cover.contents"), quote=True)
    return [f'<nav aria-label="{label}">', "<ol>", *links, "</ol>", "</nav>"]


def _part(part: Part, n: int, words: Words) -> list[str]:
    aside = f'<span class="aside">{escape(part.aside)}</span>' if part.aside else ""
    title = escape(part.title)
    if part.number is not None:
        tick = f'<input type="checkbox" aria-label="{escape(part.title, quote=True)}">'
        title = f'{tick}<span class="number">{part.number}</span>{title}'
    out = [f'<h{part.level} id="part-{n}">{title}{aside}</h{part.level}>']
    out += [f"<p>{_bold(text)}</p>" for text in part.text]
    out += [f'<p class="note">{_bold(part.note)}</p>'] if part.note else []
    if part.check:
        out.append(f'<p class="check"><b>{escape(check_head(words))}</b> {_bold(part.check)}</p>')
    out += _table(part.table) if part.table else []
    if part.bullets:
        out += ["<ul>", *(f"<li>{_bold(b)}</li>" for b in part.bullets), "</ul>"]
    if part.terms:
        out += ["<dl>", *(f"<dt>{escape(w)}</dt><dd>{_bold(t)}</dd>" for w, t in part.terms), "</dl>"]
    return out + [_figure(p) for p in part.pictures]


def _figure(picture: Picture) -> str:
    data = base64.b64encode(picture_bytes(picture.drawing, "png", DPI)).decode("ascii")
    wide, high = (round(mm / 25.4 * 96 * LARGER) for mm in (picture.drawing.width, picture.drawing.height))
    alt = escape(picture.told, quote=True)
    return f'<figure><img alt="{alt}" width="{wide}" height="{high}" src="data:image/png;base64,{data}"></figure>'


def check_head(words: Words) -> str:
    """'Check:', before what is looked at when a step is done."""
    return words.spaced(f"{sentence(words('checks.check'))}:")


def _table(table: Table) -> list[str]:
    def cell(tag: str, n: int, text: str) -> str:
        figure = ' class="figure"' if n in table.numbers else ""
        more = ' scope="col"' if tag == "th" else f' data-head="{escape(table.head[n], quote=True)}"'
        return f"<{tag}{more}{figure}>{escape(text)}</{tag}>"

    wordy = not table.sizes and max((len(t) for row in table.rows for t in row[1:]), default=0) > WORDY

    head = "".join(cell("th", n, t) for n, t in enumerate(table.head))
    rows = []
    for row in table.rows:
        cells = [cell("td", n, t) for n, t in enumerate(row)]
        if table.sizes and len(row) > 2 and len(set(row[1:])) == 1:
            cells = [cells[0], f'<td colspan="{len(row) - 1}">{escape(row[1])}</td>']
        rows.append(f"<tr>{''.join(cells)}</tr>")
    return [
        f'<div class="table{" words" if wordy else ""}{" sizes" if table.sizes else ""}">',
        "<table>",
        f"<thead><tr>{head}</tr></thead>",
        "<tbody>",
        *rows,
        "</tbody>",
        "</table>",
        "</div>",
    ]


def _bold(text: str) -> str:
    return re.sub(r"\*\*(.+?)\*\*", r"<strong>\1</strong>", escape(text, quote=False))


# ---------------------------------------------------------------- plain text


def text_bytes(told: Instructions) -> bytes:
    """The same as plain text, UTF-8, lines of at most 76 signs where words allow it."""
    facts = " · ".join(f"{k} {v}".strip() for k, v in told.facts)
    out = [told.title, "=" * len(told.title), "", *_wrapped(told.summary), *_wrapped(facts)]
    for part in told.parts:
        out += ["", *_text_part(part, told.words)]
    return ("\n".join(line.rstrip() for line in out) + "\n").encode("utf-8")


def _text_part(part: Part, words: Words) -> list[str]:
    number = f"{part.number}. " if part.number is not None else ""
    tick = "[ ] " if part.number is not None else ""
    title = f"{tick}{number}{part.title}" + (f" ({part.aside})" if part.aside else "")
    out = _wrapped(title)
    if part.level == 2:
        out.append("-" * min(TEXT_WIDE, len(title)))
    check = f"{check_head(words)} {part.check}" if part.check else ""
    for text in (*part.text, part.note, check):
        out += _wrapped(text, "    " if part.number is not None else "")
    for bullet in part.bullets:
        out += _lines(bullet, "- ", "  ")
    for word, text in part.terms:
        out += _lines(words.spaced(f"{word}: {text}"), "", "  ")
    if part.table:
        for row in part.table.rows:
            told = [row[0], *_told_cells(part.table, row, words)]
            out += _lines(words.spaced("; ".join(told)), "- ", "  ")
    return out


def _told_cells(table: Table, row: Sequence[str], words: Words) -> list[str]:
    """The cells behind the first, each with its head; sizes that follow each other with the same are told at once."""
    cells = list(zip(table.head[1:], row[1:], strict=True))
    if not table.sizes:
        return [f"{head}: {cell}" for head, cell in cells if cell]
    runs = [(cell, [head for head, _ in run]) for cell, run in groupby(cells, key=lambda c: c[1])]
    if len(runs) == 1:
        return [runs[0][0]]
    out = []
    for cell, heads in runs:
        sizes = words("sizes.runs.from_to", first=heads[0], last=heads[-1]) if len(heads) > 1 else heads[0]
        out.append(f"{sizes}: {cell}")
    return out


def _wrapped(text: str, indent: str = "") -> list[str]:
    return _lines(text, indent, indent) if text else []


def _lines(text: str, first: str, more: str) -> list[str]:
    """Without marks of weight, broken only where words are parted: a figure keeps its unit, a sign its word."""
    plain = text.replace("**", "")
    return textwrap.wrap(
        plain, TEXT_WIDE, initial_indent=first, subsequent_indent=more, break_on_hyphens=False
    )
