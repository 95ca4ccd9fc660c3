"""Which picture each operation gets: frames of the scene kinds composed on one drawing, a hundred millimetres wide."""

from __future__ import annotations

from dataclasses import replace

from booklet.drawing.labels import Label
from booklet.language import tongue_of
from booklet.model import StepPicture
from booklet.pictures import applied
from booklet.pictures.bands import draw_band
from booklet.pictures.buttons import draw_buttons
from booklet.pictures.collar import draw_collar
from booklet.pictures.darts import draw_dart
from booklet.pictures.ease import draw_ease
from booklet.pictures.edges import draw_finish, draw_gather, draw_staystitch
from booklet.pictures.enclosed import draw_fell_seam, draw_french, draw_lapped
from booklet.pictures.facings import draw_face, draw_understitch
from booklet.pictures.fusing import draw_fuse
from booklet.pictures.joins import draw_join
from booklet.pictures.label_words import label_words
from booklet.pictures.levelled import draw_hang
from booklet.pictures.placket import draw_placket
from booklet.pictures.pleats import draw_pleat
from booklet.pictures.slits import draw_button, draw_loop
from booklet.pictures.step_scene import Maker, StepScene
from booklet.pictures.tack import draw_tack
from booklet.pictures.ties import draw_tie
from booklet.pictures.topstitch import draw_topstitch
from booklet.pictures.turned_up import draw_casing, draw_hem
from booklet.pictures.zip import draw_fell, draw_hook, draw_zip


def step_picture(scene: StepScene) -> tuple[tuple[StepPicture, ...], tuple[Label, ...]]:
    """The pictures of a step (none where it touches no cloth), and labels that found no place."""
    maker = MAKERS.get(scene.verb)
    made = maker(scene) if maker else None
    if made is None:
        return (), ()
    tongue = tongue_of(scene.units)
    made.labels = [replace(label, text=label_words(label.text, tongue)) for label in made.labels]
    drawing, left = made.finish()
    return (StepPicture(scene.verb, drawing),), left


MAKERS: dict[str, Maker] = {
    "join": draw_join,
    "french seam": draw_french,
    "flat fell": draw_fell_seam,
    "lapped seam": draw_lapped,
    "face": draw_face,
    "understitch": draw_understitch,
    "topstitch": draw_topstitch,
    "edgestitch": draw_topstitch,
    "tack": draw_tack,
    "hang": draw_hang,
    "staystitch": draw_staystitch,
    "finish": draw_finish,
    "gather": draw_gather,
    "ease": draw_ease,
    "hem": draw_hem,
    "casing": draw_casing,
    "band": draw_band,
    "fuse": draw_fuse,
    "dart": draw_dart,
    "pleat": draw_pleat,
    "tie": draw_tie,
    "strips": applied.draw_strips,
    "bind": applied.draw_bind,
    "pocket": applied.draw_pocket,
    "attach": applied.draw_attach,
    "zip": draw_zip,
    "fell": draw_fell,
    "hook": draw_hook,
    "loop": draw_loop,
    "button": draw_button,
    "buttons": draw_buttons,
    "collar": draw_collar,
    "placket": draw_placket,
}
