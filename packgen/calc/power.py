"""What must generator and supply cord give for a fusion?

In: the label's voltage and coil data, the owner's rules about control unit, generator and cord, a conductor's
resistance, as plain floats in the units of the values register (V, ohm, W, VA, A, mm, percent, degC; a
conductor's resistance in ohm per km).
Out: powers W, apparent powers VA, current A, length mm.
Vocabulary: the control unit's *output* goes to the fitting, its *supply* comes through the supply cord; the
control unit takes the same apparent power at any supply voltage, so less voltage means more current; *drop*
is the share of the supply voltage that the cord takes, out and back.
Source: Ohm's and Joule's laws; copper's change of resistance with temperature as in the standards of copper.
"""

from __future__ import annotations

from packgen.calc import fuse
from packgen.calc._guard import refuse, require_percent, require_zero_or_more
from packgen.errors import require_positive

# Inferred temperature at which annealed copper of standard conductivity would have no resistance, °C.
_COPPER_ZERO = -234.5
_MM_IN_KM = 1_000_000.0
_THOUSAND_FEET = 304_800.0  # mm
_TEN_KELVIN = 10.0


def output_power(voltage: float, resistance: float, coil_tolerance_percent: float) -> float:
    """Answer: what is the most power that a sound fitting takes from the control unit?

    Parameters
    ----------
    voltage
        fusion voltage of the label, V
    resistance
        nominal resistance of the coil, cold, ohm
    coil_tolerance_percent
        tolerance of the coil's resistance, either side, percent

    Returns
    -------
    float
        power at the start with the coil at its least resistance, W

    Raises
    ------
    OutOfRange
        a number is not above zero, or the tolerance is below zero or not below 100

    Source
    ------
    Joule's law, V^2 / (R (1 - tolerance)): arithmetic.

    Example
    -------
    40 V on 0.78 ohm less 10 %: 2279 W.

    >>> round(output_power(40.0, 0.78, 10.0))
    2279
    """
    require_percent(coil_tolerance_percent=coil_tolerance_percent)
    return fuse.power(voltage, resistance * (1.0 - coil_tolerance_percent / 100.0))


def supply_power(output: float, efficiency_percent: float) -> float:
    """Answer: what power does the control unit take in to give its output?

    Parameters
    ----------
    output
        power that goes to the fitting, W
    efficiency_percent
        share of the power taken in that reaches the fitting, above 0 and at most 100, percent

    Returns
    -------
    float
        power taken from the supply, W

    Raises
    ------
    OutOfRange
        the output is not above zero, or the efficiency is not above 0 or more than 100

    Source
    ------
    Arithmetic: output over efficiency.

    Example
    -------
    2279 W at 70 %: 3256 W.

    >>> round(supply_power(2279.2, 70.0))
    3256
    """
    require_positive(output=output, efficiency_percent=efficiency_percent)
    return output / _share("efficiency_percent", efficiency_percent)


def apparent_power(power: float, power_factor_percent: float) -> float:
    """Answer: what apparent power goes with a power taken in?

    Parameters
    ----------
    power
        power taken from the supply, W
    power_factor_percent
        power over apparent power, above 0 and at most 100, percent

    Returns
    -------
    float
        apparent power, VA

    Raises
    ------
    OutOfRange
        the power is not above zero, or the power factor is not above 0 or more than 100

    Source
    ------
    Arithmetic: power over power factor.

    Example
    -------
    1814 W at a power factor of 80 %: 2268 VA.

    >>> round(apparent_power(1814.1, 80.0))
    2268
    """
    require_positive(power=power, power_factor_percent=power_factor_percent)
    return power / _share("power_factor_percent", power_factor_percent)


def derating(
    altitude: float, altitude_percent: float, air: float, reference: float, heat_percent: float
) -> float:
    """Answer: what do altitude and hot air take off a generator's plate?

    Parameters
    ----------
    altitude
        height of the place of work above the sea, mm
    altitude_percent
        what the rule takes off for each 1,000 ft of it, percent
    air
        air temperature at the place of work, degree Celsius
    reference
        air temperature up to which the rule takes nothing off, degree Celsius
    heat_percent
        what the rule takes off for each 10 K of air above that, percent

    Returns
    -------
    float
        what is lost of the plate, both added, percent

    Raises
    ------
    OutOfRange
        the altitude or a percentage is below zero, or a number is not finite

    Source
    ------
    Arithmetic: so much for each 1,000 ft (304.8 m), so much for each 10 K above the reference; the figures
    are the owner's rule (common practice, no source).

    Example
    -------
    5,000 ft at 3.5 %, air of 35 degree Celsius at 2 % above 25: 17.5 % and 2 %.

    >>> round(derating(1_524_000.0, 3.5, 35.0, 25.0, 2.0), 1)
    19.5
    """
    above = max(0.0, air - reference)
    require_zero_or_more(
        altitude=altitude, altitude_percent=altitude_percent, heat_percent=heat_percent, air_above=above
    )
    return altitude / _THOUSAND_FEET * altitude_percent + above / _TEN_KELVIN * heat_percent


