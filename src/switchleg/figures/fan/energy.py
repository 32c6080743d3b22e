"""What a fan draws in a year, by the label rule or by one's own hours and price; and its efficiency.

Label rule (10 CFR 430 Appendix U, 16 CFR 305): 3.4 h high, 3.0 h low, 17.6 h standby a day, 12 cents a kWh.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from switchleg.errors import SwitchlegError
from switchleg.figures.fit import Fit, not_covered
from switchleg.figures.sheet import Number, Sheet, shown_given
from switchleg.schema.tables import Tables, number_of, tables_for
from switchleg.units.reading import NUMBER, Measure, show_number

DAYS = 365
LABEL = "low-speed small"
CURRENCIES: dict[str, tuple[str, ...]] = {
    "USD": ("usd", "us$", "$", "dollar", "dollars"),
    "CAD": ("cad", "ca$"),
    "GBP": ("gbp", "£", "pound", "pounds"),
    "EUR": ("eur", "€", "euro", "euros"),
    "AUD": ("aud", "au$"),
    "NZD": ("nzd", "nz$"),
    "INR": ("inr", "₹", "rs", "rupee", "rupees"),
}
HUNDREDTHS = ("cent", "cents", "ct", "c", "¢", "p", "pence", "penny", "paise")
PRICE = re.compile(rf"(?P<before>[^0-9\s.]+)?\s*(?P<number>{NUMBER})\s*(?P<after>[^0-9\s/.]+)?\s*(?:/|per)\s*kwh", re.I)


@dataclass(frozen=True)
class Price:
    """The price of one kWh in whole money, and the money's name ("" where only cents were named)."""

    per_kwh: Fraction
    currency: str

    def __str__(self) -> str:
        if not self.currency:
            return f"{show_number(self.per_kwh * 100)} cents/kWh"
        return f"{show_number(self.per_kwh)} {self.currency}/kWh"

    def cost(self, kwh: Fraction) -> str:
        """The cost, rounded to hundredths, with its money."""
        return f"{_two(kwh * self.per_kwh)} {self.currency or '(hundreds of those cents)'}"


def parse_price(text: str, where: str = "") -> Price:
    """ "12 cents/kWh", "0.30 EUR/kWh", "$0.12 per kWh". SwitchlegError for a bare number or no kWh."""
    match = PRICE.fullmatch(text.strip())
    name = ((match["after"] or match["before"] or "") if match else "").lower()
    number = match["number"] if match else ""
    if not match or not name or not re.fullmatch(r"[0-9]*[.,]?[0-9]+", number) or (match["before"] and match["after"]):
        raise _bad_price(text, where)
    amount = Fraction(number.replace(",", "."))
    if amount == 0 or amount > 1000:
        raise _bad_price(text, where)
    if name in HUNDREDTHS:
        return Price(amount / 100, "")
    for currency, spellings in CURRENCIES.items():
        if name in spellings:
            return Price(amount, currency)
    raise _bad_price(text, where)


def _bad_price(text: str, where: str) -> SwitchlegError:
    return SwitchlegError(
        f"{text.strip()[:40]!r} is no price of electricity",
        where=where,
        expected="an amount of money for a kWh",
        mend='write it like "12 cents/kWh" or "0.30 EUR/kWh"',
    )


@dataclass(frozen=True)
class Hours:
    """Hours a day at high and low speed and in standby."""

    high: Fraction
    low: Fraction
    standby: Fraction


def label_hours(tables: Tables) -> Hours:
    """The hours of the label rule."""
    return Hours(*(number_of(tables, "energy_label_us", LABEL, name) for name in ("high", "low", "standby")))


def label_price(tables: Tables) -> Price:
    """The price that the label uses: a convention, not a tariff."""
    return Price(number_of(tables, "energy_label_us", LABEL, "price"), "USD")


def kwh_per_year(high_w: Fraction, low_w: Fraction, standby_w: Fraction, hours: Hours) -> Fraction:
    """Energy in kWh a year from watts and hours a day."""
    return DAYS * (high_w * hours.high + low_w * hours.low + standby_w * hours.standby) / 1000


