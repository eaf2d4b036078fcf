"""The opening as measured: what governs, how true it is, and what of it is left when everything is finished."""

from __future__ import annotations

import math

from doorlint.errors import MissingInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Flag, Length, Text


def least_width(opening_width_top: Length, opening_width_middle: Length, opening_width_bottom: Length) -> Length:
    """Least clear width measured

    Formula: least of top, middle and bottom
    Unit: m
    Source: practice; the smallest of three readings governs

    >>> least_width(3.66, 3.65, 3.66)
    3.65
    """
    return min(opening_width_top, opening_width_middle, opening_width_bottom)


def least_height(opening_height_left: Length, opening_height_middle: Length, opening_height_right: Length) -> Length:
    """Least clear height measured

    Formula: least of left, middle and right
    Unit: m
    Source: practice; the smallest of three readings governs

    >>> least_height(3.66, 3.65, 3.66)
    3.65
    """
    return min(opening_height_left, opening_height_middle, opening_height_right)


def usual_width(opening_width_top: Length, opening_width_middle: Length, opening_width_bottom: Length) -> Length:
    """Width that is neither the greatest nor the least measured

    Formula: middle one of the three by size; one that was misread does not move it far
    Unit: m
    Source: practice; of three readings two agree

    >>> usual_width(3.66, 3.35, 3.65)
    3.65
    """
    return sorted((opening_width_top, opening_width_middle, opening_width_bottom))[1]


def usual_height(opening_height_left: Length, opening_height_middle: Length, opening_height_right: Length) -> Length:
    """Height that is neither the greatest nor the least measured

    Formula: middle one of the three by size; one that was misread does not move it far
    Unit: m
    Source: practice; of three readings two agree

    >>> usual_height(3.66, 3.35, 3.65)
    3.65
    """
    return sorted((opening_height_left, opening_height_middle, opening_height_right))[1]


def width_spread(
    opening_width_top: Length,
    opening_width_middle: Length,
    opening_width_bottom: Length,
    opening_least_width: Length,
) -> Length:
    """Difference between the widest and the narrowest reading

    Formula: most of top, middle and bottom - least width
    Unit: m
    Source: derived; difference of readings

    >>> round(width_spread(3.66, 3.65, 3.66, 3.65), 6)
    0.01
    """
    return max(opening_width_top, opening_width_middle, opening_width_bottom) - opening_least_width


def height_spread(
    opening_height_left: Length,
    opening_height_middle: Length,
    opening_height_right: Length,
    opening_least_height: Length,
) -> Length:
    """Difference between the highest and the lowest reading

    Formula: most of left, middle and right - least height
    Unit: m
    Source: derived; difference of readings

    >>> round(height_spread(3.66, 3.65, 3.66, 3.65), 6)
    0.01
    """
    return max(opening_height_left, opening_height_middle, opening_height_right) - opening_least_height


def jambs_apart(opening_width_spread: Length, practice_reading_apart: Length) -> Length | None:
    """How far the jambs are from parallel, where no width was misread

    Formula: spread of the widths; more than the widest that an opening can have does not apply
    Unit: m
    Source: practice; a misread width says nothing of the jambs

    >>> jambs_apart(0.01, 0.0762), jambs_apart(0.3048, 0.0762)
    (0.01, None)
    """
    return opening_width_spread if opening_width_spread <= practice_reading_apart else None


def heights_apart(opening_height_spread: Length, practice_reading_apart: Length) -> Length | None:
    """How far floor and header are from parallel, where no height was misread

    Formula: spread of the heights; more than the widest that an opening can have does not apply
    Unit: m
    Source: practice; a misread height says nothing of floor and header

    >>> heights_apart(0.01, 0.0762), heights_apart(0.3048, 0.0762)
    (0.01, None)
    """
    return opening_height_spread if opening_height_spread <= practice_reading_apart else None


