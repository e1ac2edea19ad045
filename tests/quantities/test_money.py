"""Fees, parts and refunds, in the currency of the shop or another."""

from decimal import Decimal

import pytest

from dossier.quantities import CURRENCIES, Money, QuantityError, parse_currency, parse_money
from dossier.quantities.currency import SIGNS


@pytest.mark.parametrize(
    ("written", "amount", "currency"),
    [
        ("40 USD", "40.00", "USD"),
        ("USD 40", "40.00", "USD"),
        ("40 usd", "40.00", "USD"),
        ("6.50", "6.50", "USD"),
        ("6,50", "6.50", "USD"),
        ("40", "40.00", "USD"),
        ("$40", "40.00", "USD"),
        ("$40 USD", "40.00", "USD"),
        ("$40 CAD", "40.00", "CAD"),
        ("40 EUR", "40.00", "EUR"),
        ("1,000", "1000.00", "USD"),
        ("1.234,50 EUR", "1234.50", "EUR"),
        ("4000 JPY", "4000", "JPY"),
        ("1.250 KWD", "1.250", "KWD"),
        ("-5", "-5.00", "USD"),
        ("−$5", "-5.00", "USD"),
    ],
)
def test_money(written: str, amount: str, currency: str) -> None:
    money = parse_money(written, "USD")
    assert money == Money(Decimal(amount), currency)
    assert str(money.amount) == amount


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("", "The amount is missing. Write it like 40 USD."),
        ("free", '"free" is not an amount of money. Write it like 40 USD.'),
        ("40-50 USD", '"40-50 USD" is not an amount of money. Write it like 40 USD.'),
        ("€40", '"€" is not the sign of USD. Write 40 USD, or 40 EUR if that is meant.'),
        ("$40 EUR", '"$" is not the sign of EUR. Write 40 EUR, or 40 USD if that is meant.'),
        ("40 UDS", '"UDS" is not a currency of ISO 4217. Did you mean USD?'),
        ("40 USS", '"USS" is not a currency of ISO 4217. Did you mean USD?'),
        ("40 GPB", '"GPB" is not a currency of ISO 4217. Did you mean GBP?'),
        (
            "40 SOX",
            '"SOX" is not a currency of ISO 4217. Write its three letters, such as USD or EUR.',
        ),
        (
            "40 dollars",
            (
                '"dollars" is not a currency of ISO 4217. '
                "Write its three letters, such as USD or EUR."
            ),
        ),
        ("40.50 JPY", '"40.50 JPY" has too many decimals: JPY has no decimals. Write 40 JPY.'),
        (
            "1.000 EUR",
            ('"1.000 EUR" has too many decimals: EUR has 2 decimals. Write 1000 EUR or 1.00 EUR.'),
        ),
        ("1,250 KWD", '"1,250" could mean 1250 or 1.250. Write 1250 or 1.250.'),
        ("USD 40 EUR", '"USD 40 EUR" names two currencies. Write it like 40 USD.'),
    ],
)
def test_no_money(written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_money(written, "USD")
    assert str(caught.value) == message


def test_without_a_currency_of_the_shop_the_amount_must_name_one() -> None:
    assert parse_money("40 USD") == Money(Decimal("40.00"), "USD")
    with pytest.raises(QuantityError) as caught:
        parse_money("$40")
    assert str(caught.value) == '"$40" does not say which currency. Write it like 40 USD.'


def test_the_sign_of_the_shop_is_read_in_its_own_currency() -> None:
    assert parse_money("$40", "AUD") == Money(Decimal("40.00"), "AUD")
    assert parse_money("40 €", "EUR") == Money(Decimal("40.00"), "EUR")


def test_currency() -> None:
    assert parse_currency("usd") == "USD"
    with pytest.raises(QuantityError) as caught:
        parse_currency("US")
    assert str(caught.value) == (
        '"US" is not a currency of ISO 4217. Write its three letters, such as USD or EUR.'
    )


def test_every_currency_is_one_of_the_cldr() -> None:
    """The CLDR, through Babel, knows every code; both agree on the decimals but for a few.

    The CLDR rounds these as they are used, ISO 4217 as they are written.
    """
    from babel.numbers import get_currency_precision, list_currencies

    assert len(CURRENCIES) > 150
    assert set(CURRENCIES) <= list_currencies() | {"XCG", "ZWG"}
    other = {code for code in CURRENCIES if get_currency_precision(code) != CURRENCIES[code]}
    assert other <= {
        "AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "PKR", "RSD", "SLL",
        "SOS", "SYP", "TZS", "UZS", "YER", "COP", "CRC", "GYD", "HUF", "IDR", "MNT", "MUR", "TWD",
    }  # fmt: skip


def test_every_sign_stands_for_known_currencies() -> None:
    assert SIGNS
    for sign, currencies in SIGNS:
        assert len(sign) == 1
        assert set(currencies) <= set(CURRENCIES)
