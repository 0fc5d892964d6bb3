"""A surge part that the job states joins both path splices of each electrode box and is ordered; else nothing changes.

Counted by hand on a path of twelve boxes: boxes 50 m apart: electrodes at B6 (the next
box would make 350 m of run, and 300 m is the most) and at the end.
"""

from pathlib import Path

import yaml

from samples import chain, job_text
from slackloop.document.worked import Worked, work


def worked_of(folder: Path, surge_part: dict[str, object] | None) -> Worked:
    job = yaml.safe_load(job_text(chain(12)))
    job["document"]["date"] = "2026-04-14"
    if surge_part is not None:
        job["rules"]["earthing"]["surge_part"] = surge_part
    path = folder / "job.yml"
    path.write_text(yaml.safe_dump(job).replace("'2026-04-14'", "2026-04-14"), encoding="utf-8")
    return work(path)


def wires(worked: Worked) -> dict[str, list[int]]:
    boxes = worked.analysis.network.boxes
    return {
        box: [len(splice.wires) for splice in splices]
        for box, splices in zip(boxes, worked.analysis.splices, strict=True)
    }


def test_its_leads_join_both_cores_at_electrode_boxes_only(tmp_path: Path) -> None:
    plain = wires(worked_of(tmp_path, None))
    part = {"title": "Surge arrester", "leads": {"conductor": "14 AWG", "build": "stranded"}}
    worked = worked_of(tmp_path, part)
    more = wires(worked)
    assert {box for box in plain if more[box] != plain[box]} == {"B6", "B12"}
    assert more["B6"] == [4, 4]
    assert more["B12"] == [3, 3]
    (line,) = [each for each in worked.analysis.materials if each.kind == "surge part"]
    assert (line.quantity, line.boxes) == (2, ("B6", "B12"))


def test_one_lead_too_many_for_the_connector_is_found(tmp_path: Path) -> None:
    thick = {"title": "Surge arrester", "leads": {"conductor": "8 AWG", "build": "stranded"}}
    codes = {finding.code for finding in worked_of(tmp_path, thick).findings if finding.level == "error"}
    assert codes == {"connector-misfit"}
