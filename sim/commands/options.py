"""The options that several commands take, each declared once, and what their texts mean.

Imports little: a wrong word or --help waits for no library.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from analysis.quantity.units import centimetres, kelvin, metres
from physics.ball import PLAYING_SPEEDS, Ball
from physics.reading import CAMERAS, READERS, Camera, Reader
from sim.calibration.ball_file import SUFFIX, ball_in, read_ball_file
from sim.chance import LARGEST_SEED
from sim.procedure import DEMO_PROCEDURE, DEMO_SEED, Procedure
from sim.state import Setup


def add_procedure_options(
    parser: argparse.ArgumentParser, reader: str, soak_s: float = DEMO_PROCEDURE.soak_s
) -> None:
    """The plan of the practical and who carries it out; the usual reader and soak."""
    plan = DEMO_PROCEDURE
    parser.add_argument(
        "--ball",
        type=ball_choice,
        default="fast",
        metavar="BALL",
        help=f"playing speed of the ball ({', '.join(PLAYING_SPEEDS)}), or a ball file made by "
        f"'fit', ending {SUFFIX} (fast)",
    )
    parser.add_argument(
        "--temperatures-c",
        type=temperatures,
        default=plan.temperatures_k,
        metavar="20,30,…",
        help="temperatures of the water in °C, separated by commas (20,30,40,50,60)",
    )
    parser.add_argument(
        "--repeats", type=int, default=plan.repeats, help="drops at each temperature (5)"
    )
    parser.add_argument(
        "--drop-height-cm",
        type=float,
        default=centimetres(plan.drop_height_m),
        help="height of the ball's lowest point at release (100)",
    )
    parser.add_argument(
        "--soak-s", type=float, default=soak_s, help=f"time in the water, each time ({soak_s:g})"
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
