"""What a page may load while it is drawn: files of the given folders, nothing else.

In: the folders a page may take parts from (templates with their styles and drawings, fonts).
Out: a `LocalFetcher` for WeasyPrint, to be given to `HTML` and to every `CSS`.
Vocabulary: a *part* is anything a page names by address: style sheet, font, picture, drawing.
Governing text: RFC 8089 (the file scheme); the rest is our own rule.

A refused or missing part stops the whole page with `FatalURLFetchingError`: WeasyPrint would go on without
an ordinary error's part, and a crew would hold a page with a drawing or a style silently gone. That error is
a `BaseException`, so whoever renders must catch it by name. Inside a drawing WeasyPrint 70 swallows even that
one (it catches everything round an SVG), so whoever renders must also call `raise_if_refused` once the PDF is
written. Symlinks are followed before the folder is looked at; the file that was looked at is the file read.
"""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import url2pathname

from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

__all__ = ["FORBIDDEN", "FatalURLFetchingError", "LocalFetcher", "fetcher"]

FORBIDDEN = "forbidden page part {url}: {reason}; a page is made only from files in {folders}"

# WeasyPrint refuses a style sheet by its media type; the rest it tells from the bytes. A table of our own,
# because the type an operating system gives to a file name differs from machine to machine.
MEDIA_TYPES = {
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ttf": "font/ttf",
    ".otf": "font/otf",
}

LONGEST_URL_SHOWN = 120


class LocalFetcher(URLFetcher):  # type: ignore[misc]  # the base class has no types
    """Reads files below `folders`; refuses every other address by stopping the page."""

    def __init__(self, folders: tuple[Path, ...]) -> None:
        super().__init__(allowed_protocols=("file",), allow_redirects=False, fail_on_errors=True)
        self.folders = tuple(folder.resolve(strict=True) for folder in folders)
        self.refusals: list[str] = []

    # `headers` is WeasyPrint's: a file has none to ask for.
    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:  # noqa: ARG002
        """The part at `url`; raises `FatalURLFetchingError` where it is missing or not ours to read."""
        path = self._permitted_file(url)
        try:
            body = path.read_bytes()
        except OSError as error:
            raise self._refusal(url, f"cannot be read ({error.strerror})") from error
        kind = MEDIA_TYPES.get(path.suffix.lower(), "application/octet-stream")
        return URLFetcherResponse(path.as_uri(), body, {"Content-Type": kind})

    def raise_if_refused(self) -> None:
        """Raise `FatalURLFetchingError` where a part was refused, though the page was drawn without it."""
        if self.refusals:
            raise FatalURLFetchingError("\n".join(self.refusals))

    def _permitted_file(self, url: str) -> Path:
        try:
            address = urlsplit(url)
            path = Path(url2pathname(address.path))
            if address.scheme != "file":
                raise self._refusal(url, f"the scheme '{address.scheme}' is not file")
            if address.netloc not in ("", "localhost"):
                raise self._refusal(url, "it names another machine")
            path = path.resolve(strict=True)
        # RuntimeError: a ring of symlinks (Python below 3.13); ValueError: a malformed address or a NUL in
        # the path.
        except (OSError, RuntimeError, ValueError) as error:
            raise self._refusal(url, "there is no such file") from error
        if not any(path.is_relative_to(folder) for folder in self.folders):
            raise self._refusal(url, "it lies outside these folders")
        if not path.is_file():
            raise self._refusal(url, "it is not a plain file")
        return path

    def _refusal(self, url: str, reason: str) -> FatalURLFetchingError:
        shown = url if len(url) <= LONGEST_URL_SHOWN else url[:LONGEST_URL_SHOWN] + "…"
        folders = ", ".join(str(folder) for folder in self.folders) or "no folder"
        message = FORBIDDEN.format(url=shown, reason=reason, folders=folders)
        if message not in self.refusals:
            self.refusals.append(message)
        return FatalURLFetchingError(message)


def fetcher(*folders: Path) -> LocalFetcher:
    """A fetcher that reads only files below `folders`."""
    return LocalFetcher(folders)
