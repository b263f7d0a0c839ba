"""The page as a PDF, printed by a Chromium that is already on the machine."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

from assistant.report.export_file import PDF_MARK

_NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


class PdfError(RuntimeError):
    """No PDF could be printed; the message is one sentence with a remedy."""


def find_browser() -> str | None:
    """The browser that can print, or None."""
    return next((found for name in _NAMES if (found := shutil.which(name))), None)


def print_pdf(html: str, timeout_s: float = 60.0) -> bytes:
    """Print ``html``; returns the PDF.

    The browser runs without a network (its proxy leads nowhere) and with a profile of its own.

    Raises:
        PdfError: there is no browser, or it failed.
    """
    browser = find_browser()
    if browser is None:
        raise PdfError(
            "Printing a PDF needs Chromium, which is not installed; install it, or open the HTML "
            "page in any browser and print it from there."
        )
    with tempfile.TemporaryDirectory(prefix="kb-pdf-") as folder:
        page, made = Path(folder) / "record.html", Path(folder) / "record.pdf"
        page.write_text(html, encoding="utf-8")
        command = [
            browser, "--headless", "--disable-gpu", "--no-sandbox", "--no-first-run",
            "--proxy-server=127.0.0.1:9", f"--user-data-dir={folder}/profile",
            "--no-pdf-header-footer", f"--print-to-pdf={made}", page.as_uri(),
        ]  # fmt: skip
        try:
            subprocess.run(command, check=True, capture_output=True, timeout=timeout_s)
            return made.read_bytes() + PDF_MARK
        except subprocess.TimeoutExpired as fault:
            raise PdfError(
                f"{browser} did not print within {timeout_s:.0f} seconds; print the HTML page "
                "by hand."
            ) from fault
        except (subprocess.CalledProcessError, OSError) as fault:
            raise PdfError(
                f"The PDF could not be printed ({fault}); print the HTML page by hand."
            ) from fault
