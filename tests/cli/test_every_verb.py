"""Every verb prints its page and takes its line, whatever is struck of what others name and whatever a merge brings."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Draft, Entry
from core.crops.sheet import KINDS
from core.error_log import path as log_path
from core.subject import all_kinds
from tests.cases import some_of
from tests.farm.busy_farm import busy
from tests.farm.every_kind import DAY
from tests.shell import Shell

pytestmark = pytest.mark.usefixtures("own_state", "reckoned_once")


def _log() -> Path:
    found = log_path()
    assert found is not None
    return found


READING = (
    "today", "trays", "beds", "shelf", "buckets", "shed", "shed --hang 5", "stock", "bench", "bench --make 2_posy",
    "bench --trace M001", "lot L001", "lot L002", "losses", "losses --crop zinnia", "plan", "plan --weeks 104",
    "plan 120_strawflower_dry_by_2027-09-19", "plan 20_zinnia_fresh_by_2027-09-01_b2 --why",
    "plan 20_zinnia_fresh_by_2027-09-01 --what-if germination=0.5", "entries", "history L001", "history M001",
    "history b1", "history S02", "check", "tonight", "weather", "weather risk_tender_32F_50%", "restore",
    "crop zinnia", "crop strawflower",
)  # fmt: skip
"""A blank parts the words of the command, a low line those of one of them."""
WRITING = (
    "write 30_P02_fresh",
    "write 40_zinnia_b2_dry",
    "write note_b1_slugs",
    "write undo",
    "write low_41",
)


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("verbs") / "farm"
    book = Book.create(folder, device="shed")
    book.append([Draft(e.kind, e.on, e.fields) for e in busy().entries], by="ml")
    return folder


Made = Callable[[Callable[[Entry], bool], Sequence[Draft]], Shell]


@pytest.fixture
def made(season: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Made:
    """The farm with some of its entries struck and others brought in, past every check."""

    def make(is_struck: Callable[[Entry], bool], brought: Sequence[Draft] = ()) -> Shell:
        folder = Path(shutil.copytree(season, tmp_path / "farm"))
        book = Book.open(folder)
        day = DAY.isoformat()
        gone = [Draft("strike", day, {"entry": e.id}) for e in book.entries() if is_struck(e)]
        book.append([*brought, *gone], by="zz")
        return Shell(folder, capsys, day)

    return make


def _all_verbs_say_their_sentence(shell: Shell) -> None:
    for number, words in enumerate((*READING, *WRITING)):
        args = [word.replace("_", " ") for word in words.split()]
        if args[0] == "weather" and len(args) > 1:
            args = ["weather", *args[1].split()]
        for as_json in some_of(((), ("--json",)), number, 2) if args[0] != "write" else ((),):
            status, out, err = shell(*args, *as_json)
            assert status in (0, 1) and "Something went wrong" not in err, f"{words}: {err}"
            assert out or err
            assert "could not be reckoned" not in out
    assert not _log().exists()


GROUPS = {
    "every bed": ("bed",),
    "every sowing and planting": ("sown", "drilled", "set out"),
    "every cut and plan": ("cut", "planned"),
}


@pytest.mark.part
@pytest.mark.parametrize("what", GROUPS)
def test_every_verb_goes_on_with_all_of_a_kind_struck(made: Made, what: str) -> None:
    _all_verbs_say_their_sentence(made(lambda entry: entry.kind in GROUPS[what]))


@pytest.mark.long
@pytest.mark.parametrize("kind", sorted({kind.name for kind in all_kinds()} - {"strike"}))
def test_every_verb_goes_on_with_any_kind_struck(made: Made, kind: str) -> None:
    _all_verbs_say_their_sentence(made(lambda entry: entry.kind == kind))


@pytest.mark.part
def test_every_verb_goes_on_with_figures_that_cannot_be_and_check_tells_them(made: Made) -> None:
    numbers = [name for name, kind in KINDS.items() if kind in ("Span", "float")]
    sheets = [
        Draft("sheet", DAY.isoformat(), {"crop": "zinnia", "figure": name, "value": value})
        for i, name in enumerate(numbers)
        for value in (("0", "-1", "1000000000")[i % 3],)
    ]
    shell = made(lambda _: False, sheets)
    _all_verbs_say_their_sentence(shell)
    status, out, _ = shell("check")
    assert status == 1 and out.count("It is not used.") >= len(numbers) - 8, "0 and -1 will do for a few"
    assert shell("write", "sheet", "zinnia", "cut_weeks", "4-6")[0] == 0
    assert "cut_weeks" not in shell("check")[1]
