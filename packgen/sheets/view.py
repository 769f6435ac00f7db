"""One combination in view, and slots filled with its words.

In: a `Combination`, the words of a language, a unit choice. Out: spans for slots, values and rules.
Vocabulary: an *absent* value drops only what depends on it: the step or paragraph that holds its slot; a
gate is never dropped, so the pack is refused instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from packgen.calc.ledger import Value
from packgen.calc.request import Combination, Request
from packgen.calc.work_out import work_out
from packgen.errors import ContentError, Problem
from packgen.model.catalog import Catalog, Pipe, read_rule_value
from packgen.model.designation import Designation
from packgen.model.family_records import Pair
from packgen.model.job import Job, Joint, SupplyCord
from packgen.model.prose import Procedure, Run, Runs, Slot
from packgen.model.prose_records import OwnerBlank, value_names
from packgen.model.records import Contents
from packgen.register import COOL_BANDS, CORD_LENGTHS, conductor_size
from packgen.rounding import Units, plain
from packgen.sheets.blocks import Span, Spans, Tag, spans, words_of
from packgen.sheets.words import Words

# Combinations without a job that are worked out already, by family, main, lateral and contents.
Known = dict[tuple[str, Designation, Designation, Contents], Combination]


def known(combinations: Iterable[Combination]) -> Known:
    """Combinations without a job, to be shared by views so that none is worked out twice."""
    return {_key(combination.request): combination for combination in combinations}


def _key(request: Request) -> tuple[str, Designation, Designation, Contents]:
    """What a combination without a job depends on, under one catalogue."""
    return request.family.id, request.main.designation, request.lateral.designation, request.contents


@dataclass(frozen=True)
class View:
    """A combination as its sheets see it; `known` spares it from working out its family's others anew."""

    catalog: Catalog
    words: Words
    combination: Combination
    units: Units = "both"
    known: Known = field(default_factory=dict, compare=False)
    # Of a job's joint: its procedures, the numbers of its steps, which procedures the job has once, and the
    # ids of its steps that stand with another joint.
    standing: tuple[Procedure, ...] | None = None
    numbering: Mapping[str, int] | None = None
    shared: frozenset[str] = frozenset()
    elsewhere: frozenset[str] = frozenset()
    # By id of a joint of the job: a coupling's first step in the trench, a branch's step that it carries on.
    handovers: Mapping[str, int] = field(default_factory=dict)
    # By id of a shared procedure, the joint whose values fill most of it, where that is another one.
    fillers: Mapping[str, View] = field(default_factory=dict, compare=False)

    def filling(self, procedure: str) -> View:
        """The view whose values fill a procedure that stands with this joint."""
        return self.fillers.get(procedure, self)

    @property
    def request(self) -> Request:
        """What was asked for."""
        return self.combination.request

    @property
    def values(self) -> Mapping[str, Value]:
        """The values by name."""
        return self.combination.values

    @property
    def listed(self) -> Mapping[str, Value]:
        """The values of values sheet and workings: all but cords and bands, which have their own."""
        apart = (CORD_LENGTHS, COOL_BANDS)
        return {name: value for name, value in self.values.items() if not name.startswith(apart)}

    @cached_property
    def tag(self) -> Tag:
        """The size tag of this combination."""
        if self.request.is_coupling:
            return coupling_tag(self.request.lateral, self.words("cover.coupling"))
        return size_tag(self.request.main, self.request.lateral)

    def text(self, name: str) -> str:
        """A value's text; an empty string where it is absent or blank."""
        value = self.values.get(name)
        return value.text(self.units, self.request.first) if value else ""

    def label(self, name: str) -> str:
        """What a value is called; beside a table of times one fusion time is that at the reference alone."""
        if name == "fuse.time" and "fuse.time_compensation" in self.values:
            return self.words("values_sheet.time_at_reference")
        if self.request.is_coupling and name in self.words.group("coupling_values"):
            return self.words(f"coupling_values.{name}")
        return self.words(f"values.{name}")

    @cached_property
    def texts(self) -> dict[str, str]:
        """The text of every value that has one."""
        return {name: self.text(name) for name, value in self.values.items() if value.kind != "blank"}

    def numbers(self) -> dict[str, float]:
        """The number of every value that has one."""
        return {name: value.number for name, value in self.values.items() if value.number is not None}

    def value(self, name: str) -> Spans | None:
        """A value as spans; a blank as its box; None where it is absent."""
        value = self.values.get(name)
        if value is None:
            return None
        if value.kind == "blank":
            return (Span(self.words("blank.enter"), "blank"),)
        return spans(self.text(name), "strong" if value.words else "value")

    def rule(self, rule_id: str) -> Spans:
        """A work rule's value as spans: a quantity as a value, words as words."""
        rule = self.catalog.rule(rule_id)
        read = read_rule_value(rule.value)
        if read is None:
            return spans(str(rule.value), "strong")
        return spans(plain(read, self.units, rule.safe), "value")

    def job(self, key: str) -> str | None:
        """A word of the job, or None where there is no job or it does not say."""
        request, job, joint = self.request, self.request.job, self.request.joint
        if job is None or joint is None:
            most, own = self.text("joint.pressure_max"), self.words("job.own_procedure")
            saddle = self.words("job.saddle_sheets")
            without = {"carried_by": own, "carries": saddle, "pressure_limit": most}
            return without.get(key) or None
        generator, cord = job.equipment.generator, job.equipment.supply_cord
        facts = {
            "main": str(job.main), "contents": job.contents, "outlet": joint.outlet, "state": job.state,
            "station": joint.station,
            "pressure": plain(job.maximum_operating_pressure, self.units, "down"),
            "generator": str(generator) if generator else None,
            "valve": request.valve.title if request.valve else None,
            "drilling_machine": request.machine.title if request.machine else None,
            "test_plug": request.plug.title if request.plug else None,
            "pressure_limit": plain(job.maximum_operating_pressure, self.units, "down"),
            "side_outlet": joint.side_outlet,
            "carried_by": self._carried_by(job, joint), "carries": self._carries(joint),
            **self._isolation(job),
            "supply_cord": self._cord_text(cord) if cord else None,
        }  # fmt: skip
        return facts[key]

    def _cord_text(self, cord: SupplyCord) -> str:
        """Size, length and voltage of the job's supply cord."""
        return f"{conductor_size(cord.size)}, {plain(cord.length, self.units)}, {cord.voltage}"

    def _carried_by(self, job: Job, joint: Joint) -> str:
        """What carries a branch's lateral on: a coupling of this job, else its own written procedure."""
        carrier = next((each.id for each in job.joints if each.carries == joint.id), None)
        return self._joint_at("job.joint_from", carrier) if carrier else self.words("job.own_procedure")

    def _carries(self, joint: Joint) -> str:
        """The branch whose lateral a coupling carries on; where it is of no branch, the saddle's sheets."""
        branch = joint.carries
        return self._joint_at("job.joint_after", branch) if branch else self.words("job.saddle_sheets")

    def _joint_at(self, key: str, joint: str) -> str:
        """Another joint of the job and the step at which it takes the work over, where that is known."""
        step = self.handovers.get(joint)
        if step is None:
            return self.words("job.joint", joint=joint)
        return self.words(key, joint=joint, step=str(step))

    def _isolation(self, job: Job) -> dict[str, str | None]:
        """Where the main is closed, in order, and how long customers may be without."""
        order = (job.isolation.order or () if job.isolation else ())[:2]
        outage = job.isolation.outage if job.isolation else None
        places: tuple[str | None, ...] = (*order, None, None)
        return {
            "close_first": places[0], "close_second": places[1],
            "outage": plain(outage, self.units, "down") if outage else None,
        }  # fmt: skip

    def named(self, name: str) -> str:
        """What a name in wanted words stands for: a work rule, a word of the job or a value.

        An empty string where it is absent or blank.
        """
        form, _, key = name.rpartition(":")
        if form == "rule":
            return words_of(self.rule(key))
        return (self.job(key) or "") if form == "job" else self.text(name)

    def has_stated(self, blank: OwnerBlank) -> bool:
        """Whether this joint has the value that stands in for an owner's number: then no box is needed."""
        value = self.values.get(blank.value or "")
        return value is not None and value.kind != "blank"

    def slot(self, slot: Slot) -> Spans | None:
        """A slot's spans, or None where its value is absent."""
        name = slot.names[0]
        if slot.form == "rule":
            return self.rule(name)
        if slot.form == "owner":
            blank = self.catalog.owner_blanks[name]
            return self.value(blank.value or "") if self.has_stated(blank) else spans(blank.text, "strong")
        if slot.form == "job":
            found = self.job(name)
            return spans(found, "value") if found else None
        return self.value(name)

    def fill(self, runs: Runs) -> Spans | None:
        """Runs with their slots filled, or None where one is absent."""
        filled: list[Span] = []
        for run in runs:
            made = self.slot(run.slot) if run.slot else (_plain(run),)
            if made is None:
                return None
            filled += made
        return tuple(filled)

    def must_fill(self, runs: Runs, slot_owner: str) -> Spans:
        """As `fill`, but an absent value refuses the pack: the words stand at a gate, never dropped."""
        filled = self.fill(runs)
        if filled is None:
            absent = next(run.slot for run in runs if run.slot and self.slot(run.slot) is None)
            what = f"the gate {slot_owner!r} needs {absent.names[0]}, which this pair does not have"
            raise ContentError(
                [
                    Problem(
                        absent.place, what, cure="state it in the family's file, or word the gate without it"
                    )
                ]
            )
        return filled

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """The family's pairs of this combination's size systems: those its tables of sizes compare."""
        family, request = self.request.family, self.request
        systems = (request.main.table.system, request.lateral.table.system)
        return tuple(
            pair for pair in family.pairs if tuple(system for _, system in family.ends(pair)) == systems
        )

    def sibling(self, pair: Pair) -> View | None:
        """The same view for another of `pairs`, with the same contents at the same DR and material.

        None where it is refused, or where its main is not made in this DR.
        """
        catalog, request = self.catalog, self.request
        if pair == request.pair:
            return None if self.combination.reasons else self
        (main_size, _), (lateral_size, _) = request.family.ends(pair)
        try:
            main = _resized(catalog, request.main, main_size)
            lateral = _resized(catalog, request.lateral, lateral_size)
        except ContentError:
            return None
        asked = Request(
            catalog, main, lateral, request.family, units=request.units, wanted_contents=request.contents
        )
        combination = self.known.get(_key(asked)) or work_out(asked)
        self.known[_key(asked)] = combination
        return None if combination.reasons else View(catalog, self.words, combination, self.units)


