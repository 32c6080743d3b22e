"""What may be typed after `switchleg figures`: the calculations, their options and their help."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Sequence
from typing import Any

from switchleg.errors import SwitchlegError

REGIONS = "us, ca, uk, eu, au_nz or in"
ABOUT = """\
Calculations on their own, for somebody who only wants the number. Every
measure bears its unit ("18 in3", "2.4 m", "1.2 A"); a bare number is refused.
The sum is shown with its edition and its sources.
"""
EXAMPLES = """\
examples:
  switchleg figures box-fill --region us --cable 14/2 --cable 14/3 \\
      --device "14 AWG" --box "18 in3"
  switchleg figures blade-height --region us --ceiling "8 ft" --drop "11 in"
  switchleg figures yearly-cost --high "56 W" --low "14 W"
  switchleg figures capacitor --value "4.5 uF" --voltage "120 V"
  switchleg figures wire --size "14 AWG" --breaker "15 A" --region us
  switchleg figures part --kind fan_speed_control --amps "1.5 A" \\
      --region us --fan-amps "0.6 A" --motor ac

`switchleg figures NAME --help` says what each one takes.
"""

BOX_EXAMPLES = """\
examples:
  switchleg figures box-fill --region us --cable 14/2 --cable 14/3 \\
      --device "14 AWG" --box "18 in3"
  switchleg figures box-fill --region us --cable "5 x 14/2" --clamps \\
      --device "14 AWG" --device "14 AWG" --box "4 x 2-1/8 square"
  switchleg figures box-fill --region ca --cable 14/2 --cable 14/3 \\
      --connectors 2 --device "14 AWG, 4 cm deep" --box "3 x 2 x 2-1/2"
  switchleg figures box-fill --region uk --device-depth "28 mm" \\
      --box-depth "35 mm"
"""
HEIGHT_EXAMPLES = """\
examples:
  switchleg figures blade-height --region us --blades "7 ft 2 in"
  switchleg figures blade-height --region eu --ceiling "2.7 m" \\
      --rod "15 cm" --motor-drop "25 cm" --to-wall "60 cm"
  switchleg figures blade-height --region us --ceiling "12 ft" \\
      --slope "30 deg" --span "52 in"
"""
COST_EXAMPLES = """\
examples:
  switchleg figures yearly-cost --high "56 W" --low "14 W"
  switchleg figures yearly-cost --high "28 W" --low "3 W" --standby "0.5 W" \\
      --price "0.30 EUR/kWh" --high-hours "2 h" --low-hours "8 h"
  switchleg figures yearly-cost --high "56 W" --low "14 W" --region us \\
      --span "52 in" --airflow-high "4498 cfm" --airflow-low "2027 cfm"
"""
CAPACITOR_EXAMPLES = """\
examples:
  switchleg figures capacitor --value "4.5 uF"
  switchleg figures capacitor --value "4.5 uF" --value "6 uF" --voltage "230 V"
"""
WIRE_EXAMPLES = """\
examples:
  switchleg figures wire --size "14 AWG" --breaker "20 A" --region us
  switchleg figures wire --size "1.5 mm2"
  switchleg figures wire --size "14 AWG" --length "50 ft" --load "0.5 A"
"""
CLUE_EXAMPLES = """\
examples:
  switchleg figures motor-clues --watts "28 W" --airflow "5238 cfm" \\
      --amps "0.43 A" --region us
"""
SUPPORT_EXAMPLES = """\
examples:
  switchleg figures support --region us --weight "38 lb" --added "0.5 lb" \\
      --marked yes --rating "50 lb"
"""
BATH_EXAMPLES = """\
examples:
  switchleg figures bath-zone --region us --across "4 ft" --up "6 ft 6 in"
  switchleg figures bath-zone --region us --across "0 ft" --up "8 ft 2 in"
"""
RATINGS_EXAMPLES = """\
examples:
  switchleg figures ratings --region us --wire "14 AWG" --breaker "15 A" \\
      --switch "15 A" --fan-amps "0.6 A" --light-watts "60 W" --lamp led
  switchleg figures ratings --region us --fan-watts "60 W" --fans 2 \\
      --switch "15 A"
