"""What a figure takes and gives: SI floats named by their dimension, and columns of them.

The names are read from the annotations of the figure functions, so that a rule's two sides can be
checked for one dimension before anything runs. At run time each is a plain ``float``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

if TYPE_CHECKING:
    from doorlint.figures.table import Table as Table
else:
    Table = Any

T = TypeVar("T")

Each: TypeAlias = dict[str, T]
"""A whole column: the key of every named thing, in natural order, with its value."""

Length: TypeAlias = float
"""metres"""
Position: TypeAlias = float
"""metres, with a sign"""
Weight: TypeAlias = float
"""newtons; a weight or a force"""
Pull: TypeAlias = float
"""newtons, with a sign: up is positive"""
Slope: TypeAlias = float
"""metres of rise per metre of run"""
Grade: TypeAlias = float
"""metres of rise per metre of run, with a sign: rising toward the back is positive"""
Pressure: TypeAlias = float
"""pascals"""
Stress: TypeAlias = float
"""pascals"""
Angle: TypeAlias = float
"""radians"""
Torque: TypeAlias = float
"""newton metres"""
SpringRate: TypeAlias = float
"""newtons per metre"""
TorqueRate: TypeAlias = float
"""newton metres per turn"""
WeightPerLength: TypeAlias = float
"""newtons per metre"""
Density: TypeAlias = float
"""newtons per cubic metre"""
Area: TypeAlias = float
"""square metres"""
Speed: TypeAlias = float
"""metres per second"""
Time: TypeAlias = float
"""seconds"""
SecondMoment: TypeAlias = float
"""metres to the fourth"""
SectionModulus: TypeAlias = float
"""cubic metres"""
Voltage: TypeAlias = float
"""volts"""
Frequency: TypeAlias = float
"""per second"""
Share: TypeAlias = float
"""a pure number, shown as a share of the whole"""
Ratio: TypeAlias = float
"""a pure number"""
Turns: TypeAlias = float
"""turns of a shaft"""
Count: TypeAlias = int
"""how many"""
Flag: TypeAlias = bool
"""true or false"""
Text: TypeAlias = str
"""a choice, a name or words"""
