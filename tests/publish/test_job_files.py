"""What `packgen job` leaves behind: which files, each whole by itself, the same values in each; hostile
words; guards.
"""

from __future__ import annotations

import csv
import html
import io
import json
import re
import shutil
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from packgen.publish.write import LIST
from packgen.register import COOL_BANDS, CORD_LENGTHS, REGISTER

ROOT = Path(__file__).parents[2]
JOBS = ["first-lateral", "repair-tie-in"]
FILES = {
    "crew-pack.pdf",
    "pocket-cards.pdf",
    "pocket-cards-screen.pdf",
    "case-label.pdf",
    "saddle-tag.pdf",
    "records-fillable.pdf",
    "index.html",
    "values.json",
    "values.csv",
}
TITLE = "First lateral at Harrow Lane, station 2+14"
Packgen = Callable[..., Any]
JobFile = Callable[..., Path]
every_job = pytest.mark.parametrize("job", JOBS)


def fold(text: str) -> str:
    """Text with every run of white space as one space."""
    return re.sub(r"\s+", " ", text).strip()


class Page(HTMLParser):
    """The text of an HTML page, its tags, and every address it names."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.handlers: list[str] = []
        self._silent = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self._silent += tag in ("style", "script")
        for name, value in attrs:
            if name in ("src", "href", "action", "data", "poster", "srcset"):
                self.addresses.append(value or "")
            if name.startswith("on"):
                self.handlers.append(name)

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("style", "script")

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.words.append(data)

    @property
    def text(self) -> str:
        """The words of the page, folded; no space where a tag alone parts two letters."""
        return fold("".join(self.words))


def page_of(path: Path) -> Page:
    """An HTML file, parsed."""
    return Page(path.read_text("utf-8"))


def snapshot(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


# --- files --------------------------------------------------------------------------------------------------


@every_job
def test_a_job_has_its_files_and_no_other(job: str, issued: dict[str, Any]) -> None:
    """In a folder of the job's id; nothing else lies about beside it."""
    assert {path.name for path in issued[job].folder.iterdir()} == {*FILES, LIST}
    assert {path.name for path in issued[job].folder.parent.iterdir()} == {"HL-0427", "HL-0431"}


@every_job
def test_each_pdf_stands_alone(job: str, issued: dict[str, Any]) -> None:
    """Fonts inside, no link to a file, no script, no attachment, a title and a language of its own."""
    for name in sorted(name for name in FILES if name.endswith(".pdf")):
        with pikepdf.open(issued[job].path(name)) as pdf:
            assert pdf.Root.Lang == "en", name
            assert str(pdf.docinfo["/Title"]).startswith(f"{issued[job].data['job']} revision 1"), name
            fields = set() if name == "records-fillable.pdf" else {"/AcroForm"}
            assert not {"/OpenAction", "/AA", *fields} & set(pdf.Root.keys()), name
            assert not pdf.attachments, name
            for page in pdf.pages:
                for note in page.get("/Annots", []):
                    assert "/A" not in note or "/GoTo" in str(note.A.get("/S")), name


@every_job
def test_the_html_file_stands_alone(job: str, issued: dict[str, Any]) -> None:
    """One file: no script, no handler, no address but places on the page and data of its own."""
    page = page_of(issued[job].path("index.html"))
    assert "script" not in page.tags
    assert "link" not in page.tags
    assert page.handlers == []
    files = {"crew-pack.pdf", "pocket-cards.pdf", "pocket-cards-screen.pdf", "values.json", "values.csv"}
    outside = [each for each in page.addresses if not each.startswith(("#", "data:")) and each not in files]
    assert outside == []
    source = issued[job].path("index.html").read_text("utf-8")
    assert re.findall(r"url\((?![\"']?(?:#|data:))|@import|https?://(?!www\.w3\.org)", source) == []


