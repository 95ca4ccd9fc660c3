"""A style's own words in other languages: translations/<language>.yaml beside its files.

    words:
      Sleeve: Manche                      # left as the style's files have it, right what is printed
      sewing.hem.note: Ourler à la main.  # or, for a long text, its place: file.key.key (a step by its id)
    feminine: [Bavette]                   # nouns of that gender that the language's own list lacks

What a file leaves out is printed as the style has it, and named in a warning.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from booklet.problems import Collector, Where, nearest
from booklet.reading.yaml_source import Source, Step, read_yaml

FOLDER = "translations"
# Where the style's own words stand in its files; '*' is any key or place in a list.
STYLE_TEXTS = (
    "title", "summary", "level", "option titles.*.*", "cloths.*.title", "cloths.*.kind", "notions.*.item",
    "notions.*.why", "notions.*.colour", "notions.*.labels.*", "notions.*.*.colour", "notions.*.*.kind",
    "notions.*.kind", "finished.*.title", "openings.*.title", "changes.*.what",
)  # fmt: skip
DRAFT_TEXTS = ("pieces.*.title", "pieces.*.called.*")
SEWING_TEXTS = (
    "steps.*.part", "steps.*.title", "steps.*.note", "steps.*.check", "steps.*.although", "steps.*.although.*",
    "steps.*.free", "steps.*.free.*", "steps.*.try on.look at.*", "steps.*.try on.*",
)  # fmt: skip
_FILES = {"style": STYLE_TEXTS, "draft": DRAFT_TEXTS, "sewing": SEWING_TEXTS}


@dataclass(frozen=True)
class Translation:
    """The words of one language: English text -> its translation; nouns of the feminine gender."""

    names: Mapping[str, str]
    feminine: tuple[str, ...] = ()


@dataclass(frozen=True)
class OwnText:
    """A text of the style's files: its words, the place by which it may be named, and its line."""

    words: str
    place: str
    where: Where


def read_translations(folder: Path, collector: Collector) -> dict[str, Source]:
    """The files of a style's translations by language; what cannot be read goes to the collector."""
    out: dict[str, Source] = {}
    for path in sorted((folder / FOLDER).glob("*.yaml")):
        with collector.catching():
            source = read_yaml(path)
            _check_form(source, collector)
            out[path.stem] = source
    return out


def _check_form(source: Source, collector: Collector) -> None:
    data = source.data
    if not isinstance(data, dict) or not isinstance(data.get("words", {}), dict):
        collector.error(
            "translation", source.where(), "the file holds no words", "Begin with 'words:', one text a line."
        )
        return
    for key in data:
        if key not in ("words", "feminine"):
            mend = nearest(str(key), ("words", "feminine")).strip()
            collector.error("translation", source.where(key), f"'{key}' is not read here", mend)
    for key, value in (data.get("words") or {}).items():
        if isinstance(value, (dict, list)) or value is None:
            where, what = source.where("words", key), f"'{key}' has no words"
            collector.error("translation", where, what, "Write them after the colon.")
    if not isinstance(data.get("feminine", []), list):
        collector.error(
            "translation", source.where("feminine"), "'feminine' is a list of nouns", "Write [noun, noun]."
        )


def translation(
    sources: Mapping[str, Source], translations: Mapping[str, Source], language: str
) -> Translation:
    """The style's words in a language; none where it has no file for it."""
    source = translations.get(language)
    if source is None or not isinstance(source.data, dict):
        return Translation({})
    places = {t.place: t.words for t in own_texts(sources)}
    names = {}
    for key, value in (source.data.get("words") or {}).items():
        names[places.get(str(key), joined(key))] = joined(value)
    return Translation(names, tuple(str(n).lower() for n in source.data.get("feminine") or ()))


def joined(text: Any) -> str:
    """A text on one line, as translations are looked up."""
    return " ".join(str(text).split())


def own_texts(sources: Mapping[str, Source]) -> tuple[OwnText, ...]:
    """All texts of a style's files that print, in order, each once."""
    found: dict[str, OwnText] = {}
    for file, patterns in _FILES.items():
        if file not in sources:
            continue
        source = sources[file]
        for pattern in patterns:
            for path, value in _at(source.data, pattern.split("."), ()):
                if isinstance(value, str) and value.strip():
                    text = OwnText(joined(value), _place(file, path, source.data), source.where(*path))
                    found.setdefault(text.words, text)
    return tuple(found.values())


def _at(data: Any, pattern: Sequence[str], path: tuple[Step, ...]) -> Iterator[tuple[tuple[Step, ...], Any]]:
    if not pattern:
        yield path, data
        return
    first, rest = pattern[0], pattern[1:]
    if isinstance(data, dict):
        for key in data if first == "*" else [k for k in (first,) if k in data]:
            yield from _at(data[key], rest, (*path, key))
    elif isinstance(data, list) and first == "*":
        for n, item in enumerate(data):
            yield from _at(item, rest, (*path, n))


def _place(file: str, path: tuple[Step, ...], data: Any) -> str:
    """'sewing.hem.note': a step by its id, other things by their keys, what is in a list by its number from 1."""
    steps: list[Step] = list(path)
    if file == "sewing" and len(path) > 1 and path[0] == "steps":
        steps = [data["steps"][path[1]].get("id") or path[1], *path[2:]]
    return ".".join([file, *(str(s + 1) if isinstance(s, int) else str(s) for s in steps)])


def untranslated(
    sources: Mapping[str, Source], names: Mapping[str, str], language: str, collector: Collector
) -> None:
    """A warning for each text of the style, and each title of a view, that has no translation."""
    style = sources["style"]
    views = [
        OwnText(str(title).replace("_", " "), "", style.where("views", title))
        for title in style.data.get("views") or {}
    ]
    for text in (*own_texts(sources), *views):
        if text.words not in names and text.words.lower() not in names:
            short = text.words if len(text.words) <= 60 else text.words[:57] + "..."
            warn_of(short, text.place, language, text.where, collector)


def warn_of(words: str, place: str, language: str, where: Where, collector: Collector) -> None:
    named = f" (or '{place}')" if place else ""
    collector.warning(
        "translation-missing", where, f"'{words}' has no translation into {language}, and is printed as it stands",
        f"Give it one in {FOLDER}/{language}.yaml, under 'words', by its text{named}.",
    )  # fmt: skip
