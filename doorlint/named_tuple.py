"""Named tuples that are quick to make, for modules that every review imports.

``typing.NamedTuple`` compiles the annotation of every field, and ``collections.namedtuple`` a constructor for every
class: with a hundred classes that is a tenth of the time of a short review. Here annotations stay text, because nobody
reads them while the program runs, and classes with as many fields share a compiled constructor: each has a copy of it
with the names of its own fields.
"""

from __future__ import annotations

from collections import namedtuple
from functools import cache
from typing import TYPE_CHECKING

__all__ = ["NamedTuple"]

if TYPE_CHECKING:
    from typing import NamedTuple
else:

    @cache
    def _shape(count):
        """A named tuple with as many fields."""
        return namedtuple("Shape", [f"field_{place}" for place in range(count)])

    def _replace(self, /, **changes):
        """The same tuple with some fields changed."""
        made = self._make(map(changes.pop, self._fields, self))
        if changes:
            raise ValueError(f"there are no fields {list(changes)}")
        return made

    def _repr(self):
        inside = ", ".join(f"{field}={value!r}" for field, value in zip(self._fields, self, strict=True))
        return f"{type(self).__name__}({inside})"

    class _Maker(type):
        def __new__(cls, name, bases, body):
            if not bases:
                return super().__new__(cls, name, bases, body)
            fields = tuple(body["__annotations__"])
            defaults = tuple(body[field] for field in fields if field in body)
            shape = _shape(len(fields))
            code = shape.__new__.__code__.replace(co_varnames=("_cls", *fields))
            getters = {field: getattr(shape, place) for field, place in zip(fields, shape._fields, strict=True)}
            made = {
                "__repr__": _repr,
                "_replace": _replace,
                **body,
                **getters,
                "__slots__": (),
                "__match_args__": fields,
                "__new__": type(_repr)(code, shape.__new__.__globals__, "__new__", defaults),
                "_fields": fields,
            }
            return type(name, (shape,), made)

    class _Named(metaclass=_Maker):
        pass

    class _Marker:
        """What a class names as its base to become a named tuple."""

        def __mro_entries__(self, bases):
            return (_Named,)

    NamedTuple = _Marker()
