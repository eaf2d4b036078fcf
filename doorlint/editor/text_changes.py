"""From one text to another: the edits that an editor makes, line by line."""

from __future__ import annotations

from difflib import SequenceMatcher

from doorlint.editor.protocol import Range, TextEdit
from doorlint.editor.text_lines import TextLines

__all__ = ["changed_to", "text_edits"]


def text_edits(old: str, new: str) -> tuple[TextEdit, ...]:
    """The edits that turn one text into another, whole lines at a time.

    >>> text_edits("room:\\n  back: 16 ft\\n", "room:\\n  back: 17 ft\\n")[0].text
    '  back: 17 ft\\n'
    """
    lines = TextLines(old)
    before, after = old.splitlines(keepends=True), new.splitlines(keepends=True)
    starts = [0]
    for line in before:
        starts.append(starts[-1] + len(line))
    return tuple(
        TextEdit(
            Range(lines.at_offset(starts[first]), lines.at_offset(starts[last])), "".join(after[new_first:new_last])
        )
        for tag, first, last, new_first, new_last in SequenceMatcher(None, before, after, False).get_opcodes()
        if tag != "equal"
    )


def changed_to(text: str, edits: tuple[TextEdit, ...]) -> str:
    """The text with edits made, as an editor makes them.

    >>> changed_to("room:\\n  back: 16 ft\\n", text_edits("room:\\n  back: 16 ft\\n", "room:\\n"))
    'room:\\n'
    """
    lines = TextLines(text)
    for edit in sorted(edits, key=lambda edit: edit.range, reverse=True):
        text = text[: lines.offset(edit.range.start)] + edit.text + text[lines.offset(edit.range.end) :]
    return text
