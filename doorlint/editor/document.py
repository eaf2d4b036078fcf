"""One open text reviewed, with the last figures that could be worked out of it."""

from __future__ import annotations

from typing import NamedTuple

from doorlint.batch import Call, reviews
from doorlint.editor.text_lines import TextLines
from doorlint.figures.graph import Job
from doorlint.findings import SpecReview
from doorlint.rulebook.library import Library
from doorlint.sources import Source
from doorlint.spec import Spec, declares

__all__ = ["Document", "Figures", "reviewed", "source_of"]


class Figures(NamedTuple):
    """What was worked out of a text that could be read."""

    spec: Spec
    job: Job
    stage: str
    lines: TextLines
    """of that text"""


class Document(NamedTuple):
    """A text reviewed.

    ``figures`` are those of this text, or of the last one that could be read while this one cannot.
    """

    path: str
    text: str
    lines: TextLines
    call: Call
    library: Library
    review: SpecReview
    figures: Figures | None

    @property
    def is_readable(self) -> bool:
        """Whether the figures are those of this very text."""
        return self.review.verdict != "unreadable"


def source_of(path: str, text: str) -> Source:
    """The text of a file as it is in the editor, with the sign-offs that lie beside the file."""
    return Source(path, path, text.encode("utf-8", "surrogatepass"))


def reviewed(path: str, text: str, call: Call, before: Document | None = None) -> Document | None:
    """A text reviewed; ``None`` for one that does not declare itself as a spec.

    ``before`` is the same document as it was reviewed last. Raises :class:`doorlint.errors.BrokenRules` for house
    rules that cannot be used.
    """
    source = source_of(path, text)
    if not declares(source.data or b""):
        return None
    lines = TextLines(text)
    (review,) = reviews((source,), call)
    figures = None if before is None else before.figures
    if review.spec is not None and review.job is not None and review.stage is not None:
        figures = Figures(review.spec, review.job, review.stage, lines)
    return Document(path, text, lines, call, call.library(), review, figures)
