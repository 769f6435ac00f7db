"""Files to one immutable catalogue.

In: the starter content (packaged, or a ./content marked `starter: true`) and at most one content folder of
the user's own. Out: a `Catalog`. Every problem of every file comes out in one run. Vocabulary: an own record
may stand in place of a packaged one only where it says `replaces: ID` and `why:`; sources, pipe tables,
safety messages, the joint record, procedures and the demo stamp are never replaced.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

from pydantic import BaseModel

import packgen
from packgen.errors import ContentError, Place, Problem, Problems, UsageError, nearest
from packgen.model import (
    bend_records,
    family_records,
    form_records,
    power_records,
    prose_records,
    records,
    tool_records,
)
from packgen.model.catalog import Catalog, Folder
from packgen.model.cross_check import cross_check
from packgen.model.found import ALL, Found
from packgen.model.job import Job
from packgen.model.validate import validate
from packgen.model.yaml_reader import Document, KeyPath, parse_yaml, read_text, read_yaml, shown_value

# What a file of each kind holds: the record class, the key of its list (or "" for one record), its name.
_KINDS: dict[str, tuple[type[BaseModel], str, str]] = {
    "content folder": (records.ContentFolder, "", "folder"),
    "sources": (records.Sources, "sources", "sources"),
    "pipe table": (records.PipeTable, "", "tables"),
    "materials": (records.Materials, "materials", "materials"),
    "other materials": (records.OtherMaterials, "materials", "other_materials"),
    "work rules": (records.WorkRules, "rules", "rules"),
    "hole saws": (tool_records.HoleSaws, "saws", "saws"),
    "tapping valves": (tool_records.TappingValves, "valves", "valves"),
    "drilling machines": (tool_records.DrillingMachines, "machines", "machines"),
    "screw threads": (tool_records.ScrewThreads, "threads", "threads"),
    "screw materials": (tool_records.ScrewMaterials, "materials", "screw_materials"),
    "test plugs": (tool_records.TestPlugs, "plugs", "plugs"),
    "conductors": (power_records.Conductors, "conductors", "conductors"),
    "outlets": (power_records.Outlets, "outlets", "outlets"),
    "bend table": (bend_records.BendTable, "", "bend_table"),
    "fitting family": (family_records.Family, "", "families"),
    "safety messages": (prose_records.SafetyMessages, "messages", "safety"),
    "owner blanks": (prose_records.OwnerBlanks, "blanks", "owner_blanks"),
    "joint record": (prose_records.JointRecord, "", "joint_record"),
    "pack forms": (form_records.PackForms, "", "pack_forms"),
    "glossary": (prose_records.Glossary, "", "glossary"),
    "plain words": (prose_records.PlainWords, "", "plain_words"),
    "job": (Job, "", "job"),
}
_REPLACEABLE = {"rules", "families"}
_MARK = "packgen.yaml"


def starter_folder() -> Path:
    """The starter content: inside the installed package, else beside it in a source checkout."""
    inside = Path(packgen.__file__).parent / "starter" / "content"
    return inside if inside.is_dir() else Path(packgen.__file__).parent.parent / "content"


def load(content: Path | None = None, *, prose: bool = True, here: Path | None = None) -> Catalog:
    """Load the catalogue.

    Parameters: `content`, a folder of the user's own (or None); `prose`, whether procedures are read too;
    `here`, the folder whose `content/` counts where `content` is None (the current one if absent). Raises
    `ContentError` with every problem found.
    """
    problems, found = Problems(), Found()
    folders = [_read_folder(path, found, problems, prose) for path in _layers(content, here or Path.cwd())]
    cross_check(found, problems)
    if prose:
        from packgen.model.prose_check import check_prose

        check_prose(found, problems)
    problems.raise_if_any()
    items = found.items
    return Catalog(
        folders=tuple(folder for folder in folders if folder),
        sources=items["sources"],
        tables={table.system: table for table in items["tables"].values()},
        materials=items["materials"],
        temperature_factors=found.factors,
        rules=items["rules"],
        approved_by=found.approved_by,
        saws=tuple(items["saws"].values()),
        valves=items["valves"],
        machines=items["machines"],
        plugs=items["plugs"],
        threads=items["threads"],
        screw_materials=items["screw_materials"],
        families=items["families"],
        safety=items["safety"],
        owner_blanks=items["owner_blanks"],
        joint_record=next(iter(items["joint_record"].values()), None),
        glossary=next(iter(items["glossary"].values()), None),
        procedures=tuple(sorted(found.procedures.values(), key=lambda each: (each.head.order, each.head.id))),
        places=found.places,
        other_materials=items["other_materials"],
        conductors=items["conductors"],
        outlets=tuple(items["outlets"].values()),
        bend_table=next(iter(items["bend_table"].values()), None),
        pack_forms=next(iter(items["pack_forms"].values()), None),
        plain_words=tuple(items["plain_words"].values()),
        documents=found.documents,
    )


def _layers(content: Path | None, here: Path) -> list[Path]:
    """The folders to read, the starter first."""
    beside = here / "content"
    chosen = content or (beside if (beside / _MARK).is_file() else None)
    if chosen is None:
        return [starter_folder()]
    if not (chosen / _MARK).is_file():
        there = chosen.is_dir()
        what = f"{chosen} is not a content folder: it holds no {_MARK}" if there else f"{chosen} is no folder"
        raise UsageError([Problem(Place(), what, cure=f"name the folder that holds {_MARK}")])
    mark = read_yaml(chosen / _MARK, shown_path(chosen / _MARK), Problems())
    return [chosen] if mark.value.get("starter") is True else [starter_folder(), chosen]


def shown_path(path: Path) -> str:
    """A path as messages name it: below the current folder without it."""
    try:
        return str(path.resolve().relative_to(Path.cwd().resolve()))
    except (ValueError, OSError, RuntimeError):  # elsewhere; unreadable; a link that leads to itself
        return str(path)


def _read_folder(folder: Path, found: Found, problems: Problems, prose: bool) -> Folder | None:
    """Read every YAML file of a folder (jobs and hidden files apart) and, if wanted, its procedures."""
    packaged = set(found.places)
    digest = hashlib.sha256()
    record = None
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        hidden = any(part.startswith(".") for part in inside.parts)
        if hidden or inside.parts[0] == "jobs" or path.name == "README.md":
            continue
        if path.suffix not in {".yaml", ".yml", ".md"}:
            _tell_unread(path, problems)
            continue
        try:
            text = read_text(path, shown_path(path))
            digest.update(f"{inside.as_posix()}\0{text}\0".encode())
            if path.suffix == ".md":
                if prose:
                    _read_prose(text, shown_path(path), found, problems, own=bool(packaged))
                continue
            document = parse_yaml(text, shown_path(path), problems=problems)
        except ContentError as error:
            problems.extend(error.problems)
            found.failed.add("procedures" if path.suffix == ".md" else ALL)
            continue
        kept = _keep(document, inside.as_posix(), found, problems, packaged)
        record = kept if isinstance(kept, records.ContentFolder) else record
    return Folder(folder, shown_path(folder), record, digest.hexdigest()[:12]) if record else None


def _tell_unread(path: Path, problems: Problems) -> None:
    """A file that looks like content and is not read would leave its record to the packaged one, unseen."""
    if path.is_symlink() and path.is_dir():
        cure = "put the folder itself here"
        problems.add(Place(shown_path(path)), "a link to a folder is not followed", cure=cure)
    elif path.suffix.lower() in {".yaml", ".yml", ".md"}:
        cure = f"name it {path.stem}{path.suffix.lower()}"
        problems.add(Place(shown_path(path)), "the file is not read", cure=cure)


def _read_prose(text: str, shown: str, found: Found, problems: Problems, own: bool) -> None:
    """Read one procedure; an id already read is a problem."""
    from packgen.model.prose_reader import read_procedure

    procedure = read_procedure(text, shown, problems)
    if procedure is None:
        found.failed.add("procedures")
    elif procedure.head.id in found.procedures:
        first = found.procedures[procedure.head.id].file
        cure = "keep one"
        if own:
            cure = "packaged procedures and their gates cannot be replaced: give yours an id of its own"
        what = f"the procedure {procedure.head.id!r} is already read from {first}"
        problems.add(procedure.place, what, cure=cure)
    else:
        found.procedures[procedure.head.id] = procedure


def _keep(
    document: Document, inside: str, found: Found, problems: Problems, packaged: set[tuple[str, str]]
) -> BaseModel | None:
    """Validate one document and keep its records."""
    kind = document.value.get("kind")
    if not isinstance(kind, str) or kind not in _KINDS:
        what = (
            "the key 'kind' is missing"
            if kind is None
            else f"{shown_value(kind)} is no kind of file packgen knows"
        )
        near = nearest(kind[:60], _KINDS) if isinstance(kind, str) else ""
        problems.add(document.place(("kind",)), what, expected="one of " + ", ".join(_KINDS), nearest=near)
        found.failed.add(ALL)
        return None
    model, key, name = _KINDS[kind]
    misplaced = _misplaced(kind, inside)
    if misplaced[0]:
        problems.add(document.place(("kind",)), misplaced[0], cure=misplaced[1])
        return None
    record = validate(document, model, problems)
    if record is None or document.broken:
        found.failed.add(name)
    if record is None:
        return None
    for index, item in enumerate(getattr(record, key)) if key else [(-1, record)]:
        path: KeyPath = (key, index) if key else ()
        _keep_item(name, str(getattr(item, "id", kind)), item, document, path, found, problems, packaged)
    if isinstance(record, records.Materials):
        _keep_factors(record, document, found, problems)
    if isinstance(record, records.WorkRules):
        found.approved_by.update({rule.id: record.approved_by for rule in record.rules})
    return record


def _misplaced(kind: str, inside: str) -> tuple[str, str]:
    """What is wrong with a file's kind in its place, and the cure; empty where nothing is."""
    if inside == _MARK and kind != "content folder":
        return (
            f"{_MARK} is of the kind {kind!r}",
            "write 'kind: content folder'; move the rest to a file of its own",
        )
    if inside != _MARK and kind == "content folder":
        return (f"only {_MARK} at the top of the folder may be of this kind", f"move it to {_MARK}")
    if kind == "job":
        return ("a job stands among the facts", "move it to the folder jobs")
    return ("", "")