"""
PART_EXAMPLES = """\
examples:
  switchleg figures part --kind fan_speed_control --amps "1.5 A" \\
      --voltage "120 V" --region us --fan-amps "0.6 A" --motor ac --neutral yes
  switchleg figures part --kind canopy_relay_module --region us \\
      --amps "10 A" --motor-amps "3 A" --voltage "100-240 V" \\
      --size "60 x 45 x 25 mm" --temperature "50 C" --fan-amps "0.6 A" \\
      --canopy-space "130 x 130 x 60 mm" --place dry
  switchleg figures part --kind fan_speed_control --fan "front parlour" \\
      --amps "1.5 A" --voltage "120 V" --depth "38 mm"
"""


def add_to(commands: Any, parser_class: type[argparse.ArgumentParser]) -> None:
    """Adds `figures` with all its calculations to the program's commands."""
    figures = commands.add_parser(
        "figures", help="single calculations, with the sum shown", description=ABOUT, epilog=EXAMPLES
    )
    kinds = figures.add_subparsers(
        dest="calculation", metavar="NAME", title="calculations", required=True, parser_class=parser_class
    )
    for name, (about, epilog, fill) in CALCULATIONS.items():
        one = kinds.add_parser(name, help=about, description=f"{about[0].upper()}{about[1:]}.", epilog=epilog)
        fill(one)
        one.add_argument("--json", action="store_true", help="everything, as one JSON object")


def check_name(argv: Sequence[str]) -> None:
    """A misspelt calculation is answered with the nearest. Raises SwitchlegError."""
    if len(argv) < 2 or argv[0] != "figures" or argv[1].startswith("-") or argv[1] in CALCULATIONS:
        return
    near = difflib.get_close_matches(argv[1].replace("_", "-"), CALCULATIONS, n=1)
    raise SwitchlegError(
        f"there is no calculation {argv[1]!r}",
        where="figures",
        expected="one of " + ", ".join(CALCULATIONS),
        mend=f"did you mean `switchleg figures {near[0]}`?" if near else "`switchleg figures --help` shows how",
    )


def _measure(parser: argparse.ArgumentParser, name: str, unit: str, text: str) -> None:
    parser.add_argument(f"--{name}", metavar=unit, help=text)


def _many(parser: argparse.ArgumentParser, name: str, unit: str, text: str) -> None:
    parser.add_argument(f"--{name}", metavar=unit, action="append", default=[], help=f"{text}; may be repeated")


def _region(parser: argparse.ArgumentParser, *, required: bool) -> None:
    parser.add_argument("--region", metavar="REGION", required=required, help=REGIONS)


def _box_fill(parser: argparse.ArgumentParser) -> None:
    _region(parser, required=True)
    parser.add_argument("--edition", metavar="YEAR", default="2020", help="us: 2017 (and earlier) or 2020 (and later)")
    _many(parser, "cable", "CABLE", 'gauge/insulated wires, with a ground: "14/2"')
    _many(parser, "wires", "WIRES", 'wires that end or are joined here: "5 x 14 AWG"')
    _many(parser, "through", "WIRES", "wires passing straight through")
    _many(parser, "looped", "WIRES", "wires passing in an unbroken long loop")
    _many(parser, "grounds", "WIRES", "ground wires")
    _many(parser, "isolated-grounds", "WIRES", "isolated ground wires")
    _many(parser, "canopy-leads", "WIRES", "thin leads coming from the fan's canopy")
    _many(parser, "device", "DEVICE", 'its largest wire; "14 AWG, 2 gangs, 4 cm deep"')
    _many(parser, "module", "MODULE", 'loose module: "14 AWG, 30 cm3"')
    parser.add_argument("--connectors", metavar="N", type=int, default=0, help="wire connectors (Canada)")
    parser.add_argument("--clamps", action="store_true", help="cable clamps inside the box")
    parser.add_argument("--stud", action="store_true", help="a fixture stud")
    parser.add_argument("--hickey", action="store_true", help="a hickey")
    parser.add_argument("--box", metavar="SIZE", help='marked volume ("18 in3") or trade size')
    parser.add_argument("--joined", metavar="N", type=int, default=1, help="so many such boxes joined")
    parser.add_argument("--lenient", action="store_true", help="of more than four canopy leads, leave out four")
    _measure(parser, "device-depth", "LENGTH", "where depth decides: the device behind its plate")
    _measure(parser, "box-depth", "LENGTH", "where depth decides: the box")


