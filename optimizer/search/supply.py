"""A kind of board as the search sees it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from optimizer.search.yard import YardPiece
from stock.lengths import Length, Unit
from stock.pieces import Lumber, RackPiece, Stretch, straight_width
from stock.prices import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A kind of board: what one costs (exact, ``tax`` of ``store`` in it), and how many there are.

    ``limit`` is None where there are plenty. Of a board that is sound in several stretches, each is
    a supply of its own: ``stretch`` is its number among ``sound``; ``worth`` is that of the whole.
    Of a board that is sold in a lot only, ``share`` is the part of its cost that is paid with the
    lot, and ``kept`` what it is worth if it is not sawn; ``piece`` is the yard's, if that cuts it.
    ``pith`` is a band that is ripped out: from where to where across the board.
    """

    lumber: Lumber
    width: Length
    length: Length
    sound: tuple[Stretch, ...]
    cost: Fraction
    limit: int | None
    sources: tuple[RackPiece, ...] | tuple[Offer]
    store: str = ""
    tax: Fraction = Fraction(0)
    share: Fraction = Fraction(0)
    kept: Fraction = Fraction(0)
    piece: YardPiece | None = None
    stretch: int = 0
    worth: Decimal = Decimal("0.00")
    unit: Unit = Unit.IN
    pith: Stretch | None = None

    @property
    def usable(self) -> Length:
        start, end = self.sound[self.stretch]
        return end - start

    @property
    def crook(self) -> Length:
        """Over the whole length of the board."""
        source = self.sources[0]
        return source.crook if isinstance(source, RackPiece) else Length(0)

    def straight(self, length: Length) -> Length:
        """Width of a segment so long once its edges are straight."""
        source = self.sources[0]
        if isinstance(source, RackPiece) and source.crook:
            return straight_width(source, length, self.unit)
        return self.width

    @property
    def odd(self) -> bool:
        """Whether its segments give less than its own width: it is crooked, or loses its pith."""
        return bool(self.crook or self.pith)

    def rooms(self, length: Length) -> tuple[Length, ...]:
        """The widths that a segment so long has for strips once it is straight: one, or one on
        each side of the pith; none where it is so crooked that the pith lies at its edge.
        """
        straight = self.straight(length)
        if self.pith is None:
            return (straight,)
        bottom, top = self.pith
        return (bottom, straight - top) if straight > top else ()

    def as_straight(self) -> list[tuple[Length, Length]]:
        """(length, width) of straight boards that give just what this odd one does."""
        found = {(self.usable, width) for width in self.rooms(self.usable)}
        length = self.usable
        while length > 1 and self.straight(length) < self.width:
            length -= 1
            found |= {(length, width) for width in self.rooms(length)}
        return sorted(found)

    @property
    def bought(self) -> bool:
        return isinstance(self.sources[0], Offer)

    @property
    def in_lots(self) -> bool:
        """Whether it is bought with others, whether or not these are of use."""
        source = self.sources[0]
        return isinstance(source, Offer) and (self.piece is not None or source.pack > 1)
