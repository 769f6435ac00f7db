"""The sheets that lead a pack: cover, values, fit check, and the value blocks of a card.

In: a `View`. Out: blocks and sheets. Vocabulary: a *blank* is listed on the cover, so that nobody finds
it first in the trench.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from packgen.calc.cool_values import WAITS
from packgen.calc.ledger import Value
from packgen.calc.request import Check
from packgen.model.catalog import Folder
from packgen.model.job import Job, Joint
from packgen.register import CORD_LENGTHS
from packgen.rounding import plain
from packgen.sheets.blocks import (
    Block,
    Box,
    Boxes,
    Cell,
    Cells,
    Code,
    Section,
    Sheet,
    Spans,
    Table,
    Tag,
    Why,
    spans,
)
from packgen.sheets.measure import whole
from packgen.sheets.standing import On, applicable, left_out
from packgen.sheets.view import View, first_wanted

# The values a crew looks for first, in the order of the work.
KEY_VALUES = (
    "peel.depth_min", "peel.depth_max", "gap.feeler", "clamp.method", "clamp.torque", "clamp.stop_mark",
    "socket.insertion_depth", "socket.peel_length", "socket.out_of_round_max",
    "fuse.time", "fuse.voltage", "fuse.terminal", "cool.clamp_time", "cool.pressure_wait", "cool.tap_wait",
    "tap.hole_saw", "tap.travel_set", "tap.depth_mark", "tap.least_bore", "tap.stroke_min",
    "tap.cutter_turns", "tap.cutter_travel",
    "squeeze.distance_min", "squeeze.gap_stop", "joint.pressure_max",
)  # fmt: skip

# Always among them: the steps name the job's own pressure, which is never above it.
_ALWAYS = "joint.pressure_max"
# On a hotter day these are too short.
_STATED_WAITS = tuple(f"cool.{wait}" for wait in WAITS)


def cover(
    views: Sequence[View], job: Job, code: Code, folders: Sequence[Folder], title: str, tag: Tag, date: str
) -> Sheet:
    """The cover: what the job is, what is still blank, where the work stops, who answers, whom to call."""
    words = views[0].words
    blocks: list[Block] = [Section(job.title), _scope(views, job, date)]
    blocks += [Section(words("cover.people")), _people(views[0], job)]
    blocks += cover_end(views, code, folders)
    return Sheet("cover", title, tag, tuple(blocks))


def cover_end(views: Sequence[View], code: Code, folders: Sequence[Folder]) -> Iterator[Block]:
    """What every cover ends with: whom to call, the code, blanks, where the work stops, the content."""
    words = views[0].words
    yield from (Section(words("cover.emergency")), _emergency(views[0]), code)
    yield from (Section(words("cover.blanks")), *_blanks(views))
    yield Section(words("cover.holds"))
    yield Why(spans(words("cover.holds_at", sheet=words("sheets.holds"))))
    yield from (Section(words("cover.content")), *_content(views[0], folders))
    yield Why(spans(words("cover.governs")), small=True)


def _scope(views: Sequence[View], job: Job, date: str) -> Table:
    """What the job is, in rows."""
    words, units = views[0].words, views[0].units
    isolation = ""
    if job.isolation:
        sides, by = words(f"cover.sides_{job.isolation.sides}"), job.isolation.by.replace("-", "_")
        isolation = words(f"cover.by_{by}", sides=sides)
    rows = [
        ("cover.job", f"{job.id}, {words('cover.revision')} {job.revision}"),
        ("cover.date", date),
        ("cover.issued_by", job.issued_by), ("cover.main", str(job.main)), ("cover.contents", job.contents),
        ("cover.pressure", plain(job.maximum_operating_pressure, units, "down")),
        ("cover.state", words(f"state.{job.state}") + isolation),
    ]  # fmt: skip
    rows += [
        ("cover.joint", _joint_text(view, joint)) for view, joint in zip(views, job.joints, strict=True)
    ]  # fmt: skip
    for key, quantity in (
        ("cover.ambient", job.site.ambient),
        ("cover.humidity", job.site.humidity),
        ("cover.soil", job.site.soil_cover),
        ("cover.altitude", job.site.altitude),
    ):
        if quantity is not None:
            rows.append((key, plain(quantity, units)))
    rows += [
        (
            "cover.fuser",
            words("cover.fuser_text", role=job.fuser.role, until=job.fuser.qualified_until.isoformat()),
        )
    ]
    rows += [("cover.checker", job.checker.role)]
    body = tuple((spans(words(key)), spans(text, "strong")) for key, text in rows)
    return Table((spans(words("cover.what")), spans(words("cover.this_job"))), body, (0.32, 0.68))


def _joint_text(view: View, joint: Joint) -> str:
    """One joint in a line."""
    words, request = view.words, view.request
    parts = {"id": joint.id, "lateral": str(joint.lateral), "family": joint.family}
    if request.is_coupling:
        carries = words("cover.carries", joint=joint.carries) if joint.carries else ""
        return words("cover.coupling_text", carries=carries, **parts)
    return words("cover.joint_text", method=request.way, outlet=joint.outlet, **parts)


def _blanks(views: Sequence[View]) -> Iterator[Block]:
    """What nobody stated, and the steps left out for want of it."""
    words = views[0].words
    boxes = [_blank_box(view, value) for view in views for value in view.combination.blanks]
    missing = [line for view in views for line in _left_out(view, len(views))]
    if boxes:
        yield Boxes(tuple(boxes), heavy=True)
    for sentence in missing:
        yield Why(spans(sentence), small=True)
    if not boxes and not missing:
        yield Why(spans(words("cover.no_blanks")))
    yield Section(words("cover.owner_blanks"))
    yield Boxes(tuple(owner_boxes(views, "pack")), heavy=True)


def owner_boxes(views: Sequence[View], on: On) -> Iterator[Box]:
    """What the owner's rule states and the label does not: each number that steps name, the wait in heat.

    Parameters: `views` of the joints; `on`, where the steps stand.
    """
    words = views[0].words
    asked: dict[str, list[View]] = {}
    for view in views:
        here = [made for made in applicable(view) if on in made.head.on]
        slots = {slot.names[0] for made in here for slot in made.slots() if slot.form == "owner"}
        for name in slots:
            asked.setdefault(name, []).append(view)
    for blank in views[0].catalog.owner_blanks.values():
        lacking = [view for view in asked.get(blank.id, []) if not view.has_stated(blank)]
        limits = [(view, first_wanted(view, blank.wanted)) for view in lacking]
        # Limits that differ make a box for each joint: the greater one would be too much for the other.
        apart = len({limit for _, limit in limits}) > 1
        for view, limit in limits if apart else limits[:1]:
            label = of_joint(view, blank.label) if apart else blank.label
            yield Box(words("cover.owner_blank", label=label), limit or words("cover.owner_why"))
    stated, air = views[0].combination.number("cool.reference_temperature"), views[0].request.ambient
    entered = any(view.request.facts["heat"] == "entered" for view in views)
    if entered and stated is not None and air is not None and air.to("degC") > stated:
        label = words("cover.extra_wait", temperature=views[0].text("cool.reference_temperature"))
        yield Box(label, words("cover.extra_wait_why"))


def _left_out(view: View, joints: int) -> Iterator[str]:
    """Which steps are left out; where there are several joints, of which."""
    for sentence in left_out(view, "pack"):
        yield of_joint(view, sentence) if joints > 1 else sentence


def of_joint(view: View, text: str) -> str:
    """Words with the joint they are about."""
    joint = view.request.joint
    return view.words("sheets.of_joint", joint=joint.id, text=text) if joint else text


def _blank_box(view: View, value: Value) -> Box:
    """The box of one blank: the joint and the value, ENTER, and why it is blank."""
    joint = view.request.joint.id if view.request.joint else ""
    label = view.words("cover.blank_label", joint=joint, value=view.words(f"values.{value.name}"))
    return Box(label.strip(), value.sources[0])


def _people(view: View, job: Job) -> Boxes:
    """Prepared and approved."""
    words = view.words
    approved = words("cover.draft")
    if job.approved:
        approved = words(
            "cover.approved_text",
            role=job.approved.role,
            date=job.approved.date.isoformat(),
            reference=job.approved.reference,
        )
    return Boxes((Box(words("cover.prepared"), job.issued_by), Box(words("cover.approved"), approved)))


def _emergency(view: View) -> Boxes:
    """Whom to call, to be filled in before work."""
    words = view.words
    return Boxes(tuple(Box(label) for label in words.group("emergency").values()), heavy=True)


def _content(view: View, folders: Sequence[Folder]) -> Iterator[Block]:
    """Which content made this pack, and which work rules it quotes."""
    words = view.words
    for folder in folders:
        text = words(
            "cover.folder",
            title=folder.record.title,
            revision=str(folder.record.revision),
            digest=folder.digest,
        )
        yield Why(spans(text), small=True)


def values_sheet(view: View, *, engineer: bool = False) -> Sheet:
    """Every value with its kind and source, group by group, and the sources by number.

    What the engineer alone reads is left off a crew's sheet.
    """
    words = view.words
    head = tuple(spans(words(f"values_sheet.{key}")) for key in ("what", "value", "source"))
    sources = source_numbers(view)
    rows: list[tuple[Spans, ...]] = []
    group = ""
    for name, value in view.listed.items():
        if value.entry.engineer and not engineer:
            continue
        if name.rsplit(".", 1)[0] != group:
            group = name.rsplit(".", 1)[0]
            rows.append((spans(words(f"groups.{group.replace('.', '_')}"), "strong"), (), ()))
        numbers = ", ".join(str(sources[source]) for source in value.sources)
        origin = spans(f"{words(f'kind.{value.kind}')} {numbers}")
        rows.append((spans(view.label(name)), view.value(name) or (), origin))
    table = Table(head, tuple(rows), (0.42, 0.34, 0.24), small=True)
    listed = (Why(spans(f"{number}  {source}"), small=True) for source, number in sources.items())
    intro = Why(spans(words("values_sheet.intro")))
    return Sheet(
        "values",
        words("sheets.values"),
        view.tag,
        (intro, table, Section(words("values_sheet.sources")), *listed),
    )


def source_numbers(view: View) -> dict[str, int]:
    """The sources of a combination's values, numbered in the order they are first met."""
    sources: dict[str, int] = {}
    for name, value in view.values.items():
        if name.startswith(CORD_LENGTHS):
            continue
        for source in value.sources:
            sources.setdefault(source, len(sources) + 1)
    return sources


