"""What each command takes, and the options that several take, each declared once.

Imports little of what carries a command out: a wrong word or --help waits for no library.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from analysis.command_line import (
    CommandParser,
    add_input,
    add_mass,
    add_output,
    add_text_percent,
    number,
)
from analysis.quantity.units import celsius, centimetres, grams, kelvin, metres, millimetres
from physics import USUAL_SPEED
from physics.ball import PLAYING_SPEEDS, USUAL_BALL, Ball
from physics.reading import CAMERAS, READERS, Camera, Reader
from sim.calibration.ball_file import SUFFIX, ball_in, read_ball_file
from sim.calibration.taking import Taking
from sim.chance import LARGEST_SEED
from sim.procedure import (
    BATH_WORDS,
    DEMO_PROCEDURE,
    DEMO_SEED,
    SHOWN_PROCEDURE,
    USUAL_WAY,
    Bath,
    Procedure,
)
from sim.state import Setup

RECORD = "a file *.rebound.jsonl"
USUAL = Taking()


def parser_of(command: str) -> argparse.ArgumentParser:
    """The parser of one command's options."""
    parser = CommandParser(prog=f"python -m sim {command}")
    parser.set_defaults(command=command)
    _ADDED[command](parser)
    return parser


def _add_perform(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "A scripted student carries out the practical, with no window: readings, graph and report."
    )
    add_procedure_options(parser, DEMO_PROCEDURE)
    add_seed(parser)
    add_reheat(parser)
    add_output(parser, "folder to write", "practical")


def _add_contrast(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "The reheating demonstration: the ball left to cool, and the ball put back, side by side. "
        "Readings, table and figure always; on request the moving picture, where the spread comes "
        "from, and how many repeats are needed to see it. A careful reader reads, unless "
        "another is asked for: the wider the reader's spread, the less is seen of the cooling."
    )
    add_procedure_options(parser, SHOWN_PROCEDURE)
    add_seed(parser)
    parser.add_argument(
        "--animation",
        choices=("gif", "mp4"),
        help="also the demonstration drop by drop, some ten seconds",
    )
    parser.add_argument(
        "--sources",
        action="store_true",
        help="also where the spread comes from, at 20, 40 and 60 °C: table and figure",
    )
    parser.add_argument(
        "--repeats-needed",
        action="store_true",
        help="also the chance that the readings of one such showing, and of a class, settle it, by "
        "repeats: table and chart",
    )
    add_output(parser, "folder to write", "contrast")


def _add_demonstrate(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "The reheating demonstration on a projector: the ball left to cool, a pause to say what to "
        "expect, the ball put back, drop by drop, true values shown. A careful reader reads, "
        "unless another is asked for."
    )
    add_procedure_options(parser, SHOWN_PROCEDURE)
    add_seed(parser)
    parser.add_argument(
        "--readings",
        type=Path,
        metavar="FILE",
        help="the class's own readings (csv, xlsx, ods), laid over at the temperatures shown",
    )
    parser.add_argument(
        "--full-screen", action="store_true", help="fill the screen from the start (F11 does, too)"
    )


def _add_readings(parser: argparse.ArgumentParser) -> None:
    parser.description = "The readings file of a practical, written again from its record alone."
    add_input(parser, "RECORD", RECORD)
    words = "csv, xlsx or ods file to write (RECORD with the ending csv)"
    add_output(parser, words, metavar="FILE")


def _add_mark(parser: argparse.ArgumentParser) -> None:
    parser.description = "Feedback on the exercise book of a practical record, as one HTML page."
    add_input(parser, "RECORD", RECORD)
    words = "HTML file to write (RECORD with the ending feedback.html)"
    add_output(parser, words, metavar="FILE")


def _add_classset(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "A practical of their own for every student: an empty record for the bench, a printed "
        "sheet with readings for those without a machine, and for the teacher the key and the "
        "answers. Keep the folder 'teacher only' to yourself."
    )
    add_input(parser, "NAMES", "csv, xlsx or ods file with the names")
    add_output(parser, "folder to write", "class set")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--no-sheets", action="store_true", help="records only, nothing printed")
    what.add_argument(
        "--readings-only",
        action="store_true",
        help="no records: all readings in one file, for the teacher to give out",
    )
    add_procedure_options(parser, DEMO_PROCEDURE)
    add_reheat(parser)
    words = "for trying things out: makes the set the same each time, and no secret at all"
    add_seed(parser, None, words)


