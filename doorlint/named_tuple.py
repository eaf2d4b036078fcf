"""Named tuples that are quick to make, for modules that every review imports.

``typing.NamedTuple`` compiles the annotation of every field when a module is imported: with a hundred of them that is
an eighth of the time of a short review. Nobody reads these annotations while the program runs, so they stay text.
"""

from __future__ import annotations

from collections import namedtuple
from typing import TYPE_CHECKING

__all__ = ["NamedTuple"]

if TYPE_CHECKING:
    from typing import NamedTuple
else:

    class _Maker(type):
        def __new__(cls, name, bases, body):
            if not bases:
                return super().__new__(cls, name, bases, body)
            fields = body["__annotations__"]
            defaults = [body[field] for field in fields if field in body]
            made = namedtuple(name, fields, defaults=defaults, module=body["__module__"])
            for key, value in body.items():
                if key not in fields and key not in ("__module__", "__qualname__"):
                    setattr(made, key, value)
            return made

    class _Named(metaclass=_Maker):
        pass

    class _Marker:
        """What a class names as its base to become a named tuple."""

        def __mro_entries__(self, bases):
            return (_Named,)

    NamedTuple = _Marker()
