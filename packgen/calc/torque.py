"""For the engineer, not a setting: which torque seats a saddle, and which one screw and lug bear?

In: pressures, areas, forces and threads, as plain floats in the register's units (kPa, mm2, N, mm).
Out: areas in mm2, forces in N, torques in N*m.
Vocabulary: the *nut factor* K holds all friction of a screw; the *stress area* is the thread's section that
bears; *seating pressure* is what presses the saddle's base on the main.
Source: T = K·F·d, as machine design texts give it; thread and stress area by ISO 898-1.
"""

from __future__ import annotations

import math

from packgen.calc._guard import require_percent
from packgen.errors import require_positive


def stress_area(diameter: float, pitch: float) -> float:
    """Answer: which section of a thread bears its load?

    Parameters
    ----------
    diameter
        nominal diameter of the thread, mm
    pitch
        pitch of the thread, mm

    Returns
    -------
    float
        nominal stress area, mm2

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    ISO 898-1, nominal stress area: π/4·(d − 0.9382·P)².

    Example
    -------
    M8 with its coarse pitch of 1.25 mm: 36.6 mm2.

    >>> round(stress_area(8.0, 1.25), 1)
    36.6
    """
    require_positive(diameter=diameter, pitch=pitch)
    return math.pi / 4.0 * (diameter - 0.9382 * pitch) ** 2


def base_area(base_length: float, bore_radius: float, base_angle: float) -> float:
    """Answer: how large is a saddle's base, seen along the screws?

    Parameters
    ----------
    base_length
        length of the base along the main, mm
    bore_radius
        radius of the saddle's bore, mm
    base_angle
        half-angle of the base, degree

    Returns
    -------
    float
        area of the base's shadow, mm2

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic: length times chord.

    Example
    -------
    160 mm long, radius 57 mm, half-angle 60 degrees: about 15 800 mm2.

    >>> round(base_area(160.0, 57.0, 60.0))
    15796
    """
    require_positive(base_length=base_length, bore_radius=bore_radius, base_angle=base_angle)
    return base_length * 2.0 * bore_radius * math.sin(math.radians(min(base_angle, 90.0)))


def screw_force(seating_pressure: float, area: float, screws: int) -> float:
    """Answer: how hard does each screw pull to seat the saddle?

    Parameters
    ----------
    seating_pressure
        pressure of the base on the main, kPa
    area
        area of the base, seen along the screws, mm2
    screws
        number of screws, each

    Returns
    -------
    float
        force of one screw, N

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Arithmetic: pressure times area, shared evenly.

    Example
    -------
    200 kPa on 16 000 mm2 with four screws: 800 N each.

    >>> screw_force(200.0, 16000.0, 4)
    800.0
    """
    require_positive(seating_pressure=seating_pressure, area=area, screws=float(screws))
    return seating_pressure / 1000.0 * area / screws


def proof_force(area: float, proof_stress: float, share: float) -> float:
    """Answer: how hard may a screw pull?

    Parameters
    ----------
    area
        nominal stress area, mm2
    proof_stress
        proof stress of the screw, kPa
    share
        share of it that the owner lets be used, percent

    Returns
    -------
    float
        force, N

    Raises
    ------
    OutOfRange
        area or stress is not above zero, or the share is not between 0 and 100

    Source
    ------
    Handbook: Wentzell, Machine Design, Example 6.1: F = share · A_s · proof stress.

    Example
    -------
    M8 of A2-70 (450 MPa) at 75 %: 12.4 kN.

    >>> round(proof_force(36.6, 450_000.0, 75.0))
    12353
    """
    require_positive(area=area, proof_stress=proof_stress)
    require_percent(share_percent=share)
    return share / 100.0 * area * proof_stress / 1000.0


def torque(nut_factor: float, force: float, diameter: float) -> float:
    """Answer: which torque gives a screw this force?

    Parameters
    ----------
    nut_factor
        nut factor K, no unit
    force
        force of the screw, N
    diameter
        nominal diameter of the thread, mm

    Returns
    -------
    float
        torque, N*m

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Handbook: Wentzell, Machine Design, Example 6.1: T = K·D·F.

    Example
    -------
    K 0.2, 800 N, M8: 1.28 N*m.

    >>> round(torque(0.2, 800.0, 8.0), 2)
    1.28
    """
    require_positive(nut_factor=nut_factor, force=force, diameter=diameter)
    return nut_factor * force * diameter / 1000.0
