"""The audit at the saws: the cuts are done one by one, and must give what the plan says.

A board lies with its left end at x = 0 and its lower edge at y = 0. A cut across (trim, crosscut)
goes through the whole width of the piece being cut, a rip through its whole length; it takes a kerf
from ``at`` on, or what is left of the piece where the kerf runs off it. Lengths are inches.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain, combinations

from optimizer.plan.plan import Blank, Board, Cut, CutKind, Leftover, Plan
from stock.lengths import Length, exact_text
from stock.shop import Sawing, Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A rectangle of a board, and which saws it has met (the trim saw does not count)."""

    x: Length
    y: Length
    length: Length
    width: Length
    crosscut: bool = False
    ripped: bool = False

    @property
    def right(self) -> Length:
        return self.x + self.length

    @property
    def top(self) -> Length:
        return self.y + self.width

    @property
    def area(self) -> Fraction:
        return self.length * self.width

    @property
    def place(self) -> tuple[Length, Length, Length, Length]:
        return self.x, self.y, self.length, self.width

    def holds(self, other: Piece) -> bool:
        inside_length = self.x <= other.x and other.right <= self.right
        return inside_length and self.y <= other.y and other.top <= self.top


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    """A piece of a board as handed over, along the board, and where its usable wood lies."""

    start: Length
    end: Length
    left_end: Length
    right_end: Length


def sawing_findings(plan: Plan, shop: Shop) -> Iterator[str]:
    """Sentences on every board that cannot be sawn as the plan says."""
    for board in plan.boards:
        bench = _SawBench(board, shop)
        for finding in chain(bench.lie_in_usable_wood(), bench.lie_apart(), bench.saw()):
            yield f"board {board.id}: {finding}"


