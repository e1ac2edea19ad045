"""Values with their units, as they stand in notes."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.quantities import (
    IN_LB,
    Formatter,
    QuantityError,
    parse_air,
    parse_duration,
    parse_frequency,
    parse_humidity,
    parse_length,
    parse_mass,
    parse_pitch,
    parse_temperature,
    parse_torque,
)

Parser = Callable[[str], Decimal]

VALUES: tuple[tuple[Parser, str, str], ...] = (
    (parse_temperature, "17.5 °C", "17.5"),
    (parse_temperature, "17,5°C", "17.5"),
    (parse_temperature, "17.5 C", "17.5"),
    (parse_temperature, "68 °F", "20"),
    (parse_temperature, "63.5f", "17.5"),
    (parse_temperature, "290.65 K", "17.5"),
    (parse_temperature, "−5 °C", "-5"),
    (parse_temperature, "18", "18"),
    (parse_temperature, "18°", "18"),
    (parse_humidity, "71 %", "71"),
    (parse_humidity, "71% RH", "71"),
    (parse_humidity, "71 rh", "71"),
    (parse_humidity, "RH 71 %", "71"),
    (parse_humidity, "７１％", "71"),
    (parse_humidity, "140 %", "140"),
    (parse_length, "10.2 mm", "10.2"),
    (parse_length, "10", "10"),
    (parse_length, "1/8 in", "3.175"),
    (parse_length, "⅛″", "3.175"),
    (parse_length, "3 1/4 in", "82.55"),
    (parse_length, '3-1/4"', "82.55"),
    (parse_length, "5 ft 8 in", "1727.2"),
    (parse_length, "5’ 8”", "1727.2"),
    (parse_length, "5'-8 1/2\"", "1739.9"),
    (parse_length, "5 ft .5 in", "1536.7"),
    (parse_length, "1.73 m", "1730"),
    (parse_length, "-0.5 mm", "-0.5"),
    (parse_torque, "5.4 N·m", "5.4"),
    (parse_torque, "5.4Nm", "5.4"),
    (parse_torque, "5.4 N m", "5.4"),
    (parse_torque, "1 in-lb", "0.1129848290276167"),
    (parse_torque, "48 in·lb", "5.4232717933256016"),
    (parse_torque, "48 lbf·in", "5.4232717933256016"),
    (parse_torque, "48 inch-pounds", "5.4232717933256016"),
    (parse_torque, "4 ft-lb", "5.4232717933256016"),
    (parse_torque, "55 cm-kg", "5.3936575"),
    (parse_mass, "50 g", "50"),
    (parse_mass, "480 lb", "217724.3376"),
    (parse_mass, "2 lb 3 oz", "992.233309375"),
    (parse_frequency, "433.9 Hz", "433.9"),
    (parse_frequency, "440", "440"),
    (parse_frequency, "0.44 kHz", "440"),
    (parse_pitch, "A4 = 435 Hz", "435"),
    (parse_pitch, "A4=440", "440"),
    (parse_pitch, "442 Hz", "442"),
    (parse_pitch, "435", "435"),
    (parse_pitch, "A440", "440"),
    (parse_pitch, "a = 440", "440"),
)


@pytest.mark.parametrize(("parser", "written", "value"), VALUES)
def test_value(parser: Parser, written: str, value: str) -> None:
    assert parser(written) == Decimal(value)


def test_a_bare_number_is_in_the_unit_of_the_shop() -> None:
    assert parse_temperature("68", "°F") == 20
    assert parse_length("10", "in") == 254
    assert parse_torque("48", "in-lb") == 48 * IN_LB
    assert parse_mass("2", "lb") == Decimal("907.18474")


def test_an_inch_pound_is_that_of_the_trade_tables() -> None:
    """1 in-lb = 0.112984829 N·m, as printed in trade tables of tuning-pin torque."""
    assert abs(IN_LB - Decimal("0.112984829")) < Decimal("5e-10")


REFUSED: tuple[tuple[Parser, str, str], ...] = (
    (parse_temperature, "", "The temperature is missing. Write it like 17.5 °C."),
    (parse_temperature, "warm", '"warm" is not a temperature. Write it like 17.5 °C.'),
    (
        parse_temperature,
        "71 %",
        '"71 %" is a relative humidity, not a temperature. Write it like 17.5 °C.',
    ),
    (parse_temperature, "17 °D", '"°D" is not a unit of temperature. Write it like 17.5 °C.'),
    (
        parse_temperature,
        "-300 °C",
        '"-300 °C" is less than a temperature can be. Write it like 17.5 °C.',
    ),
    (
        parse_humidity,
        "17 °C",
        '"17 °C" is a temperature, not a relative humidity. Write it like 71 %.',
    ),
    (parse_humidity, "-5 %", '"-5 %" is less than a relative humidity can be. Write it like 71 %.'),
    (
        parse_length,
        "10-12 mm",
        ('"10-12 mm" is not one length. Write one number and its unit, such as 10.2 mm or 3/8 in.'),
    ),
    (
        parse_length,
        "48 in-lb",
        '"48 in-lb" is a torque, not a length. Write it like 10.2 mm or 3/8 in.',
    ),
    (
        parse_length,
        "40 USD",
        '"40 USD" is an amount of money, not a length. Write it like 10.2 mm or 3/8 in.',
    ),
    (parse_length, "3 inn", '"inn" is not a unit of length. Did you mean in?'),
    (parse_torque, "48 in-kb", '"in-kb" is not a unit of torque. Did you mean in-lb?'),
    (
        parse_frequency,
        "12 cents",
        '"12 cents" is an interval, not a frequency. Write it like 440 Hz.',
    ),
    (parse_frequency, "0 Hz", '"0 Hz" is not a frequency. Write it like 440 Hz.'),
    (
        parse_pitch,
        "C5 = 523.3 Hz",
        '"C5 = 523.3 Hz" does not say the pitch of A4. Write it like A4 = 440 Hz.',
    ),
)


@pytest.mark.parametrize(("parser", "written", "message"), REFUSED)
def test_no_value(parser: Parser, written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parser(written)
    assert str(caught.value) == message


AIR: tuple[tuple[str, str | None, str | None], ...] = (
    ("17.5 °C, 71 %", "17.5", "71"),
    ("71 %, 17.5 °C", "17.5", "71"),
    ("17,5 °C, 71 %", "17.5", "71"),
    ("17.5 °C and 71% RH", "17.5", "71"),
    ("68F 45%", "20", "45"),
    ("17.5°C/71%", "17.5", "71"),
    ("RH 71, 17 °C", "17", "71"),
    ("17.5, 71 %", "17.5", "71"),
    ("71, 17.5 °C", "17.5", "71"),
    ("71 %", None, "71"),
    ("17.5 °C", "17.5", None),
)


@pytest.mark.parametrize(("written", "temperature", "humidity"), AIR)
def test_air(written: str, temperature: str | None, humidity: str | None) -> None:
    assert parse_air(written) == (
        temperature and Decimal(temperature),
        humidity and Decimal(humidity),
    )


def test_a_bare_temperature_beside_a_humidity_is_in_the_unit_of_the_shop() -> None:
    assert parse_air("68, 45 %", "°F") == (Decimal(20), Decimal(45))


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("", "The air is missing. Write it like 17.5 °C, 71 %."),
        (
            "17.5, 71",
            (
                '"17.5, 71" does not say which is the temperature and which the humidity. '
                "Write it like 17.5 °C, 71 %."
            ),
        ),
        (
            "71",
            (
                '"71" does not say whether it is a temperature or a humidity. '
                "Write it like 17.5 °C, 71 %."
            ),
        ),
        (
            "17.5 °C, 18 °C",
            (
                '"17.5 °C, 18 °C" is not one temperature and one humidity. '
                "Write it like 17.5 °C, 71 %."
            ),
        ),
        ("71 %, 30 mm", '"30 mm" is a length, not a temperature. Write it like 17.5 °C.'),
    ],
)
def test_no_air(written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_air(written)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        ("45 min", 45),
        ("45", 45),
        ("90 minutes", 90),
        ("1 h 30", 90),
        ("1h30m", 90),
        ("1 h 30 min", 90),
        ("1:30", 90),
        ("1.5 h", 90),
        ("1½ hours", 90),
        ("half an hour", 30),
    ],
)
def test_duration(written: str, minutes: int) -> None:
    assert parse_duration(written) == minutes


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("0.33 h", '"0.33 h" is not a whole number of minutes. Write 20 min.'),
        ("0 min", '"0 min" is no time at all. Write it like 45 min.'),
        ("2 days", '"days" is not a unit of duration. Write it like 45 min or 1 h 30 min.'),
        ("30 mm", '"30 mm" is a length, not a duration. Write it like 45 min or 1 h 30 min.'),
    ],
)
def test_no_duration(written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_duration(written)
    assert str(caught.value) == message


LOCALES = st.sampled_from(["en_US", "en_GB", "de_DE", "fr_FR", "sv_SE"])


def tenths(least: int, most: int) -> st.SearchStrategy[Decimal]:
    return st.decimals(least, most, places=1)


@given(tenths(-40, 140), LOCALES)
def test_a_temperature_shown_is_read_back(value: Decimal, locale: str) -> None:
    celsius, fahrenheit = parse_temperature(f"{value} °C"), parse_temperature(f"{value} °F")
    assert parse_temperature(Formatter(locale, "metric").temperature(celsius)) == celsius
    assert parse_temperature(Formatter(locale, "imperial").temperature(fahrenheit)) == fahrenheit


@given(st.decimals(0, 30000, places=2), st.integers(-3200, 3200), LOCALES)
def test_a_length_shown_is_read_back(mm: Decimal, parts: int, locale: str) -> None:
    assert parse_length(Formatter(locale, "metric").length(mm)) == mm
    inches = parts * Decimal("25.4") / 32
    assert parse_length(Formatter(locale, "imperial").length(inches)) == inches


@given(st.decimals(0, 30, places=2), tenths(0, 300), LOCALES)
def test_a_torque_shown_is_read_back(nm: Decimal, in_lb: Decimal, locale: str) -> None:
    assert parse_torque(Formatter(locale, "metric").torque(nm)) == nm
    imperial = in_lb * IN_LB
    assert parse_torque(Formatter(locale, "imperial").torque(imperial)) == imperial


@given(st.decimals(0, 100, places=1), st.integers(1, 2000), LOCALES)
def test_humidity_and_frequency_shown_are_read_back(
    humidity: Decimal, hertz: int, locale: str
) -> None:
    formatter = Formatter(locale)
    assert parse_humidity(formatter.humidity(humidity)) == humidity
    assert parse_frequency(formatter.hertz(Decimal(hertz) / 10)) == Decimal(hertz) / 10
