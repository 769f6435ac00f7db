"""A content folder of a user's own: made whole from the packaged pattern, or given one more fitting.

In: the folder to make or to add to, a label that was entered. Out: files; nothing that stands is written
over, nothing packaged is touched. Vocabulary: the *pattern* is `templates/own/folder`, whose `$` names are
filled in; a *mark* is the packgen.yaml of a content folder.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from string import Template
from typing import Any

import packgen
from packgen.errors import PackgenError, Place, Problem, Problems, UsageError
from packgen.model.family_records import PairEnd, pair_end
from packgen.model.load import shown_path, starter_folder
from packgen.model.yaml_reader import read_yaml
from packgen.publish.label_entry import Entry, label_source
from packgen.publish.label_text import plain_yaml
from packgen.publish.write import made_folder, write_folder
from packgen.sheets.words import templates_folder

MARK = "packgen.yaml"
FIRST_JOB = "jobs/first-job.yaml"
_PATTERN_FAMILY = "fittings/our-saddle.yaml"
_PATTERN = {
    "family": "our-saddle", "main": "6 in IPS DR 11 PE4710", "lateral": "2 in IPS DR 11 PE4710",
    "contents": "water",
}  # fmt: skip
_ANOTHER = "name a folder that is empty or does not exist yet"


@dataclass(frozen=True)
class Made:
    """What was written: the folder and the files below it."""

    folder: Path
    files: tuple[str, ...]


def is_own(folder: Path) -> bool:
    """Whether a folder is content already, to which a fitting may be added."""
    try:
        return (folder / MARK).is_file()
    except OSError:
        return False


def require_not_ours(folder: Path) -> None:
    """Refuse to add to packaged content: an update would take the fitting away. Raises `UsageError`."""
    _require_one_line(folder)
    mark = read_yaml(folder / MARK, shown_path(folder / MARK), Problems())
    if mark.value.get("starter") is True or _is_packaged(folder.resolve()):
        what = "it is packaged content, which an update of packgen replaces"
        raise UsageError([Problem(Place(str(folder)), what, cure=_ANOTHER)])


def require_place(folder: Path) -> None:
    """Refuse a place that is taken, or that packgen or another content folder would read as its own.

    Raises `UsageError` with the cure.
    """
    _require_one_line(folder)
    try:
        what, cure = _objection(folder)
    except (
        OSError,
        RuntimeError,
        ValueError,
    ) as error:  # not ours to enter; a loop of links; a name none can have
        what, cure = f"it cannot be reached: {getattr(error, 'strerror', None) or error}", _ANOTHER
    if what:
        raise UsageError([Problem(Place(str(folder)), what, cure=cure)])


def _require_one_line(folder: Path) -> None:
    """Refuse a name that no line of an answer can show, such as one with a line break."""
    if not str(folder).isprintable():
        what = "its name holds a line break or another character that nobody sees"
        raise UsageError([Problem(Place(ascii(str(folder))), what, cure=_ANOTHER)])


def _objection(folder: Path) -> tuple[str, str]:
    """Why a new folder cannot stand in a place, and the cure; empty where it can."""
    if folder.is_symlink():
        return "it is a link", "name the folder itself"
    if os.path.lexists(folder) and not folder.is_dir():
        return "it is a file", _ANOTHER
    where = folder.resolve()
    above = next(parent for parent in where.parents if parent.exists())
    if not above.is_dir():
        return f"{above} is a file", _ANOTHER
    if where == Path.cwd().resolve():
        return "it is the folder you stand in", "name a new folder below it"
    names = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    if names:
        return f"it is not empty: it holds {', '.join(names[:3])}", _ANOTHER
    if _is_packaged(where):
        return "it lies inside packgen itself", "name a folder outside it"
    outer = next((parent for parent in where.parents if (parent / MARK).is_file()), None)
    if outer is not None:
        return (
            f"it lies inside the content folder {outer}, which would read it too",
            "name a folder outside it",
        )
    return "", ""


def _is_packaged(where: Path) -> bool:
    """Whether a folder is packgen's own, or lies inside it."""
    packaged = (
        templates_folder().resolve(),
        starter_folder().resolve(),
        Path(packgen.__file__).parent.resolve(),
    )
    return any(parent in packaged for parent in (where, *where.parents))


def make_own(folder: Path, day: str, entry: Entry | None = None) -> Made:
    """Make a content folder that works as it is.

    Parameters: `folder`, empty or not there yet; `day`, the date its files bear; `entry`, a label that was
    entered, in place of the pattern's fitting. Returns what was made. Raises `UsageError` for a place that is
    taken, `PackgenError` where it cannot be written; either way nothing is changed.
    """
    require_place(folder)
    files = _pattern(day, _first_job(entry) if entry else _PATTERN)
    if entry:
        del files[_PATTERN_FAMILY]
        files |= _label_files(entry)
    try:
        write_folder(folder.resolve(), {name: text.encode() for name, text in files.items()}, listed=False)
    except PackgenError as error:
        raise _cured(error) from None
    return Made(folder, tuple(files))


