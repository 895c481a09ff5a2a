"""What the crop's page prints can be typed back: every label, in either kind of English, with its unit or without."""

import pytest

from core.crops.figure_words import figure_label
from core.crops.sheet import FIGURES, KINDS, About
from core.dialect import Way, in_words, speak
from core.farm import Farm
from core.kinds import sentence
from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import TODAY, Pencil

VALUES = {"str": "something plain", "HardinessClass": "half-hardy", "MonthDay": "1 july"}


def value_for(name: str, about: About) -> str:
    kind = KINDS[name]
    if kind in VALUES:
        return VALUES[kind]
    least = min(max(about.least, 1), about.most)
    if about.most == 95:  # a share of what was kept
        return "1-2"
    return f"{least:g}" if kind == "float" else f"{least:g} to {min(least + 1, about.most):g}"


def read(farm: Farm, line: str) -> dict[str, object]:
    reading = read_line(line, farm, TODAY)
    assert isinstance(reading, Reading), f"{line}: {reading}"
    (draft,) = reading.drafts
    return dict(draft.fields)


@pytest.mark.parametrize("name", FIGURES)
def test_a_label_as_it_is_printed_is_understood(name: str) -> None:
    about = FIGURES[name]
    for label in {about.label, about.label.partition(",")[0]}:
        if label in FIGURES and label != name:
            continue  # "cooler" is another
        if sum(other.label.startswith(label) for other in FIGURES.values()) > 1 and label != about.label:
            continue  # "boxed" may be several
        fields = read(Pencil().farm, f"sheet zinnia {label} {value_for(name, about)}")
        assert fields["figure"] == name, label


@pytest.mark.parametrize("name", FIGURES)
def test_a_label_in_british_words_is_understood_on_a_british_farm(name: str) -> None:
    pencil = Pencil()
    pencil.write("farm", words="british")
    speak(Way(british=True, celsius=True))
    try:
        label = in_words(FIGURES[name].label)
    finally:
        speak()
    if label.endswith(", C"):
        fields = read(pencil.farm, f"sheet zinnia {label} -1")
        assert fields["figure"] == name
        if KINDS[name] == "float":
            assert fields["value"] == "30.2", label
    else:
        assert read(pencil.farm, f"sheet zinnia {label} {value_for(name, FIGURES[name])}")["figure"] == name


def test_a_figure_is_told_by_its_label_and_not_by_a_field_s_name() -> None:
    pencil = Pencil()
    pencil.write("sheet", crop="zinnia", figure="hardiness_low_f", value="33")
    assert figure_label("a_newer_figure") == "a newer figure"
    assert sentence(pencil.entries[-1]) == "zinnia: lowest once hardened, F is 33"


def test_a_number_that_is_too_great_is_told_in_words() -> None:
    found = read_line("sheet zinnia spacing 1000000000", Pencil().farm, TODAY)
    assert isinstance(found, Problem)
    assert "e+" not in found.sentence and "so much" in found.sentence
