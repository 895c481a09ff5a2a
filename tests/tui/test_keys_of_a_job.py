"""What is done every day takes few keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.keys import JOBS, Job, said


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.name)
async def test_a_job_takes_no_more_keys_than_it_may(job: Job, tmp_path: Path) -> None:
    assert len(job.pressed) <= job.most
    told = await said(job, tmp_path / "farm")
    assert told.startswith("written") and job.says in told
