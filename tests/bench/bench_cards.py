"""How long `packgen cards` takes for twenty sizes beside the bare layout library.

In: `python tests/bench/bench_cards.py` from a checkout. Out: a table and exit code 1 where a limit is broken.
Vocabulary: as in `bench_job`; *bare* renders the same HTML, one card set after the other, in one process, and
neither guards nor imposes it.

Limits: at most 10 s on the two-core reference machine (printed beside, not judged), at most as long as bare.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from bench_job import BARE, ROOT, measured

SETS, SECONDS, RATIO = 20, 10.0, 1.0
FAMILY = "demo-saddle-screw"


def sizes() -> tuple[list[str], list[Any]]:
    """Mains all of whose sizes are permitted, up to twenty sizes of one family, and these sizes."""
    from packgen.model.load import load
    from packgen.publish.selection import chosen

    by_main: dict[str, list[Any]] = {}
    for each in chosen(load(here=ROOT), [], [], [FAMILY], "both"):
        by_main.setdefault(str(each.request.main.designation), []).append(each)
    mains: list[str] = []
    found: list[Any] = []
    for main, some in by_main.items():
        if len(found) + len(some) <= SETS and not any(each.reasons for each in some):
            mains.append(main)
            found += some
    return mains, found


def dump(folder: Path, found: list[Any]) -> list[Path]:
    """The HTML and CSS of every set as the code makes them for the printer, in files."""
    from packgen.publish.cards import make_cards
    from packgen.publish.options import Options
    from packgen.render import pdf

    kept: list[Path] = []
    printer_of = pdf.html_to_pdf

    def keep(html: str, css: str, file: str, **choices: Any) -> bytes:
        place = folder / f"{len(kept)}"
        html_file, css_file = place.with_suffix(".html"), place.with_suffix(".css")
        html_file.write_text(html, "utf-8")
        css_file.write_text(css, "utf-8")
        kept.extend((html_file, css_file))
        return printer_of(html, css, file, **choices)

    pdf.html_to_pdf = keep
    try:
        make_cards(found[0].request.catalog, found, Options(output=folder / "build", workers=1))
    finally:
        pdf.html_to_pdf = printer_of
    return kept


def main() -> int:
    """Measure one after the other, print, judge."""
    mains, found = sizes()
    chosen = [part for main in mains for part in ("--main", main)]
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        documents = dump(folder, found)
        bare = measured(sys.executable, "-c", BARE, *documents)
        command = ("cards", "--family", FAMILY, *chosen, "--output", folder / "out")
        cards = measured(sys.executable, "-m", "packgen.cli", *command)
    ratio = cards.seconds / bare.seconds
    print(f"card sets       {len(found)}")
    print(f"bare            {bare.seconds:6.2f} s   {bare.megabytes:6.0f} MB")
    taken = f"{cards.seconds:6.2f} s   {cards.megabytes:6.0f} MB"
    print(f"packgen cards   {taken}   (reference machine: {SECONDS} s)")
    print(f"ratio           {ratio:6.2f}     limit {RATIO}")
    return 1 if ratio > RATIO else 0


if __name__ == "__main__":
    sys.exit(main())