def yearly_cost(
    high: Measure,
    low: Measure | None,
    standby: Measure | None,
    tables: Tables,
    *,
    price: Price | None = None,
    high_hours: Measure | None = None,
    low_hours: Measure | None = None,
    added: Measure | None = None,
) -> Sheet:
    """The sum for a year. What is not given is taken from the label rule; a missing low speed counts as high.

    `added` is what an added control draws all day. SwitchlegError when the hours do not fit into a day.
    """
    label, table = label_hours(tables), tables["energy_label_us"]
    at_high = high_hours.to("h") if high_hours else label.high
    at_low = low_hours.to("h") if low_hours else label.low
    if at_high + at_low > 24:
        raise SwitchlegError(
            f"{show_number(at_high + at_low)} hours do not fit into a day",
            where="yearly-cost",
            expected="hours at high and at low speed that come to 24 h at most",
            mend="give both, such as --high-hours '8 h' --low-hours '4 h'",
        )
    hours = Hours(at_high, at_low, 24 - at_high - at_low)
    cost = price or label_price(tables)
    parts = [
        ("high", high.to("W"), hours.high),
        ("low", (low or high).to("W"), hours.low),
        ("standby", standby.to("W") if standby else Fraction(0), hours.standby),
    ]
    if added:
        parts.append(("added control, all day", added.to("W"), Fraction(24)))
    lines, total = [], Fraction(0)
    for name, watts, daily in parts:
        kwh = DAYS * watts * daily / 1000
        total += kwh
        lines.append(f"{name}: {show_number(watts)} W x {show_number(daily)} h x {DAYS} days = {_two(kwh)} kWh")
    lines.append(f"together: {_two(total)} kWh a year")
    lines.append(f"{_two(total)} kWh x {cost} = {cost.cost(total)} a year")
    own = price is not None and high_hours is not None and low_hours is not None
    doubts = [] if own else ["The label's hours and price are from memory; three published sheets come out with them."]
    if low is None:
        doubts.append("Without watts at low speed, those at high speed were taken for both.")
    if standby is None:
        doubts.append("No standby was given: a fan with a remote draws some; look for it in its sheet.")
    given = shown_given(
        [("at high speed", high), ("at low speed", low), ("standby", standby), ("added control", added)]
    )
    return Sheet(
        "yearly-cost",
        "What the fan costs in a year",
        (*given, ("price", str(cost))),
        tuple(lines),
        f"{_two(total)} kWh and {cost.cost(total)} a year.",
        numbers=(
            Number("energy", total, "kWh/year"),
            Number("cost", total * cost.per_kwh, f"{cost.currency or 'hundred cents'}/year"),
        ),
        editions=() if own else (table.edition,),
        sources=("computed",) if own else (table.source, "cfr_305"),
        doubts=tuple(doubts),
    )


def _two(amount: Fraction) -> str:
    """Two places, half upwards."""
    whole, rest = divmod(int(amount * 100 + Fraction(1, 2)), 100)
    return f"{whole}.{rest:02d}"


def added_standby(tables: Tables, watts: Measure | None = None) -> tuple[str, ...]:
    """What an added control's standby comes to in a year, for its own watts or for the usual ranges."""
    yearly = Fraction(24 * DAYS, 1000)
    if watts is not None:
        return (f"{watts} all day is {_two(watts.to('W') * yearly)} kWh a year.",)
    found = []
    for row in tables["added_standby"].row:
        low, high = row.values["low"], row.values["high"]
        found.append(
            f"{row.name}: {show_number(low)} to {show_number(high)} W, "
            f"{_two(low * yearly)} to {_two(high * yearly)} kWh a year"
        )
    return tuple(found)


def least_efficiency(kind: str, span: Measure, region: str | None, tables: Tables) -> tuple[Fraction, Fit] | None:
    """The legal minimum (cfm/W, weighted) for a span and class of fan, or None where no rule is known here.

    Fans larger than the class reaches are rated by another index, and get None too.
    """
    table = tables_for(tables, "minimum_efficiency_", region) if region else None
    if table is None:
        return None
    inches = span.to("in")
    name = kind
    if kind == "very small":
        name = "very small, 12 in and under" if inches <= 12 else "very small, over 12 in"
    row = table.named(name, where="--class")
    if inches > row.values.get("up_to", inches):
        return None
    least = row.values["slope"] * inches + row.values["intercept"]
    text = (
        f"Least airflow per watt for a {row.name} fan of {span}: {show_number(row.values['slope'])} x "
        f"{show_number(inches)} + {show_number(row.values['intercept'])} = {_two(least)} cfm/W, weighted over speeds."
    )
    return least, Fit(None, text, table.edition, (table.source_of(row),))


def weighted_efficiency(
    high_flow: Fraction, high_w: Fraction, low_flow: Fraction, low_w: Fraction, standby_w: Fraction, hours: Hours
) -> Fraction:
    """Airflow per watt (cfm/W) weighted by the hours of the test procedure, standby included."""
    flow = high_flow * hours.high + low_flow * hours.low
    return flow / (high_w * hours.high + low_w * hours.low + standby_w * hours.standby)


def efficiency_against_law(
    kind: str,
    span: Measure,
    region: str | None,
    tables: Tables,
    *,
    high: tuple[Measure, Measure],
    low: tuple[Measure, Measure] | None = None,
    standby: Measure | None = None,
) -> Fit:
    """A fan's weighted airflow per watt against the legal minimum. `high` and `low`: (airflow, watts).

    High speed alone decides nothing: low speed is thriftier, standby is not.
    """
    found = least_efficiency(kind, span, region, tables)
    if found is None:
        return not_covered("A legal minimum of airflow per watt is not covered here for this region, class and size.")
    least, fit = found
    flow, watts = high[0].to("cfm"), high[1].to("W")
    if low is None:
        at_high = flow / watts
        word = "already above it at high speed" if at_high >= least else "below it at high speed; low speed decides"
        text = f"{fit.text} This fan: {_two(at_high)} cfm/W at high speed, {word}."
        return Fit(None, text, fit.rule, fit.sources, doubtful=True)
    rest = standby.to("W") if standby else Fraction(0)
    whole = weighted_efficiency(flow, watts, low[0].to("cfm"), low[1].to("W"), rest, label_hours(tables))
    word = "meets it" if whole >= least else "is below it"
    text = f"{fit.text} This fan: {_two(whole)} cfm/W, weighted: {word}."
    return Fit(whole >= least, text, fit.rule, (*fit.sources, "cfr_430_appendix_u"), doubtful=standby is None)
