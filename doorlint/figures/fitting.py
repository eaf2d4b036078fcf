"""Each kind of part that carries the door or its counterweight: what one of them carries, and in which case."""

from __future__ import annotations

from doorlint.figures.kinds import Each, Text, Weight
from doorlint.mechanics import load_path


def force(
    load_path_fittings: dict[str, tuple[load_path.Case, ...]], fitting_capacity: Each[Weight | None]
) -> Each[Weight | None]:
    """Most that a part of this kind carries

    Does not apply to a part that this door does not have.

    Formula: largest force of all cases
    Unit: N
    Source: derived; statics of door, cables and hanging stack

    >>> force({"hinge": (load_path.Case("anywhere in travel", 150.0),)}, {"hinge": 900.0, "lock": 900.0})
    {'hinge': 150.0, 'lock': None}
    """
    worst = {key: load_path.governing(load_path_fittings.get(key, ())) for key in fitting_capacity}
    return {key: None if case is None else case.force for key, case in worst.items()}


def case(
    load_path_fittings: dict[str, tuple[load_path.Case, ...]], fitting_capacity: Each[Weight | None]
) -> Each[Text | None]:
    """The case in which a part of this kind carries most

    Formula: case of the largest force
    Unit: -
    Source: derived; statics of door, cables and hanging stack

    >>> case({"hinge": (load_path.Case("anywhere in travel", 150.0),)}, {"hinge": 900.0})
    {'hinge': 'anywhere in travel'}
    """
    worst = {key: load_path.governing(load_path_fittings.get(key, ())) for key in fitting_capacity}
    return {key: None if found is None else found.case for key, found in worst.items()}