@every_job
def test_html_anchors_lead_somewhere(job: str, issued: dict[str, Any]) -> None:
    """Every link to a place on the page has its place, and no id stands twice."""
    source = issued[job].path("index.html").read_text("utf-8")
    ids = re.findall(r'\bid="([^"]+)"', source)
    assert len(ids) == len(set(ids))
    assert {link[1:] for link in page_of(issued[job].path("index.html")).addresses if link[:1] == "#"} <= set(
        ids
    )


@every_job
def test_every_face_says_job_revision_code_and_its_number(job: str, issued: dict[str, Any]) -> None:
    """In the foot of each page: "n of m" in order, the demo stamp, and DRAFT only where nobody approved."""
    data = issued[job].data
    for name, word in (("crew-pack.pdf", "page"), ("pocket-cards-screen.pdf", "face")):
        pages = issued[job].pages(name)
        for number, page in enumerate(pages, 1):
            foot = fold("\n".join(page.splitlines()[-2:]))
            assert "DEMONSTRATION DATA – NOT FOR FIELD USE" in foot, (name, number)
            assert ("DRAFT" in foot) == (job == "first-lateral"), (name, number)
            assert f"{data['job']} revision 1 · {data['code']}" in foot, (name, number)
            assert foot.endswith(f"{word} {number} of {len(pages)}"), (name, number)


@every_job
def test_every_card_face_is_on_the_imposed_sheets_once(job: str, issued: dict[str, Any]) -> None:
    """Four to a sheet behind the print-first page; the words of each face are those of the screen file."""
    imposed, screen = issued[job].folded("pocket-cards.pdf"), issued[job].pages("pocket-cards-screen.pdf")
    for number, page in enumerate(screen, 1):
        assert imposed.count(f"face {number} of {len(screen)}") == 1
        assert fold(page) in imposed, number
    assert "Read before printing" in issued[job].pages("pocket-cards.pdf")[0]


# --- the same values
# ------------------------------------------------------------------------------------------


@every_job
def test_json_and_csv_hold_the_same(job: str, issued: dict[str, Any]) -> None:
    """Names in order, numbers to the last digit, texts, kinds, sources; the joint stands first."""
    data = issued[job].data
    rows = list(csv.DictReader(io.StringIO(issued[job].path("values.csv").read_text("utf-8"))))
    assert list(rows[0]) == ["joint", "name", "value", "unit", "text", "kind", "working", "sources"]
    assert [row["name"] for row in rows] == list(issued[job].values)
    for row in rows:
        value = issued[job].values[row["name"]]
        assert row["joint"] == data["joints"][0]["id"]
        assert row["value"] == ("" if value["value"] is None else str(value["value"]))
        assert [row[key] for key in ("unit", "text", "kind")] == [
            value[key] for key in ("unit", "text", "kind")
        ]
        assert row["sources"] == "; ".join(value["sources"])
        assert bool(row["working"]) == (value["working"] is not None)


@every_job
def test_the_json_has_the_form_it_promises(job: str, issued: dict[str, Any]) -> None:
    """Keys of job, joint and value; kinds and directions; a blank has no number; worked values say how."""
    data = issued[job].data
    assert list(data) == ["job", "revision", "code", "date", "joints"]
    [joint] = data["joints"]
    assert list(joint) == ["id", "main", "lateral", "family", "verdict", "reasons", "values"]
    assert (joint["verdict"], joint["reasons"]) == ("permitted", [])
    for name, value in joint["values"].items():
        assert list(value) == ["value", "unit", "text", "kind", "direction", "working", "sources"], name
        assert value["direction"] in ("up", "down", "nearest"), name
        assert value["sources"], name
        assert (value["kind"] == "worked") == (value["working"] is not None), name
        assert (value["kind"] == "blank") == (value["value"] is None) == (value["text"] == ""), name
    assert [name for name, value in joint["values"].items() if value["kind"] == "blank"] == ["clamp.torque"]