def _keep_factors(record: records.Materials, document: Document, found: Found, problems: Problems) -> None:
    """Keep the temperature factors; there is one set of them."""
    if record.temperature_factors and found.factors:
        what = "temperature factors stand in another file already"
        problems.add(document.place(("temperature_factors",)), what, cure="take them out here")
    elif record.temperature_factors:
        found.factors, found.factors_at = record.temperature_factors, (document, ("temperature_factors",))


def _keep_item(
    name: str,
    item_id: str,
    item: Any,
    document: Document,
    path: KeyPath,
    found: Found,
    problems: Problems,
    packaged: set[tuple[str, str]],
) -> None:
    """Keep one record under its id, or say why it cannot be kept."""
    key = (name, item_id)
    if name != "folder":
        what, cure = _objection(name, item_id, item, found, packaged)
        if what:
            problems.add(document.place((*path, "id")), what, cure=cure)
            return
    found.items[name][item_id] = item
    found.places[key] = document.place((*path, "id"))
    found.documents[key] = (document, path)
    for index, _ in enumerate(getattr(item, "pairs", ())):
        found.places["pairs", f"{item_id}:{index}"] = document.place((*path, "pairs", index))


def _objection(
    name: str, item_id: str, item: Any, found: Found, packaged: set[tuple[str, str]]
) -> tuple[str, str]:
    """Why a record cannot be kept, and the cure; empty where it can."""
    key = (name, item_id)
    replaces, why = getattr(item, "replaces", None), getattr(item, "why", "")
    own_id = "give yours an id of its own"
    if key in found.places and key not in packaged:
        return f"the id {item_id!r} is given twice (first in {found.places[key]})", "keep one"
    if key in packaged and name not in _REPLACEABLE:
        kind = next(kind for kind, (_, _, called) in _KINDS.items() if called == name)
        return f"{item_id!r} is packaged ({kind}) and cannot be replaced", own_id
    if key in packaged and (replaces != item_id or not why.strip()):
        cure = f"{own_id}, or write 'replaces: {item_id}' and 'why:' with the reason"
        return f"{item_id!r} is the id of a packaged record", cure
    if key in packaged and getattr(found.items[name][item_id], "data", None) != getattr(item, "data", None):
        return f"the demo stamp of {item_id!r} cannot be replaced", f"{own_id}, or keep 'data: demo'"
    if replaces and key not in packaged:
        near = nearest(replaces, [known for kind, known in packaged if kind == name])
        hint = f"; did you mean {near!r}?" if near else ""
        return (
            f"it says 'replaces: {replaces}', but no packaged record has the id {item_id!r}{hint}",
            "take the line out",
        )
    if name == "tables" and any(table.system == item.system for table in found.items[name].values()):
        return (
            f"a pipe table of {item.system} is read already; pipe tables cannot be replaced",
            "take this file out",
        )
    return "", ""
