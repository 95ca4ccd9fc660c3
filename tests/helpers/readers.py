"""What independent readers of PDF remark on a file: qpdf (through pikepdf), PDFium, and poppler where its tools are there."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pypdfium2

POPPLER = ("pdfinfo", "pdftotext", "pdftoppm")


def remarks(file: Path) -> list[str]:
    """Every warning and error; an empty list for a file that all of them take without a word."""
    return [*_qpdf(file), *_pdfium(file), *_poppler(file)]


def _qpdf(file: Path) -> Iterator[str]:
    with pikepdf.open(file) as pdf:
        yield from (f"qpdf: {said}" for said in (*pdf.check_pdf_syntax(), *pdf.get_warnings()))


def _pdfium(file: Path) -> Iterator[str]:
    try:
        document = pypdfium2.PdfDocument(file)
    except pypdfium2.PdfiumError as error:
        yield f"PDFium: {error}"
        return
    try:
        for n, page in enumerate(document, 1):
            try:
                page.render(scale=0.2)
                page.get_textpage().get_text_range()
            except pypdfium2.PdfiumError as error:
                yield f"PDFium, page {n}: {error}"
    finally:
        document.close()


def _poppler(file: Path) -> Iterator[str]:
    for tool in POPPLER:
        if shutil.which(tool) is None:
            continue
        command = [tool, str(file)]
        if tool == "pdftotext":
            command.append("-")
        elif tool == "pdftoppm":
            command[1:1] = ["-r", "12"]  # without a name for its pictures it writes them to its output
        done = subprocess.run(command, capture_output=True, check=False)
        yield from (f"{tool}: {line}" for line in done.stderr.decode(errors="replace").splitlines())
        if done.returncode:
            yield f"{tool} ended with {done.returncode}"