def _add_collect(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Checks every file in a folder against the class's key, marks it, and writes a workbook "
        "for the teacher, a page about the class without names, and feedback for each student. "
        "Works that agree more than chance allows are named for the teacher to look at; that "
        "accuses nobody."
    )
    parser.add_argument("folder", type=Path, metavar="DIR", help="folder with the files handed in")
    parser.add_argument(
        "--key", type=Path, required=True, metavar="FILE", help="the class set's key.json"
    )
    add_output(parser, "folder to write", "class results")
    parser.add_argument(
        "--corrections",
        type=Path,
        metavar="FILE",
        help="the teacher's corrections, csv or xlsx (corrections.csv in the folder of --out)",
    )
    parser.add_argument(
        "--criteria", type=Path, metavar="FILE", help="criteria for written answers, TOML"
    )


def _add_judge(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "What collect left to the teacher, judged in a window: one question at a time, the same "
        "answer once for all who gave it, and near ones together. R, H and N say right, half and "
        "not yet; what is decided is kept at once in corrections.csv, which the next collect takes "
        "in. A sample of 30 of the credits is among them to be looked at."
    )
    parser.add_argument("folder", type=Path, metavar="DIR", help="folder that collect wrote")
    add_text_percent(parser)


def _add_fit(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Fits the ball's loss ratio, its cooling in air and the reader's spread to a readings "
        "file, says how sure each is and what the readings cannot decide, and writes own.ball.json "
        "for --ball and a picture of the residuals."
    )
    parser.epilog = (
        "The file's own columns come first: repeats in order, drop height, reheated, elapsed time "
        "of each release. The options tell what the file does not. Tell above all --bath and "
        "--soak-s: how warm the ball was follows from them, and so the loss ratio and its slope."
    )
    add_input(parser, "READINGS")
    _add_soak(parser.add_argument_group("how the ball was warmed"))
    _add_drop(parser.add_argument_group("how it was dropped and read"))
    add_output(parser, "folder to write", "own-ball")


def _add_page(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "The practical as one HTML file that any browser opens, from a disk, a stick or a web "
        "server: everything is inside, and nothing is asked of a network. With --class it is the "
        "page of a whole class: each student takes their place and gets the practical that the "
        "class set gives them as a file."
    )
    words = (
        "folder of the npm package pyodide 314.0.7, unpacked, with the wheel of msgspec 0.22.0 for "
        "it put into it; both are checked by their SHA-256"
    )
    parser.add_argument("--runtime", type=Path, required=True, metavar="DIR", help=words)
    words = "the class set's key.json: a page on which each student takes their place"
    parser.add_argument("--class", dest="class_key", type=Path, metavar="KEY", help=words)
    words = "with --class: places are taken by name, from a list on the page (by number)"
    parser.add_argument("--names", action="store_true", help=words)
    words = "a folder for a web server, smaller to load, which asks that server alone (one file)"
    parser.add_argument("--folder", action="store_true", help=words)
    add_output(parser, "file or folder to write (rebound-practical.html)", metavar="OUT")


def _add_portable(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "The program as a folder for 64-bit Windows that needs no installation: Python, the "
        "packages, and a start file each for the bench and for the commands. It is the one command "
        "that uses a network, and only where --wheels is not given: pip fetches the packages."
    )
    words = "zip of the 64-bit embeddable Python, from python.org"
    parser.add_argument("--python", type=Path, required=True, metavar="ZIP", help=words)
    words = "folder with the packages' wheels (fetched with pip)"
    parser.add_argument("--wheels", type=Path, metavar="DIR", help=words)
    words = "which wheels, by their SHA-256, and what of them is left out, TOML (the program's own)"
    parser.add_argument("--pins", type=Path, metavar="FILE", help=words)
    words = "also as one zip file to hand on, pressed as hard as Windows can unpack it"
    parser.add_argument("--zip", type=Path, metavar="FILE", help=words)
    add_output(parser, "folder to write", "Rebound Practical")


