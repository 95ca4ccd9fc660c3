"""Every language says all that English says, and nothing in English: templates side by side, then whole booklets."""

from __future__ import annotations

import re
import shutil
import string
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from jinja2 import Environment, meta, nodes

import booklet.write as write
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.drawing.judge import judge
from booklet.drawing.page import PageSpec
from booklet.grammar import ARTICLES, Grammar
from booklet.job import check_style, make_job
from booklet.language import OWN, languages, manner, say, small_words, tongue_for
from booklet.model import Job
from booklet.problems import Fault, Problem
from booklet.reading.read import read_style
from booklet.reading.shop import read_shop
from booklet.resources import data_folder
from booklet.sewing.phrases import Phrases
from booklet.sewing.words import glossary
from booklet.units import show, show_cloth
from booklet.wording import phrases

TEMPLATES = data_folder("templates")
OTHERS = [name for name in languages() if name != OWN]
STYLES = ("apron", "aline", "blouse", "skirt", "top", "trousers")
PACKS = ("full", "apprentice", "sale", "shop")


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


def slots(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def phrases_of(language: str, file: str) -> dict[tuple[str, ...], str]:
    return dict(leaves(phrases((TEMPLATES / language / "pages" / file).read_text(encoding="utf-8"))))


PAGE_FILES = sorted(p.name for p in (TEMPLATES / OWN / "pages").glob("*.yaml"))
STEP_FILES = sorted(p.name for p in (TEMPLATES / OWN / "steps").glob("*.j2"))


@pytest.mark.parametrize("language", OTHERS)
def test_every_page_phrase_is_there_with_the_same_slots(language: str) -> None:
    assert sorted(p.name for p in (TEMPLATES / language / "pages").glob("*.yaml")) == PAGE_FILES
    wrong = []
    for file in PAGE_FILES:
        own, mine = phrases_of(OWN, file), phrases_of(language, file)
        wrong += [f"{file}: {'.'.join(k)} is missing" for k in own.keys() - mine.keys()]
        wrong += [f"{file}: {'.'.join(k)} is not asked for" for k in mine.keys() - own.keys()]
        for key in own.keys() & mine.keys():
            more = slots(mine[key]) - slots(own[key])
            wrong += [f"{file}: {'.'.join(key)} has {more}"] if more else []
            specs = {spec for _, _, spec, _ in string.Formatter().parse(mine[key]) if spec}
            wrong += [f"{file}: {'.'.join(key)} knows no {specs}"] if specs - set(ARTICLES) else []
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("language", OTHERS)
def test_the_glossary_and_the_small_words_are_whole(language: str) -> None:
    own, mine = glossary(OWN), glossary(language)
    assert [t.key for t in own] == [t.key for t in mine]
    assert [t.always for t in own] == [t.always for t in mine]
    grammar = {"plural", "articles", "and", "sided"}
    needed = {k for k in small_words(OWN) if k not in grammar} | {"and", "plural", "articles", "sided"}
    assert needed <= set(small_words(language))
    for kind in ARTICLES:
        assert "m" in small_words(language)["articles"][kind]


def asked(language: str, name: str) -> set[str]:
    """The facts that a step template asks for."""
    env = Environment()
    env.filters.update(Phrases.FILTERS)
    tree = env.parse((TEMPLATES / language / "steps" / name).read_text(encoding="utf-8"))
    return set(meta.find_undeclared_variables(tree))


@pytest.mark.parametrize("language", OTHERS)
def test_every_step_template_is_there_and_tells_the_same_facts(language: str) -> None:
    assert sorted(p.name for p in (TEMPLATES / language / "steps").glob("*.j2")) == STEP_FILES
    shown = {"same_edges", "numbers"}
    wrong = []
    for name in STEP_FILES:
        own, mine = asked(OWN, name), asked(language, name)
        more = mine - own
        less = own - mine - shown
        wrong += [f"{name}: asks for {sorted(more)} more"] if more else []
        wrong += [f"{name}: leaves out {sorted(less)}"] if less else []
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("language", OTHERS)
def test_every_condition_of_a_step_is_kept(language: str) -> None:
    """A branch that English has is there: the facts that conditions turn on are the same."""

    def turned_on(of: str, name: str) -> set[str]:
        env = Environment()
        env.filters.update(Phrases.FILTERS)
        tree = env.parse((TEMPLATES / of / "steps" / name).read_text(encoding="utf-8"))
        tests = [n.test for kind in (nodes.If, nodes.CondExpr) for n in tree.find_all(kind)]
        return {
            n.name for test in tests for n in [test, *test.find_all(nodes.Name)] if isinstance(n, nodes.Name)
        }

    english = {"hem.j2": {"edges"}}  # whether the edge is called by the very word of the title
    wrong = {
        name: sorted(left)
        for name in STEP_FILES
        if (left := turned_on(OWN, name) - turned_on(language, name) - english.get(name, set()))
    }
    assert not wrong


# ---------------------------------------------------------------- grammar


def test_french_articles_contract_and_elide() -> None:
    g = tongue_for("fr").grammar
    assert g.with_article("of_the", "devant") == "du devant"
    assert g.with_article("of_the", "manche (5)") == "de la manche (5)"
    assert g.with_article("of_the", "encolure") == "de l'encolure"
    assert g.with_article("to_the", "poignets") == "aux poignets"
    assert g.with_article("the", "hanche") == "la hanche"
    assert g.with_article("of", "épaule") == "d'épaule"
    assert g.with_article("the", "dos") == "le dos"


def test_french_plurals_end_at_the_preposition() -> None:
    g = tongue_for("fr").grammar
    assert g.plural("parementure d'encolure devant") == "parementures d'encolure devant"
    assert g.plural("devant gauche") == "devants gauches"
    assert g.plural("bord inférieur") == "bords inférieurs"
    assert g.plural("dos") == "dos"


def test_a_side_agrees_with_its_piece() -> None:
    g = tongue_for("fr").grammar
    assert (g.sided("manche", "right"), g.sided("dos", "right")) == ("manche droite", "dos droit")
    assert tongue_for("en").grammar.sided("sleeve", "left") == "left sleeve"


def test_french_signs_stand_behind_a_narrow_space_but_ratios_and_times_stay() -> None:
    spaced = tongue_for("fr").grammar.spaced
    assert spaced("Poser; piquer: fin!") == "Poser\u202f; piquer\u00a0: fin\u202f!"
    assert spaced("1 : 5, https://x 10:30") == "1 : 5, https://x 10:30"


def test_numbers_bear_the_comma_and_inches_their_name() -> None:
    cm, inch = manner("cm", "fr"), manner("in", "fr")
    assert show(1045.0, cm) == "104,5\u00a0cm" and show(15.875, inch) == "5/8\u00a0po"
    assert show_cloth(1550.0, cm) == "1,55\u00a0m" and show_cloth(1485.9, inch) == "1\u00a05/8\u00a0vg"
    assert show(1045.0, "cm") == "104.5\u00a0cm"
    assert say(cm, "amounts.dial_mm", length="2.5\u00a0mm") == "point de 2,5\u00a0mm"
    assert cm == "cm" and isinstance(cm, str)


def test_dates_are_written_as_the_language_does() -> None:
    assert tongue_for("fr").grammar.date("2026-11-20") == "20/11/2026"
    assert tongue_for("en").grammar.date("2026-11-20") == "2026-11-20"
    assert tongue_for("fr").grammar.date("spring") == "spring"


def test_a_shops_small_words_are_laid_over_the_grammar() -> None:
    small = {**small_words("fr"), "feminine": ["bavette"]}
    assert Grammar.of(small).with_article("the", "bavette") == "la bavette"


def test_spanish_articles_and_plurals() -> None:
    g = tongue_for("es").grammar
    assert g.with_article("of_the", "delantero") == "del delantero"
    assert g.with_article("to_the", "vista de escote (3)") == "a la vista de escote (3)"
    assert g.with_article("the", "bies") == "el bies" and g.with_article("the", "sisas") == "las sisas"
    assert g.plural("botón") == "botones" and g.plural("cruz") == "cruces" and g.plural("bies") == "bieses"
    assert g.plural("vista de cintura trasera") == "vistas de cintura trasera"
    assert (g.sided("manga", "left"), g.sided("puño", "right")) == ("manga izquierda", "puño derecho")


def test_spanish_and_before_the_sound_of_i() -> None:
    listed = tongue_for("es").grammar.listed
    assert listed(["derecha", "izquierda"]) == "derecha e izquierda"
    assert listed(["agujas", "hilo"]) == "agujas e hilo" and listed(["tela", "hierro"]) == "tela y hierro"


def test_spanish_names_the_other_of_a_pair_by_its_gender() -> None:
    tongue = tongue_for("es")
    assert (
        tongue.put("other", words="manga") == "otra manga"
        and tongue.put("other", words="puño") == "otro puño"
    )
    assert (
        show(15.875, manner("in", "es")) == "5/8\u00a0pulg"
        and show(1045.0, manner("cm", "es")) == "104,5\u00a0cm"
    )


def test_an_unknown_language_is_told_with_those_there_are() -> None:
    with pytest.raises(Fault, match="no texts in the language 'xx'") as told:
        read_shop(language="xx")
    assert "fr" in str(told.value.problems[0].mend)


# ---------------------------------------------------------------- booklets


def _tokens(text: str) -> set[str]:
    return {t.lower() for t in re.findall(r"[^\W\d_]{3,}", text)}


def _said_by(folder: Path) -> str:
    """All words that a language's templates print."""
    texts = [
        v for f in sorted((folder / "pages").glob("*.yaml")) for _, v in leaves(phrases(f.read_text("utf-8")))
    ]
    texts += [v for _, v in leaves(phrases((folder / "steps" / "words.yaml").read_text("utf-8")))]
    texts += [v for _, v in leaves(phrases((folder / "glossary.yaml").read_text("utf-8")))]
    for f in sorted((folder / "steps").glob("*.j2")):
        source = f.read_text("utf-8")
        texts.append(re.sub(r"\{[%{].*?[%}]\}", " ", source, flags=re.DOTALL))
        texts += re.findall(r'"([^"]*)"', " ".join(re.findall(r"\{\{.*?\}\}", source, re.DOTALL)))
    if (folder / "names.yaml").is_file():
        texts += phrases((folder / "names.yaml").read_text("utf-8")).values()
    return re.sub(r"\{[^}]*\}", " ", " ".join(str(t) for t in texts))


@lru_cache(maxsize=8)
def english_alone(language: str) -> frozenset[str]:
    """Words of the English templates and styles that are no words of the other language."""
    english, other = _tokens(_said_by(TEMPLATES / OWN)), _tokens(_said_by(TEMPLATES / language))
    for style in STYLES:
        file = data_folder("styles") / style / "translations" / f"{language}.yaml"
        words = phrases(file.read_text("utf-8"))["words"]
        english |= {t for k in words for t in _tokens(str(k)) if not str(k).startswith("style.")}
        other |= {t for v in words.values() for t in _tokens(str(v))}
    english |= _tokens(" ".join(phrases((TEMPLATES / language / "names.yaml").read_text("utf-8"))))
    return frozenset(english - other - {"letter"})  # the paper's name everywhere


def booklet_pages(job: Job, monkeypatch: pytest.MonkeyPatch, **more: Any) -> list[PageSpec]:
    caught: list[PageSpec] = []

    def keep(_: Job, pages: Any, *__: Any) -> bytes:
        caught.extend(pages)
        return b""

    monkeypatch.setattr(write, "_bytes", keep)
    write.print_booklet(job, **more)
    return caught


def texts_of(page: PageSpec) -> list[str]:
    return [e.item.text for e in flat_items(page.drawing.items) if isinstance(e.item, Text)]


def english_in(pages: list[PageSpec], job: Job) -> list[str]:
    allowed = _tokens(f"{job.shop.name} {job.shop.contact} {job.size.body_name} {job.size.size}")
    bad = english_alone(job.language) - allowed
    return [
        f"page {n}: '{text}' ({', '.join(sorted(found))})"
        for n, page in enumerate(pages, 1)
        for text in texts_of(page)
        if (found := _tokens(text) & bad)
    ]


def made(style: str, language: str, units: str, paper: str, **options: str) -> Job:
    files = read_style(data_folder("styles") / style)
    shop = read_shop(files.folder, language=language)
    return make_job(files, options=options, units=units, paper=paper, shop=shop, evaluations=0)  # type: ignore[arg-type]


def check_booklet(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    from booklet.pages.compose import compose
    from booklet.reading.packs import read_pack
    from booklet.write import instructions_as

    pages = booklet_pages(job, monkeypatch)
    for pack in PACKS[1:]:
        pages += compose(job, pack=read_pack(pack))
    wrong = english_in(pages, job)
    html = re.sub(
        r"<(style|img)[^>]*>.*?(</style>)?", " ", instructions_as("html", job).decode(), flags=re.DOTALL
    )
    shown = re.sub(
        r"<[^>]+>", " ", re.sub(r"<style>.*?</style>", "", instructions_as("html", job).decode(), flags=re.S)
    )
    assert html
    wrong += [
        f"html: {t}" for t in sorted(_tokens(shown) & english_alone(job.language) - _tokens(job.shop.name))
    ]
    tiles = [n for n, p in enumerate(pages) if any("4\u00a0" in t for t in texts_of(p))]
    for n, page in enumerate(pages, 1):
        found = judge(page.drawing, cut_words=n - 1 in tiles or page.drawing.width > 400)
        wrong += [f"page {n}: {f.kind}: {f.what}" for f in found if f.kind.startswith("words")]
    assert not wrong, "\n".join(dict.fromkeys(wrong))


@pytest.mark.parametrize("language", OTHERS)
def test_no_text_of_a_style_lacks_its_translation(language: str) -> None:
    for style in STYLES:
        files = read_style(data_folder("styles") / style)
        shop = read_shop(files.folder, language=language)
        names = list(files.style.options)
        for choice in product(*files.style.options.values()):
            found = check_style(files, options=dict(zip(names, choice, strict=True)), shop=shop).problems
            assert not [p.what for p in found if p.code == "translation-missing"], style


@pytest.mark.slow
@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(("units", "paper"), [("cm", "a4"), ("in", "letter"), ("cm", "letter"), ("in", "a4")])
def test_a_booklet_says_nothing_in_english(
    language: str, style: str, units: str, paper: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = read_style(data_folder("styles") / style)
    names = list(files.style.options)
    for choice in product(*files.style.options.values()):
        check_booklet(
            made(style, language, units, paper, **dict(zip(names, choice, strict=True))), monkeypatch
        )


@pytest.mark.parametrize("language", OTHERS)
def test_the_trousers_say_nothing_in_english(language: str, monkeypatch: pytest.MonkeyPatch) -> None:
    check_booklet(made("trousers", language, "cm", "a4"), monkeypatch)


# ---------------------------------------------------------------- translations of a style, and signs


def copied(tmp_path: Path, words: str, **files: str) -> Path:
    folder = tmp_path / "style"
    shutil.copytree(data_folder("styles") / "trousers", folder)
    for name, (old, new) in {k: v.split("=>") for k, v in files.items()}.items():
        path = folder / f"{name}.yaml"
        path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")
    base = data_folder("styles").parent / "demo"
    style = folder / "style.yaml"
    style.write_text(style.read_text("utf-8").replace("../../demo", base.as_posix()), "utf-8")
    (folder / "translations" / "fr.yaml").write_text(words, "utf-8")
    return folder


def found_in(folder: Path, language: str = "fr") -> list[Problem]:
    try:
        return list(check_style(read_style(folder), shop=read_shop(folder, language=language)).problems)
    except Fault as fault:
        return list(fault.problems)


def test_what_has_no_translation_is_named_at_its_line(tmp_path: Path) -> None:
    found = found_in(copied(tmp_path, "words:\n  Legs: Jambes\n"))
    lacking = [p for p in found if p.code == "translation-missing"]
    assert {p.severity for p in lacking} == {"warning"}
    title = next(p for p in lacking if "Child's pull-on trousers" in p.what)
    assert title.where is not None and title.where.file.endswith("style.yaml") and title.where.line == 3
    assert not [p for p in lacking if "'Legs'" in p.what]
    assert [p for p in lacking if "'back crotch'" in p.what or "crotch" in p.what]


def test_a_text_may_be_named_by_its_place(tmp_path: Path) -> None:
    folder = copied(tmp_path, "words:\n  style.title: Pantalon\n  sewing.crotch.title: La fourche\n")
    checked = check_style(read_style(folder), shop=read_shop(folder, language="fr"))
    assert "La fourche" in [w.title for w in checked.words]


def test_a_broken_translation_is_told_at_its_line(tmp_path: Path) -> None:
    folder = copied(tmp_path, "words:\n  Legs: [Jambes]\nwrods: {}\n")
    with pytest.raises(Fault) as told:
        read_style(folder)
    assert {p.where.line for p in told.value.problems if p.where} == {2, 3}


@pytest.mark.parametrize("title", ["Ẹ̀wù ọmọdé", "Παντελόνι", "Штани дитячі", "Bröderi ñ ç ğ ő"])
def test_accents_marks_greek_and_cyrillic_are_printed(tmp_path: Path, title: str) -> None:
    folder = copied(tmp_path, "words: {}\n", style=f"Child's pull-on trousers=>{title}")
    assert not [p for p in found_in(folder, "en") if p.code == "missing-glyph"]


def test_a_sign_that_the_fonts_lack_is_told_with_its_text_and_line(tmp_path: Path) -> None:
    folder = copied(tmp_path, "words: {}\n", style="Child's pull-on trousers=>Trousers \U0001f9f5")
    told = [p for p in found_in(folder, "en") if p.code == "missing-glyph"]
    assert len(told) == 1 and told[0].severity == "error"
    assert "U+1F9F5" in told[0].what and "Trousers" in told[0].what
    assert told[0].where is not None and told[0].where.line == 3


def test_a_translation_with_a_sign_that_the_fonts_lack_is_told_at_its_own_line(tmp_path: Path) -> None:
    folder = copied(tmp_path, "words:\n  Legs: Jambes \U0001f9f5\n")
    told = [p for p in found_in(folder) if p.code == "missing-glyph"]
    assert [(p.where.file.endswith("fr.yaml"), p.where.line) for p in told if p.where] == [(True, 2)]
