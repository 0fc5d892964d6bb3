"""A job with chains and shared keys as plain boxes, worked out here from the text alone: a witness of our own reading.

PyYAML reads the file; ids, stations and addresses are counted here. Nothing of ours stands in between.
"""

from __future__ import annotations

import re

import yaml

NONE = "none"


def written_out(text: str) -> dict:
    """The job as plain maps, with ``path.each`` gone and every chain written out as single boxes."""
    job = yaml.safe_load(text)
    path = job["path"]
    each = path.pop("each", {})
    path["boxes"] = [box for item in path["boxes"] for box in _boxes(item, each, job["devices"])]
    return job


def as_text(job: dict) -> str:
    """The job as a file that a person could have written without a chain."""
    return yaml.safe_dump(job, sort_keys=False, allow_unicode=True, width=1000)


def _boxes(item: dict, each: dict, devices: dict) -> list[dict]:
    if "ids" not in item:
        return [_filled(item, each)]
    first, last = (re.fullmatch(r"(.*?)([0-9]+)", end.strip()) for end in item["ids"].split(".."))
    made, before = [], item["from"]
    for place, number in enumerate(range(int(first[2]), int(last[2]) + 1)):
        name = first[1] + str(number).zfill(len(first[2]))
        box = {key: value for key, value in item.items() if key not in ("ids", "stations", "address")}
        box |= {"id": name, "from": before}
        box = _filled(box, each)
        if "stations" in item:
            outputs, start = devices[box["device"]]["outputs"], int(item["stations"].split()[1])
            box["stations"] = [start + place * outputs + output for output in range(outputs)]
        if "address" in item:
            box["address"] = int(item["address"].split()[1]) + place
        made.append(box)
        before = name
    return made


def _filled(box: dict, each: dict) -> dict:
    full = {**each, **box}
    if "devices" in box:
        full.pop("device", None)
    if full.get("device") == NONE:
        full.pop("device")
    return full
