"""Wind on the door as a part of the wall's cladding, after ASCE 7-98 to 7-16: both directions, allowable stress.

Held for flat ground, an enclosed building no higher than 60 ft and importance 1. A rating in allowable pressure is
compared with a pressure from a nominal wind speed, or with .6 of that from an ultimate one.
"""

from __future__ import annotations

from doorlint.errors import MissingInput, OutsideTable
from doorlint.figures.kinds import (
    Area,
    Count,
    Each,
    Length,
    Pressure,
    Ratio,
    Speed,
    Table,
    Text,
    WeightPerLength,
)
from doorlint.mechanics import wind

HIGHEST = 60.0 * 0.3048


def area(door_width: Length, section_height: Each[Length]) -> Area:
    """Area of the door that the wind meets

    Formula: width of the sections x their height together
    Unit: m2
    Source: derived; rectangle

    >>> area(3.0, {"s1": 0.5, "s2": 0.5})
    3.0
    """
    return door_width * sum(section_height.values())


def exposure_factor(wind_roof_height: Length, wind_exposure: Text, table_wind_exposure: Table) -> Ratio:
    """Velocity pressure exposure coefficient Kz at the mean roof height

    Formula: 2.01 (z/zg)^(2/alpha), z at least 15 ft, 30 ft in exposure B
    Unit: 1
    Source: second-hand; ASCE 7; 98 to 16; velocity pressure exposure coefficients

    >>> from doorlint.figures.table import Table
    >>> columns = ("exposure", "alpha", "gradient_feet", "floor")
    >>> table = Table("wind-exposure", columns, {"exposure": "exact"}, (("C", 9.5, 900.0, 4.572),))
    >>> round(exposure_factor(9.144, "C", table), 2)
    0.98
    """
    if wind_roof_height > HIGHEST * (1.0 + 1e-9):
        raise OutsideTable("these coefficients end at a mean roof height of 60 ft")
    alpha, gradient, floor = (
        table_wind_exposure.look(column, exposure=wind_exposure) for column in ("alpha", "gradient_feet", "floor")
    )
    return wind.exposure_factor(wind_roof_height, alpha, gradient * wind.FOOT, floor)


def velocity_pressure(wind_speed: Speed, wind_speed_map: Text, wind_exposure_factor: Ratio) -> Pressure:
    """Velocity pressure qh at the mean roof height, for allowable stress

    Formula: .00256 Kz Kd V^2 psf, Kd .85; x .6 for a speed from an ultimate map
    Unit: Pa
    Source: second-hand; ASCE 7; 98 to 16; velocity pressure; the .6 from memory of its load combinations

    >>> round(velocity_pressure(40.2336, "nominal", 0.7) / 47.88, 2)
    12.34
    """
    pressure = wind.velocity_pressure(wind_speed, wind_exposure_factor)
    return pressure * 0.6 if wind_speed_map == "ultimate" else pressure


def pressure_in(wind_velocity_pressure: Pressure, wind_area: Area, table_wall_coefficient: Table) -> Pressure:
    """Wind pressure that pushes the door in

    Formula: qh (GCp + .18), GCp by area
    Unit: Pa
    Source: memory; ASCE 7 Fig. 30.3-1

    >>> from doorlint.figures.table import Table
    >>> rows = (("toward the wall", 1.0, 0.1766),)
    >>> table = Table("wall-coefficient", ("side", "ten", "slope"), {"side": "exact"}, rows)
    >>> round(pressure_in(12.338, 63 * 0.3048**2, table), 2)
    12.82
    """
    return _pressure(wind_velocity_pressure, wind_area, "toward the wall", table_wall_coefficient)


def pressure_out(
    wind_velocity_pressure: Pressure, wind_area: Area, wind_zone: Count, table_wall_coefficient: Table
) -> Pressure:
    """Wind pressure that sucks the door out

    Formula: qh (|GCp| + .18), GCp by area and zone of the wall
    Unit: Pa
    Source: memory; ASCE 7 Fig. 30.3-1

    >>> from doorlint.figures.table import Table
    >>> rows = (("away in zone 5", 1.4, 0.3532),)
    >>> table = Table("wall-coefficient", ("side", "ten", "slope"), {"side": "exact"}, rows)
    >>> round(pressure_out(1000.0, 10 * 0.3048**2, 5, table), 1)
    1580.0
    """
    return _pressure(wind_velocity_pressure, wind_area, f"away in zone {wind_zone}", table_wall_coefficient)


def _pressure(velocity_pressure: Pressure, area: Area, side: Text, table: Table) -> Pressure:
    ten, slope = (table.look(column, side=side) for column in ("ten", "slope"))
    return velocity_pressure * (wind.wall_coefficient(area, ten, slope) + wind.INSIDE)


def site_pressure(wind_pressure_in: Pressure, wind_pressure_out: Pressure) -> Pressure:
    """Wind pressure of the site on the door, the worse of both directions

    Formula: the greater of in and out
    Unit: Pa
    Source: derived; a rating without a direction holds for both

    >>> site_pressure(600.0, 700.0)
    700.0
    """
    return max(wind_pressure_in, wind_pressure_out)


def demand(
    wind_required_pressure: Pressure | None, wind_speed: Speed | None, wind_site_pressure: Pressure | None
) -> Pressure:
    """Wind pressure that the door and what holds it must carry

    Formula: the greater of what the job asks for and what the site has, as far as they are given
    Unit: Pa
    Source: derived; both have to be met

    >>> demand(950.0, 50.0, 700.0), demand(None, 50.0, 700.0), demand(950.0, None, None)
    (950.0, 700.0, 950.0)
    """
    if wind_speed is not None and wind_site_pressure is None:
        raise MissingInput("wind.site_pressure")
    given = [pressure for pressure in (wind_required_pressure, wind_site_pressure) if pressure is not None]
    if not given:
        raise MissingInput("wind.required_pressure")
    return max(given)


def jamb_line_load(wind_demand: Pressure, door_width: Length) -> WeightPerLength:
    """Wind load on each jamb for a length of track

    Formula: pressure x half the width
    Unit: N/m
    Source: derived; the sections span from track to track and push on both alike

    >>> jamb_line_load(1000.0, 4.0)
    2000.0
    """
    return wind_demand * door_width / 2.0
