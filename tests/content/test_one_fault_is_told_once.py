"""A firm's section that cannot be read is told at its place, and links to it elsewhere are not told as dead."""

from pathlib import Path

import pytest

from samples import chain, job_text
from slackloop.document.worked import Refused, work_with_content


def test_links_to_a_section_that_cannot_be_read_are_no_faults_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "job.yml").write_text(job_text(chain(3)), encoding="utf-8")
    broken = tmp_path / "content" / "method" / "laying-the-cable.md"
    broken.parent.mkdir(parents=True)
    broken.write_bytes(b"---\nid: laying-the-cable\n---\nwater\x00\n")
    with pytest.raises(Refused) as refused:
        work_with_content(tmp_path / "job.yml")
    errors = [finding for finding in refused.value.findings if finding.level == "error"]
    assert errors
    assert {Path(finding.file).name for finding in errors} == {"laying-the-cable.md"}
