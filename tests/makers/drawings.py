"""Draw the pictures of the demo shop: what a technician would have photographed, as drawings.

Run it: python -m tests.makers.drawings
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path

from tests.makers.sheet import (
    BARE,
    COPPER,
    FAULT,
    FELT,
    FELT_RED,
    INK,
    IRON,
    PAPER,
    STEEL,
    THIN,
    WHITE,
    WOOD,
    WOOD_DARK,
    Colour,
    Point,
    Sheet,
    box,
    curve,
)

CONTENT = Path(__file__).parents[2] / "content"


def splice() -> Sheet:
    """Two wires joined by a knot of interlocking loops, and where it lies."""
    sheet = Sheet("Bass string D#1: the splice", "not to scale")
    _wire_story(sheet)
    steel, new, edge = (150, 157, 160), (196, 200, 200), INK
    y = 520.0
    loop_a = curve(
        [
            (80, y),
            (420, y),
            (560, y - 6),
            (668, y - 62),
            (742, y - 20),
            (668, y + 42),
            (566, y + 20),
            (512, y + 64),
        ]
    )
    loop_b = curve(
        [
            (1120, y),
            (800, y),
            (650, y + 6),
            (530, y + 62),
            (456, y + 20),
            (530, y - 42),
            (634, y - 20),
            (690, y - 78),
        ]
    )
    for path, colour in ((loop_a, steel), (loop_b, new)):
        sheet.line(path, edge, 20)
        sheet.line(path, colour, 15)
    over = curve([(380, y), (470, y), (560, y - 6), (620, y - 38)])[4:-2]
    sheet.line(over, edge, 20)
    sheet.line(over, steel, 15)
    wound = [(80 + i * 9.0, y) for i in range(25)]
    for x, _ in wound:
        sheet.oval((x, y), 5.2, 25, COPPER, INK, 1.2)
    sheet.leader((180, y - 25), (180, y - 100), "copper winding")
    sheet.leader((350, y + 9), (330, y + 120), "old core, 1.10 mm")
    sheet.leader((900, y + 9), (930, y + 120), "new wire, 1.10 mm")
    sheet.leader((600, y + 40), (640, y + 190), "knot of two loops; drawn tight it is 9 mm long")
    return sheet


def _wire_story(sheet: Sheet) -> None:
    """The whole string, small, above: pin, agraffe end, bridge, hitch pin, and the knot."""
    y = 190.0
    sheet.line([(120, y), (1080, y)], INK, 3)
    sheet.line([(260, y), (880, y)], COPPER, 8)
    sheet.disc((120, y), 15)
    sheet.disc((120, y), 5, PAPER, INK, 1.5)
    sheet.shape(box(214, y - 20, 14, 40), IRON)
    sheet.shape(box(908, y - 26, 46, 52), WOOD)
    sheet.hatch(box(908, y - 26, 46, 52), 7, 80)
    sheet.disc((1080, y), 9)
    sheet.disc((1024, y), 13, None, FAULT, 3)
    sheet.text((120, y + 48), "tuning pin", 18, THIN, "mm")
    sheet.text((221, y - 44), "bearing", 18, THIN, "mm")
    sheet.text((931, y + 48), "bridge", 18, THIN, "mm")
    sheet.text((1080, y + 48), "hitch pin", 18, THIN, "mm")
    sheet.text((1024, y - 44), "splice", 19, FAULT, "mm")


def _hammer(sheet: Sheet, x: float, y: float, grazed: random.Random | None) -> None:
    """One hammer from the side: shank, moulding, felt; grazed felt has bites out of its edge."""
    sheet.shape(box(x - 7, y + 118, 14, 300), WOOD)
    outer: list[Point] = []
    for i in range(61):
        turn = math.pi * (1.18 - i / 60 * 1.36)
        radius = 1.0
        if grazed is not None and 0.05 < i / 60 < 0.95:
            radius -= max(0.0, grazed.gauss(0.035, 0.05)) + 0.1 * max(0.0, math.sin(i * 0.55) - 0.6)
        outer.append((x + 66 * radius * math.cos(turn), y + 78 - 112 * radius * math.sin(turn)))
    felt = curve(outer, 3)
    sheet.shape(felt, FELT, INK, 2.2)
    inner = [
        (
            x + 44 * math.cos(math.pi * (1.15 - i / 30 * 1.3)),
            y + 84 - 62 * math.sin(math.pi * (1.15 - i / 30 * 1.3)),
        )
        for i in range(31)
    ]
    sheet.line(inner, FELT_RED, 9)
    moulding = [
        (x - 21, y + 142),
        (x - 17, y + 62),
        (x, y + 24),
        (x + 17, y + 62),
        (x + 21, y + 142),
    ]
    sheet.shape(moulding, WOOD_DARK, INK, 2)
    sheet.hatch(moulding, 8, 90)


def moth() -> Sheet:
    """A row of hammers: two sound, three grazed, with webbing and casings below."""
    sheet = Sheet("Hammers F5 to A5: grazed by moth", "drawn from the bass side")
    rng = random.Random(11)
    for i, name in enumerate(("F5", "F#5", "G5", "G#5", "A5")):
        x = 180.0 + i * 190
        _hammer(sheet, x, 190, rng if 1 <= i <= 3 else None)
        sheet.text((x, 640), name, 22, INK, "mm")
    sheet.shape(box(90, 530, 960, 44), WOOD)
    sheet.hatch(box(90, 530, 960, 44), 12, 2)
    sheet.text((1062, 552), "rail", 18, THIN)
    for _ in range(26):
        x, y = rng.uniform(330, 800), rng.uniform(505, 524)
        turn = rng.uniform(-0.5, 0.5)
        ends = [
            (x - 8 * math.cos(turn), y - 8 * math.sin(turn)),
            (x + 8 * math.cos(turn), y + 8 * math.sin(turn)),
        ]
        sheet.line(ends, INK, 6)
        sheet.line(ends, (236, 226, 200), 4)
    for _ in range(60):
        x = rng.uniform(320, 810)
        path = curve([(x, 524), (x + rng.uniform(-20, 20), 512), (x + rng.uniform(-34, 34), 500)])
        sheet.line(path, (168, 168, 160), 0.7)
    sheet.leader((520, 188), (480, 100), "felt eaten, to 3 mm", FAULT)
    sheet.leader((700, 515), (760, 710), "casings and webbing", FAULT)
    sheet.leader((158, 200), (108, 110), "sound")
    sheet.leader((950, 196), (1010, 110), "sound")
    return sheet


def lyre() -> Sheet:
    """The lyre from the front and its wooden brace, cracked along the grain."""
    sheet = Sheet("The lyre and its cracked brace", "front and side")
    for side in (-1, 1):
        post = curve(
            [
                (420 + side * 70, 136),
                (420 + side * 104, 240),
                (420 + side * 64, 380),
                (420 + side * 84, 560),
            ]
        )
        sheet.line(post, INK, 30)
        sheet.line(post, WOOD, 25)
    for beam in (box(250, 96, 340, 40), box(290, 556, 260, 84)):
        sheet.shape(beam, WOOD_DARK)
        sheet.hatch(beam, 11, 1)
    for x in (345, 420, 495):
        sheet.line([(x, 136), (x, 560)], INK, 4)
        sheet.line([(x, 136), (x, 560)], COPPER, 2)
        pedal = curve(
            [
                (x - 9, 628),
                (x - 14, 690),
                (x - 22, 730),
                (x, 752),
                (x + 22, 730),
                (x + 14, 690),
                (x + 9, 628),
            ]
        )
        sheet.shape(pedal, COPPER, INK, 1.8)
    sheet.text((420, 778), "front", 20, THIN, "mm")
    sheet.shape(box(800, 126, 34, 440), WOOD)
    sheet.hatch(box(800, 126, 34, 440), 8, 90)
    pedal = curve([(786, 622), (730, 618), (704, 632), (730, 644), (786, 640)])
    sheet.shape(pedal, COPPER, INK, 1.8)
    a, b = (826.0, 562.0), (1068.0, 112.0)
    sheet.line([a, b], INK, 26)
    sheet.line([a, b], WOOD, 21)
    sheet.shape(box(770, 96, 330, 30), WOOD_DARK)
    sheet.shape(box(786, 556, 82, 84), WOOD_DARK)
    crack = [
        (926, 372),
        (938, 362),
        (936, 346),
        (951, 336),
        (950, 316),
        (964, 309),
        (964, 288),
        (976, 284),
    ]
    sheet.line([(float(x), float(y)) for x, y in crack], FAULT, 4)
    sheet.disc((950, 330), 62, None, FAULT, 2)
    sheet.leader((994, 374), (1006, 430), "crack, 95 mm,", FAULT)
    sheet.text((1015, 455), "along the grain", 20, FAULT)
    sheet.leader((870, 480), (950, 540), "brace")
    sheet.leader((345, 330), (210, 300), "pedal rods")
    sheet.text((820, 778), "side", 20, THIN, "mm")
    return sheet


def pin_block() -> Sheet:
    """A section through the plate and the block, and a row of pins seen from the front."""
    sheet = Sheet("Pin block: section, and the row A4 to C#5", "section not to scale")
    top = box(80, 210, 470, 60)
    sheet.shape(top, IRON)
    sheet.hatch(top, 10, 45)
    layers: list[Colour] = [WOOD, WOOD_DARK, WOOD, WOOD_DARK, WOOD]
    for i, colour in enumerate(layers):
        ply = box(80, 270 + i * 76, 470, 76)
        sheet.shape(ply, colour)
        sheet.hatch(ply, 8 if i % 2 else 14, 0 if i % 2 else 82)
    for x, loose in ((220.0, False), (410.0, True)):
        hole = 24 if not loose else 30
        if loose:
            sheet.shape(box(x - hole, 270, 2 * hole, 312), PAPER, FAULT, 2)
        sheet.shape(box(x - 30, 196, 60, 74), WOOD, INK, 2)
        sheet.hatch(box(x - 30, 196, 60, 74), 6, 90)
        sheet.shape(box(x - 24, 96, 48, 480), STEEL)
        for i in range(48):
            y = 276 + i * 6.2
            sheet.line([(x - 24, y), (x + 24, y + 3)], THIN, 0.8)
        sheet.shape(box(x - 17, 66, 34, 30), STEEL)
        for i in range(3):
            sheet.oval((x, 150 + i * 13.0), 29, 7, STEEL, INK, 1.6)
    sheet.leader((194, 236), (170, 150), "bushing")
    sheet.leader((436, 430), (600, 500), "hole worn wide", FAULT)
    sheet.leader((520, 240), (580, 160), "plate")
    sheet.leader((300, 622), (330, 720), "five plies, beech and maple")
    for row, (name, torque) in enumerate((("A4", 6.1), ("B4", 3.2), ("C5", 2.9), ("C#5", 5.8))):
        for string in range(3):
            x, y = 720 + string * 120.0, 150 + row * 140.0 + string * 22
            weak = torque < 3.4
            sheet.line([(x + 21, y), (x + 21, y + 96)], THIN, 1.4)
            sheet.disc((x, y), 22, STEEL, FAULT if weak else INK, 3.4 if weak else 2)
            sheet.shape(box(x - 9, y - 9, 18, 18), WHITE, INK, 1.4)
        colour = FAULT if torque < 3.4 else INK
        sheet.text((1040, 160 + row * 140), name, 22, colour)
        sheet.text((1040, 188 + row * 140), f"{torque} N·m", 19, colour)
    return sheet


def upright(title: str, remark: str, high: float, wide: float, legs: bool = True) -> Sheet:
    """The front of an upright, with its outer measurements in cm."""
    sheet = Sheet(title, remark)
    px = 500 / 125
    w, h = wide * px, high * px
    x, y = 600 - w / 2, 720 - h
    sheet.line([(100, 720), (1100, 720)], THIN, 1.4)
    sheet.shape(box(x, y + 22, w, h - 34), WOOD)
    sheet.shape(box(x - 12, y, w + 24, 22), WOOD_DARK)
    panel = box(x + 46, y + 46, w - 92, 0.3 * h)
    sheet.shape(panel, WOOD_DARK)
    sheet.hatch(panel, 15, 88)
    sheet.line(box(x + 60, y + 60, w - 120, 0.3 * h - 28), THIN, 1.2, closed=True)
    desk = 0.3 * h + y + 46
    bed = desk + 92
    sheet.shape(box(x - 6, desk + 14, w + 12, 26), WOOD)
    _keyboard(sheet, x + 44, desk + 40, w - 88, 34)
    for side in (x - 6, x + w - 38):
        sheet.shape(box(side, desk + 36, 44, 56), WOOD_DARK)
    sheet.shape(box(x - 6, desk + 74, w + 12, 22), WOOD_DARK)
    low = box(x + 46, bed + 34, w - 92, 720 - bed - 96)
    sheet.shape(low, WOOD_DARK)
    sheet.hatch(low, 15, 88)
    sheet.line(box(x + 60, bed + 48, w - 120, 720 - bed - 124), THIN, 1.2, closed=True)
    sheet.shape(box(x, 720 - 52, w, 40), WOOD)
    if legs:
        for side in (x + 4, x + w - 34):
            leg = [(side, bed + 4), (side + 30, bed + 4), (side + 22, 708), (side + 8, 708)]
            sheet.shape(leg, WOOD)
    for middle in (x + 20, x + w - 20):
        sheet.disc((middle, 712), 9, COPPER)
    for i in (-1, 0, 1):
        sheet.shape(box(600 + i * 44 - 12, 690, 24, 14), COPPER, INK, 1.6)
    sheet.line([(x - 12, y), (x - 70, y)], THIN, 0.8)
    sheet.measure((x - 58, y), (x - 58, 720), f"{high:g} cm")
    sheet.line([(x, y), (x, y - 46)], THIN, 0.8)
    sheet.line([(x + w, y), (x + w, y - 46)], THIN, 0.8)
    sheet.measure((x, y - 36), (x + w, y - 36), f"{wide:g} cm")
    return sheet


def _keyboard(sheet: Sheet, x: float, y: float, wide: float, high: float) -> None:
    """52 naturals and 36 sharps, seen from the front and a little from above."""
    one = wide / 52
    sheet.shape(box(x, y, wide, high), WHITE, INK, 1.4)
    for i in range(1, 52):
        sheet.line([(x + i * one, y), (x + i * one, y + high)], INK, 0.7)
    for i in range(51):
        if i % 7 not in (1, 4):  # no sharp between B and C, and between E and F; A0 is 0
            sheet.shape(box(x + (i + 0.7) * one, y, one * 0.6, high * 0.58), INK, None)


def heron_front() -> Sheet:
    return upright("The heron upright, front", "measures in cm", 121, 149)


def curlew_front() -> Sheet:
    return upright("The curlew, front", "measures in cm", 128, 147)


def grand() -> Sheet:
    """The grand from the treble side with its lid raised; shade where the rim bends away."""
    sheet = Sheet("The long-room grand, treble side", "measures in cm")
    sheet.line([(90, 730), (1110, 730)], THIN, 1.4)
    lid = [(228.0, 348.0), (1032.0, 348.0), (1048.0, 130.0), (330.0, 106.0)]
    sheet.shape(lid, WOOD)
    sheet.hatch(lid, 16, 4)
    sheet.line([(520, 346), (600, 132)], INK, 5)
    rim = box(150, 350, 896, 110)
    sheet.shape(rim, WOOD_DARK)
    for x, apart in ((640.0, 11), (760.0, 7), (960.0, 5)):
        sheet.hatch(box(x, 350, 1046 - x, 110), apart, 90)
    sheet.shape(box(132, 400, 120, 60), WOOD)
    sheet.shape(box(136, 384, 84, 18), WHITE)
    for i in range(1, 6):
        sheet.line([(136 + i * 14, 384), (136 + i * 14, 402)], INK, 0.8)
    desk = [(262.0, 350.0), (280.0, 238.0), (290.0, 238.0), (276.0, 350.0)]
    sheet.shape(desk, WOOD_DARK)
    for x in (220.0, 900.0):
        leg = curve(
            [
                (x - 34, 460),
                (x - 38, 500),
                (x - 20, 540),
                (x - 26, 600),
                (x - 14, 690),
                (x + 14, 690),
                (x + 26, 600),
                (x + 20, 540),
                (x + 38, 500),
                (x + 34, 460),
            ]
        )
        sheet.shape(leg, WOOD)
        sheet.disc((x, 708), 21, COPPER)
        sheet.disc((x, 708), 6, PAPER)
    sheet.shape(box(392, 460, 34, 196), WOOD)
    sheet.shape(box(376, 650, 66, 40), WOOD_DARK)
    sheet.line([(426, 640), (560, 462)], INK, 12)
    sheet.line([(426, 640), (560, 462)], WOOD, 8)
    sheet.shape(curve([(376, 676), (340, 674), (326, 684), (340, 692), (376, 688)]), COPPER)
    sheet.measure((150, 772), (1046, 772), "212 cm")
    sheet.measure((1090, 350), (1090, 730), "101 cm")
    sheet.leader((870, 405), (700, 610), "rosewood veneer")
    return sheet


def caster() -> Sheet:
    """The rear of an upright at the floor: the toe block split at its caster."""
    sheet = Sheet("Rear caster, treble side: the block is split", "seen from behind")
    sheet.line([(80, 720), (1120, 720)], THIN, 1.4)
    post = box(700, 80, 150, 420)
    sheet.shape(post, WOOD)
    sheet.hatch(post, 12, 88)
    board = box(120, 80, 580, 360)
    sheet.shape(board, WOOD)
    for i in range(4):
        rib = [
            (150 + i * 150.0, 80.0),
            (190 + i * 150.0, 80.0),
            (290 + i * 150.0, 440.0),
            (250 + i * 150.0, 440.0),
        ]
        if i < 3:
            sheet.shape(rib, WOOD_DARK, INK, 1.6)
    foot = box(120, 440, 820, 130)
    sheet.shape(foot, WOOD_DARK)
    sheet.hatch(foot, 12, 1)
    crack = curve(
        [(724, 570), (738, 536), (730, 508), (752, 478), (748, 446), (766, 420), (764, 388)]
    )
    sheet.line(crack, FAULT, 6)
    fork = [(736.0, 570.0), (824.0, 570.0), (812.0, 660.0), (748.0, 660.0)]
    tilt = [(x + 0.14 * (y - 570), y) for x, y in fork]
    sheet.shape(tilt, IRON)
    sheet.disc((796, 676), 44, IRON, INK, 3)
    sheet.disc((796, 676), 10, PAPER)
    sheet.shape([(188, 570), (276, 570), (264, 660), (200, 660)], IRON)
    sheet.disc((232, 676), 44, IRON, INK, 3)
    sheet.disc((232, 676), 10, PAPER)
    sheet.leader((750, 470), (900, 330), "split, 180 mm", FAULT)
    sheet.leader((760, 585), (930, 640), "screws drawn", FAULT)
    sheet.leader((400, 500), (420, 640), "bottom board")
    sheet.leader((330, 200), (900, 200), "soundboard and ribs")
    return sheet


def cheek() -> Sheet:
    """The treble side of an upright: the veneer stands off along the lower edge of the arm."""
    sheet = Sheet("Treble side: veneer lifted at the cheek", "side, not to scale")
    sheet.line([(90, 760), (1110, 760)], THIN, 1.4)
    body = box(620, 84, 300, 640)
    sheet.shape(body, WOOD_DARK)
    sheet.hatch(body, 13, 89)
    sheet.shape(box(600, 66, 336, 20), WOOD)
    front = curve([(400, 470), (368, 462), (352, 430), (362, 396), (404, 378), (470, 372)])
    arm = [*front, (540, 356), (600, 330), (620, 300), (620, 470)]
    sheet.shape(arm, WOOD_DARK)
    sheet.hatch(arm, 13, 1)
    leg = [(408.0, 470.0), (446.0, 470.0), (438.0, 724.0), (416.0, 724.0)]
    sheet.shape(leg, WOOD)
    sheet.shape(box(392, 700, 540, 34), WOOD)
    for x in (420.0, 900.0):
        sheet.disc((x, 746), 14, COPPER)
    flap = curve([(470, 470), (496, 490), (540, 500), (580, 488), (600, 470)])
    sheet.shape(flap, WOOD, FAULT, 3)
    sheet.hatch(flap, 5, 1)
    sheet.measure((470, 530), (600, 530), "6 cm")
    sheet.leader((540, 494), (330, 590), "veneer off its ground", FAULT)
    sheet.leader((420, 410), (300, 300), "cheek")
    return sheet


def logo() -> Sheet:
    """A gull's wing that is also a hammer: the shop's mark, on nothing but white."""
    sheet = Sheet(size=(432, 432), ground=BARE)
    green: Colour = (47, 93, 80)
    sheet.disc((216, 216), 214, green, None)
    sheet.disc((216, 216), 198, BARE, None)
    sheet.disc((216, 216), 190, green, None)
    wing = curve(
        [(72, 190), (126, 148), (182, 160), (216, 208), (250, 160), (306, 148), (360, 190)]
    )
    sheet.line(wing, BARE, 16)
    sheet.shape(box(208, 202, 16, 128), BARE, None)
    sheet.line([(126, 348), (306, 348)], BARE, 10)
    return sheet


PICTURES: tuple[tuple[str, Callable[[], Sheet]], ...] = (
    ("logo.png", logo),
    ("instruments/heron/media/front.jpg", heron_front),
    ("instruments/heron/media/splice.jpg", splice),
    ("instruments/eider/media/moth.jpg", moth),
    ("instruments/swan/media/lyre.jpg", lyre),
    ("instruments/swan/media/side.jpg", grand),
    ("instruments/curlew/media/front.png", curlew_front),
    ("instruments/curlew/media/pins.jpg", pin_block),
    ("instruments/tern/media/caster.jpg", caster),
    ("instruments/sandpiper/media/cheek.jpg", cheek),
)


def main() -> None:
    for name, draw in PICTURES:
        draw().save(CONTENT / name)


if __name__ == "__main__":
    main()