def wanted_text(view: View, words: str) -> str:
    """What a box should hold, its names replaced by their texts; nothing where one has none."""
    names = value_names(words)
    texts = {name: view.named(name) for name in names}
    if not all(texts.values()):
        return ""
    for name in sorted(names, key=len, reverse=True):
        words = words.replace(name, texts[name])
    return words


def first_wanted(view: View, wordings: Sequence[str]) -> str:
    """The first of some wordings whose values a joint has; nothing where it has those of none."""
    return next((text for text in (wanted_text(view, each) for each in wordings) if text), "")


def pair_sizes(view: View, pair: Pair) -> dict[str, str]:
    """The sizes of a pair as words: a system only where main and lateral differ in it."""
    (main, system), (lateral, other) = view.request.family.ends(pair)
    if system == other:
        return {"main": main, "lateral": lateral}
    return {"main": f"{main} {system}", "lateral": f"{lateral} {other}"}


def _plain(run: Run) -> Span:
    """Authored words."""
    return Span(run.text, "strong" if run.strong else "plain")


def _resized(catalog: Catalog, pipe: Pipe, size: str) -> Pipe:
    """The same pipe in another size; its standard is left out, since it may not hold that size."""
    from dataclasses import replace

    return catalog.pipe(replace(pipe.designation, size=size, standard=None))


def coupling_tag(pipe: Pipe, word: str) -> Tag:
    """The size tag of a coupling: the one size it joins."""
    named = pipe.designation
    parts = (named.system, named.ratio, named.material)
    return Tag(f"{named.size} {word}", " ".join(part for part in parts if part))


def size_tag(main: Pipe, lateral: Pipe) -> Tag:
    """The size tag: lateral on main, then system, DR and material."""
    a, b = main.designation, lateral.designation
    sizes = f"{b.size} on {a.size}" if a.system == b.system else f"{b.short} on {a.short}"
    return Tag(sizes, " ".join(part for part in (a.system, a.ratio, a.material) if part))
