"""A grammar of jobs: every key of the schema, sound, extreme and wrong, the same for the same seed.

Keys come from the job's own schema, so that a key added later is written here too. A job is first made sound or nearly
so (values within what is used in the field, or at its edges), then up to six places in it are broken.
"""

from __future__ import annotations

import copy
import datetime
import random
import re
from collections.abc import Iterator
from typing import Any

import yaml

from slackloop.site.models import Job

SCHEMA: dict[str, Any] = Job.model_json_schema(by_alias=True)
Tree = dict[str, Any]
_HIDDEN = re.compile(r"\\(?:U([0-9A-F]{8})|.)")
Place = tuple[str | int, ...]

HARD_NAMES = ["1e3", "e\u0301", "⚠️", "\u200b", "1", "007", "=1+1"]
NAMES = [
    "PUMP A", "Ω-9", "Box 🌳 7", "a|b", "<b>", "*", "`x`", "_under_", "#4", "- dash", "{{ v }}", "{% raw %}", "&amp;",
    "a:b",
    "x" * 40, "CON", "é", "مرحبا", "नमस्ते", "Ђ", "O'Neill", 'say "x"', "@x", "../up", "a/b", "%41", "[x](y)", "$a$",
    "\\cmd",
    "$(id)", "B-01", "–", "ß", "ﬃ", "𝔅01", "№ 3", "0x10", "b01",
]  # fmt: skip
TEXTS = [*NAMES, "Plain words", "Two\nlines", "x" * 300, "|" * 30, "</script>", "…", "=1+1", "123", "no"]
HARD_TEXTS = ["", " ", "tab\there", "a # b", "x" * 2_001, "\u202ertl"]
HOSTILE: list[Any] = [
    None, True, False, 0, -1, 1, 10**9, 10**30, 0.5, 1e308, float("inf"), float("nan"), "", " ", "x", "0 m", "-5 m",
    "1e400 m", "5 m (4 ft)", "5", "5 furlongs", "5 m m", "1/0 in", "3/4 in", "0 V", "1e-12 V", "999999 A", "0 ohm",
    "1e9 ohm",
    "4/0 AWG", "99 AWG", "0.0001 mm2", "1000 mm2", "500 %", "-1 %", "100 %", "0 %", "100 degC to 4 degC",
    "-300 degC to 4 degC",
    "4 degC to 400 degC", "unknown", "assumed 14 AWG", "2026-02-30", "2108-01-01", "1979-12-31", [], {}, [[]], [None],
    {"a": 1}, {"length": "1 m"}, ["a", "a"], "controller",
    "\u200b", "\ufeffx", "\x85", "𝟙 m", "١ م", "!!python/object:x",
    "yes", "no", "on", "~", "1:30", "0o17", "1_000", "=cmd", "{{ 7*7 }}", "<script>", datetime.date(2026, 1, 1),
    "x" * 5_000,
]  # fmt: skip
EDGES: dict[str, list[str]] = {
    "length": ["1 mm", "0.01 m", "1 in", "3/4 in", "12 ft", "1.5 m (5 ft)", "99 m", "999 m", "35 km", "1 yd"],
    "volts": ["0.5 V", "5 V", "12 V", "24 V", "30 V", "36 V", "60 V", "230 V"],
    "amps": ["0.001 mA", "0.6 mA", "32 mA", "0.35 A", "2.5 A", "100 A"],
    "ohms": ["0.01 ohm", "0.5 ohm", "10 ohm", "25 ohm", "5 Mohm"],
    "percent": ["0 %", "1 %", "5 %", "10 %", "50 %"],
    "temperature": ["-40 degC to -1 degC", "4 degC to 28 degC", "39 degF to 82 degF", "0 degC to 60 degC"],
    "conductor": ["24 AWG", "18 AWG", "14 AWG", "12 AWG", "8 AWG", "0.5 mm2", "1.5 mm2", "2.5 mm2"],
    "sizes": ["18 AWG to 10 AWG", "24 AWG to 8 AWG", "0.5 mm2 to 4 mm2", "14 AWG to 12 AWG"],
    "area": ["2.1 mm2 to 14 mm2", "0.1 mm2 to 400 mm2", "5 mm2 to 6 mm2"],
    "wires": ["2 to 5", "2 to 3", "1 to 40"],
    "resistivity": ["60 ohm m", "4000 ohm cm", "1 ohm m", "10000 ohm m"],
    "frequency": ["60 Hz", "50 Hz"],
    "price": ["0.62 /m", "0.19 /ft"],
}  # fmt: skip
SOBER: dict[str, list[str]] = {
    "length": ["450 mm", "9.5 mm", "62 m", "41 m", "150 ft", "1.5 m (5 ft)", "16 mm"], "volts": ["36 V", "24 V",
    "20 V"],
    "amps": ["0.6 mA", "32 mA", "2.5 A"], "conductor": ["14 AWG", "12 AWG", "2.5 mm2"],
    "temperature": ["4 degC to 28 degC", "39 degF to 82 degF"], "ohms": ["10 ohm", "0.5 ohm", "10 Mohm"],
}  # fmt: skip
BY_KEY = {
    "cover": ["450 mm", "600 mm (24 in)", "18 in"], "strip": ["16 mm", "5/8 in"], "diameter": ["16 mm", "5/8 in"],
    "jacket_od": ["9.5 mm", "3/8 in"], "bedding": ["75 mm", "0 mm", "3 in"], "width": ["150 mm", "6 in", "300 mm"],
    "shared_with_pipe": ["63 mm", "2 in"], "reel": ["750 m", "2500 ft", "100 m"], "every_run": ["300 m", "1000 ft"],
    "standby": ["0.6 mA", "2 mA"], "per_output": ["32 mA", "46 mA"], "limit": ["2.5 A", "4 A"], "duct": ["50 mm"],
    "supply-volts": ["36 V", "30 V", "60 V"], "least_volts": ["22 V", "19 V"], "source_resistance": ["0 ohm",
    "0.5 ohm"],
}  # fmt: skip
KINDS = {
    "conductor": "conductor", "sizes": "sizes", "area": "area", "wires": "wires", "soil_resistivity": "resistivity",
    "soil_temperature": "temperature", "frequency": "frequency", "price": "price",
    "ohms": "ohms", "percent": "percent", "waste": "percent", "spare": "percent", "detour": "percent",
    "loop_tolerance": "percent", "target": "ohms",
    "least": "ohms",
    "source_resistance": "ohms", "volts": "volts", "lowest": "volts", "least_volts": "volts", "most_volts": "volts",
    "output_volts": "volts", "output_drop": "volts", "standby": "amps", "per_output": "amps", "limit": "amps",
    "inrush": "amps", "holding": "amps",
}  # fmt: skip
SOUND = {
    "soil": ["common earth", "sand", "clay"], "code_basis": ["us", "uk", "general"], "hazards": ["public access",
    "overhead lines"],
    "date": ["1980-01-01", "2026-03-02", "2107-12-31"], "format": [1], "quantity": [2, "3 m", "0.05 m3", "1.5 ft3"],
}  # fmt: skip


