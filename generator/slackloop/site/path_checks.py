"""Checks of the path's shape: ids, where runs start, circles, boxes that nothing leads to, ring closures, lengths."""

from __future__ import annotations

from collections.abc import Iterator

from slackloop.site.plain_fields import CONTROLLER
from slackloop.site.raw_job import BOXES, CLOSURES, RawJob, box_id, is_true, text_of
from slackloop.source.ambiguous_scalar import TypedScalar
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import did_you_mean, listed


def path_checks(raw: RawJob) -> list[Finding]:
    """All findings on the path's shape."""
    checks = (_duplicate_ids, _unknown_ends, _circles, _closures, _ring_run_names, _runs)
    return [finding for check in checks for finding in check(raw)]


def _duplicate_ids(raw: RawJob) -> Iterator[Finding]:
    for index, box in raw.boxes:
        identity = text_of(box.get("id"))
        if identity is None or raw.index_of[identity] == index:
            continue
        at = (*BOXES, index, "id")
        first = raw.places.line_of((*BOXES, raw.index_of[identity], "id"))
        yield Finding("error", "id-duplicate",
                      f"{identity} is the id of two boxes: first on {first}, again on {raw.places.line_of(at)}", at,
                      identity, expected="an id for each box", hint="give one of them another id")  # fmt: skip


def _unknown_ends(raw: RawJob) -> list[Finding]:
    found: list[Finding] = []
    for base, parts, key in (
        (BOXES, raw.boxes, "from"),
        (CLOSURES, raw.closures, "from"),
        (CLOSURES, raw.closures, "to"),
    ):
        for index, part in parts:
            end = text_of(part.get(key))
            if end is None or end == CONTROLLER or end in raw.index_of:
                continue
            code = "from-unknown" if key == "from" else "to-unknown"
            found.append(
                Finding("error", code, f"{key}: there is no box {end[:60]}", (*base, index, key),
                        expected="the id of a box, or controller",
                        hint=did_you_mean(end, raw.ends()) if len(found) < 20 else "")
            )  # fmt: skip
    return found


def _parents(raw: RawJob) -> dict[str, str]:
    parents: dict[str, str] = {}
    for identity, index in raw.index_of.items():
        parent = text_of(raw.box_at[index].get("from"))
        if parent is not None and identity != CONTROLLER:
            parents[identity] = parent
    return parents


def _circles(raw: RawJob) -> Iterator[Finding]:
    """Circles, and boxes that hang on one; each box is walked once."""
    parents = _parents(raw)
    settled: dict[str, str] = {}  # id -> id of a box of the circle it hangs on, or "" where it hangs on none
    for start in parents:
        trail: list[str] = []
        on_trail: dict[str, int] = {}
        here = start
        while here in parents and here not in settled and here not in on_trail:
            on_trail[here] = len(trail)
            trail.append(here)
            here = parents[here]
        circle: list[str] = []
        if here in on_trail:
            circle = trail[on_trail[here] :]
            yield _circle(raw, circle, parents)
            settled.update(dict.fromkeys(circle, circle[0]))
        ends_in = settled.get(here, "")
        for identity in trail:
            if identity in settled:
                continue
            settled[identity] = ends_in
            if ends_in:
                at = (*BOXES, raw.index_of[identity], "from")
                yield Finding("error", "box-unreached",
                              f"nothing leads from the controller to {identity}: it hangs on the circle of {ends_in}",
                              at, identity, hint="correct the circle first")  # fmt: skip


def _circle(raw: RawJob, circle: list[str], parents: dict[str, str]) -> Finding:
    ordered = sorted(circle, key=lambda identity: raw.index_of[identity])
    first = ordered[0]
    at = (*BOXES, raw.index_of[first], "from")
    if len(circle) == 1:
        return Finding(
            "error", "path-cycle", f"{first} is fed from itself", at, first, expected="another box, or controller"
        )
    turn = circle[circle.index(first) :] + circle[: circle.index(first)]
    steps = listed([f"{box} from {parents[box]}" for box in turn], 12)
    return Finding("error", "path-cycle", f"{len(circle)} boxes feed one another in a circle: {steps}", at, first,
                   expected="runs that all lead back to controller",
                   hint="one of them is fed from another box; a ring belongs in ring_closures")  # fmt: skip