def _height(parser: argparse.ArgumentParser) -> None:
    _region(parser, required=True)
    _measure(parser, "blades", "LENGTH", "blades above the floor, measured")
    _measure(parser, "ceiling", "LENGTH", "ceiling above the floor")
    _measure(parser, "drop", "LENGTH", "from the ceiling down to the blades")
    _measure(parser, "rod", "LENGTH", "the downrod")
    _measure(parser, "motor-drop", "LENGTH", "canopy and motor, from rod to blades")
    _measure(parser, "to-wall", "LENGTH", "blade tips to the nearest wall")
    _measure(parser, "slope", "ANGLE", "slope of the ceiling")
    _measure(parser, "span", "LENGTH", "blade span")


def _cost(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--high", metavar="POWER", required=True, help="watts at high speed")
    _measure(parser, "low", "POWER", "watts at low speed")
    _measure(parser, "standby", "POWER", "watts when off but listening")
    _measure(parser, "added", "POWER", "watts of an added control, all day")
    parser.add_argument("--price", metavar="PRICE", help='such as "0.30 EUR/kWh"; else the label\'s')
    _measure(parser, "high-hours", "TIME", "hours a day at high speed; else the label's")
    _measure(parser, "low-hours", "TIME", "hours a day at low speed; else the label's")
    _region(parser, required=False)
    _measure(parser, "span", "LENGTH", "blade span, for the legal minimum")
    parser.add_argument(
        "--class", dest="kind", metavar="CLASS", default="standard", help="standard, hugger, very small"
    )
    _measure(parser, "airflow-high", "AIRFLOW", "airflow at high speed")
    _measure(parser, "airflow-low", "AIRFLOW", "airflow at low speed")


def _capacitor(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--value", metavar="CAPACITY", action="append", required=True, help="each marked section")
    _measure(parser, "voltage", "VOLTAGE", "of the supply; else 120 V and 230 V")
    _measure(parser, "frequency", "FREQ", "of the supply")


def _wire(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--size", metavar="WIRE", required=True, help='"14 AWG" or "1.5 mm2"')
    _region(parser, required=False)
    _measure(parser, "breaker", "CURRENT", "the breaker before it")
    parser.add_argument("--metal", choices=("copper", "aluminum"), help="of the wire")
    _measure(parser, "length", "LENGTH", "one way, for the drop")
    _measure(parser, "load", "CURRENT", "load, for the drop")


def _motor_clues(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--watts", metavar="POWER", required=True, help="at high speed")
    _measure(parser, "airflow", "AIRFLOW", "at high speed")
    _measure(parser, "amps", "CURRENT", "at high speed; takes --region for its voltage")
    _region(parser, required=False)


def _support(parser: argparse.ArgumentParser) -> None:
    _region(parser, required=True)
    parser.add_argument("--weight", metavar="WEIGHT", required=True, help="the fan, as on its label or carton")
    _measure(parser, "added", "WEIGHT", "parts that hang with it")
    parser.add_argument("--marked", choices=("yes", "no"), help="the box is marked for fans")
    _measure(parser, "rating", "WEIGHT", "greatest weight marked in the box")


def _bath(parser: argparse.ArgumentParser) -> None:
    _region(parser, required=True)
    parser.add_argument("--across", metavar="LENGTH", required=True, help="level, rim to the nearest blade tip")
    parser.add_argument("--up", metavar="LENGTH", required=True, help="from the rim up to the lowest part")
    parser.add_argument("--light", choices=("yes", "no"), help="the fan has a light kit")
    parser.add_argument("--edition", choices=("2020", "2023"), default="2020", help="us: 2020 (and earlier) or 2023")


def _loads(parser: argparse.ArgumentParser) -> None:
    _measure(parser, "fan-amps", "CURRENT", "on the fan's label")
    _measure(parser, "fan-watts", "POWER", "on the fan's label, at high speed")
    parser.add_argument("--motor", choices=("ac", "ac_tapped", "dc"), help="of the fan, when it is settled")
    parser.add_argument("--fans", metavar="N", type=int, default=1, help="fans on this one control")
    _measure(parser, "light-watts", "POWER", "all lamps together")
    parser.add_argument("--lamp", choices=("led", "tungsten"), help="kind of lamp")


def _ratings(parser: argparse.ArgumentParser) -> None:
    _region(parser, required=True)
    _measure(parser, "wire", "WIRE", "size of the circuit's wire")
    parser.add_argument("--metal", choices=("copper", "aluminum"), help="of the wire")
    _measure(parser, "breaker", "CURRENT", "the circuit's breaker")
    _measure(parser, "switch", "CURRENT", "mark of a plain switch (AC general-use)")
    _loads(parser)
    parser.add_argument("--odd-sockets", action="store_true", help="light kit without screw or pin sockets (limiter)")


def _part(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--kind", metavar="KIND", required=True, help="such as fan_speed_control; a wrong one lists them"
    )
    _region(parser, required=False)
    parser.add_argument("--fan", metavar="NAME", help="a saved fan: its loads, place and room are taken from it")
    label = parser.add_argument_group("what is marked on the part")
    for name, unit, text in (
        ("amps", "CURRENT", "its ampere mark (of a fan control: for the fan)"),
        ("motor-amps", "CURRENT", "its mark for motors"),
        ("watts", "POWER", "its mark for tungsten lamps"),
        ("led-watts", "POWER", "its mark for LED lamps"),
        ("least-load", "POWER", "the least load that it needs"),
        ("voltage", "VOLTAGE", '"120 V" or "100-240 V"'),
        ("size", "SPACE", '"60 x 50 x 25 mm"'),
        ("volume", "VOLUME", "its outside volume"),
        ("depth", "LENGTH", "behind the plate or strap"),
        ("temperature", "TEMP", "the warmth that it bears"),
    ):
        label.add_argument(f"--{name}", metavar=unit, help=text)
    label.add_argument("--listed", choices=("dry", "damp", "wet"), help="the place that it is listed for")
    _loads(parser)
    parser.add_argument("--neutral", choices=("yes", "no"), help="a neutral is at the wall (proved)")
    parser.add_argument("--place", choices=("dry", "damp", "wet"), help="where it is to go")
    _measure(parser, "box-depth", "LENGTH", "depth of the wall box")
    _measure(parser, "box-space", "VOLUME", "what box-fill leaves over for a loose module")
    _measure(parser, "canopy-space", "SPACE", "free space in the canopy, three lengths")
    _measure(parser, "canopy-temperature", "TEMP", "warmth in the canopy, if measured")


CALCULATIONS: dict[str, tuple[str, str, Any]] = {
    "box-fill": ("how full a box is, and what would fit", BOX_EXAMPLES, _box_fill),
    "blade-height": ("blade height and clearances", HEIGHT_EXAMPLES, _height),
    "yearly-cost": ("what a fan costs in a year, and its efficiency", COST_EXAMPLES, _cost),
    "capacitor": ("reactance and current of a marked capacitor", CAPACITOR_EXAMPLES, _capacitor),
    "motor-clues": ("what a label's figures hint of the motor", CLUE_EXAMPLES, _motor_clues),
    "support": ("whether the ceiling box may carry the fan", SUPPORT_EXAMPLES, _support),
    "bath-zone": ("whether a fan hangs clear of a bath or shower", BATH_EXAMPLES, _bath),
    "ratings": ("breaker, wire, switch and loads together", RATINGS_EXAMPLES, _ratings),
    "part": ("your own part, judged by its marks", PART_EXAMPLES, _part),
    "wire": ("a wire size, its neighbours and its breaker", WIRE_EXAMPLES, _wire),
}
