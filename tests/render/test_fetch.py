"""The fetcher: what a page may load, and that anything else stops the page."""

from __future__ import annotations

import io
import logging
from pathlib import Path

import fontpkg_lato
import pikepdf
import pytest
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration

from packgen.render.fetch import FatalURLFetchingError, fetcher

FONTS = Path(fontpkg_lato.ROOT) / "files"

# A square drawing, and ways in which a page names a part; {} is the part's address.
SQUARE = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'>{}</svg>"
WAYS = {
    "picture": "<img src='{}'>",
    "background": "<style>p {{ background: url({}) }}</style><p>text</p>",
    "import": "<style>@import '{}';</style><p>text</p>",
    "style sheet": "<link rel='stylesheet' href='{}'><p>text</p>",
    "font": "<style>@font-face {{ font-family: F; src: url({}) }} p {{ font-family: F }}</style><p>text</p>",
    "drawing in the page": SQUARE.format("<image width='9' height='9' href='{}'/>"),
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A template folder, beside a file that no page may read."""
    (tmp_path / "secret.svg").write_text(SQUARE.format("<text>secret</text>"))
    templates = tmp_path / "templates"
    templates.mkdir()
    (templates / "way-out.svg").symlink_to(tmp_path / "secret.svg")
    (templates / "way-out").symlink_to(tmp_path)
    (templates / "ring.svg").symlink_to(templates / "ring.svg")
    return templates


def addresses(folder: Path) -> dict[str, str]:
    """Parts that no page may have, by what is wrong with them."""
    return {
        "a system file": "file:///etc/passwd",
        "a climb": "../secret.svg",
        "a written-out climb": f"{folder.as_uri()}/%2e%2e/secret.svg",
        "a symlink to a file": "way-out.svg",
        "a symlink to a folder": "way-out/secret.svg",
        "a ring of symlinks": "ring.svg",
        "a device": "file:///dev/zero",
        "the folder itself": folder.as_uri() + "/",
        "a missing file": "missing.svg",
        "a NUL": f"{folder.as_uri()}/a%00b.svg",
        "another machine": "file://example.invalid/etc/passwd",
        "http": "http://127.0.0.1:9/a.svg",
        "https": "https://127.0.0.1:9/a.svg",
        "ftp": "ftp://127.0.0.1:9/a.svg",
        "data": "data:image/svg+xml,%3Csvg/%3E",
        "an unknown scheme": "gopher://127.0.0.1:9/a.svg",
        "a malformed address": "http://[1/a.svg",
    }


def draw(html: str, folder: Path) -> bytes:
    """Draw a page as a renderer must: with the fetcher, and asking it afterwards."""
    fetch = fetcher(folder, FONTS)
    pdf = bytes(HTML(string=html, base_url=folder.as_uri() + "/", url_fetcher=fetch).write_pdf())
    fetch.raise_if_refused()
    return pdf


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("wrong", addresses(Path("/")))
def test_a_part_that_is_not_ours_stops_the_page(folder: Path, way: str, wrong: str) -> None:
    """No way of naming a part lets a page go on without it."""
    with pytest.raises(FatalURLFetchingError, match="forbidden page part"):
        draw(WAYS[way].format(addresses(folder)[wrong]), folder)


@pytest.mark.parametrize("wrong", ["a system file", "a climb", "http", "data"])
def test_a_part_named_inside_a_drawing_file_stops_the_page(folder: Path, wrong: str) -> None:
    """A drawing of ours may not lead to a part that is not ours."""
    inner = f"<image width='9' height='9' href='{addresses(folder)[wrong]}'/>"
    (folder / "drawing.svg").write_text(SQUARE.format(inner))
    with pytest.raises(FatalURLFetchingError, match="forbidden page part"):
        draw("<img src='drawing.svg'>", folder)


def test_a_style_sheet_of_its_own_is_held_to_the_same_folders(folder: Path) -> None:
    """`CSS` takes the fetcher too, and refuses what it imports."""
    with pytest.raises(FatalURLFetchingError, match="forbidden page part"):
        CSS(string="@import 'file:///etc/passwd';", url_fetcher=fetcher(folder))


@pytest.mark.parametrize(
    ("address", "reason"),
    [
        ("file:///etc/passwd", "outside these folders"),
        ("http://127.0.0.1/a", "the scheme 'http' is not file"),
        ("file://example.invalid/a", "another machine"),
        ("file:///dev/nowhere/at/all", "no such file"),
    ],
)
def test_a_refusal_says_what_was_refused_and_why(folder: Path, address: str, reason: str) -> None:
    """The message holds the address, the reason and the folders that are allowed."""
    with pytest.raises(FatalURLFetchingError) as refusal:
        fetcher(folder)(address)
    assert address in str(refusal.value)
    assert reason in str(refusal.value)
    assert str(folder.resolve()) in str(refusal.value)


def test_a_long_address_is_shortened_in_the_message(folder: Path) -> None:
    """A whole picture written into an address does not fill the terminal."""
    with pytest.raises(FatalURLFetchingError) as refusal:
        fetcher(folder)("data:image/png;base64," + "A" * 10_000)
    assert len(str(refusal.value)) < 500


def test_an_ordinary_except_does_not_swallow_a_refusal() -> None:
    """WeasyPrint catches `Exception` round every part; a refusal must pass through."""
    assert not issubclass(FatalURLFetchingError, Exception)


def test_parts_of_our_own_are_loaded_without_a_log_record(
    folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """Style sheet, import, drawing and font; a query or a symlink inside a folder changes nothing."""
    (folder / "page.css").write_text("@import 'more.css?v=2';")
    bold = (FONTS / "Lato-Bold.ttf").as_uri()
    (folder / "more.css").write_text(
        f"@font-face {{ font-family: Lato; font-weight: 700; src: url({bold}) }}p {{ font: 700 12pt Lato }}"
    )
    (folder / "square.svg").write_text(SQUARE.format("<rect width='9' height='9'/>"))
    (folder / "same.svg").symlink_to(folder / "square.svg")
    fonts = FontConfiguration()
    fetch = fetcher(folder, FONTS)
    page = HTML(
        string="<link rel='stylesheet' href='page.css'><p>Peel</p><img src='same.svg'>",
        base_url=folder.as_uri() + "/",
        url_fetcher=fetch,
    )
    with caplog.at_level(logging.WARNING):
        pdf = page.write_pdf(font_config=fonts)
    assert caplog.records == []
    fetch.raise_if_refused()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        fonts_used = [str(font.BaseFont) for font in document.pages[0].resources.Font.values()]
    assert [name.partition("+")[2] for name in fonts_used] == ["Lato-Bold"]


def test_a_folder_that_is_not_there_is_an_error_at_once(tmp_path: Path) -> None:
    """A mistyped folder must not turn into a page without styles."""
    with pytest.raises(FileNotFoundError):
        fetcher(tmp_path / "templtes")
