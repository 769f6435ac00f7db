"""Own content beside the packaged: what may be added, what may be replaced and what never."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from packgen.errors import ContentError, UsageError
from packgen.model.catalog import Catalog
from packgen.model.load import load, shown_path

CONTENT = Path(__file__).parents[2] / "content"
MARK = "kind: content folder\ntitle: Ours\nrevision: 1\ndate: 2026-05-01\n"
FAMILY = (CONTENT / "fittings" / "demo-saddle-screw.yaml").read_text(encoding="utf-8")
RULE = (
    "kind: work rules\napproved_by: chief engineer\nrules:\n"
    "  - id: {id}\n    question: How deep?\n    value: {value}\n"
    "    source: common-practice\n    revision: 2\n    review_by: 2027-01-01\n{more}"
)
SOURCE = "kind: sources\nsources:\n  - {id: our-manual, title: Our manual, standing: owner}\n"
# In the order of their files.
DEMO_FAMILIES = [
    "demo-coupling", "demo-saddle-bolt", "demo-saddle-screw", "demo-saddle-strap", "demo-tapping-saddle",
]  # fmt: skip


def own(folder: Path, **files: str) -> Path:
    """An own content folder with some files; in a name, __ stands for / and _ for a dot."""
    (folder / "packgen.yaml").write_text(MARK, encoding="utf-8")
    for name, text in files.items():
        path = folder / name.replace("__", "/").replace("_", ".")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def refusal(folder: Path) -> list[str]:
    """What is said of an own folder, its own name left out."""
    with pytest.raises(ContentError) as caught:
        load(folder)
    return [line.replace(f"{folder}/", "") for line in str(caught.value).splitlines()]


def family(family_id: str, more: str = "", *, demo: bool = True) -> str:
    """The demo family under another id."""
    text = FAMILY.replace("id: demo-saddle-screw", f"id: {family_id}\n{more}", 1)
    return text if demo else text.replace("data: demo\n", "", 1)


def test_the_starter_content_loads_whole() -> None:
    """Every file of it is read, and the folder is named with its digest."""
    catalog = load(CONTENT)
    assert len(catalog.procedures) >= 10
    assert list(catalog.families) == DEMO_FAMILIES
    (folder,) = catalog.folders
    assert folder.record.starter and len(folder.digest) == 12
    assert load(CONTENT).folders == catalog.folders


def test_without_a_folder_the_packaged_content_is_read(tmp_path: Path) -> None:
    """A current folder without content of its own makes no difference."""
    assert [folder.record.starter for folder in load(here=tmp_path).folders] == [True]


def test_an_own_family_is_added(tmp_path: Path) -> None:
    """Packaged facts always load; the own ones come beside them, sources of their own too."""
    text = family("our-saddle", demo=False).replace("source: demo-label", "source: our-manual")
    catalog = load(own(tmp_path, our_yaml=text, sources_yaml=SOURCE))
    assert list(catalog.families) == [*DEMO_FAMILIES, "our-saddle"]
    assert catalog.families["our-saddle"].data is None
    assert [folder.record.title for folder in catalog.folders] == ["packgen starter content", "Ours"]
    assert catalog.cite("our-manual") == "Our manual [owner]"


def test_a_packaged_id_is_refused_unless_it_says_why_it_replaces(tmp_path: Path) -> None:
    """Nothing is replaced by accident."""
    told = refusal(own(tmp_path, our_yaml=family("demo-saddle-screw")))
    cure = "give yours an id of its own, or write 'replaces: demo-saddle-screw' and 'why:' with the reason"
    assert told == [f"our.yaml:6:5: id: 'demo-saddle-screw' is the id of a packaged record; {cure}"]
    more = "replaces: demo-saddle-screw\n"
    assert len(refusal(own(tmp_path, our_yaml=family("demo-saddle-screw", more)))) == 1
    assert len(refusal(own(tmp_path, our_yaml=family("demo-saddle-screw", more + "why: '  '\n")))) == 1
    more = "replaces: another\nwhy: newer label\n"
    assert len(refusal(own(tmp_path, our_yaml=family("demo-saddle-screw", more)))) == 1


def test_a_packaged_family_is_replaced_with_a_reason(tmp_path: Path) -> None:
    """`replaces` and `why` together are enough."""
    more = "replaces: demo-saddle-screw\nwhy: newer label\n"
    text = family("demo-saddle-screw", more).replace("clamp_time: 15 min", "clamp_time: 16 min")
    catalog = load(own(tmp_path, our_yaml=text))
    replaced = catalog.families["demo-saddle-screw"]
    assert replaced.why == "newer label"
    assert str(replaced.pairs[0].cool.clamp_time) == "16 min"
    assert "our.yaml" in catalog.places["families", "demo-saddle-screw"].file


def test_the_demo_stamp_is_not_replaced(tmp_path: Path) -> None:
    """Invented data never lose their mark by being replaced."""
    more = "replaces: demo-saddle-screw\nwhy: newer label\n"
    told = refusal(own(tmp_path, our_yaml=family("demo-saddle-screw", more, demo=False)))
    assert len(told) == 1
    assert "the demo stamp of 'demo-saddle-screw' cannot be replaced; give yours an id of its own" in told[0]


def test_a_replacement_of_nothing_is_told(tmp_path: Path) -> None:
    """`replaces` that meets no packaged record is a slip, and the nearest id is offered."""
    told = refusal(
        own(tmp_path, our_yaml=family("demo-saddle-scrw", "replaces: demo-saddle-scrw\nwhy: newer\n"))
    )
    assert len(told) == 1
    assert "no packaged record has the id 'demo-saddle-scrw'; did you mean 'demo-saddle-screw'?" in told[0]


def test_an_own_rule_replaces_a_packaged_one(tmp_path: Path) -> None:
    """The value, the revision and the approving role are the owner's."""
    more = "    replaces: peel-depth-min\n    why: our standard\n"
    text = RULE.format(id="peel-depth-min", value="0.2 mm", more=more)
    catalog = load(own(tmp_path, rules_yaml=text))
    assert catalog.rule("peel-depth-min").value == "0.2 mm"
    assert catalog.rule("peel-depth-min").revision == 2
    assert catalog.approved_by["peel-depth-min"] == "chief engineer"
    assert catalog.approved_by["peel-depth-max"] != "chief engineer"
    assert catalog.rule_quantity("peel-depth-min", "mm") == 0.2


