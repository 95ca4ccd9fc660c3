"""Reads a shop's wording folder and holds its phrases against the package's: a key or a slot that nothing prints is a fault.

Step templates are only read here; the sewing stage, which knows what they may say, checks them.
"""

from __future__ import annotations

import string
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from booklet.grammar import ARTICLES
from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.sewing_shape import VERBS
from booklet.reading.yaml_source import LARGEST_BYTES, Source, Step, parse_yaml
from booklet.resources import data_folder
from booklet.wording import NONE, Wording, laid_over, package_phrases, phrases

# Tables to which a style or a shop may add names of its own.
OPEN = ("body", "cautions", "operators")
TERM_KEYS = ("word", "forms", "for", "text")
PARTS = ("steps/*.j2", "steps/words.yaml", "pages/*.yaml", "glossary.yaml")


def read_wording(folder: Path, language: str, where: Where | None = None) -> Wording:
    """A shop's own texts: of the folder's sub-folder of that language if there is one, else of the folder itself.

    `where` is the line that names the folder. Raises `Fault` with everything that is wrong with the files.
    """
    if not folder.is_dir():
        raise Fault.of("wording-missing", f"there is no wording folder {folder.as_posix()}", where,
                       "Make it, or leave out `wording:`.")  # fmt: skip
    if (folder / language).is_dir():
        folder = folder / language
    collector = Collector()
    files = []
    for path in sorted(p for p in folder.rglob("*") if p.is_file() and not _hidden(p, folder)):
        name = path.relative_to(folder).as_posix()
        with collector.catching():
            files.append((name, _text(path, name)))
    wording = Wording(folder.as_posix(), tuple(files))
    for name, text in files:
        with collector.catching():
            _check(wording, name, text, language, collector)
    collector.raise_if_errors()
    return wording if files else NONE


def _hidden(path: Path, folder: Path) -> bool:
    return any(part.startswith(".") for part in path.relative_to(folder).parts)


def _text(path: Path, name: str) -> str:
    if not any(Path(name).match(part) and name.count("/") == part.count("/") for part in PARTS):
        raise Fault.of("wording-file", f"nothing is printed from the file '{name}'", Where(path.as_posix(), 1),
                       f"A wording folder holds {', '.join(PARTS)}.")  # fmt: skip
    try:
        raw = path.read_bytes()[: LARGEST_BYTES + 1]
        if len(raw) > LARGEST_BYTES:
            raise Fault.of("file-large", "the file is too large for a text", Where(path.as_posix(), 1))
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise Fault.of("file-encoding", "the file is not UTF-8 text", Where(path.as_posix(), 1),
                       "Save it as UTF-8 in your editor.") from None  # fmt: skip
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise Fault.of(
            "file-unreadable", f"the file cannot be read ({reason})", Where(path.as_posix(), 1)
        ) from None


def _check(wording: Wording, name: str, text: str, language: str, collector: Collector) -> None:
    if name.endswith(".j2"):
        return
    source = parse_yaml(text, f"{wording.folder}/{name}")
    if not isinstance(source.data, dict):
        raise Fault.of("shape", "the file does not hold keys and values", source.where())
    folder = data_folder("templates") / language
    if name == "glossary.yaml":
        own = phrases((folder / name).read_text(encoding="utf-8"))
        _glossary(source, own["glossary"], collector)
        return
    small = name == "steps/words.yaml"
    own = phrases((folder / name).read_text(encoding="utf-8")) if small else package_phrases(language)
    _phrases(source, source.data, own, (), collector)


def _phrases(
    source: Source,
    given: Mapping[str, Any],
    own: Mapping[str, Any],
    path: tuple[Step, ...],
    collector: Collector,
) -> None:
    for key, value in given.items():
        here = (*path, key)
        if key not in own:
            if not path or path[0] not in OPEN:
                what = f"nothing is printed from the key '{'.'.join(str(p) for p in here)}'"
                collector.error("wording-key", source.where(*here), what, nearest(key, own).strip())
            continue
        _phrase(source, value, own[key], here, collector)


