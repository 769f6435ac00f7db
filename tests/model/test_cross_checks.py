"""What no single file can know: names that lead nowhere, between facts and between facts and prose."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError
from packgen.model import prose_check
from packgen.model.cross_check import NEEDED_RULES
from packgen.model.load import load

CONTENT = Path(__file__).parents[2] / "content"
FAMILY = "fittings/demo-saddle-screw.yaml"
RULES = "rules/work-rules.yaml"
ISO = "pipes/iso.yaml"
PREPARE = "procedures/en/prepare.md"
RECORD = "procedures/en/joint-record.yaml"


@pytest.fixture
def content(tmp_path: Path) -> Path:
    """A copy of the starter content to make mistakes in."""
    shutil.copytree(CONTENT, tmp_path / "content")
    return tmp_path / "content"


def change(content: Path, name: str, old: str, new: str) -> int:
    """Change the first such words of a file; the line on which they stood."""
    text = (content / name).read_text(encoding="utf-8")
    assert old in text, old
    (content / name).write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def refusal(content: Path) -> list[str]:
    """What is said of the content, its folder's name left out."""
    with pytest.raises(ContentError) as caught:
        load(content)
    return [line.replace(f"{content}/", "") for line in str(caught.value).splitlines()]


def test_a_pair_of_a_size_system_without_a_table_is_told(content: Path) -> None:
    """Each pair in its place, main and lateral."""
    (content / ISO).unlink()
    told = refusal(content)
    ends = [line for line in told if "no pipe table holds 'ISO'; expected CTS, DIPS, IPS" in line]
    assert len(ends) == 2 * (24 + 2 + 5 + 3)  # screw, strap, tapping saddle, coupling
    ratio, valve = (line for line in told if line not in ends)
    assert "demo-coupling.yaml" in ratio and "lateral.dr[3]: DR 13.6 is not in the table" in ratio
    assert "demo-valves.yaml" in valve and "'63 mm ISO' is a size of no pipe table" in valve


def test_a_main_of_no_ratio_that_the_family_takes_is_told_at_its_pair(content: Path) -> None:
    """No table of the starter has a ratio between 11 and 13.5; a coupling goes by its lateral's ratios."""
    bolt, coupling = "fittings/demo-saddle-bolt.yaml", "fittings/demo-coupling.yaml"
    change(content, bolt, "dr_min: 9, dr_max: 17", "dr_min: 11.1, dr_max: 13.4")
    change(content, coupling, "lateral: {dr: [11, 9, 13.5, 13.6, 17]", "lateral: {dr: [13.6]")
    told = refusal(content)
    of_bolt = [line for line in told if bolt in line]
    assert len(of_bolt) == 5
    assert (
        "pairs[0].main: 4 in IPS is made in no ratio that the family takes; expected 7.3, 9, 11" in of_bolt[0]
    )
    assert of_bolt[0].endswith("correct main.dr_min and main.dr_max, or take the pair out")
    of_coupling = [line for line in told if coupling in line and "in no ratio" in line]
    assert len(of_coupling) == 5  # 4 IPS and 1 CTS; ISO pipe is made in SDR 13.6
    assert all(line.endswith("correct lateral.dr, or take the pair out") for line in of_coupling)


def test_a_family_of_one_ratio_that_its_mains_are_made_in_is_taken(content: Path) -> None:
    change(content, "fittings/demo-saddle-bolt.yaml", "dr_min: 9, dr_max: 17", "dr_min: 11, dr_max: 11")
    assert load(content, prose=False).families