def _add_soak(soak: argparse._ArgumentGroup) -> None:
    _add_bath(soak, USUAL.bath)
    _add_number(soak, "--soak-s", (0, 1e5), USUAL.soak_s, "time in the water, each time")
    _add_number(soak, "--water-g", (1, 1e5), grams(USUAL.water_kg), "water in a beaker")
    words = "from reading the thermometer in a beaker to the ball going in"
    _add_number(soak, "--before-soak-s", (0, 1e5), USUAL.before_soak_s, words)
    words = "from lifting the ball out to its being dry"
    _add_number(soak, "--drying-s", (0, 1e5), USUAL.drying_s, words)
    soak.add_argument(
        "--no-towel", action="store_true", help="the ball was not dried: it stays wet for a minute"
    )
    soak.add_argument(
        "--reheated",
        choices=("yes", "no"),
        default="no",
        help="whether the ball went back into the water before each drop, where the file has no "
        "such column (no)",
    )
    words = "standard uncertainty of the thermometer's scale, °C"
    _add_number(soak, "--thermometer-c", (0, 10), USUAL.thermometer_sd_k, words)
    _add_number(soak, "--room-c", (0, 45), celsius(USUAL.room_k), "the room, °C")


def _add_drop(drop: argparse._ArgumentGroup) -> None:
    _add_number(drop, "--handling-s", (0, 1e5), USUAL.handling_s, "from drying to release")
    words = (
        "from one release to the next where the ball was left to cool and the file has no elapsed "
        "times"
    )
    _add_number(drop, "--between-s", (0, 1e5), USUAL.between_s, words)
    drop.add_argument(
        "--eye-level-cm",
        type=number(0, 250),
        help="height of the eye above the floor (the level of the bounce before)",
    )
    add_mass(drop, grams(USUAL_BALL.mass_kg))
    _add_number(
        drop, "--diameter-mm", (10, 200), millimetres(USUAL_BALL.diameter_m), "the ball's diameter"
    )


def _add_number(
    group: argparse._ArgumentGroup,
    flag: str,
    ends: tuple[float, float],
    default: float,
    words: str,
) -> None:
    """Declare an option that takes a number between two ends."""
    group.add_argument(flag, type=number(*ends), default=default, help=f"{words} ({default:g})")


_ADDED: dict[str, Callable[[argparse.ArgumentParser], None]] = {
    "perform": _add_perform,
    "contrast": _add_contrast,
    "demonstrate": _add_demonstrate,
    "readings": _add_readings,
    "mark": _add_mark,
    "classset": _add_classset,
    "collect": _add_collect,
    "judge": _add_judge,
    "fit": _add_fit,
    "page": _add_page,
    "portable": _add_portable,
}


def add_procedure_options(parser: argparse.ArgumentParser, plan: Procedure) -> None:
    """The plan of the practical and who carries it out, as in `plan` unless told otherwise."""
    planned_c = ",".join(f"{each:g}" for each in celsius(plan.temperatures_k).tolist())
    reader = plan.observer.name if isinstance(plan.observer, Reader) else None
    parser.epilog = USUAL_WAY
    parser.add_argument(
        "--ball",
        type=ball_choice,
        default=USUAL_SPEED,
        metavar="BALL",
        help=f"playing speed of the ball ({', '.join(PLAYING_SPEEDS)}), or a ball file made by "
        f"'fit', ending {SUFFIX} ({USUAL_SPEED})",
    )
    parser.add_argument(
        "--temperatures-c",
        type=temperatures,
        default=plan.temperatures_k,
        metavar="20,30,…",
        help=f"temperatures of the water in °C, separated by commas ({planned_c})",
    )
    parser.add_argument(
        "--repeats",
        type=int,
        default=plan.repeats,
        help=f"drops at each temperature ({plan.repeats})",
    )
    parser.add_argument(
        "--drop-height-cm",
        type=float,
        default=centimetres(plan.drop_height_m),
        help="height of the ball's lowest point at release (100)",
    )
    _add_bath(parser, plan.bath)
    parser.add_argument(
        "--soak-s",
        type=float,
        default=plan.soak_s,
        help=f"time in the water, each time ({plan.soak_s:g})",
    )
    parser.add_argument("--no-towel", action="store_true", help="leave the ball wet")
    who = parser.add_mutually_exclusive_group()
    who.add_argument(
        "--reader", choices=READERS, default=reader, help=f"who reads by eye ({reader})"
    )
    who.add_argument(
        "--camera", type=int, choices=CAMERAS, help="read from a camera, frames a second"
    )
    parser.add_argument(
        "--eye-level-cm",
        type=float,
        help="height of the eye or the camera above the floor (the level of the bounce)",
    )


