"""The bench itself runs: on a small book every act of it ends, so a renamed call is found here."""

from __future__ import annotations

import pytest

from tests.bench import late


@pytest.mark.long
def test_every_act_of_the_bench_of_late_entries_runs(capsys: pytest.CaptureFixture[str]) -> None:
    late.main(entries=10_000, rounds=1)
    printed = capsys.readouterr().out
    for name in (late.FLOOR[0], *(act[0] for act in late.ACTS), late.AFTER_A_MERGE[0]):
        assert f"  {name} " in printed