def test_a_lateral_without_a_wall_for_the_family_s_ratio_is_told(content: Path) -> None:
    """The first ratio of the family's laterals is the one used where a job names none."""
    change(content, ISO, "      - {dr: 11, min: 3.0 mm, max: 3.4 mm, source: iso-4427-2-pages}\n", "")
    told = refusal(content)
    assert len(told) == 1 + 2 + 5  # the pairs with such a lateral: screw, strap, tapping saddle
    for line in told:
        assert "lateral: the table of ISO lists no wall of 32 mm for the family's first lateral DR 11" in line
        assert line.endswith("expected 7.4, 9, 13.6, 17")


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        (
            FAMILY,
            "source: demo-label",
            "source: demo-lable",
            "source: the source 'demo-lable' is not known; expected an id",
        ),
        (FAMILY, "source: demo-label", "source: demo-lable", "did you mean 'demo-label'?"),
        (
            "materials.yaml",
            "factor: 1.0, source: awwa-m55",
            "factor: 1.0, source: awwa-m54",
            "temperature_factors[0].source: the source 'awwa-m54' is not known",
        ),
        (
            FAMILY,
            "main: 3 in\n",
            "main: 3-1/8 in\n",
            "pairs[0].main: '3-1/8 in' is not a size of IPS; expected 1/2 in",
        ),
        (FAMILY, "main: 3 in\n", "main: 3-1/8 in\n", "did you mean '3 in'?"),
        (FAMILY, "main: 3 in\n", "main: 4 in\n", "pairs[1]: the pair 2 in on 4 in stands twice; keep one"),
        (FAMILY, "dr: [11]", "dr: [12]", "lateral.dr[0]: DR 12 is not in the table; expected 7.3, 7.4, 9"),
        (FAMILY, "dr_min: 9", "dr_min: 21", "main.dr_min: dr_min is above dr_max; swap the two"),
        (
            FAMILY,
            "materials: [PE4710",
            "materials: [PE4711",
            "main.materials[0]: the material 'PE4711' is not known",
        ),
        (
            FAMILY,
            "main: 4 in DIPS",
            "main: 5 in DIPS",
            ".main: '5 in' is not a size of DIPS; expected 3 in, 4 in",
        ),
        (FAMILY, "main: 6 in DIPS", "main: 4 in DIPS", "the pair 2 in on 4 in DIPS stands twice; keep one"),
        (
            FAMILY,
            "lateral: 32 mm ISO",
            "lateral: 33 mm ISO",
            "'33 mm' is not a size of ISO; expected 20 mm",
        ),
        (
            ISO,
            "dr: 11, min: 2.0 mm, max: 2.3 mm",
            "dr: 11, min: 2.3 mm, max: 2.3 mm",
            "sizes[0].walls[2].max: the greatest wall 2.3 mm is not above the least 2.3 mm",
        ),
        (
            ISO,
            "dr: 9, min: 2.3 mm",
            "dr: 8, min: 2.3 mm",
            "sizes[0].walls[1].dr: DR 8 is not one of the table's",
        ),
        (
            ISO,
            "dr: 9, min: 2.3 mm",
            "dr: 11, min: 2.3 mm",
            "sizes[0].walls[2].dr: the wall for DR 11 does not follow that for DR 11",
        ),
        (
            ISO,
            "outside_diameter_max: 20.3 mm",
            "outside_diameter_max: 20 mm",
            "outside_diameter_max 20 mm is not above 20 mm",
        ),
        (ISO, "    outside_diameter_max: 20.3 mm\n", "", "sizes[0].outside_diameter: 20 mm has no one band"),
        (FAMILY, "system: IPS", "system: IPPS", "did you mean 'IPS'?"),
        (
            FAMILY,
            "depth_min: 0.009 in",
            "depth_min: 0.4 mm",
            "every_pair.peel.depth_min: depth_min 0.4 mm is above depth_max",
        ),
        (
            FAMILY,
            "ambient_min: -10 degC",
            "ambient_min: 45 degC",
            "ambient_min 45 °C is above ambient_max 40 °C; swap",
        ),
        (
            FAMILY,
            "coil_resistance: 3.55 ohm",
            "coil_resistance: 0 ohm",
            "'0 ohm' is nothing; expected a resistance above",
        ),
        (
            FAMILY,
            "base_angle: 70 degree",
            "base_angle: 190 degree",
            "'190 degree' is too much; expected at most 180",
        ),
        (
            FAMILY,
            "screw_property: A2-70",
            "screw_property: A2-70, torque: blnk",
            "'blnk': the number is not one packgen",
        ),
        (
            RULES,
            "id: peel-depth-min",
            "id: peel-depth-least",
            "the work rule 'peel-depth-min' is missing; keep the packaged",
        ),
        (
            RULES,
            "value: 0.009 in",
            "value: 0.009",
            "rules[0].value: 0.009 is not a rule's value; expected words, a quantity",
        ),
        (
            RULES,
            "value: 0.009 in",
            "value: 9",
            "rules[0].value: 9 is a bare number; expected a length with its unit",
        ),
        (
            RULES,
            "value: 0.009 in",
            "value: 0.009 s",
            "rules[0].value: '0.009 s': s measures time; expected a length",
        ),
        (
            RULES,
            "value: 1\n",
            "value: once\n",
            "rules[2].value: 'once' is no count; expected a whole number without a unit",
        ),
        (RULES, "value: 1\n", "value: true\n", "rules[2].value: true is not a rule's value"),
        (
            "pipes/ips.yaml",
            "name: 3/4 in",
            "name: 1/2 in",
            "sizes[1].name: the size 1/2 in stands twice; keep one",
        ),
        (
            "pipes/ips.yaml",
            "name: 3/4 in",
            "name: ../x",
            "sizes[1].name: '../x': the number is not one packgen reads",
        ),
        (
            "pipes/ips.yaml",
            "standard: ASTM D3035, plus_minus: 0.008",
            "standard: ASTM F714, plus_minus: 0.008",
            "sizes[6].tolerances: a standard stands twice for 3 in; keep one",
        ),
        (
            "pipes/ips.yaml",
            "0.004 in",
            "0 in",
            "sizes[0].tolerances[0].plus_minus: '0 in' is nothing; expected a length",
        ),
    ],
)
def test_a_fact_that_leads_nowhere_is_told_with_its_place(
    name: str, old: str, new: str, said: str, content: Path
) -> None:
    """File, line and key; the nearest right word where there is one."""
    line = change(content, name, old, new)
    told = refusal(content)
    about = [each for each in told if said in each]
    assert len(about) == 1, told
    if "is missing" not in said:
        file, told_line, _ = about[0].split(":", 2)
        assert file == name
        assert abs(int(told_line) - line) <= 7  # what stands twice is told where it stands again


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "{{ peel.depth_min }}",
            "{{ peel.depth_mn }}",
            "the value 'peel.depth_mn' is not known; did you mean 'peel.depth_min'?",
        ),
        (
            "{{ peel.depth_min }}",
            "{{ rule: feler }}",
            "the work rule 'feler' is not known; did you mean 'feeler'?",
        ),
        (
            "{{ peel.depth_min }}",
            "{{ job: mian }}",
            "the word of the job 'mian' is not known; expected one of main, contents",
        ),
        ("{{ peel.depth_min }}", "{{ job: mian }}", "did you mean 'main'?"),
    ],
)
def test_a_slot_that_names_nothing_is_told_with_its_line(
    old: str, new: str, said: str, content: Path
) -> None:
    """Values, rules and words of the job."""
    line = change(content, PREPARE, old, new)
    told = refusal(content)
    assert len(told) == 1
    assert told[0].startswith(f"{PREPARE}:{line}: {new}: ")
    assert said in told[0]