def add_family(folder: Path, entry: Entry) -> Made:
    """Add an entered label to a content folder, beside what stands there.

    Returns what was written. Raises `PackgenError` where a file stands in the way or cannot be written; then
    nothing is left behind.
    """
    files = _label_files(entry)
    try:
        with ExitStack() as made:  # undone from the last to the first: a file goes before its folder
            for name, text in files.items():
                path = folder / name
                made.enter_context(made_folder(path.parent))
                with path.open("xb") as file:  # x: never over a file that stands
                    made.enter_context(_kept_if_whole(path))
                    file.write(text.encode())
    except OSError as error:
        what = f"cannot write {error.filename or folder}: {error.strerror}"
        cure = "free its place; nothing was written"
        raise PackgenError([Problem(Place(str(folder)), what, cure=cure)]) from None
    return Made(folder, tuple(files))


@contextmanager
def _kept_if_whole(path: Path) -> Iterator[None]:
    """A file that goes again where what follows it fails."""
    try:
        yield
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def taken_ids(folder: Path, families: Mapping[str, Any]) -> set[str]:
    """Ids that a new fitting cannot have: those of families, and the names of files that stand."""
    names = {path.stem for path in (folder / "fittings").glob("*")} if is_own(folder) else set()
    return names | set(families)


def _label_files(entry: Entry) -> dict[str, str]:
    """The files of one entered label: the family, and the source that says whose label was read when."""
    family_id, read = entry.family["id"], entry.family["date"].isoformat()
    title = plain_yaml(f"Label of {entry.family['title']}"[:400])
    source = (
        "# The label of one fitting, as the source that packs print beside its values.\n"
        f"kind: sources\nsources:\n  - id: {plain_yaml(label_source(family_id))}\n    title: {title}\n"
        f"    edition: read {read}\n    standing: label\n"
    )
    return {f"sources/{label_source(family_id)}.yaml": source, f"fittings/{family_id}.yaml": entry.text}


def _first_job(entry: Entry) -> dict[str, str]:
    """What the first job says of an entered family: its first pair, in ratios that can be had."""
    family, pair = entry.family, entry.family["pairs"][0]
    limits, listed = family["main"], family["lateral"]["dr"]
    main = pair_end(pair["main"], family["system"])
    lateral = pair_end(pair["lateral"], family.get("lateral_system", family["system"]))
    held, of_laterals = _ratios(entry, *main), _ratios(entry, *lateral)
    mains = [ratio for ratio in held if limits["dr_min"] <= ratio <= limits["dr_max"]]
    # Both ends of a coupling are its lateral, so there the range of mains holds for it too.
    laterals = [dr for dr in listed if dr in (mains if family["type"] == "coupling" else of_laterals)]
    # Where the tables hold none, the job says so when it is read: nothing is put in its place.
    dr = next(iter(laterals), listed[0])
    of_main = dr if dr in mains else next(iter(mains), limits["dr_min"])
    return {
        "family": plain_yaml(family["id"]), "contents": family["contents"][0],
        "main": _pipe_text(main, of_main, limits["materials"]),
        "lateral": _pipe_text(lateral, dr, family["lateral"]["materials"]),
    }  # fmt: skip


def _pipe_text(end: PairEnd, ratio: float, materials: Sequence[str]) -> str:
    """A pipe as a job file names it."""
    return plain_yaml(f"{' '.join(end)} DR {ratio:g} {materials[0]}")


def _ratios(entry: Entry, size: str, system: str) -> tuple[float, ...]:
    """The dimension ratios that the tables hold for a size; none where they do not hold the size."""
    table = entry.tables.get(system)
    row = next((row for row in table.sizes if row.name == size), None) if table else None
    return tuple(table.ratios(row)) if table and row else ()


def _pattern(day: str, fill: Mapping[str, str]) -> dict[str, str]:
    """The pattern's files, filled in."""
    root = templates_folder() / "own" / "folder"
    paths = sorted(path for path in root.rglob("*") if path.suffix in {".yaml", ".md"})
    return {
        path.relative_to(root).as_posix(): Template(path.read_text("utf-8")).substitute(fill, date=day)
        for path in paths
    }


def _cured(error: PackgenError) -> PackgenError:
    """An error of writing, with the cure that fits here."""
    return PackgenError(replace(problem, cure=_ANOTHER) for problem in error.problems)
