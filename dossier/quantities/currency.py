"""The currencies of ISO 4217 and how many decimals each has.

From memory; a test holds the list against the CLDR's.
"""

_TWO = (
    "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD "
    "CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ "
    "GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL "
    "MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR "
    "PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT "
    "TOP TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD XCG YER ZAR ZMW ZWG"
)
_NONE = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"

CURRENCIES: dict[str, int] = {
    **dict.fromkeys(_TWO.split(), 2),
    **dict.fromkeys(_NONE.split(), 0),
    **dict.fromkeys(_THREE.split(), 3),
}
"""Decimals of each currency by its three letters; read it, never change it."""

_DOLLARS = (
    "USD AUD BBD BMD BND BSD BZD CAD FJD GYD HKD JMD KYD LRD NAD NZD SBD SGD SRD TTD TWD XCD"
    " MXN ARS CLP COP"
)
SIGNS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("$", tuple(_DOLLARS.split())),
    ("€", ("EUR",)),
    ("£", ("GBP", "FKP", "GIP", "SHP", "EGP", "SSP")),
    ("¥", ("JPY", "CNY")),
)
"""Signs, with the currencies that each may stand for; the first is the likeliest."""

LIKELY = ("USD", "EUR", "GBP", "CAD", "AUD", "NZD", "CHF", "SEK", "NOK", "DKK", "JPY")
"""What three misspelt letters were most likely meant for, the likeliest first."""