@every_job
def test_every_value_stands_in_pack_and_page_with_its_name(job: str, issued: dict[str, Any]) -> None:
    """Each text of values.json is found on the pack's values sheet and in the HTML file, as often as it
    should; the job's cord once, and what the engineer alone reads in the workings.
    """
    pages = issued[job].pages("crew-pack.pdf")
    sheet = fold("\n".join(page for page in pages if page.startswith("Values ")))
    workings = fold("\n".join(page for page in pages if page.startswith("Workings ")))
    page = page_of(issued[job].path("index.html")).text
    values = {
        name: value["text"]
        for name, value in issued[job].values.items()
        if value["text"] and not name.startswith((CORD_LENGTHS, COOL_BANDS))
    }
    engineers = {name: text for name, text in values.items() if REGISTER[name].engineer}
    assert list(engineers) == [
        "clamp.torque_guidance", "clamp.torque_limit", "cool.melt_depth_fitting", "cool.melt_depth_pipe",
    ]  # fmt: skip
    for text in engineers.values():
        assert text in workings.split("For the engineer")[1] and text in page, text
    for words in ("Torque that seats", "Torque that screw or lug bears"):
        assert words not in sheet
    texts = [text for name, text in values.items() if name not in engineers]
    for text in set(texts):
        assert sheet.count(text) >= texts.count(text), text
        assert page.count(text) >= texts.count(text), text
    # The one blank is a box to fill in, not a gap.
    assert "Clamp torque ENTER" in sheet


KEY_VALUES = (
    "peel.depth_min",
    "peel.depth_max",
    "gap.feeler",
    "clamp.method",
    "fuse.time",
    "fuse.voltage",
    "fuse.terminal",
    "cool.clamp_time",
    "cool.pressure_wait",
    "cool.tap_wait",
    "tap.hole_saw",
    "tap.travel_set",
    "tap.depth_mark",
    "joint.pressure_max",
)


@pytest.mark.parametrize("file", ["pocket-cards-screen.pdf", "pocket-cards.pdf"])
@every_job
def test_the_key_values_stand_on_the_cards(job: str, file: str, issued: dict[str, Any]) -> None:
    """The value faces of a card set: both unit systems, one under the other."""
    text = issued[job].folded(file)
    names = (*KEY_VALUES, *(("squeeze.distance_min", "squeeze.gap_stop") if job == "repair-tie-in" else ()))
    for name in names:
        printed = issued[job].values[name]["text"]
        assert printed.replace(" [", " ").removesuffix("]") in text, name


# --- one run, several jobs
# ------------------------------------------------------------------------------------


@pytest.mark.usefixtures("one_catalog")
def test_a_refused_job_writes_nothing_and_still_answers_in_json(
    packgen: Packgen, job_file: JobFile, tmp_path: Path
) -> None:
    """Exit code 1; reasons and cures on standard error and, as data, on standard output."""
    file = job_file(("state: dry", "state: live"))
    ran = packgen("job", file, "--output", tmp_path / "build", "--format", "json")
    assert ran.code == 1
    data = json.loads(ran.out)
    [joint] = data["joints"]
    assert (data["job"], joint["verdict"]) == ("HL-0427", "refused")
    assert [reason["what"] for reason in joint["reasons"]] == ["open drill on a live main"]
    assert "isolate the main" in joint["reasons"][0]["cure"]
    assert "tap.hole_saw" in joint["values"]
    assert "open drill on a live main; isolate the main" in ran.err
    assert not (tmp_path / "build").exists()


@pytest.mark.usefixtures("light")
def test_a_refused_job_leaves_the_older_pack_where_it_was(
    packgen: Packgen, job_file: JobFile, tmp_path: Path
) -> None:
    """What is refused today does not take away what was issued yesterday."""
    output = tmp_path / "build"
    assert packgen("job", job_file(), "--output", output).code == 0
    before = snapshot(output)
    assert before
    assert packgen("job", job_file(("state: dry", "state: live")), "--output", output).code == 1
    assert snapshot(output) == before


