"""What the loader has read so far, before it becomes a catalogue.

In: records and procedures, one by one. Out: `Found`, which the checks across files read. Vocabulary: *name*
is the catalogue's word for a kind of record ("rules", "families"); a name has *failed* where one of its files
could not be read, so that nothing is said to be missing which only stands in that file.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from packgen.errors import Place
from packgen.model.prose import Procedure
from packgen.model.records import TemperatureFactor
from packgen.model.yaml_reader import Document, KeyPath

ALL = "every kind"


@dataclass
class Found:
    """Records by name and id, with the place and document of each."""

    items: dict[str, dict[str, Any]] = field(default_factory=lambda: defaultdict(dict))
    places: dict[tuple[str, str], Place] = field(default_factory=dict)
    documents: dict[tuple[str, str], tuple[Document, KeyPath]] = field(default_factory=dict)
    approved_by: dict[str, str] = field(default_factory=dict)
    factors: tuple[TemperatureFactor, ...] = ()
    factors_at: tuple[Document, KeyPath] | None = None
    procedures: dict[str, Procedure] = field(default_factory=dict)
    failed: set[str] = field(default_factory=set)

    def complete(self, *names: str) -> bool:
        """Whether every file of these names was read."""
        return not self.failed & {ALL, *names}

    def spot(self, name: str, item_id: str, *inner: str | int) -> Place:
        """The place of a key inside a record."""
        document, path = self.documents[name, item_id]
        return document.place((*path, *inner))