def _closures(raw: RawJob) -> Iterator[Finding]:
    if not raw.closures:
        return
    allowed = raw.get("supply", "ring_allowed")
    if not is_true(allowed):
        yield Finding("error", "ring-not-allowed", "a run closes a ring, and supply.ring_allowed is not true", CLOSURES,
                      expected="no ring closure, unless the device maker permits a closed ring",
                      hint="ask the maker; then write ring_allowed: true under supply")  # fmt: skip
    runs: dict[frozenset[str], tuple[str | int, ...]] = {}
    for identity, parent in _parents(raw).items():
        runs.setdefault(frozenset((identity, parent)), (*BOXES, raw.index_of[identity]))
    for index, closure in raw.closures:
        start, end = text_of(closure.get("from")), text_of(closure.get("to"))
        if start is None or end is None:
            continue
        at = (*CLOSURES, index)
        if start == end:
            yield Finding("error", "ring-to-itself", f"this run starts and ends at {start}", (*at, "to"),
                          expected="two different ends")  # fmt: skip
            continue
        pair = frozenset((start, end))
        if pair in runs:
            yield Finding("error", "ring-doubles-run",
                          f"{start} and {end} are joined already, on {raw.places.line_of(runs[pair])}", (*at, "to"),
                          expected="two ends that no other run joins")  # fmt: skip
        else:
            runs[pair] = at


def _ring_run_names(raw: RawJob) -> Iterator[Finding]:
    """A closing run is named by its ends, as B012-B001; cards and records must not mix it up with anything else."""
    taken: dict[str, At] = {identity: (*BOXES, index, "id") for identity, index in raw.index_of.items()}
    for index, closure in raw.closures:
        start, end = text_of(closure.get("from")), text_of(closure.get("to"))
        name, at = f"{start}-{end}", (*CLOSURES, index)
        if start is None or end is None:
            continue
        if name in taken:
            yield Finding("error", "ring-run-name-taken", f"this run is named {name} by its ends, and so is what is on "
                          f"{raw.places.line_of(taken[name])}", (*at, "to"),
                          expected="ends whose ids give a name that nothing else has",
                          hint="give the box another id, or swap from and to")  # fmt: skip
        else:
            taken[name] = at


def _runs(raw: RawJob) -> Iterator[Finding]:
    for index, box in raw.boxes:
        if box.get("run") is not None:
            continue
        at = (*BOXES, index)
        start = text_of(box.get("from"))
        lacking: list[str] = []
        if box.get("at") is None:
            lacking.append(box_id(box, index))
        if start is not None and start != CONTROLLER and start in raw.index_of:
            other = raw.box_at[raw.index_of[start]]
            if other.get("at") is None:
                lacking.append(start)
            elif not lacking and _pair(other.get("at")) == _pair(box.get("at")) is not None:
                yield _zero_run(at, box_id(box, index), start)
        elif start == CONTROLLER and not lacking:
            origin = raw.get("path", "controller_at")
            if (_pair(origin) if origin is not None else (0.0, 0.0)) == _pair(box.get("at")):
                yield _zero_run(at, box_id(box, index), start)
        if lacking:
            yield Finding("error", "run-unknown", f"the run to {box_id(box, index)} is not given, and "
                          f"{' and '.join(lacking)} {'has' if len(lacking) == 1 else 'have'} no coordinates", at,
                          expected="run, as run: 62 m; or at on both boxes, as at: [118.0, 44.5]")  # fmt: skip


def _zero_run(at: At, box: str, start: str) -> Finding:
    return Finding("error", "run-zero", f"{box} and {start} have the same coordinates, so the run has no length",
                   (*at, "at"), expected="run, as run: 2 m, or other coordinates")  # fmt: skip


def _pair(value: object) -> tuple[float, float] | None:
    if not isinstance(value, list) or len(value) != 2:
        return None
    numbers = [part.value if isinstance(part, TypedScalar) else None for part in value]
    if numbers[0] is None or numbers[1] is None:
        return None
    return float(numbers[0]), float(numbers[1])
