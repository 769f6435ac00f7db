"""Are the system parts that print text installed, and if not, which package brings them?

In: the system's loader, the kind of system (`sys.platform`) and its os-release file.
Out: nothing where all is well; otherwise one `MissingPart` whose single line names each missing part and the
command that installs it here.
Vocabulary: a *part* is a shared library that WeasyPrint loads; a *manager* is a program that installs parts.
Governing text: the libraries that WeasyPrint 70.0 opens in `weasyprint/text/ffi.py`, and its condition for
subsetting fonts with HarfBuzz (4.1, `weasyprint/pdf/fonts.py`). Package names: Debian 12's from its package
index; those of the other systems from memory.

Only the standard library is used: `.ci/setup` asks this module before anything is installed, and packgen asks
it before WeasyPrint is imported, which would otherwise stop with many lines about the same thing.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import platform
import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass

from packgen.errors import MissingPart, Place, Problem

HARFBUZZ_LEAST = (4, 1, 0)


@dataclass(frozen=True)
class SystemPart:
    """A shared library: what people call it, and its name and version as the loader knows them."""

    name: str
    stem: str
    version: str

    @property
    def files(self) -> tuple[str, str]:
        """Its file names, on Linux and on macOS."""
        return f"lib{self.stem}.so.{self.version}", f"lib{self.stem}.{self.version}.dylib"


@dataclass(frozen=True)
class Manager:
    """A program that installs packages: its command, the systems that use it, the package for each part."""

    command: str
    systems: tuple[str, ...]
    packages: Mapping[str, str]


PARTS = (
    SystemPart("Pango", "pango-1.0", "0"),
    SystemPart("PangoFT2", "pangoft2-1.0", "0"),
    SystemPart("GObject", "gobject-2.0", "0"),
    SystemPart("HarfBuzz", "harfbuzz", "0"),
    SystemPart("HarfBuzz-subset", "harfbuzz-subset", "0"),
    SystemPart("Fontconfig", "fontconfig", "1"),
)

APT = Manager(
    "apt-get install",
    ("debian", "ubuntu"),
    {
        "Pango": "libpango-1.0-0",
        "PangoFT2": "libpangoft2-1.0-0",
        # Pango's package depends on GObject's, which has changed its name between releases.
        "GObject": "libpango-1.0-0",
        "HarfBuzz": "libharfbuzz0b",
        "HarfBuzz-subset": "libharfbuzz-subset0",
        "Fontconfig": "libfontconfig1",
    },
)

# What other systems call the packages, but for the differences beside each of them below.
_PLAIN = {
    "Pango": "pango",
    "PangoFT2": "pango",
    "GObject": "glib2",
    "HarfBuzz": "harfbuzz",
    "HarfBuzz-subset": "harfbuzz",
    "Fontconfig": "fontconfig",
}
BREW = Manager("brew install", (), _PLAIN | {"GObject": "glib"})

# The systems are words of ID and ID_LIKE in os-release.
LINUX_MANAGERS = (
    APT,
    Manager("dnf install", ("fedora", "rhel", "centos"), _PLAIN),
    Manager("apk add", ("alpine",), _PLAIN | {"GObject": "glib", "HarfBuzz-subset": "harfbuzz-subset"}),
    Manager("pacman -S", ("arch",), _PLAIN),
)


def load(file: str) -> ctypes.CDLL:
    """Open a shared library; `OSError` where the system has none of that name."""
    return ctypes.CDLL(file)


def require_system_parts() -> None:
    """Return where every part loads; raise `MissingPart` with one line where one does not."""
    missing = missing_parts()
    if missing:
        raise MissingPart([complaint(missing)])


def missing_parts() -> tuple[SystemPart, ...]:
    """The parts that do not load, or whose version is too old for what packgen prints."""
    return tuple(part for part in PARTS if not _usable(part))


def complaint(missing: tuple[SystemPart, ...]) -> Problem:
    """One line for people: what is missing, and the command that installs it on this system."""
    return Problem(Place(), _what(missing), cure=_cure(missing))


def packages(parts: Iterable[SystemPart], manager: Manager = APT) -> tuple[str, ...]:
    """The packages that bring `parts` under a manager, each once.

    >>> packages(PARTS[:2], BREW)
    ('pango',)
    """
    return tuple(dict.fromkeys(manager.packages[part.name] for part in parts))


def _usable(part: SystemPart) -> bool:
    library = _open(part)
    if library is None:
        return False
    return part.stem != "harfbuzz" or bool(library.hb_version_atleast(*HARFBUZZ_LEAST))


def _open(part: SystemPart) -> ctypes.CDLL | None:
    for file in part.files:
        with suppress(OSError):
            return load(file)
    # Homebrew keeps libraries where the loader does not look; WeasyPrint finds them in this way too.
    found = ctypes.util.find_library(part.stem) if sys.platform == "darwin" else None
    if found:
        with suppress(OSError):
            return load(found)
    return None


def _what(missing: tuple[SystemPart, ...]) -> str:
    least = ".".join(str(number) for number in HARFBUZZ_LEAST[:2])
    names = [f"{part.name} ({least} or newer)" if part.stem == "harfbuzz" else part.name for part in missing]
    are = "part is" if len(names) == 1 else "parts are"
    return f"the system {are} not installed that packgen prints with: {', '.join(names)}"


def _cure(missing: tuple[SystemPart, ...]) -> str:
    if sys.platform == "win32":
        return "on Windows run packgen inside WSL (Ubuntu under Windows), installed by: wsl --install"
    manager = BREW if sys.platform == "darwin" else _linux_manager()
    if manager is None:
        return "install Pango, HarfBuzz with its subset library and Fontconfig by this system's own means"
    sudo = "" if manager is BREW or os.geteuid() == 0 else "sudo "
    return f"install: {sudo}{manager.command} {' '.join(packages(missing, manager))}"


def _linux_manager() -> Manager | None:
    try:
        release = platform.freedesktop_os_release()
    except OSError:
        return None
    words = [release.get("ID", ""), *release.get("ID_LIKE", "").split()]
    return next((m for word in words for m in LINUX_MANAGERS if word in m.systems), None)
