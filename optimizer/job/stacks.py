"""Face glue-ups: plies of one thickness or of several, of one piece or of strips, run through or
joined end to end inside.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement
from math import ceil

from optimizer.job.bench import Bench, Run
from optimizer.job.layups import LayUp, Ply
from optimizer.job.limits import Refusal
from optimizer.job.parts import Make
from optimizer.job.reckoning import Reckoning, reckoned
from stock.lengths import Length

MOST_MIXED = 6
"""Stacks of several thicknesses that are looked at for a part, the least wood first; a rule of this
program, no source."""


def width_of_plies(bench: Bench) -> Reckoning:
    """Plies may slip under the clamps; what both edges lose after the glue takes off eased edges
    too."""
    slip = max(bench.shop.slip, 2 * bench.shop.edge_trim - bench.jointing)
    return bench.width(("jointing", bench.jointing), ("slip", slip))


def stacks_as_bought(bench: Bench) -> Iterator[LayUp | Refusal]:
    """Boards as they come, glued face to face."""
    plies = round(bench.part.thickness / bench.thickness)
    if 2 <= plies <= bench.shop.most_plies and bench.within_as_bought(plies * bench.thickness):
        yield from _stack([bench] * plies, planed=False)
    else:
        yield Refusal(
            step=1 if bench.part.make is Make.GLUED else 0,
            reason=f"no stack of boards {bench.tape(bench.thickness)} thick, as they come, makes "
            f"{bench.tape(bench.part.thickness)}",
            remedy="boards of another thickness would do",
        )


def stacks_planed(bench: Bench) -> Iterator[LayUp | Refusal]:
    """As many plies of one lumber as the thickness takes."""
    need = bench.part.least_thickness + bench.last
    plies = ceil(need / bench.skimmed) if bench.skimmed > 0 else 0
    if plies < 2:
        return
    if plies > bench.shop.most_plies:
        yield Refusal(
            step=1,
            reason=f"{plies} plies {bench.tape(bench.thickness)} thick are too many",
            remedy="thicker boards would do, or a higher `most plies`",
        )
        return
    away = plies * bench.skimmed - bench.last - bench.part.thickness
    wasteful = away > bench.shop.most_planed_away
    remarks: tuple[str, ...] = ()
    if wasteful:
        fewer = (plies - 1) * bench.skimmed - bench.last
        less = f"; at {bench.tape(fewer)} thick one ply less would do" if fewer > 0 else ""
        remarks = (f"{bench.tape(away)} is planed away{less}",)
    yield from _stack([bench] * plies, planed=True, remarks=remarks, last_resort=wasteful)
    if not wasteful:
        yield from _plies_of_strips(bench)
        yield from _butt_joined([bench] * plies)


def mixed_stacks(benches: Sequence[Bench]) -> Iterator[LayUp | Refusal]:
    """Plies of different thickness, the thin ones inside; none that a thinner one could replace."""
    benches = sorted(benches, key=lambda bench: bench.thickness)
    if len(benches) < 2:
        return
    first = benches[0]
    need = first.part.least_thickness + first.last
    most = first.part.thickness + first.last + first.shop.most_planed_away
    found = []
    for count in range(2, first.shop.most_plies + 1):
        for chosen in combinations_with_replacement(range(len(benches)), count):
            left = sum((benches[i].skimmed for i in chosen), Length(0))
            if (
                len(set(chosen)) > 1
                and need <= left <= most
                and not _more_than_needed(benches, chosen, left - need)
            ):
                found.append((left, chosen))
    for _, chosen in sorted(found)[:MOST_MIXED]:
        yield from _stack([benches[i] for i in _thin_inside(chosen)], planed=True)


def _more_than_needed(benches: Sequence[Bench], chosen: Sequence[int], spare: Length) -> bool:
    """Whether a ply could be left away, or a thinner one do in its place."""
    if benches[chosen[0]].skimmed <= spare:
        return True
    return any(i and benches[i].skimmed - benches[i - 1].skimmed <= spare for i in chosen)


def _thin_inside(chosen: Sequence[int]) -> list[int]:
    """The thickest two outside, so that what is seen and worked is thick."""
    thick_first = sorted(chosen, reverse=True)
    return [thick_first[0], *thick_first[2:], thick_first[1]]


def _stack(
    benches: Sequence[Bench],
    *,
    planed: bool,
    remarks: tuple[str, ...] = (),
    last_resort: bool = False,
) -> Iterator[LayUp | Refusal]:
    first, width = benches[0], width_of_plies(benches[0])
    if fault := first.limits.planer_fault(width.result):
        yield fault
        return
    for run in first.runs(planed=True, ripped=True):
        blanks = [bench.blank(run.length, width.result) for bench in benches]
        faults = (bench.fault(blank) for bench, blank in zip(benches, blanks, strict=True))
        if fault := next(filter(None, faults), None):
            yield fault
            continue
        thickness = _thickness(benches)
        left = thickness.total if planed else sum((b.thickness for b in benches), Length(0))
        plies: list[Ply] = [((blank,),) for blank in blanks]
        yield first.lay_up(
            run,
            plies,
            planed=planed,
            left=left,
            reckonings=(width, *([thickness] if planed else [])),
            remarks=remarks,
            last_resort=last_resort,
        )


def _thickness(benches: Sequence[Bench], flattened: int = 0) -> Reckoning:
    """What is left of a stack; ``flattened`` plies of strips lose a last pass of their own."""
    if len({bench.thickness for bench in benches}) == 1:
        boards = [(f"of {len(benches)} plies", len(benches) * benches[0].thickness)]
    else:
        boards = [("ply", bench.thickness) for bench in benches]
    first = benches[0]
    return reckoned(
        "thickness",
        *boards,
        ("skim", -2 * len(benches) * first.shop.skim_per_face),
        ("plies of strips flattened", -flattened * first.last),
        ("last pass", -first.last),
    )


# plies of strips, and plies joined end to end ---------------------------------------------------


def _plies_of_strips(bench: Bench) -> Iterator[LayUp | Refusal]:
    """For a stack wider than a strip may be: n and n + 1 strips in turn, so that no edge joint
    lies over another."""
    width, shop = width_of_plies(bench), bench.shop
    if width.result <= shop.widest_strip or width.result > shop.widest_to_plane:
        return
    flat = bench.skimmed - bench.last
    plies = ceil((bench.part.least_thickness + bench.last) / flat) if flat > 0 else 0
    thickness = _thickness([bench] * plies, plies) if plies else width
    if not 2 <= plies <= shop.most_plies:
        return
    if thickness.total - bench.part.thickness > shop.most_planed_away:
        return
    few = ceil(width.result / (shop.widest_strip - bench.lost_at_glue))
    for run in bench.runs(planed=True, ripped=True):
        members = [[bench.up(width.result / n + bench.lost_at_glue)] * n for n in (few, few + 1)]
        if few + 1 > shop.most_strips or members[1][0] < shop.narrowest_strip:
            return
        kinds = [tuple((bench.blank(run.length, each),) for each in ply) for ply in members]
        if bench.fault(*(strip[0] for ply in kinds for strip in ply)):
            continue
        yield bench.lay_up(
            run,
            [kinds[i % 2] for i in range(plies)],
            planed=True,
            left=thickness.total,
            reckonings=(width, thickness),
            remarks=("glue and flatten each ply of strips first; their joints do not line up",),
        )


def _butt_joined(benches: Sequence[Bench]) -> Iterator[LayUp | Refusal]:
    """Inner plies out of two blanks end to end, the joints of plies that touch well apart."""
    first, width = benches[0], width_of_plies(benches[0])
    part, shop = first.part, first.shop
    inner = len(benches) - 2
    if not part.butt_joints or part.carries_load or inner < 1:
        return
    if first.limits.planer_fault(width.result):
        return
    for run in first.runs(planed=True, ripped=True):
        for places in _joints(first, run, inner):
            least = min(min(at, run.length - at) for at in places)
            if least < max(first.limits.shortest(planed=True, ripped=True), shop.least_stagger):
                continue
            whole = first.blank(run.length, width.result)
            joined: list[Ply] = [
                (
                    (
                        first.blank(at, width.result),
                        first.blank(run.length - at, width.result),
                    ),
                )
                for at in places
            ]
            plies: list[Ply] = [((whole,),), *joined, ((whole,),)]
            if first.fault(*(blank for ply in plies for strip in ply for blank in strip)):
                continue
            thickness = _thickness(benches)
            at = " and ".join(first.tape(place) for place in places)
            yield first.lay_up(
                run,
                plies,
                planed=True,
                left=thickness.total,
                reckonings=(width, thickness),
                remarks=(f"inner plies are joined end to end, {at} from the left; never for load",),
            )


def _joints(bench: Bench, run: Run, inner: int) -> Iterator[list[Length]]:
    """Where inner plies are joined: at a half or a third, and in turn where there are several."""
    half = bench.up(run.length / 2)
    if inner == 1:
        yield [half]
        yield [bench.up(run.length / 3)]
        return
    near = bench.up((run.length - bench.shop.least_stagger) / 2)
    far = bench.up(near + bench.shop.least_stagger)
    yield [(near, far)[i % 2] for i in range(inner)]