def _phrase(source: Source, value: Any, own: Any, path: tuple[Step, ...], collector: Collector) -> None:
    where, key = source.where(*path), ".".join(str(p) for p in path)
    counted = isinstance(own, Mapping) and set(own) == {"one", "more"}
    if isinstance(own, Mapping) and isinstance(value, Mapping):
        _phrases(source, value, own, path, collector)
    elif isinstance(own, list) and isinstance(value, list) and value:
        for n, item in enumerate(value):
            _phrase(source, item, "", (*path, n), collector)
    elif isinstance(value, (Mapping, list)) or value is None or (not isinstance(own, str) and not counted):
        wanted = (
            "a phrase" if isinstance(own, str) else "a list" if isinstance(own, list) else "keys and values"
        )
        collector.error("wording-form", where, f"'{key}' takes {wanted}")
    else:
        of = " ".join(own.values()) if counted else str(own)
        _slots(str(value), of, key, where, collector)


def _slots(text: str, own: str, key: str, where: Where, collector: Collector) -> None:
    """The {slots} of a phrase: those of the package's own phrase, or fewer."""
    known = list(dict.fromkeys(n for _, n, _, _ in string.Formatter().parse(own) if n is not None))
    try:
        asked = [(n, spec, how) for _, n, spec, how in string.Formatter().parse(text) if n is not None]
    except ValueError:
        collector.error(
            "wording-slot", where, f"'{key}' has a brace without its partner", "Close it, or write {{ or }}."
        )
        return
    for name, spec, how in asked:
        if name not in known or (spec and spec not in ARTICLES) or how:
            mend = (
                nearest(name, known).strip() if known else "This phrase takes no slots; write {{ for a brace."
            )
            collector.error(
                "wording-slot", where, f"'{key}' asks for '{{{name}}}', which is not given there", mend
            )


def _glossary(source: Source, own: Mapping[str, Any], collector: Collector) -> None:
    terms = source.data.get("glossary")
    for key in source.data:
        if key != "glossary":
            collector.error("wording-key", source.where(key), f"'{key}' is not read", "Known: glossary.")
    if not isinstance(terms, dict):
        collector.error(
            "wording-form", source.where("glossary"), "'glossary' takes the words explained, by a key each"
        )
        return
    for key, row in terms.items():
        where = source.where("glossary", key)
        if not isinstance(row, dict):
            collector.error("wording-form", where, f"the word '{key}' takes {', '.join(TERM_KEYS)}")
            continue
        for name, value in row.items():
            _term(source, key, name, value, collector)
        lacking = [n for n in ("word", "forms", "text") if n not in laid_over(own.get(key, {}), row)]
        if lacking:
            collector.error("wording-form", where, f"the new word '{key}' lacks {' and '.join(lacking)}")


def _term(source: Source, key: str, name: str, value: Any, collector: Collector) -> None:
    where = source.where("glossary", key, name)
    if name not in TERM_KEYS:
        collector.error(
            "wording-key", where, f"the word '{key}' has '{name}'", nearest(name, TERM_KEYS).strip()
        )
    elif name in ("word", "text") and (isinstance(value, (dict, list)) or value is None):
        collector.error("wording-form", where, f"'{name}' of the word '{key}' takes a phrase")
    elif name in ("forms", "for") and not (
        isinstance(value, list) and all(isinstance(v, str) for v in value)
    ):
        collector.error("wording-form", where, f"'{name}' of the word '{key}' takes a list of words")
    elif name == "forms" and not value:
        collector.error("wording-form", where, f"the word '{key}' has no forms, so that no text can use it")
    elif name == "for":
        for verb in value:
            if verb not in VERBS:
                what = f"'{verb}' is no operation"
                collector.error("wording-key", where, what, nearest(verb, VERBS).strip())