@pytest.mark.usefixtures("light")
def test_a_broken_job_beside_a_good_one_does_not_stop_it(
    packgen: Packgen, job_file: JobFile, tmp_path: Path
) -> None:
    """The good one is issued, the broken, the refused and the missing one are told, and the exit code says
    so.
    """
    broken = job_file(("contents: water", "contents: watr"), ("id: HL-0427", "id: HL-1"), name="broken")
    good = job_file(("id: HL-0427", "id: HL-2"), name="good")
    refused = job_file(("state: dry", "state: live"), ("id: HL-0427", "id: HL-3"), name="refused")
    output = tmp_path / "build"
    ran = packgen("job", broken, good, refused, "--output", output)
    assert ran.code == 1
    assert [path.name for path in (output / "jobs").iterdir()] == ["HL-2"]
    assert "did you mean 'water'?" in ran.err
    assert "job HL-3 is refused; nothing was written" in ran.err
    assert ran.out.startswith("job HL-2 revision 1, code ")
    assert packgen("job", good, tmp_path / "none.yaml", "--output", output).code == 2


@pytest.mark.usefixtures("light")
def test_several_jobs_answer_with_a_list(packgen: Packgen, job_file: JobFile, tmp_path: Path) -> None:
    """With --format json: a list in the order asked for; one job alone is no list."""
    first, second = job_file(name="a"), job_file(of="repair-tie-in", name="b")
    ran = packgen("job", second, first, "--output", tmp_path / "build", "--format", "json")
    assert [data["job"] for data in json.loads(ran.out)] == ["HL-0431", "HL-0427"]
    ran = packgen("job", first, "--output", tmp_path / "build", "--format", "json")
    assert json.loads(ran.out)["job"] == "HL-0427"


@pytest.mark.usefixtures("light")
def test_a_job_with_a_folder_in_its_id_is_refused(
    packgen: Packgen, job_file: JobFile, tmp_path: Path
) -> None:
    """No id leads out of the output folder, whatever the system calls its folders."""
    output = tmp_path / "inner" / "build"
    wrong = ("../HL", "a/b", "..", ".", "/tmp/x", "a\\b", "C:x", "con", "''", "a" * 32)
    files = [job_file(("id: HL-0427", f"id: {each}"), name=f"job{at}") for at, each in enumerate(wrong)]
    ran = packgen("job", *files, "--output", output)
    assert ran.code == 1
    told = ran.err.splitlines()
    assert len(told) == len(wrong)
    for file, line in zip(files, told, strict=True):
        assert re.match(rf"error: {re.escape(str(file))}:\d+:\d+: id: ", line), line
    assert {path.name for path in tmp_path.iterdir()} == {file.name for file in files}


@pytest.mark.usefixtures("light")
def test_quiet_says_nothing_but_errors(packgen: Packgen, job_file: JobFile, tmp_path: Path) -> None:
    """A script hears nothing when all went well, and the refusal when not."""
    output = tmp_path / "build"
    ran = packgen("job", job_file(), "--output", output, "--quiet")
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    ran = packgen("job", job_file(("state: dry", "state: live")), "--output", output, "--quiet")
    assert (ran.code, ran.out) == (1, "")
    assert "open drill on a live main" in ran.err


# --- hostile words
# --------------------------------------------------------------------------------------------

