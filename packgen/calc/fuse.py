"""What current, power and energy does the fitting take from the control unit?

In: the label's voltage, fusion time and coil resistance with the tolerances, as plain floats in the units of
the values register (V, s, ohm, percent).
Out: current A, power W, energy kJ, for the coil as it is cold.
Vocabulary: *fusion time* and voltage are stated by the label and never made here; the *coil* is the fitting's
heating wire; *cold* means at the temperature its resistance is stated for. The coil's resistance rises as it
warms, so the cold figures are upper bounds and no acceptance limit.
Source: Ohm's and Joule's laws.
"""

from __future__ import annotations

from packgen.calc._guard import require_percent
from packgen.errors import require_positive


def current(voltage: float, resistance: float) -> float:
    """Answer: what current does the fitting draw when the coil is cold?

    Parameters
    ----------
    voltage
        fusion voltage of the label, V
    resistance
        resistance of the coil, ohm

    Returns
    -------
    float
        current, A

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Ohm's law: arithmetic.

    Example
    -------
    40 V on 3.70 ohm: 10.8 A.

    >>> round(current(40.0, 3.70), 1)
    10.8
    """
    require_positive(voltage=voltage, resistance=resistance)
    return voltage / resistance


def power(voltage: float, resistance: float) -> float:
    """Answer: what power does the fitting take when the coil is cold?

    Parameters
    ----------
    voltage
        fusion voltage of the label, V
    resistance
        resistance of the coil, ohm

    Returns
    -------
    float
        power, W

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Joule's law, V^2 / R: arithmetic.

    Example
    -------
    40 V on 3.70 ohm: 432 W.

    >>> round(power(40.0, 3.70))
    432
    """
    require_positive(voltage=voltage, resistance=resistance)
    return voltage**2 / resistance


def energy(voltage: float, time: float, resistance: float) -> float:
    """Answer: what energy goes into the joint over the fusion time, the coil taken as cold?

    Parameters
    ----------
    voltage
        fusion voltage of the label, V
    time
        fusion time of the label, s
    resistance
        resistance of the coil, ohm

    Returns
    -------
    float
        energy, kJ

    Raises
    ------
    OutOfRange
        a number is not above zero

    Source
    ------
    Joule's law, V^2 t / R: arithmetic.

    Example
    -------
    40 V on 3.70 ohm for 85 s: 36.8 kJ.

    >>> round(energy(40.0, 85.0, 3.70), 1)
    36.8
    """
    require_positive(time=time)
    return power(voltage, resistance) * time / 1000.0


def energy_band(
    voltage: float,
    time: float,
    resistance: float,
    coil_tolerance_percent: float,
    output_tolerance_percent: float,
) -> tuple[float, float]:
    """Answer: between which energies does a sound fitting on a sound control unit lie, the coil cold?

    Parameters
    ----------
    voltage
        fusion voltage of the label, V
    time
        fusion time of the label, s
    resistance
        nominal resistance of the coil, ohm
    coil_tolerance_percent
        tolerance of the coil's resistance, either side, percent
    output_tolerance_percent
        tolerance of the control unit's output voltage, either side, percent

    Returns
    -------
    tuple[float, float]
        least and greatest energy, kJ

    Raises
    ------
    OutOfRange
        a number is not above zero, or a tolerance is below zero or not below 100

    Source
    ------
    Joule's law at the ends of both tolerances: arithmetic. A coil tolerance of 10 % is that of EN 1555-3
    (from memory).

    Example
    -------
    40 V within 1.5 % on 3.70 ohm within 10 % for 85 s: 32.4 to 42.1 kJ.

    >>> [round(bound, 1) for bound in energy_band(40.0, 85.0, 3.70, 10.0, 1.5)]
    [32.4, 42.1]
    """
    require_percent(
        coil_tolerance_percent=coil_tolerance_percent, output_tolerance_percent=output_tolerance_percent
    )
    coil, output = coil_tolerance_percent / 100.0, output_tolerance_percent / 100.0
    least = energy(voltage * (1.0 - output), time, resistance * (1.0 + coil))
    greatest = energy(voltage * (1.0 + output), time, resistance * (1.0 - coil))
    return least, greatest
