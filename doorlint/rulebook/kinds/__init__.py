"""The closed set of kinds of check; a new one is a file in this room and a line here."""

from collections.abc import Mapping

from doorlint.rulebook.kinds.at_least import AtLeast
from doorlint.rulebook.kinds.at_most import AtMost
from doorlint.rulebook.kinds.between import Between
from doorlint.rulebook.kinds.in_order import InOrder
from doorlint.rulebook.kinds.kind import Kind
from doorlint.rulebook.kinds.near import Near
from doorlint.rulebook.kinds.one_of import OneOf
from doorlint.rulebook.kinds.present import Present
from doorlint.rulebook.kinds.rising import Rising

__all__ = ["KINDS", "Kind"]

KINDS: Mapping[str, Kind] = {
    kind.name: kind for kind in (AtLeast(), AtMost(), Between(), Near(), OneOf(), Rising(), InOrder(), Present())
}
"""By the key that marks a kind in a rule's ``check``."""