def dumped(tree: Tree, *, readable: bool) -> str:
    """A job as YAML; ``readable``: with letters of every script as they are.

    The fast writer refuses half characters, which the other writes, and hides those past U+FFFF, which are put back.
    """
    layout: dict[str, Any] = {"allow_unicode": readable, "sort_keys": False, "width": 200}
    try:
        text = str(yaml.dump(tree, Dumper=yaml.CSafeDumper, **layout))
    except UnicodeError:
        return str(yaml.safe_dump(tree, **layout))
    return _HIDDEN.sub(lambda each: chr(int(each[1], 16)) if each[1] else each[0], text) if readable else text


class Grammar:
    """Makes one job for one seed."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.wild = self.chance.random() < 0.5
        self.sober = self.chance.random() < 0.6
        self.station = 1
        self.names = {
            table: self._names(self.chance.randint(1, 3)) for table in ("cables", "devices", "solenoids", "connectors")
        }

    def _names(self, count: int) -> list[str]:
        hard = HARD_NAMES if self.chance.random() < 0.1 else []
        plain = [f"part-{number}" for number in range(count)]
        return self.chance.sample([*NAMES, *hard], count) if self.wild else plain

    def tree(self) -> Tree:
        """The job as plain data: sound or nearly so, then broken in up to six places."""
        job = self._part(SCHEMA)
        self._join_up(job)
        for _ in range(self.chance.choice([0, 0, 0, 0, 0, 1, 1, 2, 6])):
            self._break(job)
        return job

    def text(self) -> str:
        """The job as YAML."""
        text = dumped(self.tree(), readable=self.chance.random() < 0.8)
        if self.chance.random() < 0.05:
            place = self.chance.randrange(len(text))
            slip = self.chance.choice(["{", "}", "\t", ": ", " #", "- ", "&a ", "*a ", "'", '"'])
            text = text[:place] + slip + text[place:]
        return text

    def _part(self, schema: Tree) -> Tree:
        """A map with every required key, and each optional one as often as not."""
        needed = schema.get("required", [])
        return {
            key: self._value(key, self._resolved(rule))
            for key, rule in schema.get("properties", {}).items()
            if key in needed or (self.chance.random() < 0.5 and key not in ("standard", "departures"))
        }

    def _resolved(self, rule: Tree) -> Tree:
        """The rule itself, without what stands for nothing."""
        for option in rule.get("anyOf", []):
            if option.get("type") != "null":
                return self._resolved(option)
        return SCHEMA["$defs"][rule["$ref"].rpartition("/")[2]] if "$ref" in rule else rule

    def _value(self, key: str, rule: Tree) -> Any:
        pick = self.chance.choice
        if key in SOUND and "properties" not in rule and rule.get("type") != "array":
            return pick(SOUND[key])
        if rule.get("format") == "date":
            return pick(SOUND["date"])
        if "enum" in rule:
            return pick(rule["enum"])
        if "properties" in rule:
            return self._part(rule)
        if rule.get("additionalProperties"):
            of = self._resolved(rule["additionalProperties"])
            names = rule.get("propertyNames", {}).get("enum") or self.names.get(key) or ["cover-open"]
            return {name: self._value("", of) for name in names}
        if rule.get("type") == "array":
            return self._list(key, rule)
        if rule.get("type") == "boolean":
            return pick([True, False])
        if rule.get("type") == "integer":
            return pick([1, 1, 2, 2, 3, 8, 50, 20_000])
        if isinstance(rule.get("type"), list):
            hard = HARD_TEXTS if self.chance.random() < 0.01 else []
            texts = hard or (TEXTS if self.wild else ["Plain words", "North lawn"])
            is_needed = rule.get("minLength") and self.chance.random() < 0.95
            return pick([each for each in texts if str(each).strip()] or texts if is_needed else texts)
        if key not in KINDS and rule.get("examples") and key == "capacitance":
            return pick(rule["examples"])
        kind = KINDS.get(key, "length")
        if self.sober:
            return pick(BY_KEY.get(key) or SOBER.get(kind) or EDGES[kind])
        return pick(BY_KEY[key] if key in BY_KEY and self.chance.random() < 0.5 else EDGES[kind])

    def _list(self, key: str, rule: Tree) -> list[Any]:
        if rule.get("maxItems") == 2 or key in ("at", "controller_at"):
            return [round(self.chance.uniform(-500, 500), 1), self.chance.choice([0, 1e7, 12.5])]
        if key in ("boxes", "ring_closures", "stations", "always_on", "devices"):  # these are joined up at the end
            return []
        of = self._resolved(rule.get("items", {}))
        if "enum" in of:
            return self.chance.sample(of["enum"], self.chance.randint(rule.get("minItems", 0), len(of["enum"])))
        return [self._value(key, of) for _ in range(self.chance.randint(0, 3))]

    def _agree(self, job: Tree) -> None:
        """Values that depend on one another agree, nearly always."""
        chance = self.chance
        job["job"] |= {"address": "https://example.org/h/"} if "address" in job["job"] else {}
        for device in job.get("devices", {}).values():
            device.setdefault("per_output", "32 mA")
            gives = chance.choice([{"output_volts": "24 V"}, {"output_drop": "2 V"}])
            for key in ("output_volts", "output_drop"):
                device.pop(key, None)
            device |= gives
            device["outputs"] = chance.choice([0, 1, 2, 2, 6, 50])
        for cable in job["cables"].values():
            cable["jacket_od"] = chance.choice([*["30 mm"] * 9, cable.get("jacket_od", "9.5 mm")])
        supply = job["supply"]
        if self.sober:
            supply["volts"] = chance.choice(["36 V", "30 V", "60 V"])
        if "lowest" in supply:
            supply["lowest"] = supply["volts"]
        if "answers" in job:
            codes = ["cover-open", "risk-unscored", "resistivity-unknown", "cover-open B01"]
            job["answers"] = {chance.choice(codes): each for each in job["answers"].values()}

    def _join_up(self, job: Tree) -> None:
        """Boxes with branches, branch boxes and rings, whose names lead somewhere."""
        chance = self.chance
        for table, rule in (("devices", "Device"), ("solenoids", "Solenoid")):
            if chance.random() < 0.9:
                job.setdefault(table, {name: self._value("", SCHEMA["$defs"][rule]) for name in self.names[table]})
        self._agree(job)
        if not job.get("devices") or not job.get("solenoids"):
            job.pop("devices", None)
        ids = self._ids(chance.choice([1, 2, 5, 12, 40]))
        devices = list(job.get("devices", {}))
        box_rule, self.station = SCHEMA["$defs"]["Box"], 1
        each = job["path"].get("each", {})
        self._lead_somewhere(job, each)
        if "device" in each:
            each["device"] = chance.choice([*devices, "none"])
        boxes: list[Tree] = []
        for number, box_id in enumerate(ids):
            box = self._part(box_rule)
            before = ids[number - 1 if chance.random() < 0.7 else chance.randrange(number)] if number else "controller"
            run = chance.choice(["62 m", "41 m", chance.choice(EDGES["length"])])
            box |= {"id": box_id, "from": before, "run": run}
            self._lead_somewhere(job, box)
            if "surface" not in each:
                box.setdefault("surface", "lawn")
            for key in ("stations", "device", "devices", "address"):
                box.pop(key, None)
            if devices and chance.random() < 0.75:
                box |= self._fitted(job, devices, number)
            if not box.get("stations"):
                box.pop("lead", None)
            boxes.append(box)
        if chance.random() < 0.3:
            boxes.append(self._chain(job, ids[-1], devices))
        chance.shuffle(boxes)
        path = job["path"]
        path["boxes"] = boxes
        path.setdefault("solenoid", "x")
        self._lead_somewhere(job, path)
        self._close_rings(job, ids)
        if "always_on" in job["supply"]:
            job["supply"]["always_on"] = [1] if self.station > 1 else []

    def _fitted(self, job: Tree, devices: list[str], number: int) -> Tree:
        """One device of a box, or several, with the stations that they operate."""
        fitted = []
        for place in range(self.chance.choice([1, 1, 1, 2, 3])):
            device = self.chance.choice(devices)
            count = min(int(job["devices"][device]["outputs"]), self.chance.randint(0, 3))
            stations = [self._station(job) for _ in range(count)]
            fitted.append({"device": device, "address": f"{100 + number}-{place}", "stations": stations})
        return {"devices": fitted} if len(fitted) > 1 or self.chance.random() < 0.1 else fitted[0]

    def _station(self, job: Tree) -> Any:
        """The next station: its number alone, or with what is its own."""
        number, self.station = self.station, self.station + 1
        if self.chance.random() < 0.8:
            return number
        own = self._part(SCHEMA["$defs"]["Station"]) | {"number": number}
        self._lead_somewhere(job, own)
        return own

    def _chain(self, job: Tree, end: str, devices: list[str]) -> Tree:
        """Boxes in a row behind the last one."""
        count = self.chance.randint(1, 12)
        chain: Tree = {"ids": f"Z01..Z{count:02}", "from": end, "run": "25 m", "surface": "lawn"}
        if devices and self.chance.random() < 0.7:
            chain |= {"device": self.chance.choice(devices), "address": "from 5000"}
            outputs = min(int(job["devices"][chain["device"]]["outputs"]), 1)
            chain |= {"stations": f"from {self.station}"} if outputs == 1 else {}
            self.station += 60 * count
        return chain

    def _ids(self, count: int) -> list[str]:
        plain = [f"B{number:02}" for number in range(1, count + 1)]
        return [*NAMES[: count // 2], *plain[count // 2 :]] if self.wild else plain

    def _lead_somewhere(self, job: Tree, part: Tree) -> None:
        """Names of parts are those that the job defines."""
        tables = {
            "cable": "cables", "lead_cable": "cables", "solenoid": "solenoids",
            "connector": "connectors", "solenoid_connector": "connectors",
        }  # fmt: skip
        for key, table in tables.items():
            if key in part and job.get(table):
                part[key] = self.chance.choice(list(job[table]))
            elif key in part and not job.get(table):
                del part[key]

    def _close_rings(self, job: Tree, ids: list[str]) -> None:
        path = job["path"]
        if "ring_closures" not in path or len(ids) < 5:
            path.pop("ring_closures", None)
            return
        job["supply"]["ring_allowed"] = self.chance.random() < 0.9
        path["ring_closures"] = []
        for _ in range(self.chance.randint(1, 3)):
            closure = self._part(SCHEMA["$defs"]["RingClosure"])
            one = self.chance.randrange(len(ids) // 2)
            closure["from"], closure["to"] = ids[-1 - self.chance.randrange(2)], ids[one]
            self._lead_somewhere(job, closure)
            path["ring_closures"].append(closure)

    def _break(self, job: Tree) -> None:
        """One slip at a place of the job."""
        *above, last = self.chance.choice(list(places(job)))
        part: Any = job
        for step in above:
            part = part[step]
        slip = self.chance.randrange(6)
        if slip < 3:
            part[last] = copy.deepcopy(self.chance.choice(HOSTILE))
        elif slip == 3:
            del part[last]
        elif slip == 4 and isinstance(part, dict):
            part[self.chance.choice(["", "x", "frm", "Run", "note ", "<<", "🌳", str(last) + "s"])] = part.pop(last)
        elif isinstance(part, list):
            part.append(copy.deepcopy(part[last]))
        else:
            part[last] = [part[last]]


def places(value: Any) -> Iterator[Place]:
    """Every place of plain data, the outermost left out, however deep it nests."""
    waiting: list[tuple[Place, Any]] = [((), value)]
    while waiting:
        at, each = waiting.pop()
        if at:
            yield at
        inner = each.items() if isinstance(each, dict) else enumerate(each) if isinstance(each, list) else ()
        waiting += [((*at, name), part) for name, part in reversed(list(inner))]


def keys_of_schema() -> set[tuple[str, str]]:
    """Every key that a job may have, with the part that it stands in."""
    parts = {**SCHEMA["$defs"], "Job": SCHEMA}
    return {(name, key) for name, part in parts.items() for key in part.get("properties", {})}
