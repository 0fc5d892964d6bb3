"""The device of a box with its path leads, and a row for each station out to its solenoid."""

from __future__ import annotations

from slackloop.handbook.figures.core_colour import draw_wire
from slackloop.handbook.figures.lettering import fit, wrap
from slackloop.handbook.figures.splice import draw_connector
from slackloop.handbook.figures.svg import INK, SMALL_SIZE, Canvas, number
from slackloop.handbook.figures.wired_box import WiredDevice, WiredStation

DEVICE_WIDTH = 106.0
PATH_LEADS = (24.0, 46.0)
"""How far below the device's top its path leads a and b come out (drawing units)."""
HEAD = 64.0
STATION = 54.0
CAPSULE = 30.0
CAPSULE_HEIGHT = 15.0
NEAR = 132.0
THIN_WIRE = 3.0


def draw_device(canvas: Canvas, device: WiredDevice, top: float) -> float:
    """Draw a device below ``top``, its stations under each other; return where it ends."""
    height = HEAD + STATION * len(device.stations)
    canvas.rect(2, top, DEVICE_WIDTH - 2, height, radius=4, fill=INK, opacity=0.06, width=1.4, name="device")
    room = DEVICE_WIDTH - 16
    y = canvas.lines(9, top + 17, wrap(device.title, 12, room, 2), bold=True)
    if device.address:
        canvas.text(9, y + 1, fit(f"address {device.address}", SMALL_SIZE, room), size=SMALL_SIZE)
    words = (device.lead_size, "as marked")
    for down, word in zip(PATH_LEADS, words, strict=True):
        canvas.text(DEVICE_WIDTH + 5, top + down - 7, fit(word, SMALL_SIZE, 72), size=SMALL_SIZE)
    for place, station in enumerate(device.stations):
        _draw_station(canvas, station, top + HEAD + STATION * (place + 0.5), place + 1)
    return top + height + 4


def _draw_station(canvas: Canvas, station: WiredStation, y: float, place: int) -> None:
    """Draw one output: its two leads, a splice on each, the lead to the solenoid, splices there, the solenoid."""
    canvas.line((2, y - STATION / 2), (DEVICE_WIDTH, y - STATION / 2), width=0.6)
    canvas.text(9, y - 3, "station", size=SMALL_SIZE)
    canvas.text(9, y + 13, fit(station.station, 14, DEVICE_WIDTH - 16), size=14, bold=True)
    coil_left = canvas.width - 38
    far = coil_left - 16
    for way in (-1, 1):
        mouth = y + 18 * way
        own = f"M{number(DEVICE_WIDTH)} {number(mouth)}L{number(NEAR + 9)} {number(mouth)}"
        draw_wire(canvas, own, "", width=THIN_WIRE)
        inner, pair = mouth - 4 * way, y + 4 * way
        leaves = (
            f"M{number(NEAR + 9)} {number(inner)}L{number(NEAR - 1)} {number(inner)}"
            f"Q{number(NEAR - 8)} {number(inner)} {number(NEAR - 8)} {number((inner + pair) / 2)}"
            f"Q{number(NEAR - 8)} {number(pair)} {number(NEAR)} {number(pair)}"
        )
        if station.far_splices:
            arrives = (
                f"L{number(far)} {number(pair)}Q{number(far + 8)} {number(pair)} {number(far + 8)} "
                f"{number((inner + pair) / 2)}Q{number(far + 8)} {number(inner)} {number(far + 1)} {number(inner)}"
                f"L{number(far - 9)} {number(inner)}"
            )
            draw_wire(canvas, leaves + arrives, "", width=THIN_WIRE, name=f"station{place}-lead{'ab'[way > 0]}")
            tail = f"M{number(coil_left)} {number(mouth)}L{number(far - 9)} {number(mouth)}"
            draw_wire(canvas, tail, "", width=THIN_WIRE)
            draw_connector(canvas, far, mouth - CAPSULE_HEIGHT / 2, -CAPSULE, CAPSULE_HEIGHT, "")
        else:
            straight = f"L{number(coil_left)} {number(pair)}"
            draw_wire(canvas, leaves + straight, "", width=THIN_WIRE, name=f"station{place}-lead{'ab'[way > 0]}")
        draw_connector(canvas, NEAR, mouth - CAPSULE_HEIGHT / 2, CAPSULE, CAPSULE_HEIGHT, "")
    left = NEAR + CAPSULE + 4
    middle, room = (left + far - CAPSULE) / 2, far - CAPSULE - 4 - left
    if not station.far_splices:
        middle, room = (left + coil_left) / 2, coil_left - 6 - left
    canvas.text(middle, y - 10, fit(station.lead, SMALL_SIZE, room), size=SMALL_SIZE, anchor="middle")
    canvas.text(middle, y + 19, fit(station.solenoid, SMALL_SIZE, room), size=SMALL_SIZE, anchor="middle")
    canvas.rect(coil_left, y - 24, 36, 48, radius=3, fill=INK, opacity=0.06, width=1.4, name=f"solenoid{place}")
    canvas.line((coil_left, y + 24), (coil_left + 36, y - 24), width=0.9)
