"""Figures as readers in different countries see them."""

from datetime import date
from decimal import Decimal

import pytest

from dossier.quantities import Formatter, Money, QuantityError, parse_edtf, parse_locale

US = Formatter("en_US", "imperial")
GB = Formatter("en-GB")
DE = Formatter("de_DE")
FR = Formatter("fr_FR")
PI_DAY = date(2026, 3, 14)


@pytest.mark.parametrize(
    ("shown", "text"),
    [
        (GB.number(Decimal("-1234.5"), 1), "−1234.5"),
        (GB.number(12345), "12,345"),
        (DE.number(Decimal("-1234.5"), 1), "−1234,5"),
        (DE.number(12345), "12.345"),
        (GB.number(Decimal("0.125"), 2), "0.12"),
        (GB.number(Decimal("0.135"), 2), "0.14"),
        (GB.number(0.1, 3), "0.100"),
        (GB.signed(6), "+6"),
        (GB.signed(-8), "−8"),
        (GB.signed(Decimal("-0.04"), 1), "0.0"),
        (GB.signed(0), "0"),
        (GB.cents_number(Decimal("6.0")), "+6"),
        (GB.cents_number(Decimal("-7.94")), "−7.9"),
        (FR.cents_number(Decimal("-7.9")), "−7,9"),
        (GB.cents_number(Decimal(6), 1), "+6.0"),
        (GB.temperature(Decimal("17.50")), "17.5\u00a0°C"),
        (DE.temperature(Decimal("-17.5")), "−17,5\u00a0°C"),
        (US.temperature(Decimal("17.5")), "63.5\u00a0°F"),
        (US.temperature(20), "68\u00a0°F"),
        (GB.humidity(71), "71\u00a0%"),
        (GB.length(Decimal("10.2")), "10.2\u00a0mm"),
        (GB.length(1730), "1730\u00a0mm"),
        (US.length(Decimal("3.175")), "1/8\u00a0in"),
        (US.length(Decimal("82.55")), "3\u00a01/4\u00a0in"),
        (US.length(Decimal("-0.79375")), "−1/32\u00a0in"),
        (US.length(10), "0.394\u00a0in"),
        (US.length(0), "0\u00a0in"),
        (US.length(Decimal("3.175"), 3), "0.125\u00a0in"),
        (GB.torque(Decimal("5.4232717933256016")), "5.42\u00a0N·m"),
        (US.torque(Decimal("5.4232717933256016")), "48\u00a0in·lb"),
        (GB.hertz(Decimal("442.10")), "442.1\u00a0Hz"),
        (US.money(Money(Decimal("1234.5"), "USD")), "$1,234.50"),
        (US.money(Money(Decimal(-40), "USD")), "−$40.00"),
        (DE.money(Money(Decimal(40), "EUR")), "40,00\u00a0€"),
        (FR.money(Money(Decimal("1234.5"), "EUR")), "1\u202f234,50\u00a0€"),
        (US.money(Money(Decimal(4000), "JPY")), "¥4,000"),
        (US.money(Money(Decimal("1.25"), "KWD")), "KWD\u00a01.250"),
        (US.date(PI_DAY), "March 14, 2026"),
        (GB.date(PI_DAY), "14 March 2026"),
        (DE.date(PI_DAY), "14. März 2026"),
        (GB.short_date(PI_DAY), "14 Mar 2026"),
        (GB.month(PI_DAY), "March 2026"),
        (FR.month(PI_DAY), "mars 2026"),
        (DE.month_name(3), "März"),
        (US.duration(90), "1\u00a0hr\u00a030\u00a0min"),
        (US.duration(45), "45\u00a0min"),
        (US.duration(120), "2\u00a0hr"),
        (US.duration(0), "0\u00a0min"),
    ],
)
def test_shown(shown: str, text: str) -> None:
    assert shown == text


@pytest.mark.parametrize(
    ("edtf", "text"),
    [
        ("1912~", "1912"),
        ("1912-XX", "1912"),
        ("191X", "1910–1919"),
        ("../1930", "1930"),
        ("1930/..", "1930"),
        ("1890/1905", "1890–1905"),
        ("1912-05?", "May 1912"),
        ("1912-05-01", "1 May 1912"),
        ("1912-05/1913", "May 1912\u00a0– 1913"),
    ],
)
def test_an_uncertain_date_is_shown_as_exactly_as_it_is_known(edtf: str, text: str) -> None:
    assert GB.uncertain(parse_edtf(edtf)) == text


@pytest.mark.parametrize("x", [float("nan"), float("inf"), Decimal("NaN")])
def test_what_is_no_number_is_never_shown(x: float | Decimal) -> None:
    with pytest.raises(ValueError, match="cannot be shown to a reader"):
        GB.number(x)


def test_locale() -> None:
    assert parse_locale("de-CH") == "de_CH"
    with pytest.raises(QuantityError) as caught:
        parse_locale("english")
    assert str(caught.value) == (
        '"english" is not a known locale. Write a language and a country, such as en-US or de-CH.'
    )


@pytest.mark.parametrize(
    "text", ["en-GB damp", "en-GB-qz00000xq", "en_GB.UTF-8", "de_DE@euro", "en_GB,", "en-GB de-CH"]
)
def test_what_stands_behind_a_locale_is_not_passed_over(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_locale(text)
    assert str(caught.value) == (
        f'"{text}" is not a known locale. Write a language and a country, such as en-US or de-CH.'
    )


def test_a_locale_may_name_a_script_or_a_region() -> None:
    assert [parse_locale(one) for one in ("de", "es-419", "sr-Latn-RS", "EN-gb")] == [
        "de", "es_419", "sr_Latn_RS", "en_GB",
    ]  # fmt: skip


def test_quantities_are_quick_to_import() -> None:
    import subprocess
    import sys

    heavy = (
        "import sys, dossier.quantities; print(*{'babel', 'numpy', 'pydantic'} & {*sys.modules})"
    )
    run = subprocess.run([sys.executable, "-c", heavy], capture_output=True, text=True, check=True)
    assert run.stdout == "\n"