def fit_sheet(view: View) -> Sheet:
    """The fit check, row by row."""
    words = view.words
    head = tuple(spans(words(f"fit_sheet.{key}")) for key in ("question", "found", "limit", "verdict"))
    rows = tuple(_fit_row(view, row) for row in view.combination.checks)
    verdict = words(f"verdict.{view.combination.verdict}")
    blocks: list[Block] = [Section(verdict), Table(head, rows, (0.34, 0.24, 0.27, 0.15), small=True)]
    blocks += [Why(spans(str(reason))) for reason in view.combination.reasons]
    blocks.append(Why(spans(words("fit_sheet.note"))))
    return Sheet("fit", words("sheets.fit"), view.tag, tuple(blocks))


def _fit_row(view: View, row: Check) -> tuple[Spans, ...]:
    """One question: what was found, the limit, the verdict in a word."""
    words = view.words
    verdict = words(
        "fit_sheet.crew" if row.passed is None else "fit_sheet.good" if row.passed else "fit_sheet.refused"
    )
    return (spans(words(f"fit.{row.key}")), spans(row.found), spans(row.limit), spans(verdict, "strong"))


def _today(view: View, name: str) -> str:
    """The name of a wait as it is in the planned heat, where that is longer than the stated one."""
    hot, stated = view.combination.number(f"{name}_at"), view.combination.number(name)
    return f"{name}_at" if hot is not None and stated is not None and hot > stated else name


def key_values(view: View, names: Sequence[str] = KEY_VALUES) -> Cells:
    """The values a crew looks for first, as value blocks."""
    used = {slot.names[0] for procedure in applicable(view) for slot in procedure.slots()} | {_ALWAYS}
    return value_cells(view, [_today(view, name) for name in names if name in used])


def value_cells(view: View, names: Iterable[str]) -> Cells:
    """Values as value blocks, those that are absent left out."""
    cells = []
    for name in names:
        value = view.values.get(name)
        if value is not None:
            first, _, second = view.text(name).partition(" [")
            label, blank = _cell_label(view, name), value.kind == "blank"
            cells.append(Cell(label, first, second.rstrip("]"), blank=blank))
    return Cells(tuple(cells), view.words("blank.enter"))


def _cell_label(view: View, name: str) -> str:
    """What a value block is called; a stated wait with the temperature up to which it holds."""
    label, temperature = view.label(name), view.text("cool.reference_temperature")
    if name in _STATED_WAITS and temperature:
        return view.words("cards.wait_up_to", wait=label, temperature=whole(temperature))
    return label
