"""The audit at the saws: the cuts are done one by one, and must give what the plan says.

A board lies with its left end at x = 0 and its lower edge at y = 0. A cut across (trim, crosscut)
goes through the whole width of the piece being cut, a rip through its whole length; it takes a kerf
from ``at`` on, or what is left of the piece where the kerf runs off it. Lengths are inches.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from optimizer.plan.audit_wood import Wood, wood_of
from optimizer.plan.audit_yard import as_handed_over
from optimizer.plan.plan import Blank, Board, Cut, CutKind, Leftover, Plan
from stock.lengths import Length, exact_text
from stock.shop import Sawing, Shop
from stock.stock_book import StockBook

ALONG = (CutKind.RIP, CutKind.JOINT, CutKind.STRAIGHTEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A rectangle of a board, and which saws it has met (the trim saw does not count)."""

    x: Length
    y: Length
    length: Length
    width: Length
    crosscut: bool = False
    ripped: bool = False
    straight: bool = False

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


def sawing_findings(plan: Plan, stock: StockBook) -> Iterator[str]:
    """Sentences on every board that cannot be sawn as the plan says.

    Of boards that are alike but for names one that can be sawn stands for all.
    """
    lengths = {blank.length for board in plan.boards for blank in board.blanks}
    can_be_sawn = set[Hashable]()
    for board in plan.boards:
        if (alike := _but_for_names(board)) in can_be_sawn:
            continue
        bench = _SawBench(board, wood_of(board, stock), stock.shop, lengths)
        findings = [*bench.lie_in_usable_wood(), *bench.lie_apart(), *bench.saw()]
        if not findings:
            can_be_sawn.add(alike)
        for finding in findings:
            yield f"board {board.id}: {finding}"


def _but_for_names(board: Board) -> Hashable:
    """A board, its pieces named by numbers as they come; what has no name stays without."""
    numbers = {"": 0}

    def number(name: str) -> int:
        return numbers.setdefault(name, len(numbers))

    return (
        replace(board, id="", blanks=(), leftovers=(), cuts=(), made=0),
        number(board.id),
        tuple((number(blank.id), _planned(blank).place) for blank in board.blanks),
        tuple((number(left.tag), _planned(left).place) for left in board.leftovers),
        tuple((c.n, c.kind, c.at, *map(number, (c.piece, *c.gives))) for c in board.cuts),
    )


