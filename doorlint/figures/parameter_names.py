"""How the names of values and figures are spoken as parameters of a figure."""

from __future__ import annotations


def spoken(name: str) -> str:
    """The parameter that stands for a name.

    >>> spoken("practice.hook-up.band")
    'practice_hook_up_band'
    """
    return name.replace(".", "_").replace("-", "_")


def spoken_alike(names: list[str]) -> list[str]:
    """The names that would be one parameter, those of each parameter in one text."""
    by_speech: dict[str, list[str]] = {}
    for name in names:
        by_speech.setdefault(spoken(name), []).append(name)
    return [" and ".join(same) for same in by_speech.values() if len(same) > 1]
