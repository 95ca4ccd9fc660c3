"""Everything that a booklet says in all its packs and forms, and every word that it may use in its language.

A word is a run of two letters or more. Allowed are the words of the language's templates and of the style's translation, in
the forms that the grammar gives them, names (shop, body, size, paper), and signs of units; so whatever is left in English
is found, unless each of its words happens to be one of the language.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import html5lib
from jinja2 import Environment, nodes

from booklet import write
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, Group, Text
from booklet.drawing.page import PageSpec
from booklet.language import small_words, tongue_for
from booklet.model import Job
from booklet.pages.compose import compose
from booklet.pages.nest_words import layer_name
from booklet.pages.words import words_for
from booklet.reading.packs import read_pack
from booklet.resources import data_folder
from booklet.sewing.phrases import Phrases
from booklet.wording import phrases

TEMPLATES = data_folder("templates")
STYLES = ("apron", "aline", "blouse", "skirt", "top", "trousers")
PACKS = ("full", "apprentice", "sale", "shop")
SIGNS = frozenset("mm cm min px kg Letter Tabloid".lower().split())  # the same in every language
SCREEN = ("on a screen", "as plain text")
FIGURE = re.compile(r"\d[\d,./ \u00a0]*\u00a0[^\W\d_]+[²³]?")  # with its unit
WORD = re.compile(r"[^\W\d_²³]{2,}")


def leaves(data: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], str]]:
    """Each phrase with its keys; a phrase that counts is one."""
    if isinstance(data, Mapping) and set(data) == {"one", "more"}:
        yield path, " ".join(str(v) for v in data.values())
    elif isinstance(data, Mapping):
        for key, value in data.items():
            yield from leaves(value, (*path, str(key)))
    elif isinstance(data, list):
        for n, value in enumerate(data):
            yield from leaves(value, (*path, str(n)))
    else:
        yield path, str(data)


def words_in(text: str) -> set[str]:
    return {
        t.lower() for t in WORD.findall(re.sub(r"\w*…", "", text))
    }  # a word cut short is judged elsewhere


# ---------------------------------------------------------------- what may be said


def said_by(folder: Path) -> str:
    """All that a language's templates print, slots left out."""
    texts = [v for f in sorted((folder / "pages").glob("*.yaml")) for _, v in leaves(_read(f))]
    # Of the small words only what is printed: a list of nouns by gender isn't.
    small = {k: v for k, v in _read(folder / "steps" / "words.yaml").items() if k not in _GRAMMAR}
    texts += [v for _, v in leaves(small)]
    for row in _read(folder / "glossary.yaml")["glossary"].values():
        texts += [row["word"], row["text"]]
    for f in sorted((folder / "steps").glob("*.j2")):
        texts += template_words(f.read_text("utf-8"))
    if (folder / "names.yaml").is_file():
        texts += _read(folder / "names.yaml").values()
    return re.sub(r"\{[^}]*\}", " ", " ".join(str(t) for t in texts))


_GRAMMAR = (
    "feminine", "plural", "plural stops", "invariable", "plural ends", "not plural", "vowels", "no elision", "spaces",
    "main word", "and before",
)  # fmt: skip


def _read(file: Path) -> Any:
    return phrases(file.read_text("utf-8"))


@cache
def language_words(language: str) -> frozenset[str]:
    return frozenset(words_in(said_by(TEMPLATES / language)))


def template_words(source: str) -> Iterator[str]:
    """What a step's template prints of its own; what it compares facts with isn't printed."""
    env = Environment()
    env.filters.update(Phrases.FILTERS)
    waiting: list[nodes.Node] = [env.parse(source)]
    while waiting:
        node = waiting.pop()
        if isinstance(node, nodes.Compare | nodes.Include):
            continue
        if isinstance(node, nodes.TemplateData):
            yield re.sub(r"^\[\w+\]$", " ", node.data, flags=re.MULTILINE)
        elif isinstance(node, nodes.Const) and isinstance(node.value, str):
            yield node.value
        if isinstance(node, nodes.Pair):
            waiting.append(node.value)
        else:
            waiting += node.iter_child_nodes()


def vocabulary(job: Job, style: str) -> frozenset[str]:
    """Every word that the booklet may print."""
    language, shop = job.language, job.shop
    own = _read(data_folder("styles") / style / "translations" / f"{language}.yaml")["words"]
    found = set(language_words(language)) | SIGNS
    found |= {w for v in own.values() for w in words_in(str(v))}
    found |= {w for v in (small_words(language).get("units") or {}).values() for w in words_in(str(v))}
    grammar = tongue_for(language).grammar
    found |= {w for word in list(found) for w in words_in(grammar.plural(word))}
    names = (shop.name, shop.contact, shop.rates.currency if shop.rates else "", job.style.code)
    names += tuple(f"{s.size} {s.body_name} {s.body_code}" for s in job.sizes)
    return frozenset(found | {w for n in names for w in words_in(n)})


