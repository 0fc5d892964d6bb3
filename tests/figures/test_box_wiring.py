"""The wiring of a box: every core is led to its own splice, in the job's colours, and named in words."""

from __future__ import annotations

import re

import pytest
from drawing_reader import HOSTILE, assert_sound, part, texts

from slackloop.document.drawings.box_wiring import WiredBox, WiredDevice, WiredRun, WiredStation, box_wiring_figure
from slackloop.document.drawings.svg import Figure
from slackloop.document.drawings.wire_routes import HEX_BY_WORD, clashes

FAR = WiredStation("3", "12 m (39 ft)", "valve", True)
NEAR = WiredStation("4", "1 m (3.3 ft)", "valve")
DEVICE = WiredDevice("Two-output decoder", "102", "18 AWG", (FAR, NEAR))
DEVICE_SETS = ((), (DEVICE,), (DEVICE, DEVICE))


def runs(count: int, jacketed: bool = True) -> tuple[WiredRun, ...]:
    return tuple(
        WiredRun(f"to B{n:02}", "62 m (203 ft)", "path-14", "orange", "violet", jacketed, "1.5 m (5 ft)")
        for n in range(count)
    )


def wires(figure: Figure, letter: str) -> list[str]:
    """Path data of each wire of core a or b; those of one colour are kept as one path."""
    names = re.findall(rf'id="w-(core-{letter}\d+)"', figure.svg)
    return [f"M{each}" for name in names for each in part(figure, name)["d"].split("M")[1:]]


def ends(figure_d: str) -> tuple[float, float]:
    """Return the last point of path data."""
    x, y = re.findall(r"([\d.]+) ([\d.]+)", figure_d)[-1]
    return float(x), float(y)


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 6])
@pytest.mark.parametrize("devices", DEVICE_SETS)
@pytest.mark.parametrize("jacketed", [True, False])
def test_every_core_ends_in_its_own_splice(count: int, devices: tuple[WiredDevice, ...], jacketed: bool) -> None:
    figure = box_wiring_figure("w", WiredBox("B02", "North lawn", runs(count, jacketed), devices, "Sealed connector"))
    assert_sound(figure)
    met = count + len(devices)
    for letter in "ab":
        frame = {key: float(part(figure, f"splice-{letter}")[key]) for key in ("x", "y", "width", "height")}
        reached = [ends(each) for each in wires(figure, letter)]
        assert len(reached) == len(set(reached)) == met
        for x, y in reached:
            assert frame["x"] < x < frame["x"] + frame["width"]
            assert frame["y"] < y < frame["y"] + frame["height"]
    said = [text for text, _ in texts(figure)]
    assert said.count("orange") == said.count("violet") == count + 1, "at each end, and in the splice"
    assert figure.svg.count(f'stroke="{HEX_BY_WORD["violet"]}"') == 1
    assert said.count("a") == said.count("b") == 2 * met
    assert said.count("1 wire" if met == 1 else f"{met} wires") == 2


def stretches(data: str) -> list[tuple[float, float]]:
    """Return the corners of a rounded route: the control point stands for each corner."""
    first = re.match(r"M([\d.]+) ([\d.]+)", data)
    corners = re.findall(r"Q([\d.]+) ([\d.]+) ", data)
    assert first
    return [(float(x), float(y)) for x, y in (first.groups(), *corners)] + [ends(data)]


@pytest.mark.parametrize(
    ("count", "devices"),
    [(n, DEVICE_SETS[k]) for n in range(1, 6) for k in range(3) if n + k <= 6],  # more wires no splice takes
)
def test_no_wire_lies_along_another(count: int, devices: tuple[WiredDevice, ...]) -> None:
    figure = box_wiring_figure("w", WiredBox("B02", "", runs(count), devices, "Sealed connector"))
    assert clashes([stretches(each) for letter in "ab" for each in wires(figure, letter)]) == 0


def test_clashes_counts_wires_on_one_line_and_not_crossings() -> None:
    level, along, across = [(0.0, 5.0), (50.0, 5.0)], [(40.0, 8.0), (90.0, 8.0)], [(20.0, 0.0), (20.0, 50.0)]
    assert clashes([level, along]) == 1
    assert clashes([level, across]) == 0
    assert clashes([level, [(60.0, 5.0), (90.0, 5.0)]]) == 0


def test_stations_address_and_solenoids_are_named() -> None:
    figure = box_wiring_figure("w", WiredBox("B02", "", runs(2), (DEVICE,), "Sealed", "Small sealed", True))
    assert_sound(figure)
    said = [text for text, _ in texts(figure)]
    for words in ("102", "station 3", "station 4", "lead 12 m", "lead 1 m", "to B00, path-14", "62 m", "valve 3"):
        assert words in said
    assert "Station 3: solenoid valve, lead 12 m (39 ft), spliced at both ends of its lead." in figure.description
    assert "This box has an earth electrode." in figure.description


def test_a_cut_name_stands_in_full_in_the_description() -> None:
    name = "the box behind the old potting shed by the north wall of the walled garden"
    figure = box_wiring_figure("w", WiredBox("B02", name, runs(1), (), "Sealed"))
    assert_sound(figure)
    assert name in figure.description
    assert name not in [text for text, _ in texts(figure)]


def test_hostile_text_stays_text() -> None:
    run = WiredRun(*[HOSTILE] * 5, True, HOSTILE)
    device = WiredDevice(HOSTILE, HOSTILE, HOSTILE, (WiredStation(HOSTILE, HOSTILE, HOSTILE, True),))
    assert_sound(box_wiring_figure("w", WiredBox(HOSTILE, HOSTILE, (run, run), (device,), HOSTILE, HOSTILE, True)))


def test_the_same_box_gives_the_same_bytes() -> None:
    box = WiredBox("B02", "", runs(3), (DEVICE,), "Sealed")
    assert box_wiring_figure("w", box) == box_wiring_figure("w", box)


def test_a_box_without_a_run_is_refused() -> None:
    with pytest.raises(ValueError, match="no run"):
        box_wiring_figure("w", WiredBox("B02", "", (), (), "Sealed"))