def header_tilt(
    opening_height_left: Length,
    opening_height_right: Length,
    opening_floor_fall: Length,
    practice_reading_apart: Length,
) -> Length | None:
    """How far the header is out of level beside the fall of the floor, where no height was misread

    Formula: |left height - right height| - floor fall, without its sign; too much to be an opening does not apply
    Unit: m
    Source: derived; difference of heights

    >>> round(header_tilt(3.66, 3.65, 0.003, 0.0762), 6)
    0.007
    >>> header_tilt(3.66, 3.36, 0.003, 0.0762)
    """
    apart = abs(opening_height_left - opening_height_right)
    return None if apart > practice_reading_apart else abs(apart - opening_floor_fall)


def out_of_square(
    opening_diagonal_rising: Length, opening_diagonal_falling: Length, practice_reading_apart: Length
) -> Length | None:
    """How far the opening is out of square, where no diagonal was misread

    Formula: |rising - falling|; more than twice what a reading may be off does not apply
    Unit: m
    Source: derived; a rectangle has equal diagonals

    >>> round(out_of_square(5.17, 5.18, 0.0762), 6)
    0.01
    >>> out_of_square(5.17, 4.87, 0.0762)
    """
    apart = abs(opening_diagonal_rising - opening_diagonal_falling)
    return apart if apart <= 2 * practice_reading_apart else None


def odd_rising(
    opening_diagonal_rising: Length,
    opening_diagonal_falling: Length,
    opening_expected_diagonal: Length,
    practice_reading_apart: Length,
) -> Length | None:
    """Rising diagonal, where the falling one can be that of the opening

    Formula: as read; does not apply where the falling one is far off as well
    Unit: m
    Source: derived; out of square moves both diagonals by the same

    >>> odd_rising(5.0, 4.7, 5.0, 0.0762), odd_rising(4.7, 5.0, 5.0, 0.0762)
    (None, 4.7)
    """
    agrees = abs(opening_diagonal_falling - opening_expected_diagonal) <= practice_reading_apart
    return opening_diagonal_rising if agrees else None


def odd_falling(
    opening_diagonal_rising: Length,
    opening_diagonal_falling: Length,
    opening_expected_diagonal: Length,
    practice_reading_apart: Length,
) -> Length | None:
    """Falling diagonal, where the rising one can be that of the opening

    Formula: as read; does not apply where the rising one is far off as well
    Unit: m
    Source: derived; out of square moves both diagonals by the same

    >>> odd_falling(5.0, 4.7, 5.0, 0.0762), odd_falling(4.7, 5.0, 5.0, 0.0762)
    (4.7, None)
    """
    agrees = abs(opening_diagonal_rising - opening_expected_diagonal) <= practice_reading_apart
    return opening_diagonal_falling if agrees else None


def mean_diagonal(
    opening_diagonal_rising: Length,
    opening_diagonal_falling: Length,
    opening_expected_diagonal: Length,
    practice_reading_apart: Length,
) -> Length | None:
    """Mean of both diagonals, where not one of them alone was misread

    What an opening is out of square lengthens one diagonal by as much as it shortens the other.

    Formula: (rising + falling) / 2; does not apply where one alone is far off what width and height give
    Unit: m
    Source: derived; mean of readings

    >>> round(mean_diagonal(5.17, 5.18, 5.18, 0.0762), 6)
    5.175
    >>> mean_diagonal(5.17, 4.87, 5.18, 0.0762)
    """
    far = [
        abs(read - opening_expected_diagonal) > practice_reading_apart
        for read in (opening_diagonal_rising, opening_diagonal_falling)
    ]
    return None if far[0] != far[1] else (opening_diagonal_rising + opening_diagonal_falling) / 2


def expected_diagonal(opening_usual_width: Length, opening_usual_height: Length) -> Length:
    """Diagonal that the widths and heights give

    Formula: square root of (width squared + height squared), each the middle one of three readings by size
    Unit: m
    Source: derived; theorem of Pythagoras

    >>> expected_diagonal(3.0, 4.0)
    5.0
    """
    return math.hypot(opening_usual_width, opening_usual_height)


