"""What the graph must know of a figure before it is worked out: kinds of its parameters and its value, and its gain.

A signature can be kept between runs. The module of the figure is then imported when the figure is first worked out, so
that a short review imports no more of them than its job asks for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from importlib import import_module
from types import FunctionType, ModuleType
from typing import Any

from doorlint.figures import SUBJECTS
from doorlint.figures.error_gain import ErrorGain, gain_of

__all__ = ["Signature", "read", "signatures_of", "written"]


class Signature:
    """A figure: its own ``name`` in its ``module`` of this room, its ``kinds`` (the annotation of every parameter in
    order, and of what it returns) and what it makes of errors (``gain``)."""

    def __init__(
        self, module: str, name: str, kinds: Mapping[str, str], gain: ErrorGain, find: Callable[[], FunctionType]
    ) -> None:
        self.module, self.name, self.kinds, self.gain = module, name, kinds, gain
        self._find = find
        self._figure: FunctionType | None = None

    def figure(self) -> FunctionType:
        """The figure itself."""
        if self._figure is None:
            self._figure = self._find()
        return self._figure

    def __call__(self, *arguments: Any) -> Any:
        """What the figure comes to; where arguments are missing nobody calls it, and its module is not imported."""
        return (self._figure or self.figure())(*arguments)


def signatures_of(modules: Iterable[ModuleType]) -> dict[str, Signature]:
    """The signatures of every public function of some modules, by the names of the figures."""
    return {
        f"{getattr(module, 'SUBJECT', _last(module.__name__))}.{key}": _signature(module, function)
        for module in modules
        for key, function in vars(module).items()
        if isinstance(function, FunctionType) and key[:1] != "_" and function.__module__ == module.__name__
    }


def written(signatures: Mapping[str, Signature]) -> dict[str, Any]:
    """Signatures as plain data, and back with :func:`read`.

    >>> from doorlint.figures import wind
    >>> kept = written(signatures_of([wind]))
    >>> read(kept)["wind.demand"].figure() is wind.demand
    True
    """
    return {name: [one.module, one.name, one.kinds, one.gain] for name, one in signatures.items()}


def read(said: Mapping[str, Any]) -> dict[str, Signature]:
    """The signatures of plain data; raises :class:`TypeError` or :class:`ValueError` for a module that is not of this
    room."""
    found = {}
    for figure, (module, name, kinds, gain) in said.items():
        if module not in SUBJECTS or type(name) is not str or not all(type(kind) is str for kind in kinds.values()):
            raise ValueError(f"{figure} is not a signature")
        found[figure] = Signature(module, name, kinds, ErrorGain(*gain), partial(_find, module, name))
    return found


def _signature(module: ModuleType, function: FunctionType) -> Signature:
    code, notes = function.__code__, function.__annotations__
    names = [*code.co_varnames[: code.co_argcount], "return"]
    kinds = {name: notes[name] for name in names}
    return Signature(_last(module.__name__), function.__name__, kinds, gain_of(function), lambda: function)


def _find(module: str, name: str) -> FunctionType:
    home = f"doorlint.figures.{module}"
    found = getattr(import_module(home), name)
    if not isinstance(found, FunctionType) or found.__module__ != home:
        raise TypeError(f"{home}.{name} is not a figure")
    return found


def _last(name: str) -> str:
    return name.rpartition(".")[2]