@pytest.mark.parametrize(
    ("slot", "said"),
    [
        ("{{ safety: hot-mlt }}", "the safety message 'hot-mlt' is not known; did you mean 'hot-melt'?"),
        (
            "{{ table: peel.depth_max, clamp.torqe }}",
            "the value 'clamp.torqe' is not known; did you mean 'clamp.torque'?",
        ),
        (
            "{{ figure: peel-zon }}",
            "the figure 'peel-zon' is not known; expected one of tap-section, peel-zone",
        ),
    ],
)
def test_a_lone_slot_that_names_nothing_is_told(slot: str, said: str, content: Path) -> None:
    """Safety messages, tables and figures."""
    text = (content / PREPARE).read_text(encoding="utf-8")
    (content / PREPARE).write_text(f"{text}\n\n{slot}\n", encoding="utf-8")
    told = refusal(content)
    assert len(told) == 1
    assert told[0].startswith(f"{PREPARE}:")
    assert said in told[0]


def test_a_step_id_stands_once_over_all_procedures(content: Path) -> None:
    """Records name steps by it; the first place is said."""
    text = (content / PREPARE).read_text(encoding="utf-8")
    step = text[text.index("{: #") + 4 :].split()[0]
    place = content / "procedures" / "en" / "close-out.md"
    place.write_text(
        f"{place.read_text(encoding='utf-8')}\n\n1. Again.\n   {{: #{step} }}\n", encoding="utf-8"
    )
    told = refusal(content)
    said = f"{step}: the step id '{step}' stands twice (first in "
    assert told
    assert all(said in each and "give this step an id of its own" in each for each in told)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "step: permit-on-site",
            "step: permit-on-sight",
            "the step 'permit-on-sight' is not known; expected the id of a step",
        ),
        (
            "≤ peel.passes_max",
            "≤ peel.passes",
            "the value 'peel.passes' is not known; expected a name",
        ),
        (
            'step: outlet-air, wanted: "below rule:lel-limit LEL"',
            'step: outlet-air, wanted: "below rule:lel-limt LEL"',
            "the work rule 'lel-limt' is not known; expected the id of a work rule",
        ),
        (
            'step: live-pressure, wanted: ["≤ job:pressure_limit"',
            'step: live-pressure, wanted: ["≤ job:pressure_limt"',
            "the word of the job 'pressure_limt' is not known; expected a word of the job",
        ),
    ],
)
def test_a_box_of_the_joint_record_names_what_exists(old: str, new: str, said: str, content: Path) -> None:
    """A box is filled at a step, beside a value, a work rule or a word of the job."""
    line = change(content, RECORD, old, new)
    told = refusal(content)
    assert len(told) == 1
    assert told[0].startswith(f"{RECORD}:{line}:")
    assert said in told[0]
    assert "did you mean '" in told[0]


