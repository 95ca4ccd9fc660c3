"""What the finished file tells programs: who made it, in what language, pictures in words, and the sources attached."""

from __future__ import annotations

import io
import unicodedata
from dataclasses import replace

import pikepdf
import pypdf
import pypdfium2
import pytest
from helpers import all_styles

from booklet.job import make_job
from booklet.model import Job
from booklet.pages.picture_words import told
from booklet.pages.words import words_for
from booklet.printing.files import Attached
from booklet.reading.shop import read_shop
from booklet.write import print_booklet


@pytest.fixture(scope="module")
def job() -> Job:
    return all_styles.job("apron", all_styles.options_of("apron")[0], "cm")


@pytest.fixture(scope="module")
def data(job: Job) -> bytes:
    files = (
        Attached("style.yaml", b"style: T-21\n"),
        Attached("front part.svg", "<svg>Ärmel</svg>".encode()),
    )
    return print_booklet(job, attached=files).pdf


def test_title_maker_and_language(job: Job, data: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.metadata is not None
    assert job.style.title in str(reader.metadata.title) and reader.metadata.author == job.shop.name
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert str(pdf.Root.Lang) == job.language
        assert pdf.check_pdf_syntax() == []
    assert len(pypdfium2.PdfDocument(data)) == len(reader.pages)


def test_every_step_picture_is_told_in_words_on_its_own_page(job: Job, data: bytes) -> None:
    """ISO 32000-1, 14.9.3: alternate descriptions; 14.7.4: marked content by number and page."""
    wanted = [told(step, picture) for step in job.steps for picture in step.pictures]
    with pikepdf.open(io.BytesIO(data)) as pdf:
        tree = pdf.Root.StructTreeRoot
        figures = list(tree.K)
        assert [str(f.Alt) for f in figures] == wanted
        numbers = dict(
            zip(map(int, list(tree.ParentTree.Nums)[::2]), list(tree.ParentTree.Nums)[1::2], strict=True)
        )
        for figure in figures:
            page = figure.Pg
            assert numbers[int(page.StructParents)][int(figure.K)] == figure
            marked = [
                int(ops[1].MCID)
                for ops, operator in pikepdf.parse_content_stream(pikepdf.Page(page))
                if str(operator) == "BDC" and str(ops[0]) == "/Figure"
            ]
            assert marked == list(range(len(marked))) and int(figure.K) in marked
            text = pypdf.PdfReader(io.BytesIO(data)).pages[pdf.pages.index(pikepdf.Page(page))].extract_text()
            assert str(figure.Alt).partition(":")[0].split()[0] in text


def test_files_come_out_as_they_went_in(data: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert {name: bytes(next(iter(held))) for name, held in reader.attachments.items()} == {
        "style.yaml": b"style: T-21\n",
        "front part.svg": "<svg>Ärmel</svg>".encode(),
    }
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert sorted(pdf.attachments) == ["front part.svg", "style.yaml"]
        assert all(str(spec.AFRelationship) == "/Source" for spec in pdf.Root.AF)


NAMES = (
    "\u00c4rmel 1.svg",
    "e\u0301 (2).yaml",
    "apron.yaml",
    "\u03bc\u03b1\u03bd\u03af\u03ba\u03b9.svg",
    "\u0440\u0443\u043a\u0430\u0432.yaml",
)
WORKROOM = "\u017b\u00f3\u0142\u0107 \u0152uvre"


def test_names_in_any_script_are_kept(job: Job) -> None:
    """Greek, Cyrillic and letters with marks in title, maker, subject and the names of attached files."""
    title = "\u03a0\u03bf\u03b4\u03b9\u03ac \u0441 \u043a\u0430\u0440\u043c\u0430\u043d\u043e\u043c, \u1eb8\u0300w\u00f9"
    style, shop = (
        replace(job.style, title=title, summary="\u03a6\u03cc\u03c1\u03b5\u03bc\u03b1"),
        replace(job.shop, name=WORKROOM),
    )
    made = print_booklet(
        replace(job, style=style, shop=shop), attached=[Attached(n, n.encode()) for n in NAMES]
    ).pdf
    reader = pypdf.PdfReader(io.BytesIO(made))
    told = reader.metadata
    assert told is not None and str(told.title).startswith(title)
    assert (told.author, told.subject) == (WORKROOM, "\u03a6\u03cc\u03c1\u03b5\u03bc\u03b1")
    assert {name: bytes(next(iter(held))) for name, held in reader.attachments.items()} == {
        n: n.encode() for n in NAMES
    }
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert {str(spec.UF) for spec in pdf.Root.AF} == set(NAMES)
        keys = [bytes(k) for k in list(pdf.Root.Names.EmbeddedFiles.Names)[::2]]
        assert keys == sorted(keys), "a tree of names is in the order of their bytes"
    cover = unicodedata.normalize("NFC", pypdfium2.PdfDocument(made)[0].get_textpage().get_text_range())
    for word in unicodedata.normalize("NFC", title).split()[:3]:
        assert word in cover


@pytest.mark.parametrize("language", ["fr", "es"])
def test_bookmarks_and_pictures_are_told_in_the_language(language: str) -> None:
    files = all_styles.files("trousers")
    shop = read_shop(files.folder, language=language)
    mine = make_job(files, shop=shop, evaluations=0)
    with pikepdf.open(io.BytesIO(print_booklet(mine).pdf)) as pdf:
        assert str(pdf.Root.Lang) == language
        spaced = words_for(language).spaced
        alts = [str(f.Alt) for f in pdf.Root.StructTreeRoot.K]
        assert alts == [spaced(told(step, p)) for step in mine.steps for p in step.pictures]
        with pdf.open_outline() as outline:
            titles = [str(entry.title) for entry in outline.root]
    words = words_for(language)
    assert {
        words("measures.title"),
        words("cloth.title"),
        words("safety.title"),
        words("pattern.title"),
    } <= set(titles)


def test_without_files_none_are_attached(job: Job) -> None:
    assert pypdf.PdfReader(io.BytesIO(print_booklet(job).pdf)).attachments == {}
