"""Every language says all that English says, and nothing in English: templates side by side, then whole booklets."""

from __future__ import annotations

import re
import shutil
import string
from collections.abc import Mapping
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from helpers.printed_words import (
    SIGNS,
    STYLES,
    TEMPLATES,
    badly_set,
    everything_said,
    foreign,
    language_words,
    leaves,
    texts_of,
    unlike_on_screen,
    words_in,
)
from jinja2 import Environment, meta, nodes

from booklet.grammar import ARTICLES, Grammar
from booklet.job import check_style, make_job
from booklet.language import OWN, languages, manner, say, small_words, tongue_for
from booklet.model import Job
from booklet.printing.formats import FORMATS, SheetChoice
from booklet.problems import Fault, Problem
from booklet.reading.read import read_style
from booklet.reading.shop import read_shop
from booklet.reading.sizes import read_sizes
from booklet.resources import data_folder
from booklet.sewing.phrases import Phrases
from booklet.sewing.words import glossary
from booklet.units import show, show_cloth
from booklet.wording import phrases
from booklet.write import laid_out

OTHERS = [name for name in languages() if name != OWN]


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


def sentences(language: str, name: str) -> int:
    """How many a template can say: stops, those in its texts in quotes too, none of a fact's own."""
    source = (TEMPLATES / language / "steps" / name).read_text(encoding="utf-8")
    source = re.sub(r"\{#.*?#\}", "", source, flags=re.DOTALL).replace('"', "")
    return len(re.findall(r"\.(?=[\s{%]|$)", re.sub(r"\b\w+\.\w+", "x", source)))


@pytest.mark.parametrize("language", OTHERS)
def test_every_step_says_as_many_sentences(language: str) -> None:
    """What English was taught to say later is said in every language."""
    counts = {name: (sentences(OWN, name), sentences(language, name)) for name in STEP_FILES}
    assert {n: c for n, c in counts.items() if c[0] != c[1]} == {}


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


def test_a_plural_that_looks_like_the_singular_takes_the_plural_article() -> None:
    g = tongue_for("fr").grammar
    assert g.with_article("the", g.plural("dessous de bras")) == "les dessous de bras"
    assert (
        g.with_article("of_the", g.plural("dos")) == "des dos" and g.with_article("of_the", "dos") == "du dos"
    )
    assert (
        tongue_for("es").grammar.with_article("the", tongue_for("es").grammar.plural("bies")) == "los bieses"
    )


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
    assert spaced("Le bord « taille »: fin") == "Le bord «\u00a0taille\u00a0»\u00a0: fin"
    assert all(spaced(spaced(t)) == spaced(t) for t in ("a; b: c!", "**Juste:** 1", "« x »"))


def test_words_put_together_are_spaced_wherever_they_come_from() -> None:
    """A style's own words, what fills a slot, and what the program joins."""
    tongue = tongue_for("fr", names=(("a", "un; deux"),))
    assert tongue.said("a") == "un\u202f; deux"
    assert tongue.words("label.copies", cloth="x; y", copies="z") == "x\u202f; y\u00a0: z"
    assert tongue.words.spaced("x: y") == "x\u00a0: y" and tongue_for("en").words.spaced("x: y") == "x: y"


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


def made(
    style: str, language: str, units: str, nested: bool = False, options: Mapping[str, str] | None = None
) -> Job:
    """For a workroom with terms, mark and rates, so that every page has something to say."""
    files = read_style(data_folder("styles") / style)
    shop = read_shop(files.folder, data_folder("styles").parent / "demo" / "shop.yaml", language)
    more: dict[str, Any] = {"units": units, "paper": "letter" if units == "in" else "a4", "shop": shop}
    if not nested:
        return make_job(files, options=options, evaluations=0, **more)
    table = read_sizes(files.folder).chosen("all")
    return make_job(files, table.bodies, base=table.base, evaluations=0, **more)


def check_booklet(job: Job, style: str) -> None:
    said = list(everything_said(job))
    wrong = [*foreign(job, style, said), *badly_set(job, said), *unlike_on_screen(job, said)]
    assert not wrong, "\n".join(wrong)


def test_english_left_among_the_words_of_another_language_is_found() -> None:
    """The sweep below can fail: an English phrase, name or unit, a decimal point, a sign without its space."""
    job = made("apron", "fr", "cm")
    said = ["Les pièces à couper", "Piquer à 2,5\u00a0mm\u202f; presser"]
    assert not foreign(job, "apron", [("", t) for t in said]) and not badly_set(job, [("", t) for t in said])
    english = [v for f in PAGE_FILES for v in phrases_of(OWN, f).values()]
    english = [re.sub(r"\{[^}]*\}", "", e) for e in english]
    english = [e for e in english if len(words_in(e)) > 2]
    missed = [e for e in english if not foreign(job, "apron", [("", e)])]
    assert len(english) > 200 and not missed
    for name in (
        "Sleeve",
        "neckline",
        "lower edge",
        "front notch",
        "Neck strap",
        "36\u00a0in roll",
        "4\u00a0yd",
    ):
        assert foreign(job, "apron", [("", name)]), name
    for text in ("2.5\u00a0mm", "fin; presser", "1/2\u00a0in", "bord: vif"):
        assert badly_set(job, [("", text)]), text


@pytest.mark.parametrize(("language", "units"), [*zip(OTHERS, ("in", "cm"), strict=True)])
def test_a_booklet_says_nothing_in_english(language: str, units: str) -> None:
    check_booklet(made("trousers", language, units), "trousers")


@pytest.mark.slow
@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("style", STYLES)
def test_no_booklet_says_anything_in_english(language: str, style: str, units: str) -> None:
    """Every choice of every style in every pack, on the screen and as plain text."""
    files = read_style(data_folder("styles") / style)
    names = list(files.style.options)
    for choice in product(*files.style.options.values()):
        check_booklet(made(style, language, units, options=dict(zip(names, choice, strict=True))), style)