# Each stands in another field of the job. Two single quotes are how YAML writes one inside single quotes.
HOSTILE = {
    "title": "<b>x</b><script>alert(1)</script> {{ 7*7 }}",
    "issued_by": "}</style> * { color: red } <style> {% raw %}",
    "fuser": "{{ tap.hole_saw }} &lt;i&gt; &amp; {{ safety: hot-melt }}",
    "checker": "*star* _under_ [a](b) # `code` {: .hold }",
    "reference": 'url(file:///etc/passwd) @import "x" ]]> <!--',
}


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory, packgen_process: Callable[..., Any]) -> Path:
    """The folder of a job whose every free word is hostile."""
    folder = tmp_path_factory.mktemp("hostile")
    text = (ROOT / "content" / "jobs" / "first-lateral.yaml").read_text("utf-8")
    for old, new in (
        (TITLE, f"'{HOSTILE['title']}'"),
        ("issued_by: field training", f"issued_by: '{HOSTILE['issued_by']}'"),
        ("role: fuser 1", f"role: '{HOSTILE['fuser']}'"),
        ("role: checker 1", f"role: '{HOSTILE['checker']}'"),
        (
            "# approved: {role: field engineer, date: 2026-05-10, reference: PQ-12}",
            f"approved: {{role: engineer, date: 2026-05-10, reference: '{HOSTILE['reference']}'}} #",
        ),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    (folder / "job.yaml").write_text(text, "utf-8")
    ran = packgen_process("job", "job.yaml", cwd=folder)
    assert ran.code == 0, ran.err
    return folder / "build" / "jobs" / "HL-0427"


@pytest.mark.parametrize("words", HOSTILE.values(), ids=HOSTILE)
def test_hostile_words_print_as_typed(
    words: str, hostile: Path, read_pages: Callable[[Path], tuple[str, ...]]
) -> None:
    """HTML, Jinja, CSS, Markdown and slots are words: letter for letter in the PDF and in the page's text."""
    assert fold(words) in fold(" ".join(read_pages(hostile / "crew-pack.pdf")[:3]))
    assert fold(words) in page_of(hostile / "index.html").text
    source = (hostile / "index.html").read_text("utf-8")
    assert html.escape(words, quote=False) in source.replace("&#34;", '"').replace("&#39;", "'").replace(
        "&quot;", '"'
    )


def test_hostile_words_do_nothing(hostile: Path, issued: dict[str, Any]) -> None:
    """The page has the tags of an ordinary job and one style; the cards and the values are no others."""
    page, ordinary = page_of(hostile / "index.html"), page_of(issued["first-lateral"].path("index.html"))
    assert sorted(set(page.tags)) == sorted(set(ordinary.tags))
    assert page.tags.count("style") == ordinary.tags.count("style")
    assert "script" not in page.tags
    assert "49" not in page.text[: page.text.index("Values")]
    values = json.loads((hostile / "values.json").read_text("utf-8"))["joints"][0]["values"]
    assert values == issued["first-lateral"].values


@pytest.mark.usefixtures("one_catalog")
@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("turned \u202e round", "U+202E"),
        ("zero\u200bwidth", "U+200B"),
        ("next\u0085line", "U+0085"),
        ("isolated \u2067 text", "U+2067"),
    ],
)
def test_hidden_characters_are_refused(
    words: str, told: str, packgen: Packgen, job_file: JobFile, tmp_path: Path
) -> None:
    """A character nobody sees can turn a number round: it is named, with file and line."""
    escaped = words.encode("unicode-escape").decode()
    ran = packgen("job", job_file((TITLE, f'"{escaped}"')), "--output", tmp_path / "build")
    assert ran.code == 1
    assert re.match(r"error: \S+/job\.yaml:\d+:\d+: title: .*" + re.escape(told), ran.err), ran.err
    assert not (tmp_path / "build").exists()


@pytest.mark.usefixtures("one_catalog")
@pytest.mark.parametrize("words", ["main 😀", "漢字 lane", "شارع", "ﬁne"])
def test_a_character_the_face_does_not_have_is_refused(
    words: str, packgen: Packgen, job_file: JobFile, tmp_path: Path
) -> None:
    """Rather a sentence than a square on paper, or a face nobody chose."""
    ran = packgen("job", job_file((TITLE, words)), "--output", tmp_path / "build", "--workers", "1")
    assert ran.code == 1
    assert ran.err.startswith("error: ")
    assert "for which the printed face has no sign" in ran.err
    assert words in ran.err
    assert not (tmp_path / "build").exists()