def test_a_file_that_cannot_be_read_is_not_told_again_by_what_names_its_records(content: Path) -> None:
    """One broken sources file is one message, not one for each source."""
    (content / "sources.yaml").write_text("kind: sources\nsources: [x\n", encoding="utf-8")
    told = refusal(content)
    assert len(told) == 1
    assert told[0].startswith("sources.yaml:2:10: a bracket is opened and not closed")


def test_mistakes_of_many_files_come_out_in_one_run(content: Path) -> None:
    """Form, facts and prose are judged together."""
    change(content, FAMILY, "main: 3 in\n", "main: 3-1/8 in\n")
    change(content, PREPARE, "{{ peel.depth_min }}", "{{ peel.depth_mn }}")
    change(content, "glossary.yaml", "kind: glossary\n", "kind: glossary\nnote: x\n")
    change(content, RULES, "value: 0.009 in", "value: 9")
    assert [line.split(":")[0] for line in refusal(content)] == [FAMILY, "glossary.yaml", PREPARE, RULES]


def test_prose_is_left_alone_where_it_is_not_asked_for(content: Path) -> None:
    """`values` needs no procedures."""
    (content / PREPARE).write_text("broken", encoding="utf-8")
    assert load(content, prose=False).procedures == ()


def test_every_needed_rule_stands_in_the_starter_with_its_kind() -> None:
    """The list and the content agree."""
    catalog = load(CONTENT, prose=False)
    assert set(NEEDED_RULES) <= set(catalog.rules)
    for rule, kind in NEEDED_RULES.items():
        value = catalog.rules[rule].value
        assert isinstance(value, int) == (kind == "count"), rule


def test_the_known_figures_are_those_the_sheets_draw() -> None:
    """The names in prose and the drawings are one list."""
    from packgen.sheets.procedure import FIGURES

    assert sorted(prose_check.FIGURES) == sorted(FIGURES)
