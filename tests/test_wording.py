"""A shop's own wording over the package's: by name and key, faults at their line, part of the cache's key."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from helpers.steps import ROOT
from reportlab.pdfgen.canvas import Canvas

from booklet.cache import key_of
from booklet.cli import main
from booklet.inputs import Inputs, read_inputs
from booklet.job import Checked, check_style
from booklet.pages.words import words_for
from booklet.problems import Fault
from booklet.reading.packs import SECTIONS, read_pack
from booklet.reading.read import read_body, read_style
from booklet.reading.shop import read_shop
from booklet.sewing.words import glossary

STYLE = ROOT / "styles" / "apron"
BODY = read_style(STYLE).base


def shop(folder: Path, **files: str) -> Path:
    """A shop with a wording folder; names of files with '__' for '/' and '_' before the suffix."""
    for name, text in files.items():
        path = folder / "words" / (name.replace("__", "/")[::-1].replace("_", ".", 1)[::-1])
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    file = folder / "shop.yaml"
    file.write_text("shop: Heron & Hook\nwording: words\n", encoding="utf-8")
    return file


def checked(file: Path) -> Checked:
    return check_style(read_style(STYLE), read_body(BODY), shop=read_shop(file=file))


def faults(file: Path) -> list[str]:
    with pytest.raises(Fault) as caught:
        checked(file)
    return [p.sentence().replace(file.parent.as_posix() + "/", "") for p in caught.value.problems
            if p.severity == "error"]  # fmt: skip


def test_phrases_are_laid_over_by_key(tmp_path: Path) -> None:
    own = read_shop(
        file=shop(tmp_path, pages__mine_yaml='cover: {for: Cut for}\nlays: {title: "Off"}\n')
    ).wording
    words, plain = words_for("en", own), words_for("en")
    assert (words("cover.for"), words("lays.title")) == ("Cut for", "Off")
    assert words("cover.size") == plain("cover.size")
    assert plain("cover.for") != "Cut for"


def test_a_step_template_takes_the_place_of_ours_and_may_include_it(tmp_path: Path) -> None:
    file = shop(
        tmp_path,
        steps__hem_j2='[title]\nHem it\n[text]\n{% include "house.j2" %}\n[check]\nAll round.\n',
        steps__house_j2="Fold {{ depth|strong }} over.\n",
        steps__words_yaml="numbers: [no, one, a pair of]\n",
        glossary_yaml="glossary:\n  hem_it: {word: hemming, forms: [hem it], text: to end a cloth}\n"
        "  ease: {text: our own words}\n",
    )
    made = checked(file)
    told = [w for w in made.words if w.verb == "hem"]
    assert told and all(w.title == "Hem it" and w.check == "All round." for w in told)
    assert all(w.paragraphs[0].startswith("Fold **") and "hem_it" in w.terms for w in told)
    rest = {w.id: w for w in check_style(read_style(STYLE), read_body(BODY)).words}
    same = [w for w in made.words if w.verb not in ("hem",) and w.title == rest[w.id].title]
    assert same and any("a pair of" in " ".join(w.paragraphs) for w in made.words)
    terms = {t.key: t for t in glossary("en", read_shop(file=file).wording)}
    assert terms["ease"].text == "our own words" and terms["ease"].always and not terms["hem_it"].always


JOIN = '[title]\n{% include "join_title.j2" %}\n[text]\nSew it.\n'


@pytest.mark.parametrize(
    ("name", "text", "line", "told"),
    [
        ("pages__a_yaml", "cover:\n  for: A\n  wrok: B\n", 3, "the key 'cover.wrok'. Did you mean 'work'?"),
        ("pages__a_yaml", "cover: {for: A}\nframe:\n  page: '{n} of {off}'\n", 3, "'{off}', which is not given there"),
        ("pages__a_yaml", "frame:\n  page: '{n of'\n", 2, "a brace without its partner"),
        ("pages__a_yaml", "frame:\n  page: '{n.__class__}'\n", 2, "asks for '{n.__class__}'"),
        ("pages__a_yaml", "care: once\n", 1, "'care' takes a list"),
        ("pages__a_yaml", "frame: [a\n", 1, "cannot be read as YAML"),
        ("steps__words_yaml", "adn: and\n", 1, "the key 'adn'. Did you mean 'and'?"),
        ("glossary_yaml", "glossary:\n  gusset: {word: gusset}\n", 2, "lacks forms and text"),
        ("glossary_yaml", "glossary:\n  ease: {txt: a}\n", 2, "has 'txt'. Did you mean 'text'?"),
        ("glossary_yaml", "glossary:\n  ease: {for: [joyn]}\n", 2, "'joyn' is no operation. Did you mean 'join'?"),
        ("steps__jion_j2", JOIN, 1, "no step is printed from the template 'jion.j2'"),
        ("steps__join_j2", JOIN + "{{ allow|strng }}\n", 5, "No filter named 'strng'. Did you mean 'strong'?"),
        ("steps__join_j2", JOIN + "{% if %}\n", 5, "the template cannot be read"),
        ("steps__join_j2", JOIN + "[chekc]\n", 5, "[chekc] is no part of a step. Did you mean 'check'?"),
        ("steps__join_j2", "[title]\nSew it.\n", 1, "the template has no part [text]"),
        ("steps__join_j2", JOIN + '{% include "act.j2" %}\n', 5, "includes 'act.j2', which is not there"),
        ("steps__hem_j2", JOIN.replace("join_title", "hem_way"), 1, ""),
        ("steps__hem_j2", "[title]\nA\n[text]\n{% if 0 %}\n{{ dpth }}{% endif %}\n", 5, "gives no 'dpth'. Did you mean"),
        ("steps__hem_j2", "[title]\nHem\n[text]\n{% set x = 1 %}\n{{ depth.deep }}.\n", 5, "this step does not give it"),
        ("steps__hem_j2", "[title]\nHem\n[text]\n{{ 'a' * 1000000000 }}\n", 4, "so much is not allowed"),
        ("notes_txt", "hello", 1, "nothing is printed from the file 'notes.txt'"),
    ],
)  # fmt: skip
def test_each_fault_is_told_at_its_line(tmp_path: Path, name: str, text: str, line: int, told: str) -> None:
    file = shop(tmp_path, **{name: text})
    if not told:
        assert checked(file).words
        return
    found = faults(file)
    assert len(found) == 1 and told in found[0], found
    assert f".{name.rpartition('_')[2]}:{line}: " in found[0]


def test_all_faults_are_told_at_once_by_check(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = shop(tmp_path, pages__a_yaml="nothing: A\n", glossary_yaml="glossary:\n  ease: {txt: a}\n")
    assert main(["check", str(STYLE), "--shop", str(file)]) == 1
    said = capsys.readouterr().err
    assert "a.yaml:1: " in said and "glossary.yaml:2: " in said


def test_a_folder_that_is_not_there_is_told_where_it_is_named(tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text("shop: A\nwording: words\n", encoding="utf-8")
    assert "shop.yaml:2: there is no wording folder words" in faults(tmp_path / "shop.yaml")[0]


def test_the_words_are_part_of_the_key_of_kept_booklets(tmp_path: Path) -> None:
    def given() -> Inputs:
        return read_inputs(STYLE, shop=tmp_path / "shop.yaml")

    file = shop(tmp_path, pages__a_yaml="cover: {for: A}\n")
    first = key_of(given().files, {})
    assert key_of(given().files, {}) == first
    shop(tmp_path, pages__a_yaml="cover: {for: B}\n")
    assert key_of(given().files, {}) != first
    assert file.read_text() and read_shop(file=file).wording.text("pages/a.yaml") == "cover: {for: B}\n"


def test_the_examples_for_shops_are_true(tmp_path: Path) -> None:
    text = (ROOT / "templates" / "README.md").read_text(encoding="utf-8")
    snippets = re.findall(r"```(?:yaml|jinja)\n(.*?)```", text, re.DOTALL)
    shop_file, pack, pages, template = snippets
    words = shop(tmp_path, pages__ours_yaml=pages, steps__staystitch_j2=template).read_text()
    assert words
    (tmp_path / "packs").mkdir()
    canvas = Canvas(str(tmp_path / "packs" / "house_rules.pdf"))
    canvas.showPage()
    canvas.save()
    (tmp_path / "packs" / "class.yaml").write_text(pack, encoding="utf-8")
    (tmp_path / "mark.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0 H9 V9 Z"/></svg>'
    )
    (tmp_path / "shop.yaml").write_text(shop_file, encoding="utf-8")
    own = read_shop(file=tmp_path / "shop.yaml")
    assert [s.name for s in read_pack("class", tmp_path / "packs").sections][:2] == ["cover", "pages"]
    top = read_style(ROOT / "styles" / "top")
    told = [w for w in check_style(top, read_body(top.base), shop=own).words if w.verb == "staystitch"]
    assert told and all(
        w.title.startswith("Hold the ") and "from the stitch line" in w.paragraphs[0] for w in told
    )
    named = set(re.findall(r"`([a-z ]+)`", text.split("Sections: ")[1].split("Each stands")[0]))
    assert named == {*SECTIONS, "pages"}
