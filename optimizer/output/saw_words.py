"""What is said of cuts in the same words on page, sheet, screen and in lists."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.output.words import counted, isolated, read, read_size, thin_strip
from optimizer.plan.marks import NearAlike
from optimizer.plan.plan import CutKind, Plan
from optimizer.work.order import Pass, Setting, Station
from optimizer.work.saw_cuts import Fate, SawCut, SawnPiece, Setup
from optimizer.work.work import SawnBoard, Work

NOTHING = "–"
TAPE_TOLD = (
    "Tape readings run from the board's left end, of a rip from its lower edge, to the near side "
    "of the kerf, which lies to the right of the line, of a rip above it: so the whole board is "
    "marked before its first cut, be it the store's. What is set is measured on the piece in hand."
)
_WITHOUT_SETTING = {
    Setup.STORE: "at the store",
    Setup.JOINTER: "on the jointer",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """A cut in words. ``tape`` is read from the board's left end, of a rip from its lower edge;
    ``at`` from that of the piece in hand.
    """

    n: int
    what: str
    piece: str
    setting: str
    tape: str
    at: str
    comes_off: str
    remains: str


def cut_row(plan: Plan, cut: SawCut) -> CutRow:
    """``cut`` in words."""
    off, rest = (cut.far, cut.near) if _trims_right(cut) else (cut.near, cut.far)
    return CutRow(
        n=cut.n,
        what=_what(cut),
        piece=cut.piece.mark,
        setting=_set(plan, cut),
        tape=read(cut.tape, plan),
        at=read(cut.at, plan),
        comes_off=piece_text(plan, off),
        remains=piece_text(plan, rest),
    )


def _trims_right(cut: SawCut) -> bool:
    kept = cut.near is not None and cut.near.fate is not Fate.SCRAP
    return cut.kind is CutKind.TRIM and kept


def _what(cut: SawCut) -> str:
    match cut.kind:
        case CutKind.RIP:
            return "Rip"
        case CutKind.CROSSCUT:
            return "Crosscut"
        case CutKind.JOINT:
            return "Joint"
        case CutKind.STRAIGHTEN:
            return "Straighten"
        case CutKind.YARD:
            return "Yard cut"
        case CutKind.TRIM:
            if not _trims_right(cut):
                return "Trim left end"
            ends = cut.far is None or cut.far.fate is Fate.SCRAP
            return "Trim right end" if ends else "Trim before bad stretch"


def _set(plan: Plan, cut: SawCut) -> str:
    if cut.setup is Setup.TAPE:
        return f"at {read(cut.at, plan)} from its left end"
    if cut.setting is None:
        return _WITHOUT_SETTING[cut.setup]
    reading = read(cut.setting, plan)
    match cut.setup:
        case Setup.OUTER:
            return f"fence {reading}, thin strip falls outside"
        case _:
            return f"{cut.setup} {reading}"


def piece_text(plan: Plan, piece: SawnPiece | None) -> str:
    """``C2a, 31 × 3``; of scrap and leftovers what becomes of them."""
    if piece is None:
        return NOTHING
    size = read_size(plan, piece.length, piece.width)
    match piece.fate:
        case Fate.SCRAP:
            what = "pith" if piece.pith else "bad stretch" if piece.bad else "scrap"
            return f"{what}, {size}"
        case Fate.LEFTOVER:
            return f"{isolated(piece.mark)}, {size}, to the rack"
        case _:
            return f"{isolated(piece.mark)}, {size}"


def setting_text(plan: Plan, each: Pass, setting: Setting) -> str:
    """``Stop at 86``, ``Fence at 3``, or how else these cuts are set."""
    if setting.at is None:
        return "Trim by the tape" if each.station is Station.CROSSCUT else "On the jointer"
    tool = "Fence" if each.station is Station.RIP else "Stop"
    return f"{tool} at {read(setting.at, plan)}"


def station_rules(plan: Plan, each: Pass) -> str:
    """How one works at this saw. Common practice, no source; the machine's manual rules."""
    if each.station is Station.CROSSCUT:
        trims = any(setting.at is None for setting in each.settings)
        measured = (
            " Trims are measured on the piece in hand, from its left end to the near side of the "
            "kerf."
        )
        return (
            "Hold the piece that lies at the stop, never the one that falls off, and let the "
            f"blade stop before you lift it.{measured if trims else ''} The saw's manual rules."
        )
    return (
        f"A strip of {thin_strip(plan)} and wider runs between fence and blade, pushed through "
        "with a push block. A thinner one falls off the outer edge, and the fence moves for each. "
        "The saw's manual rules."
    )


def yard_pieces(board: SawnBoard) -> str:
    """What the pieces that a store saws off ``board`` go by, from its marked end: ``B1, B1.1``."""
    sides = [side for cut in board.cuts if cut.kind is CutKind.YARD for side in cut.sides]
    cut_on = {cut.piece for cut in board.cuts if cut.kind is CutKind.YARD}
    return ", ".join(isolated(side.mark) for side in sides if side not in cut_on)


def settings_told(work: Work) -> str:
    """How often stop and fence are set, beside sawing board by board."""
    if not work.settings_by_board:
        return "no setting of stop or fence"
    return (
        f"{counted(work.settings, 'setting')} of stop and fence "
        f"({work.settings_by_board} if sawn board by board)"
    )


# --- parts easily mixed up -----------------------------------------------------------------------


def mixed_up(work: Work, pair: NearAlike) -> str:
    """``A and C are easily mixed up: C is 1/8 wider.``"""
    words = {
        "longer": pair.length,
        "shorter": -pair.length,
        "wider": pair.width,
        "narrower": -pair.width,
        "thicker": pair.thickness,
        "thinner": -pair.thickness,
    }
    told = [f"{read(apart, work.plan)} {word}" for word, apart in words.items() if apart > 0]
    first, second = work.marks.letters[pair.first], work.marks.letters[pair.second]
    names = f"{first} ({isolated(pair.first)}) and {second} ({isolated(pair.second)})"
    of = "Blanks of " if pair.rough else ""
    return f"{of}{names} are easily mixed up: {second} is {' and '.join(told)}."