def floor_rise(opening_floor_finished: Flag, opening_floor_to_come: Length | None) -> Length:
    """What the floor will still rise by

    Formula: nothing when the floor is finished, else the thickness to come
    Unit: m
    Source: derived; from what the survey says

    >>> floor_rise(True, None), floor_rise(False, 0.05)
    (0.0, 0.05)
    >>> floor_rise(False, None)
    Traceback (most recent call last):
    doorlint.errors.MissingInput: opening.floor_to_come
    """
    if opening_floor_finished:
        return 0.0
    if opening_floor_to_come is None:
        raise MissingInput("opening.floor_to_come")
    return opening_floor_to_come


def jamb_growth(opening_jambs_finished: Flag, opening_jambs_to_come: Length | None) -> Length:
    """What each jamb will still grow by

    Formula: nothing when the jambs are finished, else the thickness to come
    Unit: m
    Source: derived; from what the survey says

    >>> jamb_growth(False, 0.02)
    0.02
    >>> jamb_growth(False, None)
    Traceback (most recent call last):
    doorlint.errors.MissingInput: opening.jambs_to_come
    """
    if opening_jambs_finished:
        return 0.0
    if opening_jambs_to_come is None:
        raise MissingInput("opening.jambs_to_come")
    return opening_jambs_to_come


@error_gain(opening_jamb_growth=2.0)  # both jambs grow
def finished_width(opening_least_width: Length, opening_jamb_growth: Length) -> Length:
    """Clear width that governs, jambs finished

    Formula: least width - 2 x what is still to come on each jamb
    Unit: m
    Source: derived; two jambs

    >>> finished_width(3.66, 0.03)
    3.6
    """
    return opening_least_width - 2 * opening_jamb_growth


def finished_height(opening_least_height: Length, opening_floor_rise: Length) -> Length:
    """Clear height that governs, floor finished: the header height

    Formula: least height - floor still to come
    Unit: m
    Source: derived; from what the survey says

    >>> round(finished_height(3.70, 0.05), 6)
    3.65
    """
    return opening_least_height - opening_floor_rise


def greatest_width(opening_finished_width: Length, opening_width_spread: Length) -> Length:
    """Clear width at its widest, jambs finished

    Formula: width that governs + spread of the widths
    Unit: m
    Source: derived; sum

    >>> round(greatest_width(3.65, 0.01), 6)
    3.66
    """
    return opening_finished_width + opening_width_spread


def greatest_height(opening_finished_height: Length, opening_height_spread: Length) -> Length:
    """Clear height at its highest, floor finished

    Formula: height that governs + spread of the heights
    Unit: m
    Source: derived; sum

    >>> round(greatest_height(3.65, 0.01), 6)
    3.66
    """
    return opening_finished_height + opening_height_spread


def lap(door_width: Length, opening_finished_width: Length) -> Length:
    """How far the door laps each jamb where the opening is narrowest

    Formula: (door width - width that governs) / 2
    Unit: m
    Source: derived; a door hung in the middle

    >>> round(lap(3.70, 3.66), 6)
    0.02
    """
    return (door_width - opening_finished_width) / 2


def read_to(
    opening_measured_tool: Text | None, practice_tape: Length, practice_laser: Length, practice_drawing: Length
) -> Length:
    """How far a measure of opening and room may be off

    Formula: what a tape, a laser or a drawing is good to, by what it was measured with; a tape where that is not said
    Unit: m
    Source: practice; what the tools of a survey read to

    >>> read_to("laser", 0.003, 0.0015, 0.012), read_to(None, 0.003, 0.0015, 0.012)
    (0.0015, 0.003)
    """
    return {"laser": practice_laser, "drawing": practice_drawing}.get(opening_measured_tool or "", practice_tape)
