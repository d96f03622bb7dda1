"""What a plan made anew in the middle of a job changes, as the screen says it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from optimizer.output.words import board_name, marked, money, promise, sold_length
from optimizer.plan.plan import Plan
from optimizer.plan.tables import marks


def difference(old: Plan, new: Plan) -> str:
    """What to buy and pull besides, what is not needed any more, which boards are sawn otherwise,
    and what it costs.
    """
    lines = [
        *_bought(old, new),
        *_pulled(old, new),
        *_kept_whole(old, new),
        *_sawn_otherwise(old, new),
    ]
    lines.append(_sums("Cash", old.cost.cash, new.cost.cash))
    lines.append(_sums("Net", old.cost.net, new.cost.net))
    lines.append(f"From here on: {promise(new)}.")
    return "\n".join(lines)


def _bought(old: Plan, new: Plan) -> Iterator[str]:
    had = Counter({(line.store, line.offer, line.each): line.count for line in old.buy})
    for line in new.buy:
        if (more := line.count - had[line.store, line.offer, line.each]) > 0:
            size = board_name(line.size, line.thickness, line.width, new.unit)
            name = f"{more}  {size} × {sold_length(line, new.unit)}  {line.wood}".rstrip()
            yield f"Buy besides at {line.store}: {name}: {money(more * line.each)}"


def _pulled(old: Plan, new: Plan) -> Iterator[str]:
    had, has = (Counter(b.tag for b in plan.boards if b.from_rack) for plan in (old, new))
    if more := has - had:
        yield f"Pull besides: {marked(sorted(more))}"
    if fewer := had - has:
        yield f"Leave on the rack: {marked(sorted(fewer))}"


def _kept_whole(old: Plan, new: Plan) -> Iterator[str]:
    before = {board.id for board in old.boards if board.kept_whole}
    for board in new.boards:
        if board.kept_whole and board.id not in before:
            yield f"Not needed any more: {board.id}; keep it whole as {board.leftovers[0].tag}"


def _sawn_otherwise(old: Plan, new: Plan) -> Iterator[str]:
    before = {board.id: board for board in old.boards}
    mark = marks(new)
    other = [
        mark[board.id]
        for board in new.boards
        if board.id in before
        and [(c.kind, c.at) for c in board.cuts] != [(c.kind, c.at) for c in before[board.id].cuts]
    ]
    if other:
        yield f"Sawn otherwise from here on: {marked(other)}"


def _sums(name: str, old: Decimal, new: Decimal) -> str:
    sign = "−" if new < old else "+"
    return f"{name:<5}{money(old):>10} → {money(new):>9}  ({sign} {money(abs(new - old))})"