# ---------------------------------------------------------------- what is said


def everything_said(job: Job) -> Iterator[tuple[str, str]]:
    """Each text with where it stands: all packs with their pattern, told pictures, bookmarks, screen and plain text."""
    words = words_for(job.language)
    for pack in PACKS:
        # The pattern is the same in every pack that has one.
        pages = (
            write.laid_out(job, pack=read_pack(pack))[0]
            if pack == PACKS[0]
            else compose(job, pack=read_pack(pack))
        )
        for n, page in enumerate(pages, 1):
            yield from ((f"{pack}, page {n}", text) for text in (*texts_of(page), page.label))
    yield from (("a layer", layer_name(s.size, words)) for s in (job.sizes if job.nested else ()))
    yield "the PDF's subject", job.style.summary
    yield from ((SCREEN[0], text) for text in screen_texts(write.instructions_as("html", job).decode()))
    yield from ((SCREEN[1], t) for t in write.instructions_as("txt", job).decode().splitlines())


def texts_of(page: PageSpec) -> list[str]:
    """Printed texts, pictures in words, bookmarks."""
    out = [f.item.text for f in flat_items(page.drawing.items) if isinstance(f.item, Text)]
    out += [g.told for g in groups_of(page.drawing) if g.told]
    return out + [b.title for b in page.bookmarks]


def groups_of(drawing: Drawing) -> Iterator[Group]:
    waiting = [i for i in drawing.items if isinstance(i, Group)]
    while waiting:
        group = waiting.pop()
        yield group
        waiting += [i for i in group.items if isinstance(i, Group)]


class _Heard(HTMLParser):
    """What a screen reader would say."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.quiet = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.quiet = tag == "style"
        self.texts += [v for k, v in attrs if v and k in ("alt", "aria-label", "title", "data-head")]

    def handle_endtag(self, tag: str) -> None:
        self.quiet = False

    def handle_data(self, data: str) -> None:
        if data.strip() and not self.quiet:
            self.texts.append(" ".join(data.split(" ")).strip("\n"))


def screen_texts(page: str) -> list[str]:
    heard = _Heard()
    heard.feed(page)
    return heard.texts


# ---------------------------------------------------------------- held against each other


def foreign(job: Job, style: str, said: Iterable[tuple[str, str]]) -> list[str]:
    """Texts with a word that is none of the language's."""
    known = vocabulary(job, style)
    own = [" ".join(term.split()) for term in job.shop.terms]  # lines of what the shop says itself, as it is
    return list(
        dict.fromkeys(
            f"{where}: '{text}' ({', '.join(sorted(odd))})"
            for where, text in said
            if (odd := words_in(text) - known) and not any(text.strip() in term for term in own)
        )
    )


def unlike_on_screen(job: Job, said: Iterable[tuple[str, str]]) -> list[str]:
    """What html5lib refuses, and figures with their units that stand on the screen or in plain text but not in print.

    Printed tables of sizes name the unit once a line, so that of several sizes only what the steps say is compared.
    """
    found: dict[bool, set[str]] = {True: set(), False: set()}
    for where, text in said:
        found[where in SCREEN] |= set(FIGURE.findall(text.replace("**", "")))
    more = set() if job.nested else found[True] - found[False]
    out = [f"'{figure}' is on the screen, not in print" for figure in sorted(more)]
    printed = {f for s in job.steps for t in (*s.text, s.check) for f in FIGURE.findall(t.replace("**", ""))}
    out += [f"'{figure}' of a step isn't on the screen" for figure in sorted(printed - found[True])]
    page = write.instructions_as("html", job).decode()
    try:
        tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    except html5lib.html5parser.ParseError as error:
        return [*out, f"no valid HTML: {error}"]
    return out if tree.get("lang") == job.language else [*out, f"the page is in '{tree.get('lang')}'"]


def badly_set(job: Job, said: Iterable[tuple[str, str]]) -> list[str]:
    """Texts whose signs, figures or units aren't as the language writes them."""
    grammar = tongue_for(job.language).grammar
    out = []
    for where, text in said:
        if grammar.spaced(text) != text:
            out.append(f"{where}: '{text}' lacks a space before a sign")
        bare = text.replace(job.style.version, "")
        bare = re.sub(r"\b\d+\.\d+\.\d+\b", "", bare)
        if "1.0" not in text and grammar.numbers.told(bare) != bare:
            out.append(f"{where}: '{text}' has a figure or unit as English writes it")
    return list(dict.fromkeys(out))
