"""The calculation note from the contract, printed as HTML, PDF or Markdown by the suffix of the file."""

from pathlib import Path

from cli.notes.closing import utilisation_rows
from cli.notes.html import html_page
from cli.notes.markdown import markdown_text
from cli.notes.whole import note_of
from loadhistories.validation import InputError

__all__ = [
    "SUFFIXES", "note_html", "note_markdown", "note_pdf", "note_print", "require_print", "require_suffix",
    "utilisation_rows",
]  # fmt: skip

SUFFIXES = (".html", ".htm", ".pdf", ".md", ".txt")


def note_html(contract: dict) -> str:
    """The note as one HTML page that asks for nothing from outside.

    Parameters
    ----------
    contract : dict
        An assessment as `griplife assess --json` prints it.

    Returns
    -------
    str
        HTML with style sheet and pictures inside; the same contract gives the same text.
    """
    return html_page(note_of(contract))


def note_markdown(contract: dict) -> str:
    """The note as Markdown, which is plain text as well; pictures are told in words."""
    return markdown_text(note_of(contract))


def note_pdf(contract: dict) -> bytes:
    """The note as a PDF file; the same contract gives the same bytes.

    Raises
    ------
    InputError
        The package typst is not installed.
    """
    from cli.notes.pdf import pdf_file

    return pdf_file(note_of(contract))


def note_print(contract: dict, path: str | Path) -> bytes:
    """The note as the suffix of `path` asks for it.

    Raises
    ------
    InputError
        The suffix is none of SUFFIXES, or the package for it is not installed.
    """
    match require_suffix(path):
        case ".pdf":
            return note_pdf(contract)
        case ".md" | ".txt":
            return note_markdown(contract).encode("utf-8")
    return note_html(contract).encode("utf-8")


def require_print(path: str | Path) -> None:
    """Refuse a note that could not be printed: another suffix, or a package that is not installed."""
    if require_suffix(path) == ".pdf":
        from cli.notes.pdf import require_typst

        require_typst()


def require_suffix(path: str | Path) -> str:
    """The suffix of a note's file in small letters, refused if no print goes by it."""
    suffix = Path(path).suffix.lower()
    if suffix not in SUFFIXES:
        raise InputError(f"a note is written to a file that ends in {', '.join(SUFFIXES)}; got {str(path)!r}")
    return suffix