@pytest.mark.slow
@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("style", STYLES)
def test_no_nested_booklet_says_anything_in_english(language: str, style: str, units: str) -> None:
    check_booklet(made(style, language, units, nested=True), style)


@pytest.mark.parametrize("language", OTHERS)
def test_papers_are_called_in_the_language(language: str) -> None:
    named = {f.paper.name for f in FORMATS.values() if words_in(f.paper.name) - SIGNS}
    told = tongue_for(language).words.table("pattern.papers")
    assert set(told) == {n for n in named if not n.startswith("ANSI")}
    assert all(words_in(name) <= language_words(language) | {"letter"} for name in told.values())
    job = made("trousers", language, "cm")
    pages, _ = laid_out(job, SheetChoice(FORMATS["roll 36 in"], part="pattern"))
    texts = [t for page in pages for t in texts_of(page)]
    assert told["36 in roll"] in texts and not [t for t in texts if "roll" in words_in(t)]


@pytest.mark.parametrize("language", OTHERS)
def test_no_text_of_a_style_lacks_its_translation(language: str) -> None:
    for style in STYLES:
        files = read_style(data_folder("styles") / style)
        shop = read_shop(files.folder, language=language)
        names = list(files.style.options)
        for choice in product(*files.style.options.values()):
            found = check_style(files, options=dict(zip(names, choice, strict=True)), shop=shop).problems
            assert not [p.what for p in found if p.code == "translation-missing"], style


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


def test_names_that_only_the_draft_gives_are_named_too(tmp_path: Path) -> None:
    """Marks, fold lines and views, which no text of the files says."""
    folder = copied(
        tmp_path,
        "words: {}\n",
        draft="back_crotch=>seat_level",
        style="views:\n  front:=>views:\n  seen_afar:",
    )
    lacking = {p.what.split("'")[1] for p in found_in(folder) if p.code == "translation-missing"}
    assert {"seat level", "seen afar"} <= lacking and "casing line" not in lacking


def test_the_reason_against_a_rule_is_told_in_the_language(tmp_path: Path) -> None:
    """A press of all before the hem, which the style answers: the reason has its translation like every other text."""
    folder = copied(tmp_path, "words:\n  The hem is pressed flat.: L'ourlet se presse à plat; c'est voulu.\n")
    recipe = folder / "sewing.yaml"
    steps, press = recipe.read_text("utf-8"), "  - press: {all: true}\n    id: final-press\n"
    hem = "  - hem: {run:"
    assert press in steps and hem in steps
    early = f"{press}    although: The hem is pressed flat.\n{hem}"
    recipe.write_text(steps.replace(press, "").replace(hem, early), "utf-8")
    job = make_job(read_style(folder), shop=read_shop(folder, language="fr"), evaluations=0)
    assert "L'ourlet se presse à plat\u202f; c'est voulu." in [a.reason for s in job.steps for a in s.answers]


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


def test_what_runs_from_right_to_left_is_told_and_not_set_the_wrong_way_round(tmp_path: Path) -> None:
    folder = copied(
        tmp_path, "words: {}\n", style="Child's pull-on trousers=>\u0633\u0631\u0648\u0627\u0644 x"
    )
    told = [p for p in found_in(folder, "en") if p.code == "right-to-left"]
    assert [(p.severity, p.where.line) for p in told if p.where] == [("error", 3)]
    assert "U+0633" in told[0].what and not [p for p in found_in(folder, "en") if p.code == "missing-glyph"]


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ("shop: \u88c1 Atelier\ncontact: x\n", 1),
        ("shop: A\ncontact: Rue \U0001f457 4\n", 2),
        ("shop: A\ncontact: x\nterms:\n  - fine\n  - no \U0001f457 here\n", 5),
    ],
)
def test_a_sign_in_what_the_shop_says_is_told_at_its_line(tmp_path: Path, said: str, line: int) -> None:
    folder = copied(tmp_path, "words: {}\n")
    (folder / "shop.yaml").write_text(said, "utf-8")
    told = [p for p in found_in(folder, "en") if p.code == "missing-glyph"]
    assert [p.where.line for p in told if p.where and p.where.file.endswith("shop.yaml")] == [line]


def test_a_sign_in_the_shops_own_wording_is_told_but_not_in_its_notes(tmp_path: Path) -> None:
    folder = copied(tmp_path, "words: {}\n")
    (folder / "shop.yaml").write_text("shop: A\ncontact: x\nwording: ours\n", "utf-8")
    for name, text in {
        "pages/a.yaml": "# \U0001f457\ncover:\n  for: Made \U0001f9f5 for\n",
        "steps/baste.j2": "{# \U0001f457 #}\n[title]\nBaste\n[text]\nBaste \U0001f9f5.\n[check]\n\n",
    }.items():
        (folder / "ours" / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / "ours" / name).write_text(text, "utf-8")
    told = [p for p in found_in(folder, "en") if p.code == "missing-glyph"]
    assert {(p.where.file.rpartition("/")[2], p.where.line) for p in told if p.where} == {
        ("a.yaml", 3),
        ("baste.j2", 5),
    }
    assert all("U+1F9F5" in p.what for p in told)


def test_a_translation_with_a_sign_that_the_fonts_lack_is_told_at_its_own_line(tmp_path: Path) -> None:
    folder = copied(tmp_path, "words:\n  Legs: Jambes \U0001f9f5\n")
    told = [p for p in found_in(folder) if p.code == "missing-glyph"]
    assert [(p.where.file.endswith("fr.yaml"), p.where.line) for p in told if p.where] == [(True, 2)]