def generator_rating(load: float, margin_percent: float, derating_percent: float) -> float:
    """Answer: what must the generator's plate give at least, for a load it is to carry with a margin?

    Parameters
    ----------
    load
        power or apparent power that the control unit takes, W or VA
    margin_percent
        what is added to the load, zero or more, percent
    derating_percent
        what altitude and heat take off the generator's plate where it works, percent

    Returns
    -------
    float
        least figure of the generator's plate, in the load's unit, W or VA

    Raises
    ------
    OutOfRange
        the load is not above zero, a percentage is below zero or not finite, or the derating is not below 100

    Source
    ------
    Arithmetic: load with its margin over what is left of the plate.

    Example
    -------
    1814 W with 25 % on a generator that loses 10 %: 2520 W.

    >>> round(generator_rating(1814.1, 25.0, 10.0))
    2520
    """
    require_positive(load=load, margin_percent=100.0 + margin_percent)
    require_percent(derating_percent=derating_percent)
    if margin_percent < 0.0:
        refuse("margin_percent", f"a margin of {margin_percent:g} % takes off the load", "zero or more")
    return load * (1.0 + margin_percent / 100.0) / (1.0 - derating_percent / 100.0)


def supply_current(apparent: float, voltage: float, drop_percent: float) -> float:
    """Answer: what current does the cord carry, at the least voltage that the control unit may see?

    Parameters
    ----------
    apparent
        apparent power that the control unit takes, VA
    voltage
        voltage of the supply, V
    drop_percent
        share of that voltage that the cord takes, percent

    Returns
    -------
    float
        current in the cord, A

    Raises
    ------
    OutOfRange
        a number is not above zero, or the drop is below zero or not below 100

    Source
    ------
    Arithmetic: apparent power over the voltage left, S / (V - drop).

    Example
    -------
    2268 VA at 120 V less 5 %: 19.9 A.

    >>> round(supply_current(2267.6, 120.0, 5.0), 1)
    19.9
    """
    require_positive(apparent=apparent, voltage=voltage)
    require_percent(drop_percent=drop_percent)
    return apparent / (voltage * (1.0 - drop_percent / 100.0))


def conductor_resistance(resistance: float, stated_at: float, temperature: float) -> float:
    """Answer: what resistance has a copper conductor at another temperature?

    Parameters
    ----------
    resistance
        resistance of the conductor as a table states it, ohm per km
    stated_at
        temperature of that figure, degree Celsius
    temperature
        temperature of the conductor, degree Celsius

    Returns
    -------
    float
        resistance at that temperature, ohm per km

    Raises
    ------
    OutOfRange
        the resistance is not above zero, or a temperature is -234.5 degree Celsius or below

    Source
    ------
    Temperature coefficient of annealed copper in IEC 60028 and ASTM B193 (from memory),
    R = R20 (234.5 + T) / 254.5; IEC 60228 corrects its resistances so.

    Example
    -------
    2.5 mm2 of IEC 60228 class 5, 7.98 ohm per km at 20 degree Celsius, at 75: 9.70 ohm per km.

    >>> round(conductor_resistance(7.98, 20.0, 75.0), 2)
    9.7
    """
    above, above_stated = temperature - _COPPER_ZERO, stated_at - _COPPER_ZERO
    require_positive(resistance=resistance, temperature=above, stated_at=above_stated)
    return resistance * above / above_stated


def cord_length_max(apparent: float, voltage: float, drop_percent: float, resistance_per_km: float) -> float:
    """Answer: how long may the supply cord be before it takes more of the voltage than the rule lets it?

    Parameters
    ----------
    apparent
        apparent power that the control unit takes, VA
    voltage
        voltage of the supply, V
    drop_percent
        share of that voltage that the cord may take, above 0 and below 100, percent
    resistance_per_km
        resistance of one conductor, warm, ohm per km

    Returns
    -------
    float
        greatest length from plug to control unit, mm

    Raises
    ------
    OutOfRange
        a number is not above zero, or the drop is not below 100

    Source
    ------
    Arithmetic: the drop 2 L I R' with the current of the voltage left, I = S / (V - drop). The simple formula
    with I = S / V gives a cord too long.

    Example
    -------
    12 AWG, 1.98 ohm per 1000 ft (6.496 ohm per km), 3.3 kVA at 120 V, 5 %: 52 ft.

    >>> round(cord_length_max(3300.0, 120.0, 5.0, 6.496063) / 304.8)
    52
    """
    require_positive(drop_percent=drop_percent, resistance_per_km=resistance_per_km)
    current = supply_current(apparent, voltage, drop_percent)
    drop = voltage * drop_percent / 100.0
    return drop / (2.0 * current * resistance_per_km) * _MM_IN_KM


def _share(key: str, percent: float) -> float:
    """A percentage of at most the whole, as a share."""
    if percent > 100.0:
        refuse(key, f"{key.replace('_', ' ')} is {percent:g}", "at most 100")
    return percent / 100.0