@pytest.mark.usefixtures("cover_only")
def test_a_word_too_long_for_the_page_is_refused(packgen: Packgen, job_file: JobFile, tmp_path: Path) -> None:
    """Nothing runs off the paper."""
    ran = packgen("job", job_file((TITLE, "W" * 90)), "--output", tmp_path / "build", "--workers", "1")
    assert ran.code == 1
    assert "W" * 30 in ran.err
    assert not (tmp_path / "build").exists()


# --- guards at work: content of one's own in place of the starter's
# ---------------------------------------------


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the starter's content that stands in its place: the current folder's own."""
    shutil.copytree(ROOT / "content", tmp_path / "content")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "content"


def doctor(path: Path, *changes: tuple[str, str]) -> None:
    """Change a file of the copy."""
    text = path.read_text("utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")


def test_a_step_too_long_for_its_face_is_refused(own: Path, packgen: Packgen, tmp_path: Path) -> None:
    """Type never shrinks and nothing is cut off: the sheet and the words are named, with the cure."""
    long = "Press start, " + "and look at the saddle, the clamp and the cable again, " * 60 + "then wait."
    doctor(own / "procedures" / "en" / "power-and-fuse.md", ("Press start.", long))
    ran = packgen(
        "job", own / "jobs" / "first-lateral.yaml", "--output", tmp_path / "build", "--workers", "1"
    )
    assert ran.code == 1
    assert "Press start, and look" in ran.err
    assert "Power and fuse" in ran.err or "power-and-fuse.md" in ran.err
    assert not (tmp_path / "build").exists()


def test_a_value_that_is_absent_drops_its_step_and_the_cover_says_so(
    own: Path, packgen: Packgen, tmp_path: Path, read_pages: Callable[[Path], tuple[str, ...]]
) -> None:
    """No outlet height: no depth mark and no room beyond the outlet; their steps are left out of pack and
    cards, each is told, all other steps keep their numbers.
    """
    doctor(own / "fittings" / "demo-saddle-screw.yaml", (", outlet_height: 80 mm", ""))
    job = own / "jobs" / "first-lateral.yaml"
    ran = packgen("job", job, "--output", tmp_path / "build", "--workers", "1", "--format", "json")
    assert ran.code == 0, ran.err
    values = json.loads(ran.out)["joints"][0]["values"]
    assert "tap.depth_mark" not in values
    assert "tap.travel_set" in values
    folder = tmp_path / "build" / "jobs" / "HL-0427"
    cover = fold(" ".join(read_pages(folder / "crew-pack.pdf")[:2]))
    for name in ("crew-pack.pdf", "pocket-cards-screen.pdf", "index.html"):
        path = folder / name
        text = page_of(path).text if name == "index.html" else fold(" ".join(read_pages(path)))
        assert "up the shank from the teeth" not in text, name
        assert "Set the drill to stop at" in text, name
    dropped = re.findall(r"Step (\d+) is left out: nothing here gives ([^.]*)\.", cover)
    mark = "Depth mark up the shank"
    assert [name for _, name in dropped] == ["Free ground beyond the main at the outlet", mark]
    number = int(dropped[1][0])
    pack = fold(" ".join(read_pages(folder / "crew-pack.pdf")))
    assert f" {number - 1} Set the drill to stop at" in pack
    assert f" {number + 1} WITNESS A second person has read saw" in pack
    assert f" {number} Depth mark" not in pack
    for left_out, _ in dropped:
        assert not re.search(
            rf" {left_out} [A-Z]", pack.split("Permitted")[1].split("Workings")[0]
        )


def test_a_gate_whose_value_is_absent_refuses_the_pack(own: Path, packgen: Packgen, tmp_path: Path) -> None:
    """A hold point is never dropped: no pack, with the gate's name, the value and the cure."""
    doctor(own / "fittings" / "demo-saddle-screw.yaml", (", outlet_height: 80 mm", ""))
    doctor(
        own / "procedures" / "en" / "wait-test-cut-join.md",
        ("Coupon is in hand: one piece", "Mark is at {{ tap.depth_mark }}, coupon in hand: one piece"),
    )
    ran = packgen(
        "job", own / "jobs" / "first-lateral.yaml", "--output", tmp_path / "build", "--workers", "1"
    )
    assert ran.code == 1
    assert "tap.depth_mark" in ran.err
    assert "gate" in ran.err
    assert "word the gate without it" in ran.err
    assert re.search(r"wait-test-cut-join\.md:\d+", ran.err)
    assert not (tmp_path / "build").exists()