def test_an_own_rule_with_a_packaged_id_alone_is_refused(tmp_path: Path) -> None:
    """Line and column of the id."""
    told = refusal(own(tmp_path, rules_yaml=RULE.format(id="peel-depth-min", value="0.2 mm", more="")))
    assert len(told) == 1
    assert told[0].startswith("rules.yaml:4:9: rules[0].id: 'peel-depth-min' is the id of a packaged record")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        (
            "procedures/en/safety.yaml",
            "'traffic' is packaged (safety messages) and cannot be replaced; give yours an id",
        ),
        (
            "procedures/en/joint-record.yaml",
            "'joint record' is packaged (joint record) and cannot be replaced",
        ),
        (
            "procedures/en/prepare.md",
            "packaged procedures and their gates cannot be replaced: give yours an id of its own",
        ),
        ("sources.yaml", "cannot be replaced; give yours an id of its own"),
        ("pipes/ips.yaml", "'ips' is packaged (pipe table) and cannot be replaced"),
        ("materials.yaml", "is packaged (materials) and cannot be replaced"),
        ("materials.yaml", "temperature factors stand in another file already; take them out here"),
        ("tools/hole-saws.yaml", "is packaged (hole saws) and cannot be replaced"),
        ("glossary.yaml", "is packaged (glossary) and cannot be replaced"),
    ],
)
def test_what_carries_safety_or_a_standard_is_never_replaced(name: str, said: str, tmp_path: Path) -> None:
    """A copy of the packaged file in an own folder is refused record by record."""
    own(tmp_path)
    path = tmp_path / name
    path.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(CONTENT / name, path)
    assert any(said in line for line in refusal(tmp_path))


def test_a_second_table_of_a_size_system_is_refused(tmp_path: Path) -> None:
    """Another id does not let a pipe table in by the back door."""
    table = (CONTENT / "pipes" / "ips.yaml").read_text(encoding="utf-8").replace("id: ips", "id: our-ips")
    told = refusal(own(tmp_path, pipes_yaml=table))
    assert len(told) == 1
    assert (
        "a pipe table of IPS is read already; pipe tables cannot be replaced; take this file out" in told[0]
    )


def test_a_record_given_twice_in_one_folder_is_told_with_its_first_place(tmp_path: Path) -> None:
    """Two files of one folder cannot share an id."""
    told = refusal(own(tmp_path, a_yaml=family("our-saddle"), b_yaml=family("our-saddle")))
    assert len(told) == 1
    assert told[0].startswith("b.yaml:6:5: id: the id 'our-saddle' is given twice (first in ")
    assert "a.yaml:6:5: id); keep one" in told[0]


