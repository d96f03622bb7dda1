"""Published cutting-stock examples as plain numbers, each with its source.

Optima marked *published* were seen in the source; the others were solved to proven optimality by
others than this program, by two methods.
"""

from __future__ import annotations

from stock.shop import Sawing
from tests.benchmarks.cutting_stock import (
    Boards,
    CuttingStock,
    Item,
    Known,
    Valued,
    ValuedPlate,
)

# --- in one dimension: length and price of each stock, length and count of each item --------------

PAPER_ROLLS = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
TUTORIAL_REELS = {
    750: 189,  # listed five times: 38, 44, 30, 41, 36
    538: 33,
    530: 36,
    510: 41,
    502: 35,
    322: 37,
    308: 44,
    298: 49,
    201: 37,
    162: 36,
    145: 42,
    110: 33,
    86: 47,
    82: 35,
    66: 49,
    51: 42,
}
THREE_LENGTHS = {60: 500, 56: 400, 42: 300, 38: 450, 34: 350, 24: 100, 15: 800, 10: 1000}

ONE_DIMENSION = (
    # Encyclopedia article "Cutting stock problem": paper rolls of 5600 mm; 73 published.
    CuttingStock.of_lengths("paper rolls", {5600: 1}, PAPER_ROLLS, Known.just(73)),
    # JuMP documentation, tutorial on column generation, lengths times 10; 334 published.
    CuttingStock.of_lengths("reels of a tutorial", {1000: 1}, TUTORIAL_REELS, Known.just(334)),
    # Chvátal, Linear Programming (1983), chapter 13, as quoted in a notebook library.
    CuttingStock.of_lengths(
        "textbook of 1983", {100: 1}, {45: 97, 36: 610, 31: 395, 14: 211}, Known.just(453)
    ),
    # Fourer, Gay, Kernighan, AMPL, cut.dat.
    CuttingStock.of_lengths(
        "modelling book", {110: 1}, {20: 48, 45: 35, 50: 24, 55: 10, 75: 8}, Known.just(47)
    ),
    # OR-Tools sample bin_packing_mip.
    CuttingStock.of_lengths(
        "bins", {100: 1}, {48: 1, 30: 2, 19: 1, 36: 3, 27: 1, 42: 2, 24: 1}, Known.just(4)
    ),
    # MiniZinc benchmark cutstock.mzn (Puchinger 2007).
    CuttingStock.of_lengths("benchmark", {10: 1}, {7: 2, 5: 2, 3: 4}, Known.just(4)),
    # Lumber example of Winston, Introduction to Mathematical Programming (title from memory);
    # data of lecture notes MIE376, lecture 8.
    CuttingStock.of_lengths("lumber", {17: 1}, {3: 25, 5: 20, 9: 15}, Known.just(19)),
    # A published example of three raw lengths with costs; its linear optimum is 46600.
    CuttingStock.of_lengths(
        "three lengths", {72: 28, 48: 19, 36: 15}, THREE_LENGTHS, Known.just(46602)
    ),
    # PuLP examples, SpongeRollProblem4, without its refunds: fewest rolls.
    CuttingStock.of_lengths("sponge rolls", {20: 1}, {5: 150, 7: 200, 9: 300}, Known.just(263)),
    # Textbook exercises: boards of 25 ft twice, of 20 ft, reels of 100 in.
    CuttingStock.of_lengths(
        "exercise, 25 ft", {25: 1}, {7: 5000, 9: 1200, 11: 300}, Known.just(2167)
    ),
    CuttingStock.of_lengths(
        "other exercise, 25 ft", {25: 1}, {7: 700, 9: 1200, 10: 300}, Known.just(775)
    ),
    CuttingStock.of_lengths(
        "exercise, 20 ft", {20: 1}, {3: 50, 4: 25, 8: 15, 10: 70}, Known.just(54)
    ),
    CuttingStock.of_lengths(
        "exercise, 100 in", {100: 1}, {60: 30, 48: 50, 36: 25, 24: 90}, Known.just(77)
    ),
)

# --- furniture plates ----------------------------------------------------------------------------


def _furniture(
    name: str,
    plate: tuple[int, int],
    items: tuple[tuple[int, int, int], ...],
    *,
    rip_first: int,
    choice: int,
    any_stage: int,
) -> CuttingStock:
    return CuttingStock(
        name=name,
        boards=(Boards(*plate, 1),),
        items=tuple(Item(*item) for item in items),
        optima={
            Sawing.RIP_FIRST: Known.just(rip_first),
            Sawing.FREE: Known(least=any_stage, most=choice),
        },
    )