def test_a_label_without_drawing_data_still_gives_a_pack(
    own: Path,
    packgen: Packgen,
    tmp_path: Path,
    read_pages: Callable[[Path], tuple[str, ...]],
) -> None:
    """The plain label is enough: what hangs on drawing data is left off, what it states is all there; every
    file passes the guard.
    """
    path = own / "fittings" / "demo-saddle-screw.yaml"
    path.write_text(re.sub(r"\n    fitting: \{[^}]*\}", "", path.read_text("utf-8")), "utf-8")
    job = own / "jobs" / "first-lateral.yaml"
    ran = packgen("job", job, "--output", tmp_path / "build", "--workers", "1", "--format", "json")
    assert ran.code == 0, ran.err
    values = json.loads(ran.out)["joints"][0]["values"]
    gone = {
        "tap.depth_mark",
        "peel.zone_length",
        "gap.free_gap_max",
        "fitting.outlet_bore",
    }
    assert gone.isdisjoint(values)
    for name in ("tap.hole_saw", "tap.travel_set", "tap.travel_limit"):
        assert (values[name]["kind"], values[name]["value"]) == ("blank", None)
    kept = {"peel.depth_max", "gap.feeler", "fuse.time", "cool.tap_wait", "fuse.energy", "pipe.main.wall_min"}
    assert kept <= set(values)
    text = fold(" ".join(read_pages(tmp_path / "build" / "jobs" / "HL-0427" / "crew-pack.pdf")))
    assert "Display, label and this sheet agree: 85 s, 40 V, clamp time 15 min." in text
    assert "Fit hole saw ENTER" in text
    assert "Set the drill to stop at ENTER of travel from teeth contact." in text
    assert "Stop at ENTER of travel from teeth contact." in text
    assert "is left out: nothing here gives Peel zone, along." in text


def test_a_slot_that_names_nothing_is_told_with_file_and_line(own: Path, packgen: Packgen) -> None:
    """A wrong name in prose is a mistake of the content, found before any pack is made."""
    doctor(own / "procedures" / "en" / "power-and-fuse.md", ("{{ fuse.terminal }}", "{{ fuse.terminl }}"))
    ran = packgen("check")
    assert ran.code == 1
    assert re.search(r"power-and-fuse\.md:\d+.*fuse\.terminl.*did you mean 'fuse\.terminal'\?", ran.err), (
        ran.err
    )


def test_check_says_in_the_terminal_what_it_looked_at(own: Path, packgen: Packgen) -> None:
    """Here one family without jobs; the whole starter is looked at in tests/test_check.py."""
    for path in [*(own / "jobs").glob("*.yaml"), *(own / "fittings").glob("*.yaml")]:
        if path.stem != "demo-saddle-bolt":
            path.unlink()
    ran = packgen("check", "--format", "json")
    assert ran.code == 0, ran.out
    found = json.loads(ran.out)
    assert found["problems"] == []
    looked_at = found["looked_at"]
    assert (looked_at["families"], looked_at["jobs"]) == (1, 0)
    assert looked_at["combinations"] == looked_at["permitted"] == 20
