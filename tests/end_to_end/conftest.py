"""Whole booklets of the two styles, made once from their files and shared by the tests of this folder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pikepdf
import pytest
from helpers import all_styles

from booklet import write
from booklet.facts import Pages
from booklet.job import make_job
from booklet.model import Job
from booklet.printing.sheet import Sheet
from booklet.reading.read import Body, read_body


@dataclass(frozen=True)
class Booklet:
    """A finished PDF with the job and the sheet that it was printed from."""

    job: Job
    sheet: Sheet
    file: Path
    pdf: pikepdf.Pdf
    pages: Pages

    @property
    def guide(self) -> int:
        """Index of the page with the test squares: the one before the tiles."""
        return self.pages.first_tile - 2

    @property
    def tiles(self) -> list[pikepdf.Page]:
        return list(self.pdf.pages)[self.pages.first_tile - 1 :]


class Booklets(dict[str, Booklet]):
    """Each is made when a test first asks for it: 'top-a4', 'top-letter', 'top-sides', 'skirt-a4', 'skirt-sides'."""

    def __init__(self, folder: Path, unlike: Body) -> None:
        super().__init__()
        self.folder, self.unlike = folder, unlike

    def __missing__(self, name: str) -> Booklet:
        style, of = name.split("-")
        job = replace(self.job(style, of == "sides"), paper="letter" if of == "letter" else "a4")
        self[name] = printed(job, self.folder / f"{name}.pdf")
        return self[name]

    def job(self, style: str, sides: bool) -> Job:
        """A style on its own body, or on one whose left and right differ, with the quickest lays."""
        if sides:
            return make_job(all_styles.files(style), self.unlike, evaluations=0)
        return all_styles.job(style, all_styles.options_of(style)[0], all_styles.own_unit(style))


@pytest.fixture(scope="session")
def booklets(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Booklet]]:
    made = Booklets(tmp_path_factory.mktemp("booklets"), read_body(root / "demo/bodies/ragna.yaml"))
    yield made
    for booklet in made.values():
        booklet.pdf.close()


def printed(job: Job, file: Path) -> Booklet:
    sheets: list[Sheet] = []

    def arrange(*given: object) -> Sheet:
        sheets.append(real(*given))  # type: ignore[arg-type]
        return sheets[-1]

    real = write.arrange
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(write, "arrange", arrange)
        done = write.print_booklet(job)
    file.write_bytes(done.pdf)
    (sheet,) = sheets
    return Booklet(job, sheet, file, pikepdf.open(file), done.pages)


@pytest.fixture(params=["top-a4", "top-letter", "skirt-a4", "top-sides", "skirt-sides"])
def booklet(request: pytest.FixtureRequest, booklets: dict[str, Booklet]) -> Booklet:
    found: Booklet = booklets[request.param]
    return found
