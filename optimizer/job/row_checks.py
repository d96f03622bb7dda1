"""What in the rows of parts speaks against itself, or against the other book."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.job.parts import Make, Part
from stock.columns import Row
from stock.lengths import Length, Unit, format_length, is_bare
from stock.measures import Measures
from stock.sizes import Dried, find_size
from stock.stock_book import StockBook
from stock.wood import known_wood, same_wood

# Who types these finished widths beside a thickness of 2 mostly means the name of a size.
NOMINAL_THICKNESS = Length(2)
NOMINAL_WIDTHS = tuple(map(Length, (4, 6, 8, 10, 12)))


def check_names(rows: Sequence[Row]) -> None:
    """No part stands in two rows."""
    seen: dict[str, int | None] = {}
    for row in rows:
        name = (row["Part"] or "").casefold()
        if name in seen:
            remedy = "give each part a name of its own, or one row with the whole count"
            row.refuse("Part", f"the part stands in row {seen[name]} too", remedy)
        elif name:
            seen[name] = row.number


def check_wishes(row: Row) -> None:
    """Wishes that speak against each other."""
    if row["Butt joints"] == row["Carries load"] == "yes":
        row.refuse(
            "Butt joints", "it carries load", "plies that carry load are not joined: type no"
        )
    if same_board(row) and row["Pairs"] == "yes":
        row.refuse("Pairs", "Same board says more already", "type no for one of the two")


def same_board(row: Row) -> str:
    """``yes``, the name of the board, or nothing."""
    typed = row["Same board"] or ""
    return {"yes": "yes", "no": ""}.get(typed.casefold(), typed)


def of_board(row: Row) -> str:
    """The name of the board that a line shares with others, or nothing."""
    return name if (name := same_board(row)) != "yes" else ""


def check_boards(lines: Sequence[tuple[Row, Part]]) -> None:
    """Lines that are to come out of one board: alike, and all as wide or all as long."""
    boards: dict[str, list[tuple[Row, Part]]] = {}
    for row, part in lines:
        if part.of_board:
            boards.setdefault(part.of_board.casefold(), []).append((row, part))
    for (first, like), *others in boards.values():
        problem = f"it is to be out of one board with row {first.number}"
        parts = [like, *(part for _, part in others)]
        if len({p.width for p in parts}) > 1 and len({p.length_with_tenons for p in parts}) > 1:
            alike = "some are wider and some longer than others"
            others[-1][0].refuse("Same board", f"{problem}, and {alike}", _ALL_ALIKE)
        for row, part in others:
            if unlike := _unlike(like, part):
                row.refuse("Same board", f"{problem}, and has another {unlike}", _ALL_ALIKE)
    for row, part in lines:
        if part.of_board and part.make is Make.GLUED:
            row.refuse("Make", "what is glued is not out of one board", "type solid, or nothing")


_ALL_ALIKE = (
    "give lines of one board one thickness and one width, or one length with tenons; "
    "or another name under Same board"
)


def _unlike(one: Part, other: Part) -> str:
    """In what two lines differ that cannot be one blank."""
    pairs = {
        "thickness": (one.thickness, other.thickness),
        "Thickness at least": (one.thickness_at_least, other.thickness_at_least),
        "Treated": (one.treated, other.treated),
        "Faces": (one.faces, other.faces),
        "allowance": (one.own, other.own),
    }
    return next((what for what, (a, b) in pairs.items() if a != b), "")


def check_wood(row: Row, stock: StockBook) -> None:
    """A wood that the stock book or the table of woods knows."""
    wood = row["Wood"]
    if not wood or known_wood(wood) or any(same_wood(wood, known) for known in stock.woods):
        return
    names = f"the stock book has {', '.join(stock.woods)}; " if stock.woods else ""
    row.refuse("Wood", "this wood is not known", f"{names}leave it empty for any wood")


def check_nominal(row: Row, unit: Unit) -> None:
    """Asks about a part typed 2 thick and 4 wide: it may be a 2x4, which measures less."""
    thickness, width = row["Thickness"], row["Width"]
    typed_bare = unit is Unit.IN and thickness and is_bare(row.cell("Thickness").text)
    if not typed_bare or thickness != NOMINAL_THICKNESS or width not in NOMINAL_WIDTHS:
        return
    size = find_size(f"{thickness}x{width}")
    face = " x ".join(format_length(each, unit) for each in size.actual(Dried.DRY) if each)
    row.refuse(
        "Thickness",
        f"did you mean the size {size.name}, which is {face}?",
        f"type {size.name} under Size; if it is really {thickness} in thick, type {thickness} in",
    )


def check_least(row: Row, measures: Measures) -> None:
    """What may come out thinner may not come out thicker."""
    least = row["Thickness at least"]
    if least and least > measures.thickness:
        row.refuse("Thickness at least", "it is more than the thickness", "type less, or nothing")
