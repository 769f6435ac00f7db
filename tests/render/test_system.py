"""System parts: one line that names what is missing and the command that installs it on this system."""

from __future__ import annotations

import os
import platform
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packgen.errors import MissingPart
from packgen.render import system

ROOT = Path(__file__).parents[2]


class FakeHarfBuzz:
    """A loaded library that answers HarfBuzz's question about its version."""

    def __init__(self, version: tuple[int, int, int]) -> None:
        self.version = version

    def hb_version_atleast(self, *least: int) -> int:
        return int(self.version >= least)


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Pretend to be another machine: its platform, os-release, user, absent files and HarfBuzz version."""

    def pretend(
        *,
        kind: str = "linux",
        release: dict[str, str] | None = None,
        user: int = 1000,
        absent: tuple[str, ...] = (),
        harfbuzz: tuple[int, int, int] = (8, 3, 0),
        found: dict[str, str] | None = None,
    ) -> None:
        def load(file: str) -> Any:
            wrong_kind = file.endswith(".dylib") is (kind != "darwin")
            if wrong_kind or any(stem in file for stem in absent):
                raise OSError(file)
            return FakeHarfBuzz(harfbuzz)

        def os_release() -> dict[str, str]:
            if release is None:
                raise OSError("no os-release file")
            return release

        monkeypatch.setattr(system, "load", load)
        monkeypatch.setattr(sys, "platform", kind)
        monkeypatch.setattr(platform, "freedesktop_os_release", os_release)
        monkeypatch.setattr(os, "geteuid", lambda: user)
        monkeypatch.setattr("ctypes.util.find_library", lambda stem: (found or {}).get(stem))

    return pretend


def refusal() -> str:
    """What a user reads when a part is missing."""
    with pytest.raises(MissingPart) as caught:
        system.require_system_parts()
    assert caught.value.exit_code == 2
    return str(caught.value)


DEBIAN = {"ID": "debian", "VERSION_ID": "12"}
UBUNTU = {"ID": "ubuntu", "ID_LIKE": "debian"}
FEDORA = {"ID": "fedora"}
ROCKY = {"ID": "rocky", "ID_LIKE": "rhel centos fedora"}
ALPINE = {"ID": "alpine"}
ARCH = {"ID": "arch"}


def test_nothing_is_said_where_every_part_loads(machine: Callable[..., None]) -> None:
    machine(release=DEBIAN)
    assert system.missing_parts() == ()
    system.require_system_parts()


def test_this_machine_has_the_parts_that_the_other_tests_print_with() -> None:
    assert system.missing_parts() == ()


@pytest.mark.parametrize(
    ("release", "command"),
    [
        (DEBIAN, "sudo apt-get install libharfbuzz-subset0"),
        (UBUNTU, "sudo apt-get install libharfbuzz-subset0"),
        ({"ID": "mint", "ID_LIKE": "ubuntu debian"}, "sudo apt-get install libharfbuzz-subset0"),
        (FEDORA, "sudo dnf install harfbuzz"),
        (ROCKY, "sudo dnf install harfbuzz"),
        (ALPINE, "sudo apk add harfbuzz-subset"),
        (ARCH, "sudo pacman -S harfbuzz"),
    ],
)
def test_one_missing_part_is_named_with_the_package_of_this_system(
    machine: Callable[..., None], release: dict[str, str], command: str
) -> None:
    machine(release=release, absent=("harfbuzz-subset",))
    assert refusal() == (
        "the system part is not installed that packgen prints with: HarfBuzz-subset; install: " + command
    )


def test_several_missing_parts_stand_in_one_line_and_each_package_once(machine: Callable[..., None]) -> None:
    machine(release=DEBIAN, absent=("pango", "gobject", "harfbuzz"))
    assert refusal() == (
        "the system parts are not installed that packgen prints with: Pango, PangoFT2, GObject, "
        "HarfBuzz (4.1 or newer), HarfBuzz-subset; install: sudo apt-get install libpango-1.0-0 "
        "libpangoft2-1.0-0 libharfbuzz0b libharfbuzz-subset0"
    )


@pytest.mark.parametrize("part", system.PARTS, ids=lambda part: part.name)
def test_each_part_is_missed_when_it_alone_is_absent(
    machine: Callable[..., None], part: system.SystemPart
) -> None:
    machine(release=DEBIAN, absent=(part.files[0],))
    assert system.missing_parts() == (part,)


@pytest.mark.parametrize(("version", "usable"), [((4, 0, 1), False), ((4, 1, 0), True), ((10, 0, 0), True)])
def test_harfbuzz_older_than_4_1_counts_as_missing(
    machine: Callable[..., None], version: tuple[int, int, int], usable: bool
) -> None:
    machine(release=DEBIAN, harfbuzz=version)
    assert [part.name for part in system.missing_parts()] == ([] if usable else ["HarfBuzz"])


def test_every_manager_names_a_package_for_every_part() -> None:
    for manager in (*system.LINUX_MANAGERS, system.BREW):
        assert set(manager.packages) == {part.name for part in system.PARTS}, manager.command


def test_root_is_given_the_command_without_sudo(machine: Callable[..., None]) -> None:
    machine(release=DEBIAN, absent=("fontconfig",), user=0)
    assert refusal().endswith("Fontconfig; install: apt-get install libfontconfig1")


def test_a_mac_is_told_to_use_brew_without_sudo(machine: Callable[..., None]) -> None:
    machine(kind="darwin", absent=("pango",))
    assert refusal().endswith("Pango, PangoFT2; install: brew install pango")


def test_a_mac_library_outside_the_loader_s_path_is_found(machine: Callable[..., None]) -> None:
    machine(
        kind="darwin",
        absent=("libfontconfig",),
        found={"fontconfig": "/opt/homebrew/lib/fontconfig.dylib"},
    )
    assert system.missing_parts() == ()


def test_windows_is_sent_to_wsl(machine: Callable[..., None]) -> None:
    machine(kind="win32", absent=("pango",))
    assert "WSL" in refusal()


@pytest.mark.parametrize("release", [None, {}, {"ID": "strange"}])
def test_an_unknown_system_still_gets_one_line_that_names_the_parts(
    machine: Callable[..., None], release: dict[str, str] | None
) -> None:
    machine(release=release, absent=("pango",))
    assert refusal() == (
        "the system parts are not installed that packgen prints with: Pango, PangoFT2; "
        "install Pango, HarfBuzz with its subset library and Fontconfig by this system's own means"
    )


def test_the_check_needs_nothing_beyond_the_standard_library() -> None:
    """The set-up asks before a single package is installed."""
    script = "import sys; sys.path.insert(0, '.'); from packgen.render import system; system.missing_parts()"
    run = subprocess.run(
        [sys.executable, "-I", "-S", "-c", script], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (run.returncode, run.stderr) == (0, "")
