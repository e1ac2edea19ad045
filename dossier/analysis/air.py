"""Moist air: what an outdoor or indoor reading of humidity means at another temperature.

Saturation over water, also below freezing: hygrometers and weather services state relative
humidity over water at any temperature, so that a table over ice would make winter air too dry.
"""

from __future__ import annotations

from typing import overload

import numpy as np

from dossier.analysis.ranges import Column, Values, shaped, within

# Alduchov & Eskridge 1996, J. Appl. Meteor. 35(4):601-609: over water, -40 to 50 °C.
MAGNUS_HPA = 6.1094
MAGNUS_A = 17.625
MAGNUS_B_C = 243.04
COLDEST_C = -40.0
WARMEST_C = 50.0

LOWEST_RH_PERCENT = 0.1
"""Air without any vapour has no dew point; no hygrometer resolves less than this."""

VAPOUR_GAS_CONSTANT = 461.52
"""J/(kg K), of water vapour: the molar gas constant over 18.015 g/mol."""

ZERO_CELSIUS_K = 273.15


@overload
def saturation_pressure(temperature_c: float) -> float: ...
@overload
def saturation_pressure(temperature_c: Column) -> Column: ...
def saturation_pressure(temperature_c: Values) -> Values:
    """Return the vapour pressure of saturated air over water, in hPa, at `temperature_c` (°C).

    Every other figure of moist air here rests on it. Within 0.4 % of the reference values:
    e_s = 6.1094 exp(17.625 T / (T + 243.04)), Magnus form, T from -40 to 50 °C.
    Source: Alduchov & Eskridge 1996, J. Appl. Meteor. 35(4):601-609.

    Raises ValueError outside that range.
    """
    return shaped(_saturation(_temperature(temperature_c)))


@overload
def dew_point(temperature_c: float, rh_percent: float) -> float: ...
@overload
def dew_point(temperature_c: Column, rh_percent: Values) -> Column: ...
def dew_point(temperature_c: Values, rh_percent: Values) -> Values:
    """Return the temperature in °C at which this air begins to condense.

    A window pane colder than the dew point runs wet: the bound on how far a room may be
    humidified in a cold spell. T_d = b g / (a - g) with g = ln(RH/100) + a T / (b + T), the
    Magnus form solved for T. Source: Alduchov & Eskridge 1996, over water.

    Raises ValueError for a temperature outside -40 to 50 °C, RH outside 0.1 to 100 %.
    """
    t = _temperature(temperature_c)
    rh = within(rh_percent, "relative humidity", LOWEST_RH_PERCENT, 100.0, "%")
    g = np.log(rh / 100.0) + MAGNUS_A * t / (MAGNUS_B_C + t)
    return shaped(np.asarray(MAGNUS_B_C * g / (MAGNUS_A - g)))


@overload
def warmed_humidity(outdoor_c: float, outdoor_rh_percent: float, indoor_c: float) -> float: ...
@overload
def warmed_humidity(outdoor_c: Column, outdoor_rh_percent: Values, indoor_c: Values) -> Column: ...
def warmed_humidity(outdoor_c: Values, outdoor_rh_percent: Values, indoor_c: Values) -> Values:
    """Return the relative humidity in % of outdoor air brought to `indoor_c` (°C).

    The floor a heated room tends to in winter; people, cooking and plants add vapour to it.
    The vapour pressure stays: RH2 = RH1 e_s(T1) / e_s(T2). Air cooled below its dew point
    condenses, and what is left is saturated: 100 %. Means do not commute: compute hour by hour,
    then average. Source: Alduchov & Eskridge 1996 for e_s.

    Raises ValueError for a temperature outside -40 to 50 °C, RH outside 0 to 100 %.
    """
    rh = _humidity(outdoor_rh_percent)
    outdoor, indoor = _temperature(outdoor_c), _temperature(indoor_c)
    warmed = rh * _saturation(outdoor) / _saturation(indoor)
    return shaped(np.asarray(np.minimum(warmed, 100.0)))


@overload
def absolute_humidity(temperature_c: float, rh_percent: float) -> float: ...
@overload
def absolute_humidity(temperature_c: Column, rh_percent: Values) -> Column: ...
def absolute_humidity(temperature_c: Values, rh_percent: Values) -> Values:
    """Return the water vapour in a cubic metre of this air, in g/m3.

    What a humidifier has to supply is a difference of these, not of relative humidities:
    e / (R_v T_K), the ideal gas law with R_v = 461.52 J/(kg K).
    Source: Alduchov & Eskridge 1996 for e.

    Raises ValueError for a temperature outside -40 to 50 °C, RH outside 0 to 100 %.
    """
    t = _temperature(temperature_c)
    vapour_pa = _humidity(rh_percent) * _saturation(t)  # % of hPa is Pa
    return shaped(np.asarray(1000.0 * vapour_pa / (VAPOUR_GAS_CONSTANT * (t + ZERO_CELSIUS_K))))


def _temperature(temperature_c: Values) -> Column:
    return within(temperature_c, "air temperature", COLDEST_C, WARMEST_C, "°C")


def _humidity(rh_percent: Values) -> Column:
    return within(rh_percent, "relative humidity", 0.0, 100.0, "%")


def _saturation(t: Column) -> Column:
    return np.asarray(MAGNUS_HPA * np.exp(MAGNUS_A * t / (t + MAGNUS_B_C)))