@pytest.mark.parametrize("name", ["nowhere", "empty", "file.txt"])
def test_a_folder_without_its_mark_is_wrong_use(name: str, tmp_path: Path) -> None:
    """The command line ends with 2, and the cure names the mark."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "file.txt").write_text("x")
    with pytest.raises(UsageError) as caught:
        load(tmp_path / name)
    assert caught.value.exit_code == 2
    assert str(caught.value).endswith("name the folder that holds packgen.yaml")


def copied(folder: Path) -> Path:
    """A copy of the starter content in a folder of its own."""
    shutil.copytree(CONTENT, folder / "content")
    return folder / "content"


def catalog_of(folder: Path) -> Catalog:
    """The catalogue as the command line would load it in a folder."""
    return load(here=folder)


def test_a_content_folder_marked_starter_is_read_in_place_of_the_packaged_one(tmp_path: Path) -> None:
    """A checkout works on its own files, never on two copies at once."""
    content = copied(tmp_path)
    path = content / "fittings" / "demo-saddle-screw.yaml"
    path.write_text(FAMILY.replace("four screws, hand tight", "five screws, hand tight"), encoding="utf-8")
    catalog = catalog_of(tmp_path)
    assert [folder.path for folder in catalog.folders] == [content]
    assert catalog.families["demo-saddle-screw"].every_pair.clamp.method == "five screws, hand tight"
    assert catalog.folders[0].digest != load(CONTENT).folders[0].digest


def test_a_content_folder_not_marked_starter_is_read_beside_the_packaged_one(tmp_path: Path) -> None:
    """Words in a comment are no mark."""
    (tmp_path / "content").mkdir()
    own(tmp_path / "content", our_yaml=family("our-saddle"))
    (tmp_path / "content" / "packgen.yaml").write_text(f"# `starter: true` is the starter's own\n{MARK}")
    catalog = catalog_of(tmp_path)
    assert len(catalog.folders) == 2
    assert list(catalog.families) == [*DEMO_FAMILIES, "our-saddle"]


def test_a_content_folder_without_a_mark_does_not_count(tmp_path: Path) -> None:
    """Some other folder of that name is left alone."""
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "notes.yaml").write_text("[broken")
    assert len(catalog_of(tmp_path).folders) == 1


def test_hidden_files_jobs_and_the_readme_are_no_facts(tmp_path: Path) -> None:
    """A version control folder, an editor's leavings and broken jobs do not stop the loader."""
    own(tmp_path, jobs__x_yaml="[broken", README_md="no front matter")
    for name in (".git", "deep"):
        (tmp_path / name).mkdir()
    (tmp_path / ".git" / "x.yaml").write_text("[broken")
    (tmp_path / "deep" / ".#x.yaml").symlink_to("nowhere")
    assert len(load(tmp_path).folders) == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            MARK.replace("content folder", "job"),
            "packgen.yaml:1:7: kind: packgen.yaml is of the kind 'job'; write 'kind",
        ),
        (MARK.replace("revision: 1\n", ""), "packgen.yaml:1:1: the key 'revision' is missing"),
        (MARK.replace("title", "titel"), "packgen.yaml:2:8: titel: the key 'titel' is not known here"),
        (
            MARK.replace("kind: content folder\n", ""),
            "packgen.yaml:1:1: kind: the key 'kind' is missing; expected one of",
        ),
        (MARK + "starter: yes\n", "packgen.yaml:5:10: starter: 'yes' would be read as true"),
        (
            MARK + "language: fr\n",
            "packgen.yaml:5:11: language: 'fr' is not a value packgen knows here; expected 'en'",
        ),
    ],
)
def test_a_mark_that_is_not_whole_is_told(text: str, said: str, tmp_path: Path) -> None:
    """The folder's own file is held to its keys."""
    own(tmp_path)
    (tmp_path / "packgen.yaml").write_text(text, encoding="utf-8")
    told = refusal(tmp_path)
    assert len(told) == 1
    assert said in told[0]


def test_strange_files_in_a_folder_are_told_all_in_one_run(tmp_path: Path) -> None:
    """A folder named like a file, a broken link, a large file, an unknown kind: one message each."""
    own(
        tmp_path,
        a_yaml="kind: fiting family\n",
        b_yaml="kind: {a: b}\n",
        c_yaml="",
        d_yaml="kind: job\n",
        e_yaml=MARK,
        f_yaml="kind: [x\n",
        g_md="no front matter\n",
    )
    (tmp_path / "h.yaml").mkdir()
    (tmp_path / "i.yaml").symlink_to("nowhere")
    (tmp_path / "j.yaml").write_bytes(b"a: 1\n" * 300_000)
    (tmp_path / "k.yaml").write_bytes(b"\xff\xfe")
    told = refusal(tmp_path)
    assert [line.split(":")[0] for line in told] == [f"{letter}.yaml" for letter in "abcdef"] + ["g.md"] + [
        f"{letter}.yaml" for letter in "hijk"
    ]
    assert "'fiting family' is no kind of file packgen knows" in told[0]
    assert "did you mean 'fitting family'?" in told[0]
    assert "a group of keys is no kind of file packgen knows" in told[1]
    assert "a job stands among the facts; move it to the folder jobs" in told[3]
    assert "only packgen.yaml at the top of the folder may be of this kind" in told[4]
    assert "is a folder; expected a text file" in told[7]
    assert "there is no such file" in told[8]


def test_paths_below_the_current_folder_are_shown_without_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Messages stay short, and no path makes a traceback."""
    monkeypatch.chdir(tmp_path)
    assert shown_path(tmp_path / "content" / "x.yaml") == "content/x.yaml"
    assert shown_path(Path("/elsewhere/x.yaml")) == "/elsewhere/x.yaml"
    (tmp_path / "loop").symlink_to("loop")
    assert shown_path(tmp_path / "loop").endswith("loop")
    assert "a" in shown_path(Path("a\0b"))