class _SawBench:
    """One board: what the plan wants from it, and its pieces as the cuts so far have left them."""

    def __init__(self, board: Board, wood: Wood, shop: Shop, lengths: set[Length]) -> None:
        self.board, self.wood, self.shop, self.lengths = board, wood, shop, lengths
        self.starts = {start for start, _ in wood.sound}
        self.ends = {end for _, end in wood.sound}
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
        usable = [replace(self.whole, x=a, length=b - a) for a, b in self.wood.sound]
        for name, piece in self.wanted.items():
            if not any(stretch.holds(piece) for stretch in usable):
                yield f"{name} does not lie in the usable wood"
            yield from self._without_pith(name, piece)

    def _without_pith(self, name: str, piece: Piece) -> Iterator[str]:
        """No blank has pith in it; a leftover only where nothing of its length was ripped."""
        bottom, top = self.wood.pith or (self.whole.top, self.whole.top)
        if piece.y < top and piece.top > bottom:
            if name in self.blanks:
                yield f"{name} has the pith of a wide board in it"
            elif piece.width < self.whole.width:
                yield f"leftover {name} keeps the pith of a board that was ripped"

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
            elif not 0 <= cut.at < (piece.width if cut.kind in ALONG else piece.length):
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
        if cut.kind in ALONG:
            saw = cut.kind is CutKind.RIP
            far = min(cut.at + self.shop.rip_kerf, piece.width) if saw else piece.width
            straight = piece.straight or cut.kind is CutKind.STRAIGHTEN
            ripped = piece.ripped or cut.kind is not CutKind.STRAIGHTEN
            piece = replace(piece, ripped=ripped, straight=straight)
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
            elif name in self.blanks and not piece.straight and self._crooked(piece):
                yield f"{name} is crooked, and no edge is straightened"
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
        for came, sound in as_handed_over(self.board, self.shop):
            for name, piece in self.pieces.items():
                if name in self.wanted and name not in self.blanks and self._is(piece, came):
                    usable = replace(piece, x=sound[0], length=sound[1] - sound[0])
                    self.pieces[name] = usable
                    self.sawdust_and_scrap += piece.area - usable.area

    def _is(self, piece: Piece, stretch: tuple[Length, Length]) -> bool:
        return (piece.x, piece.right, piece.width) == (*stretch, self.board.width)

    # what machines and shop allow --------------------------------------------------------------

    def _allowed(self, cut: Cut, piece: Piece) -> Iterator[str]:
        if cut.kind is CutKind.STRAIGHTEN:
            if piece.straight or cut.at != self.wood.straight(piece.length):
                width = self._say(self.wood.straight(piece.length))
                yield f"cut {cut.n} straightens {cut.piece} to another width than {width}"
        elif cut.kind in ALONG:
            for reason in self._no_rip(piece):
                yield f"cut {cut.n} rips {cut.piece}, {reason}"
            yield from self._right_machine(cut, piece)
        elif cut.kind is CutKind.YARD:
            if any(done.kind is not CutKind.YARD for done in self.board.cuts[: cut.n - 1]):
                yield f"cut {cut.n} is the yard's, and comes after cuts of the shop"
        elif (cut.kind is CutKind.TRIM) != self._trims_an_end(cut, piece):
            yield f"cut {cut.n}: a trim, and no other cut, takes the end trim off, kerf included"

    def _trims_an_end(self, cut: Cut, piece: Piece) -> bool:
        """Whether a cut takes bad wood off the left or the right of sound wood."""
        near = piece.x + cut.at
        left = near + self.shop.crosscut_kerf in self.starts and not cut.gives[0]
        last = near == max(self.ends, default=None)
        right = near in self.ends and (not cut.gives[1] or not last)
        return left or (right and near < self.board.length)

    def _right_machine(self, cut: Cut, piece: Piece) -> Iterator[str]:
        """What is too thin for the saw is the jointer's, where the piece is long enough for it."""
        thin = piece.width - cut.at < self.shop.rip_kerf + Fraction(1, 16)
        long_enough = piece.length >= self.shop.shortest_to_plane
        if cut.kind is CutKind.JOINT and not (thin and long_enough):
            yield f"cut {cut.n} joints {cut.piece}, which is too short or loses too much"
        if cut.kind is CutKind.RIP and thin and long_enough:
            yield f"cut {cut.n} rips {cut.piece} by less than a saw can take: joint it"

    def _crooked(self, piece: Piece) -> bool:
        return self.wood.straight(piece.length) < self.board.width

    def _no_rip(self, piece: Piece) -> Iterator[str]:
        """Why ``piece`` may not be ripped."""
        if piece.length < self.shop.shortest_to_rip:
            yield "which is shorter than the shortest to rip"
        if piece.length > self.shop.longest_to_rip:
            yield "which is longer than the longest to rip"
        if self.board.treated:
            yield "which is treated"
        if not piece.straight and self._crooked(piece):
            yield "which is crooked: straighten it first"
        if self.board.thickness > 2 * self.shop.deepest_rip:
            yield "which is thicker than the saw cuts from both faces"
        blanks = [blank for blank in self.blanks.values() if piece.holds(blank)]
        # After a crosscut the shop that rips first still rips a blank narrower than its strip.
        if self.shop.sawing is Sawing.RIP_FIRST and piece.crosscut and len(blanks) > 1:
            yield "which has been crosscut, and the shop rips first"
        if self.shop.sawing is Sawing.CROSSCUT_FIRST and not piece.crosscut:
            usable = {min(piece.right, end) - max(piece.x, start) for start, end in self.wood.sound}
            # A segment is as long as some blank, be it that this one gives only shorter ones.
            if not self.lengths & usable:
                yield "which has not been crosscut, and the shop crosscuts first"

    def _say(self, length: Length) -> str:
        return exact_text(length, self.shop.unit)

    def _say_place(self, piece: Piece) -> str:
        x, y, length, width = map(self._say, piece.place)
        return f"at {x}, {y}, {length} long and {width} wide"


def _planned(piece: Blank | Leftover) -> Piece:
    return Piece(x=piece.x, y=piece.y, length=piece.length, width=piece.width)
