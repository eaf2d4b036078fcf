"""The settings of a repository of specs: ``.doorlint.yaml`` at its root.

What the caller asks for overrides the settings, and the settings override the defaults.
"""

from __future__ import annotations

import json
import os
import posixpath
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from doorlint.errors import DoorlintError
from doorlint.fast_schema import compile_schema
from doorlint.file_input import PathName, head
from doorlint.hashing import hash_of
from doorlint.named_tuple import NamedTuple
from doorlint.resources import content
from doorlint.revisions import FolderAt, bytes_at, commit_of, is_unborn, top_and_prefix
from doorlint.rulebook.library import Library
from doorlint.rulebook.rule import SEVERITIES, Severity
from doorlint.schema_refusal import refusal
from doorlint.spec.problems import shown
from doorlint.spec.yaml_positions import LIMIT, Marked, parse
from doorlint.verdict import Regrade, Units

__all__ = ["NAME", "BrokenSettings", "Settings", "find", "folder_at", "load", "load_at", "severities"]

NAME = ".doorlint.yaml"


class BrokenSettings(DoorlintError):
    """The settings cannot be used; the message names file, line and fix."""


class Settings(NamedTuple):
    """What a shop has set; ``None`` and empty where it has not."""

    path: str = NAME
    house_rules: tuple[PathName | FolderAt, ...] = ()
    hold_at: Severity | None = None
    units: Units | None = None
    rulebook: str = ""
    """address of the page of rules"""
    grades: Mapping[str, Regrade] = {}
    """by the id of the rule; see :func:`severities`"""
    approvers: tuple[str, ...] | None = None
    """who may sign off; ``None`` where anybody may"""
    digest: str = ""
    """of the file; empty where there is none"""
    revision: str = ""
    """the git revision they are read from, as it was named, with its commit"""
    marked: Marked = Marked(None)
    """the file's tree, for the places of what is wrong with it"""

    def broken(self, path: tuple[str | int, ...], message: str) -> BrokenSettings:
        """What is wrong at a place of the file."""
        line, column = self.marked.position(path)
        return BrokenSettings(f"{self.path}:{line}:{column}: {message}")


def find(start: str) -> str | None:
    """The settings that hold for a folder: its own, or those of the nearest folder above it in its git repository.

    Outside of a repository no folder above counts: anybody may have put a file there.
    """
    own = found = None
    above, below = os.path.abspath(start), ""
    while above != below:
        path = os.path.join(above, NAME)
        if found is None and os.path.lexists(path):
            found = path
            own = own or (path if not below else None)
        if os.path.lexists(os.path.join(above, ".git")):
            return found
        above, below = os.path.dirname(above), above
    return own


def load(path: str) -> Settings:
    """Read one file of settings; raises :class:`BrokenSettings`."""
    try:
        data = head(path, LIMIT + 1)
    except OSError as error:
        raise BrokenSettings(f"{path}: cannot be read: {error.strerror or error}") from None
    return _read(data, path, lambda name: os.path.join(os.path.dirname(path), name))


def load_at(revision: str) -> Settings:
    """The settings for the working folder as they are at a git revision, with the house rules of that revision.

    Raises :class:`doorlint.errors.WrongCall` where git knows no such revision, and :class:`BrokenSettings`.
    """
    if revision == "HEAD" and is_unborn():
        return Settings(f"HEAD:{NAME}", revision="HEAD (no commit yet)")
    commit = commit_of(revision)
    top, prefix = top_and_prefix()
    label = f"{revision} ({commit[:12]})"
    folder = prefix.rstrip("/")
    while True:
        found = bytes_at(FolderAt(top, commit, folder, ""), NAME)
        if found is not None:
            path = f"{revision}:{folder}/{NAME}" if folder else f"{revision}:{NAME}"
            settings = _read(found, path, partial(_house_at, revision, folder))
            return settings._replace(revision=label)
        if not folder:
            return Settings(f"{revision}:{NAME}", revision=label)
        folder = folder.rpartition("/")[0]


def _house_at(revision: str, base: str, name: str) -> FolderAt:
    return folder_at(revision, name, base)


def folder_at(revision: str, name: str, base: str | None = None) -> FolderAt:
    """A house-rule folder at a git revision; ``base`` is the folder that its path starts from, else the working one.

    Raises :class:`BrokenSettings` for one that lies outside of the repository.
    """
    top, prefix = top_and_prefix()
    path = posixpath.normpath(posixpath.join(prefix.rstrip("/") if base is None else base, name.replace(os.sep, "/")))
    if path.startswith(("/", "../")) or path == "..":
        raise BrokenSettings(f"{name}: is outside of the repository, so git holds none at {revision}; move it inside")
    return FolderAt(top, commit_of(revision), "" if path == "." else path, f"{revision}:{path}")


def _read(data: bytes, path: str, folder: Callable[[str], PathName | FolderAt]) -> Settings:
    """The settings that a file holds; ``folder`` makes a house-rule folder of its name there."""
    marked = parse(data)
    if marked.problem is not None:
        raise BrokenSettings(f"{path}:{marked.problem.line}:{marked.problem.column}: {marked.problem.message}")
    settings = Settings(path, digest=hash_of(data)[:12], marked=marked)
    if marked.tree is None:
        return settings
    schema = json.loads(content("schemas", "settings.schema.json"))
    if not compile_schema(schema)(marked.tree):
        found = refusal(marked.tree, schema)
        if found is not None:
            raise settings.broken(*found)
    tree: Any = marked.tree
    return settings._replace(
        house_rules=tuple(map(folder, tree.get("house_rules", ()))),
        hold_at=tree.get("hold_at"),
        units=tree.get("units"),
        rulebook=tree.get("rulebook", ""),
        grades={
            rule: Regrade(to["to"], to.get("reason", ""), marked.position(("severity", rule))[0])
            for rule, to in tree.get("severity", {}).items()
        },
        approvers=tuple(name.strip() for name in tree["approvers"]) if "approvers" in tree else None,
    )


def severities(settings: Settings, library: Library) -> dict[str, Regrade]:
    """The severities that the shop sets, each checked against the rule itself.

    A severity may be raised freely. Lowering one takes a reason, and is refused for what nobody may sign off. Raises
    :class:`BrokenSettings` for that, and for a rule that there is not.
    """
    if not settings.grades:
        return {}
    from doorlint.builtin_rules import BUILTIN_RULES

    for rule, grade in settings.grades.items():
        at = ("severity", rule)
        found = library.all_rules.get(rule) or BUILTIN_RULES.get(rule)
        if found is None:
            from difflib import get_close_matches

            near = get_close_matches(rule, [*library.all_rules, *BUILTIN_RULES], 1, 0.6)
            fix = f"write {near[0]}" if near else "`doorlint rulebook` lists them"
            raise settings.broken(at, f"found the rule {shown(rule)}; expected a rule that there is; {fix}")
        if SEVERITIES.index(grade.severity) <= SEVERITIES.index(found.severity):
            continue
        if rule not in library.all_rules or library.all_rules[rule].sign_off == "never":
            reason = f"expected {found.severity}, since nobody may sign it off; take the line out"
            raise settings.broken((*at, "to"), f"found {grade.severity} for {rule}; {reason}")
        if not grade.reason.strip():
            raise settings.broken(
                at, f"found {grade.severity} for {rule}, less than its {found.severity}; expected a reason; "
                "add `reason:` with why this shop may"
            )  # fmt: skip
    return dict(settings.grades)
