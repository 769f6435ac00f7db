"""Files to one immutable catalogue.

In: the starter content (packaged, or a ./content marked `starter: true`) and at most one content folder of the user's own.
Out: a `Catalog`. Every problem of every file comes out in one run. Vocabulary: an own record may stand in place of a packaged one
only where it says `replaces: ID` and `why:`; sources, safety messages, the joint record and procedures are never replaced.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic import BaseModel

import packgen
from packgen.errors import ContentError, Place, Problem, Problems, UsageError, nearest
from packgen.model import prose_records, records
from packgen.model.catalog import Catalog, Folder
from packgen.model.job import Job
from packgen.model.prose import Procedure, read_procedure
from packgen.model.validate import validate
from packgen.model.yaml_reader import Document, read_text, read_yaml

# What a file of each kind holds: the record class, the key of its list (or "" for one record), the catalogue's name for it.
_KINDS: dict[str, tuple[type[BaseModel], str, str]] = {
    "content folder": (records.ContentFolder, "", "folder"),
    "sources": (records.Sources, "sources", "sources"),
    "pipe table": (records.PipeTable, "", "tables"),
    "materials": (records.Materials, "materials", "materials"),
    "work rules": (records.WorkRules, "rules", "rules"),
    "hole saws": (records.HoleSaws, "saws", "saws"),
    "fitting family": (records.Family, "", "families"),
    "safety messages": (prose_records.SafetyMessages, "messages", "safety"),
    "joint record": (prose_records.JointRecord, "", "joint_record"),
    "glossary": (prose_records.Glossary, "", "glossary"),
    "job": (Job, "", "job"),
}
_REPLACEABLE = {"rules", "families"}
NEEDED_RULES = (
    "peel-depth-min", "peel-depth-max", "peel-passes", "surface-loss", "peeled-zone", "peel-margin", "ovality", "feeler",
    "saw-clearance", "hole-share", "overtravel", "travel-margin", "squeeze-distance-diameters", "squeeze-distance",
    "squeeze-compression", "squeeze-wall", "squeeze-close-rate", "squeeze-release-rate", "spacing-saddle-to-saddle",
    "spacing-saddle-to-fitting", "spacing-saddle-to-pipe-end", "control-unit-window-min", "control-unit-window-max",
    "control-unit-output-tolerance",
)  # fmt: skip


@dataclass
class _Found:
    """What has been read so far."""

    items: dict[str, dict[str, Any]] = field(default_factory=lambda: {name: {} for _, _, name in _KINDS.values()})
    places: dict[tuple[str, str], Place] = field(default_factory=dict)
    documents: dict[tuple[str, str], tuple[Document, tuple[str | int, ...]]] = field(default_factory=dict)
    approved_by: dict[str, str] = field(default_factory=dict)
    factors: tuple[records.TemperatureFactor, ...] = ()
    procedures: dict[str, Procedure] = field(default_factory=dict)


def starter_folder() -> Path:
    """The starter content: inside the installed package, else beside it in a source checkout."""
    inside = Path(packgen.__file__).parent / "starter" / "content"
    return inside if inside.is_dir() else Path(packgen.__file__).parent.parent / "content"


def load(content: Path | None = None, *, prose: bool = True, here: Path | None = None) -> Catalog:
    """Load the catalogue.

    Parameters: `content`, a folder of the user's own (or None); `prose`, whether procedures are read too; `here`, the folder whose
    `content/` counts where `content` is None (the current one if absent). Raises `ContentError` with every problem found.
    """
    problems, found = Problems(), _Found()
    folders = []
    for path in _layers(content, here or Path.cwd()):
        folders.append(_read_folder(path, found, problems, prose))
    problems.raise_if_any()
    _cross_check(found, problems)
    problems.raise_if_any()
    items = found.items
    return Catalog(
        tuple(folder for folder in folders if folder), items["sources"], {t.system: t for t in items["tables"].values()},
        items["materials"], found.factors, items["rules"], found.approved_by, tuple(items["saws"].values()), items["families"],
        items["safety"], next(iter(items["joint_record"].values()), None), next(iter(items["glossary"].values()), None),
        tuple(sorted(found.procedures.values(), key=lambda each: (each.head.order, each.head.id))), found.places,
    )  # fmt: skip


def _layers(content: Path | None, here: Path) -> list[Path]:
    """The folders to read, the starter first."""
    beside = here / "content"
    chosen = content or (beside if (beside / "packgen.yaml").is_file() else None)
    if chosen is None:
        return [starter_folder()]
    if not (chosen / "packgen.yaml").is_file():
        what = f"{chosen} is not a content folder: it holds no packgen.yaml"
        raise UsageError([Problem(Place(), what, cure="name the folder that holds packgen.yaml")])
    if "starter: true" in read_text(chosen / "packgen.yaml", str(chosen / "packgen.yaml")):
        return [chosen]
    return [starter_folder(), chosen]


def shown_path(path: Path) -> str:
    """A path as messages name it: below the current folder without it."""
    try:
        return str(path.resolve().relative_to(Path.cwd().resolve()))
    except ValueError:
        return str(path)


def _read_folder(folder: Path, found: _Found, problems: Problems, prose: bool) -> Folder | None:
    """Read every YAML file of a folder (jobs apart) and, if wanted, its procedures."""
    before = set(found.places)
    digest = hashlib.sha256()
    record = None
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        if inside.parts[0] == "jobs" or path.suffix not in {".yaml", ".yml", ".md"} or path.name == "README.md":
            continue
        digest.update(f"{inside.as_posix()}\0".encode() + path.read_bytes() + b"\0")
        if path.suffix == ".md":
            if prose:
                _read_prose(path, found, problems, own=bool(before))
            continue
        try:
            document = read_yaml(path, shown_path(path))
        except ContentError as error:
            problems.extend(error.problems)
            continue
        kept = _keep(document, found, problems, before)
        record = kept if isinstance(kept, records.ContentFolder) else record
    if record is None:
        return None
    return Folder(folder, shown_path(folder), record, digest.hexdigest()[:12])


def _read_prose(path: Path, found: _Found, problems: Problems, own: bool) -> None:
    """Read one procedure; an id already read is a problem."""
    shown = shown_path(path)
    try:
        procedure = read_procedure(read_text(path, shown), shown, problems)
    except ContentError as error:
        problems.extend(error.problems)
        return
    if procedure is None:
        return
    if procedure.head.id in found.procedures:
        cure = "packaged procedures and their gates cannot be replaced: give yours an id of its own" if own else "keep one"
        problems.add(Place(shown, 2, 1, "id"), f"the procedure {procedure.head.id!r} is already read", cure=cure)
        return
    found.procedures[procedure.head.id] = procedure


def _keep(document: Document, found: _Found, problems: Problems, packaged: set[tuple[str, str]]) -> BaseModel | None:
    """Validate one document and keep its records."""
    kind = document.value.get("kind")
    if kind not in _KINDS:
        what = "the key 'kind' is missing" if kind is None else f"{kind!r} is not a kind of file packgen knows"
        problems.add(document.place(("kind",)), what, expected=", ".join(_KINDS), nearest=nearest(str(kind), _KINDS))
        return None
    model, key, name = _KINDS[kind]
    record = validate(document, model, problems)
    if record is None or name == "job":
        return record
    for index, item in enumerate(getattr(record, key)) if key else [(-1, record)]:
        path: tuple[str | int, ...] = (key, index) if key else ()
        _keep_item(name, str(getattr(item, "id", kind)), item, document, path, found, problems, packaged)
    if isinstance(record, records.Materials):
        found.factors = record.temperature_factors or found.factors
    if isinstance(record, records.WorkRules):
        found.approved_by.update({rule.id: record.approved_by for rule in record.rules})
    return record


def _keep_item(
    name: str, item_id: str, item: Any, document: Document, path: tuple[str | int, ...], found: _Found,
    problems: Problems, packaged: set[tuple[str, str]],
) -> None:  # fmt: skip
    """Keep one record under its id, or say why it cannot be kept."""
    key, place = (name, item_id), document.place((*path, "id"))
    if name != "folder" and key in found.places:
        replaces, why = getattr(item, "replaces", None), getattr(item, "why", "")
        if key not in packaged:
            problems.add(place, f"the id {item_id!r} is given twice (first in {found.places[key]})", cure="keep one")
            return
        if name not in _REPLACEABLE:
            problems.add(place, f"the packaged {name} record {item_id!r} cannot be replaced", cure="give yours an id of its own")
            return
        if replaces != item_id or not why:
            cure = f"give yours an id of its own, or write 'replaces: {item_id}' and 'why: …'"
            problems.add(place, f"{item_id!r} is the id of a packaged record", cure=cure)
            return
    found.items[name][item_id] = item
    found.places[key] = place
    found.documents[key] = (document, path)


def _cross_check(found: _Found, problems: Problems) -> None:
    """What no single file can know: sources, sizes and rules that others name must exist."""
    sources = found.items["sources"]
    for (name, item_id), (document, path) in found.documents.items():
        for inner, source in _named_sources(found.items[name][item_id].model_dump(), path):
            if source not in sources:
                place, near = document.place(inner), nearest(source, sources)
                problems.add(place, f"the source {source!r} is not known", expected="an id of sources.yaml", nearest=near)
    for rule in NEEDED_RULES:
        if rule not in found.items["rules"]:
            problems.add(Place(), f"the work rule {rule!r} is missing", cure="keep the packaged rules file")
    tables = {table.system: table for table in found.items["tables"].values()}
    for family in found.items["families"].values():
        document, _ = found.documents[("families", family.id)]
        _check_family(family, tables, found.items["materials"], document, problems)


def _named_sources(value: Any, path: tuple[str | int, ...]) -> Iterable[tuple[tuple[str | int, ...], str]]:
    """Every source id a record names, with its key path."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if (key == "source" or key.endswith("_source")) and isinstance(inner, str):
                yield (*path, key), inner
            else:
                yield from _named_sources(inner, (*path, key))
    elif isinstance(value, tuple | list):
        for index, inner in enumerate(value):
            yield from _named_sources(inner, (*path, index))


