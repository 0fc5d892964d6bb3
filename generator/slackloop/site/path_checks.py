"""Checks of the path's shape: ids, where runs start, circles, boxes that nothing leads to, ring closures."""

from __future__ import annotations

from slackloop.site.plain_fields import CONTROLLER
from slackloop.site.raw_job import BOXES, CLOSURES, RawJob, text_of
from slackloop.source.ambiguous_scalar import TypedScalar
from slackloop.source.finding import At, Finding
from slackloop.source.suggestions import did_you_mean, listed


def path_checks(raw: RawJob) -> list[Finding]:
    """All findings on the path's shape."""
    return [*_duplicate_ids(raw), *_unknown_ends(raw), *_circles(raw), *_closures(raw), *_ring_run_names(raw)]


def _duplicate_ids(raw: RawJob) -> list[Finding]:
    found: list[Finding] = []
    for index, box in raw.boxes:
        identity = text_of(box.get("id"))
        if identity is None or raw.index_of[identity] == index:
            continue
        at = (*BOXES, index, "id")
        first = raw.places.line_of((*BOXES, raw.index_of[identity], "id"))
        found.append(
            Finding(
                "error",
                "id-duplicate",
                f"{identity} is the id of two boxes: first on {first}, again on {raw.places.line_of(at)}",
                at,
                identity,
                expected="an id for each box",
                hint="give one of them another id",
            )
        )
    return found


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
                Finding(
                    "error",
                    code,
                    f"{key}: there is no box {end[:60]}",
                    (*base, index, key),
                    expected="the id of a box, or controller",
                    hint=did_you_mean(end, raw.ends()) if len(found) < 20 else "",
                )
            )
    return found


def _parents(raw: RawJob) -> dict[str, str]:
    parents: dict[str, str] = {}
    for identity, index in raw.index_of.items():
        parent = text_of(raw.box_at[index].get("from"))
        if parent is not None and identity != CONTROLLER:
            parents[identity] = parent
    return parents


def _circles(raw: RawJob) -> list[Finding]:
    """Circles, and boxes that hang on one; each box is walked once."""
    parents = _parents(raw)
    settled: dict[str, str] = {}  # id -> id of a box of the circle it hangs on, or "" where it hangs on none
    found: list[Finding] = []
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
            found.append(_circle(raw, circle, parents))
            settled.update(dict.fromkeys(circle, circle[0]))
        ends_in = settled.get(here, "")
        for identity in trail:
            if identity in settled:
                continue
            settled[identity] = ends_in
            if ends_in:
                at = (*BOXES, raw.index_of[identity], "from")
                found.append(
                    Finding(
                        "error",
                        "box-unreached",
                        f"nothing leads from the controller to {identity}: it hangs on the circle of {ends_in}",
                        at,
                        identity,
                        hint="correct the circle first",
                    )
                )
    return found


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
    return Finding(
        "error",
        "path-cycle",
        f"{len(circle)} boxes feed one another in a circle: {steps}",
        at,
        first,
        expected="runs that all lead back to controller",
        hint="one of them is fed from another box; a ring belongs in ring_closures",
    )


def _closures(raw: RawJob) -> list[Finding]:
    if not raw.closures:
        return []
    found: list[Finding] = []
    allowed = raw.get("supply", "ring_allowed")
    if not (allowed is True or (isinstance(allowed, TypedScalar) and allowed.value is True)):
        found.append(
            Finding(
                "error",
                "ring-not-allowed",
                "a run closes a ring, and supply.ring_allowed is not true",
                CLOSURES,
                expected="no ring closure, unless the device maker permits a closed ring",
                hint="ask the maker; then write ring_allowed: true under supply",
            )
        )
    runs: dict[frozenset[str], tuple[str | int, ...]] = {}
    for identity, parent in _parents(raw).items():
        runs.setdefault(frozenset((identity, parent)), (*BOXES, raw.index_of[identity]))
    for index, closure in raw.closures:
        start, end = text_of(closure.get("from")), text_of(closure.get("to"))
        if start is None or end is None:
            continue
        at = (*CLOSURES, index)
        if start == end:
            found.append(
                Finding(
                    "error",
                    "ring-to-itself",
                    f"this run starts and ends at {start}",
                    (*at, "to"),
                    expected="two different ends",
                )
            )
            continue
        pair = frozenset((start, end))
        if pair in runs:
            found.append(
                Finding(
                    "error",
                    "ring-doubles-run",
                    f"{start} and {end} are joined already, on {raw.places.line_of(runs[pair])}",
                    (*at, "to"),
                    expected="two ends that no other run joins",
                )
            )
        else:
            runs[pair] = at
    return found


def _ring_run_names(raw: RawJob) -> list[Finding]:
    """A closing run is named by its ends, as B012-B001; cards and records must not mix it up with anything else."""
    taken: dict[str, At] = {identity: (*BOXES, index, "id") for identity, index in raw.index_of.items()}
    found: list[Finding] = []
    for index, closure in raw.closures:
        start, end = text_of(closure.get("from")), text_of(closure.get("to"))
        name, at = f"{start}-{end}", (*CLOSURES, index)
        if start is None or end is None:
            continue
        if name in taken:
            found.append(
                Finding(
                    "error",
                    "ring-run-name-taken",
                    f"this run is named {name} by its ends, and so is what is on "
                    f"{raw.places.line_of(taken[name])}",
                    (*at, "to"),
                    expected="ends whose ids give a name that nothing else has",
                    hint="give the box another id, or swap from and to",
                )
            )
        else:
            taken[name] = at
    return found
