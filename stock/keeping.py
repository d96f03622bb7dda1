"""Keep or burn: what is worth its place on the rack, by the shop's own rules.

The sheet ``Keep`` says for sections and woods how short, how many and how long. Whatever has no
worth as an offcut, and the least worthy where the rack is too full, go too. It is advice: nothing
is taken off the rack.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from stock.columns import Findings, Row, in_order, read_rows
from stock.errors import BookFaultsError
from stock.journal import Line, Stack, What, stack_of
from stock.lengths import Length, Unit
from stock.pieces import RackPiece
from stock.rack_forms import KEEP
from stock.sizes import Dried
from stock.spreadsheet import Book
from stock.stock_book import StockBook
from stock.wood import same_wood
from stock.worth import Worth

DAYS_A_MONTH = Fraction(1461, 48)  # 365 1/4 days a year
CUBIC_INCHES = {Unit.IN: Fraction(144), Unit.MM: Fraction(100 * 5, 127) ** 3}
"""Cubic inches in a board foot, and in a litre."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepRule:
    """A row of the sheet ``Keep``; None is any, or no limit. Lengths are inches."""

    thickness: Length | None
    width: Length | None
    wood: str
    shortest: Length | None
    most: int | None
    months: int | None

    def fits(self, piece: RackPiece) -> bool:
        """Whether the piece goes by this row."""
        thick = self.thickness in (None, piece.lumber.thickness)
        wide = self.width is None or piece.width >= self.width
        return thick and wide and (not self.wood or same_wood(self.wood, piece.lumber.wood))


def read_keep_rules(book: Book, unit: Unit) -> tuple[KeepRule, ...]:
    """The rows of the sheet; none where the book has no such sheet.

    Raises BookFaultsError with every cell that cannot be read.
    """
    findings = Findings()
    rules = tuple(_rule(row) for row in read_rows(book, KEEP, unit, findings))
    if findings.faults:
        raise BookFaultsError(in_order(findings.faults))
    return rules


def _rule(row: Row) -> KeepRule:
    thickness, width = row["Size"].actual(Dried.DRY) if row["Size"] else (None, None)
    return KeepRule(
        thickness=row["Thickness"] or thickness,
        width=row["Width"] or width,
        wood=row["Wood"] or "",
        shortest=row["Shortest"],
        most=row["Most"],
        months=row["Months"],
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelved:
    """A row of the rack: the worth of all its pieces, their volume in cubic inches, and for how
    many months they lie there (None: nobody knows).
    """

    piece: RackPiece
    worth: Decimal
    volume: Fraction
    months: Fraction | None


def shelved(stock: StockBook, journal: Iterable[Line], today: date) -> list[Shelved]:
    """Every row of the rack, with what it is worth and how long it lies."""
    worth = Worth(stock.shop, stock.offers)
    came: dict[Stack, date] = {}
    for line in journal:
        if line.count > 0 and line.what is not What.UNDONE:
            came[stack_of(line.piece)] = line.day
    return [
        Shelved(
            piece=piece,
            worth=piece.count * worth.of(piece.lumber, piece.length, piece.width),
            volume=piece.count * piece.lumber.thickness * piece.width * piece.length,
            months=_months(piece.measured_on or came.get(stack_of(piece)), today),
        )
        for piece in stock.rack
    ]


def _months(since: date | None, today: date) -> Fraction | None:
    return None if since is None else (today - since).days / DAYS_A_MONTH


def to_burn(
    rack: Sequence[Shelved], rules: Sequence[KeepRule], stock: StockBook
) -> dict[str, list[str]]:
    """Why a piece is not worth its place, by its tag; the others stay out."""
    reasons: defaultdict[str, list[str]] = defaultdict(list)
    by_rule: defaultdict[int, list[Shelved]] = defaultdict(list)
    for each in rack:
        if not each.worth:
            reasons[each.piece.tag].append("worth nothing as an offcut")
        rule = next((n for n, rule in enumerate(rules) if rule.fits(each.piece)), None)
        if rule is not None:
            by_rule[rule].append(each)
    for n, pieces in by_rule.items():
        for tag, reason in _against(rules[n], pieces):
            reasons[tag].append(reason)
    for tag in _too_many(rack, reasons, stock):
        reasons[tag].append("the rack is too full, and it is worth the least for its room")
    return dict(reasons)


def _against(rule: KeepRule, pieces: Sequence[Shelved]) -> Iterator[tuple[str, str]]:
    kept = 0
    for each in sorted(pieces, key=lambda each: (-each.piece.length, each.piece.tag)):
        tag = each.piece.tag
        if rule.shortest and each.piece.length < rule.shortest:
            yield tag, "shorter than its row on Keep"
        elif rule.months is not None and each.months is not None and each.months > rule.months:
            months = int(each.months)
            yield tag, f"lies there for {months} month{'' if months == 1 else 's'}"
        else:
            kept += each.piece.count
            if rule.most is not None and kept > rule.most:
                yield tag, f"more than {rule.most} such pieces"


def _too_many(
    rack: Sequence[Shelved], burned: Mapping[str, object], stock: StockBook
) -> Iterator[str]:
    """Pieces that do not fit any more, once those that are ``burned`` anyway are gone."""
    shop = stock.shop
    room = Fraction(shop.rack_space) * CUBIC_INCHES[shop.unit]
    left = [each for each in rack if each.piece.tag not in burned]
    lying = sum((each.volume for each in left), Fraction(0))
    for each in sorted(left, key=lambda each: (Fraction(each.worth) / each.volume, -each.volume)):
        if not room or lying <= room:
            return
        lying -= each.volume
        yield each.piece.tag


AGES = ((1, "under 1 month"), (3, "1 to 3 months"), (6, "3 to 6"), (12, "6 to 12"))
OLDER = "over a year"


def ages_of_leftovers(journal: Sequence[Line], today: date) -> dict[str, tuple[int, int]]:
    """How long leftovers lay before they were used, and how long those lie that are not: counts of
    both, by age.
    """
    waiting: defaultdict[Stack, list[date]] = defaultdict(list)
    used: Counter[str] = Counter()
    for line in journal:
        stack = stack_of(line.piece)
        if line.what is What.KEPT:
            waiting[stack] += [line.day] * line.count
        elif line.count < 0 and waiting[stack]:
            for _ in range(min(-line.count, len(waiting[stack]))):
                came = waiting[stack].pop(0)
                if line.what is What.SAWN:
                    used[_age(came, line.day)] += 1
    lying = Counter(_age(came, today) for days in waiting.values() for came in days)
    return {age: (used[age], lying[age]) for age in (*(name for _, name in AGES), OLDER)}


def _age(since: date, until: date) -> str:
    months = (until - since).days / DAYS_A_MONTH
    return next((name for limit, name in AGES if months < limit), OLDER)
