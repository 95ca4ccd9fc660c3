"""What the finished file tells programs: who made it, in what language, pictures in words, and the sources attached."""

from __future__ import annotations

import io

import pikepdf
import pypdf
import pypdfium2
import pytest
from helpers import all_styles

from booklet.model import Job
from booklet.pages.picture_words import told
from booklet.printing.files import Attached
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


def test_without_files_none_are_attached(job: Job) -> None:
    assert pypdf.PdfReader(io.BytesIO(print_booklet(job).pdf)).attachments == {}