def _check_family(
    family: records.Family, tables: dict[str, records.PipeTable], materials: dict[str, Any], document: Document, problems: Problems
) -> None:
    """A family's systems, sizes and materials exist, and no pair stands twice."""
    systems = (family.system, family.lateral_system or family.system)
    for key, system in zip(("system", "lateral_system"), systems, strict=True):
        if system not in tables:
            problems.add(document.place((key,)), f"no pipe table holds {system!r}", expected=", ".join(tables), nearest=nearest(system, tables))
            return
    seen: set[tuple[str, str]] = set()
    for index, pair in enumerate(family.pairs):
        for key, system, size in (("main", systems[0], pair.main), ("lateral", systems[1], pair.lateral)):
            names = [row.name for row in tables[system].sizes]
            if size not in names:
                place = document.place(("pairs", index, key))
                problems.add(place, f"{size!r} is not a size of {system}", expected=", ".join(names), nearest=nearest(size, names))
        if (pair.main, pair.lateral) in seen:
            problems.add(document.place(("pairs", index)), f"the pair {pair.lateral} on {pair.main} stands twice", cure="keep one")
        seen.add((pair.main, pair.lateral))
    for side in ("main", "lateral"):
        for material in getattr(family, side).materials:
            if material not in materials:
                place = document.place((side, "materials"))
                problems.add(place, f"the material {material!r} is not known", expected=", ".join(materials), nearest=nearest(material, materials))


def load_job(path: Path, catalog: Catalog) -> tuple[Job, Document]:
    """Read a job file and see that its pipes and families exist.

    Returns the job and its document (for places). Raises `ContentError` with every problem of the file.
    """
    document = read_yaml(path, shown_path(path))
    problems = Problems()
    job = validate(document, Job, problems)
    problems.raise_if_any()
    assert job is not None  # validate returned no problems
    for place, designation in [
        (document.place(("main",)), job.main),
        *((document.place(("joints", i, "lateral")), joint.lateral) for i, joint in enumerate(job.joints)),
    ]:
        try:
            catalog.pipe(designation, place)
        except ContentError as error:
            problems.extend(error.problems)
    ids = [joint.id for joint in job.joints]
    for index, joint in enumerate(job.joints):
        if joint.family not in catalog.families:
            place, near = document.place(("joints", index, "family")), nearest(joint.family, catalog.families)
            problems.add(place, f"the family {joint.family!r} is not known", expected=", ".join(catalog.families), nearest=near)
        if joint.id in ids[:index]:
            problems.add(document.place(("joints", index, "id")), f"the joint id {joint.id!r} is given twice", cure="keep one")
    problems.raise_if_any()
    return job, document
