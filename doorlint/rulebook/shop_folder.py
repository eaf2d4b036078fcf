"""House-rule folders as they are read: the same place with the same files is the same folder."""

from __future__ import annotations

import os
from functools import lru_cache

from doorlint.file_input import PathName
from doorlint.revisions import FolderAt
from doorlint.rulebook import files


def shop_folder(place: PathName | FolderAt) -> ShopFolder:
    """The folder as it is now, or as it was at a commit."""
    return _at_commit(place) if isinstance(place, FolderAt) else ShopFolder(files.contents(place))


@lru_cache(maxsize=32)
def _at_commit(place: FolderAt) -> ShopFolder:
    """What a folder holds at a commit never changes, so git is asked once."""
    return ShopFolder(files.contents(place))


class ShopFolder:
    """The files of a house-rule folder; one is like another that lies at the same place and holds the same."""

    def __init__(self, content: files.Contents) -> None:
        self.content = content
        self.name = os.path.basename(os.path.normpath(content.place))
        self.digest = files.digest_of(content)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ShopFolder) and self._identity == other._identity

    def __hash__(self) -> int:
        return hash(self._identity)

    @property
    def _identity(self) -> tuple[str, str]:
        return os.fspath(self.content.place), self.digest