def _add_bath(parser: argparse._ActionsContainer, usual: Bath) -> None:
    """Declare what the ball is warmed in."""
    words = f"what the ball is warmed in: {', or '.join(BATH_WORDS.values())} ({usual})"
    parser.add_argument("--bath", choices=BATH_WORDS, default=usual, help=words)


def add_reheat(parser: argparse.ArgumentParser) -> None:
    """Which of the two procedures."""
    parser.add_argument(
        "--reheat", action="store_true", help="put the ball back into the water before each drop"
    )


def add_seed(
    parser: argparse.ArgumentParser,
    default: int | None = DEMO_SEED,
    words: str = "number that the random errors grow from (1)",
) -> None:
    """Where the luck comes from."""
    parser.add_argument("--seed", type=seed, default=default, help=words)


def setup_of(options: argparse.Namespace) -> Setup:
    """The bench that the options tell; Refused where the ball file holds no ball."""
    return Setup(seed=options.seed, model=ball_of(options))


def procedure_of(options: argparse.Namespace, *, reheat: bool) -> Procedure:
    """The plan that the options tell; NotPossible where the bench cannot carry it out."""
    return Procedure(
        temperatures_k=options.temperatures_c,
        repeats=options.repeats,
        drop_height_m=metres(options.drop_height_cm),
        reheat=reheat,
        soak_s=options.soak_s,
        towel=not options.no_towel,
        observer=_observer_of(options),
        eye_height_m=eye_height_m_of(options),
        bath=options.bath,
    )


def eye_height_m_of(options: argparse.Namespace) -> float | None:
    """The height of the eye; None for the level of the bounce."""
    return None if options.eye_level_cm is None else metres(options.eye_level_cm)


def _observer_of(options: argparse.Namespace) -> Reader | Camera:
    return CAMERAS[options.camera] if options.camera else READERS[options.reader]


def observer_text(options: argparse.Namespace) -> str:
    """Who reads, in words."""
    if options.camera:
        return f"camera of {options.camera} frames a second"
    return f"{options.reader} reader"


def ball_of(options: argparse.Namespace) -> Ball:
    """The ball that the options tell.

    Raises:
        Refused: the ball file cannot be read or holds no ball; one sentence.

    """
    if options.ball in PLAYING_SPEEDS:
        return PLAYING_SPEEDS[options.ball]
    path = Path(options.ball)
    return ball_in(read_ball_file(path), path)


def ball_choice(text: str) -> str:
    """A playing speed, or the path of a ball file, which is read when it is needed."""
    if text in PLAYING_SPEEDS or text.lower().endswith(SUFFIX):
        return text
    raise argparse.ArgumentTypeError(
        f"{text!r} is neither one of {', '.join(PLAYING_SPEEDS)} nor a file ending {SUFFIX}"
    )


def temperatures(text: str) -> tuple[float, ...]:
    """Temperatures in °C, separated by commas, as kelvin."""
    try:
        return tuple(kelvin(float(part)) for part in text.split(","))
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not a list of temperatures such as 20,30,40"
        ) from error


def seed(text: str) -> int:
    """A whole number that Philox takes as its key."""
    try:
        number = int(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number") from error
    if not 0 <= number <= LARGEST_SEED:
        raise argparse.ArgumentTypeError("a seed lies between 0 and 2^128 - 1")
    return number