# Instances of Macedo, Alves, Valério de Carvalho, Computers &
# Operations Research 37 (2010): furniture plates, no rotation, no kerf, fewest plates. Optima of
# two stages (rip first, with trimming) and those without a limit of stages are published; the
# choice per plate, two stages with either cut first, was solved by others than this program.
FURNITURE = (
    _furniture(
        "A1", (2750, 1220), ((1680, 420, 6), (463, 386, 18)), rip_first=4, choice=3, any_stage=3
    ),
    _furniture(
        "A7",
        (2750, 1220),
        ((1120, 986, 12), (706, 516, 16), (1120, 486, 12), (986, 433, 10), (706, 286, 8)),
        rip_first=14,
        choice=13,
        any_stage=13,
    ),
    _furniture(
        "A10",
        (2550, 2100),
        ((481, 961, 16), (1938, 81, 12), (466, 80, 16)),
        rip_first=3,
        choice=3,
        any_stage=2,
    ),
    _furniture(
        "A20",
        (2550, 2100),
        (
            (2003, 1001, 40),
            (321, 961, 20),
            (752, 481, 20),
            (751, 315, 40),
            (501, 315, 60),
            (978, 264, 4),
            (1840, 255, 6),
            (721, 250, 6),
            (470, 250, 3),
            (961, 144, 16),
        ),
        rip_first=27,
        choice=26,
        any_stage=25,
    ),
    _furniture(
        "A39",
        (2550, 2100),
        (
            (2203, 753, 2),
            (1003, 583, 2),
            (273, 583, 4),
            (1252, 581, 2),
            (2382, 487, 4),
            (1504, 483, 2),
            (1602, 481, 1),
            (1122, 481, 1),
            (896, 258, 1),
            (975, 90, 2),
            (502, 481, 1),
        ),
        rip_first=4,
        choice=4,
        any_stage=3,
    ),
)

# --- one plate, blanks with values, copies limited -----------------------------------------------

# Christofides and Whitlock, An algorithm for two-dimensional cutting problems, Operations Research
# 25 (1977): the three instances known as cgcut1 to cgcut3. Without a limit of stages the published
# optima are 244, 2892 and 1860. Hchl2 is of Cung, Hifi and Le Cun, Constrained two-dimensional
# cutting stock problems: a best-first branch-and-bound algorithm, International Transactions in
# Operational Research 7 (2000; cited from memory): 9954. The optima of two stages with trimming
# were solved by others than this program; those of Hchl2 by a model of strips in CP-SAT, too.
VALUED_PLATES = (
    ValuedPlate(
        name="cgcut1",
        length=15,
        width=10,
        items=(
            Valued(8, 4, 66, 2),
            Valued(3, 7, 35, 1),
            Valued(8, 2, 24, 3),
            Valued(3, 4, 17, 5),
            Valued(3, 3, 11, 2),
            Valued(3, 2, 8, 2),
            Valued(2, 1, 2, 1),
        ),
        along=240,
        across=244,
    ),
    ValuedPlate(
        name="cgcut2",
        length=40,
        width=70,
        items=(
            Valued(21, 22, 582, 1),
            Valued(31, 13, 403, 1),
            Valued(9, 35, 315, 3),
            Valued(9, 24, 216, 3),
            Valued(30, 7, 210, 2),
            Valued(11, 13, 143, 3),
            Valued(10, 14, 140, 1),
            Valued(14, 8, 110, 3),
            Valued(12, 8, 94, 3),
            Valued(13, 7, 90, 3),
        ),
        along=2535,
        across=2444,
    ),
    ValuedPlate(
        name="cgcut3",
        length=40,
        width=70,
        items=(
            Valued(31, 43, 500, 4),
            Valued(30, 41, 480, 2),
            Valued(29, 39, 460, 4),
            Valued(28, 38, 440, 4),
            Valued(27, 37, 420, 3),
            Valued(26, 36, 410, 4),
            Valued(25, 35, 400, 3),
            Valued(24, 34, 380, 4),
            Valued(33, 23, 360, 4),
            Valued(22, 32, 340, 3),
            Valued(31, 21, 320, 3),
            Valued(29, 18, 300, 3),
            Valued(17, 27, 280, 2),
            Valued(15, 24, 240, 2),
            Valued(16, 25, 260, 4),
            Valued(15, 24, 240, 1),
            Valued(23, 14, 220, 4),
            Valued(21, 12, 180, 3),
            Valued(19, 11, 160, 4),
            Valued(9, 17, 140, 1),
        ),
        along=1720,
        across=1740,
    ),
    ValuedPlate(
        name="Hchl2",
        length=130,
        width=130,
        items=(
            Valued(28, 39, 567, 4),
            Valued(23, 59, 822, 2),
            Valued(37, 41, 925, 1),
            Valued(25, 31, 449, 3),
            Valued(45, 27, 640, 2),
            Valued(49, 31, 886, 4),
            Valued(41, 23, 515, 2),
            Valued(24, 41, 610, 2),
            Valued(31, 31, 590, 1),
            Valued(37, 22, 430, 1),
            Valued(19, 54, 510, 1),
            Valued(47, 35, 900, 2),
            Valued(38, 31, 672, 3),
            Valued(21, 27, 266, 1),
            Valued(29, 53, 755, 1),
            Valued(33, 41, 670, 4),
            Valued(37, 42, 795, 5),
            Valued(29, 29, 455, 2),
            Valued(57, 27, 815, 3),
            Valued(49, 31, 839, 3),
            Valued(31, 43, 695, 1),
            Valued(30, 41, 710, 2),
            Valued(29, 39, 690, 1),
            Valued(28, 38, 640, 2),
            Valued(37, 37, 735, 3),
            Valued(26, 36, 540, 2),
            Valued(45, 35, 850, 1),
            Valued(24, 34, 515, 1),
            Valued(33, 23, 423, 2),
            Valued(42, 32, 655, 3),
            Valued(25, 32, 501, 2),
            Valued(41, 18, 460, 2),
            Valued(19, 21, 210, 3),
            Valued(21, 34, 397, 1),
            Valued(39, 19, 425, 2),
        ),
        along=9630,
        across=9528,
    ),
)