class _SawBench:
    """One board: what the plan wants from it, and its pieces as the cuts so far have left them."""

    def __init__(self, board: Board, shop: Shop) -> None:
        self.board, self.shop = board, shop
        self.stretches = _as_handed_over(board, shop)
        self.blanks = {blank.id: _planned(blank) for blank in board.blanks}
        self.wanted = self.blanks | {left.tag: _planned(left) for left in board.leftovers}
        self.whole = Piece(x=Fraction(0), y=Fraction(0), length=board.length, width=board.width)
        self.pieces = {board.id: self.whole}
        self.names = {board.id}
        self.sawdust_and_scrap = Fraction(0)

    # what the plan wants -----------------------------------------------------------------------

    def lie_in_usable_wood(self) -> Iterator[str]:
        sawn = any(cut.kind is not CutKind.YARD for cut in self.board.cuts)
        if (sawn or self.board.from_rack) and not (self.blanks or self.board.spoiled):
            yield "no blank is sawn from it"
        if len(self.wanted) < len(self.board.blanks) + len(self.board.leftovers):
            yield "two of its blanks and leftovers have one name"
        for name, piece in self.wanted.items():
            if not any(self._usable(stretch).holds(piece) for stretch in self.stretches):
                yield f"{name} does not lie in the usable wood"

    def _usable(self, stretch: _Stretch) -> Piece:
        """What lies between the trims."""
        length = stretch.right_end - stretch.left_end
        return replace(self.whole, x=stretch.left_end, length=length)

    def lie_apart(self) -> Iterator[str]:
        for (one, a), (other, b) in combinations(self.wanted.items(), 2):
            along = max(a.x, b.x) - min(a.right, b.right)
            across = max(a.y, b.y) - min(a.top, b.top)
            if along < self.shop.crosscut_kerf and across < self.shop.rip_kerf:
                yield f"{one} and {other} do not lie a kerf apart"

    # the cuts ----------------------------------------------------------------------------------

    def saw(self) -> Iterator[str]:
        for number, cut in enumerate(self.board.cuts, start=1):
            if cut.n != number:
                yield f"cut {cut.n} comes as number {number}"
            piece = self.pieces.pop(cut.piece, None)
            if piece is None or cut.piece in self.wanted:
                yield f"cut {cut.n} is on {cut.piece}, which is not there to be cut"
            elif not 0 <= cut.at < (piece.width if cut.kind is CutKind.RIP else piece.length):
                yield f"cut {cut.n} at {self._say(cut.at)} misses {cut.piece}"
            else:
                yield from self._allowed(cut, piece)
                yield from self._cut(cut, piece)
        yield from self._gave_what_is_wanted()
        got = sum(piece.area for piece in self.wanted.values()) + self.sawdust_and_scrap
        if got != self.whole.area:
            yield f"wood is not conserved: {got} of {self.whole.area} in² is accounted for"

    def _cut(self, cut: Cut, piece: Piece) -> Iterator[str]:
        """Do the cut: two pieces with a kerf between them, either of which may have no size."""
        if cut.kind is CutKind.RIP:
            far = min(cut.at + self.shop.rip_kerf, piece.width)
            piece = replace(piece, ripped=True)
            first = replace(piece, width=cut.at)
            second = replace(piece, y=piece.y + far, width=piece.width - far)
        else:
            far = min(cut.at + self.shop.crosscut_kerf, piece.length)
            piece = replace(piece, crosscut=piece.crosscut or cut.kind is CutKind.CROSSCUT)
            first = replace(piece, length=cut.at)
            second = replace(piece, x=piece.x + far, length=piece.length - far)
        self.sawdust_and_scrap += piece.area - first.area - second.area
        for name, given in zip(cut.gives, (first, second), strict=True):
            if not name:
                self.sawdust_and_scrap += given.area
            elif name in self.names:
                yield f"cut {cut.n} gives a second piece the name {name}"
            elif not given.area:
                yield f"cut {cut.n} leaves no wood for {name}"
            else:
                self.names.add(name)
                self.pieces[name] = given

    def _gave_what_is_wanted(self) -> Iterator[str]:
        if not self.board.cuts:
            self._uncut()
        self._keep_unsawn()
        for name, piece in self.pieces.items():
            if name not in self.wanted:
                yield f"piece {name} ends as neither blank, leftover nor scrap"
            elif piece.place != self.wanted[name].place:
                is_at, planned = map(self._say_place, (piece, self.wanted[name]))
                yield f"the cuts give {name} {is_at}, and the plan has it {planned}"
            elif name in self.blanks and piece.ripped and piece.width < self.shop.narrowest_rip:
                yield f"{name} is ripped {self._say(piece.width)} wide, under the narrowest rip"
        for name in self.wanted:
            if name not in self.pieces:
                yield f"no cut gives {name}"

    def _uncut(self) -> None:
        """A board is used whole, kept whole, or spoiled as a whole."""
        if len(self.wanted) == 1:
            self.pieces = dict.fromkeys(self.wanted, self.whole)
        elif not self.wanted and self.board.spoiled:
            self.pieces = {}
            self.sawdust_and_scrap += self.whole.area

    def _keep_unsawn(self) -> None:
        """A board, or a yard's piece of one, that is kept as it came counts as far as it is
        usable: its ends are still to be trimmed.
        """
        for stretch in self.stretches:
            came = replace(self.whole, x=stretch.start, length=stretch.end - stretch.start)
            usable = self._usable(stretch)
            for name, piece in self.pieces.items():
                if name in self.wanted and name not in self.blanks and piece.place == came.place:
                    self.pieces[name] = usable
                    self.sawdust_and_scrap += came.area - usable.area

    # what machines and shop allow --------------------------------------------------------------

    def _allowed(self, cut: Cut, piece: Piece) -> Iterator[str]:
        if cut.kind is CutKind.RIP:
            for reason in self._no_rip(piece):
                yield f"cut {cut.n} rips {cut.piece}, {reason}"
        elif cut.kind is CutKind.YARD:
            if any(done.kind is not CutKind.YARD for done in self.board.cuts[: cut.n - 1]):
                yield f"cut {cut.n} is the yard's, and comes after cuts of the shop"
        elif (cut.kind is CutKind.TRIM) != self._trims_an_end(cut, piece):
            yield f"cut {cut.n}: a trim, and no other cut, takes the end trim off, kerf included"

    def _trims_an_end(self, cut: Cut, piece: Piece) -> bool:
        near, far = piece.x + cut.at, piece.x + cut.at + self.shop.crosscut_kerf
        left = any(far == each.left_end for each in self.stretches) and not cut.gives[0]
        right = any(near == each.right_end for each in self.stretches) and not cut.gives[1]
        return left or right

    def _no_rip(self, piece: Piece) -> Iterator[str]:
        """Why ``piece`` may not be ripped."""
        if piece.length < self.shop.shortest_to_rip:
            yield "which is shorter than the shortest to rip"
        if piece.length > self.shop.longest_to_rip:
            yield "which is longer than the longest to rip"
        if self.board.treated:
            yield "which is treated"
        blanks = [blank for blank in self.blanks.values() if piece.holds(blank)]
        # After a crosscut the shop that rips first still rips a blank narrower than its strip.
        if self.shop.sawing is Sawing.RIP_FIRST and piece.crosscut and len(blanks) > 1:
            yield "which has been crosscut, and the shop rips first"
        if self.shop.sawing is Sawing.CROSSCUT_FIRST and not piece.crosscut:
            stretch = next(each for each in self.stretches if piece.x < each.end)
            usable = min(piece.right, stretch.right_end) - max(piece.x, stretch.left_end)
            if all(blank.length != usable for blank in blanks):
                yield "which has not been crosscut, and the shop crosscuts first"

    def _say(self, length: Length) -> str:
        return exact_text(length, self.shop.unit)

    def _say_place(self, piece: Piece) -> str:
        x, y, length, width = map(self._say, piece.place)
        return f"at {x}, {y}, {length} long and {width} wide"


def _as_handed_over(board: Board, shop: Shop) -> list[_Stretch]:
    """The board as it comes into the shop: whole, or in the pieces that the yard has sawn."""
    at, marks = Fraction(0), []
    for cut in board.cuts:
        if cut.kind is CutKind.YARD:
            marks.append(at + cut.at)
            at = marks[-1] + shop.crosscut_kerf
    starts = [Fraction(0), *(mark + shop.crosscut_kerf for mark in marks)]
    factory = Fraction(0) if board.from_rack else shop.end_trim
    # A yard's saw is off by its tolerance, and the end that it leaves is trimmed like any other.
    rough = max(shop.end_trim + shop.yard_tolerance, shop.crosscut_kerf)
    ends = [*marks, board.length]
    return [
        _Stretch(
            start=start,
            end=end,
            left_end=start + (rough if start else factory),
            right_end=end - (factory if end == board.length else rough),
        )
        for start, end in zip(starts, ends, strict=True)
    ]


def _planned(piece: Blank | Leftover) -> Piece:
    return Piece(x=piece.x, y=piece.y, length=piece.length, width=piece.width)
