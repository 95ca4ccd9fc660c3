"""The trade's rules of sewing order as data: what comes first, before what, where, and why.

A rule is hard (an error) only where the other order cannot be sewn at all; every other is soft (a warning), and a step
may answer it with `although:`. The numbers are those of the workroom's list of order rules; reasons without a source
are common practice. `told_by` names what keeps a rule that needs more than an order of acts: the seam table, which finds
that edges do not meet yet, a check of its own, or the words of the operation itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

# How near two acts must be for a rule to speak of them:
#   edge      they deal with one stretch of one ply's edge
#   touching  with one edge of a ply, or with neighbouring ones
#   corner    the first's stretch runs to the corner at which the second's begins
#   round     the first joins two corners between which the second's edge runs on
#   closes    the first joins the edges at the one end of the second's run to those at its other end
#   piece     with one ply
#   opening   with one slit
#   named     the first names the step of the second
#   all       with anything
Scope = Literal["edge", "touching", "corner", "round", "closes", "piece", "opening", "named", "all"]

# What deals with an edge for good.
SEWN = ("join", "face", "band", "close", "catch", "hem", "double hem", "casing", "bind", "patch", "attach", "zip",
        "fell")  # fmt: skip
ENCLOSING = ("face", "band", "close", "catch", "double hem", "casing", "bind", "patch", "attach",
             "enclosed join")  # fmt: skip
HEMMING = ("hem", "double hem", "casing")
ALWAYS = "always"  # a soft rule without a case against it: only the shop's own `although:` answers it
TRIMMING = ("trim", "grade", "clip", "notch")


@dataclass(frozen=True)
class Rule:
    """`first` before `then`. `blame` is the step that is told: the one that came too late, or the one too early.

    `what` is the sentence, with {first} and {then} for the edges, {early} for the step that came before its time.
    `unless` names the case in which a soft rule does not speak (unless.CASES), or is ALWAYS where there is none.
    """

    id: str
    numbers: tuple[int, ...]
    hard: bool
    reason: str
    first: tuple[str, ...] = ()
    then: tuple[str, ...] = ()
    scope: Scope = "edge"
    what: str = ""
    mend: str = ""
    blame: Literal["late", "early"] = "late"
    unless: str = ""
    told_by: str = ""


RULES: tuple[Rule, ...] = (
    Rule("cloth-first", (1,), False, "cloth that shrinks later makes the garment too small",
         told_by="cutting page", unless=ALWAYS),
    Rule("fuse-test", (2,), False, "too much heat spoils the cloth", told_by="words of fuse", unless=ALWAYS),
    Rule(
        "fuse-late", (3,), True, "it cannot be pressed flat any more",
        ("fuse",), SEWN, "piece",
        "{first} is fused after it has been sewn (step '{early}')",
        "Move the fusing before that step.",
    ),
    Rule("marking", (4,), True, "marks are lost in handling", told_by="cutting, which ends with marking"),
    Rule(
        "mark-late", (4,), False, "marks are carried to the cloth while it lies flat",
        ("mark",), SEWN, "piece",
        "{first} is marked after it has been sewn (step '{early}')",
        "Mark it before that step.", unless=ALWAYS,
    ),
    Rule(
        "staystitch-late", (5,), False, "a curved edge stretches as soon as it is handled (ICAR household course)",
        ("staystitch",), (*SEWN, "gather"), "touching",
        "{first} is staystitched after step '{early}' has handled it",
        "Move the staystitching before that step.", unless="straight edge",
    ),
    Rule("underline", (6,), True, "the layers act as one",
         told_by="no operation: layers are basted by `baste:`"),
    Rule(
        "dart-late", (7,), True, "the seam must catch the folded dart, and this one holds it open",
        ("dart",), SEWN, "edge",
        "the dart {first} is sewn after step '{early}', which crosses its mouth",
        "Sew darts first.",
    ),
    Rule(
        "pleat-late", (7,), True, "the seam must catch the folded pleat, and this one holds it open",
        ("pleat",), SEWN, "edge",
        "the pleat {first} is folded after step '{early}', which crosses its end",
        "Fold pleats first.",
    ),
    Rule("press-seam", (8,), True, "a seam crossed unpressed stays thick", told_by="words of join and dart"),
    Rule("pocket-late", (9,), False, "it is easier while the piece lies flat",
         told_by="checks_applied", unless="flat"),
    Rule("in-seam-pocket", (10,), True, "the bag is part of the seam",
         told_by="seam table: edges do not meet"),
    Rule("patch-edges", (11,), True, "the raw edge lies under the patch", told_by="words of pocket"),
    Rule(
        "gather-early", (12,), False, "rows of gathering are broken by a seam sewn across them afterwards",
        ("join",), ("gather",), "corner",
        "{then} is gathered before step '{late}' joins the edges at its end",
        "Sew that seam first, then the gathering rows across it.", "early", unless="sewn flat",
    ),
    Rule(
        "gather-late", (13,), True, "an edge that has been sewn cannot be drawn up any more",
        ("gather",), SEWN, "edge",
        "{first} is gathered after step '{early}' has sewn it",
        "Gather first.",
    ),
    Rule(
        "ease-late", (25,), True, "an edge that has been sewn cannot be drawn in any more",
        ("ease",), SEWN, "edge",
        "{first} is eased after step '{early}' has sewn it",
        "Ease first.",
    ),
    Rule("ease-much", (), False, "so much shows as folds", told_by="checks_ease", unless=ALWAYS),
    Rule("zip-late", (14, 28), True, "the tape's ends must be covered", told_by="checks_zip"),
    Rule("zip-order", (15,), False, "each kind of zip has its own order",
         told_by="checks_zip", unless="concealed"),
    Rule("collar-made", (16,), True, "its edges must meet to be sewn on",
         told_by="seam table: edges do not meet"),
    Rule("collar-soft", (), False, "a collar without interfacing does not keep its shape",
         told_by="checks_collar", unless=ALWAYS),
    Rule("ring-open", (17, 18, 26, 27), True, "a ring must be closed to match a ring",
         told_by="seam table: edges do not meet; checks_gaps"),
    Rule(
        "trim-late", (19, 20), True, "the allowances lie sewn down or inside by then",
        TRIMMING, ("understitch", "turn"), "edge",
        "the allowances of {first} are trimmed or clipped after step '{early}' has understitched or turned them",
        "Write trim, grade and clip before understitch and turn.",
    ),
    Rule(
        "understitch-late", (21,), False, "a facing that is held already cannot be rolled to the inside",
        ("understitch",), ("tack", "topstitch"), "edge",
        "{first} is understitched after step '{early}' has tacked or topstitched it",
        "Understitch first.", unless=ALWAYS,
    ),
    Rule("placket-late", (22,), True, "the cuff covers the placket's end", told_by="checks_placket"),
    Rule(
        "sleeve-flat", (23, 24), False, "much ease is only shared out well round a closed armhole",
        ("join",), ("eased join",), "closes",
        "{then} is set in flat with over 12 mm of ease, before step '{late}' closes it",
        "Sew the side seam and the sleeve seam first.", "early", unless="knit",
    ),
    Rule("ease-rows", (25,), True, "ease is drawn in before it is sewn", told_by="words of join"),
    Rule(
        "fitting", (29,), False, "a seam is easily let out only while it is basted",
        ("try on",), SEWN, "named",
        "the fitting before step '{first}' comes after it",
        "Move it before that step, or take the step out of `before:`.", unless=ALWAYS,
    ),
    Rule(
        "lining", (30,), False, "shell and lining are each made whole first: the seam's end lies under the felling",
        ("join",), ("fell",), "corner",
        "{then} is felled down before step '{late}' joins the edges at its end",
        "Sew that seam first.", "early", unless="through both",
    ),
    Rule("hang", (31,), False, "cloth on the bias drops, and drops unevenly",
         told_by="checks_hems", unless="straight hem"),
    Rule(
        "hang-late", (31,), False, "what hangs out afterwards is no longer level",
        ("hang",), ("bind", "finish", "face"), "edge",
        "{first} is hung and levelled after step '{early}' has dealt with it",
        "Hang it before that step.", unless=ALWAYS,
    ),
    Rule(
        "hem-early", (32,), False, "the seam then shows on the hem's edge and its allowances lie on top",
        ("join",), HEMMING, "round",
        "{then} is hemmed before step '{late}' sews the seam that runs into it",
        "Sew that seam first, or say why not: `although:` (a vent, a sleeve hemmed flat).", "early",
        unless="knit",
    ),
    Rule(
        "hang-early", (31, 32), False, "it hangs otherwise when that seam is sewn",
        ("join",), ("hang",), "round",
        "{then} is hung before step '{late}' sews the seam that runs into it",
        "Sew that seam first.", "early", unless=ALWAYS,
    ),
    Rule("level", (33,), True, "levelling cuts the hem away", ("hang",), HEMMING, "edge",
        "{first} is levelled after step '{early}' has hemmed it",
        "Level it before that step.",
    ),
    Rule(
        "bind-early", (), False, "the hem then folds the binding's end in: too thick to turn twice",
        ("hem", "double hem"), ("bind",), "corner",
        "{then} is bound before step '{late}' hems the edge at its end",
        "Hem that edge first; the binding's end is then turned in level with it.", "early",
        unless="turned once",
    ),
    Rule(
        "button-early", (34,), False, "the button's place is taken from its loop",
        ("loop",), ("button",), "opening",
        "the button of {then} is sewn on before its loop is made (step '{late}')",
        "Make the loop first.", "early", unless=ALWAYS,
    ),
    Rule(
        "loop-late", (34,), True, "its ends are caught in the seam that faces the slit",
        ("loop",), ("face opening",), "opening",
        "the loop of {first} is made after step '{early}' has faced the slit",
        "Make the loop before that step.",
    ),
    Rule("buttons-early", (34,), False, "buttons are placed on the complete garment",
         told_by="checks_buttons", unless=ALWAYS),
    Rule("hole-thin", (35,), False, "a hole in single cloth tears",
         told_by="checks_buttons", unless="turned in"),
    Rule("elastic-gap", (36, 37), True, "the elastic is threaded through the gap", told_by="words of casing"),
    Rule(
        "press-last", (38, 39), False, "what is sewn afterwards is left unpressed",
        SEWN, ("final press",), "all",
        "the whole is pressed before step '{late}' is sewn",
        "Make the final press the last step.", "early", unless=ALWAYS,
    ),
    Rule(
        "finish-late", (40,), False, "its ends lie under that seam and cannot be reached any more",
        ("finish",), ("join", "face", "band", "hem", "double hem", "casing"), "corner",
        "{first} is neatened after step '{early}' has sewn across its end",
        "Neaten it before that step.", unless="single",
    ),
    Rule(
        "enclosed", (), True, "an edge that lies inside cannot be reached",
        ("staystitch", "baste", "finish"), ENCLOSING, "edge",
        "{first} is dealt with after step '{early}' has enclosed it",
        "Move it before that step, or take it out.",
    ),
    Rule(
        "band-early", (26, 27), False, "the seam's end lies inside by then and must be sewn through everything",
        ("join",), ("face", "band"), "corner",
        "{then} is faced or banded before step '{late}' joins the edges at its end",
        "Sew that seam first.", "early", unless="in one",
    ),
    Rule(
        "fell-early", (), True, "its edge comes to lie there only when it is turned",
        ("turn",), ("fell",), "touching",
        "{then} is felled down before step '{late}' turns it",
        "Turn it first.", "early",
    ),
    Rule(
        "attach-early", (), False, "the strap is then folded into the hem",
        ("hem", "double hem", "casing", "bind"), ("attach to",), "edge",
        "something is sewn onto {then} before step '{late}' turns it up or binds it",
        "Finish that edge first.", "early", unless=ALWAYS,
    ),
    Rule(
        "tube-late", (), True, "its end is sewn down raw and flat, so that it can be neither sewn nor turned",
        ("tube",), ("attach",), "piece",
        "{first} is sewn and turned after step '{early}' has sewn its end on",
        "Make it before that step.",
    ),
    Rule(
        "topstitch-early", (), True, "a row along a seam is sewn through what the seam holds",
        SEWN, ("topstitch",), "edge",
        "{then} is topstitched before step '{late}' sews it",
        "Sew that edge first.", "early",
    ),
    Rule(
        "topstitch-late", (), False, "the row then ends at that seam and cannot be caught in it",
        ("topstitch",), ("join", "face", "band", "hem", "double hem", "casing"), "corner",
        "{first} is topstitched after step '{early}' has sewn across its end",
        "Topstitch it before that step.", unless="no seam",
    ),
    Rule(
        "tack-early", (), True, "it comes to lie inside only when it is turned",
        ("turn",), ("tack",), "piece",
        "{then} is tacked before step '{late}' turns it",
        "Turn it first.", "early",
    ),
    Rule("tack-raw", (), False, "it frays inside", told_by="checks_tack", unless=ALWAYS),
    Rule("topstitch-bare", (), False, "the row holds no allowance",
         told_by="checks_topstitch", unless="enclosed seam"),
    Rule("topstitch-wide", (), False, "the row lies beside the allowance",
         told_by="checks_topstitch", unless=ALWAYS),
    Rule("grade-narrow", (), False, "layers cut to two widths need room",
         told_by="checks_gaps", unless=ALWAYS),
    Rule("placket-round", (), False, "a slit is easier bound while it lies flat",
         told_by="checks_placket", unless=ALWAYS),
    Rule("button-edge", (), False, "the button reaches beyond the edge",
         told_by="checks_buttons", unless=ALWAYS),
    Rule("zip-narrow", (), False, "the tape is wider than what it is sewn to",
         told_by="checks_gaps", unless=ALWAYS),
    Rule("two-sides", (), False, "a seam joins what lies side by side",
         told_by="checks_gaps", unless="centre seam"),
    Rule("corner-unclipped", (), False, "the allowances hold the corner back",
         told_by="checks_gaps", unless=ALWAYS),
    Rule("soft-edge", (), False, "a faced or banded edge stretches without interfacing",
         told_by="checks_gaps", unless="other layer"),
    Rule("run-on", (), False, "the edges would show a bump or a dent where they meet",
         told_by="checks_truing", unless="drawn up"),
    Rule("left-raw", (), False, "raw allowances fray", told_by="checks", unless="declared"),
)  # fmt: skip

BY_ID = {rule.id: rule for rule in RULES}
SOFT = tuple(rule.id for rule in RULES if not rule.hard)
